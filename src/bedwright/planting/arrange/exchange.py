"""Kinds of the palette exchanged for others with which the drifts are arranged more cheaply.

The palette is chosen before it is known what stands beside what.  Once it is arranged, each of its
kinds is tried for others of the same height, to which all its drifts go at once.  What the
arrangement costs less is weighed against what the palette loses by itself (``palette.value``).  The
best of the exchanges that pay is made, until none does.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

import numpy as np
from numpy.typing import NDArray

from bedwright.planting.arrange.objective import W_UNUSED, Sites, reach_of, terms_of
from bedwright.planting.palette import Candidate, PaletteValue

W_PALETTE = 2.0
"""Price of each point that a palette loses, beside the cost of the arrangement (estimate; of 0.5, 1
and 2, the one that gave up least of bloom through the season in ``benchmarks/panel.py``)."""

RIVALS, FORMS_TRIED = 12, 2
"""Kinds of each height, and colours of each, that are tried, best first."""

MOST_EXCHANGES = 6


def exchanged(
    items: Sequence[Candidate],
    rivals: Sequence[Candidate],
    owners: NDArray[np.int64],
    sites: Sites,
    value: PaletteValue,
    held: Collection[str],
    last_year: frozenset[str],
    most: int,
) -> list[Candidate]:
    """The items, in their order, some of them exchanged for ``rivals``.

    ``owners``: (drifts,) numbers of items; ``value``: of items and rivals, numbered in this order;
    ``held``: keys of kinds that stay; ``last_year`` and ``most`` as in ``terms_of``.
    """
    pool, cost = _priced(items, rivals, owners, sites, value, last_year, most)
    own = list(range(len(items)))
    least = cost(own)
    for _ in range(MOST_EXCHANGES):
        found = own
        for place, new in _exchanges(pool, own, held):
            tried = [*own[:place], new, *own[place + 1 :]]
            if value.allows(tried) and (now := cost(tried)) < least - 1e-9:
                found, least = tried, now
        if found is own:
            break
        own = found
    return [pool[k] for k in own]


def replaced(
    items: Sequence[Candidate],
    rivals: Sequence[Candidate],
    owners: NDArray[np.int64],
    sites: Sites,
    value: PaletteValue,
    gone: Collection[str],
    last_year: frozenset[str],
    most: int,
) -> list[Candidate]:
    """The items, in their order, those of ``gone`` kinds each in place of the rival of its height
    with which the drifts cost least, within the budget if one can be had within it; an item for
    which there is none stays.

    ``rivals``: none of ``gone`` kinds; all else as in ``exchanged``.
    """
    pool, cost = _priced(items, rivals, owners, sites, value, last_year, most)
    own = list(range(len(items)))
    for place, item in enumerate(items):
        if item.kind.key in gone:
            others = [new for at, new in _exchanges(pool, own, ()) if at == place]
            tried = [[*own[:place], new, *own[place + 1 :]] for new in others]
            tried = [some for some in tried if value.allows(some)] or tried
            own = min(tried, key=cost, default=own)
    return [pool[k] for k in own]


def _priced(
    items: Sequence[Candidate],
    rivals: Sequence[Candidate],
    owners: NDArray[np.int64],
    sites: Sites,
    value: PaletteValue,
    last_year: frozenset[str],
    most: int,
) -> tuple[list[Candidate], Callable[[Sequence[int]], float]]:
    """Items and rivals in one row, and what it costs to have some of them, by number, in place of
    the items: the arrangement, less what they are worth as a palette."""
    from bedwright.planting.arrange.anneal import cost_of

    pool = [*items, *rivals]
    terms = terms_of(sites, pool, last_year, most, reach_of(items, rivals))

    def cost(some: Sequence[int]) -> float:
        unused = np.zeros(len(pool))
        unused[list(some)] = W_UNUSED
        arranged = cost_of(terms._replace(unused=unused), np.array(some, np.int64)[owners])
        return arranged - W_PALETTE * value.of(some)

    return pool, cost


def _exchanges(
    pool: Sequence[Candidate], own: Sequence[int], held: Collection[str]
) -> list[tuple[int, int]]:
    """Places in ``own`` and the numbers that they may be exchanged for."""
    taken = {pool[k].kind.key for k in own}
    return [
        (place, new)
        for place, old in enumerate(own)
        if pool[old].kind.key not in held
        for new, other in enumerate(pool)
        if other.tier == pool[old].tier and other.kind.key not in taken
    ]


def rivals_of(
    palette: Collection[Candidate], items: Collection[Candidate], offered: Sequence[Candidate]
) -> list[Candidate]:
    """The best offered of the items' heights, of kinds that are not in the palette."""
    taken = {c.kind.key for c in palette}
    tiers: dict[str, dict[str, int]] = {item.tier: {} for item in items}
    found = []
    for one in sorted(offered, key=lambda c: (-c.score, c.kind.key, c.colour.name)):
        key, kinds = one.kind.key, tiers.get(one.tier)
        if kinds is None or key in taken or (key not in kinds and len(kinds) >= RIVALS):
            continue
        kinds[key] = kinds.get(key, 0) + 1
        if kinds[key] <= FORMS_TRIED:
            found.append(one)
    return found
