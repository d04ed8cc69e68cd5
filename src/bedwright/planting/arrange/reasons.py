"""Why an item stands where it does: what it costs there, and what the next best would cost more.

Costs are the arrangement's own penalty points (``docs/planting.md``), not money.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from bedwright.compiled import compiled
from bedwright.facts import Fact
from bedwright.planting.arrange.energy import Floats, Ints, Terms, count_price, hidden, lack
from bedwright.planting.arrange.objective import (
    Sites,
    local_parts,
    pair_parts,
    reach_of,
    shows_of,
    wanted_height,
)
from bedwright.planting.palette import Candidate

MOST_RIVALS = 3
"""Kinds named for each drift besides the one that stands there."""


@dataclass(frozen=True)
class MorePoints(Fact):
    """Penalty points more by one ``term`` of the objective; below 0, fewer."""

    term: str
    points: float


@dataclass(frozen=True)
class NextBest(Fact):
    """One of the best of the others for a drift: its kind and colour, its height, whether the bed
    holds it elsewhere, the penalty points more that it would cost there, and those by term, most
    first; below 0, fewer."""

    kind: str
    name: str
    colour: str
    height_m: float
    planted: bool
    points: float
    terms: tuple[MorePoints, ...]


@dataclass(frozen=True)
class SuitsDrift(Fact):
    """Why an item stands in a drift: its height, the height that would suit best, and the kinds
    that would suit next best, the best first, of the bed and of those that might have been."""

    height_m: float
    wanted_height_m: float
    rivals: tuple[NextBest, ...]

    @property
    def next_best(self) -> NextBest | None:
        """The best of the rivals, if there is one."""
        return self.rivals[0] if self.rivals else None


def reasons_of(
    terms: Terms,
    sites: Sites,
    items: Sequence[Candidate],
    owners: Ints,
    last_year: frozenset[str],
    rivals: Sequence[Candidate] = (),
) -> tuple[SuitsDrift, ...]:
    """The reason of every drift.

    ``owners``: (drifts,) the item that stands in each; ``rivals``: colour forms that are not among
    the items, held against them in each drift by the items' own scale.
    """
    pool, reach = [*items, *rivals], reach_of(items)
    stand = _Stand(
        terms,
        local_parts(sites, pool, last_year, reach),
        pair_parts(pool, len(items), reach),
        np.array([one.kind.form.height_m for one in pool]),
        shows_of(pool, reach),
        owners,
        np.bincount(owners, minlength=len(items)),
        np.array([_around(terms, owners, d) for d in range(len(owners))]),
    )
    wanted = wanted_height(sites, reach)
    return tuple(
        SuitsDrift(items[own].kind.form.height_m, float(wanted[d]), _rivals(stand, pool, d))
        for d, own in enumerate(owners)
    )


class _Stand(NamedTuple):
    """An arrangement as it stands: its terms; of a pool of items and rivals the parts of them by
    name, ``local`` (drifts, pool) and ``pair`` (pool, items), heights (pool,) and odds of bloom
    (pool, fortnights); the item of each drift, uses of each item, and (drifts, fortnights) share in
    bloom of each drift and those around it."""

    terms: Terms
    local: dict[str, Floats]
    pair: dict[str, Floats]
    height: Floats
    odds: Floats
    owners: Ints
    counts: Ints
    got: Floats


def _rivals(stand: _Stand, pool: Sequence[Candidate], d: int) -> tuple[NextBest, ...]:
    """Of what does not stand in a drift, what would cost least there, each kind in one colour."""
    own = int(stand.owners[d])
    costs = _costs(stand, d)
    more = {name: cost - cost[own] for name, cost in costs.items()}
    points = np.sum(list(more.values()), axis=0)
    best: dict[str, NextBest] = {}
    for number in np.argsort(points, kind="stable"):
        kind = pool[number].kind
        if number == own or kind.key in best:
            continue
        ranked = sorted(more, key=lambda name: -more[name][number])
        best[kind.key] = NextBest(
            kind.key,
            kind.name,
            pool[number].colour.name,
            kind.form.height_m,
            bool(number < len(stand.counts) and stand.counts[number]),
            float(points[number]),
            tuple(MorePoints(name, float(more[name][number])) for name in ranked),
        )
        if len(best) == MOST_RIVALS:
            break
    return tuple(best.values())


def _around(terms: Terms, owners: Ints, d: int) -> Floats:
    """(fortnights,) share in bloom of a drift and those around it."""
    got = terms.own[d] * terms.odds[owners[d]]
    for k in range(terms.first[d], terms.first[d + 1]):
        got = got + terms.share[k] * terms.odds[owners[terms.other[k]]]
    return np.asarray(got)


def _costs(stand: _Stand, d: int) -> dict[str, Floats]:
    """(pool,) what each would cost in a drift by term, all else left as it is."""
    terms, owners = stand.terms, stand.owners
    near = owners[terms.other[terms.first[d] : terms.first[d + 1]]]
    out = {name: part[d] for name, part in stand.local.items()}
    out |= {name: part[:, near].sum(axis=1) for name, part in stand.pair.items()}
    beside = _beside_costs(terms, owners, stand.got, stand.height, stand.odds, d)
    out["hidden"], out["order"], out["bloom"] = beside
    out["uses"] = _use_costs(stand, int(owners[d]))
    return out


@compiled()
def _beside_costs(
    terms: Terms, owners: Ints, got: Floats, height: Floats, odds: Floats, d: int
) -> Floats:
    """(3, pool) what each would cost in a drift for what is hidden, for tall plants before low
    ones, and for the bloom lacking there and around it."""
    out = np.zeros((3, len(height)))
    for n in range(len(height)):
        for k in range(terms.first[d], terms.first[d + 1]):
            if terms.stands[k] != 0:
                theirs = terms.height[owners[terms.other[k]]]
                first = terms.stands[k] == 1
                before, behind = (height[n], theirs) if first else (theirs, height[n])
                out[0, n] += terms.hide * hidden(before, behind, terms.near[k], terms.far[k])
                out[1, n] += terms.order * max(before - behind, 0.0)
        for t in range(len(terms.want)):
            change, want = odds[n, t] - terms.odds[owners[d], t], terms.want[t]
            out[2, n] += terms.price[d] * lack(got[d, t] + terms.own[d] * change, want)
            for k in range(terms.first[d], terms.first[d + 1]):
                e, share = terms.other[k], terms.share[terms.back[k]]
                out[2, n] += terms.price[e] * lack(got[e, t] + share * change, want)
    return out


def _use_costs(stand: _Stand, own: int) -> Floats:
    """(pool,) what the numbers of uses would cost more with each in place of one use of ``own``;
    rivals are not missed where they have none."""
    terms, uses = stand.terms, [int(count) for count in stand.counts]
    less = count_price(terms, own, uses[own] - 1) - count_price(terms, own, uses[own])
    out = np.full(len(stand.height), less + terms.over * max(1 - terms.most, 0))
    for item, count in enumerate(uses):
        more = count_price(terms, item, count + 1) - count_price(terms, item, count)
        out[item] = 0.0 if item == own else less + more
    return out
