"""The arrangement by CP-SAT, a constraint solver, to compare the annealing with."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from bedwright.planting.arrange.energy import Terms, link_table

SCALE = 10_000
"""Costs and shares are whole numbers to this solver."""


def arranged(terms: Terms, seconds: float) -> tuple[NDArray[np.int64] | None, float]:
    """The best arrangement found on two cores in so many seconds, and the bound proven."""
    drifts, items = terms.local.shape
    model = cp_model.CpModel()
    has = [[model.new_bool_var("") for _ in range(items)] for _ in range(drifts)]
    cost: list[cp_model.LinearExpr] = []

    def priced(variable: cp_model.IntVar, price: float) -> None:
        if round(price * SCALE):
            cost.append(round(price * SCALE) * variable)

    for d in range(drifts):
        model.add_exactly_one(has[d])
        for i in range(items):
            priced(has[d][i], float(terms.local[d, i]))
    for d in range(drifts):
        for k in range(terms.first[d], terms.first[d + 1]):
            e = int(terms.other[k])
            if e < d:
                continue
            table = link_table(terms, k)
            pair = [[model.new_bool_var("") for _ in range(items)] for _ in range(items)]
            for i in range(items):
                model.add(sum(pair[i]) == has[d][i])
                model.add(sum(row[i] for row in pair) == has[e][i])
                for j in range(items):
                    priced(pair[i][j], float(table[i, j]))
    for i in range(items):
        uses = sum(has[d][i] for d in range(drifts))
        unused, over = model.new_bool_var(""), model.new_int_var(0, drifts, "")
        model.add(uses + unused >= 1)
        model.add(uses - over <= terms.most)
        priced(unused, float(terms.unused[i]))
        priced(over, terms.over)
    for d in range(drifts):
        for t, want in enumerate(terms.want):
            got = [round(SCALE * terms.own[d] * terms.odds[i, t]) * has[d][i] for i in range(items)]
            for k in range(terms.first[d], terms.first[d + 1]):
                theirs = has[int(terms.other[k])]
                odds = terms.share[k] * terms.odds[:, t]
                got += [round(SCALE * odds[i]) * theirs[i] for i in range(items)]
            for part in (1.0, 0.5):
                lack = model.new_int_var(0, SCALE, "")
                model.add(sum(got) + lack >= round(SCALE * part * want))
                cost.append(terms.price[d] * lack)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    bound = solver.best_objective_bound / SCALE
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, bound
    own = [next(i for i in range(items) if solver.value(has[d][i])) for d in range(drifts)]
    return np.array(own), bound
