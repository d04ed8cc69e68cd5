"""How far an arrangement is from the best there is.

Prices on agreement (``prices``) bound the cost of any arrangement from below, to about a hundredth
on beds of any size; branch and bound (``flow``) closes what they leave on smaller beds.
"""

from __future__ import annotations

import time

import numpy as np

from bedwright.planting.arrange import Terms, pairs_of
from bedwright.planting.proof.flow import flow_form
from bedwright.planting.proof.prices import bound_by_prices

BRANCHED = 6_000
"""Pairs of items, over all drifts that touch, up to which branch and bound may come to an end: beds
of some twenty drifts."""

CLOSED = 1e-4
"""Share of the cost within which two are one (HiGHS's own for branch and bound)."""


def lower_bound(terms: Terms, seconds: float = 60.0, known: float = np.inf) -> float:
    """A cost that no arrangement goes below, by prices and, on a bed small enough that it may end,
    by branch and bound.  The search ends where it meets ``known``, the cost of an arrangement."""
    end = time.monotonic() + seconds
    enough = known - CLOSED * abs(known) if np.isfinite(known) else np.inf
    bound = bound_by_prices(terms, seconds, enough)
    left = end - time.monotonic()
    shares = len(pairs_of(terms)[0]) * len(terms.height) ** 2
    if bound >= enough or shares > BRANCHED or left <= 0:
        return bound
    branched, _ = flow_form(terms).solve(left)
    return bound if branched is None else max(bound, branched)
