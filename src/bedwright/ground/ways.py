"""Ways of clearing a lawn compared: time, effort, cost, soil kept, cautions; one is advised."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.brief import Brief, ClearBy
from bedwright.ground.clear import SOIL_SHARE, SPADE_MINUTES_M2, thickness_of

SMOTHER_DAYS = 365
"""Ground is smothered in about a year, under paper and mulch or under black plastic (common
practice, no source; columns read give 6 to 10 months for paper and mulch, 2 months of summer heat
to a year for plastic)."""

SPRAY_DAYS = 28
"""A weedkiller takes some weeks; its label says how many (common practice, no source)."""

CUTTER_FROM_M2 = 46.0
"""From 500 square feet a hired cutter with a motor is worth fetching (sod-cutters.com, About Sod
Cutters, read)."""

CUTTER_MINUTES_M2, CUTTER_FETCH_MINUTES = 4.8, 60.0
"""1,000 square feet take 7 to 8 hours with a hired cutter, carrying away included (sod-cutters.com,
read); fetching it and taking it back (estimate)."""

COVER_MINUTES_M2 = {"smother": 6.0, "black plastic": 3.0, "herbicide": 1.0}
"""Mowing short and covering, or spraying (estimate)."""

MULCH_DEPTH_M, PAPER_SHEETS, LAP = 0.12, 8, 1.15
"""Five inches of mulch on 5 to 8 sheets of newspaper, edges lapped by a hand (The Sun-Gazette,
20 July 2022, read)."""


@dataclass(frozen=True)
class Way:
    """One way of clearing.

    ``lead_days``: from its beginning to ground that can be dug; ``takes``: what must be had, and
    ``mulch_m3``, ``cover_m2`` of it; ``cost``: where the brief says; ``soil_lost_m3``: soil carried
    off; ``in_time``: None where the brief does not say when work may begin.
    """

    key: ClearBy
    name: str
    lead_days: int
    minutes: float
    takes: str
    mulch_m3: float
    cover_m2: float
    cost: float | None
    soil_lost_m3: float
    cautions: str
    in_time: bool | None


@dataclass(frozen=True)
class Clearing:
    """The ways, the one advised and why, and the one that the plan goes by."""

    ways: tuple[Way, ...]
    advised: Way
    why: str
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
    ground = brief.ground
    if ground.found != "lawn":
        return None
    lost = area * thickness_of(brief) * SOIL_SHARE

    def way(key: ClearBy, name: str, lead: int, minutes: float, takes: str, cautions: str,
            mulch: float = 0.0, cover: float = 0.0, cost: float | None = None) -> Way:  # fmt: skip
        soil = lost if key in ("lift", "hired cutter") else 0.0
        in_time = None if days is None else lead <= days
        return Way(key, name, lead, minutes, takes, mulch, cover, cost, soil, cautions, in_time)

    ways = (
        way("lift", "lift it with a spade", 0, area * SPADE_MINUTES_M2, "a sharp spade",
            "heavy: small pieces, bent knees, rests", cost=0.0),
        way("hired cutter", "cut it with a hired cutter", 0,
            area * CUTTER_MINUTES_M2 + CUTTER_FETCH_MINUTES, "a sod cutter for half a day",
            "mark pipes, cables and sprinklers first; go by the rental firm's instructions; strips"
            " are heavy", cost=brief.prices.cutter_hire),
        way("smother", "smother it under paper and mulch", SMOTHER_DAYS,
            area * COVER_MINUTES_M2["smother"], f"paper, {PAPER_SHEETS} sheets thick, and mulch",
            "wet the mulch before spreading: its dust harms lungs", area * MULCH_DEPTH_M,
            area * LAP),
        way("black plastic", "smother it under black plastic", SMOTHER_DAYS,
            area * COVER_MINUTES_M2["black plastic"], "black plastic, weighed down",
            "slippery when wet; take it up whole before it frays", cover=area * LAP),
        way("herbicide", "kill it with a weedkiller", SPRAY_DAYS,
            area * COVER_MINUTES_M2["herbicide"], "a weedkiller allowed for this use",
            "only by its label and local law; keep children, pets and water clear of it"),
    )  # fmt: skip
    advised, why = _advise(ways, area, days)
    chosen = next((w for w in ways if w.key == ground.clear_by), advised)
    return Clearing(ways, advised, why, chosen)


def _advise(ways: tuple[Way, ...], area: float, days: int | None) -> tuple[Way, str]:
    """A cover where there is a year for it, else a cutter for large beds and a spade for others;
    never a weedkiller."""
    spade, cutter, cover = ways[:3]
    if days is not None and days >= cover.lead_days:
        return cover, "there is a year for it: least work, and the soil and the rotted grass stay"
    late = "a cover takes about a year, and there is not so long"
    if days is None:
        late = (
            "ready at once; a cover takes about a year (state dates.begin, and the season's year,"
            " if there is so long)"
        )
    if area >= CUTTER_FROM_M2:
        hours = (spade.minutes - cutter.minutes) / 60
        return cutter, f"{late}; over so large a bed it saves about {hours:.0f} hours of spade work"
    return spade, f"{late}; the bed is too small for a cutter to be worth fetching"
