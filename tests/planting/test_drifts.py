from __future__ import annotations

import numpy as np
import pytest
import shapely

from awkward import BEDS
from bedwright.geometry import outline_of, polygonal
from bedwright.planting.layout import drift_count, drift_shares
from bedwright.planting.place.drifts import cut_drifts, frame_of
from bedwright.planting.place.stagger import Placed, fill_drift, fill_line, top_up
from bedwright.planting.place.view import deepest, depths, distances, front_ribbon, viewers
from conftest import brief_of


@pytest.mark.parametrize("name", [n for n in BEDS if n != "one plant"])
@pytest.mark.parametrize("count", [9, 30])
def test_drifts_are_of_the_wanted_areas_and_tile(name: str, count: int) -> None:
    """Within 3%, by shapely's areas, in one piece, without gaps or overlaps."""
    bed = outline_of(brief_of(bed=BEDS[name]).bed).polygon
    shares = np.resize([1.3, 0.8, 1.0, 1.1, 0.8], count)
    drifts = cut_drifts(bed, shares, None, np.random.default_rng(0)).drifts
    areas = np.array([d.area for d in drifts])
    assert areas == pytest.approx(bed.area * shares / shares.sum(), rel=0.03)
    assert {d.geom_type for d in drifts} == {"Polygon"}
    assert areas.sum() == pytest.approx(bed.area, rel=1e-5)
    assert shapely.union_all(drifts).area == pytest.approx(bed.area, rel=1e-4)


def test_a_bed_round_a_hole_is_cut_whole() -> None:
    bed = shapely.box(0, 0, 5, 3).difference(shapely.Point(2, 1.5).buffer(0.7))
    shares = np.array([2.0, 1.0, 1.0, 1.5, 1.0, 1.0])
    drifts = cut_drifts(bed, shares, (0.0, -1.0), np.random.default_rng(3)).drifts
    assert np.array([d.area for d in drifts]) == pytest.approx(
        bed.area * shares / shares.sum(), rel=0.03
    )
    assert {d.geom_type for d in drifts} == {"Polygon"}


def test_a_drift_made_larger_takes_from_the_others_alone() -> None:
    bed = shapely.box(0, 0, 5, 3)
    cut = cut_drifts(bed, np.ones(9), (0.0, -1.0), np.random.default_rng(3))
    times = np.ones(9)
    times[4] = 1.6
    more = cut.resized(times)
    share = times / times.sum()
    assert np.array([d.area for d in more.drifts]) == pytest.approx(15 * share, rel=0.03)
    for old, new in zip(cut.drifts, more.drifts, strict=True):
        assert old.intersection(new).area > 0.6 * old.area


def test_the_bent_frame_is_undone_exactly() -> None:
    rng = np.random.default_rng(2)
    frame = frame_of(shapely.box(0, 0, 4, 2), 9, (0.6, 0.8), rng)
    places = rng.uniform(-3, 6, (500, 2))
    assert frame.unbend(frame.bend(places)) == pytest.approx(places, abs=1e-9)


def test_drifts_run_broad_along_the_front() -> None:
    bed = shapely.box(0, 0, 6, 3)

    def breadth(toward: tuple[float, float] | None) -> float:
        drifts = cut_drifts(bed, np.ones(8), toward, np.random.default_rng(1)).drifts
        boxes = np.array([d.bounds for d in drifts])
        return float(np.mean((boxes[:, 2] - boxes[:, 0]) / (boxes[:, 3] - boxes[:, 1])))

    assert breadth((0.0, -1.0)) > 1.25 * breadth(None)


def test_depth_runs_from_the_viewed_edge() -> None:
    rectangle = {"shape": "rectangle", "length": "4 m", "width": "2 m", "bearing": "E"}
    points = np.array([[2.0, 1e-9], [2.0, 1.0], [2.0, 2.0 - 1e-9]])
    south = outline_of(brief_of(bed={**rectangle, "viewed_from": "S"}).bed)
    assert depths(south, points) == pytest.approx([0, 0.5, 1], abs=1e-6)
    assert distances(south, points) == pytest.approx([0, 1, 2], abs=1e-6)
    both = outline_of(brief_of(bed={**rectangle, "viewed_from": ["S", "N"]}).bed)
    assert depths(both, points) == pytest.approx([0, 1, 0], abs=1e-6)
    island = outline_of(brief_of(bed=rectangle).bed)
    assert depths(island, points) == pytest.approx([0, 1, 0], abs=1e-6)
    assert deepest(island) == pytest.approx(1, abs=1e-4)
    assert deepest(south) == pytest.approx(2, abs=1e-4)
    assert front_ribbon(south, 0.25).area == pytest.approx(4 * 0.25)
    assert front_ribbon(island, 0.25).area == pytest.approx(8 - 3.5 * 1.5)


def test_a_lattice_keeps_its_distance_from_edge_and_neighbours() -> None:
    bed = shapely.box(0, 0, 3, 2)
    placed = Placed()
    placed.add(np.array([[1.5, 1.0]]), 0.6)
    spots = fill_drift(bed, bed, 0.3, placed)
    gap = shapely.distance(shapely.points(spots), bed.boundary)
    assert gap.min() >= 0.45 * 0.3 - 1e-9
    assert np.linalg.norm(spots - [1.5, 1.0], axis=1).min() >= 0.45 - 1e-9
    pairs = np.linalg.norm(spots[:, None] - spots[None], axis=2)[np.triu_indices(len(spots), 1)]
    assert pairs.min() >= 0.3 - 1e-9


def test_top_up_fills_what_a_lattice_left() -> None:
    bed = shapely.box(0, 0, 1, 1)
    placed = Placed()
    placed.add(np.array([[0.2, 0.2]]), 0.2)
    more = top_up(bed, bed, 0.2, placed)
    assert len(more) >= 14
    assert len(top_up(bed, bed, 0.2, Placed())) == 0


def test_a_row_along_a_ring_closes_evenly() -> None:
    bed = shapely.Point(0, 0).buffer(2, quad_segs=64)
    ribbon = bed.difference(bed.buffer(-0.28))
    spots = fill_line(ribbon, bed, 0.2, Placed())
    angle = np.sort(np.arctan2(spots[:, 1], spots[:, 0]))
    steps = np.diff(np.concatenate([angle, [angle[0] + 2 * np.pi]]))
    assert steps.max() < 1.1 * steps.min()
    assert len(spots) == pytest.approx(2 * np.pi * 1.91 / 0.2, abs=3)


def test_a_corner_so_sharp_that_rounding_crosses_it_keeps_its_drifts_inside() -> None:
    area = shapely.from_wkt(
        "POLYGON ((0.5 -0.866, -0.5 -0.866, -0.5 0, -1 1.732, -0.9341801385681293 1.504,"
        " 0.5 0.6759999999999999, 0.9451501154734411 -0.095, 1 0, 0.5 -0.866))"
    )
    toward = (6.123234e-17, 1.0)
    drifts = cut_drifts(area, np.ones(4), toward, np.random.default_rng(0)).drifts
    assert all(area.buffer(1e-6).contains(drift) for drift in drifts)
    assert sum(drift.area for drift in drifts) == pytest.approx(area.area, rel=1e-6)


def star(rng: np.random.Generator) -> np.ndarray:
    count = 2 * int(rng.integers(5, 10))
    angles = np.linspace(0, 2 * np.pi, count, endpoint=False)
    inner = rng.uniform(0.3, 0.7)
    radii = np.where(np.arange(count) % 2, inner, 1.0) * rng.uniform(1.0, 2.0)
    return np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])


def ell(rng: np.random.Generator) -> np.ndarray:
    (a, b), (c, d) = rng.uniform(2, 4, 2), rng.uniform(0.5, 1.2, 2)
    return np.array([[0, 0], [a, 0], [a, c], [d, c], [d, b], [0, b]])


def you(rng: np.random.Generator) -> np.ndarray:
    a, b, c = rng.uniform(2.5, 4.5), rng.uniform(1.5, 3), rng.uniform(0.5, 1.0)
    return np.array([[0, 0], [a, 0], [a, b], [a - c, b], [a - c, c], [c, c], [c, b], [0, b]])


@pytest.mark.parametrize(
    "seed",
    [*range(14), 57, 66, 75, 80, 83, 87, 99, 105, 114, 141, 147, 177, 192, 216, 225],
)
def test_a_concave_bed_among_plants_that_stay_is_cut_into_ground_alone(seed: int) -> None:
    """No lines or points among the drifts, which fill the ground: stars, L and U shapes, from one
    side."""
    rng = np.random.default_rng(seed)
    corners = np.round((star, ell, you)[seed % 3](rng), 3)
    side = ("S", "N", "E", "SW")[seed // 3 % 4]
    bed = {
        "shape": "polygon",
        "corners": [[f"{x:.3f} m", f"{y:.3f} m"] for x, y in corners],
        "viewed_from": side,
    }
    outline = outline_of(brief_of(bed=bed).bed)
    low, high = corners.min(axis=0), corners.max(axis=0)
    stays = [
        shapely.Point(rng.uniform(low, high)).buffer(rng.uniform(0.1, 0.5))
        for _ in range(int(rng.integers(0, 5)))
    ]
    free = outline.free_ground(stays)
    body = polygonal(free.difference(front_ribbon(outline, 0.2)))
    count = drift_count(body.area)
    cut = cut_drifts(body, drift_shares(count), viewers(outline)[0], np.random.default_rng(seed))
    drifts = [drift for drift in cut.drifts if not drift.is_empty]
    assert {drift.geom_type for drift in drifts} <= {"Polygon", "MultiPolygon"}
    assert sum(drift.area for drift in drifts) == pytest.approx(body.area, rel=1e-4)
    assert all(drift.is_valid for drift in drifts)


def test_in_a_bed_narrower_than_its_plants_they_stand_along_the_middle() -> None:
    bed = shapely.box(0, 0, 2, 0.2)
    spots = fill_drift(bed, bed, 0.3, Placed())
    assert len(spots) >= 5
    assert shapely.distance(shapely.points(spots), bed.boundary).min() >= 0.08


@pytest.mark.parametrize(
    ("corners", "viewed_from", "depth"),
    [
        ([(0, 0), (4, 0), (4, 0.6), (0, 0.6)], "S", 0.6),
        ([(0, 0), (4, 0), (4, 0.6), (0, 0.6)], ["S", "N"], 0.3),
        ([(0, 0), (4, 0), (4, 0.6), (0, 0.6)], ["S", "E"], 0.6),
        ([(0, 0), (4, 0), (4, 0.6), (0, 0.6)], "E", 4.0),
        ([(0, 0), (4, 0), (4, 1.2), (0, 1.2)], "all", 0.6),
        ([(0, 0), (3.1, 0), (1.7, 0.6)], "S", 0.6),
        # An arm on the left as deep as the whole, a slot of 0.5 m behind the front of the rest.
        ([(0, 0), (3, 0), (3, 0.5), (1, 0.5), (1, 1), (3, 1), (3, 1.9), (0, 1.9)], "S", 1.9),
        ([(0, 0), (3, 0), (3, 0.5), (0.9, 0.5), (1.2, 1), (3, 1), (3, 1.9), (1, 1.9)], "S", 1.71),
    ],
)
def test_a_bed_s_depth_is_exact(
    corners: list[tuple[float, float]], viewed_from: object, depth: float
) -> None:
    bed = {
        "shape": "polygon",
        "corners": [[f"{x} m", f"{y} m"] for x, y in corners],
        "viewed_from": viewed_from,
    }
    assert deepest(outline_of(brief_of(bed=bed).bed)) == pytest.approx(depth, abs=1e-4)
