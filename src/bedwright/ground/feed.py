"""Fertiliser: the least-cost blend that meets phosphorus and potassium and spares nitrogen.

Linear programme (HiGHS through scipy): weights x >= 0 of each product; phosphate and potash at
least the target, nitrogen freed in the season between a floor and a cap, since too much gives leaf
for flower.  Grades are percent N, P2O5 and K2O by weight, as labels state them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from bedwright.brief import GroundFound
from bedwright.ground.materials import Material, Pack, materials

NITROGEN_G_M2 = (5.0, 10.0)
"""Floor and cap.  Floor: 1 lb of 10-10-10 per 100 sq ft is 4.9 g/m² (extension text, copy); cap: 2
lb of nitrogen per 1,000 sq ft, under the 0.25 lb per 100 sq ft (12.2 g/m²) of a UMass worked
example."""

TARGET_G_M2 = {"low": 10.0, "medium": 5.0, "high": 0.0}
"""P2O5 and K2O by soil-test level: 2, 1 and 0 lb per 1,000 sq ft (common practice, no source)."""

USUAL = (
    "complete fertiliser 5-10-5",
    "ammonium sulfate",
    "sulfate of potash",
    "triple superphosphate",
)
COMPLETE = ("complete fertiliser 5-10-5", "complete fertiliser 10-10-10")
"""What the blend is made of, and what the all-purpose way uses, when the brief names none."""

AT_HAND = 0.3
"""Weight of the price of what is already there, beside what must be bought."""

ASH_PH = 6.0
"""Below this, the lime in wood ash does no harm (estimate)."""

UNTESTED = "medium"
MOST_KG_M2 = 0.6
"""No more than this of any one product, for salts and dust (common practice, no source)."""


@dataclass(frozen=True)
class Dose:
    """Weight of one product for the bed, and the whole packs that holds.

    ``pack``: as the brief says it, empty when it names none; ``packs``: how many are needed;
    ``from_hand``: how many of them are there already; ``price``: of the packs still to be bought.
    """

    label: str
    product: str
    grade: str
    weight_kg: float
    volume_m3: float
    per_m2_g: float
    pack: str
    packs: int
    from_hand: int
    price: float | None


@dataclass(frozen=True)
class Choice:
    """A product that may go into the blend, and the pack it comes in if the brief names one."""

    label: str
    material: Material
    pack: Pack | None

    @property
    def price_kg(self) -> float | None:
        """Price of a kilogram, where known."""
        if self.pack is None or self.pack.price is None:
            return None
        return self.pack.price / self.pack.weight_kg

    @property
    def stock_kg(self) -> float:
        """What is there already."""
        return self.pack.at_hand * self.pack.weight_kg if self.pack else 0.0

    @property
    def can_be_bought(self) -> bool:
        """A usual product, or one whose price the brief states."""
        return self.pack is None or self.pack.price is not None

    def dose(self, grams_m2: float, area_m2: float) -> Dose:
        """So many grams a square metre, as weight, measure and packs."""
        weight = grams_m2 * area_m2 / 1000.0
        m = self.material
        grade = f"{m.n:g}-{m.p2o5:g}-{m.k2o:g}"
        volume = weight / m.loose_kg_m3
        if self.pack is None:
            return Dose(self.label, m.name, grade, weight, volume, grams_m2, "", 0, 0, None)
        packs, from_hand, price = whole_packs(self.pack, weight)
        said = self.pack.said
        return Dose(
            self.label, m.name, grade, weight, volume, grams_m2, said, packs, from_hand, price
        )


def whole_packs(pack: Pack, weight_kg: float) -> tuple[int, int, float | None]:
    """Packs that hold a weight, how many are at hand, and the price of the rest."""
    packs = max(math.ceil(weight_kg / pack.weight_kg - 1e-9), 1)
    from_hand = min(math.ceil(pack.at_hand), packs)
    price = None if pack.price is None else pack.price * (packs - from_hand)
    return packs, from_hand, 0.0 if packs == from_hand else price


@dataclass(frozen=True)
class Feed:
    """The blend: targets and what it gives (g/m² of N, P2O5, K2O), doses, what it misses.

    ``assumed``: which of phosphorus and potassium no test told.
    ``alternative``: one all-purpose product that covers phosphorus and potassium instead, with the
    nitrogen it then brings.
    """

    target_g_m2: tuple[float, float, float]
    cap_g_m2: float
    given_g_m2: tuple[float, float, float]
    assumed: tuple[str, ...]
    doses: tuple[Dose, ...]
    alternative: Dose | None
    alternative_gives_g_m2: tuple[float, float, float] | None
    shortfall: tuple[str, ...]


def feed(area_m2: float, ground: GroundFound, packs: list[Pack]) -> Feed:
    """Reckon the blend from the soil test and the fertilisers named, or a usual one."""
    test = ground.test
    assumed = tuple(
        name
        for name, value in (("phosphorus", test.phosphorus), ("potassium", test.potassium))
        if value is None
    )
    phosphate = TARGET_G_M2[test.phosphorus or UNTESTED]
    potash = TARGET_G_M2[test.potassium or UNTESTED]
    floor, cap = NITROGEN_G_M2
    choices = [Choice(p.label, p.material, p) for p in packs if _fit_to_feed(p, test.ph)]
    if not any(p.material.sort == "feed" for p in packs):
        choices = [Choice(name, materials()[name], None) for name in USUAL]
    grams, shortfall = _blend(choices, area_m2, (floor, phosphate, potash), cap)
    gives = _gives(choices)
    doses = tuple(c.dose(float(g), area_m2) for c, g in zip(choices, grams, strict=True) if g >= 1)
    given = gives @ np.where(grams >= 1.0, grams, 0.0)
    alternative, gives_instead = _all_purpose(choices, phosphate, potash, floor, area_m2)
    return Feed(
        (floor, phosphate, potash),
        cap,
        (float(given[0]), float(given[1]), float(given[2])),
        assumed,
        doses,
        alternative,
        gives_instead,
        tuple(shortfall),
    )


def _per_gram(material: Material) -> tuple[float, float, float]:
    """Grams of available N, P2O5, K2O in a gram."""
    return (
        material.n / 100 * material.n_release,
        material.p2o5 / 100,
        material.k2o / 100,
    )


def _gives(choices: list[Choice]) -> NDArray[np.float64]:
    """(3, choices) grams of available N, P2O5, K2O in a gram of each."""
    return np.array([_per_gram(c.material) for c in choices]).reshape(-1, 3).T


def _fit_to_feed(pack: Pack, ph: float | None) -> bool:
    """Fertilisers, but ash only where the soil is known to be sour enough for its lime."""
    if pack.material.sort != "feed":
        return False
    return pack.material.neutralising == 0 or (ph is not None and ph < ASH_PH)


def _blend(
    choices: list[Choice], area_m2: float, target: tuple[float, float, float], cap: float
) -> tuple[NDArray[np.float64], list[str]]:
    """Grams a square metre of each product, and targets that cannot be met.

    Each product enters twice: what is at hand, as far as it goes, and what can be bought, which
    takes a price.
    """
    known = [c.price_kg for c in choices if c.price_kg is not None]
    typical = float(np.mean(known)) if known else 1.0
    gives = _gives(choices)
    # Without prices the lightest blend wins; a product at hand is preferred to one to be bought.
    buy = np.array([typical if c.price_kg is None else c.price_kg for c in choices])
    most = MOST_KG_M2 * 1000
    stock = np.array([min(c.stock_kg * 1000 / area_m2, most) for c in choices])
    supply = np.array([most if c.can_be_bought else 0.0 for c in choices])
    grams, missed = solve_blend(
        np.hstack([gives, gives]),
        np.concatenate([buy * AT_HAND, buy]),
        np.concatenate([stock, supply]),
        target,
        cap,
    )
    return grams[: len(choices)] + grams[len(choices) :], missed


def solve_blend(
    gives: NDArray[np.float64],
    cost: NDArray[np.float64],
    most: NDArray[np.float64],
    target: tuple[float, float, float],
    cap: float,
) -> tuple[NDArray[np.float64], list[str]]:
    """Least-cost grams of each product (at most ``most``), and the targets missed, in words.

    ``gives``: (3, products) grams of N, P2O5, K2O in a gram.  Slack on each target at a price far
    above any product's makes the programme always solvable and gives the nearest blend; slack on
    the cap of nitrogen does not exist.
    """
    count = gives.shape[1]
    dear = 1e4 * max(float(cost.max(initial=0.0)), 1e-6)
    objective = np.concatenate([cost, np.full(3, dear)])
    meet = np.hstack([-gives, -np.eye(3)])
    hold = np.concatenate([gives[0], np.zeros(3)])
    bounds = [(0.0, float(m)) for m in most] + [(0.0, None)] * 3
    got = linprog(
        objective,
        A_ub=np.vstack([meet, hold]),
        b_ub=[*(-np.array(target)), cap],
        bounds=bounds,
        method="highs",
    )
    assert got.x is not None  # the slacks make every such programme solvable
    names = ("nitrogen", "phosphate (P2O5)", "potash (K2O)")
    missed = [
        f"{name}: {short:.1f} g/m² short of {goal:g}"
        for name, short, goal in zip(names, got.x[count:], target, strict=True)
        if short > 0.05
    ]
    return got.x[:count], missed


def _all_purpose(
    choices: list[Choice], phosphate: float, potash: float, floor: float, area: float
) -> tuple[Dose | None, tuple[float, float, float] | None]:
    """The one complete product, own or usual, that overshoots nitrogen least."""
    usual = [Choice(name, materials()[name], None) for name in COMPLETE]
    best: tuple[float, Dose, tuple[float, float, float]] | None = None
    for choice in [*choices, *usual]:
        n, p, k = _per_gram(choice.material)
        if min(n, p, k) <= 0:
            continue
        grams = max(phosphate / p, potash / k, floor / n)
        given = (n * grams, p * grams, k * grams)
        if grams <= MOST_KG_M2 * 1000 and (best is None or given[0] < best[0]):
            best = (given[0], choice.dose(grams, area), given)
    return (best[1], best[2]) if best else (None, None)
