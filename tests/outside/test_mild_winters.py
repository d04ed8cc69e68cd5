"""Beds where summers are hot and flowers go on through winter, against when annuals are set out and
in flower there.

Sources stand in ``data/mild_winters.csv``, row by row: read in excerpts or reprints.  How many may
differ is our own choice: a month stands for its middle, and who writes of December does not say
that November would be wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd
import pytest

from bedwright.api import Inputs, read_brief
from bedwright.brief import MonthDay
from bedwright.climate import Season, make_season
from bedwright.growth import Course, Sowing, sown_again, when_of
from bedwright.plan import set_out
from conftest import TODAY

ROWS = pd.read_csv(Path(__file__).parent / "data/mild_winters.csv", comment="#")

LEAST_PLANTED, LEAST_IN_FLOWER, LEAST_FORECAST = 0.7, 0.68, 0.9
"""Shares that must agree: some below what did when it was gathered, 24 of 30, 29 of 38 and all."""


class Row(NamedTuple):
    """One row: the months that its source names, January 1."""

    place: str
    kind: str
    months: tuple[int, ...]


def rows(what: str) -> Iterator[Row]:
    """The rows of setting out (``plant``) or of flowering (``flower``)."""
    for row in ROWS[ROWS.what == what].itertuples():
        yield Row(row.place, row.kind, tuple(int(month) for month in row.months.split(";")))


@cache
def given_at(place: str) -> Inputs:
    """A bed in the open at a place, begun in time."""
    spot = ROWS[ROWS.place == place].iloc[0]
    tables = {
        "place": {"latitude": float(spot.lat), "longitude": float(spot.lon)},
        "season": {"year": 2027},
        "bed": {"shape": "rectangle", "length": "6 m", "width": "2 m"},
    }
    return read_brief(tables, today=TODAY)


@cache
def courses_at(place: str) -> tuple[Season, dict[str, Course]]:
    """Every kind's course in that bed, with a second sowing where there is one."""
    given = given_at(place)
    setting = set_out(given.brief, given.catalogue, given.weather)
    again = sown_again(setting.courses.values(), setting.season)
    return setting.season, setting.courses | again


@cache
def season_in(place: str, year: int) -> Season:
    return make_season(given_at(place).weather, year, None, 0)


def months_apart(row: Row) -> int:
    """Months from the day on which a plan sets a kind out to the nearest that the source names."""
    season, courses = courses_at(row.place)
    out = season.day(courses[row.kind].out).month
    return min(min((out - month) % 12, (month - out) % 12) for month in row.months)


def in_flower(row: Row) -> float:
    """Share of a row's months in which a plan's kind is in flower at even odds or more."""
    season, courses = courses_at(row.place)
    weekly = courses[row.kind].bloom.weekly
    month = np.array([season.day(week * 7 + 3).month for week in range(len(weekly))])
    return float(np.mean([weekly[month == m].mean() >= 0.5 for m in row.months]))


def flowers_if_set_out(row: Row, month: int) -> bool:
    """Whether a kind that is set out in a month flowers in most seasons, by ``bedwright when``."""
    kind = courses_at(row.place)[1][row.kind].kind
    out = date(2027, month, 15)
    sown = out - timedelta(weeks=round((kind.sowing.weeks_min + kind.sowing.weeks_max) / 2))
    sowing = Sowing(MonthDay(sown.month, sown.day), MonthDay(out.month, out.day))
    found = when_of(kind, sowing, 2027, lambda year: season_in(row.place, year))
    return found.share_of_seasons >= 0.5


@pytest.mark.parametrize("place", sorted(set(ROWS.place)))
def test_the_growing_year_turns_over_in_summer(place: str) -> None:
    season, _ = courses_at(place)
    assert season.start.month == (1 if season.site.latitude < 0 else 7)
    assert season.winter_amid


def test_most_kinds_are_set_out_when_they_are_there() -> None:
    """Missed: kinds that heat does not stop, which a plan sets out in mid-July where sources name
    May or September; and what gardeners leave until the coolest month."""
    apart = {row: months_apart(row) for row in rows("plant")}
    missed = [f"{row.place} {row.kind} {months}" for row, months in apart.items() if months > 1]
    assert len(missed) <= (1.0 - LEAST_PLANTED) * len(apart), missed


def test_most_kinds_flower_when_they_do_there() -> None:
    """Missed: pansies and snapdragons of South Florida, which the model's warm winter days stop;
    kinds of Brisbane's summer that a plan sows in January, after the summer that a list has them
    for; and petunias, pot marigolds and pinks, which one list there has for the worst heat."""
    share = {row: in_flower(row) for row in rows("flower")}
    missed = [f"{row.place} {row.kind} {row.months} {s:.2f}" for row, s in share.items() if s < 0.5]
    assert len(missed) <= (1.0 - LEAST_IN_FLOWER) * len(share), missed


def test_what_is_set_out_as_advised_flowers() -> None:
    found = {row: any(flowers_if_set_out(row, m) for m in row.months) for row in rows("plant")}
    assert np.mean(list(found.values())) >= LEAST_FORECAST, [r for r, ok in found.items() if not ok]


def test_cool_season_kinds_wait_until_the_heat_is_going() -> None:
    """What one place has for autumn and winter alone is not set out in its summer."""
    season, courses = courses_at("South Florida")
    cool = [row.kind for row in rows("plant") if set(row.months) <= {10, 11, 12, 1, 2}]
    outs = {kind: season.day(courses[kind].out).month for kind in cool if kind != "dusty_miller"}
    assert len(outs) >= 12
    assert set(outs.values()) <= {10, 11, 12, 1}
