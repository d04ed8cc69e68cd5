"""Numbers of seeds at the ends of what can be asked."""

from __future__ import annotations

import pytest

from bedwright.work.raising.seeds import odds_enough, seeds_a_spot, seeds_needed


def test_odds_where_nothing_is_left_to_chance() -> None:
    assert odds_enough(0, 0, 0.5) == 1.0
    assert odds_enough(2, 3, 0.9) == 0.0
    assert odds_enough(3, 3, 1.0) == 1.0
    assert odds_enough(3, 3, 0.5) == pytest.approx(0.125)


def test_rates_and_assurances_near_their_ends_are_taken() -> None:
    # 1 - 0.995^n passes 0.95 at n = ln 0.05 / ln 0.995 = 597.6.
    assert seeds_needed(1, 0.005) == 598
    assert seeds_needed(1, 0.5, 0.005) == 1
    for rate, assurance in ((0.0, 0.9), (1.05, 0.9), (0.5, 0.0), (0.5, 1.0), (0.5, 1.05)):
        with pytest.raises(ValueError, match="between 0 and 1"):
            seeds_needed(3, rate, assurance)


def test_a_count_that_just_reaches_the_assurance_is_enough() -> None:
    assert odds_enough(2, 1, 0.5) == 0.75
    assert seeds_needed(1, 0.5, 0.75) == 2
    assert seeds_a_spot(0.75, 0.75) == 1


def test_no_plants_need_no_seeds() -> None:
    assert seeds_needed(0, 0.5) == seeds_needed(-1, 0.5) == 0
