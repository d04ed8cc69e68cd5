"""Where in the year the growing year turns over, and what follows from it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from bedwright.api import read_brief
from bedwright.catalogue import Catalogue
from bedwright.climate import (
    FromRecord,
    Record,
    Season,
    Site,
    Weather,
    make_season,
    normals_at,
    turn_in_heat,
)
from bedwright.climate.frost import (
    HALVES,
    HARD_FREEZE_C,
    NEVER,
    SPLIT,
    WHOLE_YEAR,
    first_autumn,
    free_days,
    freeze_free_days,
    last_spring,
)
from bedwright.climate.model import spring_share
from bedwright.climate.turn import HOT_C, MILD_C, RARE_NIGHTS, nights_at
from climate.test_frost import year
from conftest import TODAY

HOT = {
    "Miami": (25.76, -80.2, 7),
    "Tampa": (27.95, -82.46, 7),
    "Honolulu": (21.3, -157.86, 7),
    "Hong Kong": (22.3, 114.17, 7),
    "Dubai": (25.2, 55.27, 7),
    "Brisbane": (-27.47, 153.03, 1),
    "Darwin": (-12.46, 130.84, 1),
    "Durban": (-29.86, 31.0, 1),
}
OTHERS = {
    "a cool summer": (51.5, -0.13),  # London
    "a mild summer without frost": (-33.87, 151.2),  # Sydney
    "a cool winter without frost": (-31.95, 115.86),  # Perth
    "frost": (29.76, -95.4),  # Houston
    "a desert": (33.45, -112.07),  # Phoenix
    "no seasons": (1.29, 103.85),  # Singapore
    "a highland on the equator": (-1.29, 36.82),  # Nairobi
}


def season_at(latitude: float, longitude: float, turned: bool = True) -> Season:
    normals = normals_at(latitude, longitude)
    turn = turn_in_heat(latitude, normals) if turned else None
    site = Site("here", latitude, longitude, normals.altitude_m, heat_turn=turn)
    return make_season(Weather(site, normals), 2027, None, 0)


@pytest.mark.parametrize("name", HOT)
def test_it_turns_over_in_summer_where_flowers_go_on_through_winter(name: str) -> None:
    latitude, longitude, month = HOT[name]
    assert turn_in_heat(latitude, normals_at(latitude, longitude)) == month


@pytest.mark.parametrize("name", OTHERS)
def test_elsewhere_it_turns_over_in_winter(name: str) -> None:
    latitude, longitude = OTHERS[name]
    assert turn_in_heat(latitude, normals_at(latitude, longitude)) is None


def test_the_height_that_is_stated_counts() -> None:
    """Six degrees colder a thousand metres up: neither the heat nor the mild winter is left."""
    assert turn_in_heat(25.76, normals_at(25.76, -80.2, 1400.0)) is None


def test_summers_are_hot_where_most_kinds_that_heat_ends_stop(catalogue: Catalogue) -> None:
    limits = [k.liking.heat_max_c for k in catalogue if k.growth.bloom_end == "heat"]
    assert np.mean(np.array(limits) <= HOT_C) > 0.5


def test_nights_that_are_expected_are_those_simulated() -> None:
    """The model's own arithmetic against a thousand simulated winters of Tampa."""
    normals = normals_at(27.95, -82.46)
    season = season_at(27.95, -82.46)
    for celsius in (HARD_FREEZE_C, 0.0, 3.0):
        counted = float((season.tmin_c <= celsius).sum(axis=1).mean())
        assert nights_at(celsius, 27.95, normals) == pytest.approx(counted, rel=0.2)
    assert nights_at(HARD_FREEZE_C, 27.95, normals) < RARE_NIGHTS
    assert min(normals.mean_c) > MILD_C


def test_a_winter_in_the_middle_has_a_first_freeze_and_a_last() -> None:
    low = year(d170=-1.0, d185=-3.0, d200=-1.0)
    assert first_autumn(low, 0.0, WHOLE_YEAR)[0] == 170
    assert last_spring(low, 0.0, WHOLE_YEAR)[0] == 200
    assert last_spring(low, -2.0, WHOLE_YEAR)[0] == first_autumn(low, -2.0, WHOLE_YEAR)[0] == 185
    assert freeze_free_days(low, 0.0, WHOLE_YEAR)[0] == 365 - 31
    assert freeze_free_days(year(), 0.0, WHOLE_YEAR)[0] == 365
    assert first_autumn(year(), 0.0, WHOLE_YEAR)[0] == NEVER


def test_days_free_of_freezes_lie_about_a_winter_in_the_middle() -> None:
    last, first = np.array([200, NEVER, 364, 180]), np.array([170, NEVER, 0, 180])
    assert free_days(last, first, WHOLE_YEAR).tolist() == [334, 365, 0, 364]


@pytest.mark.parametrize("name", HOT)
def test_the_weather_is_the_same_in_either_growing_year(name: str) -> None:
    """Means of each calendar month, and winters that freeze, to within the noise of a thousand."""
    latitude, longitude, month = HOT[name]
    here, usual = season_at(latitude, longitude), season_at(latitude, longitude, turned=False)
    assert (here.start, here.winter_amid) == (date(2027, month, 1), True)
    assert usual.start.month != month
    means = []
    for season in (here, usual):
        months = np.array([season.day(day).month for day in range(365)])
        means.append([season.tmin_c[:, months == m].mean() for m in range(1, 13)])
    assert np.abs(np.subtract(*means)).max() < 0.25
    lowest = [float((season.tmin_c.min(axis=1) <= 0.0).mean()) for season in (here, usual)]
    assert abs(lowest[0] - lowest[1]) < 0.07


@pytest.mark.parametrize("north", [True, False])
def test_spring_is_spring_in_either_growing_year(north: bool) -> None:
    usual = spring_share(365, SPLIT[north])
    midwinter = 184 if north else 181
    assert np.array_equal(spring_share(365, SPLIT[north], midwinter), np.roll(usual, midwinter))


def test_days_and_indices_agree_through_a_leap_year() -> None:
    season = replace(season_at(25.76, -80.2), start=date(2027, 7, 1))
    days = [season.day(index) for index in range(365)]
    assert date(2028, 2, 29) not in days
    assert (days[0], days[-1]) == (date(2027, 7, 1), date(2028, 6, 30))
    assert [season.index(day) for day in days] == list(range(365))


def test_usual_growing_years_part_where_they_did() -> None:
    for north in (True, False):
        site = Site("here", 40.0 if north else -40.0, 0.0, 0.0)
        assert site.halves == HALVES[north]
        assert site.start_month == (1 if north else 7)


def record_of(first: str, count: int, freezes: tuple[str, ...]) -> Record:
    """A daily record about Miami's normals, with freezes on some days."""
    days = np.datetime64(first) + np.arange(count)
    month = days.astype("datetime64[M]").astype(int) % 12
    mean = np.array(normals_at(25.76, -80.2).mean_c)[month]
    low = mean - 5.0 + np.random.default_rng(4).normal(0.0, 1.5, count)
    for day in freezes:
        low[int((np.datetime64(day) - days[0]).astype(int))] = -1.0
    return Record("miami.csv", days[0], low, np.maximum(low + 9.0, mean), None, ())


def test_a_record_is_cut_into_growing_years_from_july() -> None:
    """Twelve calendar years hold eleven of them; the winter's freezes are those of one year."""
    record = record_of("2001-01-01", 12 * 365 + 3, ("2004-12-20", "2005-01-30"))
    base = season_at(25.76, -80.2)
    weather = Weather(base.site, normals_at(25.76, -80.2), record)
    season = make_season(weather, 2027, None, 0)
    assert season.source == "record"
    assert season.basis == FromRecord("miami.csv", 2001, 2011, 11)
    assert season.start == date(2027, 7, 1)
    first, last = season.freeze(False), season.freeze(True)
    assert (first.share, last.share) == (1 / 11, 1 / 11)
    assert season.day(first.dates[0]).month == 12
    assert season.day(last.dates[0]).month == 1
    january = [season.index(date(2028, 1, day)) for day in range(1, 32)]
    assert season.tmin_c[:, january].mean() == pytest.approx(20.6 - 5.0, abs=0.5)


def test_days_seen_of_a_growing_year_from_july_are_held() -> None:
    record = record_of("2027-07-01", 200, ("2028-01-05",))
    base = season_at(25.76, -80.2)
    weather = Weather(base.site, normals_at(25.76, -80.2), record)
    season = make_season(weather, 2027, None, 0)
    day = season.index(date(2028, 1, 5))
    assert season.settled == 199
    assert (season.tmin_c[:, day] == -1.0).all()
    assert season.freeze(True).share == season.freeze(False).share == 1.0
    assert set(season.freeze(False).dates) == {day}


@pytest.mark.parametrize(
    ("frost", "turned"),
    [
        (None, False),
        ({"never": True}, True),
        ({"light": True}, True),
        ({"share": "5%"}, True),
        ({"share": "50%"}, False),
        ({"months": ["January"]}, False),
        ({"last_spring": "1 February"}, False),
    ],
)
def test_what_is_said_of_frost_counts(frost: dict[str, object] | None, turned: bool) -> None:
    """Guangzhou, which the model freezes in most winters; where freezes keep to months or dates,
    spring and autumn are parted."""
    place: dict[str, object] = {"latitude": 23.13, "longitude": 113.26}
    given = read_brief({"place": place | ({} if frost is None else {"frost": frost}),
                        "bed": {"shape": "circle", "diameter": "2 m"}}, today=TODAY)  # fmt: skip
    assert (given.weather.site.heat_turn == 7) is turned
