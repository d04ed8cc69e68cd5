"""The blend beside programmes written here, over beds of many sizes and materials of many sorts."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.optimize import linprog

from bedwright.brief import GroundFound, SoilTest, Stock
from bedwright.ground.blend import EXCESS_G_M2, NEAR_ENOUGH
from bedwright.ground.feed import (
    MOST_G_M2,
    NITROGEN_G_M2,
    SALT_LIMIT_G_M2,
    USUAL,
    Feed,
    _per_gram,
    feed,
    measure_of,
    whole_packs,
)
from bedwright.ground.materials import Material, Pack, materials, packs_of
from bedwright.plan import Plan
from bedwright.report.soil import _so_many
from bedwright.work import things
from conftest import brief_of, weather_at

MEASURES = {units: measure_of(GroundFound(), units == "us") for units in ("metric", "us")}


LEVELS = ("low", "medium", "high", None)


def found(phosphorus: str | None, potassium: str | None) -> GroundFound:
    return GroundFound(test=SoilTest(phosphorus=phosphorus, potassium=potassium))


def can_be_met(
    target: tuple[float, float, float], stuff: list[Material], most_g_m2: list[float]
) -> bool:
    """Whether any weights at all meet NEAR_ENOUGH of the targets within cap, salt and limits, and
    give no more than EXCESS_G_M2 of phosphate and potash over them."""
    gives = np.array([_per_gram(m) for m in stuff]).T
    salt = np.array([m.salt_index / 100 for m in stuff])
    got = linprog(
        np.zeros(len(stuff)),
        A_ub=np.vstack([-gives, gives, salt[None]]),
        b_ub=[
            *(-NEAR_ENOUGH * np.array(target)),
            NITROGEN_G_M2[1],
            *(np.array(target[1:]) + EXCESS_G_M2),
            SALT_LIMIT_G_M2,
        ],
        bounds=[(0, most) for most in most_g_m2],
    )
    return got.status == 0


@pytest.mark.parametrize("units", ["metric", "us"])
def test_targets_that_can_be_met_are_met_on_beds_of_any_size(units: str) -> None:
    usual = [materials()[name] for name in USUAL]
    for (p, k), area in itertools.product(
        itertools.product(LEVELS, LEVELS), np.geomspace(1.0, 40.0, 7)
    ):
        made = feed(float(area), found(p, k), [], MEASURES[units])
        assert can_be_met(made.target_g_m2, usual, [MOST_G_M2] * len(usual))
        assert made.shortfall == (), f"{area:.2f} m², P {p}, K {k}: {made.shortfall}"
        assert made.given_g_m2[0] <= NITROGEN_G_M2[1] + 1e-3
        assert made.salt_g_m2 <= SALT_LIMIT_G_M2 + 1e-3


GOODS = (
    "complete fertiliser 5-10-5",
    "complete fertiliser 10-10-10",
    "dried blood",
    "steamed bone meal",
    "potassium sulfate",
    "kelp meal",
    "ammonium sulfate",
    "hoof and horn",
)


def goods_of(rng: np.random.Generator) -> list[Pack]:
    """Two to four products, some at hand, some to be bought, some both."""
    materials = []
    for name in rng.choice(GOODS, int(rng.integers(2, 5)), replace=False):
        count = float(rng.choice([0.0, 0.4, 1.0, 2.0]))
        price = None if count and rng.random() < 0.5 else round(float(rng.uniform(3, 20)), 2)
        size = f"{rng.choice([0.5, 1, 2, 5])} kg"
        materials.append(Stock(material=str(name), pack=size, count=count, price=price))
    packs, faults = packs_of(materials)
    assert faults == []
    return packs


def least_money(packs: list[Pack], target: tuple[float, float, float], area: float) -> float | None:
    """The least that meets NEAR_ENOUGH of the targets, by trying every number of packs; None where
    no number does."""
    each = area / 1000.0
    most_packs = [
        0 if p.price is None else int(np.ceil(MOST_G_M2 * each / p.weight_kg)) for p in packs
    ]
    best = None
    for counts in itertools.product(*(range(most + 1) for most in most_packs)):
        money = sum(n * (p.price or 0.0) for n, p in zip(counts, packs, strict=True))
        if best is not None and money >= best:
            continue
        there = [(p.at_hand + n) * p.weight_kg / each for n, p in zip(counts, packs, strict=True)]
        if can_be_met(target, [p.material for p in packs], [min(g, MOST_G_M2) for g in there]):
            best = money
    return best


def paid(made: Feed) -> float:
    return sum(dose.price or 0.0 for dose in made.doses)


def test_what_is_at_hand_goes_first_and_the_least_money_is_spent() -> None:
    rng = np.random.default_rng(5)
    compared = 0
    for _ in range(60):
        packs, area = goods_of(rng), float(rng.uniform(2.0, 12.0))
        ground = found(*(str(level) for level in rng.choice(LEVELS[:3], 2)))
        made = feed(area, ground, packs)
        best = least_money(packs, made.target_g_m2, area)
        for dose, pack in ((d, p) for d in made.doses for p in packs if p.label == d.label):
            assert dose.per_m2_g <= MOST_G_M2 + 1e-6
            assert dose.weight_kg <= (dose.from_hand + dose.to_buy) * pack.weight_kg + 1e-6
            assert dose.from_hand <= pack.at_hand + 1e-9
            assert dose.to_buy == 0 or pack.price is not None
        if best is None:
            excess = np.subtract(made.given_g_m2, made.target_g_m2)[1:]
            assert made.shortfall != () or (excess > EXCESS_G_M2 - 1e-3).any()
            continue
        compared += 1
        assert made.shortfall == (), (area, made.shortfall)
        # The blend by weight meets the whole of each target, the programme here 95% of it.
        assert best <= paid(made) + 1e-6
        whole = tuple(value / NEAR_ENOUGH for value in made.target_g_m2)
        dearer = least_money(packs, whole, area)  # type: ignore[arg-type]
        assert dearer is None or paid(made) <= dearer + 1e-6
    assert compared >= 20


def test_stock_without_a_price_goes_before_goods_that_cost() -> None:
    """Ten kilograms of bone meal are there; only nitrogen need be bought, and the cheaper pack."""
    materials = [
        Stock(material="steamed bone meal", pack="1 kg", count=10),
        Stock(material="dried blood", pack="2 kg", price=15.0),
        Stock(material="complete fertiliser 5-10-5", pack="5 kg", price=24.0),
    ]
    packs, _ = packs_of(materials)
    made = feed(20.0, found("low", "high"), packs)
    assert made.shortfall == ()
    assert paid(made) == 15.0
    bone = next(dose for dose in made.doses if dose.product == "steamed bone meal")
    assert bone.to_buy == 0
    assert 0.27 * bone.per_m2_g > 0.9 * 10
    assert made.given_g_m2[1] == pytest.approx(10.0, rel=0.06)


@pytest.mark.parametrize("entries", [1, 2])
def test_a_products_limit_holds_for_all_of_it_together(entries: int) -> None:
    """A weak grade would take 1,000 g/m²; some is at hand, more can be bought."""
    weak = Stock(material="complete fertiliser 10-10-10", analysis="1-1-1", pack="3 kg", count=1,
                 price=2.0)  # fmt: skip
    packs, faults = packs_of([weak, weak.model_copy(update={"pack": "5 kg"})][:entries])
    assert faults == []
    made = feed(8.0, found("low", "low"), packs)
    assert sum(dose.per_m2_g for dose in made.doses) <= MOST_G_M2 + 1e-6
    assert {short.nutrient for short in made.shortfall} >= {"phosphate", "potash"}


def test_packs_at_hand_in_part_are_counted_in_part() -> None:
    (pack,), _ = packs_of([Stock(material="dried blood", pack="2 kg", count=0.4, price=9.0)])
    assert whole_packs(pack, 0.6) == (0.4, 0.4, 0.0)
    assert whole_packs(pack, 1.0) == (1.4, 0.4, 9.0)
    # What was opened for one feeding serves the next.
    assert whole_packs(pack, 1.5, before_kg=1.0) == (0.0, 0.0, 0.0)
    assert whole_packs(pack, 2.0, before_kg=1.0) == (1.0, 0.0, 9.0)
    assert _so_many(0.4, "2 kg") == "0.4 of a pack of 2 kg"
    assert _so_many(2.0, "2 kg") == "2 × 2 kg"


def test_the_feed_of_summer_is_among_the_supplies_and_at_hand_first(oval: Plan) -> None:
    side = oval.ground.feed.side_dress
    lines = [line for line in oval.supplies.lines if line.sort == "feed"]
    assert any(line.thing == things.Product(side.label) for line in lines)


def test_the_feed_of_summer_goes_by_the_same_packs(catalogue) -> None:  # type: ignore[no-untyped-def]
    from bedwright.plan import make_plan

    materials = [{"material": "dried blood", "pack": "250 g", "count": 2, "price": 5.0},
             {"material": "steamed bone meal", "pack": "1 kg", "count": 3}]  # fmt: skip
    brief = brief_of(
        materials=materials, ground={"test": {"phosphorus": "medium", "potassium": "high"}}
    )
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    base = next(d for d in plan.ground.feed.doses if d.product == "dried blood")
    side = plan.ground.feed.side_dress
    assert side.product == "dried blood"
    (line,) = [line for line in plan.supplies.lines if line.thing == things.Product("dried blood")]
    total = base.weight_kg + side.weight_kg
    assert line.from_hand == 2.0
    assert line.to_buy == np.ceil(total / 0.25 - 1e-9) - 2
    assert line.cost == pytest.approx(5.0 * line.to_buy)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_doses_in_measures_keep_to_targets_salt_and_what_there_is(units: str) -> None:
    """The all-purpose way meets each target to NEAR_ENOUGH within the salt limit; a side-dressing
    brings 2.6 g of nitrogen, as near; neither takes more than there is of what cannot be bought."""
    rng = np.random.default_rng(31)
    for area in np.geomspace(0.3, 40.0, 60):
        name = str(rng.choice(["complete fertiliser 10-10-10", "slow-release fertiliser 14-14-14"]))
        stock = [
            Stock(material=name, pack="1 kg", count=10),
            Stock(material="dried blood", pack="1 kg", count=float(rng.uniform(0.02, 4.0))),
        ]
        packs, _ = packs_of(stock)
        made = feed(
            float(area), found(*map(str, rng.choice(LEVELS[:3], 2))), packs, MEASURES[units]
        )
        other, gives = made.alternative, made.alternative_gives_g_m2
        if other is not None and gives is not None:
            stuff = materials()[other.product]
            assert stuff.salt_index / 100 * other.per_m2_g <= SALT_LIMIT_G_M2 + 1e-6
            assert (np.array(gives) >= NEAR_ENOUGH * np.array(made.target_g_m2) - 1e-6).all()
        side = made.side_dress
        freed = _per_gram(materials()[side.product])[0] * side.per_m2_g
        assert NEAR_ENOUGH * 2.6 - 1e-6 <= freed <= 2.6 / NEAR_ENOUGH + 1e-6
        for dose in (other, side):
            assert dose is None or dose.to_buy == 0 or dose.product == "ammonium sulfate"
        blood = [d.weight_kg for d in (*made.doses, side) if d.product == "dried blood"]
        assert sum(blood) <= stock[1].count * 1.0 + 1e-6
