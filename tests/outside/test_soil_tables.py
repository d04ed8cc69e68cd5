"""Soil arithmetic against extension tables and worked examples."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, minimize

from bedwright.brief import GroundFound, SoilTest, Stock
from bedwright.geometry import outline_of
from bedwright.ground import level_of, materials, packs_of
from bedwright.ground.blend import EXCESS_G_M2, LOOSE, Products, Wanted, shortfalls, solve_blend
from bedwright.ground.clear import lift_sod
from bedwright.ground.feed import _per_gram, feed
from bedwright.ground.ph import LB_100_SQFT, buffer_lime_tons_acre, lime_lb_100_sqft, ph_advice
from bedwright.ground.rates import rates
from bedwright.units import AREA, LENGTH, MASS, VOLUME, parse
from conftest import brief_of

DATA = Path(__file__).parent / "data"
BED_48_SQFT = parse("48 sq ft", AREA)


def rows(name: str) -> list[dict[str, str]]:
    with open(DATA / name, encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def test_pounds_an_acre_to_small_areas() -> None:
    """Guide H-119, New Mexico State University, Table 1 (copy): halves are rounded down there."""
    acre = parse("43560 sq ft", AREA)
    for row in rows("h119_table1.csv"):
        rate = parse(f"{row['lb_acre']} lb", MASS) / acre
        per_100 = rate * parse("100 sq ft", AREA)
        per_1000 = rate * parse("1000 sq ft", AREA)
        ounce = parse("1 oz", MASS)
        assert per_100 / parse("1 lb", MASS) == pytest.approx(float(row["lb_100"]), abs=0.006)
        assert per_100 / ounce == pytest.approx(float(row["oz_100"]), abs=1.0)
        printed = 16 * float(row["lb_1000"]) + float(row["oz_1000"])
        assert per_1000 / ounce == pytest.approx(printed, abs=1.0)


def test_a_label_says_percent_by_weight() -> None:
    """Guide H-119 (read): 100 lb of 16-4-8 hold 16 lb N, 4 lb P2O5, 8 lb K2O."""
    materials = (Stock(material="complete fertiliser 10-10-10", pack="100 lb", analysis="16-4-8"),)
    (pack,), faults = packs_of(materials)
    assert not faults
    pound = parse("1 lb", MASS)
    given = [share * pack.weight_kg / pound for share in _per_gram(pack.material)]
    assert given == pytest.approx([16, 4, 8])


def test_a_weaker_lime_needs_more() -> None:
    """Penn State Agricultural Analytical Services Lab, Home Garden notes (read): where 5 lb per 100
    sq ft of pure lime are wanted, 7 lb at a calcium carbonate equivalent of 70%."""
    ground = GroundFound(texture="loam", test=SoilTest(ph=5.4))
    area = parse("100 sq ft", AREA)
    pure = ph_advice(area, ground, [], date(2027, 3, 1)).dose
    assert pure is not None
    lime = materials()["ground limestone"]
    wanted = pure.total_kg * lime.neutralising / 100  # as if CCE were 100
    assert (wanted * 100 / 70) / wanted * 5 == pytest.approx(7.14, abs=0.01)
    assert pure.total_kg / wanted == pytest.approx(100 / 95)


def test_lime_by_texture() -> None:
    """Pounds of ground limestone per 100 sq ft to pH 6.5 (lime-chart, copy); between its steps ours
    runs straight, and a target below 6.5 takes that much less."""
    textures = {"sandy_loam": "sandy loam", "loam": "loam", "clay_loam": "clay loam"}
    for row in rows("lime_to_6_5.csv"):
        for column, texture in textures.items():
            found = lime_lb_100_sqft(float(row["ph"]), 6.5, texture)
            assert found == pytest.approx(float(row[column]))
    halfway = lime_lb_100_sqft(5.25, 6.5, "loam")
    assert 8.0 < halfway < 10.5


def test_a_split_dose() -> None:
    """Penn State (read): 11 to 20 lb per 100 sq ft in halves, 21 and more in thirds, six months
    apart."""
    area = parse("100 sq ft", AREA)
    for ph, texture, doses in ((5.6, "clay", 1), (5.0, "clay", 2), (4.0, "clay", 3)):
        stock = (Stock(material="ground limestone", pack="40 lb", price=6),)
        packs, _ = packs_of(stock)
        dose = ph_advice(
            area, GroundFound(texture=texture, test=SoilTest(ph=ph)), packs, date(2027, 3, 1)
        ).dose
        assert dose is not None
        if doses > 1:
            assert dose.months_apart == 6
        pounds = dose.total_kg * 0.95 / area / LB_100_SQFT
        assert dose.doses == (1 if pounds < 11 else 2 if pounds < 21 else 3)


def test_pints_of_fertiliser() -> None:
    """Fertilizer Conversion Table for Small Area, LSU AgCenter (read): a pint of cottonseed meal
    and of flowers of sulfur weighs 10 oz."""
    pint, ounce = parse("1 pint", VOLUME), parse("1 oz", MASS)
    for name in ("cottonseed meal", "sulfur"):
        assert materials()[name].loose_kg_m3 * pint / ounce == pytest.approx(10, abs=0.2)


def test_a_cup_of_10_10_10_weighs_half_a_pound() -> None:
    """sammela.com, Garden Math (read)."""
    cup, pound = parse("1 cup", VOLUME), parse("1 lb", MASS)
    found = materials()["complete fertiliser 10-10-10"].loose_kg_m3 * cup / pound
    assert found == pytest.approx(0.5, abs=0.05)


def test_a_cubic_yard_of_compost_weighs_1000_to_1200_pounds() -> None:
    """Deschutes Recycling (read)."""
    weight = materials()["compost"].loose_kg_m3 * parse("1 cu yd", VOLUME) / parse("1 lb", MASS)
    assert 995 <= weight <= 1200


def test_an_inch_of_cover() -> None:
    """324 sq ft to a cubic yard at 1 in (exact arithmetic; Deschutes Recycling, read)."""
    assert parse("324 sq ft", AREA) * parse("1 in", LENGTH) == pytest.approx(
        parse("1 cu yd", VOLUME)
    )


def test_trade_facts_of_bags_and_bales() -> None:
    """Common practice, no source: over 48 sq ft a 4 cu ft bale of peat gives about an inch, and
    four
    40-lb bags of topsoil about half an inch, once settled."""
    materials = (Stock(material="peat", pack="4 cu ft"), Stock(material="topsoil", pack="40 lb"))
    (bale, bag), faults = packs_of(materials)
    assert not faults
    inch = parse("1 in", LENGTH)
    assert bale.settled_m3 / BED_48_SQFT / inch == pytest.approx(1.0, rel=0.1)
    assert 4 * bag.settled_m3 / BED_48_SQFT / inch == pytest.approx(0.5, rel=0.1)


def test_organic_analyses() -> None:
    """Earth-Kind gardening table, Texas Agricultural Extension Service (copy)."""
    table = {
        "dried blood": (10, 1.5, 0),
        "raw bone meal": (4, 22, 0),
        "steamed bone meal": (2, 27, 0),
        "cottonseed meal": (6, 2.5, 2),
        "hoof and horn": (14, 0, 0),
        "kelp meal": (1, 0.5, 9),
        "wood ash": (0, 2, 6),
    }
    for name, analysis in table.items():
        material = materials()[name]
        assert (material.n, material.p2o5, material.k2o) == analysis, name


@pytest.mark.parametrize(
    ("lb_acre", "phosphorus", "potassium"),
    [(24, "low", "low"), (45, "low", "low"), (46, "medium", "low"), (71, "medium", "low"),
     (82, "high", "medium"), (145, "high", "medium"), (146, "high", "high")],
)  # fmt: skip
def test_mehlich_3_levels(lb_acre: float, phosphorus: str, potassium: str) -> None:
    """Relative Levels of Nutrients, Rutgers Soil Testing Laboratory (read): phosphorus low to 45,
    medium 46 to 71, high from 72; potassium low to 81, medium 82 to 145, high from 146 lb/acre."""
    said = f"{lb_acre} lb/acre"
    test = read_test(phosphorus=said, potassium=said, method="Mehlich-3")
    assert level_of(test, "phosphorus") == phosphorus
    assert level_of(test, "potassium") == potassium


def read_test(**values: object) -> SoilTest:
    return SoilTest.model_validate(values)


def test_bray_levels_are_mehlichs_through_ohios_equation() -> None:
    """Understanding Soil Test Reports for Phosphorus Values, Ohio State University (read):
    Bray P1 = 0.832 x Mehlich-3 - 8.08, so 22 ppm are 10; 60 lb/acre are 30 ppm."""
    assert pytest.approx(10, abs=0.3) == 0.832 * 22 - 8.08
    assert read_test(phosphorus="60 lb/acre", method="Bray P1").phosphorus == 30.0
    for mehlich in (10.0, 22.0, 24.0, 34.0, 38.0, 60.0):
        bray = max(0.832 * mehlich - 8.08, 0.0)
        found = [
            level_of(read_test(phosphorus=f"{value:.2f} ppm", method=method), "phosphorus")
            for value, method in ((mehlich, "Mehlich-3"), (bray, "Bray P1"))
        ]
        assert found[0] == found[1]


def test_olsen_indices() -> None:
    """Nutrient Action Programme Regulations (Northern Ireland) 2019, schedule 5 (read): index 0 to
    9, 1 from 10 to 15, 2 from 16 mg/L."""
    for value, level in ((9, "low"), (10, "medium"), (15, "medium"), (16, "high")):
        test = read_test(phosphorus=f"{value} mg/l", method="Olsen")
        assert level_of(test, "phosphorus") == level


def test_lime_by_mehlichs_buffer() -> None:
    """North Carolina Department of Agriculture, Agronomic Division (read): pH 5.0, target 6.0,
    acidity 1.2 (a buffer pH of 6.3) take 1.2 x 0.625 tons an acre; the page prints 0.76."""
    tons = buffer_lime_tons_acre(5.0, 6.3, 6.0, "Mehlich")
    assert tons == pytest.approx(0.75, abs=0.011)


def test_lime_by_the_smp_buffer() -> None:
    """Tri-State Fertilizer Recommendations, E-2567, table for mineral soils (from memory): tons of
    ground limestone an acre at a buffer pH of 6.8, 6.6, 6.4 to pH 6.5; 1.2, 2.9, 4.7."""
    for buffer, tons in ((6.8, 1.2), (6.6, 2.9), (6.4, 4.7)):
        pure = buffer_lime_tons_acre(5.5, buffer, 6.5, "SMP")
        assert pure / 0.9 == pytest.approx(tons, abs=0.11)


@pytest.mark.parametrize(
    ("material", "ounces", "analysis"),
    [("ammonium sulfate", 4.0, None), ("urea", 2.0, None), ("dried blood", 7.0, "12-1.5-0.6")],
)
def test_side_dressings(material: str, ounces: float, analysis: str | None) -> None:
    """Sidedressing Annual Flowers, Kansas State Research and Extension (copies read): ounces on 100
    square feet of 21-0-0, 46-0-0 and 12-1.5-0.6.  What blood frees in the season is ours."""
    stock = (Stock(material=material, pack="5 lb", analysis=analysis, price=5.0),)
    packs, _ = packs_of(stock)
    side = feed(parse("100 sq ft", AREA), GroundFound(), packs).side_dress
    freed = materials()[material].n_release
    assert side.weight_kg * freed / parse("1 oz", MASS) == pytest.approx(ounces, rel=0.13)


def test_salt_indices() -> None:
    """Salt Index, agroconection.com (read): sodium nitrate is 100."""
    table = {"ammonium sulfate": 69, "potassium sulfate": 46, "urea": 75}
    assert {name: materials()[name].salt_index for name in table} == table


def test_the_blend_is_as_cheap_as_another_solvers() -> None:
    """Against scipy's sequential least squares (SLSQP), a different method from the simplex that
    solves it here, on random products and prices."""
    rng = np.random.default_rng(8)
    compared = 0
    for _ in range(40):
        gives = rng.uniform(0.0, 0.3, (3, 4)) * (rng.random((3, 4)) < 0.7)
        cost, most = rng.uniform(0.5, 3.0, 4), np.full(4, 400.0)
        target, cap = (5.0, float(rng.uniform(0, 10)), float(rng.uniform(0, 10))), 10.0
        salt = (rng.uniform(0, 0.7, 4), 70.0)
        none = np.zeros(4)
        products = Products(gives, salt[0], most, none, np.full(4, np.inf), cost, np.arange(4))
        grams = solve_blend(products, Wanted(target, cap, salt[1]))
        if shortfalls(target, gives @ grams):
            continue
        other = minimize(
            lambda x, cost=cost: cost @ x,
            np.full(4, 20.0),
            jac=lambda x, cost=cost: cost,
            bounds=[(0.0, 400.0)] * 4,
            constraints=[
                LinearConstraint(gives, target, np.inf),
                LinearConstraint(gives[0], -np.inf, cap),
                LinearConstraint(gives[1:], -np.inf, np.array(target[1:]) + EXCESS_G_M2),
                LinearConstraint(salt[0], -np.inf, salt[1]),
            ],
            method="SLSQP",
        )
        if other.success:
            compared += 1
            assert cost @ grams <= other.fun * (1 + LOOSE) + 1e-6
            assert cost @ grams == pytest.approx(other.fun, rel=1e-4, abs=1e-3)
    assert compared >= 15


def test_paper_and_mulch() -> None:
    """Five to six inches of mulch (The Sun-Gazette, 20 July 2022, read)."""
    assert 4.7 <= rates()["mulch_depth"] / parse("1 in", LENGTH) <= 6.0


def test_a_thousand_square_feet_with_a_cutter() -> None:
    """sod-cutters.com (read): 7 to 8 hours with a hired cutter, carrying away included."""
    hours = parse("1000 sq ft", AREA) * rates()["cutter"] / 60
    assert 7.0 <= hours <= 8.0


def test_common_practice_of_clearing() -> None:
    """Common practice, no source: one-foot sods are handy (a person lifts them one-handed), and
    sod rots, or ground is smothered, in about a year."""
    brief = brief_of(units="us")
    sod = lift_sod(outline_of(brief.bed).polygon, brief, 1.0)
    assert sod.piece_m == pytest.approx(parse("1 ft", LENGTH))
    assert sod.piece_kg < 7.0
    assert rates()["smother_wait"] == 365
