"""Heights of towns against those of weather stations near them, and what they bring.

Stations: NCEI's and the Met Office's with a height (``data/freeze_dates_us.csv``,
``freeze_dates_ncei.csv``, ``uk_air_frost.csv``, ``frost_world.csv``); the towns' heights are of
another source (GeoNames' ground heights, ``tools/pack_towns.py``).
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from bedwright.climate import Site, Town, Weather, all_towns, find_town, make_season, normals_at
from bedwright.climate.ensemble import HeightFrom
from fit_minimum_model import KEPT, Place, is_mild, us_stations
from stations import read_table

KM_A_DEGREE = 111.2
TABLES = ("freeze_dates_us", "freeze_dates_ncei", "uk_air_frost", "frost_world")


@cache
def towns() -> tuple[tuple[Town, ...], np.ndarray]:
    """Towns of known height, and their (n, 2) places, degrees."""
    known = tuple(town for town in all_towns() if town.altitude_m is not None)
    return known, np.array([(town.latitude, town.longitude) for town in known])


def town_near(latitude: float, longitude: float, most_km: float) -> Town | None:
    known, spots = towns()
    off = (spots - (latitude, longitude)) * (1.0, np.cos(np.radians(latitude)))
    km = KM_A_DEGREE * np.hypot(*off.T)
    at = int(km.argmin())
    return known[at] if km[at] <= most_km else None


def test_towns_lie_as_high_as_the_stations_within_two_kilometres() -> None:
    """Airports and hills about a town make some differ; the grid's land differs by far more."""
    stations = {
        (row["lat"], row["lon"], row["elev_m"])
        for name in TABLES
        for row in read_table(KEPT / f"{name}.csv")
        if row["elev_m"]
    }
    off, grid = [], []
    for latitude, longitude, height in sorted(tuple(map(float, row)) for row in stations):
        town = town_near(latitude, longitude, 2.0)
        if town is not None and town.altitude_m is not None:
            off.append(town.altitude_m - height)
            grid.append(normals_at(latitude, longitude).altitude_m - height)
    assert len(off) >= 120
    assert np.median(np.abs(off)) <= 6
    assert abs(np.mean(off)) <= 5
    assert np.quantile(np.abs(off), 0.9) <= 35
    assert np.max(np.abs(off)) <= 120
    assert np.quantile(np.abs(grid), 0.9) >= 150


KNOWN_M = {
    "Denver, Colorado": 1609.0,
    "Mexico City": 2240.0,
    "La Paz, Bolivia": 3640.0,
    "Addis Ababa": 2355.0,
    "Lhasa": 3650.0,
    "Innsbruck": 574.0,
    "Davos": 1560.0,
    "Chamonix": 1035.0,
    "Nagano": 371.0,
    "Alice Springs": 545.0,
    "Queenstown, New Zealand": 310.0,
    "Tiberias": -200.0,
    "Amsterdam": 0.0,
}
"""Cities known for their heights (from memory; a city on slopes has many)."""


@pytest.mark.parametrize("name", KNOWN_M)
def test_towns_known_for_their_height(name: str) -> None:
    assert find_town(name)[0].altitude_m == pytest.approx(KNOWN_M[name], abs=150)


def late(place: Place, height_m: float | None) -> float:
    """Days by which the median last freeze comes late, at a height or at the grid's."""
    known: HeightFrom = "grid" if height_m is None else "stated"
    normals = normals_at(place.latitude, place.longitude, height_m)
    site = Site("", place.latitude, place.longitude, normals.altitude_m, height_from=known)
    median = make_season(Weather(site, normals), 2027, None, 0).freeze(True).day_at(0.5)
    assert median is not None
    assert place.median is not None
    return median - place.median


def test_last_freezes_in_mountains_are_nearer_at_the_towns_height() -> None:
    """Stations with a town within 5 km, winters that freeze, and rough land about."""
    by_grid, by_town = [], []
    heights = {row["station"]: row["elev_m"] for row in read_table(KEPT / "freeze_dates_us.csv")}
    for place in us_stations():
        rough = place.normals.terrain.rough_m >= 300
        if place.median is None or not heights[place.name] or is_mild(place) or not rough:
            continue
        town = town_near(place.latitude, place.longitude, 5.0)
        if town is not None:
            by_town.append(late(place, town.altitude_m))
            by_grid.append(late(place, None))
    assert len(by_town) >= 40
    of_town, of_grid = (np.sqrt(np.mean(np.square(off))) for off in (by_town, by_grid))
    print(f"{len(by_town)} stations, days rms: grid {of_grid:.1f}, town {of_town:.1f}")
    print(f"   on average late by {np.mean(by_grid):+.1f}, {np.mean(by_town):+.1f}")
    assert of_town < of_grid - 1
    assert abs(np.mean(by_town)) < abs(np.mean(by_grid))
