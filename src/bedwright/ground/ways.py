"""Ways of clearing a lawn compared: time, effort, cost, soil kept; one is advised."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.brief import Brief, ClearBy
from bedwright.facts import Fact
from bedwright.ground.clear import thickness_of
from bedwright.ground.rates import rates


@dataclass(frozen=True)
class Way:
    """One way of clearing.

    ``lead_days``: from its beginning to ground that can be dug; ``mulch_m3``, ``cover_m2``: how
    much mulch, and paper or plastic, it takes; ``cost``: where the brief says; ``soil_lost_m3``:
    soil carried off; ``in_time``: None where the brief does not say when work may begin.
    """

    key: ClearBy
    lead_days: int
    minutes: float
    mulch_m3: float = 0.0
    cover_m2: float = 0.0
    cost: float | None = None
    soil_lost_m3: float = 0.0
    in_time: bool | None = None


@dataclass(frozen=True)
class TimeToSmother(Fact):
    """A cover is advised: there are so many days, and it takes no more than so many."""

    days: int
    cover_days: int


@dataclass(frozen=True)
class SmallForCutter(Fact):
    """A spade is advised: the area is smaller than that for which a cutter is worth fetching.

    ``days``: before digging, None where the brief does not say; ``cover_days``: what a cover takes.
    """

    area_m2: float
    cutter_from_m2: float
    days: int | None
    cover_days: int


@dataclass(frozen=True)
class LargeForSpade(Fact):
    """A cutter is advised: it saves so many minutes; ``days``, ``cover_days``: as above."""

    saved_minutes: float
    days: int | None
    cover_days: int


@dataclass(frozen=True)
class Clearing:
    """The ways, the one advised and why, and the one that the plan goes by."""

    ways: tuple[Way, ...]
    advised: Way
    why: Fact
    chosen: Way

    @property
    def lifts(self) -> bool:
        """Whether the sod is lifted and leaves the bed."""
        return self.chosen.key in ("lift", "hired cutter")

    @property
    def covers(self) -> bool:
        """Whether the grass dies under a cover."""
        return self.chosen.key in ("smother", "black plastic")


def clearing(area: float, brief: Brief, days: int | None) -> Clearing | None:
    """Ways of clearing a bed's lawn, None where there is none.

    ``area``: of the ground to be cleared, m²; ``days``: between the first day on which work may
    begin and the digging, where it is stated.
    """
    ground, rate = brief.ground, rates()
    if ground.found != "lawn":
        return None
    soil = area * thickness_of(brief) * rate["sod_soil"]
    cover, wait = area * rate["cover_lap"], int(rate["smother_wait"])
    ways = (
        _way("lift", days, area * rate["lift_sod"], cost=0.0, soil_lost_m3=soil),
        _way("hired cutter", days, area * rate["cutter"] + rate["cutter_fetch"],
             cost=brief.prices.cutter_hire, soil_lost_m3=soil),
        _way("smother", days, area * rate["cover_smother"], wait,
             mulch_m3=area * rate["mulch_depth"], cover_m2=cover),
        _way("black plastic", days, area * rate["cover_plastic"], wait, cover_m2=cover),
        _way("herbicide", days, area * rate["spray"], int(rate["spray_wait"])),
    )  # fmt: skip
    advised, why = _advise(ways, area, days)
    chosen = next((w for w in ways if w.key == ground.clear_by), advised)
    return Clearing(ways, advised, why, chosen)


def _way(
    key: ClearBy,
    days: int | None,
    minutes: float,
    lead_days: int = 0,
    *,
    mulch_m3: float = 0.0,
    cover_m2: float = 0.0,
    cost: float | None = None,
    soil_lost_m3: float = 0.0,
) -> Way:
    """A way, where there are so many days."""
    in_time = None if days is None else lead_days <= days
    return Way(key, lead_days, minutes, mulch_m3, cover_m2, cost, soil_lost_m3, in_time)


def _advise(ways: tuple[Way, ...], area: float, days: int | None) -> tuple[Way, Fact]:
    """A cover where there is a year for it, else a cutter for large beds and a spade for others;
    never a weedkiller."""
    spade, cutter, cover = ways[:3]
    if days is not None and days >= cover.lead_days:
        return cover, TimeToSmother(days, cover.lead_days)
    cutter_from = rates()["cutter_from"]
    if area >= cutter_from:
        return cutter, LargeForSpade(spade.minutes - cutter.minutes, days, cover.lead_days)
    return spade, SmallForCutter(area, cutter_from, days, cover.lead_days)
