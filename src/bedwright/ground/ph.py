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
from bedwright.facts import Fact
from bedwright.ground.feed import Choice, measured, whole_packs
from bedwright.ground.materials import Material, Pack, materials

TARGET_PH = 6.3
"""Target for most flowers (University of Connecticut, copy)."""

NEUTRAL_PH = 7.0
"""What sulfur lowers the pH of an alkaline soil to, at the least (estimate)."""

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

    ``measures``: of ``measure_m3`` each, the whole number that comes to the dose now within
    a twentieth; 0 where it is weighed only.
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
    """pH found and wanted, the dose if any, and why: the finding first, then what to mind."""

    found: float | None
    target: float
    dose: PhDose | None
    reasons: tuple[Fact, ...]


@dataclass(frozen=True)
class PhUnknown(Fact):
    """No test says what the pH is."""


@dataclass(frozen=True)
class PhSuits(Fact):
    """A pH between bounds that suit most annuals."""

    ph: float
    low: float
    high: float


@dataclass(frozen=True)
class LimedLately(Fact):
    """Lime of that day is still at work: it takes so many days."""

    ph: float
    limed: date
    hold_days: int


@dataclass(frozen=True)
class ByTexture(Fact):
    """How much lime a soil wants, by its texture."""

    texture: str


@dataclass(frozen=True)
class ByBuffer(Fact):
    """How much lime a soil wants, by its pH in a buffer."""

    buffer_ph: float
    method: str


@dataclass(frozen=True)
class AcidButNoLime(Fact):
    """An acid soil that wants no lime, by that finding."""

    ph: float
    by: Fact


@dataclass(frozen=True)
class LimeRaisesPh(Fact):
    """A soil too acid for most annuals, and what lime, by that finding, raises its pH to."""

    ph: float
    target_ph: float
    by: Fact


@dataclass(frozen=True)
class MuchLime(Fact):
    """An unusual amount of pure lime; ``ask_from``: from which to ask a laboratory."""

    lime_g_m2: float
    ask_from_g_m2: float


@dataclass(frozen=True)
class SulfurLowersPh(Fact):
    """An alkaline soil, and what sulfur lowers its pH to."""

    ph: float
    target_ph: float


@dataclass(frozen=True)
class NoneToBeHad(Fact):
    """Products, by label, that the brief names, of which none is at hand and none has a price."""

    labels: tuple[str, ...]


@dataclass(frozen=True)
class PackNamed(Fact):
    """A product in its pack, as the gardener wrote both."""

    label: str
    pack: str


@dataclass(frozen=True)
class OnlyPartToBeHad(Fact):
    """Only a share of what is wanted can be had of a product; where the rest may come from."""

    product: PackNamed
    share: float
    others: tuple[PackNamed, ...]


def ph_advice(
    area_m2: float, ground: GroundFound, packs: list[Pack], on: date, measure_m3: float = 5e-5
) -> PhAdvice:
    """Lime or sulfur for a bed about to be dug ``on`` a day, in whole measures or weighed."""
    advice, pack = _advice(area_m2, ground, packs, on)
    dose = advice.dose
    if dose is None:
        return advice
    material = pack.material if pack else materials()[dose.product]
    # No more than the packs hold from which it comes.
    there_kg = dose.packs * pack.weight_kg / dose.doses if pack else np.inf
    now_g, most_g = dose.now_kg * 1000 / area_m2, there_kg * 1000 / area_m2
    near = measured(Choice(dose.label, material, None), now_g, area_m2, measure_m3, most_g)
    dose = replace(dose, measures=near.measures, measure_m3=near.measure_m3)
    return replace(advice, dose=dose)


def _without(found: float | None, target: float, reason: Fact) -> tuple[PhAdvice, None]:
    """Advice to spread nothing."""
    return PhAdvice(found, target, None, (reason,)), None


def _advice(
    area_m2: float, ground: GroundFound, packs: list[Pack], on: date
) -> tuple[PhAdvice, Pack | None]:
    """The advice by weight, and the gardener's own pack that the dose comes from, if any."""
    found = ground.test.ph
    if found is None:
        return _without(None, TARGET_PH, PhUnknown())
    low, high = ENOUGH_PH
    if low <= found <= high:
        return _without(found, TARGET_PH, PhSuits(found, low, high))
    if found > high:
        return _sulfur(area_m2, found, ground.texture, packs)
    if ground.limed is not None and 0 <= (on - ground.limed).days < HOLD_DAYS:
        return _without(found, TARGET_PH, LimedLately(found, ground.limed, HOLD_DAYS))
    return _lime(area_m2, ground, found, packs)


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


def _lime(
    area: float, ground: GroundFound, found: float, packs: list[Pack]
) -> tuple[PhAdvice, Pack | None]:
    test = ground.test
    by: Fact = ByTexture(ground.texture)
    pounds = lime_lb_100_sqft(found, TARGET_PH, ground.texture)
    if test.buffer_ph is not None and test.buffer_method is not None:
        by = ByBuffer(test.buffer_ph, test.buffer_method)
        tons = buffer_lime_tons_acre(found, test.buffer_ph, TARGET_PH, test.buffer_method)
        pounds = tons * TONS_ACRE_LB_100_SQFT
    pounds *= ground.dig_depth / LIME_DEPTH_M
    if pounds <= 0.0:
        return _without(found, TARGET_PH, AcidButNoLime(found, by))
    why: tuple[Fact, ...] = (LimeRaisesPh(found, TARGET_PH, by),)
    if pounds > MUCH_LIME_LB:
        why += (MuchLime(pounds * LB_100_SQFT * 1000, MUCH_LIME_LB * LB_100_SQFT * 1000),)

    def rate(material: Material) -> float:
        return pounds * LB_100_SQFT * 100.0 / material.neutralising

    def split(share: float) -> tuple[int, int]:
        return 1 + sum(pounds * share > limit for limit in SPLIT_LB), 6

    wanted = _Wanted("lime", "ground limestone", area, rate, split)
    return _spread(PhAdvice(found, TARGET_PH, None, why), wanted, packs)


def _sulfur(
    area: float, found: float, texture: str, packs: list[Pack]
) -> tuple[PhAdvice, Pack | None]:
    pounds = _SULFUR_LB_PER_PH[_WEIGHT[texture]] * (found - NEUTRAL_PH)

    def split(share: float) -> tuple[int, int]:
        return max(int(np.ceil(pounds * share / MOST_SULFUR_LB - 1e-9)), 1), 3

    wanted = _Wanted("sulfur", "sulfur", area, lambda _: pounds * LB_100_SQFT, split)
    why = SulfurLowersPh(found, NEUTRAL_PH)
    return _spread(PhAdvice(found, NEUTRAL_PH, None, (why,)), wanted, packs)


@dataclass(frozen=True)
class _Wanted:
    """A sort of material, the usual one of it, the area, kg/m² of each, and in how many doses, how
    many months apart, a share of that is spread."""

    sort: str
    usual: str
    area_m2: float
    rate_kg_m2: Callable[[Material], float]
    split: Callable[[float], tuple[int, int]]

    def total_kg(self, material: Material) -> float:
        return self.rate_kg_m2(material) * self.area_m2


def _spread(advice: PhAdvice, wanted: _Wanted, packs: list[Pack]) -> tuple[PhAdvice, Pack | None]:
    """The advice with its dose, where any can be had."""
    named = [pack for pack in packs if pack.material.sort == wanted.sort]
    there = [pack for pack in named if pack.price is not None or pack.at_hand > 0]
    if named and not there:
        none = NoneToBeHad(tuple(pack.label for pack in named))
        return replace(advice, reasons=(*advice.reasons, none)), None
    pack = _product(there, wanted.total_kg)
    material = pack.material if pack else materials()[wanted.usual]
    share = _there_kg(pack, wanted.total_kg(material)) / wanted.total_kg(material)
    lacking = _lacking(pack, share, there) if pack else ()
    dose = _dose(pack.label if pack else wanted.usual, material, pack, wanted, share)
    return replace(advice, dose=dose, reasons=(*advice.reasons, *lacking)), pack


def _product(packs: list[Pack], needed_kg: Callable[[Material], float]) -> Pack | None:
    """Of packs that can be had the one for which least must be paid; where none holds enough and
    none can be bought, the one of which most of what is needed is there."""

    def rank(pack: Pack) -> tuple[bool, float]:
        needed = needed_kg(pack.material)
        price = whole_packs(pack, needed)[2]
        return price is None, -pack.at_hand * pack.weight_kg / needed if price is None else price

    return min(packs, key=rank, default=None)


def _there_kg(pack: Pack | None, wanted_kg: float) -> float:
    """How much of a weight can be had: all, but of what cannot be bought what is there."""
    if pack is None or pack.price is not None:
        return wanted_kg
    return min(wanted_kg, pack.at_hand * pack.weight_kg)


def _lacking(pack: Pack, share: float, there: list[Pack]) -> tuple[Fact, ...]:
    """That there is too little of a pack's product, where there is, and what else is."""
    if share >= 1.0:
        return ()
    others = tuple(PackNamed(one.label, one.as_written) for one in there if one is not pack)
    return (OnlyPartToBeHad(PackNamed(pack.label, pack.as_written), share, others),)


def _dose(
    label: str, material: Material, pack: Pack | None, wanted: _Wanted, share: float
) -> PhDose:
    """A share of what is wanted."""
    total = wanted.total_kg(material) * share
    doses, months = wanted.split(share)
    packs, from_hand, price = whole_packs(pack, total) if pack else (0, 0, None)
    return PhDose(
        material.name,
        label,
        total,
        total / doses,
        total / doses / material.loose_kg_m3,
        doses,
        months,
        total / wanted.area_m2 * 1000,
        pack.as_written if pack else "",
        packs,
        from_hand,
        price,
    )
