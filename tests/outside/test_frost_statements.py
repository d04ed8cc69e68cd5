"""Last and first air frosts from normals alone, against what is published of whole regions.

``data/frost_statements.csv``: Ireland (its mean dates by coast and midlands), Poland, the interior
of South Africa, Auckland.  None of it was fitted.  With Canada, Britain, Switzerland and Austria
(``test_frost_world``) these are the countries outside the United States for which such figures
were found; most are of colder decades than the normals.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from bedwright.climate import Season, Site, Weather, make_season, normals_at
from stations import read_table

ROWS = read_table(Path(__file__).parent / "data/frost_statements.csv")
DATES = [row for row in ROWS if row["measure"] != "share"]


def weather_of(row: dict[str, str]) -> Weather:
    spot = float(row["lat"]), float(row["lon"])
    normals = normals_at(*spot, float(row["elev_m"]))
    return Weather(Site(row["place"], *spot, normals.altitude_m), normals)


def index_of(day: str, season: Season) -> int:
    """Index of a month-day within the growing year."""
    month, of_month = map(int, day.split("-"))
    index = season.index(date(season.start.year, month, of_month))
    return index if index >= 0 else index + 365


def miss_days(row: dict[str, str], season: Season) -> float:
    """Days by which the median lies outside what is published."""
    odds = season.freeze(row["measure"] == "mean_last")
    median = odds.day_at(odds.share / 2)
    assert median is not None
    first, last = (index_of(row[end], season) for end in ("first", "last"))
    return max(first - median, median - last, 0.0)


def test_dates_lie_within_the_doubt() -> None:
    found = []
    for row in DATES:
        season = make_season(weather_of(row), 2027, None, 0)
        found.append((miss_days(row, season), season.doubt_days))
    assert len(found) >= 12
    assert sum(miss <= doubt for miss, doubt in found) >= 2 / 3 * len(found)
    assert max(miss for miss, _ in found) <= 21
    assert sum(miss <= 10 for miss, _ in found) >= 0.6 * len(found)


@pytest.mark.parametrize("row", [row for row in ROWS if row["measure"] == "share"],
                         ids=lambda row: row["place"])  # fmt: skip
def test_a_city_said_to_be_one_hardly_freezes(row: dict[str, str]) -> None:
    weather = weather_of(row)
    open_country = make_season(weather, 2027, None, 0)
    town = make_season(replace(weather, situation=("town",)), 2027, None, 0)
    assert open_country.share_if(-open_country.doubt_c) <= float(row["last"]), "within the doubt"
    assert town.freeze(True).share <= float(row["last"])
