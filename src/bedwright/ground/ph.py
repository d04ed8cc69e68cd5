"""Lime and sulfur: how much moves the soil to the pH wanted, and when to hold back.

Lime by texture from a table of ground limestone to pH 6.5 (key ``lime-chart`` in data/sources.csv),
scaled to the target as the table's own steps go, and by the product's calcium carbonate equivalent
(Penn State: rate x 100 / CCE); or from the soil's pH in a buffer, by the laboratory's own equation
(``buffer_lime_tons_acre``).  Sulfur by texture and pH unit (key ``purdue-sulfur``).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from bedwright.brief import GroundFound
from bedwright.dates import day_month_year
from bedwright.ground.feed import FEW, whole_packs
from bedwright.ground.materials import Material, Pack, materials
from bedwright.units import SPOON_M3, trim

TARGET_PH = 6.3
"""Target for most flowers (University of Connecticut, copy)."""

ENOUGH_PH = (5.8, 7.2)
"""No correction inside this range: most ornamentals want 5.8 to 6.5 (Clemson HGIC 1650, copy) and
bear a little lime."""

LB_100_SQFT = 0.45359237 / 9.290304
"""kg/m² in a pound per 100 square feet."""

_TABLE_PH = (4.0, 4.5, 5.0, 5.5, 6.0, 6.5)
_LIME_LB = {
    "light": (11.5, 9.5, 8.0, 6.0, 3.0, 0.0),
    "middle": (16.0, 13.5, 10.5, 8.0, 4.0, 0.0),
    "heavy": (23.0, 19.5, 15.0, 10.5, 5.5, 0.0),
}
_SULFUR_LB_PER_PH = {"light": 0.7, "middle": 1.1, "heavy": 1.7}
_WEIGHT = {
    "sand": "light",
    "sandy loam": "light",
    "loam": "middle",
    "silt loam": "middle",
    "clay loam": "heavy",
    "clay": "heavy",
}
SPLIT_LB = (10.999, 20.999)
"""11 to 20 lb per 100 sq ft in two halves six months apart, 21 and more in three (Penn State)."""

MOST_SULFUR_LB = 1.0
"""10 lb per 1,000 sq ft in one application, again after two to three months (Clemson EC 707)."""

LIME_DEPTH_M = 0.2032
"""Depth of soil that the rates are for: eight inches (the SMP equations; the chart by texture says
only as deep as possible)."""

MUCH_LIME_LB = 25.0
"""Pounds on 100 square feet from which a laboratory should be asked first (estimate)."""

HOLD_DAYS = 365
"""Lime works for about a year before a test shows it (extension advice, from memory)."""


@dataclass(frozen=True)
class PhDose:
    """What to spread: product, weight now, in how many doses and how far apart.

    ``measures``: of ``measure_m3`` each, the nearest whole number to the dose now.
    """

    product: str
    label: str
    total_kg: float
    now_kg: float
    volume_now_m3: float
    doses: int
    months_apart: int
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
class PhAdvice:
    """pH found and wanted, the dose if any, and the reason in words."""

    found: float | None
    target: float
    dose: PhDose | None
    reason: str


def ph_advice(
    area_m2: float, ground: GroundFound, packs: list[Pack], on: date, measure_m3: float = 5e-5
) -> PhAdvice:
    """Lime or sulfur for a bed about to be dug ``on`` a day, in whole measures."""
    advice = _advice(area_m2, ground, packs, on)
    if advice.dose is None:
        return advice
    dose, size = advice.dose, measure_m3
    if dose.volume_now_m3 < FEW * size:
        size = SPOON_M3
    count = max(round(dose.volume_now_m3 / size), 1)
    return replace(advice, dose=replace(dose, measures=count, measure_m3=size))


def _advice(area_m2: float, ground: GroundFound, packs: list[Pack], on: date) -> PhAdvice:
    found = ground.test.ph
    if found is None:
        return PhAdvice(
            None, TARGET_PH, None, "The pH is not known: test the soil before any lime or sulfur."
        )
    low, high = ENOUGH_PH
    if low <= found <= high:
        return PhAdvice(
            found,
            TARGET_PH,
            None,
            f"pH {found:g} suits most annuals ({low:g} to {high:g}): nothing to do.",
        )
    if found < low:
        if ground.limed is not None and 0 <= (on - ground.limed).days < HOLD_DAYS:
            return PhAdvice(
                found,
                TARGET_PH,
                None,
                f"Limed on {day_month_year(ground.limed)}, less than a year before: lime is"
                " still at work, so hold back and test again.",
            )
        return _lime(area_m2, ground, found, packs)
    return _sulfur(area_m2, found, ground.texture, packs)


def lime_lb_100_sqft(found: float, target: float, texture: str) -> float:
    """Ground limestone (CCE 100) in pounds per 100 square feet, between the table's steps."""
    table = _LIME_LB[_WEIGHT[texture]]
    at = np.interp([found, target], _TABLE_PH, table)
    return float(max(at[0] - at[1], 0.0))


TONS_ACRE_LB_100_SQFT = 2000.0 / 435.6
"""Pounds on 100 square feet in a US ton an acre."""

_SMP = {6.8: (71.4, 1.03), 6.5: (60.4, 0.87), 6.0: (49.3, 0.71)}
"""Tons an acre of ground limestone for eight inches to three targets: a - b x 10 x buffer pH
(Tri-State Fertilizer Recommendations E-2567, mineral soils, from memory)."""
_SMP_CCE = 0.9
"""Neutralising value of the limestone those are for (Ohio State University's table, read in a copy
cut short before its figures)."""


def buffer_lime_tons_acre(ph: float, buffer_ph: float, target: float, method: str) -> float:
    """Pure lime, US tons an acre, that brings a soil to the target by its pH in a buffer.

    Mehlich: (6.6 - buffer pH) x 4 meq of acidity, times the share of the way from the soil's pH to
    6.6 (North Carolina Department of Agriculture, key ``nc-buffer``).  SMP: between the equations
    for the nearest targets.
    """
    if ph >= target:
        return 0.0
    if method == "Mehlich":
        return max((6.6 - buffer_ph) * 4.0, 0.0) * (target - ph) / (6.6 - ph)
    targets = sorted(_SMP)
    tons = [max(_SMP[t][0] - _SMP[t][1] * 10.0 * buffer_ph, 0.0) for t in targets]
    return _SMP_CCE * float(np.interp(target, targets, tons))


def _lime(area: float, ground: GroundFound, found: float, packs: list[Pack]) -> PhAdvice:
    test = ground.test
    by = f"by texture ({ground.texture})"
    pounds = lime_lb_100_sqft(found, TARGET_PH, ground.texture)
    if test.buffer_ph is not None and test.buffer_method is not None:
        by = f"by its pH of {test.buffer_ph:g} in the {test.buffer_method} buffer"
        tons = buffer_lime_tons_acre(found, test.buffer_ph, TARGET_PH, test.buffer_method)
        pounds = tons * TONS_ACRE_LB_100_SQFT
    pounds *= ground.dig_depth / LIME_DEPTH_M
    doses = 1 + sum(pounds > limit for limit in SPLIT_LB)
    if pounds <= 0.0:
        reason = f"pH {found:g} is sour, but {by} the soil wants no lime: test again in a year."
        return PhAdvice(found, TARGET_PH, None, reason)

    def rate(material: Material) -> float:
        return pounds * LB_100_SQFT * 100.0 / material.neutralising

    label, material, pack = _product("lime", "ground limestone", packs, lambda m: rate(m) * area)
    much = " So much lime is unusual: ask the laboratory first." if pounds > MUCH_LIME_LB else ""
    lacking = _lacking(pack, rate(material) * area)
    return PhAdvice(
        found,
        TARGET_PH,
        _dose(label, material, pack, rate(material), area, (doses, 6)),
        f"pH {found:g} is sour for most annuals: lime, {by}, raises it toward {TARGET_PH:g}.{much}"
        f"{lacking}",
    )


def _sulfur(area: float, found: float, texture: str, packs: list[Pack]) -> PhAdvice:
    pounds = _SULFUR_LB_PER_PH[_WEIGHT[texture]] * (found - 7.0)
    total = pounds * LB_100_SQFT * area
    label, material, pack = _product("sulfur", "sulfur", packs, lambda _: total)
    doses = max(int(np.ceil(pounds / MOST_SULFUR_LB - 1e-9)), 1)
    return PhAdvice(
        found,
        7.0,
        _dose(label, material, pack, pounds * LB_100_SQFT, area, (doses, 3)),
        f"pH {found:g} is limy: sulfur lowers it toward 7. Where a drop of vinegar fizzes there is"
        " free lime, and sulfur cannot do it: choose kinds that like lime."
        f"{_lacking(pack, total)}",
    )


def _product(
    sort: str, usual: str, packs: list[Pack], needed_kg: Callable[[Material], float]
) -> tuple[str, Material, Pack | None]:
    """The gardener's own product of a sort for which least must be paid, or the usual one; where
    none holds enough and none can be bought, the one of which most of what is needed is there."""

    def rank(pack: Pack) -> tuple[bool, float]:
        needed = needed_kg(pack.material)
        price = whole_packs(pack, needed)[2]
        return price is None, -pack.at_hand * pack.weight_kg / needed if price is None else price

    named = [pack for pack in packs if pack.material.sort == sort]
    own = min(named, key=rank, default=None)
    return (own.label, own.material, own) if own else (usual, materials()[usual], None)


def _there_kg(pack: Pack | None, wanted_kg: float) -> float:
    """How much of a weight can be had: all, but of what is there and cannot be bought what there
    is."""
    if pack is None or pack.price is not None or pack.at_hand == 0:
        return wanted_kg
    return min(wanted_kg, pack.at_hand * pack.weight_kg)


def _lacking(pack: Pack | None, wanted_kg: float) -> str:
    """Words that there is too little, where there is."""
    share = _there_kg(pack, wanted_kg) / wanted_kg
    if share >= 1.0:
        return ""
    said = trim(100.0 * share, 2)
    return f" What can be had is {said}% of what is wanted: test again before more."


def _dose(
    label: str,
    material: Material,
    pack: Pack | None,
    rate_kg_m2: float,
    area: float,
    spread: tuple[int, int],
) -> PhDose:
    """As much as can be had.  ``spread``: in how many doses, how many months apart."""
    total = _there_kg(pack, rate_kg_m2 * area)
    doses, months = spread
    packs, from_hand, price = whole_packs(pack, total) if pack else (0, 0, None)
    return PhDose(
        material.name,
        label,
        total,
        total / doses,
        total / doses / material.loose_kg_m3,
        doses,
        months,
        total / area * 1000,
        pack.said if pack else "",
        packs,
        from_hand,
        price,
    )
