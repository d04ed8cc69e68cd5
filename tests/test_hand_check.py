"""The sums of docs/hand-check.md, done in plain arithmetic beside the plan's figures."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from bedwright.catalogue import Catalogue
from bedwright.plan import Plan

FOOT, INCH, POUND, CUBIC_FOOT = 0.3048, 0.0254, 0.45359237, 0.028316846592


@pytest.fixture(scope="module")
def maple(plan_of: Callable[[str], Plan]) -> Plan:
    return plan_of("under-the-maple")


@pytest.fixture(scope="module")
def border(plan_of: Callable[[str], Plan]) -> Plan:
    return plan_of("fence-border")


def near(value: float, share: float = 0.002) -> object:
    return pytest.approx(value, rel=share)


def within_a_measure(plan: Plan, grams_m2: dict[str, float]) -> None:
    """Doses are whole measures, each less than one from the exact blend."""
    area = plan.ground.worked_m2
    assert {d.label for d in plan.ground.feed.doses} == set(grams_m2)
    for dose in plan.ground.feed.doses:
        measure_kg = dose.weight_kg / dose.measures
        assert abs(dose.weight_kg - grams_m2[dose.label] * area / 1000) < measure_kg
        assert dose.weight_kg == pytest.approx(dose.measures * measure_kg)


def test_the_oval(oval: Plan) -> None:
    area = math.pi / 4 * (17 * FOOT) * (9.5 * FOOT)
    assert oval.outline.area_m2 == near(area, 5e-4)
    a, b = 8.5 * FOOT, 4.75 * FOOT
    h = ((a - b) / (a + b)) ** 2
    edge = math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    assert oval.outline.perimeter_m == near(edge, 5e-4)
    sod, fill = oval.ground.sod, oval.ground.refill
    assert sod is not None
    assert sod.dry_kg == near(area * 1.5 * INCH * (1250 * 0.85 + 205))
    assert sod.wet_kg == near(area * 1.5 * INCH * (1250 * 0.85 + 335))
    lost = area * 1.5 * INCH * 0.85
    assert sod.soil_m3 == near(lost)
    assert fill.wanted_m3 == near(lost + area * 2 * INCH)
    assert {a.label: a.packs for a in fill.layers} == {"mushroom compost": 1, "pine fines": 9}
    assert fill.reached_m3 == near(27 * CUBIC_FOOT * 0.75 + 18 * CUBIC_FOOT * 0.80)
    soil = area * 8 * INCH * 1250
    compost = 27 * CUBIC_FOOT * 550 * 0.45
    bark = 18 * CUBIC_FOOT * 350 * 0.5
    organic = soil * 0.03 + compost * 0.45 + bark * 0.80
    assert fill.organic_after == near(organic / (soil + compost + bark))
    # Meal is there already: enough of it for the potash spares a pack at $12, and its nitrogen,
    # 250 x 3.6% = 9 g/m², stays under the cap of 10.
    meal = 5 / 0.02
    assert 5 < meal * 0.06 * 0.6 < 10
    within_a_measure(
        oval, {"cottonseed meal": meal, "triple superphosphate": (10 - meal * 0.025) / 0.46}
    )
    lime = oval.ground.ph.dose
    assert lime is not None
    rate = (10.5 + (15 - 10.5) * 0.2) - 5.5 * 0.4  # lb per 100 sq ft at pH 5.4, less at 6.3
    assert lime.total_kg == near(rate * POUND * area / (100 * FOOT**2))
    assert lime.doses == 1
    items = len(oval.planting.items)
    assert oval.supplies.cost == pytest.approx(42 + 3 * 5.50 + 9 + 7 + items * 3.50)


def test_the_ovals_last_freeze(oval: Plan) -> None:
    spring = oval.season.freeze(True)
    dates = [str(oval.season.day(d))[5:] for d in spring.dates]
    assert len(dates) == 30
    assert dates[26:28] == ["04-16", "04-17"]
    assert str(oval.season.day(spring.day_at(0.1)))[5:] == "04-17"


def test_the_border(border: Plan) -> None:
    x, width = (0, 1.4, 2.9, 4.5, 6, 7.2), (1.5, 1.9, 1.45, 2.0, 1.6, 1.0)
    straight = sum((x[k + 1] - x[k]) * (width[k] + width[k + 1]) / 2 for k in range(len(x) - 1))
    area = border.outline.area_m2
    assert straight < area < 1.03 * straight
    area -= math.pi * 0.4**2  # the lavender's
    assert border.ground.worked_m2 == near(area)
    fill = border.ground.refill
    assert fill.wanted_m3 == near(area * 0.03)
    assert fill.reached_m3 == near(0.4 * 0.75 + 0.09 * 0.75)
    soil, compost, manure = area * 0.2 * 1300, 0.4 * 593 * 0.55, 0.09 * 650 * 0.4
    organic = soil * 0.04 + compost * 0.45 + manure * 0.55
    assert fill.organic_after == near(organic / (soil + compost + manure))
    fewer = soil * 0.04 + compost * 0.45 + manure * 2 / 3 * 0.55
    assert fewer / (soil + compost + manure * 2 / 3) < 0.06
    within_a_measure(border, {border.ground.feed.doses[0].label: 5 / 0.023})


def test_the_maple(maple: Plan) -> None:
    corners = [(0, 0), (3.6, 0), (4.3, 1.3), (2.7, 2.9), (1.0, 2.7), (-0.4, 1.2)]
    area = 0.5 * sum(
        x0 * y1 - x1 * y0
        for (x0, y0), (x1, y1) in zip(corners, [*corners[1:], corners[0]], strict=True)
    )
    assert area == pytest.approx(10.155)
    assert maple.outline.area_m2 == near(area, 1e-9)
    assert maple.ground.sod is not None
    assert maple.ground.sod.dry_kg == near(area * 0.04 * (1300 * 0.85 + 120))
    assert maple.ground.sod.wet_kg == near(area * 0.04 * (1300 * 0.85 + 250))
    litres = 25 * 0.75 + 160 * 0.75 + 300 * 0.70
    assert maple.ground.refill.reached_m3 == near(litres / 1000)
    kelp = 5 / 0.09
    bone = (5 - kelp * 0.005) / 0.27
    hoof = (5 - kelp * 0.01 * 0.4 - bone * 0.02 * 0.5) / (0.14 * 0.6)
    within_a_measure(maple, {"kelp meal": kelp, "steamed bone meal": bone, "hoof and horn": hoof})
    spring = maple.season.freeze(True)
    for risk, want in ((0.5, "2027-04-21"), (0.1, "2027-05-14")):
        assert str(maple.season.day(spring.day_at(risk))) == want


def test_seeds_under_the_maple(maple: Plan, catalogue: Catalogue) -> None:
    """Every kind sown two to a block and not pricked out, as worked by hand for one of them."""
    names = {i.letter: i.candidate.kind.key for i in maple.planting.items}
    rows = [r for r in maple.raising.indoor if r.seeds_each == 2]
    assert rows
    for row in rows:
        germination = catalogue.kinds[names[row.letter]].sowing.germination
        rate = (1 - (1 - germination) ** 2) * 0.9

        def stand(blocks: int, wanted: int = row.wanted, rate: float = rate) -> float:
            return sum(
                math.comb(blocks, k) * rate**k * (1 - rate) ** (blocks - k)
                for k in range(wanted, blocks + 1)
            )

        assert stand(row.containers - 1) < 0.95 <= stand(row.containers)
        assert row.stand_odds == pytest.approx(stand(row.containers))
        assert row.seeds == 2 * row.containers
