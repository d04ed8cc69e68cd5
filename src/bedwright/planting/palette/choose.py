"""Which kinds and colours: fit to the spot, wishes, bloom in every fortnight, by integer
programming.

First each kind is tried against what it cannot do without (sun somewhere in the bed, season,
wishes); one that fails is left out with the reason.  The rest are scored (``candidates``), an
integer programme picks colour forms (``programme``), one of a kind or two where kinds are few, and
the kinds' colours are chosen once more, together (``recolour``).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Wishes
from bedwright.facts import Fact
from bedwright.light import Light, exposure_index
from bedwright.planting.palette.candidates import (
    TIERS,
    WEIGHTS,
    Candidate,
    Offer,
    anchor_of,
    has_colour,
    make_candidate,
)
from bedwright.planting.palette.harmony import in_harmony
from bedwright.planting.palette.left_out import (
    CostsTooMuch,
    Counted,
    CrowdedOut,
    HeightNotWanted,
    LeftOut,
    NoColourThatSuits,
    NothingFits,
    NothingFitsError,
    OutScored,
    PlantedThough,
    Relaxed,
)
from bedwright.planting.palette.programme import best_of_each_tier, solve, solve_within
from bedwright.planting.palette.purse import Purse

LACKS = (
    "light", "soil", "bloom", "uses", "colour", "again", "shows", "ease", "stays", "thrift",
    "trade",
)  # fmt: skip
"""Terms of which a candidate that scores low may be short."""

LEAST_LACK, MOST_LACKS = 0.05, 2
"""A lack large enough to be named, in points of the score, and how many are named."""

LEAST_PART = 0.1
"""Share of the bed below which a part's light is not looked after by itself."""


@dataclass(frozen=True)
class Palette:
    """The chosen colour forms, all that were offered, why kinds were left out (those that could
    have been chosen come last, best first), doubts about those asked for, the cells of each part
    of the bed whose light is looked after by itself, the purse that it is held to, and how many
    forms it lacks for the budget."""

    chosen: tuple[Candidate, ...]
    offered: tuple[Candidate, ...]
    left_out: dict[str, LeftOut]
    notes: tuple[Fact, ...]
    parts: tuple[NDArray[np.intp], ...]
    purse: Purse | None
    dropped: int


def choose_palette(
    offer: Offer,
    height_limit_m: float,
    wanted: dict[str, int],
    used: frozenset[tuple[str, str]] = frozenset(),
    purse: Purse | None = None,
) -> Palette:
    """Pick the colour forms.

    ``wanted``: how many of each tier; ``used``: kinds and colours of schemes drawn before, which
    are passed over for others as good; ``purse``: where there is a budget.  Raises
    NothingFitsError.
    """
    wishes = offer.wishes
    ruled_out = {kind.key: offer.rules_out(kind, height_limit_m) for kind in offer.catalogue}
    offered = _offered(offer, ruled_out, used, purse)
    suits = {c.kind.key for c in offered}
    unsuited = NoColourThatSuits(wishes.colour_scheme, wishes.colours)
    left_out = {key: reason or unsuited for key, reason in ruled_out.items() if key not in suits}
    if not offered:
        raise NothingFitsError(NothingFits(_counted(left_out), _relaxed(offer, height_limit_m)))
    notes = tuple(
        PlantedThough(key, offer.catalogue.kinds[key].name, reason)
        for key, reason in ruled_out.items()
        if reason is not None and key in suits
    )
    candidates = sorted(offered, key=lambda c: (-c.score, c.kind.key, c.colour.name))
    candidates = [c for tier in TIERS for c in candidates if c.tier == tier]
    candidates = best_of_each_tier(candidates, wishes)
    parts = _parts(candidates, offer.light)
    first = solve(candidates, wishes, wanted, parts)
    kept = first
    if purse is not None and purse.over(first):
        kept = solve_within(purse, candidates, wishes, wanted, parts) or first
    chosen = in_harmony(kept, offered, wishes)
    purse = None if purse is None else purse.for_palette(chosen)
    return Palette(
        tuple(chosen),
        tuple(offered),
        left_out | _not_chosen(offered, chosen, purse),
        notes,
        tuple(parts),
        purse,
        len(first) - len(kept),
    )


def _offered(
    offer: Offer,
    ruled_out: dict[str, LeftOut | None],
    used: frozenset[tuple[str, str]],
    purse: Purse | None,
) -> list[Candidate]:
    """Colour forms that could be chosen: of the kinds that are not ruled out and have a colour that
    suits, and of those that the brief asks for."""
    anchor, asked = anchor_of(offer.catalogue, offer.wishes), offer.wishes.grow
    forms = (
        make_candidate(offer, kind, colour, anchor, (kind.key, colour.name) in used, purse)
        for kind in offer.catalogue
        if ruled_out[kind.key] is None or kind.key in asked
        for colour in kind.colours
    )
    return [form for form in forms if form.terms["colour"] > 0 or form.kind.key in asked]


def _counted(left_out: dict[str, LeftOut]) -> tuple[Counted, ...]:
    """How many kinds each sort of reason rules out, most first."""
    counts = Counter(reason.sort for reason in left_out.values())
    return tuple(Counted(sort, count) for sort, count in counts.most_common())


def _relaxed(offer: Offer, height_limit_m: float) -> tuple[Relaxed, ...]:
    """Wishes which, let go one at a time, would let kinds in, and how many, most first."""
    wishes = offer.wishes
    free: dict[str | None, tuple[Wishes, float]] = {
        None if wishes.height is None else "wishes.height": (wishes, np.inf)
    }
    for fields in (("maintenance",), ("avoid",), ("leave_out",), ("colour_scheme", "colours")):
        update = {field: Wishes.model_fields[field].default for field in fields}
        update |= {"maintenance": "much"} if fields == ("maintenance",) else {}
        changed = [f for f in fields if getattr(wishes, f) != update[f]]
        if changed:
            free[f"wishes.{changed[0]}"] = wishes.model_copy(update=update), height_limit_m
    found = [
        Relaxed(field, _fitting(offer._replace(wishes=some), limit))
        for field, (some, limit) in free.items()
    ]
    return tuple(sorted((one for one in found if one.kinds), key=lambda one: -one.kinds))


def _fitting(offer: Offer, height_limit_m: float) -> int:
    """How many kinds fit."""
    anchor = anchor_of(offer.catalogue, offer.wishes)
    return sum(
        offer.rules_out(kind, height_limit_m) is None and has_colour(kind, offer.wishes, anchor)
        for kind in offer.catalogue
    )


def _not_chosen(
    offered: Sequence[Candidate], chosen: Sequence[Candidate], purse: Purse | None
) -> dict[str, LeftOut]:
    """Why the kinds that could grow here were not chosen, best first."""
    taken = {c.kind.key for c in chosen}
    best: dict[str, Candidate] = {}
    for candidate in sorted(offered, key=lambda c: -c.score):
        best.setdefault(candidate.kind.key, candidate)
    return {key: _why_not(one, chosen, purse) for key, one in best.items() if key not in taken}


def _why_not(best: Candidate, chosen: Sequence[Candidate], purse: Purse | None = None) -> LeftOut:
    """Why a kind that could grow here, in its best form, was not chosen."""
    rivals = [c for c in chosen if c.tier == best.tier]
    if not rivals:
        return HeightNotWanted(best.tier)
    least = min(rivals, key=lambda c: c.score)
    if best.score >= least.score and purse is not None:
        over = purse.over([best if c is least else c for c in chosen])
        if over > 0.0:
            return CostsTooMuch(over, purse.currency)
    if best.score >= least.score:
        return CrowdedOut(best.score)
    short = {name: WEIGHTS[name] * (least.terms[name] - best.terms[name]) for name in LACKS}
    lacks = sorted((n for n in LACKS if short[n] > LEAST_LACK), key=lambda n: -short[n])
    return OutScored(best.score, least.score, tuple(lacks[:MOST_LACKS]))


def _parts(candidates: list[Candidate], light: Light) -> list[NDArray[np.intp]]:
    """The cells of each part of the bed that differs by its exposure while plants stand in it."""
    hours = np.mean([light.over(c.course.window) for c in candidates], axis=0)
    exposure = exposure_index(hours)
    parts = [np.flatnonzero(exposure == k) for k in np.unique(exposure)]
    large = [part for part in parts if len(part) >= LEAST_PART * len(exposure)]
    return large if len(large) > 1 else []
