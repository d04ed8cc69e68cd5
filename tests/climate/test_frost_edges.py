"""Freeze odds at the edges of their definitions, worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from bedwright.climate.frost import (
    ROUNDS,
    FreezeOdds,
    bootstrap_days,
    bootstrap_range,
    bootstrap_sd,
    freeze_free_days,
    freeze_odds,
    usable,
)
from climate.test_frost import NORTH, year

SPRING, AUTUMN = FreezeOdds((100, 110, 110, 120), 8, True), FreezeOdds((250, 260), 4, False)
NAN = np.nan


def missing(first: int, last: int, **cold: float) -> np.ndarray:
    """A year with named freezes and the days from ``first`` to ``last`` missing."""
    low = year(**cold)
    low[0, first : last + 1] = NAN
    return low


def kept(*years: np.ndarray, spring: bool = True) -> list[bool]:
    return usable(np.concatenate(years), 0.0, spring, NORTH).tolist()


def test_odds_count_the_day_itself_on_both_sides() -> None:
    for day, odds in ((100, 4 / 8), (101, 3 / 8), (110, 3 / 8), (111, 1 / 8), (121, 0.0)):
        assert SPRING.odds_at(day) == odds
    for day, odds in ((249, 0.0), (250, 1 / 4), (259, 1 / 4), (260, 2 / 4)):
        assert AUTUMN.odds_at(day) == odds


def test_no_years_no_odds() -> None:
    none = FreezeOdds((), 0, True)
    assert none.share == none.odds_at(100) == 0.0


def test_spring_and_autumn_take_their_own_freezes() -> None:
    both = np.concatenate([year(d100=-1.0, d300=-1.0), year(d110=-1.0, d290=-1.0), year()])
    assert freeze_odds(both, 0.0, NORTH, True) == FreezeOdds((100, 110), 3, True)
    assert freeze_odds(both, 0.0, NORTH, False) == FreezeOdds((290, 300), 3, False)


def test_the_curve_is_that_of_mean_and_deviation() -> None:
    # Of all eight years four freeze: odds of 0.125 are a quarter of theirs.
    spread = np.std([100, 110, 110, 120], ddof=1)
    assert SPRING.fitted_day_at(0.125) == pytest.approx(110 + norm.ppf(0.75) * spread)
    assert SPRING.fitted_day_at(0.5) is None
    assert AUTUMN.fitted_day_at(0.1) is None
    three = FreezeOdds((250, 260, 270), 3, False)
    assert three.fitted_day_at(0.2) == pytest.approx(260 + norm.ppf(0.2) * 10)


def test_of_a_place_that_never_freezes_a_tenth_of_the_days_may_be_missing() -> None:
    # The half year to 24 July has 204 days: 20 are less than a tenth, 21 more.
    assert kept(missing(50, 69), missing(50, 70)) == [True, False]
    # The half year after it has 161: 16 and 17.
    assert kept(missing(230, 245), missing(230, 246), spring=False) == [True, False]


def test_the_days_that_could_hide_a_freeze_are_those_between_the_places_own() -> None:
    # Freezes from day 20 to 119, a hundred days: fewer than ten of them may be missing.
    first, last = year(d20=-1.0), year(d119=-1.0)
    assert kept(first, last, missing(100, 108, d90=-1.0), missing(100, 109, d90=-1.0)) == [
        *(True, True), True, False,
    ]  # fmt: skip
    # The first and the last of the days count too, the days beside them do not.
    assert kept(first, last, missing(20, 29), missing(21, 29)) == [True, True, False, True]
    assert kept(first, last, missing(110, 119), missing(111, 121)) == [True, True, False, True]
    assert kept(first, last, missing(11, 19)) == [True, True, True]
    # A stretch of 40 days: a tenth, 4, may not be missing; 3 may.
    short = year(d80=-1.0)
    assert kept(year(d119=-1.0), short, missing(100, 102), missing(100, 103)) == [
        *(True, True), True, False,
    ]  # fmt: skip


def test_a_stretch_of_few_days_may_miss_none() -> None:
    # Of 15 to 24 days two are a tenth, so one may be missing; of fewer none.
    assert kept(year(d100=-1.0), year(d104=-1.0), missing(102, 102)) == [True, True, False]
    assert kept(year(d100=-1.0), year(d117=-1.0), missing(102, 102)) == [True, True, True]
    assert kept(year(d100=-1.0), year(d117=-1.0), missing(102, 103)) == [True, True, False]
    # 0.1 of 25 days is 2.5, rounded to the even 2; of 26 it is 3.
    assert kept(year(d100=-1.0), year(d124=-1.0), missing(102, 103)) == [True, True, False]
    assert kept(year(d100=-1.0), year(d125=-1.0), missing(102, 103)) == [True, True, True]


def test_in_autumn_a_year_without_a_freeze_is_watched_whole() -> None:
    early, late = year(d250=-1.0), year(d349=-1.0)
    assert kept(early, late, missing(300, 309), spring=False) == [True, True, False]
    assert kept(early, late, missing(300, 309, d290=-1.0), spring=False) == [True, True, True]
    assert kept(early, late, missing(300, 309, d330=-1.0), spring=False) == [True, True, False]


def test_a_freeze_on_the_threshold_is_watched_for() -> None:
    at = year(d250=0.0)
    assert kept(at, missing(240, 259), spring=False) == [True, False]


def test_the_season_between_needs_both_its_sides() -> None:
    whole = year(d100=-1.0, d300=-1.0)
    gone = missing(285, 299, d90=-1.0)
    assert freeze_free_days(np.concatenate([whole, year(d80=-1.0, d280=-1.0), gone]), 0.0,
                            NORTH).tolist() == [199, 199]  # fmt: skip


def test_the_error_needs_three_freezes_and_a_level_that_they_reach() -> None:
    two, three = FreezeOdds((100, 120), 2, True), FreezeOdds((100, 110, 120), 3, True)
    assert bootstrap_sd(two, 0.5, 0) == 0.0
    assert bootstrap_sd(three, 0.5, 0) > 1.0
    # Odds that no year has.
    assert bootstrap_sd(FreezeOdds((100, 110, 120), 9, True), 0.4, 0) == 0.0


def test_a_range_needs_its_day_in_half_of_the_draws() -> None:
    # Of nine years three freeze.  In 62% of draws three or more do, in 35% four or more (binomial).
    some = FreezeOdds((100, 110, 120), 9, True)
    assert np.isnan(bootstrap_days(some, (0.33, 0.4), 0)).mean(axis=0) == pytest.approx(
        [0.38, 0.65], abs=0.03
    )
    assert bootstrap_range(some, 0.33, 0) is not None
    assert bootstrap_range(some, 0.4, 0) is None
    assert bootstrap_sd(some, 0.33, 0) > 0.0


def test_the_range_leaves_as_much_out_on_either_side() -> None:
    odds = FreezeOdds(tuple(range(80, 140, 2)), 30, True)
    days = bootstrap_days(odds, (0.5,), 5)
    assert len(days) == ROUNDS
    assert bootstrap_range(odds, 0.5, 5) == pytest.approx(np.quantile(days, [0.05, 0.95]))
    assert bootstrap_range(odds, 0.5, 5, 0.5) == pytest.approx(np.quantile(days, [0.25, 0.75]))


def test_a_draw_of_one_freeze_or_of_all_has_its_day() -> None:
    one = bootstrap_days(FreezeOdds((100,), 2, True), (0.2,), 1, 200)[:, 0]
    assert set(one[~np.isnan(one)]) == {100.0}
    # Neither freeze, in a quarter of the draws: no day.
    assert 0.15 < np.isnan(one).mean() < 0.35
    sure = bootstrap_days(FreezeOdds((100, 110), 2, False), (0.999,), 1, 200)[:, 0]
    assert set(sure) == {100.0, 110.0}
