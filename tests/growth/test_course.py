from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest

from awkward import PLACES
from bedwright.catalogue import Catalogue
from bedwright.climate import (
    DAYS,
    Season,
    first_steady,
    make_season,
    soil_temperature,
    workable_day,
)
from bedwright.climate.soil import SOIL_LAG_DAYS
from bedwright.growth import (
    Course,
    Dated,
    Outdoors,
    courses_of,
    crop_coefficient,
    sown_again,
    weekly_water_mm,
)
from bedwright.growth.warmth import seed_of
from conftest import weather_at


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
    risks = (0.5, 0.2, 0.1, 0.05, 0.01)
    days = [Outdoors(clemson, soil, risk).day(0.0, 12.0).day for risk in risks]
    assert days == sorted(days)


def test_what_decides_the_day_outside_is_known(catalogue: Catalogue, galway: Season) -> None:
    soil = soil_temperature(galway.tmean_c)
    kinds = [catalogue.kinds["pot_marigold"]]

    def decided(ready: int, indoors: bool, sow_from: int) -> tuple[str, int]:
        (course,) = courses_of(kinds, galway, soil, ready, 0.1, indoors, sow_from).values()
        return course.decided_by, course.out

    assert decided(0, False, -120)[0] in ("frost", "soil")
    assert decided(200, False, -120) == ("bed", 200)
    assert decided(60, False, 190) == ("sowing", 190)
    outdoors = Outdoors(galway, soil, 0.1)
    last = galway.freeze(True, 0.0).day_at(0.1)
    assert outdoors.day(0.0, -10.0) == (
        int(np.ceil(last)) + 1,
        pytest.approx(0.1, abs=0.01),
        "frost",
    )
    assert outdoors.day(-40.0, 12.0).decided_by == "soil"
    assert outdoors.day(-40.0, 12.0).day == outdoors.warm_day(12.0)
    assert outdoors.day(-40.0, -40.0) == (0, 0.0, "nothing")
    assert outdoors.day(-40.0, 40.0).decided_by == "cold_soil"
    assert outdoors.day(40.0, 12.0).decided_by == "midsummer"
    assert outdoors.day(-40.0, 40.0).day == galway.split


def test_a_kinds_dates_are_no_course_until_its_bloom_is_known(courses: dict[str, Course]) -> None:
    assert {field.name for field in fields(Course)} - {field.name for field in fields(Dated)} == {
        "bloom",
        "again",
        "comfort",
        "days_max_c",
    }
    for course in courses.values():
        assert len(course.bloom.first) == len(course.bloom.last) > 0


def test_no_room_indoors_means_sown_in_place_or_bought(
    catalogue: Catalogue, galway: Season
) -> None:
    soil = soil_temperature(galway.tmean_c)
    kinds = [catalogue.kinds[key] for key in ("cornflower", "garden_cosmos", "wax_begonia")]
    courses = courses_of(kinds, galway, soil, 60, 0.1, False, -120)
    assert courses["cornflower"].method == "in_place"
    # Sown in place it would flower for some weeks of a cool summer, bought for all of it.
    assert courses["garden_cosmos"].method == "bought"
    assert courses["wax_begonia"].method == "bought"


def test_soil_lags_and_calms_the_air(galway: Season) -> None:
    soil = soil_temperature(galway.tmean_c)
    assert soil.std(axis=1).mean() < galway.tmean_c.std(axis=1).mean()
    wave = 10 + 8 * np.sin(2 * np.pi * np.arange(DAYS) / DAYS)[None]
    lagged = soil_temperature(np.concatenate([wave, wave], axis=1))[0, DAYS:]
    # First-order response: an annual wave arrives later by atan(w tau) / w, about tau.
    assert np.argmax(lagged) - np.argmax(wave[0]) == pytest.approx(SOIL_LAG_DAYS, abs=1)


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


def test_a_bed_drinks_more_as_it_fills_and_less_under_mulch() -> None:
    cover = np.interp(np.arange(52), [16, 26, 38, 39], [0.1, 1.0, 1.0, 0.0], left=0.0)
    kc = crop_coefficient(cover, 0.9, 150)
    assert kc[0] == pytest.approx(0.3)
    assert kc[364] == pytest.approx(0.15)
    assert kc[26 * 7 + 3] == kc[38 * 7 + 3] == pytest.approx(0.9)
    assert (np.diff(kc[120:149]) > 0).all()
    assert kc[150] < kc[149]
    assert (kc <= crop_coefficient(cover, 0.9, 999) + 1e-9).all()


@pytest.mark.parametrize("name", PLACES)
def test_every_kind_has_a_course_in_awkward_climates(name: str, catalogue: Catalogue) -> None:
    season = make_season(weather_at(*PLACES[name]), 2027, None, 0)
    soil = soil_temperature(season.tmean_c)
    ready = workable_day(season, soil) + 14
    for course in courses_of(catalogue, season, soil, ready, 0.1, True, -120).values():
        assert ready <= course.out <= DAYS
        assert (course.bloom.odds >= 0).all()
        assert (course.bloom.odds <= 1).all()
        assert course.window.start < course.window.stop
        assert 0 <= course.stays <= 1
        assert (course.gone >= 0).all()


def test_a_cool_season_kind_is_gone_by_the_heat_where_summers_are_hot(
    catalogue: Catalogue, clemson: Season, courses: dict[str, Course]
) -> None:
    """Pot marigold declines in the heat of southern summers and flowers all summer where they are
    cool (common practice, no source)."""
    soil = soil_temperature(clemson.tmean_c)
    ready = workable_day(clemson, soil) + 14
    south = courses_of(catalogue, clemson, soil, ready, 0.1, True, -120)
    august = 220 // 14
    assert south["pot_marigold"].gone[august] > 0.9
    assert south["pot_marigold"].stays < 0.5 < south["french_marigold"].stays
    assert courses["pot_marigold"].gone[august] < 0.25
    assert courses["pot_marigold"].stays > 0.5


def courses_at(
    catalogue: Catalogue, season: Season, keys: list[str], **more: object
) -> dict[str, Course]:
    """Courses of some kinds in a bed that is ready with the ground."""
    soil = soil_temperature(season.tmean_c)
    ready = workable_day(season, soil) + 14
    kinds = [catalogue.kinds[key] for key in keys]
    return courses_of(kinds, season, soil, ready, 0.1, True, -250, **more)  # type: ignore[arg-type]


def test_seed_is_sown_before_the_frosts_are_over_and_comes_up_after_them(
    catalogue: Catalogue, galway: Season
) -> None:
    outdoors = Outdoors(galway, soil_temperature(galway.tmean_c), 0.1)
    for key in ("cornflower", "pot_marigold", "shirley_poppy", "night_scented_stock"):
        kind = catalogue.kinds[key]
        found = outdoors.sowing_day(kind)
        up = outdoors.emergence(seed_of(kind), found.day)
        assert up > found.day
        assert found.odds == pytest.approx(galway.freeze(True, kind.kill_c).odds_at(up))
        assert found.odds <= 0.1


def test_plants_wait_for_their_own_warmth_of_soil(catalogue: Catalogue, galway: Season) -> None:
    outdoors = Outdoors(galway, soil_temperature(galway.tmean_c), 0.5)
    cool, warm = (outdoors.plant_day(catalogue.kinds[k]).day for k in ("tall_snapdragon", "coleus"))
    assert cool < warm


def test_a_kind_without_a_safe_day_is_told_so(catalogue: Catalogue) -> None:
    """Leadville, Colorado, at 3,100 m: it freezes in most Junes."""
    season = make_season(weather_at(39.25, -106.29, 3100.0), 2027, None, 0)
    course = courses_at(catalogue, season, ["coleus"])["coleus"]
    assert course.too_late
    assert course.decided_by in ("midsummer", "cold_soil")


def test_hardy_kinds_are_sown_in_autumn_where_it_pays_and_winters_allow(
    catalogue: Catalogue, clemson: Season, galway: Season
) -> None:
    keys = ["larkspur", "cornflower", "petunia", "viola", "pansy", "tall_zinnia"]
    spring = courses_at(catalogue, clemson, keys)
    both = courses_at(catalogue, clemson, keys, autumn_from=-130)
    assert all(course.out >= 0 for course in spring.values())
    autumn = {key for key, course in both.items() if course.out < 0}
    assert {"viola", "pansy"} <= autumn
    assert not autumn & {"petunia", "tall_zinnia"}
    for key in autumn:
        assert both[key].decided_by == "autumn"
        assert both[key].risk <= 0.1
        assert both[key].bloom.weeks > spring[key].bloom.weeks + 3
    late = courses_at(catalogue, clemson, keys, autumn_from=-10)
    assert all(course.out >= 0 for course in late.values())


def test_biennials_are_planted_the_autumn_before_or_do_not_flower(
    catalogue: Catalogue, galway: Season
) -> None:
    keys = ["foxglove", "forget_me_not", "honesty", "canterbury_bells", "wallflower"]
    for course in courses_at(catalogue, galway, keys).values():
        assert course.bloom.weeks == 0
    for course in courses_at(catalogue, galway, keys, autumn_from=-140).values():
        assert course.out < 0
        assert course.method == "indoors"
        assert course.bloom.share > 0.8


def test_a_warmer_room_brings_flowers_sooner(catalogue: Catalogue, galway: Season) -> None:
    rooms = ("cold greenhouse", "window sill", "heated greenhouse", "lit shelf")
    firsts = []
    for room in rooms:
        course = courses_at(catalogue, galway, ["red_salvia"], room=room)["red_salvia"]
        assert course.bloom.typical is not None
        firsts.append(course.bloom.typical[0])
    assert firsts == sorted(firsts, reverse=True)
    assert len(set(firsts)) == 4


def test_plants_that_are_bought_flower_from_the_day_they_go_out(
    catalogue: Catalogue, galway: Season
) -> None:
    soil = soil_temperature(galway.tmean_c)
    kinds = [catalogue.kinds["wax_begonia"]]
    course = courses_of(kinds, galway, soil, 60, 0.1, False, -120)["wax_begonia"]
    assert course.method == "bought"
    assert course.bloom.typical is not None
    assert course.bloom.typical[0] - course.out <= 7


def test_shade_kinds_bear_more_sun_where_days_are_cool(
    catalogue: Catalogue, galway: Season, clemson: Season
) -> None:
    for key in ("impatiens", "wax_begonia", "coleus"):
        most = catalogue.kinds[key].liking.sun_max_h
        cool = courses_at(catalogue, galway, [key])[key]
        hot = courses_at(catalogue, clemson, [key])[key]
        assert cool.day_max_c < hot.day_max_c
        assert hot.most_sun_h == pytest.approx(most, abs=0.5)
        assert cool.most_sun_h > 15


def test_what_is_over_early_is_sown_once_more(catalogue: Catalogue, clemson: Season) -> None:
    keys = ["branching_sunflower", "borage", "petunia", "foxglove"]
    courses = courses_at(catalogue, clemson, keys)
    again = sown_again(courses.values(), clemson)
    assert set(again) <= {"branching_sunflower", "borage"}
    assert again
    for key, course in again.items():
        first = courses[key]
        assert first.bloom.typical is not None
        assert course.again is not None
        assert course.again >= first.bloom.typical[1]
        assert course.bloom.weeks >= first.bloom.weeks + 2
        assert course.bloom.typical is not None
        assert course.bloom.typical[0] == first.bloom.typical[0]
        assert course.bloom.typical[1] > course.again
        bare = course.bloom.cover[course.again // 7 + 1]
        assert bare < 0.2
