"""Flowering in gardens: forecast for the rows of ``data/outdoor_flowering.csv`` that no figure of
the model was fitted to (every third), each with the days on which it was raised.

A row's own day is known to ten days or so: most give a month.  What is left is what a gardener can
expect of the forecast.
"""

from __future__ import annotations

from collections import defaultdict

import numpy as np
import pytest

from bedwright.catalogue import Catalogue
from bedwright.growth import blooms_of
from fit_growth import ROWS, Row, forecast, read_rows, season_at

NOISE_DAYS = 10.0


@pytest.fixture(scope="module")
def judged(catalogue: Catalogue) -> list[Row]:
    """The rows that are for judging."""
    return [row for row in read_rows(ROWS, catalogue) if row.use == "judge"]


@pytest.fixture(scope="module")
def errors(judged: list[Row]) -> np.ndarray:
    """Days that the forecast of each comes too late."""
    return forecast(judged) - np.array([row.flowers for row in judged])


def test_rows_for_judging_are_a_third_of_all(catalogue: Catalogue) -> None:
    uses = [row.use for row in read_rows(ROWS, catalogue)]
    assert len(uses) // 3 - 1 <= uses.count("judge") <= len(uses) // 3 + 1
    assert set(uses) == {"fit", "judge"}


def test_forecasts_lean_neither_way(errors: np.ndarray) -> None:
    assert abs(np.median(errors)) <= 5


def test_most_forecasts_are_within_three_weeks(errors: np.ndarray) -> None:
    assert (np.abs(errors) <= 21).mean() >= 0.7


def test_few_forecasts_are_more_than_four_weeks_late(errors: np.ndarray) -> None:
    assert (errors > 28).mean() < 0.1


def test_no_climate_or_way_of_raising_is_far_off(judged: list[Row], errors: np.ndarray) -> None:
    """Groups of few rows can be no nearer than the noise of their middle allows: one and a half of
    its standard errors."""
    groups: dict[str, list[float]] = defaultdict(list)
    for row, error in zip(judged, errors, strict=True):
        groups[row.group].append(error)
    for name, some in groups.items():
        allowed = 5.0 + 1.5 * 1.25 * 18.0 / np.sqrt(len(some))
        if len(some) >= 3:
            assert abs(np.median(some)) <= allowed, name


def test_the_stated_odds_hold(judged: list[Row]) -> None:
    """Of rows, about four in five flower between the days stated for eight seasons in ten, with the
    noise of the row's own day on both sides."""
    inside = 0
    for row in judged:
        (bloom,) = blooms_of([row.way], season_at(row.place))
        low, high = np.quantile(bloom.first, [0.1, 0.9])
        inside += low - NOISE_DAYS <= row.flowers <= high + NOISE_DAYS
    assert 0.65 <= inside / len(judged) <= 0.97
