"""Fertiliser: the least-cost blend that meets phosphorus and potassium and spares nitrogen, since
too much gives leaf for flower.  Grades are percent N, P2O5 and K2O by weight, as labels state them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import GroundFound
from bedwright.ground.blend import NEAR_ENOUGH, Shortfall, shortfalls, solve_blend, whole_measures
from bedwright.ground.materials import Material, Pack, materials
from bedwright.ground.soiltest import level_of
from bedwright.units import CUP_M3, SPOON_M3, TEASPOON_M3, System

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

LEAST_PRICE = 0.02
"""What a kilogram counts for at least, as a share of the usual price: spreading is work too."""

USED_UP = 0.05
"""Weight of what a blend uses of a pack that must be bought whole."""

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

UNTESTED = "medium"
MOST_KG_M2 = 0.6
"""No more than this of any one product, for salts and dust (common practice, no source)."""


@dataclass(frozen=True)
class Dose:
    """Weight of one product for the bed, in whole measures, and the whole packs that hold it.

    ``measures``: of ``measure_m3`` each, 0 where it is weighed only; ``pack``: as the brief says
    it, empty when it names none; ``packs``: how many are needed; ``from_hand``: how many of them
    are there already; ``price``: of the packs still to be bought.
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
    measures: int = 0
    measure_m3: float = 0.0


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
    """Packs that hold a weight, how many need not be bought, and the price of the rest."""
    packs = max(math.ceil(weight_kg / pack.weight_kg - 1e-9), 1)
    short = weight_kg / pack.weight_kg - pack.at_hand
    to_buy = min(max(math.ceil(short - 1e-9), 0), packs)
    price = None if pack.price is None else pack.price * to_buy
    return packs, packs - to_buy, 0.0 if to_buy == 0 else price


@dataclass(frozen=True)
class Feed:
    """The blend: targets and what it gives (g/m² of N, P2O5, K2O), doses, what it misses.

    ``assumed``: which of phosphorus and potassium no test told; ``levels``: what the test amounts
    to; ``salt_g_m2``: salt it brings, as sodium nitrate; ``alternative``: one all-purpose product
    that covers phosphorus and potassium instead, with what it then brings; ``side_dress``: one
    feeding of nitrogen later in the season.
    """

    target_g_m2: tuple[float, float, float]
    cap_g_m2: float
    given_g_m2: tuple[float, float, float]
    assumed: tuple[str, ...]
    levels: tuple[str | None, str | None]
    salt_g_m2: float
    doses: tuple[Dose, ...]
    alternative: Dose | None
    alternative_gives_g_m2: tuple[float, float, float] | None
    shortfall: tuple[Shortfall, ...]
    side_dress: Dose


def feed(area_m2: float, ground: GroundFound, packs: list[Pack], units: System = "metric") -> Feed:
    """Reckon the blend from the soil test and the fertilisers named, or a usual one.

    ``units``: whose measures the doses are rounded to, unless the brief names a scoop.
    """
    test = ground.test
    levels = level_of(test, "phosphorus"), level_of(test, "potassium")
    names = ("phosphorus", "potassium")
    assumed = tuple(n for n, level in zip(names, levels, strict=True) if level is None)
    phosphate, potash = (TARGET_G_M2[level or UNTESTED] for level in levels)
    floor, cap = NITROGEN_G_M2
    target = (floor, phosphate, potash)
    choices = [Choice(p.label, p.material, p) for p in packs if _fit_to_feed(p, test.ph)]
    if not any(p.material.sort == "feed" for p in packs):
        choices = [Choice(name, materials()[name], None) for name in USUAL]
    measured, grams = _blend(choices, area_m2, target, cap, measure_of(ground, units))
    given = _gives(choices) @ grams
    salt = float(sum(c.salt * g for c, g in zip(choices, grams, strict=True)))
    measure = measure_of(ground, units)
    alternative, gives_instead = _all_purpose(choices, target, area_m2, measure)
    return Feed(
        target,
        cap,
        (float(given[0]), float(given[1]), float(given[2])),
        assumed,
        levels,
        salt,
        tuple(dose for dose in measured if dose is not None),
        alternative,
        gives_instead,
        tuple(shortfalls(target, given, NEAR_ENOUGH)),
        _side_dress(choices, area_m2, measure),
    )


def measure_of(ground: GroundFound, units: System) -> float:
    """The measure that doses are rounded to, m³: the scoop named, a quarter cup or 50 mL."""
    return ground.scoop or (CUP_M3 / 4 if units == "us" else 5e-5)


def _side_dress(choices: list[Choice], area_m2: float, measure_m3: float) -> Dose:
    """One feeding of nitrogen later on, of the quickest and richest nitrogen product there is."""
    usual = Choice("ammonium sulfate", materials()["ammonium sulfate"], None)

    def frees(choice: Choice) -> float:
        return _per_gram(choice.material)[0]

    own = [
        c
        for c in choices
        if frees(c) >= LEAST_NITROGEN
        and c.material.p2o5 + c.material.k2o <= 5.0
        and c.reaches(SIDE_DRESS_G_M2 / frees(c), area_m2)
    ]
    best = max(own, key=frees, default=usual)
    return measured(best, SIDE_DRESS_G_M2 / frees(best), area_m2, measure_m3)


LEAST_NITROGEN = 0.05
"""Share of a product that must be nitrogen freed in the season for it to side-dress with."""


def measured(choice: Choice, grams_m2: float, area_m2: float, measure_m3: float) -> Dose:
    """A dose in the nearest whole number of measures, or weighed where it is less than a few of the
    smallest."""
    weight = grams_m2 * area_m2 / 1000
    size = dose_measure(choice.material, weight, measure_m3)
    if size is None:
        return choice.dose(grams_m2, area_m2)
    kilograms = choice.material.loose_kg_m3 * size
    count = round(weight / kilograms)
    dose = choice.dose(count * kilograms * 1000 / area_m2, area_m2)
    return replace(dose, measures=count, measure_m3=size)


def dose_measure(material: Material, weight_kg: float, measure_m3: float) -> float | None:
    """The measure a weight is told in: the usual one, a tablespoon or a quarter teaspoon, the
    largest of which it takes a few; None where it takes few of any."""
    volume = weight_kg / material.loose_kg_m3
    sizes = (measure_m3, SPOON_M3, TEASPOON_M3 / 4)
    return next((size for size in sizes if size <= measure_m3 and volume >= FEW * size), None)


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
    choices: list[Choice],
    area_m2: float,
    target: tuple[float, float, float],
    cap: float,
    measure_m3: float,
) -> tuple[list[Dose | None], NDArray[np.float64]]:
    """Each product's dose in whole measures, None of none, and grams a square metre.

    Each product enters twice: what is at hand, as far as it goes, and what can be bought, which
    takes a price.
    """
    known = [c.price_kg for c in choices if c.price_kg is not None]
    typical = float(np.mean(known)) if known else 1.0
    gives, salt = _gives(choices), np.array([c.salt for c in choices])
    # Grams a square metre cost what the bed's do; without prices the lightest blend wins.
    each = area_m2 / 1000.0
    kilo = np.array([typical if c.price_kg is None else c.price_kg for c in choices])
    buy = np.maximum(kilo, LEAST_PRICE * typical if typical > 0 else 1.0) * each
    most = MOST_KG_M2 * 1000
    stock = np.array([min(c.stock_kg / each, most) for c in choices])
    supply = np.array([most if c.can_be_bought else 0.0 for c in choices])
    # What is priced by the pack is paid for by whole packs, and its weight counts a little beside.
    # A pack holds no more than may be spread, which keeps the solver's figures of one size.
    pack = np.array(
        [min(c.pack.weight_kg / each, most) if _priced(c) and c.pack else np.inf for c in choices]
    )
    price = np.array([c.pack.price or 0.0 if c.pack else 0.0 for c in choices])
    grams, _ = solve_blend(
        np.hstack([gives, gives]),
        np.concatenate([buy * AT_HAND, np.where(np.isfinite(pack), buy * USED_UP, buy)]),
        np.concatenate([stock, supply]),
        target,
        cap,
        (np.tile(salt, 2), SALT_LIMIT_G_M2),
        (np.concatenate([np.full(len(choices), np.inf), pack]), np.tile(price, 2)),
    )
    grams = grams[: len(choices)] + grams[len(choices) :]
    sizes = [
        dose_measure(c.material, g * each, measure_m3) for c, g in zip(choices, grams, strict=True)
    ]
    # What is less than a few of any measure is weighed: to a twentieth of it.
    step = np.array(
        [
            max(g / 20, 1e-9) if size is None else c.material.loose_kg_m3 * size / each
            for c, g, size in zip(choices, grams, sizes, strict=True)
        ]
    )
    limits = (salt, SALT_LIMIT_G_M2)
    counts = whole_measures(grams, step, gives, buy, target, cap, limits, stock + supply)
    doses: list[Dose | None] = []
    for c, n, s, size in zip(choices, counts, step, sizes, strict=True):
        dose = c.dose(float(n * s), area_m2)
        if size is not None:
            dose = replace(dose, measures=int(n), measure_m3=size)
        doses.append(dose if n > 0 and float(n * s) > LEAST_DOSE_G_M2 else None)
    return doses, counts * step


LEAST_DOSE_G_M2 = 0.05


def _priced(choice: Choice) -> bool:
    """Whether a product is bought by whole packs at a known price."""
    return choice.pack is not None and choice.pack.price is not None


FEW = 3.0
"""Doses of fewer measures than this are told in tablespoons."""


def _all_purpose(
    choices: list[Choice], target: tuple[float, float, float], area: float, measure_m3: float
) -> tuple[Dose | None, tuple[float, float, float] | None]:
    """The one complete product, own or usual, that overshoots nitrogen least."""
    floor, phosphate, potash = target
    usual = [Choice(name, materials()[name], None) for name in COMPLETE]
    best: tuple[float, Dose, tuple[float, float, float]] | None = None
    for choice in [*choices, *usual]:
        n, p, k = _per_gram(choice.material)
        if min(n, p, k) <= 0:
            continue
        grams = max(phosphate / p, potash / k, floor / n)
        fits = grams <= MOST_KG_M2 * 1000 and choice.salt * grams <= SALT_LIMIT_G_M2 + 1e-6
        if fits and choice.reaches(grams, area) and (best is None or n * grams < best[0]):
            dose = measured(choice, grams, area, measure_m3)
            given = dose.per_m2_g
            best = (n * grams, dose, (n * given, p * given, k * given))
    return (best[1], best[2]) if best else (None, None)
