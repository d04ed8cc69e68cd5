from __future__ import annotations

import pytest

from bedwright.catalogue import Catalogue
from bedwright.plan import Plan, make_plan
from bedwright.planting import FewerForBudget
from bedwright.report import pack_words, say
from bedwright.report.soil import soil_parts
from conftest import brief_of, weather_at


def test_costs_add_up_and_what_is_at_hand_costs_nothing(example: Plan) -> None:
    supplies = example.supplies
    known = [s.cost for s in supplies.lines if s.to_buy > 0 and s.cost is not None]
    assert supplies.cost == pytest.approx(sum(known))
    assert supplies.unpriced == sum(s.to_buy > 0 and s.cost is None for s in supplies.lines)
    for line in supplies.lines:
        assert line.quantity == pytest.approx(line.from_hand + line.to_buy)


def test_the_soil_sheet_and_the_supplies_name_the_same_cost(catalogue: Catalogue) -> None:
    """Nothing but the feed of summer is to be bought: dried blood, beside bone meal at hand."""
    materials = [{"material": "dried blood", "pack": "500 g", "count": 1, "price": 5.0},
             {"material": "steamed bone meal", "pack": "5 kg", "count": 1},
             {"material": "compost", "pack": "1 m3", "count": 2.5}]  # fmt: skip
    brief = brief_of(
        materials=materials, ground={"test": {"phosphorus": "medium", "potassium": "high"}}
    )
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    feed = [line for line in plan.supplies.lines if line.sort in ("soil", "feed")]
    cost = sum(line.cost or 0.0 for line in feed)
    assert plan.ground.feed.side_dress.to_buy > 0
    (part,) = [part for part in soil_parts(plan) if part.heading == "Cost"]
    assert part.lines[0].value == f"{brief.currency}{cost:.2f}"


def test_seed_lines_match_the_raising(example: Plan) -> None:
    lines = [s for s in example.supplies.lines if s.sort == "seed"]
    seeds = {say(s.thing, "metric"): pack_words(s) for s in lines}
    rows = (*example.raising.indoor, *example.raising.in_place)
    sown: dict[str, int] = {}
    for row in rows:
        sown[row.name] = sown.get(row.name, 0) + row.seeds
    assert seeds == {name: f"{count} seeds or more" for name, count in sown.items()}


def test_a_budget_is_kept_by_growing_fewer_kinds(catalogue: Catalogue) -> None:
    seed = {"seed_packet": 4}
    free = make_plan(brief_of(prices=seed), catalogue=catalogue, weather=weather_at(53.27, -9.05))
    less = make_plan(
        brief_of(prices=seed, wishes={"budget": free.supplies.cost - 9}),
        catalogue=catalogue,
        weather=weather_at(53.27, -9.05),
    )
    # Three packets of four fewer cover what nine go over.
    assert len(less.planting.items) == len(free.planting.items) - 3
    assert less.supplies.over_budget == 0
    assert FewerForBudget(len(less.planting.items), len(free.planting.items)) in less.notes


def test_with_a_budget_cheaper_kinds_are_grown(catalogue: Catalogue) -> None:
    """Young plants at 3 each, packets at 4: a budget that is not gone over tells all the same."""
    tables = {"prices": {"seed_packet": 4, "plant": 3}, "indoors": {"possible": False},
              "bed": {"shape": "rectangle", "length": "2.5 m", "width": "1.6 m"}}  # fmt: skip
    free, near = (
        make_plan(brief_of(wishes=wishes, **tables), catalogue=catalogue,
                  weather=weather_at(53.27, -9.05))
        for wishes in ({}, {"budget": 125})
    )  # fmt: skip
    assert near.supplies.over_budget == 0
    assert near.supplies.cost < 0.9 * free.supplies.cost
    assert not any(isinstance(note, FewerForBudget) for note in near.notes)


def test_a_budget_passed_is_said(catalogue: Catalogue) -> None:
    brief = brief_of(
        wishes={"budget": 10}, prices={"seed_packet": 4},
        materials=[{"material": "compost", "pack": "50 L", "price": 9}],
    )  # fmt: skip
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    assert plan.supplies.over_budget == pytest.approx(plan.supplies.cost - 10)


def test_buried_services_and_lifting_are_always_cautioned(example: Plan) -> None:
    keys = [c.code for c in example.cautions]
    assert keys[:2] == ["buried_services", "lifting"]
    assert len(keys) == len(set(keys))


def test_each_hazard_names_its_plants(example: Plan) -> None:
    by_key = {c.code: c for c in example.cautions}
    for item in example.planting.items:
        kind = item.candidate.kind
        for key, harmful in (
            ("poisonous", kind.safety.people == "toxic"),
            ("harms_pets", kind.safety.dogs != "none_known" or kind.safety.cats != "none_known"),
            ("irritates_skin", kind.safety.skin == "irritant"),
            ("spreads", bool(kind.safety.invasive) or kind.safety.self_sows == "freely"),
            ("eating_flowers", kind.uses.edible != "no"),
        ):
            if harmful:
                assert kind.name in say(by_key[key], "metric")
                assert item.letter in by_key[key].letters
            elif key in by_key:
                assert item.letter not in by_key[key].letters


def test_cautions_defer_to_those_who_know(example: Plan) -> None:
    text = " ".join(say(c, "metric") for c in example.cautions)
    assert "local locating service" in text
    if any(c.code == "dust" for c in example.cautions):
        assert "label comes first" in text


def test_smothering_says_what_weedkiller_wants(catalogue: Catalogue) -> None:
    brief = brief_of(ground={"clear_by": "smother"})
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    words = next(say(c, "metric") for c in plan.cautions if c.code == "clearing_grass")
    assert "only by its label" in words
    assert plan.ground.sod is None
