"""The best blend of fertilisers, by weight and in whole measures.

Mixed-integer linear programmes (HiGHS through scipy), solved one after the other, each keeping what
the one before it reached: first the targets are met as far as they can be; then phosphate and
potash go as little as can be beyond EXCESS_G_M2 over theirs; then the least money is spent, in
whole packs beyond what is at hand; then the least is spread, or what lies nearest to a given blend.
Never passed are a cap on nitrogen, a limit on salt, and the most of any one product.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, NamedTuple, get_args

import numpy as np
import scipy
from numpy.typing import NDArray

from bedwright.facts import Fact

Floats = NDArray[np.float64]
Nutrient = Literal["nitrogen", "phosphate", "potash"]
NUTRIENTS: tuple[Nutrient, ...] = get_args(Nutrient)
"""As labels state them: N, P2O5 and K2O."""

NEAR_ENOUGH = 0.95
"""Share of a target that whole measures must reach where the blend by weight reaches it: spreading
by hand is no more even (estimate)."""

EXCESS_G_M2 = 10.0
"""Phosphate or potash over the target that does not matter: what a poor soil is given (estimate).
More is no use to plants, and phosphate does harm where it washes into water."""

LOOSE = 1e-5
"""By how much, as a share, a later programme may fall behind what an earlier one reached: ten times
the solver's own tolerance (1e-6), at which it corrects its solutions and prints a line about it."""


@dataclass(frozen=True)
class Products:
    """Fertilisers to choose from; grams are of a square metre.

    ``gives``: (3, n) grams of N, P2O5, K2O in a gram; ``salt``: (n,) grams of salt in a gram;
    ``most``: (n,) grams that may be spread; ``stock``: (n,) grams at hand; ``pack``: (n,) grams in
    a pack that can be bought, infinite where it is bought by weight, 0 where none can be had;
    ``price``: (n,) of a pack, or of a gram bought by weight; ``same``: (n,) a number for each
    product, the same for entries of one product, whose ``most`` holds for all of them together.
    """

    gives: Floats
    salt: Floats
    most: Floats
    stock: Floats
    pack: Floats
    price: Floats
    same: NDArray[np.int64]

    def __len__(self) -> int:
        return int(self.gives.shape[1])


class Grams(NamedTuple):
    """N, P2O5 and K2O: grams on a square metre, or in a gram."""

    nitrogen: float
    phosphate: float
    potash: float


@dataclass(frozen=True)
class Wanted:
    """Grams on a square metre: N, P2O5 and K2O at least, N at most, salt at most."""

    target: Grams
    cap: float
    salt: float


@dataclass(frozen=True)
class Shortfall(Fact):
    """A target of the feed that is not reached, and by how much."""

    nutrient: Nutrient
    short_g_m2: float
    target_g_m2: float


def shortfalls(target: Grams, given: Floats, enough: float = 1.0) -> list[Shortfall]:
    """Targets of which less than a share ``enough`` is reached."""
    return [
        Shortfall(name, float(goal - got), goal)
        for name, got, goal in zip(NUTRIENTS, given, target, strict=True)
        if enough * goal - got > 0.05
    ]


def solve_blend(products: Products, wanted: Wanted) -> Floats:
    """(n,) grams of each product: targets first, then money, then weight."""
    if len(products) == 0:
        return np.zeros(0)
    return _Programme(products, wanted, np.ones(len(products)), whole=False).solve(None)


def in_measures(
    products: Products, wanted: Wanted, blend: Floats, step: Floats
) -> tuple[NDArray[np.int64], bool]:
    """A blend in whole measures of ``step`` grams each, and whether it still does what the blend
    does: the targets that the blend reaches to NEAR_ENOUGH, for as much money or less.

    Products that are not in the blend stay out.
    """
    target, given = np.array(wanted.target), products.gives @ blend
    # What the blend is a little short of is rounded down no further than to what counts as met.
    reach = np.where(given >= NEAR_ENOUGH * target, target, given) * NEAR_ENOUGH
    near = replace(wanted, target=Grams(*map(float, reach)))
    if len(products) == 0:
        return np.zeros(0, np.int64), True
    used = replace(products, most=np.where(blend > 0, products.most, 0.0))
    programme = _Programme(used, near, step, whole=True)
    programme.spend_no_more_than(blend)
    counts = programme.solve(blend / step)
    whole = np.round(counts).astype(np.int64)
    met = (products.gives @ (whole * step) >= reach - 1e-6).all()
    return whole, bool(met)


class _Programme:
    """Variables, in this order: measures of each product; packs (or grams) of each to be bought;
    what each target is short of; what phosphate and potash are in excess; how far each product is
    off a given number of measures."""

    def __init__(self, products: Products, wanted: Wanted, step: Floats, whole: bool) -> None:
        self.products, self.n = products, len(products)
        n = self.n
        by_weight = np.isinf(products.pack)
        # A pack counts as no larger than what may be spread: figures of one size solve well.
        pack = np.where(by_weight, 1.0, np.minimum(products.pack, products.most))
        give, salt = products.gives * step, products.salt * step
        target = np.array(wanted.target)
        self.rows = [
            scipy.optimize.LinearConstraint(self._row(give, short=np.eye(3)), target, np.inf),
            scipy.optimize.LinearConstraint(self._row(give[1:], excess=-np.eye(2)), -np.inf,
                             target[1:] + EXCESS_G_M2),
            scipy.optimize.LinearConstraint(self._row(np.vstack([give[:1], salt[None]])), -np.inf,
                             [wanted.cap, wanted.salt]),
            scipy.optimize.LinearConstraint(self._row(np.diag(step), buy=-np.diag(pack)), -np.inf,
                             products.stock),
        ]  # fmt: skip
        groups = [products.same == k for k in np.unique(products.same)]
        self.rows.append(scipy.optimize.LinearConstraint(
            self._row(np.array([np.where(group, step, 0.0) for group in groups])),
            -np.inf, [float(products.most[group].max()) for group in groups],
        ))  # fmt: skip
        can_buy = products.pack > 0
        self.upper = np.concatenate(
            [products.most / step, np.where(can_buy, np.inf, 0.0), np.full(5 + n, np.inf)]
        )
        self.whole = np.concatenate([np.full(n, whole), can_buy & ~by_weight, np.zeros(5 + n)])
        self.step = step
        self.goals = [
            self._row(np.zeros((1, n)), short=1.0 / np.maximum(target, 1.0)[None])[0],
            self._row(np.zeros((1, n)), excess=np.ones((1, 2)))[0],
            self._row(np.zeros((1, n)), buy=products.price[None])[0],
        ]

    def spend_no_more_than(self, blend: Floats) -> None:
        """For materials in packs no more money than the packs that a blend takes."""
        products = self.products
        packed = np.isfinite(products.pack) & (products.pack > 0.0)
        price, pack = products.price[packed], products.pack[packed]
        missing = np.maximum(blend - products.stock, 0.0)[packed]
        bought = np.ceil(missing / pack - LOOSE)
        goal = np.zeros(self.n)
        goal[packed] = price
        most = float(price @ bought) * (1 + LOOSE)
        self.rows.append(
            scipy.optimize.LinearConstraint(
                self._row(np.zeros((1, self.n)), buy=goal[None]), 0.0, most
            )
        )

    def _row(
        self,
        use: Floats,
        buy: Floats | None = None,
        short: Floats | None = None,
        excess: Floats | None = None,
        off: Floats | None = None,
    ) -> Floats:
        """Rows of constraints from those of the sorts of variables that they are about."""
        rows, none = len(use), np.zeros
        parts = (
            use,
            none((rows, self.n)) if buy is None else buy,
            none((rows, 3)) if short is None else short,
            none((rows, 2)) if excess is None else excess,
            none((rows, self.n)) if off is None else off,
        )
        return np.hstack(parts)

    def solve(self, near: Floats | None) -> Floats:
        """(n,) measures, of those as good the ones nearest to ``near``, or the lightest."""
        n, one = self.n, np.eye(self.n)
        last = self._row(self.step[None])
        if near is not None:
            off = np.vstack([self._row(-one, off=one), self._row(one, off=one)])
            self.rows.append(
                scipy.optimize.LinearConstraint(off, np.concatenate([-near, near]), np.inf)
            )
            last = self._row(np.zeros((1, n)), off=self.step[None])
        found = np.zeros(n)
        for goal in (*self.goals, last[0]):
            got = scipy.optimize.milp(
                goal,
                constraints=self.rows,
                bounds=scipy.optimize.Bounds(0.0, self.upper),
                integrality=self.whole,
            )
            if got.x is None:  # what was found before stands: the solver lost its figures
                break
            found = got.x[:n]
            reached = float(goal @ got.x)
            self.rows.append(
                scipy.optimize.LinearConstraint(goal, -np.inf, reached + LOOSE * max(reached, 1.0))
            )
        return np.maximum(found, 0.0)
