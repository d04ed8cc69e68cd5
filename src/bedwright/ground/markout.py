"""Marking out: stakes from the base line, string and edging, how sure the area is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.geometry import Outline

TAPE_ERROR_M = 0.01
"""A tape read in a garden, each end (estimate)."""

CORNER_DEG = 25.0
"""Turn of the edge from which a point is a corner, to be staked whatever the curve."""

CURVE_STEP_M = 1.0
"""Distance of stakes along a curve (common practice, no source)."""


@dataclass(frozen=True)
class MarkOut:
    """Stakes (x, y from the base line, m), the edge's length, area and its standard error."""

    stakes: tuple[tuple[float, float], ...]
    edge_m: float
    area_m2: float
    area_error_m2: float
    diagonals_m: tuple[float, float] | None


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
    # Shoelace area is linear in each corner: its error from independent errors of the corners.
    edge = np.roll(stakes, -1, axis=0) - np.roll(stakes, 1, axis=0)
    error = TAPE_ERROR_M / 2 * float(np.sqrt((edge**2).sum()))
    return MarkOut(
        tuple((float(x), float(y)) for x, y in stakes),
        outline.perimeter_m,
        outline.area_m2,
        error,
        diagonals,
    )


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
