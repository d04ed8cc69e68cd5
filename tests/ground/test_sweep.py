"""Grounds at random, each beside programmes written here: what goes in comes out, nothing passes
its limit, stock is used as far as it serves, and no more money is spent than must be."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from bedwright.brief import GroundFound, Si, SoilTest, Stock
from bedwright.ground import (
    Dose,
    NotEnoughToFill,
    NotRichEnough,
    PhDose,
    Refill,
    TooRich,
    materials,
    packs_of,
)
from bedwright.ground.blend import EXCESS_G_M2, NEAR_ENOUGH
from bedwright.ground.clear import SOIL_KG_M3
from bedwright.ground.feed import MOST_G_M2, NITROGEN_G_M2, SALT_LIMIT_G_M2, Feed, feed, measure_of
from bedwright.ground.materials import Material, Pack
from bedwright.ground.ph import ph_advice
from bedwright.ground.refill import LITTLE, MOST_ORGANIC, MOST_OVER, ORGANIC_FOUND, refill
from bedwright.report.soil import _so_many

MEASURES = {units: measure_of(GroundFound(), units == "us") for units in ("metric", "us")}


DIG = date(2027, 3, 1)
OF_SORT = {
    sort: [m.name for m in materials().values() if m.sort == sort]
    for sort in ("feed", "bulk", "lime", "sulfur")
}
SIZES = {True: ("25 L", "40 L", "70 L", "500 L", "1 m3"), False: ("500 g", "2 kg", "5 kg", "25 kg")}
GROUNDS = 40


@dataclass(frozen=True)
class Case:
    """A ground and what there is for it."""

    area: float
    ground: GroundFound
    packs: list[Pack]

    def of(self, sort: str) -> list[Pack]:
        return [pack for pack in self.packs if pack.material.sort == sort]


def goods_of(rng: np.random.Generator, sort: str, most: int) -> list[Stock]:
    """Up to so many materials of a sort: at hand in whole packs or parts, to be bought, or both."""
    materials = []
    names = OF_SORT[sort]
    for name in rng.choice(names, min(int(rng.integers(0, most + 1)), len(names)), replace=False):
        price = None if rng.random() < 0.3 else round(float(rng.uniform(1, 40)), 2)
        count = float(rng.choice([0, 0, 0, 0.4, 1, 1.5, 6]))
        pack = str(rng.choice(SIZES[sort == "bulk"]))
        materials.append(Stock(material=str(name), pack=pack, count=count, price=price))
    return materials


def case_of(seed: int) -> Case:
    rng = np.random.default_rng(seed)
    levels = (None, "low", "medium", "high")
    ph = None if rng.random() < 0.2 else round(float(rng.uniform(4, 9)), 1)
    phosphorus, potassium = (levels[int(n)] for n in rng.integers(0, 4, 2))
    ground = GroundFound(
        found="bare",
        texture=("sand", "sandy loam", "loam", "silt loam", "clay loam", "clay")[rng.integers(6)],
        raise_by=Si(rng.choice([0, 0, 0.02, 0.05, 0.1])),
        organic_matter_wanted=f"{rng.choice([4, 6, 10, 15])}%",
        limed=(None, date(2026, 9, 1), date(2024, 1, 1))[rng.integers(3)],
        test=SoilTest(ph=ph, phosphorus=phosphorus, potassium=potassium),
    )
    sorts = (("feed", 6), ("bulk", 4), ("lime", 3), ("sulfur", 1))
    packs, faults = packs_of([item for sort, most in sorts for item in goods_of(rng, sort, most)])
    assert faults == []
    return Case(float(10 ** rng.uniform(math.log10(0.3), math.log10(200))), ground, packs)


# --- feed ----------------------------------------------------------------------------------------


def frees(material: Material) -> list[float]:
    return [material.n * material.n_release / 100, material.p2o5 / 100, material.k2o / 100]


def least_money(packs: list[Pack], target: tuple[float, ...], area: float) -> float | None:
    """The least that any weights cost that reach a share of each target, NEAR_ENOUGH or all, within
    every limit; None where no weights do."""
    if not packs:
        return None
    each, n = area / 1000, len(packs)
    gives = np.array([frees(p.material) for p in packs]).T
    salt = np.array([[p.material.salt_index / 100 for p in packs]])
    rows = np.vstack([gives, salt])
    most = [NITROGEN_G_M2[1], *(max(t, 0.0) + EXCESS_G_M2 for t in target[1:]), SALT_LIMIT_G_M2]
    pack = np.array([min(p.weight_kg / each, MOST_G_M2) for p in packs])
    got = milp(
        np.concatenate([np.zeros(n), [p.price or 0.0 for p in packs]]),
        constraints=[
            LinearConstraint(np.hstack([rows, np.zeros((4, n))]), [*target, -np.inf], most),
            LinearConstraint(
                np.hstack([np.eye(n), -np.diag(pack)]),
                -np.inf,
                [p.at_hand * p.weight_kg / each for p in packs],
            ),
        ],
        bounds=Bounds(0, [MOST_G_M2] * n + [0.0 if p.price is None else np.inf for p in packs]),
        integrality=np.repeat([0, 1], n),
    )
    return None if got.x is None else float(got.fun)


def check_feed(case: Case, made: Feed) -> None:
    own = [
        p
        for p in case.of("feed")
        if p.material.neutralising == 0 or (case.ground.test.ph or 7.0) < 6.0
    ]
    products = {p.label: p.material for p in own} or materials()
    given = sum(
        (np.array(frees(products[d.label])) * d.per_m2_g for d in made.doses), start=np.zeros(3)
    )
    assert given == pytest.approx(made.given_g_m2, abs=1e-3)
    assert given[0] <= NITROGEN_G_M2[1] + 1e-3
    assert made.salt_g_m2 <= SALT_LIMIT_G_M2 + 1e-3
    for product in {dose.product for dose in made.doses}:
        uses = [d for d in (*made.doses, made.side_dress) if d.product == product]
        assert sum(d.per_m2_g for d in uses) <= MOST_G_M2 + 1e-3
    for pack in own:
        uses = [
            d
            for d in (*made.doses, made.side_dress)
            if (d.label, d.pack) == (pack.label, pack.as_written)
        ]
        if uses:
            check_packs(pack, uses, sum(d.weight_kg for d in uses))
    if not case.of("feed"):
        assert made.shortfall == ()
        return
    near = tuple(value * NEAR_ENOUGH for value in made.target_g_m2)
    least = least_money(own, near, case.area)
    assert least is None or made.shortfall == ()
    whole = least_money(own, made.target_g_m2, case.area)
    paid = sum(d.price or 0.0 for d in made.doses)
    assert whole is None or paid <= whole + 0.01


def check_packs(pack: Pack, uses: list[Dose] | list[PhDose], weight_kg: float) -> None:
    """Packs hold the weight, come from hand first, and are paid for whole."""
    from_hand, to_buy = sum(u.from_hand for u in uses), sum(u.to_buy for u in uses)
    assert from_hand <= pack.at_hand + 1e-9
    assert (from_hand + to_buy) * pack.weight_kg >= weight_kg - 1e-6
    assert to_buy == max(math.ceil(weight_kg / pack.weight_kg - pack.at_hand - 1e-6), 0)
    if pack.price is not None:
        assert sum(u.price or 0.0 for u in uses) == pytest.approx(pack.price * to_buy)


# --- refill --------------------------------------------------------------------------------------


def check_refill(case: Case, made: Refill) -> None:
    bulk = case.of("bulk")
    assert made.reached_m3 == pytest.approx(sum(a.settled_m3 for a in made.layers))
    if not bulk:
        return
    by_label = {p.label: p for p in bulk}
    for layer in made.layers:
        pack = by_label[layer.label]
        assert layer.packs == layer.from_hand + layer.to_buy
        assert layer.settled_m3 == pytest.approx(layer.packs * pack.settled_m3)
        assert layer.from_hand <= pack.at_hand
        assert layer.to_buy == 0 or pack.price is not None
        assert layer.price is None or layer.price == pytest.approx(
            (pack.price or 0.0) * layer.to_buy
        )
    if made.reached_m3 < made.wanted_m3 - 1e-6:
        assert all(p.price is None for p in bulk)
        there = sum(p.at_hand * p.settled_m3 for p in bulk)
        assert made.reached_m3 == pytest.approx(there), "all there is must go in"
        return
    richest, least = best_fill(case, made)
    assert richness(case, made) >= richest - 3 * LITTLE
    paid = sum(layer.price or 0.0 for layer in made.layers)
    assert least is None or paid <= 1.001 * least + 0.01


def richness(case: Case, made: Refill) -> float:
    """Organic matter brought beyond what is wanted of its own weight, a share of the soil, up to
    what the soil lacks."""
    soil = case.area * case.ground.dig_depth * SOIL_KG_M3[case.ground.texture]
    target = case.ground.organic_matter_wanted
    brought = sum(
        a.weight_kg * (1 - materials()[a.material].moisture) * (a.organic_share - target)
        for a in made.layers
    )
    return min(brought / soil, target - ORGANIC_FOUND["bare"])


def best_fill(case: Case, made: Refill) -> tuple[float, float | None]:
    """The most richness that any packs bring, and the least money for as much as was reached."""
    bulk, n, target = case.of("bulk"), len(case.of("bulk")), case.ground.organic_matter_wanted
    soil = case.area * case.ground.dig_depth * SOIL_KG_M3[case.ground.texture]
    lack = target - ORGANIC_FOUND["bare"]
    settled = np.array([p.settled_m3 for p in bulk])
    organic = np.array([p.material.organic_share for p in bulk])
    dry = np.array([p.dry_kg for p in bulk]) / soil
    per_m3 = float((dry * np.maximum(organic - target, 0.0) / settled).max())
    highest = max(MOST_OVER * made.wanted_m3, made.wanted_m3 + settled.max())
    if per_m3 > 0.0:
        highest = max(highest, 1.2 * max(lack, 0.0) / per_m3 + settled.max())
    whole = np.array([math.floor(p.at_hand) for p in bulk])
    part = np.array([p.at_hand for p in bulk]) - whole

    def over(values: np.ndarray) -> np.ndarray:
        return np.concatenate([values, values * part, values])

    rules = [LinearConstraint(over(settled) / highest, made.wanted_m3 / highest, 1.0)]
    if not any(isinstance(fact, TooRich) for fact in made.warnings):
        room = max(MOST_ORGANIC - ORGANIC_FOUND["bare"], 0.0)
        rules.append(LinearConstraint(over(dry * (organic - MOST_ORGANIC)), -np.inf, room))
    rich = over(dry * (organic - target))
    can = [math.inf if p.price is not None else 0.0 for p in bulk]
    bounds = Bounds(0, np.concatenate([whole, part > 0, can]))
    found = milp(-rich, constraints=rules, bounds=bounds, integrality=np.ones(3 * n),
                 options={"mip_rel_gap": 1e-3, "node_limit": 2000})  # fmt: skip
    richest = min(-found.fun, lack) if found.x is not None else -math.inf
    rules.append(LinearConstraint(rich, richness(case, made) - 1e-9, np.inf))
    money = np.concatenate([np.zeros(2 * n), [p.price or 0.0 for p in bulk]])
    cheapest = milp(money, constraints=rules, bounds=bounds, integrality=np.ones(3 * n),
                    options={"node_limit": 2000})  # fmt: skip
    return richest, None if cheapest.x is None else float(cheapest.fun)


# --- pH ------------------------------------------------------------------------------------------


def check_ph(case: Case) -> None:
    advice = ph_advice(case.area, case.ground, case.packs, DIG)
    dose, found = advice.dose, case.ground.test.ph
    if dose is None:
        held = found is not None and found < 5.8 and case.ground.limed == date(2026, 9, 1)
        if found is not None and not 5.8 <= found <= 7.2 and not held:
            named = case.of("lime" if found < 6.0 else "sulfur")
            assert named
            assert all(p.price is None and p.at_hand == 0 for p in named)
        return
    assert found is not None
    assert not (found < 6.0 and case.ground.limed == date(2026, 9, 1)), "limed lately"
    named = case.of("lime" if found < 6.0 else "sulfur")
    if dose.measures:
        density = next(
            (p.material for p in named if (p.label, p.as_written) == (dose.label, dose.pack)),
            materials()[dose.product],
        ).loose_kg_m3
        measured = dose.measures * dose.measure_m3 * density
        assert 0.95 - 1e-9 <= measured / dose.now_kg <= 1 / 0.95 + 1e-9
    pure = dose.total_kg * (materials()[dose.product].neutralising or 1.0)
    prices = []
    for pack in named:
        needed = pure / (pack.material.neutralising or 1.0)
        if (pack.label, pack.as_written) == (dose.label, dose.pack):
            check_packs(pack, [dose], needed)
        buy = max(math.ceil(needed / pack.weight_kg - pack.at_hand - 1e-9), 0)
        if buy == 0 or pack.price is not None:
            prices.append(buy * (pack.price or 0.0))
    if prices:
        assert dose.price == pytest.approx(min(prices)), "the product that costs least"


# --- the sweep, and what it found ----------------------------------------------------------------


def test_grounds_at_random_keep_every_balance(capfd: pytest.CaptureFixture[str]) -> None:
    for seed in range(GROUNDS):
        case = case_of(seed)
        units = "us" if seed % 2 else "metric"
        capfd.readouterr()
        fed, filled = feed(case.area, case.ground, case.packs, MEASURES[units]), refilled(case)
        assert capfd.readouterr() == ("", ""), "the solver must not write to the terminal"
        check_feed(case, fed)
        check_refill(case, filled)
        check_ph(case)


def refilled(case: Case) -> Refill:
    return refill(case.area, case.ground, None, case.packs)


def packs_from(*materials: tuple[str, str, float, float | None]) -> list[Pack]:
    """Material, pack, how many at hand, price."""
    packs, faults = packs_of(
        [
            Stock(material=m, pack=pack, count=count, price=price)
            for m, pack, count, price in materials
        ]
    )
    assert faults == []
    return packs


def bare(
    texture: str, ph: float | None, p: str | None, k: str | None, **more: object
) -> GroundFound:
    test = SoilTest(ph=ph, phosphorus=p, potassium=k)
    return GroundFound(found="bare", texture=texture, test=test, **more)


def test_a_blend_a_little_short_by_weight_is_not_short_in_measures() -> None:
    """Cottonseed meal at the cap on nitrogen brings 9.7 of 10 g of phosphate: near enough, and so
    in measures too."""
    packs = packs_from(
        ("hoof and horn", "2 kg", 0.5, None),
        ("poultry manure pellets", "500 g", 0, 7.19),
        ("potassium sulfate", "10 kg", 6, 6.19),
        ("cottonseed meal", "20 kg", 6, 10.55),
    )
    case = Case(1.0388789915623866, bare("loam", 5.3, "low", "low"), packs)
    made = feed(case.area, case.ground, case.packs)
    assert made.shortfall == ()
    check_feed(case, made)


def test_rounding_to_measures_buys_nothing_that_the_blend_does_not() -> None:
    """All of it is at hand; half a kilogram of superphosphate is just enough, by weight."""
    packs = packs_from(
        ("cottonseed meal", "500 g", 2, None),
        ("triple superphosphate", "500 g", 1, 16.27),
        ("urea", "10 kg", 6, None),
        ("ammonium sulfate", "2 kg", 0, 29.29),
        ("potassium sulfate", "5 kg", 0.5, 38.95),
    )
    case = Case(49.58249862760831, bare("loam", None, None, "low"), packs)
    made = feed(case.area, case.ground, case.packs, MEASURES["us"])
    assert sum(dose.price or 0.0 for dose in made.doses) == 0.0
    assert made.shortfall == ()
    check_feed(case, made)


@pytest.mark.parametrize("short_of", ["fill", "organic matter"])
def test_an_opened_bag_of_compost_goes_in(short_of: str) -> None:
    ground = bare("loam", None, None, None, raise_by=Si(0.1 if short_of == "fill" else 0.0),
                  organic_matter_wanted="15%")  # fmt: skip
    made = refill(4.0, ground, None, packs_from(("compost", "50 L", 2.5, None)))
    (layer,) = made.layers
    assert (layer.packs, layer.from_hand, layer.to_buy) == (2.5, 2.5, 0)
    assert made.reached_m3 == pytest.approx(2.5 * 0.05 * 0.75)
    assert NotRichEnough(made.organic_after, 0.15) in made.warnings
    assert (NotEnoughToFill(made.short_m) in made.warnings) == (short_of == "fill")


def test_an_opened_load_spares_a_bought_one() -> None:
    """0.6 m³ at hand and 0.3 m³ to fill: nothing is bought."""
    ground = bare("loam", None, None, None, raise_by=Si(0.05), organic_matter_wanted="4%")
    packs = packs_from(("compost", "1 m3", 0.6, 30.0), ("topsoil", "1 m3", 0, 20.0))
    made = refill(6.0, ground, None, packs)
    (layer,) = made.layers
    assert (layer.label, layer.from_hand, layer.to_buy, layer.price) == ("compost", 0.6, 0, 0.0)
    assert _so_many(layer.packs, layer.pack) == "0.6 of a pack of 1 m³"
    assert _so_many(1.25, "1 m³") == "1.25 × 1 m³"


def test_filling_is_silent(capfd: pytest.CaptureFixture[str]) -> None:
    """On these grounds the solver wrote lines of its own."""
    for area, texture, raise_by, packs in (
        (
            23.69725824260551,
            "clay",
            0.0,
            packs_from(("rotted manure", "50 L", 2, 24.04), ("coir", "1 m3", 2, None),
                       ("composted bark", "50 L", 0, 10.84), ("wood chips", "25 L", 2, 11.28)),
        ),
        (
            104.10187463961398,
            "sandy loam",
            0.1,
            packs_from(("leaf mould", "25 L", 1.5, 8.97), ("composted bark", "70 L", 6, 37.37),
                       ("leaf mould", "100 L", 0, 23.02)),
        ),
    ):  # fmt: skip
        ground = bare(texture, None, None, None, raise_by=Si(raise_by), organic_matter_wanted="15%")
        assert refill(area, ground, None, packs).layers
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("units", ["metric", "us"])
def test_feeding_is_silent(units: str, capfd: pytest.CaptureFixture[str]) -> None:
    """On these grounds too."""
    for area, texture, potassium, packs in (
        (
            8.251963899981044,
            "silt loam",
            "high",
            packs_from(("steamed bone meal", "500 g", 0, None), ("alfalfa meal", "5 kg", 0, None),
                       ("kelp meal", "10 kg", 0.5, 29.63), ("wood ash", "10 kg", 0, None),
                       ("ammonium sulfate", "5 kg", 1.5, 14.86),
                       ("dried blood", "500 g", 0.5, None),
                       ("ammonium sulfate", "500 g", 0.4, 39.1)),
        ),
        (
            3.2998866895988295,
            "sandy loam",
            "low",
            packs_from(("cottonseed meal", "25 kg", 6, 32.73), ("dried blood", "2.5 kg", 0, None),
                       ("triple superphosphate", "2.5 kg", 1.5, 31.49),
                       ("steamed bone meal", "10 kg", 0, 19.73)),
        ),
    ):  # fmt: skip
        assert feed(area, bare(texture, None, "low", potassium), packs, MEASURES[units]).doses
    assert capfd.readouterr() == ("", "")


def test_lime_at_hand_goes_before_lime_that_costs() -> None:
    packs = packs_from(
        ("dolomitic limestone", "20 kg", 0, 13.06), ("ground limestone", "20 kg", 1, None)
    )
    dose = ph_advice(6.0, bare("loam", 5.0, None, None), packs, DIG).dose
    assert dose is not None
    assert (dose.label, dose.to_buy, dose.price) == ("ground limestone", 0, 0.0)
    # Where there is too little of it, what can be bought is, of two the cheaper.
    packs = packs_from(
        ("ground limestone", "500 g", 1, None),
        ("dolomitic limestone", "20 kg", 0, 13.06),
        ("ground limestone", "25 kg", 0, 9.0),
    )
    dose = ph_advice(6.0, bare("loam", 5.0, None, None), packs, DIG).dose
    assert dose is not None
    assert (dose.pack, dose.to_buy, dose.price) == ("25 kg", 1, 9.0)
