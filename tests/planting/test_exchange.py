"""Kinds exchanged once they are arranged, and how good a palette is, against every choice."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest

from bedwright.brief import Brief, Wishes
from bedwright.catalogue import Catalogue
from bedwright.climate import Season
from bedwright.geometry import outline_of
from bedwright.growth import Course
from bedwright.light import Light, sun_hours
from bedwright.plan import Plan
from bedwright.planting.arrange.anneal import cost_of
from bedwright.planting.arrange.exchange import RIVALS, W_PALETTE, exchanged, replaced, rivals_of
from bedwright.planting.arrange.objective import reach_of, sites_of, terms_of
from bedwright.planting.palette.candidates import Candidate, Offer, candidate_of
from bedwright.planting.palette.programme import solve
from bedwright.planting.palette.value import PaletteValue
from conftest import brief_of


def fitting(
    brief: Brief, catalogue: Catalogue, courses: dict[str, Course], light: Light
) -> list[Candidate]:
    """Every kind that fits, in its best colour."""
    offer = Offer(catalogue, courses, light, brief.ground, brief.wishes)
    return [
        candidate_of(offer, kind.key) for kind in catalogue if offer.rules_out(kind, 1.0) is None
    ]


@pytest.fixture(scope="module")
def light(galway: Season) -> Light:
    outline = outline_of(brief_of().bed)
    return sun_hours(outline, [], galway, (100, 300))


@pytest.fixture(scope="module")
def offered(catalogue: Catalogue, courses: dict[str, Course], light: Light) -> list[Candidate]:
    return fitting(brief_of(), catalogue, courses, light)


@pytest.mark.parametrize("seed", range(6))
def test_the_programme_finds_the_best_palette(
    offered: list[Candidate], light: Light, seed: int
) -> None:
    """All palettes of two kinds each of two heights, from sixteen drawn at random."""
    rng = np.random.default_rng(seed)
    wishes, cells = brief_of().wishes, np.arange(len(light.cells))
    halves = [cells[: len(cells) // 2], cells[len(cells) // 2 :]]
    some: list[Candidate] = []
    for tier in ("front", "middle"):
        own = [c for c in offered if c.tier == tier]
        some += [own[k] for k in rng.permutation(len(own))[:8]]
    value = PaletteValue(some, [], wishes, halves, 4)
    pairs = [list(combinations(range(start, start + 8), 2)) for start in (0, 8)]
    most = max(value.of([*a, *b]) for a, b in product(*pairs) if value.allows([*a, *b]))
    chosen = solve(some, wishes, {"front": 2, "middle": 2}, halves)
    numbers = [next(k for k, c in enumerate(some) if c is one) for one in chosen]
    assert value.allows(numbers)
    # HiGHS may stop within 0.2% of the best.
    assert most * 0.998 <= value.of(numbers) <= most + 1e-9


def test_what_is_fixed_counts_in_a_palette(offered: list[Candidate]) -> None:
    wishes = brief_of().wishes
    alone = PaletteValue(offered, [], wishes, [], 3)
    beside = PaletteValue(offered[1:], offered[:1], wishes, [], 3)
    assert beside.of([0, 1]) == pytest.approx(alone.of([1, 2, 0]))
    family = offered[0].kind.family
    kin = [k for k, c in enumerate(offered) if c.kind.family == family]
    assert not alone.allows(kin[:3])


def exchange(
    plan: Plan, catalogue: Catalogue, held: tuple[str, ...] = ()
) -> tuple[list[Candidate], list[Candidate], float, float]:
    """Items before and after, and the arrangement's cost less how good they are together."""
    body = [drift for drift in plan.planting.drifts if not drift.ribbon]
    every = [item.candidate for item in plan.planting.items]
    numbers = sorted({drift.item for drift in body})
    items = [every[n] for n in numbers]
    owners = np.array([numbers.index(drift.item) for drift in body])
    sites = sites_of(plan.outline, plan.light, [drift.polygon for drift in body])
    offered = fitting(plan.brief, catalogue, plan.courses, plan.light)
    rivals = rivals_of(every, items, offered)
    value = PaletteValue([*items, *rivals], [], Wishes(), [], len(items))
    after = exchanged(items, rivals, owners, sites, value, held, frozenset(), 3)

    def cost(some: list[Candidate]) -> float:
        # Of all the pool, so that one season is wanted of both.
        terms = terms_of(sites, [*items, *rivals], frozenset(), 3, reach_of(items))
        pool = [*items, *rivals]
        at = [next(k for k, c in enumerate(pool) if c is one) for one in some]
        unused = np.zeros(len(pool))
        unused[at] = terms.unused[at]
        arranged = cost_of(terms._replace(unused=unused), np.array(at)[owners])
        return arranged - W_PALETTE * value.of(at)

    return items, after, cost(items), cost(after)


def test_exchanges_pay_and_keep_heights_and_kinds_apart(
    example: Plan, catalogue: Catalogue
) -> None:
    items, after, before, then = exchange(example, catalogue)
    assert then <= before
    assert [c.tier for c in after] == [c.tier for c in items]
    assert len({c.kind.key for c in after}) == len(after)
    # Exchanged once more, nothing is left that pays: fewer were made than are allowed.
    changed = [new for new, old in zip(after, items, strict=True) if new is not old]
    assert len(changed) < 6


def test_a_kind_that_suits_no_drift_is_exchanged_unless_it_is_held(
    example: Plan, catalogue: Catalogue
) -> None:
    poor = example.planting.items[0].candidate
    worse = replace(poor, sunny=np.zeros_like(poor.sunny), terms=dict.fromkeys(poor.terms, 0.0))
    items = (replace(example.planting.items[0], candidate=worse), *example.planting.items[1:])
    plan = replace(example, planting=replace(example.planting, items=items))
    _, after, before, then = exchange(plan, catalogue)
    assert all(c is not worse for c in after)
    assert then < before - 1.0
    _, after, _, _ = exchange(plan, catalogue, held=(worse.kind.key,))
    assert any(c is worse for c in after)


def test_a_kind_that_goes_is_replaced_by_the_best_of_its_height(
    example: Plan, catalogue: Catalogue
) -> None:
    """Every rival of its height tried in its place."""
    every = [item.candidate for item in example.planting.items]
    body = [drift for drift in example.planting.drifts if not drift.ribbon]
    numbers = sorted({drift.item for drift in body})
    items = [every[n] for n in numbers]
    owners = np.array([numbers.index(drift.item) for drift in body])
    sites = sites_of(example.outline, example.light, [drift.polygon for drift in body])
    offered = fitting(example.brief, catalogue, example.courses, example.light)
    rivals = rivals_of(every, items, offered)
    pool = [*items, *rivals]
    value = PaletteValue(pool, [], Wishes(), [], len(items))
    terms = terms_of(sites, pool, frozenset(), 3, reach_of(items, rivals))

    def cost(some: list[int]) -> float:
        unused = np.zeros(len(pool))
        unused[some] = terms.unused[some]
        arranged = cost_of(terms._replace(unused=unused), np.array(some)[owners])
        return arranged - W_PALETTE * value.of(some)

    for place, gone in enumerate(items):
        after = replaced(items, rivals, owners, sites, value, {gone.kind.key}, frozenset(), 3)
        assert [new is old for new, old in zip(after, items, strict=True)].count(False) == 1
        own = list(range(len(items)))
        tried = {
            k: [*own[:place], k, *own[place + 1 :]]
            for k in range(len(items), len(pool))
            if pool[k].tier == gone.tier
        }
        costs = {k: cost(some) for k, some in tried.items() if value.allows(some)}
        best = min(costs, key=lambda k: costs[k])
        assert after[place] is pool[best]


def test_rivals_are_the_best_of_each_height(example: Plan, offered: list[Candidate]) -> None:
    items = [item.candidate for item in example.planting.items]
    rivals = rivals_of(items, items, offered)
    tiers = {c.tier for c in items}
    for tier in tiers:
        mine = [c for c in rivals if c.tier == tier]
        assert len({c.kind.key for c in mine}) <= RIVALS
        rest = [
            c for c in offered if c.tier == tier and c.kind.key not in {i.kind.key for i in items}
        ]
        assert mine[0].score == max(c.score for c in rest)
    assert not {c.kind.key for c in rivals} & {c.kind.key for c in items}
    assert {c.tier for c in rivals} <= tiers
