"""Annealing of kinds over drifts, compiled: incremental cost, restarts on every core.

Each restart begins from the best item of each drift on its own or at random, and cools
geometrically (S. Kirkpatrick, C. D. Gelatt and M. P. Vecchi, Science 220, 1983).  A move gives one
drift another item, or swaps the items of two.  The random numbers are the restart's own
(xorshift64*, S. Vigna, ACM Transactions on Mathematical Software 42, 2016), so that the same seed
gives the same arrangement on any number of cores.
"""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from bedwright.compiled import compiled
from bedwright.planting.energy import Floats, Ints, Terms, count_price, lack, link_cost

RESTARTS = 8
HOT, COLD = 1.5, 0.01
"""Heat at the beginning and the end, in the spread of the costs."""

SWAPS = 0.4
"""Share of the moves that swap two drifts."""


@compiled()
def _next(state: NDArray[np.uint64]) -> float:
    """The restart's next number in [0, 1)."""
    x = state[0]
    x ^= x >> np.uint64(12)
    x ^= x << np.uint64(25)
    x ^= x >> np.uint64(27)
    state[0] = x
    return float((x * np.uint64(2685821657736338717)) >> np.uint64(11)) / 9007199254740992.0


@compiled()
def _change(terms: Terms, state: Ints, counts: Ints, got: Floats, d: int, new: int) -> float:
    """What it costs more to give drift ``d`` the item ``new``."""
    old = state[d]
    delta = terms.local[d, new] - terms.local[d, old]
    delta += count_price(terms, new, counts[new] + 1) - count_price(terms, new, counts[new])
    delta += count_price(terms, old, counts[old] - 1) - count_price(terms, old, counts[old])
    for t in range(len(terms.want)):
        more = terms.odds[new, t] - terms.odds[old, t]
        if more == 0.0:
            continue
        want = terms.want[t]
        own = lack(got[d, t] + terms.own[d] * more, want) - lack(got[d, t], want)
        delta += terms.price[d] * own
        for k in range(terms.first[d], terms.first[d + 1]):
            e = terms.other[k]
            share = terms.share[terms.back[k]]
            near = lack(got[e, t] + share * more, want) - lack(got[e, t], want)
            delta += terms.price[e] * near
    for k in range(terms.first[d], terms.first[d + 1]):
        theirs = state[terms.other[k]]
        delta += link_cost(terms, k, new, theirs) - link_cost(terms, k, old, theirs)
    return float(delta)


@compiled()
def _put(terms: Terms, state: Ints, counts: Ints, got: Floats, d: int, new: int) -> None:
    """Give drift ``d`` the item ``new``."""
    old = state[d]
    counts[old] -= 1
    counts[new] += 1
    state[d] = new
    for t in range(len(terms.want)):
        more = terms.odds[new, t] - terms.odds[old, t]
        got[d, t] += terms.own[d] * more
        for k in range(terms.first[d], terms.first[d + 1]):
            got[terms.other[k], t] += terms.share[terms.back[k]] * more


@compiled()
def _begin(terms: Terms, state: Ints, counts: Ints, got: Floats) -> float:
    """Counts and bloom of an arrangement, and its cost in full."""
    counts[:] = 0
    got[:] = 0.0
    total = 0.0
    for d in range(len(state)):
        counts[state[d]] += 1
        total += terms.local[d, state[d]]
        for t in range(len(terms.want)):
            got[d, t] += terms.own[d] * terms.odds[state[d], t]
        for k in range(terms.first[d], terms.first[d + 1]):
            e = terms.other[k]
            total += link_cost(terms, k, state[d], state[e]) / 2
            for t in range(len(terms.want)):
                got[d, t] += terms.share[k] * terms.odds[state[e], t]
    for item in range(len(counts)):
        total += count_price(terms, item, counts[item])
    for d in range(len(state)):
        for t in range(len(terms.want)):
            total += terms.price[d] * lack(got[d, t], terms.want[t])
    return total


@compiled(nogil=True)
def _run(
    terms: Terms,
    free: Ints,
    state: Ints,
    steps: int,
    hot: float,
    cold: float,
    luck: NDArray[np.uint64],
    best: Ints,
) -> float:
    """One restart from ``state``; the best arrangement goes to ``best``, its cost is returned."""
    drifts, items = terms.local.shape
    counts = np.zeros(items, np.int64)
    got = np.zeros((drifts, len(terms.want)))
    now = _begin(terms, state, counts, got)
    best[:] = state
    least = now
    fall = (cold / hot) ** (1.0 / max(steps - 1, 1))
    heat = hot
    for _ in range(steps):
        d = free[int(_next(luck) * len(free))]
        if len(free) < 2 or _next(luck) >= SWAPS:
            new = int(_next(luck) * items)
            if new != state[d]:
                delta = _change(terms, state, counts, got, d, new)
                if delta <= 0 or _next(luck) < math.exp(-delta / heat):
                    _put(terms, state, counts, got, d, new)
                    now += delta
        else:
            e = free[int(_next(luck) * len(free))]
            mine, theirs = state[d], state[e]
            if mine != theirs:
                delta = _change(terms, state, counts, got, d, theirs)
                _put(terms, state, counts, got, d, theirs)
                delta += _change(terms, state, counts, got, e, mine)
                _put(terms, state, counts, got, e, mine)
                if delta <= 0 or _next(luck) < math.exp(-delta / heat):
                    now += delta
                else:
                    _put(terms, state, counts, got, d, mine)
                    _put(terms, state, counts, got, e, theirs)
        if now < least - 1e-9:
            best[:] = state
            least = now
        heat *= fall
    return float(least)


def cost_of(terms: Terms, state: NDArray[np.integer]) -> float:
    """Cost of one arrangement, reckoned in full."""
    drifts, items = terms.local.shape
    got = np.zeros((drifts, len(terms.want)))
    return float(_begin(terms, np.asarray(state, np.int64), np.zeros(items, np.int64), got))


def anneal(
    terms: Terms, free: Ints, start: Ints, steps: int, seed: int
) -> tuple[NDArray[np.int64], float]:
    """The best arrangement found, and its cost.

    ``start``: (drifts,) items to begin from; those of drifts not in ``free`` are kept.
    """
    drifts, items = terms.local.shape
    rng = np.random.default_rng(seed)
    begin = np.tile(np.asarray(start, np.int64), (RESTARTS, 1))
    for r in range(1, RESTARTS):
        begin[r, free] = rng.integers(items, size=len(free))
    luck = rng.integers(1, 2**63, RESTARTS).astype(np.uint64)
    spread = float(np.std(terms.local)) + float(np.std(terms.pair)) + 1e-9
    best, energy = np.empty((RESTARTS, drifts), np.int64), np.empty(RESTARTS)

    def run(r: int) -> None:
        hot, cold = HOT * spread, COLD * spread
        energy[r] = _run(terms, free, begin[r], steps, hot, cold, luck[r : r + 1], best[r])

    with ThreadPoolExecutor(2) as cores:
        list(cores.map(run, range(RESTARTS)))
    first = int(np.argmin(energy))
    return best[first], float(energy[first])
