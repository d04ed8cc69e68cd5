"""What an arrangement of kinds in drifts costs: the terms, and the parts of the sum, compiled.

An arrangement gives every drift one item.  Its cost, to be made small, is the sum of

- what each item costs in its drift (``local``);
- for each pair of neighbours what their items cost beside one another (``pair``), and what of the
  one behind the one before hides from the onlooker's eye, and how much taller it stands;
- for every drift and fortnight, how far the bloom of the drift and those around it falls short of
  what is wanted, a convex price, so that an even season costs less than a full and an empty one;
- for every item, a price for no use and one for each use beyond ``most``, which together are convex
  in the number of uses.

Being convex in the counts and sums, all of it can be bounded from below by a linear programme
(``bound``).  What the numbers are is settled in ``objective``.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.compiled import compiled

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

EYE_M = 1.6
"""Height of an onlooker's eye above the bed (common practice, no source)."""

SHOWN = 0.5
"""Share of a plant's height, from the top, that ought to be seen over the one before it."""


class Terms(NamedTuple):
    """All that the cost of an arrangement depends on.

    ``local``: (drifts, items); ``pair``: (items, items), alike both ways; ``height``: (items,)
    metres.  Links of drift d are ``first[d]`` to ``first[d + 1]``: ``other``, the neighbour;
    ``stands``: 0 beside it, 1 before it, 2 behind it; ``back``: the link the other way; ``near``
    and ``far``: metres from the eye, along the ground, to the one before and the one behind;
    ``hide``: price of hiding all that ought to be seen; ``order``: of standing a metre taller than
    the one behind.  ``odds``: (items, fortnights) of being in bloom; ``want``: (fortnights,) share
    of the ground around a drift that should be; ``share``: (links,) of the ground around a drift
    that each of its links holds; ``own``: (drifts,) that it holds itself; ``price``: (drifts,) of
    one fortnight wholly out of bloom.  ``unused``: (items,) price of no use; ``over``: of a use
    beyond ``most``.
    """

    local: Floats
    pair: Floats
    height: Floats
    first: Ints
    other: Ints
    stands: Ints
    back: Ints
    near: Floats
    far: Floats
    hide: float
    order: float
    odds: Floats
    want: Floats
    share: Floats
    own: Floats
    price: Floats
    unused: Floats
    over: float
    most: int


@compiled()
def hidden(before_m: float, behind_m: float, near_m: float, far_m: float) -> float:
    """How much of what ought to be seen of a plant the one before it hides, 0 to 1, by the line
    from the eye over the front plant's top."""
    line = EYE_M + (before_m - EYE_M) * far_m / near_m
    lowest = (1.0 - SHOWN) * behind_m
    return min(max((line - lowest) / (SHOWN * behind_m), 0.0), 1.0)


@compiled()
def link_cost(terms: Terms, link: int, mine: int, theirs: int) -> float:
    """Cost of two items at the ends of a link, the first its own end's."""
    cost = terms.pair[mine, theirs]
    stands = terms.stands[link]
    if stands != 0:
        before, behind = (mine, theirs) if stands == 1 else (theirs, mine)
        shut = hidden(terms.height[before], terms.height[behind], terms.near[link], terms.far[link])
        cost += terms.hide * shut
        cost += terms.order * max(terms.height[before] - terms.height[behind], 0.0)
    return float(cost)


@compiled()
def lack(got: float, want: float) -> float:
    """Price of bloom short of what is wanted: convex, its second half counted twice."""
    if got >= want:
        return 0.0
    short = want - got
    return short + max(short - 0.5 * want, 0.0)


@compiled()
def count_price(terms: Terms, item: int, count: int) -> float:
    """Price of an item's number of uses."""
    if count == 0:
        return float(terms.unused[item])
    return float(terms.over * max(count - terms.most, 0))


@compiled()
def link_table(terms: Terms, link: int) -> Floats:
    """(items, items) cost of every pair of items at the ends of a link."""
    items = len(terms.height)
    out = np.empty((items, items))
    for i in range(items):
        for j in range(items):
            out[i, j] = link_cost(terms, link, i, j)
    return out


def pairs_of(terms: Terms) -> tuple[Ints, Ints]:
    """(pairs, 2) drifts that touch, the lower number first, and the link of each."""
    owner = np.repeat(np.arange(len(terms.local)), np.diff(terms.first))
    links = np.flatnonzero(owner < terms.other)
    return np.column_stack([owner[links], terms.other[links]]), links


def triples_of(terms: Terms) -> Ints:
    """(triples, 3) drifts that all touch one another, in rising order."""
    pairs = {(int(d), int(e)) for d, e in pairs_of(terms)[0]}
    after: dict[int, set[int]] = {}
    for d, e in pairs:
        after.setdefault(d, set()).add(e)
    found = [(d, e, f) for d, e in pairs for f in after[d] & after.get(e, set())]
    return np.array(sorted(found), np.int64).reshape(-1, 3)
