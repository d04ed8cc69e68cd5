"""Plants of a drift: their distances worked out by hand, on ground that is easily measured."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from bedwright.planting.place.stagger import (
    EDGE_SHARE,
    Placed,
    _along,
    _away_from_neighbours,
    _edge_angle,
    _greedy,
    _middle_of,
    _off_the_edge,
    fill_drift,
    fill_line,
    row_in,
    top_up,
)

BED = shapely.box(0.0, 0.0, 4.0, 2.0)
LEFT = shapely.box(0.0, 0.0, 2.0, 2.0)
SPACING = 0.3


def placed(*groups: tuple[list[list[float]], float]) -> Placed:
    found = Placed()
    for spots, spacing in groups:
        found.add(np.array(spots), spacing)
    return found


def gaps(spots: np.ndarray) -> np.ndarray:
    """Distances between all pairs."""
    apart = np.linalg.norm(spots[:, None] - spots[None], axis=2)
    return apart[np.triu_indices(len(spots), 1)]


def test_placed_plants_are_kept_with_their_spacings() -> None:
    both = placed(([[0.0, 0.0]], 0.2), ([[1.0, 1.0], [2.0, 1.0]], 0.4))
    assert both.places.tolist() == [[0.0, 0.0], [1.0, 1.0], [2.0, 1.0]]
    assert both.spacings_m.tolist() == [0.2, 0.4, 0.4]


@pytest.mark.parametrize("axis", [0, 1])
def test_a_plant_bears_on_ground_nearer_than_half_the_sum_of_spacings(axis: int) -> None:
    # Spacings 0.2 and 0.4: 0.3 m from ground between 1 and 2.
    at = np.array([[0.69, 1.5], [0.71, 1.5], [1.5, 1.5], [2.29, 1.5], [2.31, 1.5]])
    spots = at if axis == 0 else at[:, ::-1]
    found = placed((spots.tolist(), 0.2)).near(shapely.box(1.0, 1.0, 2.0, 2.0), 0.4)
    assert found[:, :2].tolist() == spots[1:4].tolist()
    assert found[:, 2] == pytest.approx([0.3] * 3)
    assert placed(([[0.0, 0.1]], 0.2)).near(shapely.Polygon(), 0.4).shape == (1, 3)


def test_spare_room_is_that_to_the_nearest_of_any_spacing() -> None:
    some = placed(([[0.0, 0.0], [9.0, 9.0]], 0.2), ([[1.0, 0.0]], 0.6))
    spots = np.array([[0.5, 0.0], [0.3, 0.0], [0.0, 2.0]])
    # To the first 0.5 - 0.3, to the other 0.5 - 0.5; 0.3 - 0.3 and 0.7 - 0.5; 2 - 0.3 and more.
    assert some.spare_m(spots, 0.4) == pytest.approx([0.0, 0.0, 1.7])
    assert some.spare_m(np.empty((0, 2)), 0.4).shape == (0,)
    assert Placed().spare_m(spots, 0.4).tolist() == [np.inf] * 3
    assert some.clear(np.array([[0.5, 0.0], [0.5, 0.01], [0.29, 0.0]]), 0.4).tolist() == [
        [0.5, 0.0],
        [0.5, 0.01],
    ]


def test_plants_keep_off_the_bed_s_edge_and_not_off_the_drift_s() -> None:
    ground = _off_the_edge(LEFT, BED, SPACING)
    assert EDGE_SHARE == 0.45
    assert ground.bounds == pytest.approx((0.135, 0.135, 2.0, 1.865))
    assert _off_the_edge(shapely.box(0.0, 0.0, 0.1, 0.1), BED, SPACING).is_empty


def test_ground_too_narrow_is_planted_along_its_middle() -> None:
    strip = shapely.box(0.0, 0.0, 3.0, 0.2)
    middle = _middle_of(strip, strip)
    # The middle line lies 0.1 from the edge; nine tenths of that are kept, from cells of it.
    assert middle.bounds[1] == pytest.approx(0.085, abs=0.01)
    assert middle.bounds[3] == pytest.approx(0.115, abs=0.01)
    wedge = shapely.Polygon([(0.0, 0.0), (3.0, -0.1), (3.0, 0.1)])
    assert _middle_of(wedge, wedge).bounds[0] > 2.2
    spots = fill_drift(strip, strip, SPACING, Placed())
    assert len(spots) in (9, 10)
    assert np.abs(spots[:, 1] - 0.1).max() < 0.02
    assert gaps(spots).min() >= SPACING - 1e-6


def test_drifts_keep_a_gap_between_them_and_none_at_the_edge() -> None:
    ground = _away_from_neighbours(LEFT, BED, 0.06)
    assert ground.bounds == pytest.approx((0.0, 0.0, 1.94, 2.0), abs=1e-6)


def test_a_drift_is_filled_to_its_bounds_and_no_closer_than_the_spacing() -> None:
    spots = fill_drift(LEFT, BED, SPACING, Placed())
    low, high = spots.min(axis=0), spots.max(axis=0)
    assert (low >= 0.135 - 1e-6).all()
    # A fifth of the spacing from the neighbour's border, and the edge's share at the top.
    assert high[0] <= 1.94 + 1e-6
    assert high[1] <= 1.865 + 1e-6
    assert gaps(spots).min() >= SPACING - 1e-6
    # Closest packing of the same ground: one plant to 0.866 of the spacing squared, and its rim.
    assert 38 <= len(spots) <= 46
    first = placed((spots.tolist(), SPACING))
    assert len(fill_drift(LEFT, BED, SPACING, first)) == 0


def test_small_ground_between_neighbours_is_planted_all_the_same() -> None:
    # Less of it is left than the gap to both neighbours takes: then the gap is not kept.
    sliver = shapely.box(1.0, 0.5, 1.1, 1.5)
    spots = fill_drift(sliver, BED, SPACING, Placed())
    assert 3 <= len(spots) <= 4
    assert shapely.contains_xy(sliver.buffer(1e-6), spots[:, 0], spots[:, 1]).all()


def test_room_that_is_left_is_filled_from_beside_what_stands() -> None:
    stands = placed(([[0.2, 0.2]], SPACING))
    more = top_up(shapely.box(0.0, 0.0, 1.0, 0.4), BED, SPACING, stands)
    assert len(more) in (2, 3)
    near = np.sort(np.linalg.norm(more - [0.2, 0.2], axis=1))
    assert near[0] == pytest.approx(SPACING, abs=0.04)
    assert near[0] >= SPACING - 1e-6
    assert gaps(more).min() >= SPACING - 1e-6
    assert more[:, 1].min() >= 0.135
    assert top_up(LEFT, BED, SPACING, Placed()).shape == (0, 2)
    assert top_up(shapely.box(0.0, 0.0, 0.1, 0.1), BED, SPACING, stands).shape == (0, 2)
    full = placed((fill_drift(BED, BED, SPACING, Placed()).tolist(), SPACING))
    assert top_up(shapely.box(0.3, 0.3, 0.6, 0.6), BED, SPACING, full).shape == (0, 2)


def test_a_row_runs_along_the_edge_at_its_share_of_the_spacing() -> None:
    ribbon = shapely.box(0.0, 0.0, 4.0, 0.3)
    line = row_in(ribbon, BED, SPACING)
    ahead = [p for p in shapely.get_parts(shapely.line_merge(line)) if p.length > 3]
    assert ahead[0].bounds[1] == pytest.approx(0.135)
    spots = fill_line(ribbon, BED, SPACING, Placed())
    assert gaps(spots).min() >= SPACING - 1e-6
    front = np.sort(spots[np.abs(spots[:, 1] - 0.135) < 1e-6, 0])
    # The row of 3.73 m bends up the sides to the ribbon's end: 4.06 m in all, thirteen at 0.306 m.
    assert (len(spots), len(front)) == (13, 11)
    assert np.diff(front).max() < 1.1 * SPACING
    one = placed((spots[:1].tolist(), SPACING))
    assert len(fill_line(ribbon, BED, SPACING, one)) == len(spots) - 1
    assert fill_line(shapely.box(1.0, 1.0, 1.1, 1.1), BED, SPACING, Placed()).shape == (0, 2)


def test_places_along_a_line_are_even_and_half_as_far_from_its_ends() -> None:
    line = shapely.LineString([(0.0, 0.0), (3.1, 0.0)])
    # 3.1 m take ten plants at 0.306 m.
    found = np.array(_along(line, SPACING))
    assert found[:, 0] == pytest.approx(0.155 + 0.31 * np.arange(10))
    # 3.03 m have room for ten at 0.303 m, too close on a bend, so for nine.
    assert len(_along(shapely.LineString([(0.0, 0.0), (3.03, 0.0)]), SPACING)) == 9
    assert np.array(_along(shapely.LineString([(0, 0), (0.2, 0)]), SPACING))[:, 0] == [0.1]


@pytest.mark.parametrize(
    ("drift", "turn"),
    [
        (shapely.box(1.5, 0.0, 2.5, 0.5), 0.0),
        (shapely.box(3.5, 0.5, 4.0, 1.5), np.pi / 2),
        (shapely.box(1.5, 1.5, 2.5, 2.0), 0.0),
    ],
)
def test_rows_run_along_the_nearest_edge(drift: shapely.Polygon, turn: float) -> None:
    assert np.abs(np.sin(_edge_angle(drift, BED) - turn)) < 1e-9
    holed = BED.difference(shapely.box(1.9, 0.9, 2.1, 1.1))
    beside = shapely.box(2.12, 0.95, 2.2, 1.05)
    assert np.abs(np.cos(_edge_angle(beside, holed))) < 1e-9


def test_of_spots_too_close_the_first_stays() -> None:
    spots = np.array([[0.0, 0.0], [0.2, 0.0], [0.3, 0.0], [0.61, 0.0]])
    assert _greedy(spots, SPACING).tolist() == [[0.0, 0.0], [0.3, 0.0], [0.61, 0.0]]
    assert len(_greedy(spots + 5.0, SPACING)) == 3
    assert _greedy(np.empty((0, 2)), SPACING).shape == (0, 2)
