"""Triangular lattices laid over a patch of ground at every turn and offset, compiled.

A triangular lattice is the closest packing of equal circles in the plane (A. Thue 1910; L. Fejes
Toth 1940), so plants set on one are as many as their spacing lets stand on wide ground.  On small
ground the turn and the offset decide, and many are tried: a regular grid of offsets along the
edge, then points of a sequence that fills turn and offset evenly (M. Roberts, the R-sequence, from
the generalised golden ratio).
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.compiled import compiled

Floats = NDArray[np.float64]

ALONG_EDGE = 12
"""Offsets tried each way with the rows along the edge."""

TRIES, LEAST_TRIES = 8000, 240
"""Turns and offsets tried besides, fewer on ground of many plants, where they matter less."""

WORK = 1_500_000
"""Lattice points looked at in all, about."""

G = 1.22074408460575947536
"""The real root of x^4 = x + 1, from which the sequence in three dimensions is made."""


@compiled()
def _inside(edges: Floats, x: float, y: float) -> bool:
    """Whether a point lies within rings, by the crossings of a ray to the right."""
    odd = False
    for k in range(len(edges)):
        y1, y2 = edges[k, 1], edges[k, 3]
        if (y1 > y) != (y2 > y):
            at = edges[k, 0] + (y - y1) / (y2 - y1) * (edges[k, 2] - edges[k, 0])
            if x < at:
                odd = not odd
    return odd


@compiled()
def _clear(near: Floats, x: float, y: float) -> bool:
    """Whether a point keeps its distance from the plants in ``near``: x, y, distance squared."""
    for k in range(len(near)):
        if (near[k, 0] - x) ** 2 + (near[k, 1] - y) ** 2 < near[k, 2]:
            return False
    return True


@compiled()
def _fill(
    edges: Floats, near: Floats, bounds: Floats, spacing: float, one: Floats, out: Floats
) -> int:
    """Lay one lattice, ``one``: turn, and offset along and across the rows as shares of a cell;
    the points that may stand go to ``out``; returns how many."""
    cos, sin = math.cos(one[0]), math.sin(one[0])
    x0, y0 = (bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2
    rise = spacing * math.sqrt(3.0) / 2
    half_x, half_y = (bounds[2] - bounds[0]) / 2, (bounds[3] - bounds[1]) / 2
    # The ground's box, in the lattice's own frame.
    reach_u = abs(cos) * half_x + abs(sin) * half_y
    reach_v = abs(sin) * half_x + abs(cos) * half_y
    shift_u, shift_v = one[1] * spacing, one[2] * rise
    count = 0
    for row in range(
        math.floor((-reach_v - shift_v) / rise), math.ceil((reach_v - shift_v) / rise) + 1
    ):
        v = row * rise + shift_v
        start = shift_u + (row % 2) * spacing / 2
        for column in range(
            math.floor((-reach_u - start) / spacing), math.ceil((reach_u - start) / spacing) + 1
        ):
            u = column * spacing + start
            x, y = x0 + cos * u - sin * v, y0 + sin * u + cos * v
            if (
                bounds[0] <= x <= bounds[2]
                and bounds[1] <= y <= bounds[3]
                and _clear(near, x, y)
                and _inside(edges, x, y)
            ):
                if count < len(out):
                    out[count, 0], out[count, 1] = x, y
                count += 1
    return count


@compiled()
def _best(
    edges: Floats,
    near: Floats,
    bounds: Floats,
    spacing: float,
    tries: Floats,
    middle: Floats,
    out: Floats,
) -> int:
    """Number of the try that stands most plants; of equals the first of those whose mean place is
    nearest the middle, those along the edge before any other (``tries[:, 3]`` is 1)."""
    best, most, most_along, least_off = 0, -1, -1.0, math.inf
    for k in range(len(tries)):
        count = _fill(edges, near, bounds, spacing, tries[k], out)
        if count < most or count == 0:
            continue
        x, y = 0.0, 0.0
        for i in range(count):
            x += out[i, 0]
            y += out[i, 1]
        off = (x / count - middle[0]) ** 2 + (y / count - middle[1]) ** 2
        along = tries[k, 3]
        better = count > most or along > most_along or (along == most_along and off < least_off)
        if better and (count > most or along >= most_along):
            best, most, most_along, least_off = k, count, along, off
    return best


def fill(ground: BaseGeometry, spacing_m: float, along: float, near: Floats) -> Floats:
    """(n, 2) places of the lattice that stands most plants on a patch of ground.

    ``along``: direction of the edge, radians, kept to when no other turn stands more; ``near``:
    (k, 3) other plants' places and the distance to be kept from each, metres.
    """
    if ground.is_empty or ground.area == 0.0:
        return np.empty((0, 2))
    edges = edges_of(ground)
    bounds = np.array(ground.bounds)
    middle = np.array(ground.centroid.coords[0])
    box = (bounds[2] - bounds[0] + spacing_m) * (bounds[3] - bounds[1] + spacing_m)
    points = box / (0.866 * spacing_m**2)
    tries = _tries(along, int(np.clip(WORK / points, LEAST_TRIES, TRIES)))
    out = np.empty((int(2 * points) + 64, 2))
    squared = np.column_stack([near[:, :2], np.maximum(near[:, 2], 0.0) ** 2])
    best = _best(edges, squared, bounds, spacing_m, tries, middle, out)
    count = _fill(edges, squared, bounds, spacing_m, tries[best], out)
    return np.asarray(out[:count].copy())


def edges_of(ground: BaseGeometry) -> Floats:
    """(n, 4) the edges of all rings of a polygon or several, x, y to x, y."""
    rings = [
        np.asarray(ring.coords)[:, :2]
        for part in shapely.get_parts(ground)
        if part.geom_type == "Polygon"
        for ring in (part.exterior, *part.interiors)
    ]
    return np.concatenate([np.hstack([ring[:-1], ring[1:]]) for ring in rings])


def _tries(along: float, count: int) -> Floats:
    """(m, 4) turns, offsets, and whether the rows run along the edge."""
    share = (np.arange(ALONG_EDGE) + 0.5) / ALONG_EDGE
    u, v = np.meshgrid(share, share)
    # A lattice comes back to itself after two rows.
    edge = np.column_stack([np.full(u.size, along), u.ravel(), 2 * v.ravel(), np.ones(u.size)])
    steps = np.arange(1, count + 1)
    turn, one, two = ((0.5 + steps / G**power) % 1.0 for power in (1, 2, 3))
    any_turn = np.column_stack([along + turn * np.pi / 3, one, 2 * two, np.zeros(count)])
    return np.vstack([edge, any_turn])
