"""How far an arrangement is from the best there is.

Prices on agreement (``prices``) bound the cost of any arrangement from below, to about a hundredth
on beds of any size; branch and bound (``flow``) closes what they leave on smaller beds.
"""

from __future__ import annotations

import time
from typing import NamedTuple

import numpy as np

from bedwright.planting.energy import Terms, pairs_of
from bedwright.planting.flow import flow_form
from bedwright.planting.prices import bound_by_prices

BRANCHED = 6_000
"""Pairs of items, over all drifts that touch, up to which branch and bound may come to an end: beds
of some twenty drifts."""

CLOSED = 1e-4
"""Share of the cost within which two are one (HiGHS's own for branch and bound)."""


class Proof(NamedTuple):
    """``bound``: a cost that no arrangement goes below; ``cost``: of the best arrangement that
    branch and bound itself found, None where it found none or was not tried."""

    bound: float
    cost: float | None = None


def lower_bound(terms: Terms, seconds: float = 60.0, known: float = np.inf) -> float:
    """A cost that no arrangement goes below; the search ends where it meets ``known``, the cost of
    one."""
    return prove(terms, seconds, known).bound


def prove(terms: Terms, seconds: float = 60.0, known: float = np.inf) -> Proof:
    """The bound by prices and, on a bed small enough that it may end, by branch and bound."""
    end = time.monotonic() + seconds
    enough = known - CLOSED * abs(known) if np.isfinite(known) else np.inf
    bound = bound_by_prices(terms, seconds, enough)
    left = end - time.monotonic()
    shares = len(pairs_of(terms)[0]) * len(terms.height) ** 2
    if bound >= enough or shares > BRANCHED or left <= 0:
        return Proof(bound)
    branched, cost = flow_form(terms).solve(left)
    return Proof(bound if branched is None else max(bound, branched), cost)
