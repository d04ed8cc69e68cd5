from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import kendalltau, theilslopes

from bedwright.climate.frost import (
    HALVES,
    NEVER,
    SPLIT,
    FreezeOdds,
    bootstrap_days,
    bootstrap_range,
    bootstrap_sd,
    first_autumn,
    free_days,
    freeze_free_days,
    freeze_odds,
    last_spring,
    trend_of,
    usable,
)
from bedwright.units import fahrenheit_to_c

NORTH = HALVES[True]


def year(**cold: float) -> np.ndarray:
    """One year at 10 °C with named exceptions, ``d120=-1.0``."""
    out = np.full((1, 365), 10.0)
    for key, value in cold.items():
        out[0, int(key[1:])] = value
    return out


def test_a_night_exactly_on_the_threshold_is_a_freeze() -> None:
    assert last_spring(year(d120=0.0), 0.0, NORTH)[0] == 120
    assert last_spring(year(d120=fahrenheit_to_c(28.0)), fahrenheit_to_c(28.0), NORTH)[0] == 120
    assert last_spring(year(d120=0.06), 0.0, NORTH)[0] == NEVER
    assert first_autumn(year(d300=0.0), 0.0, NORTH)[0] == 300


def test_single_precision_does_not_lose_the_threshold() -> None:
    cold = year(d120=fahrenheit_to_c(28.0)).astype(np.float32)
    assert last_spring(cold, fahrenheit_to_c(28.0), NORTH)[0] == 120


def test_spring_and_autumn_part_on_24_july_and_24_january() -> None:
    for north in (True, False):
        edge, halves = SPLIT[north], HALVES[north]
        assert last_spring(year(**{f"d{edge - 1}": -1.0}), 0.0, halves)[0] == edge - 1
        assert first_autumn(year(**{f"d{edge}": -1.0}), 0.0, halves)[0] == edge
        assert last_spring(year(**{f"d{edge}": -1.0}), 0.0, halves)[0] == NEVER
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
    late = year(d20=-1.0, d120=-1.0, d280=-1.0)
    gone = year(d90=-1.0, d300=-1.0)

    def sound(spring: bool) -> bool:
        return bool(usable(np.concatenate([late, gone]), 0.0, spring, NORTH)[1])

    gone[0, 100:109] = np.nan
    assert sound(True)
    gone[0, 100:110] = np.nan
    assert not sound(True)
    assert sound(False)
    assert freeze_odds(np.concatenate([late, gone]), 0.0, NORTH, True).years == 1
    # Days before the last freeze seen, or later than any freeze ever, hide nothing.
    gone = year(d90=-1.0, d300=-1.0)
    gone[0, 40:80] = gone[0, 125:170] = gone[0, 240:275] = np.nan
    assert sound(True)
    assert sound(False)
    gone[0, 285:296] = np.nan
    assert not sound(False)


def test_a_place_that_freezes_late_is_watched_late() -> None:
    """Ten days missing in June, where June has frozen: the season answers nothing."""
    cold = year(d165=-1.0, d250=-1.0)
    gone = year(d100=-1.0, d260=-1.0)
    gone[0, 150:160] = np.nan
    assert usable(np.concatenate([cold, gone]), 0.0, True, NORTH).tolist() == [True, False]


def test_a_day_a_week_missing_hides_no_freeze() -> None:
    rng = np.random.default_rng(6)
    low = 8 - 14 * np.cos(2 * np.pi * (np.arange(365) - 20) / 365) + rng.normal(0, 3, (30, 365))
    holed = low.copy()
    holed[:, ::7] = np.nan
    whole, less = freeze_odds(low, 0.0, NORTH, True), freeze_odds(holed, 0.0, NORTH, True)
    assert less.years >= 25
    assert abs(whole.day_at(0.5) - less.day_at(0.5)) < 4


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


@pytest.mark.parametrize("spring", [True, False])
@pytest.mark.parametrize("without", [0, 20, 70])
def test_the_bootstrap_is_day_at_of_years_drawn_again(spring: bool, without: int) -> None:
    rng = np.random.default_rng(8)
    odds = FreezeOdds(tuple(sorted(rng.integers(60, 130, 90 - without))), 90, spring)
    levels = (0.9, 0.5, 0.2, 0.1, 0.05)
    fast = bootstrap_days(odds, levels, 3, 40)
    drawn = np.random.default_rng([3, 102]).integers(0, 90, (40, 90), np.int16)
    days = [NEVER] * without + list(odds.dates)
    for row, got in zip(drawn, fast, strict=True):
        dates = sorted(days[k] for k in row if days[k] != NEVER)
        again = FreezeOdds(tuple(dates), 90, spring)
        want = [again.day_at(level) for level in levels]
        assert got == pytest.approx([np.nan if d is None else d for d in want], nan_ok=True)


def test_the_bootstrap_range_narrows_with_the_years() -> None:
    rng = np.random.default_rng(9)
    few = FreezeOdds(tuple(sorted(rng.normal(100, 12, 15).astype(int))), 15, True)
    many = FreezeOdds(tuple(sorted(rng.normal(100, 12, 400).astype(int))), 400, True)
    wide, narrow = bootstrap_range(few, 0.5, 0), bootstrap_range(many, 0.5, 0)
    assert wide is not None
    assert narrow is not None
    assert wide[0] < wide[1]
    assert narrow[1] - narrow[0] < wide[1] - wide[0]
    assert bootstrap_range(FreezeOdds((), 30, True), 0.5, 0) is None


def test_the_freeze_free_season_lies_between_its_freezes() -> None:
    both = year(d100=-1.0, d300=-1.0)
    assert freeze_free_days(both, 0.0, NORTH)[0] == 199
    assert freeze_free_days(year(d100=-1.0), 0.0, NORTH)[0] == 264
    assert freeze_free_days(year(d300=-1.0), 0.0, NORTH)[0] == 300
    assert freeze_free_days(year(), 0.0, NORTH)[0] == 365
    assert free_days(np.array([203, NEVER]), np.array([204, NEVER]), NORTH).tolist() == [0, 365]
    gone = year(d80=-1.0, d300=-1.0)
    gone[0, 85:95] = np.nan
    assert len(freeze_free_days(np.concatenate([both, gone]), 0.0, NORTH)) == 1


def test_a_trend_is_told_from_none() -> None:
    years = np.arange(1930, 2021)
    noise = np.random.default_rng(5).normal(0, 12, len(years))
    assert not trend_of(years, 90 + noise).established
    warming = trend_of(years, 90 - 0.3 * (years - 1930) + noise)
    assert warming.established
    assert warming.per_decade == pytest.approx(-3.0, abs=1.5)
    gaps = 90 - 0.3 * (years - 1930) + noise
    gaps[::3] = np.nan
    assert trend_of(years, gaps).established
    assert trend_of(years[:5], noise[:5]).p == 1.0


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("ties", [False, True])
def test_a_trend_is_what_scipy_works_out(seed: int, ties: bool) -> None:
    """Its slope is Theil's and Sen's, its p that of Kendall's tau."""
    random = np.random.default_rng(seed)
    years = np.arange(1990, 2030)
    values = random.normal(0, 3, 40) - 0.1 * (years - 1990)
    values = np.round(values) if ties else values
    found = trend_of(years, values)
    assert found.per_decade == pytest.approx(10 * theilslopes(values, years).slope, abs=1e-12)
    tested = kendalltau(years, values, method="asymptotic")
    assert found.p == pytest.approx(tested.pvalue, abs=1e-12)
