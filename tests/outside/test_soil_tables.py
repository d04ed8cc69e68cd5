"""Soil arithmetic against extension tables and worked examples."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest

from bedwright.brief import Goods, GroundFound, SoilTest
from bedwright.ground import materials, packs_of
from bedwright.ground.feed import _per_gram
from bedwright.ground.ph import LB_100_SQFT, lime_lb_100_sqft, ph_advice
from bedwright.units import AREA, LENGTH, MASS, VOLUME, parse

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
    goods = (Goods(material="complete fertiliser 10-10-10", pack="100 lb", analysis="16-4-8"),)
    (pack,), faults = packs_of(goods)
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
        goods = (Goods(material="ground limestone", pack="40 lb"),)
        packs, _ = packs_of(goods)
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
    goods = (Goods(material="peat", pack="4 cu ft"), Goods(material="topsoil", pack="40 lb"))
    (bale, bag), faults = packs_of(goods)
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
