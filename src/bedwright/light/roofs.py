"""Buildings as convex bodies: any footprint as overlapping wings, each under its own roof.

A wing is a largest convex part of the footprint whose sides lie along walls.  Of a footprint with
square corners the wings are all the rectangles that fit it and cannot be made longer; the roof over
it is the union of theirs, all of one pitch.  Hip roofs over them make together the roof whose every
point is as high as its distance from the nearest wall, measured square to the walls, wants: what
the straight skeleton gives (O. Aichholzer and others, Journal of Universal Computer Science 1,
1995, from memory); gable roofs make the usual crossing gables.
"""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from bedwright.geometry import polygonal

Floats = NDArray[np.float64]
GRID_M, NEAR_M = 1e-6, 1e-4
"""Corners are rounded to the first, so that cuts along lines that all but meet leave no hairs;
spots within the second count as one."""
BEND_M = 0.02
"""How far to either side of a line the roof is looked at for a bend."""
LEAST_WING = 0.02
"""Parts smaller than this share of the footprint are no wings."""
LEAST_CRUMB_M2 = 1e-3
MOST_PARTS = 400
"""Parts looked at before the search for wings stops."""


def wings_of(footprint: Polygon) -> list[Polygon]:
    """Largest convex parts of a footprint with sides along its walls, the largest first; they cover
    it.

    At a corner that bends inward every such part lies on one side of one of the walls' lines
    through it: the footprint is cut along each in turn until nothing bends inward.  What slivers
    or a halted search leave bare is added in triangles.
    """
    uncut, found = _tidy(footprint), []
    walls = _walls(uncut)
    seen: set[bytes] = set()
    while uncut and len(seen) < MOST_PARTS:
        part = uncut.pop()
        key = shapely.normalize(part).wkb
        if key in seen or part.area < LEAST_WING * footprint.area:
            continue
        seen.add(key)
        bend = _inward(np.array(part.exterior.coords)[:-1])
        if bend is None:
            found.append(part)
            continue
        for wall in walls:
            if _off_line(wall, bend) < NEAR_M:
                for side in _halves(wall, part):
                    uncut += _tidy(part.intersection(side))
    found.sort(key=lambda wing: -wing.area)
    kept: list[Polygon] = []
    for wing in found:
        if not any(other.buffer(NEAR_M).covers(wing) for other in kept):
            kept.append(wing)
    return kept + _triangles(_bare(footprint, kept))


def pieces_of(footprint: Polygon) -> list[Polygon]:
    """Fewest of the wings, the largest first, that cover the footprint."""
    chosen: list[Polygon] = []
    bare: BaseGeometry = shapely.set_precision(footprint, GRID_M)
    for wing in wings_of(footprint):
        shared = shapely.intersection(bare, wing, grid_size=GRID_M)
        if shared.area > LEAST_WING * min(wing.area, footprint.area) / 10:
            chosen.append(wing)
            bare = polygonal(shapely.difference(bare, wing, grid_size=GRID_M))
    return chosen


def _walls(parts: list[Polygon]) -> list[Floats]:
    """Lines of the walls, (2, 2) each; walls in one line give one."""
    lines: list[Floats] = []
    for part in parts:
        for ends in pairwise(part.exterior.coords):
            wall = np.array(ends)
            if not any(max(_off_line(line, end) for end in wall) < NEAR_M for line in lines):
                lines.append(wall)
    return lines


def _bare(footprint: Polygon, wings: list[Polygon]) -> BaseGeometry:
    """What no wing covers."""
    return polygonal(
        shapely.difference(
            shapely.set_precision(footprint, GRID_M),
            shapely.union_all([wing.buffer(NEAR_M) for wing in wings]),
            grid_size=GRID_M,
        )
    )


def _triangles(shape: BaseGeometry) -> list[Polygon]:
    """A shape as triangles, counter-clockwise, without crumbs."""
    least = LEAST_CRUMB_M2
    cut = shapely.constrained_delaunay_triangles(shape)
    found = shapely.get_parts(shapely.orient_polygons(cut))
    return [t for t in found if isinstance(t, Polygon) and t.area > least]


def roofed(
    footprint: Polygon, eaves: float, ridge: float, hipped: bool, along: Floats | None = None
) -> list[Floats]:
    """(n, 3) corners of each wing from the eaves up, heights as ``eaves`` and ``ridge`` have them.

    ``ridge``: height of the highest ridge; ``along``: direction of a gable's ridge over the largest
    wing, unit vector; over others, and without it, it runs along the longer side.
    """
    wings = wings_of(footprint)
    tops = [
        _under_roof(wing, _slopes(wing, hipped, along if n == 0 else None))
        for n, wing in enumerate(wings)
    ]
    pitch = (ridge - eaves) / max(float(top[:, 2].max()) for top in tops)
    return [np.column_stack([top[:, :2], eaves + pitch * top[:, 2]]) for top in tops]


def roof_lines(footprint: Polygon, hipped: bool, along: Floats | None = None) -> list[Floats]:
    """(2, 2) ends of each ridge and hip as seen from above, without what another wing covers.

    Two corners of a wing's roof are joined by such a line where both lie on the same two of its
    planes; of it those spots count at which the whole roof is no higher and bends.
    """
    wings = wings_of(footprint)
    slopes = [_slopes(w, hipped, along if n == 0 else None) for n, w in enumerate(wings)]

    def height(spots: Floats) -> Floats:
        """Of the whole roof at a pitch of one."""
        best = np.full(len(spots), -np.inf)
        for wing, planes in zip(wings, slopes, strict=True):
            over = (spots @ planes[:, :2].T + planes[:, 2]).min(axis=1)
            inside = shapely.contains_xy(wing.buffer(NEAR_M), spots[:, 0], spots[:, 1])
            best = np.where(inside, np.maximum(best, over), best)
        return best

    lines = []
    for wing, own in zip(wings, slopes, strict=True):
        top = _under_roof(wing, own)
        on = np.abs(top[:, :2] @ own[:, :2].T + own[:, 2] - top[:, 2:]) < NEAR_M
        for i, j in combinations(range(len(top)), 2):
            step = top[j, :2] - top[i, :2]
            if (on[i] & on[j]).sum() < 2 or np.hypot(*step) < 10 * BEND_M:
                continue
            share = np.linspace(0.005, 0.995, 41)
            spots = top[i] + share[:, None] * (top[j] - top[i])
            side = BEND_M / np.hypot(*step) * np.array([-step[1], step[0]])
            here = height(spots[:, :2])
            aside = height(spots[:, :2] + side) + height(spots[:, :2] - side)
            bends = np.isfinite(aside) & (2 * here - aside > 0.1 * BEND_M)
            seen = spots[(here <= spots[:, 2] + NEAR_M) & bends]
            if len(seen) > 1:
                lines.append(seen[[0, -1], :2])
    return lines


def _tidy(shape: BaseGeometry) -> list[Polygon]:
    """Parts of a shape, counter-clockwise, without hairs or corners amid a straight wall."""
    plain = shapely.set_precision(shape, GRID_M).simplify(10 * GRID_M)
    parts = shapely.get_parts(shapely.orient_polygons(plain))
    return [p for p in parts if isinstance(p, Polygon) and not p.is_empty]


def _inward(ring: Floats) -> Floats | None:
    """The corner at which a counter-clockwise ring bends inward most."""
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turn /= np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1)
    at = int(np.argmin(turn))
    return ring[at] if turn[at] < -1e-4 else None


def _off_line(line: Floats, spot: Floats) -> float:
    """Distance of a spot from a line through two points."""
    (ux, uy), (vx, vy) = line[1] - line[0], spot - line[0]
    return float(abs(ux * vy - uy * vx) / np.hypot(ux, uy))


def _halves(line: Floats, part: Polygon) -> list[Polygon]:
    """The ground on either side of a line, as far as a part reaches."""
    (ax, ay), (bx, by) = line
    reach = 4.0 * shapely.length(part)
    ux, uy = np.array([bx - ax, by - ay]) / np.hypot(bx - ax, by - ay) * reach
    start, end = (ax - ux, ay - uy), (ax + ux, ay + uy)
    return [
        Polygon([start, end, (end[0] + s * -uy, end[1] + s * ux),
                 (start[0] + s * -uy, start[1] + s * ux)])
        for s in (1.0, -1.0)
    ]  # fmt: skip


def _slopes(wing: Polygon, hipped: bool, along: Floats | None) -> Floats:
    """(n, 3) roof planes at a pitch of one: height = a x + b y + c, the lowest of them."""
    if hipped:
        return _inside_of(wing)
    if along is None:
        box = shapely.get_coordinates(shapely.minimum_rotated_rectangle(wing))
        sides = np.diff(box, axis=0)[:2]
        longer = sides[np.argmax(np.linalg.norm(sides, axis=1))]
        along = longer / np.linalg.norm(longer)
    across = np.array([-along[1], along[0]])
    reach = np.array(wing.exterior.coords) @ across
    return np.array([[*across, -reach.min()], [*-across, reach.max()]])


def _inside_of(wing: Polygon) -> Floats:
    """(n, 3) distances inward from each wall of a convex wing: a x + b y + c."""
    ring = np.array(wing.exterior.coords)
    step = np.diff(ring, axis=0)
    inward = np.column_stack([-step[:, 1], step[:, 0]]) / np.linalg.norm(step, axis=1)[:, None]
    return np.column_stack([inward, -np.sum(inward * ring[:-1], axis=1)])


def _under_roof(wing: Polygon, slopes: Floats) -> Floats:
    """(n, 3) corners of the body over a wing between height 0 and the lowest of the roof planes."""
    from scipy.spatial import HalfspaceIntersection  # only where there is a pitched roof

    walls = np.insert(-_inside_of(wing), 2, 0.0, axis=1)
    roof = np.column_stack([-slopes[:, :2], np.ones(len(slopes)), -slopes[:, 2]])
    spot = np.array(shapely.maximum_inscribed_circle(wing, 0.01).coords[0])
    low = float((slopes[:, :2] @ spot + slopes[:, 2]).min())
    planes = np.vstack([walls, roof, [0.0, 0.0, -1.0, 0.0]])
    found = HalfspaceIntersection(planes, np.array([*spot, low / 2])).intersections
    return np.unique(found.round(9), axis=0)
