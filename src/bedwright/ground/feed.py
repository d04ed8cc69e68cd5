"""Fertiliser: the least-cost blend that meets phosphorus and potassium and keeps nitrogen low,
since too much gives leaves instead of flowers.  Grades are percent N, P2O5 and K2O by weight, as
labels state them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import GroundFound
from bedwright.ground.blend import (
    NEAR_ENOUGH,
    Grams,
    Products,
    Shortfall,
    Wanted,
    in_measures,
    shortfalls,
    solve_blend,
)
from bedwright.ground.materials import Material, Pack, materials
from bedwright.ground.soiltest import level_of
from bedwright.units import CUP_M3, SPOON_M3, TEASPOON_M3

NITROGEN_G_M2 = (5.0, 10.0)
"""Floor and cap.  Floor: 1 lb of 10-10-10 per 100 sq ft is 4.9 g/m² (extension text, copy); cap: 2
lb of nitrogen per 1,000 sq ft, under the 0.25 lb per 100 sq ft (12.2 g/m²) of a UMass worked
example."""

TARGET_G_M2 = {"low": 10.0, "medium": 5.0, "high": 0.0}
"""P2O5 and K2O by soil-test level: 2, 1 and 0 lb per 1,000 sq ft (common practice, no source)."""

MEASURE_M3 = 5e-5
"""Usual measure, where the brief names no scoop: 50 mL."""

USUAL = (
    "complete fertiliser 5-10-5",
    "ammonium sulfate",
    "potassium sulfate",
    "triple superphosphate",
)
COMPLETE = ("complete fertiliser 5-10-5", "complete fertiliser 10-10-10")
"""What the blend is made of, and what the all-purpose way uses, when the brief names none."""

ASH_PH = 6.0
"""Below this, the lime in wood ash does no harm (estimate)."""

SALT_LIMIT_G_M2 = 70.0
"""Salt of one feeding at most, as sodium nitrate: what 2 lb of 10-10-10 on 100 square feet bring,
the most that extension texts give a flower bed at once (estimate)."""

SIDE_DRESS_G_M2 = 2.6
"""Nitrogen of one side-dressing: 4 oz of ammonium sulfate, 7 oz of dried blood, 2 oz of urea or a
third of a pound of nitrate of soda on 100 square feet, each four to six weeks after planting and
again every three to four weeks where beds are watered (Kansas State Research and Extension,
Sidedressing Annual Flowers, read in copies): 0.84 to 0.92 oz of nitrogen."""

SIDE_DRESS_WEEKS = (4, 6)
"""Weeks after planting in which to side-dress (the same source)."""

Floats = NDArray[np.float64]

UNTESTED = "medium"
MOST_G_M2 = 600.0
"""No more than this of any one product in a season, for salts and dust (common practice, no
source)."""


@dataclass(frozen=True)
class Dose:
    """Weight of one product for the bed, in whole measures, and the packs that it comes from.

    ``measures``: of ``measure_m3`` each, 0 where it is weighed only; ``pack``: as the brief says
    it, empty when it names none; ``packs``: how many it comes from, a part of one where only a part
    is at hand; ``from_hand``: how many of them are there already, the others being bought whole;
    ``price``: of those.
    """

    label: str
    product: str
    grade: str
    weight_kg: float
    volume_m3: float
    per_m2_g: float
    pack: str
    packs: float
    from_hand: float
    price: float | None
    measures: int = 0
    measure_m3: float = 0.0

    @property
    def to_buy(self) -> int:
        """Packs to be bought."""
        return round(self.packs - self.from_hand)


@dataclass(frozen=True)
class Choice:
    """A product that may go into the blend, and the pack it comes in if the brief names one."""

    label: str
    material: Material
    pack: Pack | None

    @property
    def stock_kg(self) -> float:
        """What is there already."""
        return self.pack.at_hand * self.pack.weight_kg if self.pack else 0.0

    @property
    def salt(self) -> float:
        """Grams of salt, as sodium nitrate, in a gram."""
        return self.material.salt_index / 100.0

    @property
    def can_be_bought(self) -> bool:
        """A usual product, or one whose price the brief states."""
        return self.pack is None or self.pack.price is not None

    def reaches(self, grams_m2: float, area_m2: float) -> bool:
        """Whether so much of it can be had."""
        return self.can_be_bought or self.stock_kg * 1000 >= grams_m2 * area_m2

    def dose(self, grams_m2: float, area_m2: float, before_kg: float = 0.0) -> Dose:
        """So many grams a square metre, as weight, measure and packs, where ``before_kg`` of what
        is at hand and bought went before."""
        weight = grams_m2 * area_m2 / 1000.0
        m = self.material
        grade = f"{m.n:g}-{m.p2o5:g}-{m.k2o:g}"
        volume = weight / m.loose_kg_m3
        if self.pack is None:
            return Dose(self.label, m.name, grade, weight, volume, grams_m2, "", 0, 0, None)
        packs, from_hand, price = whole_packs(self.pack, weight, before_kg)
        pack = self.pack.as_written
        return Dose(
            self.label, m.name, grade, weight, volume, grams_m2, pack, packs, from_hand, price
        )


def whole_packs(
    pack: Pack, weight_kg: float, before_kg: float = 0.0
) -> tuple[float, float, float | None]:
    """Packs that a weight comes from, how many are at hand, and the price of the others, bought
    whole; ``before_kg``: what the same packs gave already, and what was bought for it."""
    hand, buy = _from_hand_and_bought(pack, before_kg + weight_kg)
    if before_kg > 0.0:
        hand_before, buy_before = _from_hand_and_bought(pack, before_kg)
        hand, buy = hand - hand_before, buy - buy_before
    price = None if pack.price is None else pack.price * buy
    return hand + buy, hand, 0.0 if buy == 0 else price


def _from_hand_and_bought(pack: Pack, weight_kg: float) -> tuple[float, int]:
    """Of the packs that hold a weight, how many are at hand and how many must be bought."""
    needed = weight_kg / pack.weight_kg
    hand = min(pack.at_hand, max(math.ceil(needed - 1e-9), 1))
    return hand, max(math.ceil(needed - pack.at_hand - 1e-9), 0)


@dataclass(frozen=True)
class Feed:
    """The blend: targets and what it gives (g/m² of N, P2O5, K2O), doses, what it misses.

    ``assumed``: which of phosphorus and potassium were not tested; ``levels``: what the test
    amounts to, of phosphorus and of potassium; ``salt_g_m2``: salt it brings, as sodium nitrate;
    ``alternative``: one all-purpose product that covers phosphorus and potassium instead, with what
    it then brings; ``side_dress``: one feeding of nitrogen later in the season.
    """

    target_g_m2: Grams
    cap_g_m2: float
    given_g_m2: Grams
    assumed: tuple[str, ...]
    levels: tuple[str | None, str | None]
    salt_g_m2: float
    doses: tuple[Dose, ...]
    alternative: Dose | None
    alternative_gives_g_m2: Grams | None
    shortfall: tuple[Shortfall, ...]
    side_dress: Dose


def feed(
    area_m2: float, ground: GroundFound, packs: list[Pack], measure_m3: float = MEASURE_M3
) -> Feed:
    """The blend by the soil test, from the fertilisers named, or of a usual one.

    ``measure_m3``: that the doses are rounded to.
    """
    test = ground.test
    levels = level_of(test, "phosphorus"), level_of(test, "potassium")
    names = ("phosphorus", "potassium")
    assumed = tuple(n for n, level in zip(names, levels, strict=True) if level is None)
    phosphate, potash = (TARGET_G_M2[level or UNTESTED] for level in levels)
    floor, cap = NITROGEN_G_M2
    target = Grams(floor, phosphate, potash)
    choices = [Choice(p.label, p.material, p) for p in packs if _fit_to_feed(p, test.ph)]
    if not any(p.material.sort == "feed" for p in packs):
        choices = [Choice(name, materials()[name], None) for name in USUAL]
    wanted = Wanted(target, cap, SALT_LIMIT_G_M2)
    measured, grams = _blend(choices, area_m2, wanted, measure_m3)
    given = _gives(choices) @ grams
    salt = float(sum(c.salt * g for c, g in zip(choices, grams, strict=True)))
    alternative, gives_instead = _all_purpose(choices, target, area_m2, measure_m3)
    return Feed(
        target,
        cap,
        Grams(*map(float, given)),
        assumed,
        levels,
        salt,
        tuple(dose for dose in measured if dose is not None),
        alternative,
        gives_instead,
        tuple(shortfalls(target, given, NEAR_ENOUGH)),
        _side_dress(choices, grams, area_m2, measure_m3),
    )


def measure_of(ground: GroundFound, in_cups: bool) -> float:
    """The measure that doses are rounded to, m³: the scoop named, a quarter cup or 50 mL."""
    return ground.scoop or (CUP_M3 / 4 if in_cups else MEASURE_M3)


def _side_dress(choices: list[Choice], grams: Floats, area_m2: float, measure_m3: float) -> Dose:
    """One feeding of nitrogen later on, from what the blend (``grams``) leaves: the product that
    costs least more, and of those the richest and quickest."""
    found: list[tuple[float, float, Dose]] = []
    for choice, spread in zip(choices, grams, strict=True):
        rate, frees = _side_rate(choice.material), _per_gram(choice.material).nitrogen
        if rate is None or not choice.reaches(spread + rate, area_m2):
            continue
        of_it = sum(g for c, g in zip(choices, grams, strict=True) if c.material == choice.material)
        most, before = MOST_G_M2 - float(of_it), float(spread) * area_m2 / 1000
        dose = measured(choice, rate, area_m2, measure_m3, most, before)
        found.append((dose.price or 0.0, -frees, dose))
    if found:
        return min(found, key=lambda one: one[:2])[2]
    usual = Choice("ammonium sulfate", materials()["ammonium sulfate"], None)
    rate = _side_rate(usual.material)
    assert rate is not None
    return measured(usual, rate, area_m2, measure_m3)


def _side_rate(material: Material) -> float | None:
    """Grams on a square metre of one side-dressing; None of what is none for that."""
    frees = _per_gram(material).nitrogen
    if frees < LEAST_NITROGEN or material.p2o5 + material.k2o > 5.0:
        return None
    return SIDE_DRESS_G_M2 / frees


LEAST_NITROGEN = 0.05
"""Share of a product that must be nitrogen freed in the season for it to side-dress with."""


def measured(
    choice: Choice,
    grams_m2: float,
    area_m2: float,
    measure_m3: float,
    most_g_m2: float = MOST_G_M2,
    before_kg: float = 0.0,
) -> Dose:
    """A dose in whole measures, as coarse as come to it within NEAR_ENOUGH and to no more than
    ``most_g_m2`` or what can be had; else weighed.  ``before_kg``: see ``Choice.dose``."""
    weight, density = grams_m2 * area_m2 / 1000, choice.material.loose_kg_m3
    most = min(weight / NEAR_ENOUGH, most_g_m2 * area_m2 / 1000)
    if not choice.can_be_bought:
        most = min(most, choice.stock_kg - before_kg)
    for finer in range(FINEST):
        size = dose_measure(choice.material, weight, measure_m3, finer)
        if size is None:
            break
        near = weight / (density * size)
        for count in sorted((math.floor(near), math.ceil(near)), key=lambda n: abs(n - near)):
            grams = count * density * size * 1000 / area_m2
            if NEAR_ENOUGH * weight <= count * density * size <= most:
                dose = choice.dose(grams, area_m2, before_kg)
                return replace(dose, measures=count, measure_m3=size)
    return choice.dose(grams_m2, area_m2, before_kg)


def dose_measure(
    material: Material, weight_kg: float, measure_m3: float, finer: int = 0
) -> float | None:
    """The measure for a weight: the usual one, a tablespoon or a quarter teaspoon, the largest of
    which it takes a few, or so many sizes ``finer``; None, to be weighed, where there is none."""
    volume = weight_kg / material.loose_kg_m3
    sizes = (measure_m3, SPOON_M3, TEASPOON_M3 / 4)
    fit = [size for size in sizes if size <= measure_m3 and volume >= FEW * size]
    return fit[finer] if finer < len(fit) else None


FINEST = 3
"""How much finer measures can get: three sizes, then weighed."""


def _per_gram(material: Material) -> Grams:
    """Grams of available N, P2O5, K2O in a gram."""
    return Grams(
        material.n / 100 * material.n_release,
        material.p2o5 / 100,
        material.k2o / 100,
    )


def _gives(choices: list[Choice]) -> Floats:
    """(3, choices) grams of available N, P2O5, K2O in a gram of each."""
    return np.array([_per_gram(c.material) for c in choices]).reshape(-1, 3).T


def _fit_to_feed(pack: Pack, ph: float | None) -> bool:
    """Fertilisers, but ash only where the soil is known to be acid enough for its lime."""
    if pack.material.sort != "feed":
        return False
    return pack.material.neutralising == 0 or (ph is not None and ph < ASH_PH)


def _blend(
    choices: list[Choice], area_m2: float, wanted: Wanted, measure_m3: float
) -> tuple[list[Dose | None], Floats]:
    """Each product's dose in whole measures, None of none, and grams a square metre.

    The measures are as coarse as still meet what the blend by weight meets.
    """
    each = area_m2 / 1000.0
    products = _products(choices, area_m2)
    grams = solve_blend(products, wanted)
    grams = np.where(grams > LEAST_DOSE_G_M2, grams, 0.0)
    for finer in range(FINEST + 1):
        sizes = [
            dose_measure(c.material, g * each, measure_m3, finer)
            for c, g in zip(choices, grams, strict=True)
        ]
        # What is less than a few of any measure is weighed: to a twentieth of it.
        step = np.array(
            [
                max(g / 20, 1e-6) if size is None else c.material.loose_kg_m3 * size / each
                for c, g, size in zip(choices, grams, sizes, strict=True)
            ]
        )
        counts, met = in_measures(products, wanted, grams, step)
        if met:
            break
    doses: list[Dose | None] = []
    for c, n, s, size in zip(choices, counts, step, sizes, strict=True):
        dose = c.dose(float(n * s), area_m2)
        if size is not None:
            dose = replace(dose, measures=int(n), measure_m3=size)
        doses.append(dose if n > 0 else None)
    return doses, counts * step


def _products(choices: list[Choice], area_m2: float) -> Products:
    """The choices as the programme wants them: what is at hand costs nothing, what has no price
    cannot be bought, and room is left for a side-dressing of those that may serve for it."""
    each = area_m2 / 1000.0
    kinds = {material: k for k, material in enumerate({c.material: None for c in choices})}
    return Products(
        gives=_gives(choices),
        salt=np.array([c.salt for c in choices]),
        most=np.array([MOST_G_M2 - (_side_rate(c.material) or 0.0) for c in choices]),
        stock=np.array([c.stock_kg / each for c in choices]),
        pack=np.array(
            [
                np.inf if c.pack is None else c.pack.weight_kg / each if c.can_be_bought else 0.0
                for c in choices
            ]
        ),
        price=np.array([c.pack.price or 0.0 if c.pack else 0.0 for c in choices]),
        same=np.array([kinds[c.material] for c in choices], np.int64),
    )


LEAST_DOSE_G_M2 = 0.05


FEW = 3.0
"""Doses of fewer measures than this are given in a smaller one."""


def _all_purpose(
    choices: list[Choice], target: Grams, area: float, measure_m3: float
) -> tuple[Dose | None, Grams | None]:
    """The one complete product, own or usual, that overshoots nitrogen least."""
    floor, phosphate, potash = target
    usual = [Choice(name, materials()[name], None) for name in COMPLETE]
    best: tuple[float, Dose, Grams] | None = None
    for choice in [*choices, *usual]:
        n, p, k = _per_gram(choice.material)
        if min(n, p, k) <= 0:
            continue
        grams = max(phosphate / p, potash / k, floor / n)
        fits = grams <= MOST_G_M2 and choice.salt * grams <= SALT_LIMIT_G_M2 + 1e-6
        if fits and choice.reaches(grams, area) and (best is None or n * grams < best[0]):
            most = min(MOST_G_M2, SALT_LIMIT_G_M2 / max(choice.salt, 1e-9))
            dose = measured(choice, grams, area, measure_m3, most)
            given = dose.per_m2_g
            best = (n * grams, dose, Grams(n * given, p * given, k * given))
    return (best[1], best[2]) if best else (None, None)
