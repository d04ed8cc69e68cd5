"""Triangular lattices laid over a patch of ground at every turn and offset, compiled.

A triangular lattice is the closest packing of equal circles in the plane (A. Thue 1910; L. Fejes
Toth 1940), so plants set on one are as many as their spacing lets stand on wide ground.  On small
ground the turn and the offset decide, and many are tried: a regular grid of offsets along the
edge, then points of a sequence that fills turn and offset evenly (M. Roberts, the R-sequence, from
the generalised golden ratio).
"""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.catalogue import ROW_RISE
from bedwright.compiled import compiled

Floats = NDArray[np.float64]

ALONG_EDGE = 12
"""Offsets tried each way with the rows along the edge."""

TRIES, LEAST_TRIES = 14_000, 240
"""Turns and offsets tried besides, fewer on ground of many plants, where they matter less."""

WORK = 3_000_000
"""Lattice points looked at in all, about."""

CELLS = 24
"""Cells of the ground's map to a spacing."""

NOWHERE, EVERYWHERE, PERHAPS = 0, 1, 2
"""Where in a cell of the map a plant may stand; PERHAPS where an edge or a neighbour's distance
crosses it, and each place is looked at by itself."""

G = 1.22074408460575947536
"""The real root of x^4 = x + 1, from which the sequence in three dimensions is made."""


TURN, ALONG, ACROSS, BY_EDGE = 0, 1, 2, 3
"""Columns of a try: turn (radians), offset along and across the rows as shares of a cell, and
whether (1 or 0) its rows run along the edge."""


class Patch(NamedTuple):
    """Ground to be planted: its edges (n, 4) and bounds, plants that bear on it (k, 3) with the
    square of their distance, its map of cells of side ``step``, and the spacing; metres."""

    edges: Floats
    near: Floats
    bounds: Floats
    cells: NDArray[np.uint8]
    step: float
    spacing: float


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
def _map(edges: Floats, near: Floats, bounds: Floats, step: float) -> NDArray[np.uint8]:
    """(rows, columns) of square cells: NOWHERE, EVERYWHERE or PERHAPS may a plant stand in each."""
    # One more each way, for places on the far bounds, however their numbers are rounded.
    columns = int((bounds[2] - bounds[0]) / step) + 2
    rows = int((bounds[3] - bounds[1]) / step) + 2
    cells = np.full((rows, columns), NOWHERE, np.uint8)
    turns = np.zeros(columns + 1, np.bool_)
    for r in range(rows):
        # Whether the middles of a row's cells lie inside turns where the row crosses an edge.
        y = bounds[1] + (r + 0.5) * step
        turns[:] = False
        for k in range(len(edges)):
            y1, y2 = edges[k, 1], edges[k, 3]
            if (y1 > y) != (y2 > y):
                x = edges[k, 0] + (y - y1) / (y2 - y1) * (edges[k, 2] - edges[k, 0])
                c = math.ceil((x - bounds[0]) / step - 0.5)
                turns[min(max(c, 0), columns)] ^= True
        inside = False
        for c in range(columns):
            inside ^= turns[c]
            if inside:
                cells[r, c] = EVERYWHERE
    for k in range(len(edges)):
        along, across = edges[k, 2] - edges[k, 0], edges[k, 3] - edges[k, 1]
        pieces = int(2.0 * math.hypot(along, across) / step) + 1
        for n in range(pieces + 1):
            column = int((edges[k, 0] + along * n / pieces - bounds[0]) / step)
            row = int((edges[k, 1] + across * n / pieces - bounds[1]) / step)
            # An edge may cut the corner of a cell beside those that its points lie in.
            for r in range(max(row - 1, 0), min(row + 2, rows)):
                for c in range(max(column - 1, 0), min(column + 2, columns)):
                    cells[r, c] = PERHAPS
    half = step * math.sqrt(0.5)
    for k in range(len(near)):
        keep = math.sqrt(near[k, 2])
        x, y = near[k, 0] - bounds[0], near[k, 1] - bounds[1]
        reach = keep + half
        for r in range(max(int((y - reach) / step), 0), min(int((y + reach) / step) + 1, rows)):
            for c in range(
                max(int((x - reach) / step), 0), min(int((x + reach) / step) + 1, columns)
            ):
                gap = math.hypot((c + 0.5) * step - x, (r + 0.5) * step - y)
                if gap < keep - half:
                    cells[r, c] = NOWHERE
                elif gap < reach and cells[r, c] == EVERYWHERE:
                    cells[r, c] = PERHAPS
    return cells


@compiled()
def _within(
    slope: float, middle: float, half: float, low: float, high: float
) -> tuple[float, float]:
    """The part of ``low`` to ``high`` in which ``slope * u`` is within ``half`` of ``middle``."""
    if abs(slope) < 1e-12:
        return (low, high) if abs(middle) <= half else (1.0, 0.0)
    one, two = (middle - half) / slope, (middle + half) / slope
    return max(low, min(one, two)), min(high, max(one, two))


@compiled()
def _fill(patch: Patch, one: Floats, out: Floats) -> int:
    """Lay the lattice of one try; the points that may stand go to ``out``; returns how many."""
    edges, near, bounds, cells, step, spacing = patch
    cos, sin = math.cos(one[TURN]), math.sin(one[TURN])
    x0, y0 = (bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2
    rise = spacing * ROW_RISE
    half_x, half_y = (bounds[2] - bounds[0]) / 2, (bounds[3] - bounds[1]) / 2
    # The reach of the ground's box across the lattice's rows, and along each of them.
    reach = abs(sin) * half_x + abs(cos) * half_y
    shift_u, shift_v, scale = one[ALONG] * spacing, one[ACROSS] * rise, 1.0 / step
    count = 0
    for row in range(
        math.floor((-reach - shift_v) / rise), math.ceil((reach - shift_v) / rise) + 1
    ):
        v = row * rise + shift_v
        start = shift_u + (row % 2) * spacing / 2
        low, high = _within(cos, sin * v, half_x, -math.inf, math.inf)
        low, high = _within(sin, -cos * v, half_y, low, high)
        if low > high:
            continue
        for column in range(
            math.ceil((low - start) / spacing), math.floor((high - start) / spacing) + 1
        ):
            u = column * spacing + start
            x, y = x0 + cos * u - sin * v, y0 + sin * u + cos * v
            if not (bounds[0] <= x <= bounds[2] and bounds[1] <= y <= bounds[3]):
                continue
            cell = cells[int((y - bounds[1]) * scale), int((x - bounds[0]) * scale)]
            if cell == NOWHERE:
                continue
            if cell == PERHAPS and not (_clear(near, x, y) and _inside(edges, x, y)):
                continue
            if count < len(out):
                out[count, 0], out[count, 1] = x, y
            count += 1
    return count


@compiled(nogil=True)
def _best(patch: Patch, tries: Floats, middle: Floats, out: Floats) -> tuple[int, int, float]:
    """Number of the try that stands most plants, how many, and the squared distance of their mean
    place from the middle; of equals the first of those that are nearest the middle, those along the
    edge before any other."""
    best, most, most_along, least_off = 0, -1, -1.0, math.inf
    for k in range(len(tries)):
        count = _fill(patch, tries[k], out)
        if count < most or count == 0:
            continue
        x, y = 0.0, 0.0
        for i in range(count):
            x += out[i, 0]
            y += out[i, 1]
        off = (x / count - middle[0]) ** 2 + (y / count - middle[1]) ** 2
        along = tries[k, BY_EDGE]
        better = count > most or along > most_along or (along == most_along and off < least_off)
        if better and (count > most or along >= most_along):
            best, most, most_along, least_off = k, count, along, off
    return best, most, least_off


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
    points = box / (ROW_RISE * spacing_m**2)
    tries = _tries(along, int(np.clip(WORK / points, LEAST_TRIES, TRIES)))
    size = int(2 * points) + 64
    squared = np.column_stack([near[:, :2], np.maximum(near[:, 2], 0.0) ** 2])
    step = spacing_m / CELLS
    cells = _map(edges, squared, bounds, step)
    patch = Patch(edges, squared, bounds, cells, step, spacing_m)

    def tried(some: slice) -> tuple[int, float, float, int]:
        k, most, off = _best(patch, tries[some], middle, np.empty((size, 2)))
        k += some.start
        return most, float(tries[k, BY_EDGE]), -off, -k

    half = len(tries) // 2
    with ThreadPoolExecutor(2) as cores:
        found = cores.map(tried, (slice(0, half), slice(half, len(tries))))
        best = -max(found)[-1]
    out = np.empty((size, 2))
    count = _fill(patch, tries[best], out)
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
