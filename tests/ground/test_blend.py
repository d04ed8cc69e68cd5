"""Blends solved by hand, each for one rule of the programme."""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.ground.blend import (
    EXCESS_G_M2,
    NEAR_ENOUGH,
    Products,
    Shortfall,
    Wanted,
    in_measures,
    shortfalls,
    solve_blend,
)

LOTS = 1000.0


def products(
    gives: list[list[float]],
    price: list[float],
    salt: list[float] | None = None,
    most: list[float] | None = None,
    stock: list[float] | None = None,
    pack: list[float] | None = None,
    same: list[int] | None = None,
) -> Products:
    """Products by their grams of N, P2O5 and K2O in a gram; bought by weight unless told."""
    n = len(gives)
    return Products(
        np.array(gives).T,
        np.array(salt or [0.0] * n),
        np.array(most or [LOTS] * n),
        np.array(stock or [0.0] * n),
        np.array(pack or [np.inf] * n),
        np.array(price),
        np.array(same if same is not None else range(n)),
    )


def wanted(
    n: float, p: float = 0.0, k: float = 0.0, cap: float = 10.0, salt: float = 70.0
) -> Wanted:
    return Wanted((n, p, k), cap, salt)


def blend_of(given: Products, want: Wanted) -> list[float]:
    return pytest.approx(solve_blend(given, want).tolist(), rel=1e-3, abs=1e-2)


def test_of_two_the_cheaper_gram_of_nitrogen_is_bought() -> None:
    # 5 g of N: 25 g at 1 each or 50 g at 0.4 each.
    two = products([[0.2, 0, 0], [0.1, 0, 0]], [1.0, 0.4])
    assert blend_of(two, wanted(5.0)) == [0.0, 50.0]


def test_what_is_at_hand_goes_before_what_is_cheap() -> None:
    two = products([[0.2, 0, 0], [0.1, 0, 0]], [1.0, 0.4], stock=[20.0, 0.0])
    # 20 g at hand give 4 g of N; 10 g of the other the rest.
    assert blend_of(two, wanted(5.0)) == [20.0, 10.0]


def test_a_pack_costs_as_a_whole() -> None:
    # 5 g of N: one pack of 30 g at 3 is cheaper than 25 g at 0.13; of 100 g at 3.5 it is not.
    two = products([[0.2, 0, 0], [0.2, 0, 0]], [3.0, 0.13], pack=[30.0, np.inf])
    assert blend_of(two, wanted(5.0)) == [25.0, 0.0]
    two = products([[0.2, 0, 0], [0.2, 0, 0]], [3.5, 0.13], pack=[100.0, np.inf])
    assert blend_of(two, wanted(5.0)) == [0.0, 25.0]


def test_what_cannot_be_bought_ends_with_the_stock() -> None:
    one = products([[0.2, 0, 0]], [1.0], stock=[10.0], pack=[0.0])
    assert blend_of(one, wanted(5.0)) == [10.0]
    (short,) = shortfalls((5.0, 0.0, 0.0), one.gives @ solve_blend(one, wanted(5.0)))
    assert short == Shortfall("nitrogen", pytest.approx(3.0, abs=1e-3), 5.0)


def test_entries_of_one_product_share_its_most() -> None:
    two = products([[0.1, 0, 0], [0.1, 0, 0]], [1.0, 2.0], most=[30.0, 30.0], same=[4, 4])
    assert solve_blend(two, wanted(5.0)).sum() == pytest.approx(30.0, abs=1e-2)
    apart = products([[0.1, 0, 0], [0.1, 0, 0]], [1.0, 2.0], most=[30.0, 30.0])
    assert blend_of(apart, wanted(5.0)) == [30.0, 20.0]


def test_nitrogen_stops_at_its_cap_and_salt_at_its_limit() -> None:
    one = products([[0.1, 0.1, 0]], [1.0])
    assert blend_of(one, wanted(3.0, 10.0, cap=4.0)) == [40.0]
    salty = products([[0.1, 0, 0]], [1.0], salt=[0.5])
    assert blend_of(salty, wanted(5.0, salt=12.0)) == [24.0]


def test_phosphate_and_potash_may_pass_their_targets_by_the_excess_and_no_more_for_money() -> None:
    # The cheap one brings 2 g of P2O5 with each gram of N; 5 g of N would bring 10, which is free.
    pair = [[0.1, 0.2, 0.0], [0.1, 0.0, 0.0]]
    assert EXCESS_G_M2 == 10.0
    assert blend_of(products(pair, [0.1, 5.0]), wanted(5.0)) == [50.0, 0.0]
    assert blend_of(products(pair, [0.1, 5.0]), wanted(8.0)) == [50.0, 30.0]
    # Over a target of 5 g of P2O5 it may be 15 g.
    assert blend_of(products(pair, [0.1, 5.0]), wanted(8.0, 5.0)) == [75.0, 5.0]
    # Where no other brings the nitrogen it comes first.
    assert blend_of(products([[0.1, 0.3, 0.0]], [1.0]), wanted(5.0)) == [50.0]
    pair = [[0.1, 0.0, 0.2], [0.1, 0.0, 0.0]]
    assert blend_of(products(pair, [0.1, 5.0]), wanted(8.0)) == [50.0, 30.0]


def test_shares_of_targets_count_before_grams_and_before_money() -> None:
    # With 4 g of N the one gives 4 of 10 g of P2O5, the other 2 of 2 g of K2O: the larger share.
    pair = products([[0.1, 0.1, 0.0], [0.1, 0.0, 0.05]], [0.1, 9.0])
    assert blend_of(pair, wanted(0.0, 10.0, 2.0, cap=4.0)) == [0.0, 40.0]


def test_of_equal_cost_the_lighter_is_spread() -> None:
    pair = products([[0.2, 0, 0], [0.1, 0, 0]], [0.0, 0.0])
    assert blend_of(pair, wanted(5.0)) == [25.0, 0.0]


def test_no_products_no_blend() -> None:
    none = Products(np.zeros((3, 0)), *(np.zeros(0) for _ in range(5)), np.zeros(0, np.int64))
    assert solve_blend(none, wanted(5.0)).tolist() == []
    counts, met = in_measures(none, wanted(5.0), np.zeros(0), np.zeros(0))
    assert (counts.tolist(), met) == ([], True)


def test_a_shortfall_is_one_beyond_a_twentieth_of_a_gram() -> None:
    target = (5.0, 10.0, 0.0)
    assert shortfalls(target, np.array([4.96, 9.96, 0.0])) == []
    assert shortfalls(target, np.array([4.94, 10.0, 0.0])) == [
        Shortfall("nitrogen", pytest.approx(0.06), 5.0)
    ]
    # Of 95% of the target 9.5 are enough, and the shortfall counts from the whole.
    assert shortfalls(target, np.array([5.0, 9.5, 0.0]), NEAR_ENOUGH) == []
    assert shortfalls(target, np.array([5.0, 9.4, 0.0]), NEAR_ENOUGH) == [
        Shortfall("phosphate", pytest.approx(0.6), 10.0)
    ]


def test_measures_use_no_product_that_the_blend_leaves_out() -> None:
    pair = products([[0.2, 0, 0], [0.2, 0, 0]], [1.0, 1.0])
    counts, met = in_measures(pair, wanted(5.0), np.array([0.0, 25.0]), np.array([5.0, 10.0]))
    assert (counts.tolist(), met) == ([0, 3], True)


def test_measures_open_no_further_pack() -> None:
    # 24 g in measures of 10 g: a third needs a second pack of 25 g, so two, and the target fails.
    one = products([[0.2, 0, 0]], [3.0], pack=[25.0])
    counts, met = in_measures(one, wanted(4.8), np.array([24.0]), np.array([10.0]))
    assert (counts.tolist(), met) == ([2], False)
    # Of 28 g 22 are bought, one pack; two measures of 16 g would take another.
    one = products([[0.2, 0, 0]], [3.0], pack=[25.0], stock=[6.0])
    counts, met = in_measures(one, wanted(5.6), np.array([28.0]), np.array([16.0]))
    assert (counts.tolist(), met) == ([1], False)
    # With 6 g at hand the pack reaches to 30 g.
    one = products([[0.2, 0, 0]], [3.0], pack=[25.0], stock=[6.0])
    counts, met = in_measures(one, wanted(4.8), np.array([24.0]), np.array([10.0]))
    assert (counts.tolist(), met) == ([3], True)


def test_what_a_blend_falls_short_of_measures_reach_as_nearly() -> None:
    # The blend gives 4 of the 8 g wanted; 95% of 4 is 3.8, which two measures of 10 g reach.
    one = products([[0.2, 0, 0]], [1.0], most=[20.0])
    counts, met = in_measures(one, wanted(8.0), np.array([20.0]), np.array([9.5]))
    assert (counts.tolist(), met) == ([2], True)
    counts, met = in_measures(one, wanted(8.0), np.array([20.0]), np.array([9.0]))
    assert (counts.tolist(), met) == ([2], False)


def test_measures_keep_the_limit_on_salt() -> None:
    # A measure of 10 g holds 5 g of salt; of 24 g with 12 g of it two are left.
    one = products([[0.1, 0, 0]], [1.0], salt=[0.5])
    counts, met = in_measures(one, wanted(5.0, salt=12.0), np.array([24.0]), np.array([10.0]))
    assert (counts.tolist(), met) == ([2], False)


def test_measures_within_a_pack_are_those_nearest_to_the_blend() -> None:
    one = products([[0.2, 0, 0]], [3.0], pack=[100.0])
    for grams, nearest in ((40.0, 4), (24.0, 2), (26.0, 3)):
        counts, met = in_measures(one, wanted(2.0), np.array([grams]), np.array([10.0]))
        assert (counts.tolist(), met) == ([nearest], True)


def test_measures_reach_potash_and_doses_of_less_than_a_gram() -> None:
    one = products([[0.0, 0.0, 0.2]], [1.0])
    counts, met = in_measures(one, wanted(0.0, 0.0, 8.0), np.array([40.0]), np.array([10.0]))
    assert (counts.tolist(), met) == ([4], True)
    one = products([[0.2, 0.0, 0.0]], [1.0])
    counts, met = in_measures(one, wanted(0.16), np.array([0.8]), np.array([0.4]))
    assert (counts.tolist(), met) == ([2], True)
