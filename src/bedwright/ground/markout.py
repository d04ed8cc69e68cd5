"""Marking out: stakes from the base line, string and edging, how sure the area is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from bedwright.geometry import Outline

TAPE_ERROR_M = 0.01
"""A tape read in a garden, each end (estimate)."""

CORNER_DEG = 25.0
"""Turn of the edge from which a point is a corner, to be staked whatever the curve."""

CURVE_STEP_M = 1.0
"""Distance of stakes along a curve (common practice, no source)."""


OFFSET_STEPS = 12
"""Stations along the base line at most between which a curved edge is measured."""


@dataclass(frozen=True)
class MarkOut:
    """Where to set stakes and string.

    ``stakes``: (x, y) from the base line, metres; ``edge_m``: length of the edge, and of edging;
    ``string_m``: from stake to stake, once round; ``area_error_m2``: standard error of the area;
    ``diagonals_m``: of four corners; ``square_m``: for a rectangle, the sides and the slant of the
    largest 3-4-5 triangle that fits its corner; ``offsets``: of a curved edge, (x, near y, far y)
    at even steps along the base line.
    """

    stakes: tuple[tuple[float, float], ...]
    edge_m: float
    string_m: float
    area_m2: float
    area_error_m2: float
    diagonals_m: tuple[float, float] | None
    square_m: tuple[float, float, float] | None
    offsets: tuple[tuple[float, float, float], ...]


def mark_out(outline: Outline) -> MarkOut:
    """Where to set the stakes: every corner, and points along the curves between them."""
    ring = np.array(outline.polygon.exterior.coords)[:-1]
    diagonals = None
    if len(ring) == 4:
        diagonals = (
            float(np.linalg.norm(ring[2] - ring[0])),
            float(np.linalg.norm(ring[3] - ring[1])),
        )
    stakes = _stakes(ring)
    string = float(np.linalg.norm(np.roll(stakes, -1, axis=0) - stakes, axis=1).sum())
    # Shoelace area is linear in each corner: its error from independent errors of the corners.
    edge = np.roll(stakes, -1, axis=0) - np.roll(stakes, 1, axis=0)
    error = TAPE_ERROR_M / 2 * float(np.sqrt((edge**2).sum()))
    return MarkOut(
        tuple((float(x), float(y)) for x, y in stakes),
        outline.perimeter_m,
        string,
        outline.area_m2,
        error,
        diagonals,
        _three_four_five(ring),
        _offsets(outline, ring),
    )


def _three_four_five(ring: NDArray[np.float64]) -> tuple[float, float, float] | None:
    """Sides of 3, 4 and 5 parts that fit a rectangle's corner, in whole parts of 10 cm."""
    if len(ring) != 4:
        return None
    sides = np.linalg.norm(np.diff(ring[:3], axis=0), axis=1)
    if abs(float((ring[1] - ring[0]) @ (ring[2] - ring[1]))) > 1e-6:
        return None
    part = np.floor(10 * min(sides.min() / 3, sides.max() / 4) + 1e-9) / 10
    return (3 * part, 4 * part, 5 * part) if part > 0 else None


def _offsets(outline: Outline, ring: NDArray[np.float64]) -> tuple[tuple[float, float, float], ...]:
    """Near and far edge of a curved outline, square to the base line, at even steps along it."""
    if len(ring) <= MOST_CORNERS:
        return ()
    x0, y0, x1, y1 = outline.polygon.bounds
    count = max(min(round((x1 - x0) / (CURVE_STEP_M / 2)), OFFSET_STEPS), 4)
    found = []
    for x in np.linspace(x0, x1, count + 1):
        inside = min(max(x, x0 + 1e-6), x1 - 1e-6)
        line = shapely.LineString([(inside, y0 - 1.0), (inside, y1 + 1.0)])
        _, low, _, high = line.intersection(outline.polygon).bounds
        found.append((float(x), float(low), float(high)))
    return tuple(found)


MOST_CORNERS = 12
"""An outline of more corners than this is a curve."""


def _stakes(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """Corners in order, with evenly spread points on each curved stretch between two of them."""
    into, out = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    turn = np.degrees(np.arctan2(out[:, 1], out[:, 0]) - np.arctan2(into[:, 1], into[:, 0]))
    corners = np.flatnonzero(np.abs((turn + 180.0) % 360.0 - 180.0) >= CORNER_DEG)
    if len(corners) == 0:
        corners = np.array([int(np.lexsort((ring[:, 1], ring[:, 0]))[0])])
    spots = []
    for a, b in zip(corners, [*corners[1:], corners[0] + len(ring)], strict=True):
        part = ring[np.arange(a, b + 1) % len(ring)]
        steps = np.linalg.norm(np.diff(part, axis=0), axis=1)
        straight = np.linalg.norm(part[-1] - part[0]) > 0.9999 * steps.sum()
        count = 1 if straight else max(int(np.ceil(steps.sum() / CURVE_STEP_M)), 2)
        along = np.concatenate([[0.0], np.cumsum(steps)])
        at = np.linspace(0.0, along[-1], count, endpoint=False)
        spots += [(np.interp(s, along, part[:, 0]), np.interp(s, along, part[:, 1])) for s in at]
    return np.array(spots)
