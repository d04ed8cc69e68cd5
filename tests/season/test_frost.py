from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.season.frost import (
    NEVER,
    SPLIT,
    FreezeOdds,
    bootstrap_sd,
    first_autumn,
    freeze_odds,
    last_spring,
    usable,
)
from bedwright.units import fahrenheit_to_c


def year(**cold: float) -> np.ndarray:
    """One year at 10 °C with named exceptions, ``d120=-1.0``."""
    out = np.full((1, 365), 10.0)
    for key, value in cold.items():
        out[0, int(key[1:])] = value
    return out


def test_a_night_exactly_on_the_threshold_is_a_freeze() -> None:
    assert last_spring(year(d120=0.0), 0.0, True)[0] == 120
    assert last_spring(year(d120=fahrenheit_to_c(28.0)), fahrenheit_to_c(28.0), True)[0] == 120
    assert last_spring(year(d120=0.06), 0.0, True)[0] == NEVER
    assert first_autumn(year(d300=0.0), 0.0, True)[0] == 300


def test_single_precision_does_not_lose_the_threshold() -> None:
    cold = year(d120=fahrenheit_to_c(28.0)).astype(np.float32)
    assert last_spring(cold, fahrenheit_to_c(28.0), True)[0] == 120


def test_spring_and_autumn_part_on_24_july_and_24_january() -> None:
    for north in (True, False):
        edge = SPLIT[north]
        assert last_spring(year(**{f"d{edge - 1}": -1.0}), 0.0, north)[0] == edge - 1
        assert first_autumn(year(**{f"d{edge}": -1.0}), 0.0, north)[0] == edge
        assert last_spring(year(**{f"d{edge}": -1.0}), 0.0, north)[0] == NEVER
    assert np.datetime64("2027-01-01") + SPLIT[True] == np.datetime64("2027-07-24")
    assert np.datetime64("2027-07-01") + SPLIT[False] == np.datetime64("2028-01-24")


def test_years_without_a_freeze_enter_as_a_mixture() -> None:
    odds = FreezeOdds(tuple(range(100, 140)), 80, True)
    assert odds.share == 0.5
    assert odds.day_at(0.5) is None
    assert odds.day_at(0.6) is None
    # Half the freezing years is a quarter of all years.
    assert odds.day_at(0.25) == pytest.approx(119.5, abs=1)
    assert odds.odds_at(120) == pytest.approx(20 / 80)


def test_missing_days_that_could_hold_the_answer_drop_the_season() -> None:
    whole = year(d90=-1.0)
    gone = whole.copy()
    gone[0, 60:69] = np.nan
    assert usable(gone, True, True)[0]
    gone[0, 60:70] = np.nan
    assert not usable(gone, True, True)[0]
    assert usable(gone, False, True)[0]
    both = np.concatenate([whole, gone])
    assert freeze_odds(both, 0.0, True, True).years == 1


def test_spring_odds_fall_and_autumn_odds_rise_with_the_day() -> None:
    rng = np.random.default_rng(3)
    dates = tuple(sorted(int(d) for d in rng.normal(110, 12, 60)))
    spring = FreezeOdds(dates, 60, True)
    days = [spring.day_at(q) for q in (0.9, 0.5, 0.1, 0.05)]
    assert days == sorted(days)
    assert spring.fitted_day_at(0.5) == pytest.approx(np.mean(dates))
    autumn = FreezeOdds(tuple(d + 190 for d in dates), 60, False)
    days = [autumn.day_at(q) for q in (0.05, 0.1, 0.5, 0.9)]
    assert days == sorted(days)


def test_bootstrap_error_is_near_the_textbook_one() -> None:
    # Standard error of a median of a normal sample: 1.2533 sd / sqrt(n) (any statistics text).
    rng = np.random.default_rng(4)
    dates = tuple(sorted(round(d) for d in rng.normal(110, 12, 100)))
    found = bootstrap_sd(FreezeOdds(dates, 100, True), 0.5, 0)
    assert found == pytest.approx(1.2533 * 12 / 10, rel=0.35)


@given(
    st.lists(st.integers(40, 200), min_size=5, max_size=60),
    st.integers(0, 30),
    st.floats(0.02, 0.98),
)
def test_a_date_is_given_exactly_when_its_odds_can_occur(
    days: list[int], without: int, level: float
) -> None:
    odds = FreezeOdds(tuple(sorted(days)), len(days) + without, True)
    day = odds.day_at(level)
    assert (day is None) == (level >= odds.share)
    if day is not None:
        assert min(days) <= day <= max(days)
