"""A kind's course through the growing year: when it is sown, goes out, flowers and ends."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Kind
from bedwright.climate import DAYS, FORTNIGHTS, Season
from bedwright.growth.bloom import Bloom, Way, blooms_of
from bedwright.growth.outdoors import TRANSPLANT_SOIL_C, DecidedBy, Outdoors

HARDENING_DAYS = 10
"""Days of hardening off before setting out: 7 to 14 (from memory)."""

FRESH_MARGIN_C = 1.0
"""By how much warmer a night loses plants just set out or sprouted (estimate)."""

LEAST_GAIN_WEEKS = 3.0
"""Weeks of bloom by which raising indoors must win for a kind that resents moving (estimate)."""

Method = Literal["indoors", "in_place", "bought"]


@dataclass(frozen=True)
class Dated:
    """One kind's dates as indices into the growing year (below 0: before it begins).

    ``out``: set out, or sown in place; ``sow``: sown; ``risk``: odds of a killing night after
    ``out`` (at or below ``kill_c``); ``decided_by``: what decided ``out``; ``killed``: day of
    autumn's killing frost at even odds.  A kind ``bought`` as young plants has the dates of one
    raised indoors; its ``sow`` is the nursery's.
    """

    kind: Kind
    method: Method
    sow: int
    out: int
    risk: float
    kill_c: float
    decided_by: DecidedBy
    killed: int

    @property
    def way(self) -> Way:
        """How it is raised, as its bloom is worked out from it."""
        return Way(self.kind, self.sow, self.out, in_place=self.method == "in_place")


@dataclass(frozen=True)
class Course(Dated):
    """One kind's course: its dates, and its bloom in every season."""

    bloom: Bloom

    @cached_property
    def window(self) -> slice:
        """Fortnights from setting out to the end of bloom."""
        typical = self.bloom.typical
        last = typical[1] if typical else min(self.out + 120, DAYS)
        start = min(max(self.out, 0) // 14, FORTNIGHTS - 1)
        return slice(start, max(min(last // 14 + 1, FORTNIGHTS), start + 1))

    @cached_property
    def gone(self) -> NDArray[np.float64]:
        """(26,) share of its room that it covered before and leaves bare in each fortnight."""
        cover = self.bloom.cover.reshape(FORTNIGHTS, 2).mean(axis=1)
        return np.asarray(np.maximum.accumulate(cover) - cover)

    @property
    def stays(self) -> float:
        """Share of its room that it keeps, from setting out to the frost that would kill it."""
        start = min(max(self.out, 0) // 14, FORTNIGHTS - 1)
        end = min(max(self.killed // 14, start + 1), FORTNIGHTS)
        return float(1.0 - self.gone[start:end].mean())

    @property
    def weeks_out(self) -> float:
        """Weeks from setting out to the day after which frost kills it in half of all years."""
        return max(self.killed - self.out, 0) / 7


def courses_of(
    kinds: Iterable[Kind],
    season: Season,
    soil_c: NDArray[np.floating],
    ready: int,
    risk: float,
    indoors: bool,
    sow_from: int,
) -> dict[str, Course]:
    """The better of each kind's ways of raising, the one with the longer bloom, by key.

    ``ready``: day the bed is dug and settled; ``risk``: frost risk accepted; ``indoors``: whether
    plants can be raised indoors; ``sow_from``: first day on which anything can be sown.
    """
    outdoors = Outdoors(season, soil_c, risk)
    dated = [
        _dated(kind, method, outdoors, ready, sow_from)
        for kind in kinds
        for method in _methods(kind, indoors)
    ]
    blooms = blooms_of([dates.way for dates in dated], season)
    best: dict[str, Course] = {}
    for dates, bloom in zip(dated, blooms, strict=True):
        course = _flowering(dates, bloom)
        known = best.get(course.kind.key)
        if known is None or _worth(course) > _worth(known):
            best[course.kind.key] = course
    return best


def set_out_kill_c(kind: Kind) -> float:
    """Night temperature that loses a kind soon after it goes outside."""
    return min(kind.kill_c + FRESH_MARGIN_C, max(kind.kill_c, 0.0))


def _methods(kind: Kind, indoors: bool) -> list[Method]:
    """The ways a kind can be raised here."""
    ways: list[Method] = []
    if kind.sowing.method in ("indoors", "both") and indoors:
        ways.append("indoors")
    if kind.sowing.method in ("in_place", "both"):
        ways.append("in_place")
    return ways or ["bought"]


def _worth(course: Course) -> tuple[float, bool]:
    """Weeks of bloom, less what moving costs a kind that resents it; ties go to sowing in place."""
    moved = course.method == "indoors" and course.kind.sowing.resents_moving
    weeks = round(course.bloom.weeks - LEAST_GAIN_WEEKS * moved, 1)
    return weeks, course.method == "in_place"


def _flowering(dates: Dated, bloom: Bloom) -> Course:
    """A kind's dates with its bloom."""
    values = {field.name: getattr(dates, field.name) for field in fields(Dated)}
    return Course(**values, bloom=bloom)


def _dated(kind: Kind, method: Method, outdoors: Outdoors, ready: int, sow_from: int) -> Dated:
    """A kind's dates by one way of raising."""
    in_place, season = method == "in_place", outdoors.season
    warmth = kind.sowing.soil_min_c if in_place else TRANSPLANT_SOIL_C[kind.hardiness]
    kill_c = set_out_kill_c(kind)
    out, risk, decided_by = outdoors.day(kill_c, warmth)
    weeks = (kind.sowing.weeks_min + kind.sowing.weeks_max) / 2
    lead = 0 if in_place else round(weeks * 7)
    raised = sow_from + lead if method != "bought" else ready
    if max(ready, raised) > out:
        out, decided_by = max(ready, raised), "bed" if ready >= raised else "sowing"
        risk = season.freeze(True, kill_c).odds_at(out)
    if out >= season.split:
        # Spring has no odds any more; those of the coming weeks count.
        risk = season.odds_of_night(kill_c, out)
    autumn = season.freeze(False, kind.kill_c).day_at(0.5)
    return Dated(
        kind=kind,
        method=method,
        sow=out - lead,
        out=out,
        risk=risk,
        kill_c=kill_c,
        decided_by=decided_by,
        killed=DAYS if autumn is None else int(autumn),
    )
