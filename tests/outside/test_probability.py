"""Seed counts against scipy's negative binomial, a general reference library."""

from __future__ import annotations

import pytest
from scipy import stats

from bedwright.work.raising.seeds import odds_enough, seeds_needed


@pytest.mark.parametrize("wanted", [1, 3, 12, 24, 100])
@pytest.mark.parametrize("rate", [0.3, 0.55, 0.7, 0.85, 0.95])
@pytest.mark.parametrize("assurance", [0.9, 0.95, 0.99])
def test_counts(wanted: int, rate: float, assurance: float) -> None:
    # Failures before the last wanted success follow a negative binomial.
    theirs = wanted + int(stats.nbinom.ppf(assurance, wanted, rate))
    assert seeds_needed(wanted, rate, assurance) == theirs


def test_odds() -> None:
    for n in (12, 15, 20):
        theirs = stats.binom.sf(11, n, 0.8)
        assert odds_enough(n, 12, 0.8) == pytest.approx(theirs, abs=1e-12)
