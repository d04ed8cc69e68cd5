"""Freeze dates from normals alone against published ones the model never saw.

NOAA NCEI U.S. Climate Normals 1981-2010, 60 stations (``data/freeze_dates_ncei.csv``).  The grid's
normals are of 2000-2025, half a degree warmer, which the fit to the older dates takes up.
"""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from bedwright.climate import Season, Site, Weather, make_season, normals_at

TABLE = Path(__file__).parent / "data/freeze_dates_ncei.csv"


@pytest.fixture(scope="module")
def stations() -> list[tuple[dict[str, str], Season]]:
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    found = []
    for row in csv.DictReader(lines):
        lat, lon, height = (float(row[name]) for name in ("lat", "lon", "elev_m"))
        weather = Weather(Site(row["station"], lat, lon, height), normals_at(lat, lon, height))
        found.append((row, make_season(weather, 2027, None, 0)))
    return found


def day_of(text: str, season: Season) -> int:
    month, day = (int(part) for part in text.split("/"))
    return season.index(date(2027, month, day))


def errors(stations: list[tuple[dict[str, str], Season]], spring: bool) -> np.ndarray:
    """Days by which the model's median date is late."""
    found = []
    for row, season in stations:
        published = day_of(row["last_spring" if spring else "first_autumn"], season)
        # In milder places, with a median before 15 March, few odd nights make the date.
        if day_of(row["last_spring"], season) > 73:
            median = season.freeze(spring).day_at(0.5)
            assert median is not None, row
            found.append(median - published)
    return np.array(found)


@pytest.mark.parametrize("spring", [True, False])
def test_median_dates_are_within_ten_days_rms(
    stations: list[tuple[dict[str, str], Season]], spring: bool
) -> None:
    off = errors(stations, spring)
    assert len(off) > 40
    assert np.sqrt(np.mean(off**2)) < 10
    assert abs(off.mean()) < 4


def test_hardly_a_last_frost_is_more_than_twenty_days_too_early(
    stations: list[tuple[dict[str, str], Season]],
) -> None:
    early = errors(stations, True)
    assert np.mean(early < -20) <= 0.03
    assert early.min() >= -28


@pytest.mark.parametrize("spring", [True, False])
def test_the_stated_doubt_holds_the_published_median(
    stations: list[tuple[dict[str, str], Season]], spring: bool
) -> None:
    """The 80% range of doubt (1.28 standard errors) holds four medians in five."""
    off = errors(stations, spring)
    doubt = np.array([s.doubt_days for row, s in stations if day_of(row["last_spring"], s) > 73])
    held = np.mean(np.abs(off) <= 1.2816 * doubt)
    assert 0.7 <= held <= 0.95
