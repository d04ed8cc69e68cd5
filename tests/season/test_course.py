from __future__ import annotations

import numpy as np
import pytest

from awkward import PLACES
from bedwright.catalogue import Catalogue
from bedwright.season import (
    DAYS,
    Course,
    Season,
    course_of,
    day_length_h,
    day_of_year,
    first_steady,
    heat_stall,
    make_season,
    outdoor_day,
    soil_temperature,
    weekly_water_mm,
    workable_day,
)
from bedwright.season.bloom import bloom_of
from conftest import weather_at


def steady_season(season: Season, celsius: float) -> Season:
    """The same site at one temperature all year."""
    from dataclasses import replace

    flat = np.full((2, DAYS), celsius)
    return replace(season, tmin_c=flat - 0.5, tmax_c=flat + 0.5)


def test_at_the_reference_temperature_bloom_comes_after_the_days_to_bloom(
    catalogue: Catalogue, galway: Season
) -> None:
    season = steady_season(galway, 20.0)
    for kind in catalogue:
        if kind.growth.daylength.endswith("obligate"):
            continue
        bloom = bloom_of(kind, season, 100, 100, True, np.zeros((2, DAYS), bool))
        want = min(100 + int(np.ceil(kind.growth.days_to_bloom)) - 1, DAYS)
        assert bloom.first[0] == want, kind.key


def test_below_the_base_temperature_nothing_blooms(catalogue: Catalogue, galway: Season) -> None:
    kind = catalogue.kinds["garden_cosmos"]
    season = steady_season(galway, kind.growth.base_c - 0.1)
    bloom = bloom_of(kind, season, 100, 100, True, np.zeros((2, DAYS), bool))
    assert bloom.typical is None
    assert bloom.weeks == 0


def test_frost_ends_a_tender_kind_and_spares_a_hardy_one(
    catalogue: Catalogue, galway: Season
) -> None:
    from dataclasses import replace

    season = steady_season(galway, 20.0)
    cold = season.tmin_c.copy()
    cold[:, 250] = -1.5
    season = replace(season, tmin_c=cold)
    stall = np.zeros((2, DAYS), bool)
    tender = bloom_of(catalogue.kinds["french_marigold"], season, 60, 100, False, stall)
    assert tender.last[0] == 250
    hardy = bloom_of(catalogue.kinds["sweet_alyssum"], season, 60, 100, False, stall)
    assert hardy.last[0] != 250


def test_heat_stalls(catalogue: Catalogue, galway: Season) -> None:
    kind = catalogue.kinds["pansy"]
    hot = steady_season(galway, kind.liking.heat_max_c + 2)
    assert heat_stall(kind, hot)[:, 20:].all()
    mild = steady_season(galway, kind.liking.heat_max_c - 2)
    assert not heat_stall(kind, mild).any()


def test_obligate_kinds_wait_for_their_day_length(galway: Season, catalogue: Catalogue) -> None:
    hours = day_length_h(galway.site.latitude, day_of_year(galway.site))
    season = steady_season(galway, 20.0)
    stall = np.zeros((2, DAYS), bool)
    for kind in catalogue:
        if kind.growth.daylength == "long_obligate":
            first = bloom_of(kind, season, 0, 0, True, stall).first[0]
            assert first == DAYS or hours[: first + 1].max() >= 12.99, kind.key


def test_tender_kinds_wait_for_the_accepted_risk(
    courses: dict[str, Course], galway: Season
) -> None:
    for course in courses.values():
        if course.kind.hardiness == "tender":
            assert galway.freeze(True).odds_at(course.out) <= 0.1
        assert course.out >= course.sow
        if course.method == "in_place":
            assert course.sow == course.out


def test_hardy_kinds_go_out_before_tender_ones(courses: dict[str, Course]) -> None:
    def median(hardiness: str) -> float:
        return float(np.median([c.out for c in courses.values() if c.kind.hardiness == hardiness]))

    assert median("hardy") < median("half_hardy") < median("tender")


def test_a_smaller_risk_never_means_an_earlier_day(clemson: Season) -> None:
    soil = soil_temperature(clemson.tmean_c)
    days = [outdoor_day(clemson, soil, 0.0, 12.0, risk)[0] for risk in (0.5, 0.2, 0.1, 0.05, 0.01)]
    assert days == sorted(days)


def test_no_room_indoors_means_sown_in_place_or_bought(
    catalogue: Catalogue, galway: Season
) -> None:
    soil = soil_temperature(galway.tmean_c)
    both = course_of(catalogue.kinds["garden_cosmos"], galway, soil, 60, 0.1, False, -120)
    assert both.method == "in_place"
    bought = course_of(catalogue.kinds["wax_begonia"], galway, soil, 60, 0.1, False, -120)
    assert bought.method == "bought"


def test_soil_lags_and_calms_the_air(galway: Season) -> None:
    soil = soil_temperature(galway.tmean_c)
    assert soil.std(axis=1).mean() < galway.tmean_c.std(axis=1).mean()
    wave = 10 + 8 * np.sin(2 * np.pi * np.arange(DAYS) / DAYS)[None]
    lagged = soil_temperature(np.concatenate([wave, wave], axis=1))[0, DAYS:]
    # First-order response: an annual wave arrives later by atan(w tau) / w, about tau = 10 days.
    assert np.argmax(lagged) - np.argmax(wave[0]) == pytest.approx(10, abs=1)


def test_first_steady_needs_a_fortnight() -> None:
    values = np.zeros((1, 100))
    values[0, 20:33] = 5
    values[0, 50:] = 5
    assert first_steady(values, 5.0, 80)[0] == 50
    assert first_steady(values, 6.0, 80)[0] == 80


def test_water_is_wanted_in_summer(galway: Season, clemson: Season) -> None:
    wet, warm = (weekly_water_mm(s, np.full(365, 0.9)) for s in (galway, clemson))
    assert warm[:, 26].mean() > wet[:, 26].mean() >= wet[:, 1].mean() >= 0
    assert warm[:, 26].mean() < 60


def test_a_bed_drinks_more_as_it_fills() -> None:
    from bedwright.season import crop_coefficient

    kc = crop_coefficient(120, (180, 270), 0.9)
    assert kc[0] == kc[120] == kc[364] == pytest.approx(0.3)
    assert kc[150] == pytest.approx(0.6)
    assert kc[180] == kc[270] == pytest.approx(0.9)
    assert (np.diff(kc[120:181]) > 0).all()
    assert crop_coefficient(360, None, 0.9).max() <= 0.9


@pytest.mark.parametrize("name", PLACES)
def test_every_kind_has_a_course_in_awkward_climates(name: str, catalogue: Catalogue) -> None:
    season = make_season(weather_at(*PLACES[name]), 2027, None, 0)
    soil = soil_temperature(season.tmean_c)
    ready = workable_day(season, soil) + 14
    for kind in catalogue:
        course = course_of(kind, season, soil, ready, 0.1, True, -120)
        assert ready <= course.out <= DAYS
        assert (course.bloom.odds >= 0).all()
        assert (course.bloom.odds <= 1).all()
        assert course.window.start < course.window.stop
