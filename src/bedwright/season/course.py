"""A kind's course through the growing year: when it is sown, goes out, flowers and ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Kind
from bedwright.season.bloom import FORTNIGHTS, Bloom, bloom_of, heat_stall
from bedwright.season.ensemble import DAYS, Season
from bedwright.season.outdoors import TENDER_SOIL_C, WORKABLE_SOIL_C, outdoor_day

TRANSPLANT_SOIL_C = {"hardy": WORKABLE_SOIL_C, "half_hardy": 8.0, "tender": TENDER_SOIL_C}
"""Soil warm enough for young plants of each class (common practice, no source)."""

HARDENING_DAYS = 10
"""Days of hardening off before setting out: 7 to 14 (from memory)."""

FRESH_MARGIN_C = 1.0
"""By how much warmer a night loses plants just set out or sprouted (estimate)."""

WORTH_MOVING_WEEKS = 3.0
"""Weeks of bloom by which raising indoors must win for a kind that resents moving (estimate)."""

Method = Literal["indoors", "in_place", "bought"]


@dataclass(frozen=True)
class Course:
    """One kind's dates as indices into the growing year (below 0: before it begins).

    ``out``: set out, or sown in place; ``sow``: sown; ``risk``: odds of a killing night after
    ``out`` (at or below ``kill_c``); ``decided_by``: frost, soil warmth or the bed's readiness;
    ``killed``: day of autumn's killing frost at even odds.  A kind ``bought`` as young plants has
    the dates of one raised indoors; its ``sow`` is the nursery's.
    """

    kind: Kind
    method: Method
    sow: int
    out: int
    risk: float
    kill_c: float
    decided_by: str
    killed: int
    bloom: Bloom

    @property
    def window(self) -> slice:
        """Fortnights from setting out to the end of bloom."""
        typical = self.bloom.typical
        last = typical[1] if typical else min(self.out + 120, DAYS)
        start = min(max(self.out, 0) // 14, FORTNIGHTS - 1)
        return slice(start, max(min(last // 14 + 1, FORTNIGHTS), start + 1))

    @property
    def weeks_out(self) -> float:
        """Weeks from setting out to the day after which frost kills it in half of all years."""
        return max(self.killed - self.out, 0) / 7


def course_of(
    kind: Kind,
    season: Season,
    soil_c: NDArray[np.floating],
    ready: int,
    risk: float,
    indoors: bool,
    sow_from: int,
) -> Course:
    """The better of a kind's ways of raising: the one with the longer bloom.

    ``ready``: day the bed is dug and settled; ``risk``: frost risk accepted; ``indoors``: whether
    plants can be raised indoors; ``sow_from``: first day on which anything can be sown.
    """
    stall = heat_stall(kind, season)
    ways: list[Method] = []
    if kind.sowing.method in ("indoors", "both") and indoors:
        ways.append("indoors")
    if kind.sowing.method in ("in_place", "both"):
        ways.append("in_place")
    if not ways:
        ways.append("bought")
    courses = [_one(kind, season, soil_c, ready, risk, way, stall, sow_from) for way in ways]

    def worth(course: Course) -> float:
        moved = course.method == "indoors" and kind.sowing.resents_moving
        return round(course.bloom.weeks - WORTH_MOVING_WEEKS * moved, 1)

    return max(courses, key=lambda c: (worth(c), c.method == "in_place"))


def set_out_kill_c(kind: Kind) -> float:
    """Night temperature that loses a kind soon after it goes outside."""
    return min(kind.kill_c + FRESH_MARGIN_C, max(kind.kill_c, 0.0))


def _one(
    kind: Kind,
    season: Season,
    soil_c: NDArray[np.floating],
    ready: int,
    risk: float,
    way: Method,
    stall: NDArray[np.bool_],
    sow_from: int,
) -> Course:
    warmth = kind.sowing.soil_min_c if way == "in_place" else TRANSPLANT_SOIL_C[kind.hardiness]
    kill_c = set_out_kill_c(kind)
    out, odds, why = outdoor_day(season, soil_c, kill_c, warmth, risk)
    weeks = (kind.sowing.weeks_min + kind.sowing.weeks_max) / 2
    lead = 0 if way == "in_place" else round(weeks * 7)
    raised = sow_from + lead if way != "bought" else ready
    if max(ready, raised) > out:
        out, why = max(ready, raised), "the bed's being ready" if ready >= raised else "sowing time"
        odds = season.freeze(True, kill_c).odds_at(out)
    bloom = bloom_of(kind, season, out - lead, out, way == "in_place", stall)
    autumn = season.freeze(False, kind.kill_c).day_at(0.5)
    killed = DAYS if autumn is None else int(autumn)
    return Course(kind, way, out - lead, out, odds, kill_c, why, killed, bloom)
