"""An arrangement as an integer programme, and branch and bound over it.

The flow form of the assignment (the local polytope of M. J. Wainwright and M. I. Jordan, Graphical
Models, Exponential Families and Variational Inference, 2008, section 4): a share of every item for
every drift, a share of every pair of items for every pair of neighbours, agreeing at their ends.
Counts and shortages of bloom enter by their convex prices.  HiGHS solves it (Q. Huangfu and
J. A. J. Hall, Mathematical Programming Computation 10, 2018).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, milp

from bedwright.planting.arrange import Floats, Ints, Terms, link_table, pairs_of


class Programme:
    """A linear programme of columns not below 0, built block by block."""

    def __init__(self) -> None:
        self._costs: list[Floats] = []
        self._whole: list[Floats] = []
        self._at: list[tuple[Ints, Ints, Floats]] = []
        self._low: list[Floats] = []
        self._high: list[Floats] = []
        self.size = 0
        self.count = 0

    def columns(self, cost: ArrayLike, whole: bool = False) -> Ints:
        """New columns, numbered in the shape of their costs."""
        costs = np.asarray(cost, float)
        self._costs.append(costs.ravel())
        self._whole.append(np.full(costs.size, float(whole)))
        self.size += costs.size
        return np.arange(self.size - costs.size, self.size).reshape(costs.shape)

    def rows(self, at: Ints, weight: ArrayLike, low: ArrayLike, high: ArrayLike) -> None:
        """New rows, one for each row of ``at`` (its last axis), between ``low`` and ``high``."""
        shape = at.shape[:-1]
        count = int(np.prod(shape))
        weights = np.broadcast_to(np.asarray(weight, float), at.shape)
        numbers = np.repeat(self.count + np.arange(count), at.shape[-1])
        self._at.append((numbers, at.ravel(), weights.ravel()))
        self._low.append(np.broadcast_to(np.asarray(low, float), shape).ravel())
        self._high.append(np.broadcast_to(np.asarray(high, float), shape).ravel())
        self.count += count

    def solve(
        self, nodes: int | None = None, whole: bool = True
    ) -> tuple[float | None, float | None]:
        """A bound on the least cost, and the least found, as near as so many nodes of branch and
        bound allow; each None where it was not found.  ``whole``: whether the columns that are to
        be whole are kept so."""
        numbers, at, weights = (np.concatenate(part) for part in zip(*self._at, strict=True))
        matrix = sparse.csr_matrix((weights, (numbers, at)), shape=(self.count, self.size))
        got = milp(
            np.concatenate(self._costs),
            constraints=LinearConstraint(
                matrix, np.concatenate(self._low), np.concatenate(self._high)
            ),
            integrality=np.concatenate(self._whole) if whole else None,
            bounds=Bounds(0.0, np.inf),
            options={} if nodes is None else {"node_limit": nodes},
        )
        cost = None if got.x is None else float(got.fun)
        bound = got.mip_dual_bound if whole else cost if got.status == 0 else None
        return None if bound is None else float(bound), cost


def flow_form(terms: Terms) -> Programme:
    """The sum of an arrangement as a programme."""
    form = Programme()
    share, _ = agreement(form, terms)
    odds = (terms.share[:, None, None] * terms.odds).reshape(len(terms.other), *terms.odds.shape)
    for d in range(len(terms.local)):
        links = slice(terms.first[d], terms.first[d + 1])
        at = np.append(share[d], share[terms.other[links]])
        got = np.vstack([terms.own[d] * terms.odds, *odds[links]])
        for half in (1.0, 0.5):
            lack = form.columns(np.full(len(terms.want), terms.price[d]))
            row = np.broadcast_to(at, (len(lack), len(at)))
            weight = np.hstack([got.T, np.ones((len(lack), 1))])
            form.rows(beside(row, lack), weight, half * terms.want, np.inf)
    return form


def agreement(form: Programme, terms: Terms) -> tuple[Ints, Ints]:
    """Shares of items, (drifts, items), and of pairs of items, (pairs, items, items), that agree,
    and the prices of counts."""
    drifts, items = terms.local.shape
    pairs, links = pairs_of(terms)
    share = form.columns(terms.local, whole=True)
    tables = np.array([link_table(terms, link) for link in links])
    both = form.columns(tables.reshape(-1, items, items))
    form.rows(share, 1.0, 1.0, 1.0)
    agree = np.append(np.ones(items), -1.0)
    form.rows(beside(both, share[pairs[:, 0]]), agree, 0.0, 0.0)
    form.rows(beside(np.swapaxes(both, 1, 2), share[pairs[:, 1]]), agree, 0.0, 0.0)
    # At least one use, or the price of none; uses beyond the most.
    unused, over = form.columns(terms.unused), form.columns(np.full(items, terms.over))
    once = np.ones(drifts + 1)
    form.rows(beside(share.T, unused), once, 1.0, np.inf)
    form.rows(beside(share.T, over), np.append(np.ones(drifts), -1.0), -np.inf, terms.most)
    return share, both


def beside(block: Ints, column: Ints) -> Ints:
    """A block of columns with one more at the end of its last axis."""
    return np.concatenate([block, column[..., None]], axis=-1)
