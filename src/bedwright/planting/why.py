"""Why an item is on the plan and where it stands: a few facts of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bedwright.brief import Brief
from bedwright.facts import Fact
from bedwright.planting.palette import Candidate, likes_ph, likes_texture
from bedwright.planting.place import Drift

SHORT_OF_SUN_H = 0.25
"""Hours of sun a day by which a place falls short before that is stated (estimate)."""

TALL, LOW = 0.66, 0.34
"""Rank of an item's height, from 0 for the lowest of the bed to 1, above and below which it counts
as tall or low."""

BACK, EDGE = 0.6, 0.33
"""Depth in the bed beyond and before which an item stands at the back or by the edge."""


@dataclass(frozen=True)
class LowEnoughToEdge(Fact):
    """It stands in the edging."""


@dataclass(frozen=True)
class AskedFor(Fact):
    """The brief names the kind."""


@dataclass(frozen=True)
class SteadyFoliage(Fact):
    """It is grown for its leaves, which look the same while others flower and fade."""


@dataclass(frozen=True)
class WeeksOfBloom(Fact):
    """In a usual season."""

    weeks: float


@dataclass(frozen=True)
class ForUses(Fact):
    """Uses that the brief wishes and the kind has."""

    uses: tuple[str, ...]


@dataclass(frozen=True)
class StandsByHeight(Fact):
    """How tall it is among the items of this bed, and where it stands: at the back (of an
    ``island``, in the middle), between, or toward the edge."""

    height: Literal["tall", "middle", "low"]
    place: Literal["back", "between", "edge"]
    island: bool


@dataclass(frozen=True)
class LessSunThanLiked(Fact):
    """Mean hours of sun a day where it stands, and the least that it likes."""

    sun_h: float
    least_h: float


@dataclass(frozen=True)
class OtherSoilLiked(Fact):
    """What of the bed's soil it does not like best: its texture, its pH; None for what it does."""

    texture: str | None
    ph: float | None


def item_reasons(
    candidate: Candidate,
    own: Sequence[Drift],
    brief: Brief,
    heights_m: Sequence[float],
    island: bool,
) -> tuple[Fact, ...]:
    """Why an item is planted, strongest first.

    ``own``: its drifts; ``heights_m``: of the items of the bed's body, each once; ``island``: the
    bed is seen from all sides.
    """
    kind, ground = candidate.kind, brief.ground
    reasons: list[Fact] = [AskedFor()] if candidate.terms["asked"] else []
    typical = candidate.course.bloom.typical_weeks
    reasons.append(SteadyFoliage() if kind.is_foliage else WeeksOfBloom(float(typical)))
    uses = tuple(use for use in brief.wishes.uses if use in kind.uses.uses)
    if uses:
        reasons.append(ForUses(uses))
    reasons.append(_stands(kind.form.height_m, own, heights_m, island))
    sun_h = mean_over_plants(own, [drift.sun_h for drift in own])
    if sun_h < kind.liking.sun_min_h - SHORT_OF_SUN_H:
        reasons.append(LessSunThanLiked(sun_h, kind.liking.sun_min_h))
    texture = None if likes_texture(kind, ground) else ground.texture
    ph = None if likes_ph(kind, ground) else ground.test.ph
    if texture is not None or ph is not None:
        reasons.append(OtherSoilLiked(texture, ph))
    return tuple(reasons)


def mean_over_plants(drifts: Sequence[Drift], values: Sequence[float]) -> float:
    """Mean of a value of each drift, weighted by its plants."""
    plants = [len(drift.places) for drift in drifts]
    pairs = zip(values, plants, strict=True)
    return sum(value * count for value, count in pairs) / max(sum(plants), 1)


def _stands(
    height_m: float, own: Sequence[Drift], heights_m: Sequence[float], island: bool
) -> LowEnoughToEdge | StandsByHeight:
    """Where an item stands, and how tall it is among the others."""
    if all(drift.ribbon for drift in own):
        return LowEnoughToEdge()
    rank = sorted(heights_m).index(height_m) / max(len(heights_m) - 1, 1)
    depth = mean_over_plants(own, [drift.depth for drift in own])
    return StandsByHeight(
        "tall" if rank > TALL else "low" if rank < LOW else "middle",
        "back" if depth > BACK else "edge" if depth < EDGE else "between",
        island,
    )
