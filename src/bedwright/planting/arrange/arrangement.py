"""Which item stands in which drift: arranged, rearranged for what the brief asks, given room."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Brief
from bedwright.catalogue import Catalogue
from bedwright.geometry import Outline
from bedwright.growth import Course
from bedwright.light import Light
from bedwright.planting.arrange.changes import (
    ChangeError,
    NothingInstead,
    read_changes,
    staying,
)
from bedwright.planting.arrange.energy import Terms
from bedwright.planting.arrange.exchange import exchanged, replaced, rivals_of
from bedwright.planting.arrange.objective import LEAST_PLANTS, Sites, sites_of, terms_of
from bedwright.planting.arrange.reasons import reasons_of
from bedwright.planting.arrange.recolour import in_place
from bedwright.planting.palette import Candidate, Offer, Palette, PaletteValue, candidate_of
from bedwright.planting.place import Cut, Drift, Part

STEPS, MOST_STEPS = 500, 24_000
"""Moves that each restart of the annealing tries: so many for each drift and drift beside it, up to
so many for each drift (``benchmarks/planting.py``)."""

AT_FIRST = 0.25
"""Share of them tried while the palette may yet change."""

LEAST_DRIFT_M2 = 1e-6
"""Area below which a drift is nothing but a cut's remnant."""


class Given(NamedTuple):
    """All that a planting is made from; ``spent``: of the budget, on other things."""

    brief: Brief
    outline: Outline
    catalogue: Catalogue
    courses: dict[str, Course]
    light: Light
    seed: int
    spent: float = 0.0

    @property
    def last_year(self) -> frozenset[str]:
        """Rotation groups that grew in the bed last year."""
        kinds, last = self.catalogue.kinds, self.brief.wishes.last_year
        return frozenset(kinds[key].safety.rotation for key in last) - {"none"}

    @property
    def offer(self) -> Offer:
        """What colour forms are chosen from."""
        brief = self.brief
        return Offer(self.catalogue, self.courses, self.light, brief.ground, brief.wishes)

    def find(self, key: str, colour: str | None) -> Candidate:
        """A kind in the colour named, or in that which suits best."""
        return candidate_of(self.offer, key, colour)


class Arranged(NamedTuple):
    """Drifts and the item of each, with what the arrangement's costs are made of."""

    cut: Cut
    items: list[Candidate]
    owners: NDArray[np.int64]
    sites: Sites
    terms: Terms


def arrange(given: Given, cut: Cut, items: list[Candidate], palette: Palette) -> Arranged:
    """The items in the drifts, some of them exchanged for others of the palette's offer and their
    colours chosen once more when they have their places."""
    from bedwright.planting.arrange.anneal import anneal

    every = np.arange(len(cut.drifts))
    sites = sites_of(given.outline, given.light, list(cut.drifts))
    terms = _terms(given, sites, items)
    first = np.argmin(terms.local, axis=1)
    owners, _ = anneal(terms, every, first, steps_for(len(every), AT_FIRST), given.seed)
    better = _revised(given, sites, items, palette, owners)
    if any(new is not old for new, old in zip(better, items, strict=True)):
        items, terms = better, _terms(given, sites, better)
    owners, _ = anneal(terms, every, owners, steps_for(len(every)), given.seed)
    return Arranged(cut, items, owners, sites, terms)


def _revised(
    given: Given,
    sites: Sites,
    items: list[Candidate],
    palette: Palette,
    owners: NDArray[np.int64],
) -> list[Candidate]:
    """Kinds and colours that go better together where they stand."""
    wishes = given.brief.wishes
    rivals = rivals_of(palette.chosen, items, palette.offered)
    value = _value(given, items, rivals, palette)
    most, last_year = most_uses(sites, items), given.last_year
    kinds = exchanged(items, rivals, owners, sites, value, wishes.grow, last_year, most)
    return in_place(kinds, palette.offered, owners, sites, wishes)


def _value(
    given: Given, items: list[Candidate], rivals: list[Candidate], palette: Palette
) -> PaletteValue:
    """What some of the items and rivals, numbered in this order, are worth beside the edging."""
    fixed = [c for c in palette.chosen if all(c is not item for item in items)]
    total = len(items) + len(fixed)
    wishes = given.brief.wishes
    return PaletteValue([*items, *rivals], fixed, wishes, palette.parts, total, palette.purse)


def without_kinds(
    given: Given, first: Arranged, palette: Palette, gone: frozenset[str]
) -> Arranged:
    """An arrangement in whose drifts of ``gone`` kinds others stand, and all else as it was.
    Raises ChangeError where there is no other."""
    if not any(item.kind.key in gone for item in first.items):
        return first
    held = [*palette.chosen, *first.items]
    rivals = [c for c in rivals_of(held, first.items, palette.offered) if c.kind.key not in gone]
    value = _value(given, first.items, rivals, palette)
    items = replaced(
        first.items, rivals, first.owners, first.sites, value, gone, given.last_year,
        most_uses(first.sites, first.items),
    )  # fmt: skip
    for item in items:
        if item.kind.key in gone:
            raise ChangeError(NothingInstead(item.kind.key, item.kind.name))
    # What is new has whichever of its colours goes best with those that stay as they are.
    stay = {item.kind.key for item in first.items} - gone
    kept = [item for item in items if item.kind.key in stay]
    forms = [*kept, *(c for c in palette.offered if c.kind.key not in stay)]
    items = in_place(items, forms, first.owners, first.sites, given.brief.wishes)
    return first._replace(items=items, terms=_terms(given, first.sites, items))


def rearrange(given: Given, first: Arranged) -> Arranged:
    """An arrangement with the changes that the brief asks for, no more moved than pays."""
    from bedwright.planting.arrange.anneal import anneal

    cut, owners = first.cut, first.owners
    asked = read_changes(given.brief.changes, cut, owners, first.items, given.find)
    if (asked.times != 1.0).any():
        cut = cut.resized(asked.times)
    sites = sites_of(given.outline, given.light, list(cut.drifts))
    # What is known of the plants that stand in a drift holds while it keeps its size.
    filled = np.where(asked.times == 1.0, first.sites.filled, sites.filled)
    sites = replace(sites, filled=filled)
    terms = _terms(given, sites, asked.items)
    start = owners.copy()
    start[list(asked.held)] = list(asked.held.values())
    free = np.setdiff1d(np.arange(len(start)), list(asked.held))
    if len(free):
        steps, grow = steps_for(len(start)), given.brief.wishes.grow
        # A kind whose drift is wanted for another need not turn out a third, unless asked for.
        kept = np.array([item.kind.key in grow for item in asked.items])
        calm = staying(terms, owners)._replace(unused=np.where(kept, terms.unused, 0.0))
        start, _ = anneal(calm, free, start, steps, given.seed)
    return Arranged(cut, asked.items, start, sites, terms)


def parts_of(given: Given, arranged: Arranged, rivals: list[Candidate]) -> list[Part]:
    """What is to be set in each drift, and why; ``rivals``: others held against the items."""
    items = arranged.items
    reasons = reasons_of(
        arranged.terms, arranged.sites, items, arranged.owners, given.last_year, rivals
    )
    return [
        Part(polygon, items[own], False, reason, patch)
        for patch, (polygon, own, reason) in enumerate(
            zip(arranged.cut.drifts, arranged.owners, reasons, strict=True)
        )
        if polygon.area > LEAST_DRIFT_M2
    ]


def thin_drifts(arranged: Arranged, drifts: list[Drift]) -> dict[int, int]:
    """The drifts in which fewer plants stand than make a group, and how many."""
    plants = {drift.patch: len(drift.places) for drift in drifts}
    counts = {
        d: plants.get(d, 0)
        for d, patch in enumerate(arranged.cut.drifts)
        if patch.area > LEAST_DRIFT_M2
    }
    return {d: count for d, count in counts.items() if count < LEAST_PLANTS}


def with_room(given: Given, first: Arranged, thin: dict[int, int]) -> Arranged:
    """An arrangement that knows how few plants stand in some drifts for their shape and for what
    their neighbours take, and has smaller kinds there where that pays."""
    from bedwright.planting.arrange.anneal import anneal

    filled = first.sites.filled.copy()
    for d, count in thin.items():
        ground_m2 = first.items[first.owners[d]].kind.form.ground_m2
        filled[d] = min(filled[d], count * ground_m2 / first.sites.area_m2[d])
    sites = replace(first.sites, filled=filled)
    terms = terms_of(sites, first.items, given.last_year, first.terms.most)
    every = np.arange(len(first.owners))
    steps = steps_for(len(every))
    owners, _ = anneal(terms, every, first.owners, steps, given.seed)
    return first._replace(sites=sites, terms=terms, owners=owners)


def _terms(given: Given, sites: Sites, items: list[Candidate]) -> Terms:
    """The costs of these items in these drifts."""
    return terms_of(sites, items, given.last_year, most_uses(sites, items))


def steps_for(drifts: int, share: float = 1.0) -> int:
    """Moves of each restart of the annealing, or a share of them."""
    return int(share * drifts * min(STEPS * drifts, MOST_STEPS))


def most_uses(sites: Sites, items: list[Candidate]) -> int:
    """Drifts of one item beyond which each has a price: an even share and one."""
    return int(np.ceil(len(sites.depth) / len(items))) + 1
