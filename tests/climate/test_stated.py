"""Seasons bent to what is said of frost, and moved to the garden's own spot."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bedwright.brief import KnownFrost
from bedwright.climate import (
    FromDates,
    FromSayings,
    FrostUnlike,
    HeightMoved,
    NightsMoved,
    OddsTaken,
    PerhapsTown,
    Season,
    SideModelled,
    Site,
    Weather,
    make_season,
    normals_at,
)
from bedwright.climate.exposure import SITUATION_C
from bedwright.climate.frost import FREEZE_C, HALVES, first_autumn, last_spring
from bedwright.climate.record import Record
from bedwright.climate.stated import _days_moved

MILD, SHARP = (-37.81, 144.96), (42.65, -73.75)
"""A place where winters are mild, south of the equator, and one where they are sharp."""


def weather(spot: tuple[float, float]) -> Weather:
    normals = normals_at(*spot)
    return Weather(Site("here", *spot, normals.altitude_m), normals)


def season(spot: tuple[float, float], **said: object) -> Season:
    known = KnownFrost.model_validate(said) if said else None
    return make_season(weather(spot), 2027, known, 0)


def day(made: Season, odds: float, spring: bool = True) -> str | None:
    found = made.freeze(spring).day_at(odds)
    return None if found is None else f"{made.day(found):%m-%d}"


@pytest.mark.parametrize("spot", [MILD, SHARP])
def test_where_it_is_said_never_to_freeze_no_night_does(spot: tuple[float, float]) -> None:
    usual, made = season(spot), season(spot, never=True)
    assert made.tmin_c.min() > 0.0
    assert made.freeze(True).share == made.freeze(False).share == 0.0
    warm = usual.tmin_c > 4.0
    assert np.array_equal(made.tmin_c[warm], usual.tmin_c[warm]), "mild nights stay"
    assert (made.tmax_c > made.tmin_c).all()
    assert isinstance(made.basis, FromSayings)


def test_a_statement_far_from_the_normals_is_noted() -> None:
    assert any(isinstance(note, FrostUnlike) for note in season(SHARP, never=True).notes)
    assert not any(isinstance(note, FrostUnlike) for note in season(MILD, never=True).notes)


def test_freezes_keep_to_the_months_that_are_said() -> None:
    made = season(MILD, months=["June", "July"], light=True)
    assert day(made, 0.1) == "07-31"
    assert day(made, 0.1, spring=False) == "06-01"
    assert made.freeze(True, (28 - 32) / 1.8).share == 0.0, "none is hard"
    one_in_three = season(MILD, months=["July"], share="33%")
    assert one_in_three.freeze(True).share == pytest.approx(0.33, abs=0.005)
    assert one_in_three.freeze(False).share == 0.0


def test_a_share_of_years_is_met() -> None:
    for spot in (MILD, SHARP):
        made = season(spot, share="20%")
        frozen = (made.tmin_c <= 0.001).any(axis=1).mean()
        assert frozen == pytest.approx(0.2, abs=0.01)


def test_a_lone_day_is_the_median_and_the_other_side_the_model_s() -> None:
    made = season(SHARP, last_spring="14 May")
    assert day(made, 0.5) == "05-14"
    usual = season(SHARP)
    off = made.freeze(False).day_at(0.5), usual.freeze(False).day_at(0.5)
    assert off[0] == pytest.approx(off[1], abs=1.5)
    kinds = {type(note) for note in made.notes}
    assert {OddsTaken, SideModelled} <= kinds
    assert isinstance(made.basis, FromDates)


def test_a_month_puts_its_end_at_one_in_ten() -> None:
    made = season(SHARP, last_spring="April", first_autumn="October")
    assert (day(made, 0.1), day(made, 0.1, spring=False)) == ("04-30", "10-01")


def test_light_alone_leaves_the_days_and_lifts_the_hard_freezes() -> None:
    usual, made = season(MILD), season(MILD, light=True)
    assert made.freeze(True).dates == usual.freeze(True).dates
    assert made.freeze(True, (28 - 32) / 1.8).share == 0.0 < usual.freeze(
        True, (28 - 32) / 1.8
    ).share  # fmt: skip


@pytest.mark.parametrize("word", sorted(SITUATION_C))
def test_a_spot_moves_cold_nights_and_hardly_mild_ones(word: str) -> None:
    base = weather(SHARP)
    usual = make_season(base, 2027, None, 0)
    made = make_season(replace(base, situation=(word,)), 2027, None, 0)
    by = made.tmin_c - usual.tmin_c
    cold = usual.tmin_c <= np.quantile(usual.tmin_c, 0.1, axis=0)
    mild = usual.tmin_c >= np.quantile(usual.tmin_c, 0.9, axis=0)
    assert by[cold].mean() == pytest.approx(SITUATION_C[word], rel=0.1)
    assert abs(by[mild].mean()) < 0.1 * abs(SITUATION_C[word])
    later = made.freeze(True).day_at(0.5) > usual.freeze(True).day_at(0.5)
    assert later == (SITUATION_C[word] < 0)
    assert NightsMoved((word,), SITUATION_C[word]) in made.notes


def test_nights_that_are_measured_stand_in_place_of_a_situation() -> None:
    base = replace(weather(SHARP), nights_c=-2.0)
    made = make_season(base, 2027, None, 0)
    hollow = make_season(replace(base, nights_c=None, situation=("hollow",)), 2027, None, 0)
    assert np.array_equal(made.tmin_c, hollow.tmin_c)
    assert NightsMoved((), -2.0) in made.notes


def test_a_spot_moves_stated_dates_as_its_weather() -> None:
    known = KnownFrost.model_validate({"last_spring": {"50%": "05-01", "10%": "05-18"}})
    base = weather(SHARP)
    usual, hollow = (
        make_season(replace(base, situation=words), 2027, known, 0) for words in ((), ("hollow",))
    )
    assert day(usual, 0.5) == "05-01"
    later = hollow.freeze(True).day_at(0.5) - usual.freeze(True).day_at(0.5)
    own = [make_season(replace(base, situation=w), 2027, None, 0) for w in ((), ("hollow",))]
    moved = own[1].freeze(True).day_at(0.5) - own[0].freeze(True).day_at(0.5)
    assert later == pytest.approx(moved, abs=4)


def a_record(count: int = 12) -> Record:
    """Simulated days of a place: of our own making, to test the rules."""
    made = season(SHARP)
    low, high = (np.concatenate([t[n] for n in range(count)]) for t in (made.tmin_c, made.tmax_c))
    return Record("ours", np.datetime64("2001-01-01"), low.astype(float), high.astype(float),
                  None, ())  # fmt: skip


def test_a_record_from_another_height_is_moved_and_says_so() -> None:
    base = replace(weather(SHARP), record=a_record())
    garden = base.site.altitude_m
    usual = make_season(base, 2027, None, 0)
    made = make_season(replace(base, record_altitude_m=garden - 250.0), 2027, None, 0)
    assert np.allclose(made.tmin_c, usual.tmin_c - 1.5)
    assert np.allclose(made.tmax_c, usual.tmax_c - 1.5)
    note = next(note for note in made.notes if isinstance(note, HeightMoved))
    assert note.celsius == pytest.approx(-1.5)
    own = replace(a_record(), altitude_m=garden - 250.0)
    by_file = make_season(replace(base, record=own), 2027, None, 0)
    assert np.array_equal(by_file.tmin_c, made.tmin_c)
    unknown = replace(base, site=replace(base.site, height_from="grid"), record=own)
    assert np.array_equal(make_season(unknown, 2027, None, 0).tmin_c, usual.tmin_c)
    level = make_season(replace(base, record_altitude_m=garden - 4.0), 2027, None, 0)
    assert np.array_equal(level.tmin_c, usual.tmin_c)


def test_a_spot_moves_a_record_s_cold_nights() -> None:
    base = replace(weather(SHARP), record=a_record())
    usual = make_season(base, 2027, None, 0)
    made = make_season(replace(base, situation=("town",)), 2027, None, 0)
    by = made.tmin_c - usual.tmin_c
    cold = usual.tmin_c <= np.quantile(usual.tmin_c, 0.1, axis=0)
    assert by[cold].mean() == pytest.approx(1.5, abs=0.2)
    assert np.mean(made.freeze(True).dates) < np.mean(usual.freeze(True).dates)


@pytest.mark.parametrize("north", [True, False])
@pytest.mark.parametrize("kind", [np.float32, np.float64])
def test_freezes_of_moved_minima_are_those_of_each_move_alone(north: bool, kind: type) -> None:
    rng = np.random.default_rng(4)
    usual = 8.0 - 14.0 * np.cos(2 * np.pi * np.arange(365) / 365)
    low = (usual + rng.normal(0, 4, (60, 365))).astype(kind)
    low[:20] = np.round(low[:20], 1)  # many stand on the threshold
    low[20:23] += 60.0
    low[23:26] -= 60.0
    moves = np.arange(-12.0, 12.01, 0.1)
    for spring, find in ((True, last_spring), (False, first_autumn)):
        alone = np.array([find(low + by, FREEZE_C, HALVES[north]) for by in moves])
        assert np.array_equal(_days_moved(low, moves, HALVES[north], spring), alone)


def test_a_city_is_told_that_its_nights_are_milder_unless_its_spot_is_known() -> None:
    hint = PerhapsTown(SITUATION_C["town"])
    city, village = (replace(weather(SHARP), people=people) for people in (900_000, 4_000))
    assert hint in make_season(city, 2027, None, 0).notes
    assert hint not in make_season(village, 2027, None, 0).notes
    for known in (replace(city, situation=("hollow",)), replace(city, nights_c=-1.0)):
        assert hint not in make_season(known, 2027, None, 0).notes
