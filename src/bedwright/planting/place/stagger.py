"""Placing the plants of a drift on a triangular lattice, aligned with the nearest edge.

No two plants of a kind stand closer than its spacing, no two of different kinds closer than half
the sum of theirs, and none nearer the bed's edge than EDGE_SHARE of its spacing; where a drift is
too narrow for that they stand along its middle.  The lattice's offset and turn are those that place
the most plants.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bedwright.geometry import cells_in, polygonal
from bedwright.planting.place import lattice

EDGE_SHARE = 0.45
"""Distance from the bed's edge as a share of the spacing: near half a plant (common practice)."""

INSET = 0.2
"""Distance kept from neighbouring drifts, as a share of the spacing: enough that a wide kind does
not take its small neighbour's border ground (of 0 to 0.4, in trials on nine plantings, the value
that left no drift thin at little loss of plants)."""

MIDDLE_SHARE, MIDDLE_CELLS = 0.9, 2500
"""Where a drift is too narrow for its plants' distance from the edge, they keep this share of the
farthest that any of so many cells of it lies from the edge."""

SLACK_M = 1e-9


class Placed:
    """Plants placed so far: (n, 2) places and (n,) spacings, metres."""

    def __init__(self) -> None:
        self.places = np.empty((0, 2))
        self.spacings_m = np.empty(0)

    def add(self, places: NDArray[np.float64], spacing_m: float) -> None:
        """Take in plants of one spacing."""
        self.places = np.concatenate([self.places, places])
        self.spacings_m = np.concatenate([self.spacings_m, np.full(len(places), spacing_m)])

    def near(self, ground: BaseGeometry, spacing_m: float) -> NDArray[np.float64]:
        """(k, 3) plants that bear on a patch of ground: x, y, distance to be kept from each."""
        keep = (self.spacings_m + spacing_m) / 2 - SLACK_M
        x0, y0, x1, y1 = ground.bounds if not ground.is_empty else (0.0, 0.0, 0.0, 0.0)
        x, y = self.places.T
        bears = (x > x0 - keep) & (x < x1 + keep) & (y > y0 - keep) & (y < y1 + keep)
        return np.column_stack([self.places[bears], keep[bears]])

    def spare_m(self, spots: NDArray[np.float64], spacing_m: float) -> NDArray[np.float64]:
        """(spots,) room left beyond half the sum of spacings to the nearest placed plant."""
        spare = np.full(len(spots), np.inf)
        if len(spots) == 0:
            return spare
        for other in np.unique(self.spacings_m):
            tree = cKDTree(self.places[self.spacings_m == other])
            gap, _ = tree.query(spots)
            spare = np.minimum(spare, gap - (spacing_m + other) / 2)
        return spare

    def clear(self, spots: NDArray[np.float64], spacing_m: float) -> NDArray[np.float64]:
        """The spots at which a plant of that spacing may stand."""
        return np.asarray(spots[self.spare_m(spots, spacing_m) >= -SLACK_M])


def fill_drift(
    drift: BaseGeometry, bed: BaseGeometry, spacing_m: float, placed: Placed
) -> NDArray[np.float64]:
    """(n, 2) places in a drift, clear of the plants already placed."""
    ground = _off_the_edge(drift, bed, spacing_m)
    if ground.is_empty:
        ground = _middle_of(drift, bed)
    inside = polygonal(ground.intersection(_away_from_neighbours(drift, bed, INSET * spacing_m)))
    if inside.is_empty:
        inside = ground
    return lattice.fill(inside, spacing_m, _edge_angle(drift, bed), placed.near(inside, spacing_m))


def _off_the_edge(
    drift: BaseGeometry, bed: BaseGeometry, spacing_m: float
) -> Polygon | MultiPolygon:
    """Ground of a drift in which a plant keeps its distance from the bed's edge."""
    return polygonal(drift.intersection(bed.buffer(-EDGE_SHARE * spacing_m)))


def _middle_of(drift: BaseGeometry, bed: BaseGeometry) -> Polygon | MultiPolygon:
    """The ground of a drift that lies farthest from the bed's edge."""
    spots = shapely.points(cells_in(drift, float(np.sqrt(drift.area / MIDDLE_CELLS))))
    farthest = float(shapely.distance(bed.boundary, spots).max())
    return polygonal(drift.intersection(bed.buffer(-MIDDLE_SHARE * farthest)))


def _away_from_neighbours(drift: BaseGeometry, bed: BaseGeometry, gap_m: float) -> BaseGeometry:
    """Ground at least ``gap_m`` from the drift's borders with other drifts (not the bed's edge)."""
    shared = drift.boundary.difference(bed.boundary.buffer(1e-6))
    return polygonal(drift.difference(shared.buffer(gap_m - SLACK_M)))


def top_up(
    drift: BaseGeometry, bed: BaseGeometry, spacing_m: float, placed: Placed
) -> NDArray[np.float64]:
    """(n, 2) further places where a lattice left room, each as close to the others as it may be."""
    inside = _off_the_edge(drift, bed, spacing_m)
    if inside.is_empty or len(placed.places) == 0:
        return np.empty((0, 2))
    spots = cells_in(inside, spacing_m / 8)
    spots = spots[shapely.contains_xy(inside, spots[:, 0], spots[:, 1])]
    if len(spots) == 0:
        return np.empty((0, 2))
    spare = placed.spare_m(spots, spacing_m)
    out: list[NDArray[np.float64]] = []
    while True:
        fits = spare >= -SLACK_M
        if not fits.any():
            return np.array(out) if out else np.empty((0, 2))
        pick = int(np.argmin(np.where(fits, spare, np.inf)))
        out.append(spots[pick])
        spare = np.minimum(spare, np.linalg.norm(spots - spots[pick], axis=1) - spacing_m)


def fill_line(
    ribbon: BaseGeometry, bed: BaseGeometry, spacing_m: float, placed: Placed
) -> NDArray[np.float64]:
    """(n, 2) places in a row along the bed's edge, within a ribbon."""
    row = row_in(ribbon, bed, spacing_m)
    parts = [p for p in shapely.get_parts(shapely.line_merge(row)) if p.length > 0]
    out: list[NDArray[np.float64]] = []
    for part in parts:
        out += _along(part, spacing_m)
    spots = np.array(out) if out else np.empty((0, 2))
    return _greedy(placed.clear(spots, spacing_m), spacing_m)


def row_in(ribbon: BaseGeometry, bed: BaseGeometry, spacing_m: float) -> BaseGeometry:
    """The line along the bed's edge on which the plants of a ribbon stand."""
    return bed.buffer(-EDGE_SHARE * spacing_m).boundary.intersection(ribbon)


def _along(line: LineString, spacing: float) -> list[NDArray[np.float64]]:
    """Evenly spread places along a line, ``spacing`` apart and a little more for its bends; half as
    far from its ends, where another stretch begins."""
    count = max(int(line.length // (spacing * 1.02)), 1)
    step = line.length / count
    return [np.array(line.interpolate((k + 0.5) * step).coords[0]) for k in range(count)]


def _edge_angle(drift: BaseGeometry, bed: BaseGeometry) -> float:
    """Direction of the bed's edge nearest to a drift, radians."""
    rings = [r for p in shapely.get_parts(bed) for r in (p.exterior, *p.interiors)]
    ring = min(rings, key=lambda r: float(r.distance(drift.centroid)))
    at = ring.project(drift.centroid)
    a = np.array(ring.interpolate((at - 0.05) % ring.length).coords[0])
    b = np.array(ring.interpolate((at + 0.05) % ring.length).coords[0])
    return float(np.arctan2(*(b - a)[::-1]))


def _greedy(spots: NDArray[np.float64], spacing: float) -> NDArray[np.float64]:
    """Spots in order, dropping those too near one kept before."""
    kept: list[NDArray[np.float64]] = []
    for spot in spots:
        if all(np.linalg.norm(spot - other) >= spacing - SLACK_M for other in kept):
            kept.append(spot)
    return np.array(kept) if kept else np.empty((0, 2))
