"""Wings of a footprint and the roofs over them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from bedwright.light.roofs import pieces_of, roof_lines, roofed, wings_of

ELL = Polygon([(0, 0), (10, 0), (10, 4), (4, 4), (4, 9), (0, 9)])
YOU = Polygon([(0, 0), (12, 0), (12, 8), (9, 8), (9, 3), (3, 3), (3, 8), (0, 8)])
CROSS = Polygon([(3, 0), (6, 0), (6, 3), (9, 3), (9, 6), (6, 6), (6, 9), (3, 9), (3, 6), (0, 6),
                 (0, 3), (3, 3)])  # fmt: skip
BAY = Polygon([(0, 0), (10, 0), (10, 4), (6, 4), (5.5, 5.5), (3.5, 5.5), (3, 4), (0, 4)])


@pytest.mark.parametrize(
    ("footprint", "areas"),
    [
        (ELL, [40, 36]),
        (YOU, [36, 24, 24]),
        (CROSS, [27, 27]),
        (Polygon(shapely.box(0, 0, 5, 3)), [15]),
    ],
    ids=["L", "U", "cross", "box"],
)
def test_wings_of_square_cornered_footprints_are_their_longest_rectangles(
    footprint: Polygon, areas: list[float]
) -> None:
    assert sorted((w.area for w in wings_of(footprint)), reverse=True) == pytest.approx(areas)


@given(
    st.lists(
        st.tuples(*(st.integers(0, 8) for _ in range(2)), *(st.integers(1, 5) for _ in range(2))),
        min_size=1,
        max_size=4,
    ),
    st.floats(0.0, 360.0),
)
def test_pieces_are_convex_and_cover_the_footprint(
    boxes: list[tuple[int, int, int, int]], turn: float
) -> None:
    union = shapely.union_all([shapely.box(x, y, x + w, y + h) for x, y, w, h in boxes])
    largest = max(shapely.get_parts(union), key=lambda part: float(part.area))
    footprint = shapely.affinity.rotate(Polygon(largest.exterior), turn)
    pieces = pieces_of(footprint)
    for piece in pieces:
        assert piece.convex_hull.area == pytest.approx(piece.area)
        assert footprint.buffer(1e-3).covers(piece)
    assert bare_share(footprint) < 0.005


def bare_share(footprint: Polygon) -> float:
    """Share of a footprint that its pieces leave bare."""
    covered = shapely.union_all([piece.buffer(1e-3) for piece in pieces_of(footprint)])
    return float(footprint.difference(covered).area / footprint.area)


@given(st.integers(0, 2**32 - 1), st.integers(4, 14))
def test_pieces_cover_footprints_of_any_angles(seed: int, corners: int) -> None:
    rng = np.random.default_rng(seed)
    turn = np.sort(rng.uniform(0, 2 * np.pi, corners))
    reach = rng.uniform(2.0, 8.0, corners)
    ring = np.column_stack([reach * np.cos(turn), reach * np.sin(turn)]).round(2)
    footprint = Polygon(ring)
    if footprint.is_valid and footprint.area > 1.0:
        assert bare_share(footprint) < 0.005


def test_a_star_of_forty_corners_has_a_hip_roof() -> None:
    """Its search for wings stops early, and triangles fill what is left."""
    turn = 2 * np.pi * np.arange(40) / 40
    reach = np.where(np.arange(40) % 2, 6.0, 9.0)
    star = Polygon(np.column_stack([reach * np.cos(turn), reach * np.sin(turn)]).round(3))
    tops = roofed(star, 4.0, 7.0, hipped=True)
    assert max(top[:, 2].max() for top in tops) == pytest.approx(7.0)
    assert bare_share(star) < 0.005


@pytest.mark.parametrize(
    "corners",
    [
        [(10.98, 5.05), (10.78, -2.48), (5.45, -4.34), (8.34, -4.89), (13.98, -7.05)],
        [(18.27, -0.06), (17.6, 1.72), (16.45, -0.13), (14.07, -0.24), (12.73, -1.82)],
    ],
)
def test_footprints_that_once_lost_a_wing(corners: list[tuple[float, float]]) -> None:
    assert bare_share(Polygon(corners)) < 0.005


def test_a_terrace_with_eight_bays_keeps_them_all_however_it_is_turned() -> None:
    ring = [(0.0, 0.0), (32.0, 0.0), (32.0, 8.0)]
    for bay in range(7, -1, -1):
        x = 4.0 * bay
        ring += [(x + 3, 8.0), (x + 3, 9.2), (x + 1, 9.2), (x + 1, 8.0)]
    terrace = Polygon([*ring, (0.0, 8.0)])
    for turn in (0.0, 10.0, 33.3):
        turned = shapely.affinity.rotate(terrace, turn)
        assert bare_share(Polygon(np.round(turned.exterior.coords, 6))) < 0.005


def height_at(tops: list[np.ndarray], spots: np.ndarray, eaves: float) -> np.ndarray:
    """Height of the highest of some convex bodies over (n, 2) spots, by their own facets."""
    from scipy.spatial import ConvexHull

    best = np.full(len(spots), -np.inf)
    for top in tops:
        # The roof alone: facets that look up.
        base = np.column_stack([top[:, :2], np.full(len(top), eaves - 1.0)])
        planes = ConvexHull(np.vstack([top, base])).equations
        up = planes[planes[:, 2] > 1e-9]
        side = planes[np.abs(planes[:, 2]) <= 1e-9]
        over = -(spots @ up[:, :2].T + up[:, 3]) / up[:, 2]
        inside = (spots @ side[:, :2].T + side[:, 3] <= 1e-9).all(axis=1)
        best = np.maximum(best, np.where(inside, over.min(axis=1), -np.inf))
    return best


@pytest.mark.parametrize("footprint", [ELL, YOU, CROSS], ids=["L", "U", "cross"])
def test_a_hip_roof_stands_where_shapely_sets_its_walls_back(footprint: Polygon) -> None:
    """A hip roof's contour lines are the walls set back with square corners kept, which shapely's
    mitred buffer draws: an outside check of the wings and of the roof over them."""
    eaves, ridge, pitch = 3.0, 5.0, 2.0 / 2.0
    tops = roofed(footprint, eaves, ridge, hipped=True)
    highest = max(float(top[:, 2].max()) for top in tops)
    assert highest == pytest.approx(ridge)
    pitch = (ridge - eaves) / {ELL: 2.0, YOU: 1.5, CROSS: 1.5}[footprint]
    rng = np.random.default_rng(3)
    x0, y0, x1, y1 = footprint.bounds
    spots = rng.uniform((x0, y0), (x1, y1), (4000, 2))
    spots = spots[shapely.contains_xy(footprint.buffer(-0.01), *spots.T)]
    heights = height_at(tops, spots, eaves)
    for back in np.arange(0.1, (ridge - eaves) / pitch, 0.2):
        within = footprint.buffer(-back, join_style="mitre", mitre_limit=100.0)
        theirs = shapely.contains_xy(within, *spots.T)
        ours = heights > eaves + pitch * back
        assert theirs.any()
        assert (theirs == ours).mean() > 0.999


def test_a_gable_keeps_its_ridge_to_the_end_and_a_hip_does_not() -> None:
    box = Polygon(shapely.box(0, 0, 8, 4))
    gable, hip = (roofed(box, 3.0, 5.0, hipped)[0] for hipped in (False, True))
    assert sorted(gable[gable[:, 2] > 4.9, 0]) == pytest.approx([0, 8])
    assert sorted(hip[hip[:, 2] > 4.9, 0]) == pytest.approx([2, 6])
    across = roofed(box, 3.0, 5.0, False, np.array([0.0, 1.0]))[0]
    assert sorted(across[across[:, 2] > 4.9, 1]) == pytest.approx([0, 4])


def test_a_lower_wing_has_a_lower_ridge_at_the_same_pitch() -> None:
    wide = Polygon([(0, 0), (10, 0), (10, 6), (7, 6), (7, 8), (3, 8), (3, 6), (0, 6)])
    main, stub = roofed(wide, 3.0, 6.0, hipped=False)
    assert main[:, 2].max() == pytest.approx(6.0)
    assert stub[:, 2].max() == pytest.approx(3.0 + 1.0 * 2.0)


def test_walls_at_odd_angles_are_roofed_too() -> None:
    for hipped in (False, True):
        tops = roofed(BAY, 3.0, 4.5, hipped)
        assert max(top[:, 2].max() for top in tops) == pytest.approx(4.5)
        assert min(top[:, 2].min() for top in tops) == pytest.approx(3.0)


def test_ridges_and_hips_are_drawn_where_the_roof_bends() -> None:
    """A box: a ridge and four hips; an L: two ridges, five hips and no line amid a slope."""
    box = roof_lines(Polygon(shapely.box(0, 0, 8, 4)), hipped=True)
    assert len(box) == 5
    lengths = sorted(float(np.linalg.norm(line[1] - line[0])) for line in box)
    assert lengths == pytest.approx([2.8, 2.8, 2.8, 2.8, 4.0], rel=0.06)
    (ridge,) = roof_lines(Polygon(shapely.box(0, 0, 8, 4)), hipped=False)
    assert np.abs(ridge[:, 1] - 2.0).max() < 1e-6
    drawn = shapely.union_all([shapely.LineString(line) for line in roof_lines(ELL, hipped=True)])
    # The straight skeleton of the L, but for its valley from (4, 4) to (2, 2).
    skeleton = shapely.multilinestrings(
        [[(2, 2), (8, 2)], [(2, 2), (2, 7)], [(8, 2), (10, 0)], [(8, 2), (10, 4)],
         [(2, 7), (0, 9)], [(2, 7), (4, 9)], [(2, 2), (0, 0)]]
    )  # fmt: skip
    assert skeleton.buffer(0.05).covers(drawn)
    assert drawn.length == pytest.approx(skeleton.length, rel=0.06)
