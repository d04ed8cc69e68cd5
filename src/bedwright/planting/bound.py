"""The least that any arrangement can cost, by linear programming.

The flow form of the assignment (the local polytope of M. J. Wainwright and M. I. Jordan, Graphical
Models, Exponential Families and Variational Inference, 2008, section 4): a share of every item for
every drift, a share of every pair of items for every pair of neighbours, agreeing at their ends.
Counts and shortages of bloom enter by their convex prices.  No arrangement costs less than the
optimum, so what annealing found is at most that far from the best there is.

Pairs alone bound it poorly: of three drifts that all touch, shares of pairs can agree that no three
items have.  So each such three gets shares of triples too (D. Sontag and others, Tightening LP
Relaxations for MAP Using Message Passing, Uncertainty in Artificial Intelligence, 2008), which
closes most of the gap.  Of what is left the bloom has most: shares of many items about a drift make
an even season that none of them makes alone.  So what it lacks is reckoned for each item of the
drift apart, by the pairs that have that item (E. Balas, Disjunctive Programming, Discrete Applied
Mathematics 89, 1998).  Branch and bound on the shares of items closes the rest on smaller beds.
HiGHS solves it (Q. Huangfu and J. A. J. Hall, Mathematical Programming Computation 10, 2018).
"""

from __future__ import annotations

import time
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

from bedwright.planting.energy import Floats, Ints, Terms, link_table

FORMS = ("pairs", "triples", "bloom apart")
"""Forms of the programme, each bounding more tightly than the one before and taking longer."""

MOST_TRIPLES = 400_000
"""Shares of triples beyond which the programme would not fit in memory and time."""

LONGER = 2.5
"""How many times as long as the one before a form takes, at the least."""

SOON = 0.1
"""Branch and bound is tried where the bound of triples took less than this share of the time left;
it gets half of that time."""

CLOSED = 1e-4
"""Share of the cost within which two are one (HiGHS's own for branch and bound)."""


class Proof(NamedTuple):
    """``bound``: a cost that no arrangement goes below; ``cost``: of the best arrangement that the
    solver itself found; each None where it was not found in time."""

    bound: float | None
    cost: float | None

    @property
    def closed(self) -> bool:
        """Whether the solver's own arrangement is the best there is."""
        if self.bound is None or self.cost is None:
            return False
        return self.cost - self.bound <= CLOSED * abs(self.cost) + 1e-9


def lower_bound(terms: Terms, seconds: float = 60.0) -> float | None:
    """A cost that no arrangement goes below, or None when it was not found in time."""
    return prove(terms, seconds).bound


def prove(terms: Terms, seconds: float = 60.0) -> Proof:
    """The bounds of the forms, and of branch and bound over the first on a bed small enough that it
    may end, as far as the time reaches."""
    end = time.monotonic() + seconds
    pairs = flow_form(terms, "pairs")
    bounds, cost = [pairs.bound(seconds)], None
    taken = pairs.seconds
    if len(_threes(terms)) * len(terms.height) ** 3 > MOST_TRIPLES:
        return Proof(bounds[0], None)
    for name in FORMS[1:]:
        left = end - time.monotonic()
        if taken * LONGER > left:
            break
        form = flow_form(terms, name)
        bounds.append(form.bound(left))
        taken, left = form.seconds, end - time.monotonic()
        if name == "triples" and taken < SOON * left:
            best = pairs.branch_and_bound(left / 2)
            bounds.append(best.bound)
            cost = best.cost
            if best.closed:
                break
    known = [bound for bound in bounds if bound is not None]
    return Proof(max(known) if known else None, cost)


class _Programme:
    """A linear programme of columns not below 0, built block by block."""

    def __init__(self) -> None:
        self.costs: list[Floats] = []
        self.whole: list[Floats] = []
        self.size = 0
        self.at: list[tuple[Ints, Ints, Floats]] = []
        self.low: list[Floats] = []
        self.high: list[Floats] = []
        self.count = 0
        self.seconds = np.inf

    def columns(self, cost: ArrayLike, whole: bool = False) -> Ints:
        """New columns, numbered in the shape of their costs."""
        costs = np.asarray(cost, float)
        self.costs.append(costs.ravel())
        self.whole.append(np.full(costs.size, float(whole)))
        self.size += costs.size
        return np.arange(self.size - costs.size, self.size).reshape(costs.shape)

    def rows(self, at: Ints, weight: ArrayLike, low: ArrayLike, high: ArrayLike) -> None:
        """New rows, one for each row of ``at`` (its last axis), between ``low`` and ``high``."""
        shape = at.shape[:-1]
        count = int(np.prod(shape))
        weights = np.broadcast_to(np.asarray(weight, float), at.shape)
        numbers = np.repeat(self.count + np.arange(count), at.shape[-1])
        self.at.append((numbers, at.ravel(), weights.ravel()))
        self.low.append(np.broadcast_to(np.asarray(low, float), shape).ravel())
        self.high.append(np.broadcast_to(np.asarray(high, float), shape).ravel())
        self.count += count

    def matrix(self) -> sparse.csr_matrix:
        """(rows, columns) weights."""
        numbers, at, weights = (np.concatenate(part) for part in zip(*self.at, strict=True))
        return sparse.csr_matrix((weights, (numbers, at)), shape=(self.count, self.size))

    def bound(self, seconds: float) -> float | None:
        """The least cost, columns in parts; None when it was not found in time."""
        begun = time.monotonic()
        matrix, low, high = self.matrix(), np.concatenate(self.low), np.concatenate(self.high)
        equal = low == high
        above, below = ~equal & np.isfinite(low), ~equal & np.isfinite(high)
        got = linprog(
            np.concatenate(self.costs),
            A_ub=sparse.vstack([matrix[below], -matrix[above]]),
            b_ub=np.concatenate([high[below], -low[above]]),
            A_eq=matrix[equal],
            b_eq=low[equal],
            method="highs-ipm",
            options={"time_limit": max(seconds, 0.1)},
        )
        self.seconds = time.monotonic() - begun
        return float(got.fun) if got.status == 0 and got.fun is not None else None

    def branch_and_bound(self, seconds: float) -> Proof:
        """The least cost, some columns whole, as near as the time allows."""
        got = milp(
            np.concatenate(self.costs),
            constraints=LinearConstraint(
                self.matrix(), np.concatenate(self.low), np.concatenate(self.high)
            ),
            integrality=np.concatenate(self.whole),
            bounds=Bounds(0.0, np.inf),
            options={"time_limit": seconds},
        )
        bound, cost = got.mip_dual_bound, None if got.x is None else float(got.fun)
        return Proof(None if bound is None else float(bound), cost)


def flow_form(terms: Terms, name: str) -> _Programme:
    """The sum of an arrangement as a programme, in one of ``FORMS``."""
    form = _Programme()
    drifts, items = terms.local.shape
    pairs, links = _pairs(terms)
    number = {(int(d), int(e)): k for k, (d, e) in enumerate(pairs)}
    share = form.columns(terms.local, whole=True)
    tables = np.array([link_table(terms, link) for link in links])
    both = form.columns(tables.reshape(-1, items, items))
    form.rows(share, 1.0, 1.0, 1.0)
    agree = np.append(np.ones(items), -1.0)
    form.rows(_beside(both, share[pairs[:, 0]]), agree, 0.0, 0.0)
    form.rows(_beside(np.swapaxes(both, 1, 2), share[pairs[:, 1]]), agree, 0.0, 0.0)
    if name != "pairs":
        threes = _threes(terms)
        all_three = form.columns(np.zeros((len(threes), items, items, items)))
        for out, one, other in ((3, 0, 1), (2, 0, 2), (1, 1, 2)):
            two = np.array([number[int(t[one]), int(t[other])] for t in threes], np.intp)
            form.rows(_beside(np.moveaxis(all_three, out, 3), both[two]), agree, 0.0, 0.0)
    # At least one use, or the price of none; uses beyond the most.
    unused, over = form.columns(terms.unused), form.columns(np.full(items, terms.over))
    once = np.ones(drifts + 1)
    form.rows(_beside(share.T, unused), once, 1.0, np.inf)
    form.rows(_beside(share.T, over), np.append(np.ones(drifts), -1.0), -np.inf, terms.most)
    for d in range(drifts):
        links = np.arange(terms.first[d], terms.first[d + 1])
        near = [int(e) for e in terms.other[links]]
        odds = (terms.share[links, None, None] * terms.odds).reshape(-1, len(terms.want))
        if name == "bloom apart":
            toward = [both[number[d, e]] if d < e else both[number[e, d]].T for e in near]
            own = share[d][:, None]
            _bloom(form, terms, d, own, np.hstack([own[:, :0], *toward]), odds)
        else:
            _bloom(form, terms, d, share[d][None], share[near].reshape(1, -1), odds)
    return form


def _bloom(form: _Programme, terms: Terms, d: int, own: Ints, near: Ints, odds: Floats) -> None:
    """What bloom lacks about a drift, in as many parts as its own items are put together in.

    ``own``: (parts, items of the part) columns of the drift; ``near``: (parts, columns) of its
    neighbours' items where the drift has one of the part; ``odds``: (columns, fortnights).
    """
    parts = len(own)
    mine = terms.own[d] * terms.odds.reshape(*own.shape, -1)
    theirs = np.broadcast_to(odds, (parts, *odds.shape))
    for half in (1.0, 0.5):
        lack = form.columns(np.full((parts, len(terms.want)), terms.price[d]))
        weight = np.concatenate(
            [mine - half * terms.want, theirs, np.ones((parts, 1, len(terms.want)))], axis=1
        )
        at = np.concatenate([own, near], axis=1)[:, None]
        at = np.broadcast_to(at, (parts, len(terms.want), at.shape[-1]))
        form.rows(_beside(at, lack), np.swapaxes(weight, 1, 2), 0.0, np.inf)


def _beside(block: Ints, column: Ints) -> Ints:
    """A block of columns with one more at the end of its last axis."""
    return np.concatenate([block, column[..., None]], axis=-1)


def _pairs(terms: Terms) -> tuple[Ints, Ints]:
    """(pairs, 2) drifts that touch, the lower number first, and the link of each."""
    owner = np.repeat(np.arange(len(terms.local)), np.diff(terms.first))
    links = np.flatnonzero(owner < terms.other)
    return np.column_stack([owner[links], terms.other[links]]), links


def _threes(terms: Terms) -> NDArray[np.int64]:
    """(threes, 3) drifts that all touch one another, in rising order."""
    pairs = {(int(d), int(e)) for d, e in _pairs(terms)[0]}
    after: dict[int, set[int]] = {}
    for d, e in pairs:
        after.setdefault(d, set()).add(e)
    found = [(d, e, f) for d, e in pairs for f in after[d] & after.get(e, set())]
    return np.array(sorted(found), np.int64).reshape(-1, 3)
