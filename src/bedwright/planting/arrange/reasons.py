"""Why an item stands where it does: what it costs there, and what the next best would cost more.

Costs are the arrangement's own penalty points (``docs/planting.md``), not money.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.facts import Fact
from bedwright.planting.arrange.energy import Floats, Ints, Terms, count_price, hidden, lack
from bedwright.planting.arrange.objective import (
    Sites,
    local_parts,
    pair_parts,
    reach_of,
    wanted_height,
)
from bedwright.planting.palette import Candidate


@dataclass(frozen=True)
class MorePoints(Fact):
    """Penalty points more by one ``term`` of the objective; below 0, fewer."""

    term: str
    points: float


@dataclass(frozen=True)
class NextBest(Fact):
    """The best of the other items for a drift: its kind and colour, the penalty points more that it
    would cost there, and those by term, most first."""

    kind: str
    name: str
    colour: str
    points: float
    terms: tuple[MorePoints, ...]


@dataclass(frozen=True)
class SuitsDrift(Fact):
    """Why an item stands in a drift: its height, the height that would suit best, and the next
    best item, if there is another."""

    height_m: float
    wanted_height_m: float
    next_best: NextBest | None


def reasons_of(
    terms: Terms,
    sites: Sites,
    items: list[Candidate],
    owners: Ints,
    last_year: frozenset[str],
) -> tuple[SuitsDrift, ...]:
    """The reason of every drift; ``owners``: (drifts,) the item that stands in each."""
    stand = _Stand(
        terms,
        local_parts(sites, items, last_year),
        pair_parts(items),
        owners,
        np.bincount(owners, minlength=len(items)),
        np.array([_around(terms, owners, d) for d in range(len(owners))]),
    )
    wanted = wanted_height(sites, reach_of(items))
    return tuple(
        SuitsDrift(
            items[own].kind.form.height_m, float(wanted[d]), _next_best(stand, items, d, int(own))
        )
        for d, own in enumerate(owners)
    )


class _Stand(NamedTuple):
    """An arrangement as it stands: its terms, their parts by name, the item of each drift, uses of
    each item, and (drifts, fortnights) share in bloom of each drift and those around it."""

    terms: Terms
    local: dict[str, Floats]
    pair: dict[str, Floats]
    owners: Ints
    counts: Ints
    got: Floats


def _next_best(stand: _Stand, items: list[Candidate], d: int, own: int) -> NextBest | None:
    """Of the items that do not stand in a drift, the one that would cost least there."""
    now, best = _costs(stand, d, own), None
    for number, item in enumerate(items):
        if number == own:
            continue
        then = _costs(stand, d, number)
        more = {name: then[name] - now[name] for name in now}
        points = sum(more.values())
        if best is None or points < best.points:
            ranked = sorted(more.items(), key=lambda part: -part[1])
            terms = tuple(MorePoints(name, float(cost)) for name, cost in ranked)
            kind = item.kind
            best = NextBest(kind.key, kind.name, item.colour.name, float(points), terms)
    return best


def _around(terms: Terms, owners: NDArray[np.int64], d: int) -> NDArray[np.float64]:
    """(fortnights,) share in bloom of a drift and those around it."""
    got = terms.own[d] * terms.odds[owners[d]]
    for k in range(terms.first[d], terms.first[d + 1]):
        got = got + terms.share[k] * terms.odds[owners[terms.other[k]]]
    return np.asarray(got)


def _costs(stand: _Stand, d: int, item: int) -> dict[str, float]:
    """What an item in a drift costs by term, all else left as it is."""
    terms, owners = stand.terms, stand.owners
    near = owners[terms.other[terms.first[d] : terms.first[d + 1]]]
    out = {name: float(part[d, item]) for name, part in stand.local.items()}
    out |= {name: float(part[item, near].sum()) for name, part in stand.pair.items()}
    out["hidden"], out["order"] = _view_costs(terms, owners, d, item)
    out["bloom"] = _bloom_cost(stand, d, item)
    after = stand.counts.copy()
    after[owners[d]] -= 1
    after[item] += 1
    out["uses"] = sum(count_price(terms, i, int(n)) for i, n in enumerate(after))
    return out


def _view_costs(terms: Terms, owners: Ints, d: int, item: int) -> tuple[float, float]:
    """What an item in a drift costs for what is hidden, and for tall plants before low ones."""
    shut = over = 0.0
    height = terms.height
    for k in range(terms.first[d], terms.first[d + 1]):
        if terms.stands[k]:
            theirs = owners[terms.other[k]]
            front, back = (item, theirs) if terms.stands[k] == 1 else (theirs, item)
            shut += hidden(height[front], height[back], terms.near[k], terms.far[k])
            over += max(float(height[front] - height[back]), 0.0)
    return terms.hide * shut, terms.order * over


def _bloom_cost(stand: _Stand, d: int, item: int) -> float:
    """What the bloom lacking in a drift and in those around it costs with an item there."""
    terms = stand.terms
    change = terms.odds[item] - terms.odds[stand.owners[d]]
    regions = [(d, float(terms.own[d]))]
    for k in range(terms.first[d], terms.first[d + 1]):
        regions.append((int(terms.other[k]), float(terms.share[terms.back[k]])))
    return sum(
        float(terms.price[r] * lack(stand.got[r, t] + share * change[t], terms.want[t]))
        for r, share in regions
        for t in range(len(terms.want))
    )
