"""The least that any arrangement can cost, by linear programming.

The flow form of the assignment (the local polytope of M. J. Wainwright and M. I. Jordan, Graphical
Models, Exponential Families and Variational Inference, 2008, section 4): a share of every item for
every drift, a share of every pair of items for every pair of neighbours, agreeing at their ends.
Counts and shortages of bloom enter by their convex prices.  No arrangement costs less than the
optimum, so what annealing found is at most that far from the best there is; branch and bound on the
shares of items closes what gap that leaves.  HiGHS solves it (Q. Huangfu and J. A. J. Hall,
Mathematical Programming Computation 10, 2018).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, milp

from bedwright.planting.energy import Terms, link_table


class Proof(NamedTuple):
    """``bound``: a cost that no arrangement goes below; ``cost``: of the best arrangement that the
    solver itself found; each None where it was not found in time."""

    bound: float | None
    cost: float | None


def lower_bound(terms: Terms, seconds: float = 60.0) -> float | None:
    """A cost that no arrangement goes below, or None when it was not found in time."""
    return prove(terms, seconds).bound


def prove(terms: Terms, seconds: float = 60.0) -> Proof:
    """Branch and bound over the flow form, for so many seconds."""
    drifts, items = terms.local.shape
    pairs = [
        (d, int(terms.other[k]), k)
        for d in range(drifts)
        for k in range(terms.first[d], terms.first[d + 1])
        if d < terms.other[k]
    ]
    n_x, n_y = drifts * items, len(pairs) * items * items
    blooms = len(terms.want)
    n_lack = drifts * blooms
    # x, y, unused, over, two pieces of lack
    size = n_x + n_y + 2 * items + 2 * n_lack
    at_unused, at_over = n_x + n_y, n_x + n_y + items
    at_lack = at_over + items
    cost = np.zeros(size)
    cost[:n_x] = terms.local.ravel()
    block = items * items
    for number, (_, _, link) in enumerate(pairs):
        table = link_table(terms, link)
        cost[n_x + number * block : n_x + (number + 1) * block] = table.ravel()
    cost[at_unused:at_over] = terms.unused
    cost[at_over:at_lack] = terms.over
    price = np.repeat(terms.price, blooms)
    cost[at_lack : at_lack + n_lack] = price
    cost[at_lack + n_lack :] = price

    rows: list[np.ndarray] = []
    columns: list[np.ndarray] = []
    values: list[np.ndarray] = []
    right: list[float] = []
    count = 0

    def rule(at: np.ndarray, weight: np.ndarray | float, equals: float) -> None:
        nonlocal count
        rows.append(np.full(len(at), count))
        columns.append(at)
        values.append(np.broadcast_to(np.asarray(weight, float), len(at)))
        right.append(equals)
        count += 1

    for d in range(drifts):
        rule(np.arange(d * items, (d + 1) * items), 1.0, 1.0)
    for number, (d, e, _) in enumerate(pairs):
        start = n_x + number * block
        for i in range(items):
            rule(np.append(start + i * items + np.arange(items), d * items + i),
                 np.append(np.ones(items), -1.0), 0.0)  # fmt: skip
            rule(np.append(start + i + items * np.arange(items), e * items + i),
                 np.append(np.ones(items), -1.0), 0.0)  # fmt: skip
    equal = sparse.csr_matrix(
        (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))),
        shape=(count, size),
    )
    equals = np.array(right)
    rows, columns, values, right, count = [], [], [], [], 0
    for i in range(items):
        at = i + items * np.arange(drifts)
        # at least one use, or the price of none; uses beyond the most
        rule(np.append(at, at_unused + i), np.append(-np.ones(drifts), -1.0), -1.0)
        rule(np.append(at, at_over + i), np.append(np.ones(drifts), -1.0), float(terms.most))
    for d in range(drifts):
        for t in range(blooms):
            at = [d * items + np.arange(items)]
            weight = [terms.own[d] * terms.odds[:, t]]
            for k in range(terms.first[d], terms.first[d + 1]):
                at.append(int(terms.other[k]) * items + np.arange(items))
                weight.append(terms.share[k] * terms.odds[:, t])
            near, odds = np.concatenate(at), np.concatenate(weight)
            one = at_lack + d * blooms + t
            rule(np.append(near, one), -np.append(odds, 1.0), -float(terms.want[t]))
            rule(np.append(near, one + n_lack), -np.append(odds, 1.0), -0.5 * float(terms.want[t]))
    below = sparse.csr_matrix(
        (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))),
        shape=(count, size),
    )
    rules = [
        LinearConstraint(equal, equals, equals),
        LinearConstraint(below, -np.inf, np.array(right)),
    ]
    whole = np.zeros(size)
    whole[:n_x] = 1
    got = milp(
        cost,
        constraints=rules,
        integrality=whole,
        bounds=Bounds(0.0, np.inf),
        options={"time_limit": seconds},
    )
    found = None if got.x is None else float(got.fun)
    return Proof(None if got.mip_dual_bound is None else float(got.mip_dual_bound), found)
