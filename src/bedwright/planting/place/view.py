"""How far back a spot lies from those who look at the bed."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bedwright.geometry import SPECK_M2, TENTH_MM, Outline, largest, polygonal


def viewers(outline: Outline) -> list[tuple[float, float]]:
    """Unit vectors (x, y) from the bed to its onlookers; empty when seen from all sides."""
    if outline.from_all_sides:
        return []
    return [outline.toward(side) for side in outline.viewed_from if not isinstance(side, str)]


def distances(outline: Outline, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """(n,) metres from each point to the edge nearest to any onlooker."""
    spots = shapely.points(points)
    sides = viewers(outline)
    if not sides:
        return np.asarray(shapely.distance(outline.polygon.exterior, spots))
    return np.asarray(np.min([_along(outline, points, side) for side in sides], axis=0))


def depths(outline: Outline, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """(n,) 0 at the front edge to 1 at the back, or in the middle when seen from all sides."""
    sides = viewers(outline)
    if not sides:
        near = distances(outline, points)
        return np.asarray(near / max(deepest(outline), 1e-9))
    parts = []
    for x, y in sides:
        front = _along(outline, points, (x, y))
        back = _along(outline, points, (-x, -y))
        parts.append(front / np.maximum(front + back, 1e-9))
    share = np.min(parts, axis=0)
    return np.asarray(share / _scale(sides))


def _scale(sides: list[tuple[float, float]]) -> float:
    """Largest depth possible: 1 for one side, less where opposite sides both look."""
    opposite = any(a[0] * b[0] + a[1] * b[1] < -0.5 for a in sides for b in sides)
    return 0.5 if opposite else 1.0


def deepest(outline: Outline) -> float:
    """Largest distance from the viewed edge, metres, to a tenth of a millimetre."""
    sides = viewers(outline)
    if not sides:
        return outline.inner_radius_m
    x0, y0, x1, y1 = outline.polygon.bounds
    return largest(
        lambda reach: _farther(outline.polygon, sides, reach).area > SPECK_M2,
        float(np.hypot(x1 - x0, y1 - y0)) + TENTH_MM,
    )


def _farther(
    polygon: Polygon, sides: list[tuple[float, float]], reach_m: float
) -> Polygon | MultiPolygon:
    """Ground from which every onlooker's edge is farther: all but what the edges sweep over when
    they are moved so far away from the onlookers."""
    ring = np.asarray(polygon.exterior.coords)
    one, two = ring[:-1], ring[1:]
    swept = []
    for side in sides:
        back = -reach_m * np.array(side)
        bands = np.asarray(
            shapely.polygons(np.stack([one, two, two + back, one + back], axis=1)), object
        )
        swept.append(bands[shapely.area(bands) > 0.0])
    return polygonal(polygon.difference(shapely.union_all(np.concatenate(swept))))


def _along(
    outline: Outline, points: NDArray[np.float64], toward: tuple[float, float]
) -> NDArray[np.float64]:
    """(n,) metres from each point to the edge, walking in a direction."""
    reach = (
        2.0
        * max(
            outline.polygon.bounds[2] - outline.polygon.bounds[0],
            outline.polygon.bounds[3] - outline.polygon.bounds[1],
        )
        + 1.0
    )
    ends = points + reach * np.array(toward)
    rays = shapely.linestrings(np.stack([points, ends], axis=1))
    edge = shapely.intersection(rays, outline.polygon.boundary)
    gap = shapely.distance(shapely.points(points), edge)
    return np.nan_to_num(np.asarray(gap))


def front_ribbon(outline: Outline, width_m: float) -> BaseGeometry:
    """Strip of the bed along its viewed edges."""
    sides = viewers(outline)
    if not sides:
        return outline.polygon.difference(outline.polygon.buffer(-width_m))
    strips = [
        outline.polygon.difference(translate(outline.polygon, -x * width_m, -y * width_m))
        for x, y in sides
    ]
    return shapely.union_all(strips)
