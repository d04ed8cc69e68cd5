"""No arrangement costs less than the bound: against every arrangement there is, and HiGHS."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from bedwright.planting.arrange.anneal import anneal
from bedwright.planting.arrange.energy import Terms, pairs_of, triples_of
from bedwright.planting.proof import prices
from bedwright.planting.proof.bound import BRANCHED, CLOSED, STEPS_PER_NODE, lower_bound
from bedwright.planting.proof.flow import Programme, agreement, beside, flow_form
from bedwright.planting.proof.prices import bound_by_prices
from conftest import examples
from planting.test_arrangement import by_hand, every_state, random_terms


def least_of_all(terms: Terms) -> float:
    """The cost of the best arrangement, found by trying all."""
    return float(by_hand(terms, every_state(*terms.local.shape)).min())


def tight_form(terms: Terms) -> Programme:
    """The programme whose dual the prices are: shares of triples as well, and the lack of bloom
    calculated for each item of a drift apart."""
    form = Programme()
    share, both = agreement(form, terms)
    items = len(terms.height)
    number = {(int(d), int(e)): k for k, (d, e) in enumerate(pairs_of(terms)[0])}
    triples = triples_of(terms)
    three = form.columns(np.zeros((len(triples), items, items, items)))
    agree = np.append(np.ones(items), -1.0)
    for axis, one, other in ((3, 0, 1), (2, 0, 2), (1, 1, 2)):
        two = np.array([number[int(t[one]), int(t[other])] for t in triples])
        form.rows(beside(np.moveaxis(three, axis, 3), both[two]), agree, 0.0, 0.0)
    for d, item in product(range(len(share)), range(items)):
        for t, want in enumerate(terms.want):
            at, weight = [share[d, item]], [terms.own[d] * terms.odds[item, t]]
            for k in range(terms.first[d], terms.first[d + 1]):
                e = int(terms.other[k])
                at += list(both[number[d, e]][item] if d < e else both[number[e, d]][:, item])
                weight += list(terms.share[k] * terms.odds[:, t])
            for half in (1.0, 0.5):
                lack = form.columns(terms.price[d])
                row = [*weight, 1.0]
                row[0] -= half * want
                form.rows(np.append(at, lack)[None], np.array([row]), 0.0, np.inf)
    return form


@pytest.mark.parametrize("seed", range(examples(6)))
def test_bound_meets_full_enumeration(seed: int) -> None:
    terms = random_terms(6, 4, seed)
    least = least_of_all(terms)
    assert least * (1 - CLOSED) <= lower_bound(terms) <= least + 1e-6
    assert lower_bound(terms, known=least) <= least + 1e-6


def test_branch_and_bound_agrees_with_full_enumeration() -> None:
    terms = random_terms(6, 4, 5)
    assert flow_form(terms).solve() == pytest.approx([least_of_all(terms)] * 2)
    assert tight_form(terms).solve() == pytest.approx([least_of_all(terms)] * 2)


@pytest.mark.parametrize("seed", range(4))
def test_prices_come_to_the_optimum_of_the_linear_programme(seed: int) -> None:
    # By strong duality the best prices bound by as much as the programme's optimum, here by HiGHS.
    terms = random_terms(9, 4, seed)
    terms = terms._replace(pair=1.5 * np.eye(4), price=np.full(9, 1.5))
    optimum, _ = tight_form(terms).solve(whole=False)
    assert optimum is not None
    bound = bound_by_prices(terms)
    assert optimum * 0.997 <= bound <= optimum + 1e-6


def test_triples_and_bloom_apart_bound_more_tightly_than_pairs() -> None:
    short = []
    for seed in range(examples(3)):
        terms = random_terms(6, 3, seed)._replace(pair=1.5 * np.eye(3))
        least = least_of_all(terms)
        pairs, _ = flow_form(terms).solve(whole=False)
        assert pairs is not None
        short.append([least - pairs, least - bound_by_prices(terms)])
    mean = np.mean(short, axis=0)
    assert mean[1] < mean[0] / 2


def test_no_prices_bound_too_high(monkeypatch: pytest.MonkeyPatch) -> None:
    # However few the steps, and however wild.
    terms = random_terms(6, 4, 7)
    least = least_of_all(terms)
    assert bound_by_prices(terms, 1) <= bound_by_prices(terms, 40) <= least
    monkeypatch.setattr(prices, "LONG", 50.0)
    assert bound_by_prices(terms) <= least + 1e-9


def test_the_gradient_is_the_slope_of_the_bound() -> None:
    terms = random_terms(7, 4, 1)
    choices, rng = prices._Choices(terms), np.random.default_rng(0)
    start, _, _ = choices.limits()
    at = prices.Prices(*(rng.uniform(0, 0.3, part.shape) for part in start))
    _, gradient = choices.bound(at, 1e-7)
    for name, part in at._asdict().items():
        way = 1e-6 * rng.standard_normal(part.shape)
        up, down = (choices.bound(at._replace(**{name: part + w}), 1e-7)[0] for w in (way, -way))
        rise = float((getattr(gradient, name) * way).sum())
        assert (up - down) / 2 == pytest.approx(rise, rel=1e-6)


def test_a_bed_of_one_drift_is_bounded_too() -> None:
    terms = random_terms(1, 5, 0)
    assert lower_bound(terms) == pytest.approx(least_of_all(terms))


def test_larger_beds_are_bounded_by_prices_alone() -> None:
    terms = random_terms(32, 10, 2)
    _, cost = anneal(terms, np.arange(32), np.zeros(32, np.int64), 40_000, 0)
    assert len(pairs_of(terms)[0]) * 10**2 > BRANCHED
    bound = lower_bound(terms, 400)
    assert bound == bound_by_prices(terms, 400)
    assert 0.9 * cost < bound <= cost


def test_the_same_steps_give_the_same_bound_and_more_of_them_no_worse_a_one() -> None:
    terms = random_terms(10, 5, 3)
    bounds = [lower_bound(terms, steps) for steps in (20, 20, 300, 300)]
    assert bounds[0] == bounds[1]
    assert bounds[2] == bounds[3]
    assert bounds[0] <= bounds[2]


def test_branch_and_bound_stops_after_so_many_nodes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Few steps of the climb leave it no node at all."""
    solved: list[int | None] = []

    def solve(self: Programme, nodes: int | None = None, whole: bool = True) -> tuple[None, None]:
        solved.append(nodes)
        return None, None

    monkeypatch.setattr(Programme, "solve", solve)
    terms = random_terms(8, 4, 3)
    lower_bound(terms, STEPS_PER_NODE - 1)
    lower_bound(terms, 7 * STEPS_PER_NODE)
    assert solved == [7]
