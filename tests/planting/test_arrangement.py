"""Who stands where: the annealing against every arrangement there is."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray

from bedwright.planting.arrange.anneal import anneal, cost_of
from bedwright.planting.arrange.energy import EYE_M, Terms, hidden


def random_terms(drifts: int, items: int, seed: int, fortnights: int = 6) -> Terms:
    """Costs at random, of drifts in a band two deep, so that some stand before others."""
    rng = np.random.default_rng(seed)
    away = np.arange(drifts) % 2 * 0.8
    both = sorted((a, b) for a, b in product(range(drifts), repeat=2) if a != b and abs(a - b) <= 2)
    first = np.searchsorted([a for a, _ in both], np.arange(drifts + 1)).astype(np.int64)
    other = np.array([b for _, b in both], np.int64)
    owner = np.array([a for a, _ in both], np.int64)
    gap = away[other] - away[owner]
    pair = rng.random((items, items))
    odds = rng.random((items, fortnights)) * (rng.random((items, fortnights)) < 0.6)
    degree = np.diff(first) + 1
    return Terms(
        local=rng.random((drifts, items)) * 3,
        pair=pair + pair.T,
        height=rng.uniform(0.2, 1.2, items),
        first=first,
        other=other,
        stands=np.where(gap == 0, 0, np.where(gap > 0, 1, 2)).astype(np.int64),
        back=np.array([both.index((b, a)) for a, b in both], np.int64),
        near=1.5 + np.minimum(away[other], away[owner]),
        far=1.5 + np.maximum(away[other], away[owner]),
        hide=3.0,
        order=1.5,
        odds=odds,
        want=np.full(fortnights, 0.5),
        share=1.0 / degree[owner],
        own=1.0 / degree,
        price=np.full(drifts, 0.5),
        unused=np.full(items, 2.0),
        over=1.0,
        most=max(drifts // items, 1),
    )


def every_state(drifts: int, items: int) -> NDArray[np.int64]:
    """(items ** drifts, drifts) every arrangement that there is."""
    return np.array(list(product(range(items), repeat=drifts)), np.int64)


def by_hand(terms: Terms, states: NDArray[np.int64]) -> NDArray[np.float64]:
    """(n,) the costs of arrangements (n, drifts) from their definition, without the incremental
    parts."""
    total = np.zeros(len(states))
    for d, mine in enumerate(states.T):
        total += terms.local[d, mine]
        got = terms.own[d] * terms.odds[mine]
        for k in range(terms.first[d], terms.first[d + 1]):
            theirs = states[:, terms.other[k]]
            got += terms.share[k] * terms.odds[theirs]
            total += terms.pair[mine, theirs] / 2
            if terms.stands[k] == 1:
                front, back = terms.height[mine], terms.height[theirs]
                line = EYE_M + (front - EYE_M) * terms.far[k] / terms.near[k]
                total += terms.hide * np.clip((line - back / 2) / (back / 2), 0, 1)
                total += terms.order * np.maximum(front - back, 0.0)
        short = np.maximum(terms.want - got, 0)
        lack = short + np.maximum(short - terms.want / 2, 0)
        total += terms.price[d] * lack.sum(axis=1)
    counts = (states[:, :, None] == np.arange(len(terms.height))).sum(axis=1)
    total += (counts == 0) @ terms.unused
    return total + terms.over * np.maximum(counts - terms.most, 0).sum(axis=1)


@pytest.mark.parametrize("seed", range(12))
def test_annealing_meets_full_enumeration(seed: int) -> None:
    terms = random_terms(6, 4, seed)
    least = by_hand(terms, every_state(6, 4)).min()
    state, cost = anneal(terms, np.arange(6), np.zeros(6, np.int64), 6000, seed)
    assert cost == pytest.approx(by_hand(terms, state[None])[0])
    assert cost_of(terms, state) == pytest.approx(cost)
    assert cost == pytest.approx(least)


def test_drifts_that_are_not_free_keep_their_items() -> None:
    terms = random_terms(8, 5, 3)
    start = np.array([4, 0, 1, 2, 3, 4, 0, 1])
    free = np.array([1, 2, 5, 6])
    state, cost = anneal(terms, free, start, 8000, 0)
    held = np.setdiff1d(np.arange(8), free)
    assert (state[held] == start[held]).all()
    options = every_state(4, 5)
    trials = np.tile(start, (len(options), 1))
    trials[:, free] = options
    assert cost == pytest.approx(by_hand(terms, trials).min())


def test_the_same_seed_gives_the_same_arrangement() -> None:
    terms = random_terms(20, 7, 1)
    runs = [anneal(terms, np.arange(20), np.zeros(20, np.int64), 2000, 5) for _ in range(2)]
    assert (runs[0][0] == runs[1][0]).all()
    assert runs[0][1] == runs[1][1]


def test_what_is_hidden_follows_the_line_of_sight() -> None:
    # A plant as tall as the eye hides as much of one behind it however far; a low one hides nothing
    # of an equal one far behind.
    assert hidden(EYE_M, EYE_M, 2.0, 3.0) == pytest.approx(1.0)
    assert hidden(0.3, 0.3, 2.0, 4.0) == 0.0
    # Eye at 1.6 m, 2 m before a plant of 0.8 m: at 3 m the line is down to 0.4 m, the middle of
    # another of 0.8 m.
    assert hidden(0.8, 0.8, 2.0, 3.0) == pytest.approx(0.0)
    assert hidden(1.0, 0.8, 2.0, 3.0) == pytest.approx((0.7 - 0.4) / 0.4)
