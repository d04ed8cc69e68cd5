"""Which kinds and colours: fit to the spot, wishes, bloom in every fortnight, by integer
programming.

First each kind is tried against what it cannot do without (sun somewhere in the bed, season,
wishes); one that fails is left out with the reason.  The rest are scored (``candidates``), an
integer programme picks colour forms (``programme``), one of a kind or two where kinds are few, and
the kinds' colours are chosen once more, together (``recolour``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import GroundFound, Wishes
from bedwright.catalogue import Catalogue
from bedwright.growth import Course
from bedwright.light import Light, exposure_index
from bedwright.planting.palette.candidates import (
    TIERS,
    WEIGHTS,
    Candidate,
    Purse,
    anchor_of,
    has_colour,
    make_candidate,
    ruled_out,
)
from bedwright.planting.palette.harmony import in_harmony
from bedwright.planting.palette.programme import best_of_each_tier, solve

LACKS = {"light": "sun", "soil": "soil", "bloom": "weeks of bloom", "uses": "the uses wished",
         "colour": "colour in the scheme", "again": "being new beside other schemes",
         "shows": "colour that stands out from leaves and soil", "ease": "being easily tended",
         "stays": "standing through the season",
         "thrift": "cheapness"}  # fmt: skip
"""What a candidate that scores low is short of, by term."""

LEAST_PART = 0.1
"""Share of the bed below which a part's light is not looked after by itself."""


@dataclass(frozen=True)
class Palette:
    """The chosen colour forms, all that were offered, why kinds were left out (those that could
    have been chosen come last, best first), doubts about those asked for, and the cells of each
    part of the bed whose light is looked after by itself."""

    chosen: tuple[Candidate, ...]
    offered: tuple[Candidate, ...]
    left_out: dict[str, str]
    notes: tuple[str, ...]
    parts: tuple[NDArray[np.intp], ...]


class NothingFitsError(ValueError):
    """No kind fits; ``reasons`` counts what ruled them out, most first; ``relaxed``: how many would
    fit were one wish alone let go, most first."""

    def __init__(
        self, reasons: list[tuple[str, int]], relaxed: Sequence[tuple[str, int]] | None = None
    ) -> None:
        self.reasons, self.relaxed = reasons, relaxed
        said = "; ".join(f"{reason} ({count})" for reason, count in reasons[:4])
        if relaxed:
            said += ". To relax: " + ", or ".join(
                f"{field}, without which {count} would fit" for field, count in relaxed[:3]
            )
        elif relaxed is not None:
            said += ". No one wish stands in the way by itself"
        super().__init__(f"no kind in the catalogue fits: {said}")


def choose_palette(
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    ground: GroundFound,
    wishes: Wishes,
    height_limit_m: float,
    wanted: dict[str, int],
    used: frozenset[tuple[str, str]] = frozenset(),
    purse: Purse | None = None,
) -> Palette:
    """Pick the colour forms.

    ``wanted``: how many of each tier; ``courses``: by kind's key; ``used``: kinds and colours of
    schemes drawn before, which are passed over for others as good; ``purse``: where there is a
    budget.  Raises NothingFitsError.
    """
    left_out: dict[str, str] = {}
    notes: list[str] = []
    candidates: list[Candidate] = []
    anchor = anchor_of(catalogue, wishes)
    for kind in catalogue:
        reason = ruled_out(kind, courses[kind.key], light, wishes, height_limit_m)
        if reason is not None and kind.key in wishes.grow:
            notes.append(f"{kind.name}: planted as asked, though {reason}")
        elif reason is not None:
            left_out[kind.key] = reason
            continue
        for colour in kind.colours:
            seen = (kind.key, colour.name) in used
            got = make_candidate(
                kind, colour, courses[kind.key], light, ground, wishes, anchor, seen, purse
            )
            if got.terms["colour"] > 0 or kind.key in wishes.grow:
                candidates.append(got)
    keys = {c.kind.key for c in candidates}
    for kind in catalogue:
        if kind.key not in keys and kind.key not in left_out:
            left_out[kind.key] = "no colour that suits the scheme"
    if not candidates:
        counts: dict[str, int] = {}
        for reason in left_out.values():
            word = reason.split(":")[0]
            counts[word] = counts.get(word, 0) + 1
        raise NothingFitsError(
            sorted(counts.items(), key=lambda item: -item[1]),
            _relaxed(catalogue, courses, light, wishes, height_limit_m),
        )
    offered = candidates
    candidates = sorted(candidates, key=lambda c: (-c.score, c.kind.key, c.colour.name))
    candidates = [c for tier in TIERS for c in candidates if c.tier == tier]
    candidates = best_of_each_tier(candidates, wishes)
    parts = _parts(candidates, light)
    chosen = solve(candidates, wishes, wanted, parts)
    chosen = in_harmony(chosen, offered, wishes)
    taken = {c.kind.key for c in chosen}
    by_kind: dict[str, list[Candidate]] = {}
    for candidate in sorted(offered, key=lambda c: -c.score):
        by_kind.setdefault(candidate.kind.key, []).append(candidate)
    for key, own in by_kind.items():
        if key not in taken and key not in left_out:
            left_out[key] = _why_not(own, chosen)
    return Palette(tuple(chosen), tuple(offered), left_out, tuple(notes), tuple(parts))


def _relaxed(
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    wishes: Wishes,
    height_limit_m: float,
) -> list[tuple[str, int]]:
    """Wishes which, let go one at a time, would let kinds in, and how many."""
    free: dict[str, tuple[Wishes, float]] = {
        "wishes.height" if wishes.height is not None else "the bed's width": (wishes, np.inf)
    }
    for fields in (("maintenance",), ("avoid",), ("leave_out",), ("colour_scheme", "colours")):
        update = {field: Wishes.model_fields[field].default for field in fields}
        update |= {"maintenance": "much"} if fields == ("maintenance",) else {}
        changed = [f for f in fields if getattr(wishes, f) != update[f]]
        if changed:
            free[f"wishes.{changed[0]}"] = wishes.model_copy(update=update), height_limit_m
    counts = {
        field: sum(
            ruled_out(kind, courses[kind.key], light, some, limit) is None
            and has_colour(kind, some, anchor_of(catalogue, some))
            for kind in catalogue
        )
        for field, (some, limit) in free.items()
    }
    return sorted(((f, n) for f, n in counts.items() if n), key=lambda pair: -pair[1])


def _why_not(own: list[Candidate], chosen: list[Candidate]) -> str:
    """Why a kind that could grow here was not chosen."""
    best = max(own, key=lambda c: c.score)
    rivals = [c for c in chosen if c.tier == best.tier]
    if not rivals:
        return "nothing of its height is wanted in this bed"
    better = "others suit this bed and its wishes better"
    least = min(rivals, key=lambda c: c.score)
    if best.score >= least.score:
        return f"{better}: as good as they ({best.score:.1f}), but they mix families and forms"
    short = {name: WEIGHTS[name] * (least.terms[name] - best.terms[name]) for name in LACKS}
    lacks = [LACKS[n] for n in sorted(short, key=lambda n: -short[n]) if short[n] > 0.05][:2]
    words = f", for want of {' and '.join(lacks)}" if lacks else ""
    return f"{better}: it scores {best.score:.1f}, they {least.score:.1f} and more{words}"


def _parts(candidates: list[Candidate], light: Light) -> list[NDArray[np.intp]]:
    """The cells of each part of the bed that differs by its exposure while plants stand in it."""
    hours = np.mean([light.over(c.course.window) for c in candidates], axis=0)
    exposure = exposure_index(hours)
    parts = [np.flatnonzero(exposure == k) for k in np.unique(exposure)]
    large = [part for part in parts if len(part) >= LEAST_PART * len(exposure)]
    return large if len(large) > 1 else []
