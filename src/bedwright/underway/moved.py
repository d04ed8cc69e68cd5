"""What moved, and why: a line for each cause, the most telling dates first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np

from bedwright.climate import DAYS, Season
from bedwright.facts import Fact
from bedwright.journal import Entry
from bedwright.underway.coming import Cause, Coming

LEAST_NIGHTS = 7
"""Nights with a minimum from which they are compared to the usual: fewer are often just those with
a frost (estimate)."""

LEAST_DAYS = 3
"""Days by which a date must have moved for that to be said (estimate)."""

MOST_NAMED = 3


@dataclass(frozen=True)
class Move(Fact):
    """One date that moved, by so many days (below 0: sooner), to a day."""

    name: str
    what: Literal["out", "flower"]
    days: int
    to: date


@dataclass(frozen=True)
class MovedBy(Fact):
    """Dates that moved by one cause: the farthest, and how many ``more``."""

    cause: Cause
    moves: tuple[Move, ...]
    more: int


@dataclass(frozen=True)
class WeatherSoFar(Fact):
    """Nights, or days, that were written down, so many, were on average so much warmer than is
    usual then (below 0: colder), °C."""

    nights: int
    warmer_c: float


@dataclass(frozen=True)
class NothingMoved(Fact):
    """No date that is still to come has moved by more than a few days."""


def moved_of(coming: Mapping[str, Coming], today: date) -> tuple[Fact, ...]:
    """A fact for each cause that moved anything: of what is still to come, and of first flowers
    that were seen; at most three, those that moved the most."""
    found = dict[Cause, list[Move]]()
    for one in coming.values():
        for cause, days in one.out_moved.items():
            if abs(days) >= LEAST_DAYS and one.out >= today:
                move = Move(one.item.name, "out", days, one.out)
                found.setdefault(cause, []).append(move)
        for cause, days in one.moved.items():
            seen = cause == "seen"
            due = one.first is not None and (one.first[1] >= today or seen)
            if abs(days) >= LEAST_DAYS and due and one.first is not None:
                move = Move(one.item.name, "flower", days, one.first[1])
                found.setdefault(cause, []).append(move)
    lines = [_line(cause, moves) for cause, moves in found.items()]
    lines.sort(key=lambda line: -max(abs(move.days) for move in line.moves))
    return tuple(lines[:3]) or (NothingMoved(),)


def _line(cause: Cause, moves: list[Move]) -> MovedBy:
    far = sorted(moves, key=lambda move: (-abs(move.days), move.to, move.name))
    named = list[Move]()
    for move in far:
        if all(move.name != had.name for had in named):
            named.append(move)
    return MovedBy(cause, tuple(named[:MOST_NAMED]), max(len(named) - MOST_NAMED, 0))


def weather_so_far(base: Season, entries: Iterable[Entry]) -> WeatherSoFar | None:
    """How the nights whose minima were written down compare to the usual; None of few."""
    known = {base.index(one.day): one.tmin_c for one in entries if one.tmin_c is not None}
    at = [index for index in known if 0 <= index < DAYS]
    if len(at) < LEAST_NIGHTS:
        return None
    usual = np.asarray(base.tmin_c[:, at], float).mean(axis=0)
    return WeatherSoFar(len(at), float(np.mean([known[n] for n in at] - usual)))
