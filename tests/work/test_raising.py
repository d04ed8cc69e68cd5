from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.catalogue import Catalogue
from bedwright.plan import Plan, make_plan
from bedwright.work.jobs import SetOut
from bedwright.work.raising.seeds import odds_enough, seeds_a_spot, seeds_needed
from conftest import brief_of, weather_at


def test_one_plant_of_an_even_chance_needs_five_seeds() -> None:
    # 1 - 0.5^5 = 0.969 is the first above 0.95.
    assert seeds_needed(1, 0.5) == 5
    assert seeds_needed(0, 0.5) == 0
    assert seeds_needed(12, 1.0) == 12


@given(st.integers(1, 200), st.floats(0.05, 1.0))
def test_the_count_is_enough_and_not_one_too_many(wanted: int, rate: float) -> None:
    seeds = seeds_needed(wanted, rate)
    assert odds_enough(seeds, wanted, rate) >= 0.95
    assert odds_enough(seeds - 1, wanted, rate) < 0.95


def test_simulated_sowings_stand_as_often_as_promised() -> None:
    rng = np.random.default_rng(8)
    seeds = seeds_needed(24, 0.7)
    stood = (rng.random((20000, seeds)) < 0.7).sum(axis=1) >= 24
    assert stood.mean() == pytest.approx(odds_enough(seeds, 24, 0.7), abs=0.006)


@pytest.mark.parametrize(("rate", "assurance"), [(0.0, 0.9), (1.2, 0.9), (0.5, 1.0)])
def test_rates_that_are_none_are_refused(rate: float, assurance: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        seeds_needed(3, rate, assurance)


def test_sowing_spots() -> None:
    assert seeds_a_spot(0.96) == 1
    assert seeds_a_spot(0.5) == 5
    assert 1 - 0.6 ** seeds_a_spot(0.4) >= 0.95


def test_every_item_is_raised_once_and_in_order(example: Plan) -> None:
    raising = example.raising
    first = [r for r in raising.in_place if not r.again]
    letters = [r.letter for r in (*raising.indoor, *first)] + list(raising.bought)
    assert sorted(letters) == sorted(i.letter for i in example.planting.items)
    again = {i.letter: i.candidate.course.again for i in example.planting.items}
    for row in raising.in_place:
        if row.again:
            assert row.sow == example.day_again(
                next(i for i in example.planting.items if i.letter == row.letter),
                again[row.letter],
            )
    for row in raising.indoor:
        steps = [row.sow, row.up_first, row.prick_out, row.harden, row.out]
        known = [s for s in steps if s is not None]
        assert known == sorted(known), row
        assert row.sow_first <= row.sow <= row.sow_last <= row.out
        assert row.stand_odds >= raising.assurance
        assert row.containers >= row.wanted
        if row.pot_on is not None:
            assert row.sow < row.pot_on <= row.harden
    for row in raising.in_place:
        assert row.sow < row.up_first < row.thin_first
        assert row.spot_odds >= raising.assurance


def test_bench_room_adds_up(oval: Plan) -> None:
    rows, bench = oval.raising.indoor, oval.raising.bench
    assert bench[0].start <= min(r.sow for r in rows) < bench[0].start + 7
    fullest = max(bench, key=lambda w: w.plants)
    inside = [r for r in rows if r.sow <= fullest.start + 6 and fullest.start < r.out]
    assert fullest.plants == sum(r.containers for r in inside)


def test_without_room_indoors_plants_are_bought(catalogue: Catalogue) -> None:
    brief = brief_of(indoors={"possible": False}, prices={"plant": 1.5})
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    assert plan.raising.indoor == ()
    assert plan.raising.bought
    bought = [s for s in plan.supplies.lines if s.sort == "plants"]
    assert len(bought) == len(plan.raising.bought)
    assert all(s.cost == pytest.approx(1.5 * s.quantity) for s in bought)
    assert any(isinstance(t.job, SetOut) and t.job.bought for t in plan.diary.tasks)
