"""The least-cost blend of fertilisers, and that blend in whole measures.

Linear programme (HiGHS through scipy): weights x >= 0 of each product; phosphate and potash at
least the target, nitrogen freed in the season between a floor and a cap, salt under a limit.  Slack
on the targets alone, at a price far above any product's, makes it always solvable and gives the
nearest blend.
"""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

Floats = NDArray[np.float64]
NUTRIENTS = ("nitrogen", "phosphate (P2O5)", "potash (K2O)")
NEAR_ENOUGH = 0.95
"""Share of a target that whole measures must reach where the exact blend reaches it."""
MOST_ROUNDED = 8
"""Products up to which all ways of rounding up and down are tried."""


def solve_blend(
    gives: Floats,
    cost: Floats,
    most: Floats,
    target: tuple[float, float, float],
    cap: float,
    salt: tuple[Floats, float] | None = None,
) -> tuple[Floats, list[str]]:
    """Least-cost grams of each product (at most ``most``), and the targets missed, in words.

    ``gives``: (3, products) grams of N, P2O5, K2O in a gram; ``cap``: grams of nitrogen at most;
    ``salt``: salt in a gram of each, and its limit.
    """
    count = gives.shape[1]
    dear = 1e4 * max(float(cost.max(initial=0.0)), 1e-6)
    limits = [(gives[0], cap)] + ([salt] if salt is not None else [])
    got = linprog(
        np.concatenate([cost, np.full(3, dear)]),
        A_ub=np.vstack(
            [np.hstack([-gives, -np.eye(3)]), *(np.append(row, np.zeros(3)) for row, _ in limits)]
        ),
        b_ub=[*(-np.array(target)), *(limit for _, limit in limits)],
        bounds=[(0.0, float(m)) for m in most] + [(0.0, None)] * 3,
        method="highs",
    )
    assert got.x is not None  # the slacks make every such programme solvable
    return got.x[:count], shortfalls(target, gives @ got.x[:count])


def shortfalls(target: tuple[float, float, float], given: Floats, enough: float = 1.0) -> list[str]:
    """Targets of which less than a share ``enough`` is reached, in words: which, by how much."""
    return [
        f"{name}: {goal - got:.1f} g/m² short of {goal:g}"
        for name, got, goal in zip(NUTRIENTS, given, target, strict=True)
        if enough * goal - got > 0.05
    ]


def whole_measures(
    grams: Floats,
    step: Floats,
    gives: Floats,
    cost: Floats,
    target: tuple[float, float, float],
    cap: float,
    salt: tuple[Floats, float],
    most: Floats,
) -> NDArray[np.int64]:
    """How many whole measures of each product stand for a blend.

    ``step``: grams in one measure of each, spread on a square metre; of all ways of rounding the
    products up or down that keep cap, salt, stock and (to 95%) the targets that the blend itself
    reaches, the cheapest; where none does, the one that comes nearest without passing the cap.
    """
    exact = grams / step
    reach = np.minimum(gives @ grams, np.array(target)) * NEAR_ENOUGH
    choices = [
        sorted({int(np.floor(n + 1e-9)), int(np.ceil(n - 1e-9))}) if n > 1e-9 else [0]
        for n in exact
    ]
    if sum(len(c) > 1 for c in choices) > MOST_ROUNDED:
        choices = [[round(n)] for n in exact]
    best: tuple[float, float, tuple[int, ...]] | None = None
    for counts in product(*choices):
        dose = np.array(counts) * step
        given = gives @ dose
        over = max(given[0] - cap, 0.0) + max(salt[0] @ dose - salt[1], 0.0)
        over += np.maximum(dose - most - step / 2, 0.0).sum()
        short = np.maximum(reach - given, 0.0).sum()
        rank = (1e3 * float(over) + float(short), float(cost @ dose), counts)
        if best is None or rank < best:
            best = rank
    assert best is not None  # there is at least one way of rounding
    return np.array(best[2], np.int64)
