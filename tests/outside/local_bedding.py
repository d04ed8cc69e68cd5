"""What is planted or advised at eight places, and what Bedwright says of it there.

The rows stand in ``data/local_bedding.csv`` with their sources.  Each place gets one bed, 6 by 2 m,
with nothing around it, and no wishes but the defaults.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path
from typing import NamedTuple

from bedwright.api import Inputs, make_plan, read_brief
from bedwright.plan import Plan
from bedwright.planting import (
    LeftOut,
    NoSafeDay,
    SoilTooCold,
    TooLittleBloom,
    TooShady,
    TooShortForLeaves,
    TooSunny,
)
from bedwright.planting.beds import height_limit
from bedwright.planting.palette.candidates import ruled_out

TABLE = Path(__file__).parent / "data/local_bedding.csv"
TODAY = date(2026, 11, 25)
YEAR = 2027

UNFIT = (NoSafeDay, SoilTooCold, TooLittleBloom, TooShortForLeaves, TooSunny, TooShady)
"""What says that a kind does not do here: the season or the sun.  The other reasons say that it is
not what the default wishes and the bed's size ask for: a climber, too tall, too much work."""


class Row(NamedTuple):
    """A kind that a source plants or advises at a place; ``also``: another that its general name
    covers, or ""; ``shade``: for shade or part shade."""

    place: str
    latitude: float
    longitude: float
    kind: str
    also: str
    season: str
    planted: str
    shade: bool
    source: str


@cache
def rows() -> tuple[Row, ...]:
    """Every row of the table."""
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    return tuple(
        Row(
            line["place"],
            float(line["lat"]),
            float(line["lon"]),
            line["kind"],
            line["also"],
            line["season"],
            line["planted"],
            line["shade"] == "yes",
            line["source"],
        )
        for line in csv.DictReader(lines)
    )


PLACES = tuple(dict.fromkeys(row.place for row in rows()))


@cache
def brief_at(place: str) -> Inputs:
    """The brief of a bed in the open at a place, with its catalogue and weather."""
    row = next(row for row in rows() if row.place == place)
    tables = {
        "place": {"latitude": row.latitude, "longitude": row.longitude},
        "season": {"year": YEAR},
        "bed": {"shape": "rectangle", "length": "6 m", "width": "2 m"},
    }
    return read_brief(tables, today=TODAY)


def known_at(place: str) -> tuple[Row, ...]:
    """The rows of a place whose kind is in the catalogue."""
    kinds = brief_at(place).catalogue.kinds
    return tuple(row for row in rows() if row.place == place and row.kind in kinds)


@cache
def refused(place: str) -> dict[str, LeftOut]:
    """Why each kind of a place's rows cannot be used there, of those that cannot."""
    plan, kinds = plan_at(place), brief_at(place).catalogue.kinds
    limit = height_limit(plan.outline, plan.brief.wishes.height)
    found = {}
    for row in known_at(place):
        kind, course = kinds[row.kind], plan.courses[row.kind]
        fact = ruled_out(kind, course, plan.light, plan.brief.wishes, limit)
        if fact is not None:
            found[row.kind] = fact
    return found


def unfit(place: str) -> Iterator[tuple[Row, LeftOut]]:
    """The rows of a place that are refused as unfit, but for too much sun where the row's own
    source advises shade."""
    facts = refused(place)
    for row in known_at(place):
        fact = facts.get(row.kind)
        if isinstance(fact, UNFIT) and not (isinstance(fact, TooSunny) and row.shade):
            yield row, fact


@cache
def plan_at(place: str) -> Plan:
    """The whole plan of a place's bed."""
    return make_plan(brief_at(place))


def planted(place: str) -> list[str]:
    """The kinds that the whole plan plants, each once."""
    items = plan_at(place).planting.items
    return list(dict.fromkeys(item.candidate.kind.key for item in items))


def planted_locally(place: str) -> list[str]:
    """Those of them that stand on the place's list."""
    local = {kind for row in known_at(place) for kind in (row.kind, row.also)}
    return [kind for kind in planted(place) if kind in local]
