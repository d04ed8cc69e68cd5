"""How far an arrangement is from the best there is.

Prices on agreement (``prices``) bound the cost of any arrangement from below, to about a hundredth
on beds of any size; branch and bound (``flow``) closes what they leave on smaller beds.
"""

from __future__ import annotations

import numpy as np

from bedwright.planting.arrange import Terms, pairs_of
from bedwright.planting.proof.flow import flow_form
from bedwright.planting.proof.prices import STEPS, bound_by_prices

BRANCHED = 6_000
"""Pairs of items, over all drifts that touch, up to which branch and bound may come to an end: beds
of some twenty drifts."""

STEPS_PER_NODE = 60
"""Steps of the climb to one node of branch and bound, which takes some hundred times as long as a
step: so that a proof of few steps is soon done (estimate)."""

CLOSED = 1e-4
"""Share of the cost within which two are one (HiGHS's own for branch and bound)."""


def lower_bound(terms: Terms, steps: int = STEPS, known: float = np.inf) -> float:
    """A cost that no arrangement goes below, by prices and, on a bed small enough that it may end,
    by branch and bound.  The search ends after so many steps, or where it meets ``known``, the cost
    of an arrangement."""
    enough = known - CLOSED * abs(known) if np.isfinite(known) else np.inf
    bound = bound_by_prices(terms, steps, enough)
    nodes = steps // STEPS_PER_NODE
    shares = len(pairs_of(terms)[0]) * len(terms.height) ** 2
    if bound >= enough or shares > BRANCHED or nodes == 0:
        return bound
    branched, _ = flow_form(terms).solve(nodes)
    return bound if branched is None else max(bound, branched)
