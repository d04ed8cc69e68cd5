"""Marking out: stakes from the base line, string and edging, how sure the area is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bedwright.geometry import Outline

TAPE_ERROR_M = 0.01
"""A tape read in a garden, each end (estimate)."""

MOST_STAKES = 24


@dataclass(frozen=True)
class MarkOut:
    """Stakes (x, y from the base line, m), the edge's length, area and its standard error."""

    stakes: tuple[tuple[float, float], ...]
    edge_m: float
    area_m2: float
    area_error_m2: float
    diagonals_m: tuple[float, float] | None


def mark_out(outline: Outline) -> MarkOut:
    """Where to set the stakes: the corners, or points along a curved edge."""
    ring = np.array(outline.polygon.exterior.coords)[:-1]
    rectangle = len(ring) == 4
    diagonals = None
    if rectangle:
        diagonals = (
            float(np.linalg.norm(ring[2] - ring[0])),
            float(np.linalg.norm(ring[3] - ring[1])),
        )
    if len(ring) > MOST_STAKES:
        reach = np.linspace(0, outline.perimeter_m, MOST_STAKES // 2, endpoint=False)
        spots = [outline.polygon.exterior.interpolate(float(s)) for s in reach]
        ring = np.array([(p.x, p.y) for p in spots])
    # Shoelace area is linear in each corner: its error from independent errors of the corners.
    edge = np.roll(ring, -1, axis=0) - np.roll(ring, 1, axis=0)
    error = TAPE_ERROR_M / 2 * float(np.sqrt((edge**2).sum()))
    return MarkOut(
        tuple((float(x), float(y)) for x, y in ring),
        outline.perimeter_m,
        outline.area_m2,
        error,
        diagonals,
    )
