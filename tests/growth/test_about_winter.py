"""When kinds go out where the winter lies in the middle of the growing year, and where winters are
mild."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from bedwright.catalogue import Catalogue, load_catalogue
from bedwright.climate import DAYS, Season, make_season, soil_temperature, workable_day
from bedwright.growth import Course, courses_of, outlook_of
from bedwright.growth.bloom import UNFROSTED_WEEKS, span_of
from bedwright.growth.course import HEAT_PROOF_C
from bedwright.growth.outdoors import HEAT_ODDS, Outdoors
from conftest import weather_at

MIAMI, TAMPA, SYDNEY = (25.76, -80.2), (27.95, -82.46), (-33.87, 151.2)


@cache
def season_at(place: tuple[float, float]) -> Season:
    return make_season(weather_at(*place), 2027, None, 0)


@cache
def outdoors_at(place: tuple[float, float]) -> Outdoors:
    season = season_at(place)
    return Outdoors(season, soil_temperature(season.tmean_c), 0.1)


@cache
def courses_at(
    place: tuple[float, float], late_days: int = 0, sow_from: int = -250
) -> dict[str, Course]:
    """Every kind in a bed that is ready so many days after the first that is fit."""
    season = season_at(place)
    soil = soil_temperature(season.tmean_c)
    ready = workable_day(season, soil) + 14 + late_days
    return courses_of(
        load_catalogue(), season, soil, ready, 0.1, True, sow_from, autumn_from=-150 + late_days
    )


def test_heat_is_past_later_for_kinds_that_stand_less_and_for_smaller_odds() -> None:
    outdoors = outdoors_at(MIAMI)
    days = [outdoors.heat_day(limit) for limit in (28.0, 29.0, 30.0, 31.0, 32.0)]
    assert days == sorted(days, reverse=True)
    assert 60 < days[-1] < days[0] < outdoors.coolest_day
    assert outdoors.heat_day(45.0) == 0
    past = [outdoors.heat_past(30.0, odds) for odds in (0.5, 0.2, 0.1)]
    assert past == sorted(past)
    assert past[0] == days[2]
    for limit, day in zip((28.0, 30.0, 32.0), (days[0], days[2], days[4]), strict=True):
        assert outdoors.heat_odds(limit, day) <= HEAT_ODDS < outdoors.heat_odds(limit, day - 8)


def test_the_odds_of_heat_are_counted_in_the_seasons() -> None:
    """A fortnight's mean maximum, season by season, against the odds that are told."""
    season, outdoors = season_at(MIAMI), outdoors_at(MIAMI)
    day, limit = outdoors.heat_day(30.0), 30.0
    hot = 0
    for row in season.tmax_c:
        ends = [row[t - 13 : t + 1].mean() for t in range(day, outdoors.coolest_day)]
        hot += max(ends) > limit
    assert outdoors.heat_odds(limit, day) == pytest.approx(hot / season.size, abs=0.002)


def test_no_kind_is_set_out_into_the_heat_that_stops_it() -> None:
    for course in courses_at(MIAMI).values():
        assert course.heat_odds is not None
        assert course.out >= outdoors_at(MIAMI).coolest_day or course.heat_odds <= HEAT_ODDS
        if course.decided_by == "heat":
            assert course.out == outdoors_at(MIAMI).heat_day(course.kind.liking.heat_max_c)


def test_cool_season_kinds_go_out_in_autumn_and_heat_proof_ones_in_summer() -> None:
    courses, cool = courses_at(MIAMI), outdoors_at(MIAMI).cool_day
    for key in ("petunia", "dwarf_snapdragon", "sweet_alyssum", "pot_marigold", "viola"):
        assert cool <= courses[key].out < DAYS - 120
    for key in ("madagascar_periwinkle", "globe_amaranth", "moss_rose", "melampodium"):
        assert courses[key].kind.liking.heat_max_c >= HEAT_PROOF_C
        assert courses[key].out == 14
        assert courses[key].decided_by == "bed"


def test_a_bed_that_is_ready_late_is_planted_then() -> None:
    courses = courses_at(MIAMI, 160)
    assert courses["madagascar_periwinkle"].out == 174
    assert courses["petunia"].out == 174
    assert courses["petunia"].bloom.share == 1.0


def test_plants_that_cannot_be_raised_in_time_are_bought() -> None:
    """Begun in December, two weeks before the bed is ready."""
    courses = courses_at(MIAMI, 160, 160)
    petunia = courses["petunia"]
    assert (petunia.method, petunia.out, petunia.sow < 160) == ("bought", 174, True)
    assert courses["dwarf_zinnia"].method == "in_place"
    raised = courses_at(MIAMI, 160)["petunia"]
    assert (raised.method, raised.out) == ("indoors", 174)


def test_where_winter_has_frost_tender_kinds_are_set_out_within_the_risk() -> None:
    """Tampa: half of all winters freeze, by the model."""
    season, courses = season_at(TAMPA), courses_at(TAMPA, 150)
    assert 0.3 < season.freeze(True).share < 0.7
    tender = [c for c in courses.values() if c.kind.hardiness == "tender" and c.bloom.weeks > 2.5]
    assert len(tender) > 40
    for course in tender:
        assert course.risk <= 0.1
    waiting = [course for course in tender if course.decided_by in ("frost", "soil")]
    assert len(waiting) > 10
    for course in waiting:
        assert course.out > outdoors_at(TAMPA).coolest_day
        assert course.killed == DAYS


def test_a_killing_night_in_winter_ends_the_bloom() -> None:
    season, course = season_at(TAMPA), courses_at(TAMPA)["madagascar_periwinkle"]
    nights = season.tmin_c <= course.kill_c
    killed = nights[:, course.out :].any(axis=1)
    first = course.out + nights[:, course.out :].argmax(axis=1)
    assert killed.mean() > 0.5
    assert (course.bloom.last[killed] <= first[killed]).all()
    assert (course.bloom.last[~killed] > first[killed].min()).any()


def test_kinds_that_frost_would_end_flower_for_half_a_year(catalogue: Catalogue) -> None:
    miami, sydney = season_at(MIAMI), season_at(SYDNEY)
    petunia, pansy = catalogue.kinds["petunia"], catalogue.kinds["pansy"]
    assert span_of(petunia, miami) == UNFROSTED_WEEKS * 7 > span_of(petunia, sydney)
    assert span_of(pansy, miami) == span_of(pansy, sydney) == round(pansy.growth.bloom_weeks * 7)


def test_where_winters_are_mild_pansies_are_set_out_in_autumn_and_flower_through_winter() -> None:
    courses = courses_at(SYDNEY)
    assert outdoors_at(SYDNEY).mild
    for key in ("pansy", "viola", "pot_marigold", "dwarf_snapdragon"):
        course = courses[key]
        assert course.decided_by == "autumn"
        assert course.out < -60
        assert course.bloom.weeks_before > 5
        assert course.bloom.weeks > 8
    assert courses["petunia"].out >= 0
    assert courses["madagascar_periwinkle"].out > 60


def test_in_mild_winters_a_bed_may_be_ready_until_the_growing_year_begins() -> None:
    """Of other places no later than five weeks after the day for it."""
    day = outdoors_at(SYDNEY).autumn_day
    late = courses_at(SYDNEY, 120)["viola"]
    assert day is not None
    assert day + 35 < -150 + 120 == late.out < 0


def test_bloom_before_the_growing_year_counts_from_the_first_flower() -> None:
    bloom = courses_at(SYDNEY)["viola"].bloom
    days = np.maximum(-bloom.first.astype(int), 0)
    assert bloom.weeks_before == pytest.approx(days.mean() / 7)


def test_the_outlook_tells_when_heat_is_past() -> None:
    outlook = outlook_of(season_at(MIAMI))
    assert [row.limit_c for row in outlook.heat] == [28.0, 30.0, 32.0]
    for row in outlook.heat:
        known = [day for day in row.days if day is not None]
        assert known == sorted(known)
        assert row.days[0] == outdoors_at(MIAMI).heat_day(row.limit_c)
    assert outlook.cool == outdoors_at(MIAMI).cool_day
    usual = outlook_of(season_at(SYDNEY))
    assert (usual.heat, usual.cool) == ((), None)
