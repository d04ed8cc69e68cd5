"""The least-cost blend of fertilisers, and that blend in whole measures.

Mixed-integer linear programme (HiGHS through scipy): weights x >= 0 of each product and whole
packs to be bought; phosphate and potash at least the target, nitrogen freed in the season between a
floor and a cap, salt under a limit.  Slack on the targets alone, at a price far above any
product's, makes it always solvable and gives the nearest blend.
"""

from __future__ import annotations

from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from bedwright.units import System, say_rate

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
    packs: tuple[Floats, Floats] | None = None,
) -> tuple[Floats, list[Shortfall]]:
    """Least-cost grams of each product (at most ``most``), and the targets missed.

    ``gives``: (3, products) grams of N, P2O5, K2O in a gram; ``cap``: grams of nitrogen at most;
    ``salt``: salt in a gram of each, and its limit; ``packs``: grams in a pack of each, and what
    one costs beside ``cost``, paid for whole packs (infinite grams: none needed).
    """
    count = gives.shape[1]
    cost, packs = _even(cost, packs)
    bought = np.zeros(0, int) if packs is None else np.flatnonzero(np.isfinite(packs[0]))
    price = np.zeros(0) if packs is None else packs[1][bought]
    spare = np.zeros(len(bought))
    dear = 1e4 * max(float(cost.max(initial=0.0)), float(price.max(initial=0.0)), 1e-6)
    limits = [(gives[0], cap)] + ([salt] if salt is not None else [])
    rows = [np.concatenate([row, np.zeros(3), spare]) for row, _ in limits]
    for k, product_ in enumerate(bought):
        # No more of a product than its packs hold.
        row = np.zeros(count + 3 + len(bought))
        assert packs is not None
        row[product_], row[count + 3 + k] = 1.0, -packs[0][product_]
        rows.append(row)
    got = milp(
        np.concatenate([cost, np.full(3, dear), price]),
        constraints=[
            LinearConstraint(
                np.hstack([gives, np.eye(3), np.zeros((3, len(bought)))]), target, np.inf
            ),
            LinearConstraint(
                np.vstack(rows), -np.inf, [limit for _, limit in limits] + [0.0] * len(bought)
            ),
        ],
        bounds=Bounds(0.0, np.concatenate([most, np.full(3 + len(bought), np.inf)])),
        integrality=np.concatenate([np.zeros(count + 3), np.ones(len(bought))]),
        options={"mip_rel_gap": 1e-4},
    )
    assert got.x is not None  # the slacks make every such programme solvable
    grams = np.maximum(got.x[:count], 0.0)
    return grams, shortfalls(target, gives @ grams)


def _even(
    cost: Floats, packs: tuple[Floats, Floats] | None
) -> tuple[Floats, tuple[Floats, Floats] | None]:
    """Costs as multiples of the middle one, none so far off that the solver loses its figures."""
    usual = float(np.median(cost[cost > 0])) if (cost > 0).any() else 1.0
    even = np.clip(cost / usual, 1e-4, 1e3)
    if packs is None:
        return even, None
    return even, (packs[0], np.clip(packs[1] / usual, 0.0, 1e5))


class Shortfall(NamedTuple):
    """A target not reached: of what, by how much, and what it was, g/m²."""

    nutrient: str
    short: float
    target: float


def say_shortfall(shortfall: Shortfall, units: System) -> str:
    """``phosphate (P2O5): 5 g/m² short of 10 g/m²``."""
    name, short, target = shortfall
    return f"{name}: {say_rate(short, units)} short of {say_rate(target, units)}"


def shortfalls(
    target: tuple[float, float, float], given: Floats, enough: float = 1.0
) -> list[Shortfall]:
    """Targets of which less than a share ``enough`` is reached."""
    return [
        Shortfall(name, float(goal - got), goal)
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
    exact, intended = grams / step, gives @ grams
    reach = np.minimum(intended, np.array(target)) * NEAR_ENOUGH
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
        over += np.maximum(dose - most * (1 + 1e-6), 0.0).sum()
        short = np.maximum(reach - given, 0.0).sum()
        waste = np.maximum(given[1:] - np.maximum(intended[1:] / NEAR_ENOUGH, 1.0), 0.0).sum()
        rank = (1e3 * float(over) + float(short) + float(waste), float(cost @ dose), counts)
        if best is None or rank < best:
            best = rank
    assert best is not None  # there is at least one way of rounding
    return np.array(best[2], np.int64)
