"""Rows for kinds sown where they flower: the rows of their lattice, drawn as lines.

Seedlings in rows are easily seen among weeds, and rows that turn from drift to drift are lost to
the eye once the plants have met (common practice, no source).  A lattice has three directions of
rows; that with the fewest rows is taken, so that the rows are long.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from bedwright.catalogue import ROW_RISE

NEIGHBOUR = 1.04
"""Distance of neighbours in a lattice, in spacings, with some slack."""

OFF_ROW = 0.55
"""Farthest that a plant stands from its row, in spacings: one that was put into a gap afterwards
stands off the lattice, by half the distance of two rows at most."""


def rows_of(
    drift: BaseGeometry, places: NDArray[np.float64], spacing_m: float, ribbon: bool
) -> tuple[NDArray[np.float64], ...]:
    """Rows through the (n, 2) places of a drift, metres, each an (m, 2) line within the drift.

    They run half a spacing beyond the plants at their ends, or to the drift's border.  In a
    ``ribbon`` the row of plants itself is the row, in stretches.
    """
    if len(places) == 0:
        return ()
    if ribbon:
        lines = [
            LineString(row) if len(row) > 1 else _stub(row[0], 0.0, spacing_m)
            for row in _stretches(places, spacing_m)
        ]
    else:
        lines = _rows(places, spacing_m)
    within = drift.buffer(1e-6)
    return tuple(
        np.asarray(piece.coords)
        for line in lines
        for piece in shapely.get_parts(line.intersection(within))
        if piece.length > 0 and piece.distance(shapely.MultiPoint(places)) < OFF_ROW * spacing_m
    )


def _rows(places: NDArray[np.float64], spacing: float) -> list[LineString]:
    """The rows of a lattice in the direction that has the fewest."""
    # The lattice may be a little wider than the spacing.
    step = spacing
    if len(places) > 1:
        gaps = np.asarray(cKDTree(places).query(places, k=[2])[0])
        step = max(float(np.median(gaps)), spacing)
    turn = _turn(places, step)
    choices = [_rows_along(places, step, turn + k * np.pi / 3) for k in range(3)]
    return min(choices, key=len)


def _turn(places: NDArray[np.float64], step: float) -> float:
    """Direction of the lattice, radians, of three that are sixty degrees apart."""
    pairs = cKDTree(places).query_pairs(NEIGHBOUR * step, output_type="ndarray")
    if len(pairs) == 0:
        return 0.0
    dx, dy = (places[pairs[:, 1]] - places[pairs[:, 0]]).T
    return float(np.angle(np.exp(6j * np.arctan2(dy, dx)).sum()) / 6)


def _rows_along(places: NDArray[np.float64], step: float, angle: float) -> list[LineString]:
    """Rows in one direction, each through the plants that stand nearest to it."""
    along = places @ [np.cos(angle), np.sin(angle)]
    across = places @ [-np.sin(angle), np.cos(angle)]
    rise = ROW_RISE * step
    base = np.angle(np.exp(2j * np.pi * across / rise).sum()) / (2 * np.pi) * rise
    row = np.round((across - base) / rise)
    out = []
    for number in np.unique(row):
        members = row == number
        level = float(np.median(across[members]))
        ends = np.array([along[members].min() - step / 2, along[members].max() + step / 2])
        x = ends * np.cos(angle) - level * np.sin(angle)
        y = ends * np.sin(angle) + level * np.cos(angle)
        out.append(LineString(np.column_stack([x, y])))
    return out


def _stretches(places: NDArray[np.float64], spacing: float) -> list[NDArray[np.float64]]:
    """Places of a ribbon in the order of its row, parted where the row breaks."""
    breaks = np.linalg.norm(np.diff(places, axis=0), axis=1) > 1.6 * spacing
    return np.split(places, np.flatnonzero(breaks) + 1)


def _stub(at: NDArray[np.float64], angle: float, spacing: float) -> LineString:
    """A short row for a plant by itself."""
    step = spacing / 2 * np.array([np.cos(angle), np.sin(angle)])
    return LineString([at - step, at + step])
