"""Which kind in which drift: annealing on heights, light, colour and bloom.

Energy of an assignment, to be made small: each drift's misfit (height against its depth, cells
whose sun does not suit, too little room for a group) plus each pair of neighbours' misfit (discord
of colours weighted by the odds that both bloom, the same plant twice over, weeks in which neither
blooms, a tall kind before a low one), plus a price for using a kind too often or not at all.  Moves
change one drift or swap two.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.planting.colour import discord
from bedwright.planting.palette import Candidate

# Weights of the terms, set so that heights and sun decide first, colours next, and the rest breaks
# ties (estimate, weighed against drawn examples by eye).
W_HEIGHT, W_LIGHT, W_ROOM = 6.0, 5.0, 3.0
W_COLOUR, W_SAME, W_GAP, W_ALIKE, W_HIDE = 2.0, 1.5, 1.5, 0.3, 5.0
W_UNUSED, W_OVER = 6.0, 2.0
STEPS_PER_DRIFT = 900
"""Moves tried for each drift; on five drifts full enumeration finds nothing better."""

LEAST_PLANTS = 3
"""Plants that make a group (common practice, no source)."""

HIDE_SLACK_M = 0.05
"""A plant this much taller than the one behind it hides nothing worth a price."""

SAME_DEPTH = 0.08
"""Difference of depth below which neighbours stand side by side."""


@dataclass(frozen=True)
class Site:
    """What the assignment knows of a drift: depth 0 to 1, area, indices of its cells."""

    depth: float
    area_m2: float
    cells: NDArray[np.intp]


def local_costs(
    sites: list[Site], items: list[Candidate], low_m: float, high_m: float
) -> NDArray[np.float64]:
    """(drifts, items) misfit of each item in each drift.

    The height wanted runs from ``low_m`` at the front to ``high_m`` at the back.
    """
    out = np.zeros((len(sites), len(items)))
    for d, site in enumerate(sites):
        want = low_m + (high_m - low_m) * site.depth
        for i, item in enumerate(items):
            height = abs(item.kind.form.height_m - want) / max(high_m, 0.2)
            dark = 1.0 - float(item.sunny[site.cells].mean()) if len(site.cells) else 0.0
            room = site.area_m2 / (0.866 * item.kind.form.spacing_m**2)
            crowd = max(0.0, 1.0 - room / (LEAST_PLANTS + 0.5))
            out[d, i] = W_HEIGHT * height**1.5 + W_LIGHT * dark + W_ROOM * crowd
    return out


def pair_costs(items: list[Candidate]) -> NDArray[np.float64]:
    """(items, items) misfit of two items side by side."""
    n = len(items)
    odds = np.array([i.course.bloom.odds for i in items])
    live = odds.max(axis=0) > 0.2
    out = np.zeros((n, n))
    for a in range(n):
        for b in range(a, n):
            both = float(np.minimum(odds[a], odds[b])[live].mean()) if live.any() else 0.0
            gap = 1.0 - float(np.maximum(odds[a], odds[b])[live].mean()) if live.any() else 0.0
            cost = W_GAP * gap
            if a == b:
                cost += W_SAME
            else:
                clash = discord(items[a].colour.srgb, items[b].colour.srgb)
                cost += W_COLOUR * clash * min(2.0 * both, 1.0)
                form_a, form_b = items[a].kind.form, items[b].kind.form
                cost += W_ALIKE * (form_a.flower_form == form_b.flower_form)
            out[a, b] = out[b, a] = cost
    return out


def hiding_costs(items: list[Candidate], high_m: float) -> NDArray[np.float64]:
    """(items, items) misfit of the first standing before the second: how far it hides it."""
    height = np.array([i.kind.form.height_m for i in items])
    over = np.maximum(height[:, None] - height[None] - HIDE_SLACK_M, 0.0)
    return np.asarray(W_HIDE * over / max(high_m, 0.2))


def assign(
    local: NDArray[np.float64],
    pair: NDArray[np.float64],
    hiding: NDArray[np.float64],
    neighbours: list[list[int]],
    depths: list[float],
    most_each: int,
    rng: np.random.Generator,
) -> tuple[list[int], float]:
    """Item of each drift, and the energy reached.

    ``neighbours``: drifts that share an edge with each drift; ``depths``: how far back each lies;
    ``most_each``: uses of one item beyond which a price is paid.
    """
    drifts, items = local.shape
    state = [int(i) for i in np.argmin(local, axis=1)]
    counts = np.bincount(state, minlength=items)

    def count_cost(count: int) -> float:
        return W_UNUSED if count == 0 else W_OVER * max(count - most_each, 0)

    def edge_cost(d: int, item: int, e: int, other: int) -> float:
        cost = float(pair[item, other])
        if depths[d] < depths[e] - SAME_DEPTH:
            return cost + float(hiding[item, other])
        if depths[e] < depths[d] - SAME_DEPTH:
            return cost + float(hiding[other, item])
        return cost

    def drift_cost(d: int, item: int, skip: int = -1) -> float:
        return float(local[d, item]) + sum(
            edge_cost(d, item, e, state[e]) for e in neighbours[d] if e != skip
        )

    def total() -> float:
        inside = sum(float(local[d, state[d]]) for d in range(drifts))
        edges = sum(
            edge_cost(d, state[d], e, state[e]) for d in range(drifts) for e in neighbours[d]
        )
        return inside + edges / 2 + sum(count_cost(int(c)) for c in counts)

    steps = STEPS_PER_DRIFT * drifts
    draws = rng.random((steps, 4))
    best, best_state, energy = total(), list(state), total()
    for step in range(steps):
        heat = 1.5 * (1.0 - step / steps) ** 2 + 1e-3
        kind_of_move, one, two, luck = draws[step]
        d = int(one * drifts)
        if kind_of_move < 0.5 or drifts < 2:
            new = int(two * items)
            old = state[d]
            if new == old:
                continue
            change = drift_cost(d, new) - drift_cost(d, old)
            change += count_cost(int(counts[new]) + 1) - count_cost(int(counts[new]))
            change += count_cost(int(counts[old]) - 1) - count_cost(int(counts[old]))
            if change <= 0 or luck < np.exp(-change / heat):
                state[d] = new
                counts[new] += 1
                counts[old] -= 1
                energy += change
        else:
            e = int(two * drifts)
            if e == d or state[e] == state[d]:
                continue
            before = drift_cost(d, state[d], e) + drift_cost(e, state[e], d)
            after = drift_cost(d, state[e], e) + drift_cost(e, state[d], d)
            change = after - before
            if e in neighbours[d]:
                # The edge between the two counts as well: who stands before whom changes.
                change += edge_cost(d, state[e], e, state[d]) - edge_cost(d, state[d], e, state[e])
            if change <= 0 or luck < np.exp(-change / heat):
                state[d], state[e] = state[e], state[d]
                energy += change
        if energy < best - 1e-9:
            best, best_state = energy, list(state)
    return best_state, best
