"""How many seeds, so that the wanted number of plants stands with the wanted assurance.

Plants that come of n seeds follow a binomial; the smallest n for which at least ``wanted`` stand
with probability ``assurance`` is the quantile of a negative binomial (any probability text, for
instance Feller, vol. 1, chapter VI).
"""

from __future__ import annotations

import math

import scipy

from bedwright.brief import Learned
from bedwright.catalogue import Kind

ASSURANCE = 0.95

MOST_GERMINATION = 0.98
"""The highest rate of germination that seed is counted by (estimate)."""


def germination_here(kind: Kind, learned: Learned) -> float:
    """A kind's rate of germination, as the garden has taught it: the catalogue's, more or less."""
    rate = kind.sowing.germination * learned.germination_of(kind.key)
    return min(rate, max(MOST_GERMINATION, kind.sowing.germination))


def odds_enough(seeds: int, wanted: int, rate: float) -> float:
    """Probability that at least ``wanted`` of ``seeds`` succeed, each with odds ``rate``."""
    if wanted <= 0:
        return 1.0
    if seeds < wanted:
        return 0.0
    if rate >= 1.0:
        return 1.0
    return float(scipy.special.betainc(wanted, seeds - wanted + 1, rate))


def seeds_needed(wanted: int, rate: float, assurance: float = ASSURANCE) -> int:
    """Fewest seeds of which at least ``wanted`` succeed with probability ``assurance``.

    Raises ValueError unless 0 < rate <= 1 and 0 < assurance < 1.
    """
    if not 0.0 < rate <= 1.0 or not 0.0 < assurance < 1.0:
        raise ValueError(f"rate {rate} and assurance {assurance} must lie between 0 and 1")
    if wanted <= 0:
        return 0
    low, high = wanted, wanted
    while odds_enough(high, wanted, rate) < assurance:
        low, high = high, 2 * high + 4
    while low < high:
        middle = (low + high) // 2
        if odds_enough(middle, wanted, rate) >= assurance:
            high = middle
        else:
            low = middle + 1
    return high


def seeds_a_spot(rate: float, assurance: float = ASSURANCE) -> int:
    """Seeds in one spot so that at least one comes up with probability ``assurance``."""
    if rate >= assurance:
        return 1
    return max(math.ceil(math.log(1.0 - assurance) / math.log(1.0 - rate)), 1)
