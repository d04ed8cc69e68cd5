"""Figures that the fit of daily minima rests on."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from fit_minimum_model import extreme_sds


@pytest.mark.parametrize("days", [10, 30])
def test_the_extreme_of_a_month_without_correlation_is_that_of_order_statistics(days: int) -> None:
    """The expected largest of n normal values: the integral of n x phi(x) Phi(x)^(n - 1), as any
    text on order statistics has it, by scipy."""
    expected, _ = quad(lambda x: days * x * norm.pdf(x) * norm.cdf(x) ** (days - 1), -9.0, 9.0)
    assert extreme_sds(days, 0.0) == pytest.approx(expected, abs=0.01)


def test_the_more_days_are_alike_the_less_extreme_a_month_is() -> None:
    found = [extreme_sds(lag=lag) for lag in (0.0, 0.65, 0.9)]
    assert (np.diff(found) < 0).all()
    assert found[1] == pytest.approx(1.86, abs=0.01)
