"""The inner loop of ``hours``: every sun, obstacle and cell, compiled.

The shadow of a convex solid on the bed is the convex hull of its corners' shadows, a polygon whose
edges are half planes; a cell is shaded when it lies within all of them, tested edge by edge over
all cells without a branch.  Round bodies shade the cells whose ray to the sun meets them.  Shadows
that miss the bed are passed over.  Suns are shared out among a fixed number of
parts, so that sums, and with them the plan, are the same on any number of cores.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.compiled import compiled, prange

Floats = NDArray[np.float64]
PARTS = 16
SEAM = 1e-9
"""Slack of a half plane, times the length of its edge, metres: bodies that touch leave no gap."""


class Shading(NamedTuple):
    """What stands between the suns and the bed, and how the bed lies.

    ``corners``: (k, 3) of all convex pieces, metres, piece k having ``starts[k]`` to
    ``starts[k + 1]``, on the bed's plane or above it; ``solids``: pieces ``solids[m]`` to
    ``solids[m + 1]`` make one solid, which takes light once; ``solid_share``: (solids,) light
    through; ``crowns``: (m, 5) ellipsoids, centre, radius, half height; ``crown_share``: (suns, m)
    light through at each sun; ``tapers``: (t, 6) upright cylinders and cones, axis, heights of base
    and top, radii there, the base's the larger; ``taper_share``: (suns, t); ``rise``: (2,) of the
    bed's plane along x and y.
    """

    corners: Floats
    starts: NDArray[np.int64]
    solids: NDArray[np.int64]
    solid_share: Floats
    crowns: Floats
    crown_share: Floats
    tapers: Floats
    taper_share: Floats
    rise: Floats


@compiled()
def _hull(x: Floats, y: Floats, count: int, out: NDArray[np.int64]) -> int:
    """Corners of the convex hull of points, counter-clockwise (A. M. Andrew's monotone chain,
    Information Processing Letters 9, 1979); returns how many."""
    order = np.argsort(x[:count])
    # Equal x are put in order of y by a short insertion sort.
    for i in range(1, count):
        k = order[i]
        j = i - 1
        while j >= 0 and x[order[j]] == x[k] and y[order[j]] > y[k]:
            order[j + 1] = order[j]
            j -= 1
        order[j + 1] = k
    size, floor = 0, 1
    for step in range(2 * count - 1):
        # Along the lower side from left to right, then back along the upper.
        k = order[step] if step < count else order[2 * count - 2 - step]
        if step == count:
            floor = size
        while size > floor:
            a, b = out[size - 2], out[size - 1]
            turn = (x[b] - x[a]) * (y[k] - y[a]) - (y[b] - y[a]) * (x[k] - x[a])
            if turn > 0.0:
                break
            size -= 1
        out[size] = k
        size += 1
    return size - 1 if size > 1 else size


@compiled()
def _falls_on(
    bed: Floats, x: float, y: float, radius: float, top: float, dx: float, dy: float, up: float
) -> bool:
    """Whether the shadow of an upright body of revolution may fall on the bed.

    ``bed``: middle, radius and lowest ground of a circle about it.
    """
    qx, qy = bed[0] - x, bed[1] - y
    along, across = qx * dx + qy * dy, abs(qx * dy - qy * dx)
    reach = radius + bed[2]
    return bool(across <= reach and -reach - (top - bed[3]) / up <= along <= reach)


@compiled()
def _under_ellipsoid(
    x: Floats,
    y: Floats,
    dx: float,
    dy: float,
    up: float,
    crown: Floats,
    rise: Floats,
    share: float,
    through: Floats,
) -> None:
    """Takes a crown's part of one sun from the light ``through`` to each cell.

    In the frame in which the ellipsoid is a unit sphere the ray meets it where a quadratic has a
    root ahead of the cell.
    """
    radius, half = crown[3], crown[4]
    ex, ey, ez = dx / radius, dy / radius, up / half
    a2 = ex * ex + ey * ey + ez * ez
    for c in range(len(x)):
        qx, qy = (x[c] - crown[0]) / radius, (y[c] - crown[1]) / radius
        qz = (rise[0] * x[c] + rise[1] * y[c] - crown[2]) / half
        b2 = qx * ex + qy * ey + qz * ez
        d2 = qx * qx + qy * qy + qz * qz - 1.0
        hit = ((b2 < 0.0) | (d2 < 0.0)) & (b2 * b2 >= a2 * d2)
        through[c] *= share if hit else 1.0


@compiled()
def _under_taper(
    x: Floats,
    y: Floats,
    dx: float,
    dy: float,
    up: float,
    taper: Floats,
    rise: Floats,
    share: float,
    through: Floats,
) -> None:
    """As ``_under_ellipsoid``, for an upright cylinder or cone.

    Seen along the ray, t metres on the level from the cell, the axis is ``along + t`` ahead and
    ``across`` to the side, and the radius shrinks by ``shrink`` a metre.  Distance less radius is a
    convex function of t: its least value on the stretch between base and top is below zero where
    the ray meets the body.
    """
    base, top, wide, narrow = taper[2], taper[3], taper[4], taper[5]
    shrink = (wide - narrow) / (top - base) * up
    # Where shrink exceeds 1 the sun stands steeper than the side, and the base alone decides.
    lean = shrink / np.sqrt(1.0 - shrink * shrink) if shrink < 1.0 else np.inf
    for c in range(len(x)):
        qx, qy = x[c] - taper[0], y[c] - taper[1]
        ground = rise[0] * x[c] + rise[1] * y[c]
        along, across = qx * dx + qy * dy, abs(qx * dy - qy * dx)
        near, far = max(base - ground, 0.0) / up, (top - ground) / up
        # Straight through the axis, across is 0, and 0 times infinity is no number.
        t = min(max(-along - lean * max(across, 1e-12), near), far)
        radius = narrow + shrink * (far - t)
        gap = (along + t) * (along + t) + across * across - radius * radius
        through[c] *= share if (gap <= 0.0) & (far > 0.0) else 1.0


@compiled()
def _part(
    first: int,
    x: Floats,
    y: Floats,
    suns: Floats,
    weights: Floats,
    shading: Shading,
    total: Floats,
) -> None:
    """As ``sunlight``, for every PARTS-th sun from the ``first`` on."""
    corners, starts, solids, solid_share, crowns, crown_share, tapers, taper_share, rise = shading
    cells, kinds = len(x), weights.shape[1]
    left, right, low, high = x.min(), x.max(), y.min(), y.max()
    bed = np.empty(4)
    bed[0], bed[1] = (left + right) / 2, (low + high) / 2
    bed[2] = np.hypot(right - left, high - low) / 2
    bed[3] = (x * rise[0] + y * rise[1]).min()
    most = 1
    for k in range(len(starts) - 1):
        most = max(most, starts[k + 1] - starts[k])
    through, beyond, near = np.empty(cells), np.empty(cells), np.empty(cells)
    px, py = np.empty(most), np.empty(most)
    ring = np.empty(2 * most + 2, np.int64)
    for s in range(first, len(suns), PARTS):
        dx, dy, up = suns[s, 0], suns[s, 1], suns[s, 2]
        over = up - (rise[0] * dx + rise[1] * dy)
        if over <= 0.0 or up <= 0.0:
            continue
        through[:] = 1.0
        for m in range(len(solids) - 1):
            near[:] = np.inf
            reached = False
            for k in range(solids[m], solids[m + 1]):
                count = starts[k + 1] - starts[k]
                x0, x1, y0, y1 = np.inf, -np.inf, np.inf, -np.inf
                for i in range(count):
                    at = starts[k] + i
                    cx, cy = corners[at, 0], corners[at, 1]
                    lift = (corners[at, 2] - rise[0] * cx - rise[1] * cy) / over
                    px[i], py[i] = cx - lift * dx, cy - lift * dy
                    x0, x1 = min(x0, px[i]), max(x1, px[i])
                    y0, y1 = min(y0, py[i]), max(y1, py[i])
                if x1 < left or x0 > right or y1 < low or y0 > high:
                    continue
                size = _hull(px, py, count, ring)
                if size < 3:
                    continue
                reached = True
                beyond[:] = -np.inf
                for e in range(size):
                    a, b = ring[e], ring[(e + 1) % size]
                    nx, ny = py[b] - py[a], px[a] - px[b]
                    limit = nx * px[a] + ny * py[a]
                    for c in range(cells):
                        beyond[c] = max(beyond[c], nx * x[c] + ny * y[c] - limit)
                for c in range(cells):
                    near[c] = min(near[c], beyond[c])
            if reached:
                share = solid_share[m]
                for c in range(cells):
                    through[c] *= share if near[c] <= SEAM else 1.0
        for k in range(len(crowns)):
            cx, cy, top = crowns[k, 0], crowns[k, 1], crowns[k, 2] + crowns[k, 4]
            if _falls_on(bed, cx, cy, crowns[k, 3], top, dx, dy, up):
                _under_ellipsoid(x, y, dx, dy, up, crowns[k], rise, crown_share[s, k], through)
        for k in range(len(tapers)):
            cx, cy, top = tapers[k, 0], tapers[k, 1], tapers[k, 3]
            if _falls_on(bed, cx, cy, tapers[k, 4], top, dx, dy, up):
                _under_taper(x, y, dx, dy, up, tapers[k], rise, taper_share[s, k], through)
        for j in range(kinds):
            weight = weights[s, j]
            for c in range(cells):
                total[j, c] += weight * through[c]


@compiled(parallel=True)
def _parts(
    x: Floats,
    y: Floats,
    suns: Floats,
    weights: Floats,
    shading: Shading,
    sums: Floats,
) -> None:
    """``_part`` for each part, shared out among the cores."""
    for part in prange(PARTS):
        _part(part, x, y, suns, weights, shading, sums[part])


def sunlight(
    cells: Floats,
    suns: Floats,
    weights: Floats,
    shading: Shading,
) -> Floats:
    """(kinds, cells) what the suns give each cell, weighted in each of several ways.

    ``cells``: (n, 2) metres; ``suns``: (suns, 3) horizontal unit vector toward the sun and the
    tangent of its height; ``weights``: (suns, kinds) what a sun counts for.  A sun below level or
    behind the bed's plane gives nothing.
    """
    x, y = (np.ascontiguousarray(column, float) for column in cells.T)
    sums = np.zeros((PARTS, weights.shape[1], len(x)))
    _parts(x, y, suns, weights, shading, sums)
    return np.asarray(sums.sum(axis=0))
