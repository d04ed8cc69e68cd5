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
from bedwright.planting.arrange.energy import (
    Floats,
    Ints,
    Terms,
    count_price,
    lack,
    link_cost,
    link_table,
)

RESTARTS = 4
HOT, COLD = 0.3, 0.02
"""Heat at the beginning and the end, in the spread of the costs."""

SWAPS = 0.3
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
def _change(terms: Terms, tables: Floats, state: Ints, counts: Ints, d: int, new: int) -> float:
    """What it costs more to give drift ``d`` the item ``new``, bloom aside."""
    old = state[d]
    delta = terms.local[d, new] - terms.local[d, old]
    delta += count_price(terms, new, counts[new] + 1) - count_price(terms, new, counts[new])
    delta += count_price(terms, old, counts[old] - 1) - count_price(terms, old, counts[old])
    for k in range(terms.first[d], terms.first[d + 1]):
        theirs = state[terms.other[k]]
        delta += tables[k, new, theirs] - tables[k, old, theirs]
    return float(delta)


@compiled()
def _swap(terms: Terms, tables: Floats, state: Ints, d: int, e: int) -> float:
    """What it costs more when drifts ``d`` and ``e`` swap their items, bloom aside."""
    delta = 0.0
    for one, two in ((d, e), (e, d)):
        old, new = state[one], state[two]
        delta += terms.local[one, new] - terms.local[one, old]
        for k in range(terms.first[one], terms.first[one + 1]):
            if terms.other[k] == two:
                delta += (tables[k, new, old] - tables[k, old, new]) / 2
            else:
                theirs = state[terms.other[k]]
                delta += tables[k, new, theirs] - tables[k, old, theirs]
    return float(delta)


@compiled()
def _more_bloom(terms: Terms, state: Ints, got: Floats, d: int, new: int) -> float:
    """What it costs more for bloom to give drift ``d`` the item ``new``."""
    old = state[d]
    delta = 0.0
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
    return float(delta)


@compiled()
def _lacking(terms: Terms, got: Floats, d: int) -> float:
    """What the bloom that drift ``d`` lacks costs."""
    total = 0.0
    for t in range(len(terms.want)):
        total += lack(got[d, t], terms.want[t])
    return float(terms.price[d] * total)


@compiled()
def _lacking_about(terms: Terms, short: Floats, d: int) -> float:
    """What the bloom lacking in drift ``d`` and its neighbours costs: no change of its item can win
    more by bloom."""
    total = short[d]
    for k in range(terms.first[d], terms.first[d + 1]):
        total += short[terms.other[k]]
    return float(total)


@compiled()
def _put(
    terms: Terms, state: Ints, counts: Ints, got: Floats, short: Floats, d: int, new: int
) -> None:
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
    short[d] = _lacking(terms, got, d)
    for k in range(terms.first[d], terms.first[d + 1]):
        short[terms.other[k]] = _lacking(terms, got, terms.other[k])


@compiled()
def _begin(terms: Terms, state: Ints, counts: Ints, got: Floats, short: Floats) -> float:
    """Counts and bloom of an arrangement, what is short of it, and its cost in full."""
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
        short[d] = _lacking(terms, got, d)
        total += short[d]
    return total


@compiled(nogil=True)
def _run(
    terms: Terms,
    tables: Floats,
    free: Ints,
    state: Ints,
    steps: int,
    hot: float,
    cold: float,
    dice: NDArray[np.uint64],
    best: Ints,
) -> float:
    """One restart from ``state``; the best arrangement goes to ``best``, its cost is returned.

    A move is taken when it costs no more than a limit drawn from the heat.  Most are turned down by
    their other costs alone, whatever they may win by bloom, which takes longest to calculate.
    """
    drifts, items = terms.local.shape
    counts = np.zeros(items, np.int64)
    got = np.zeros((drifts, len(terms.want)))
    short = np.zeros(drifts)
    now = _begin(terms, state, counts, got, short)
    best[:] = state
    least = now
    fall = (cold / hot) ** (1.0 / max(steps - 1, 1))
    heat = hot
    for _ in range(steps):
        heat *= fall
        d = free[int(_next(dice) * len(free))]
        mine = state[d]
        limit = -heat * math.log(1.0 - _next(dice))
        if len(free) < 2 or _next(dice) >= SWAPS:
            new = int(_next(dice) * items)
            if new == mine:
                continue
            delta = _change(terms, tables, state, counts, d, new)
            if delta - _lacking_about(terms, short, d) > limit:
                continue
            delta += _more_bloom(terms, state, got, d, new)
            if delta > limit:
                continue
            _put(terms, state, counts, got, short, d, new)
        else:
            e = free[int(_next(dice) * len(free))]
            theirs = state[e]
            if mine == theirs:
                continue
            delta = _swap(terms, tables, state, d, e)
            most = _lacking_about(terms, short, d) + _lacking_about(terms, short, e)
            if delta - most > limit:
                continue
            delta += _more_bloom(terms, state, got, d, theirs)
            _put(terms, state, counts, got, short, d, theirs)
            delta += _more_bloom(terms, state, got, e, mine)
            _put(terms, state, counts, got, short, e, mine)
            if delta > limit:
                _put(terms, state, counts, got, short, d, mine)
                _put(terms, state, counts, got, short, e, theirs)
                continue
        now += delta
        if now < least - 1e-9:
            best[:] = state
            least = now
    return float(least)


def cost_of(terms: Terms, state: NDArray[np.integer]) -> float:
    """Cost of one arrangement, calculated in full."""
    drifts, items = terms.local.shape
    got = np.zeros((drifts, len(terms.want)))
    counts, short = np.zeros(items, np.int64), np.zeros(drifts)
    return float(_begin(terms, np.asarray(state, np.int64), counts, got, short))


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
    dice = rng.integers(1, 2**63, RESTARTS).astype(np.uint64)
    tables = np.array([link_table(terms, k) for k in range(len(terms.other))])
    tables = tables.reshape(-1, items, items)
    spread = float(np.std(terms.local)) + float(np.std(terms.pair)) + 1e-9
    best, energy = np.empty((RESTARTS, drifts), np.int64), np.empty(RESTARTS)

    def run(r: int) -> None:
        hot, cold = HOT * spread, COLD * spread
        energy[r] = _run(terms, tables, free, begin[r], steps, hot, cold, dice[r : r + 1], best[r])

    with ThreadPoolExecutor(2) as cores:
        list(cores.map(run, range(RESTARTS)))
    first = int(np.argmin(energy))
    return best[first], float(energy[first])
