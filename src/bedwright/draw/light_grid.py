"""The bed in its sun, legible without colour: lightness tells the hours of each patch; lines part
the exposures, solid, dashed and dotted."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bedwright.draw.svg import INK, Canvas, Placing, outline_path
from bedwright.light import LEAST_H
from bedwright.report import Sunlit

Floats = NDArray[np.float64]
BOUNDS: dict[float, str | None] = dict(zip(LEAST_H, (None, "1.6 0.8", "0.4 0.8"), strict=False))
"""Hours at which an exposure begins, and the dashes of the line drawn there."""


def shade(
    canvas: Canvas,
    lit: Sunlit,
    hours: Floats,
    place: Placing,
    name: str,
    most: int = 4000,
    edge_mm: float = 0.5,
) -> None:
    """The bed alone: each patch as light as its hours, lines where the exposure changes.

    ``name``: of the clip path, one in a picture; ``most``: patches drawn at most.
    """
    grid = Grid(lit.light.cells, hours)
    edge = outline_path(lit.outline.polygon, place)
    canvas.open("clipPath", id=name)
    canvas.path(edge)
    canvas.close()
    canvas.open(clip_path=f"url(#{name})")
    # The mean lies below, so that no hair of paper shows between patches.
    canvas.path(edge, fill=grey(float(hours.mean())))
    canvas.open(shape_rendering="crispEdges")
    for (x, y), side, value in grid.patches(most):
        a, b = place.spot((x, y))
        wide, high = side[0] * place.mm * 1.03, side[1] * place.mm * 1.03
        canvas.add("rect", x=a - wide / 2, y=b - high / 2, width=wide, height=high,
                   fill=grey(value))  # fmt: skip
    canvas.close()
    for bound, dashes in BOUNDS.items():
        for line in grid.lines(bound):
            points = " ".join(f"{a:.2f},{b:.2f}" for a, b in map(place.spot, line))
            canvas.add("polyline", points=points, fill="none", stroke=INK, stroke_width=0.35,
                       stroke_dasharray=dashes)  # fmt: skip
    canvas.close()
    canvas.path(edge, fill="none", stroke=INK, stroke_width=edge_mm)


EVEN_CELLS, LEAST_POINTS = 2.0, 12
"""The ten minutes between suns leave ripples of a few minutes from cell to cell: lines are drawn
through values evened out over this many cells, and islands of fewer points left out."""


def _steps(values: Floats) -> tuple[Floats, NDArray[np.int64]]:
    """Even steps from the least to the greatest of some values that lie on such, and the step of
    each."""
    found = np.unique(values.round(6))
    if len(found) == 1:
        return found, np.zeros(len(values), np.int64)
    step = float(np.diff(found).min())
    count = round((found[-1] - found[0]) / step)
    at = np.rint((values - found[0]) / (found[-1] - found[0]) * count).astype(np.int64)
    return np.linspace(found[0], found[-1], count + 1), at


class Grid:
    """Values of the bed's cells on the square grid they come from, (rows, columns), rows upward.

    Where there is no cell the nearest one's value stands, so that lines reach the edge.
    """

    def __init__(self, cells: Floats, values: Floats) -> None:
        from scipy.ndimage import distance_transform_edt  # a quarter second to import

        self.x, column = _steps(cells[:, 0])
        self.y, row = _steps(cells[:, 1])
        self.held = np.zeros((len(self.y), len(self.x)), bool)
        self.held[row, column] = True
        self.values = np.zeros(self.held.shape)
        self.values[row, column] = values
        near = distance_transform_edt(~self.held, return_distances=False, return_indices=True)
        self.values = self.values[tuple(near)]

    def lines(self, level: float) -> list[Floats]:
        """Lines, (n, 2) each, along which the values, evened out, cross a level."""
        from contourpy import contour_generator
        from scipy.ndimage import gaussian_filter

        if min(self.values.shape) < 2:
            return []
        even = gaussian_filter(self.values, EVEN_CELLS, mode="nearest")
        found = contour_generator(self.x, self.y, even).lines(level)
        return [np.asarray(line) for line in found if len(line) >= LEAST_POINTS]

    def patches(self, most: int) -> list[tuple[tuple[float, float], tuple[float, float], float]]:
        """Middle, sides and mean of at most so many blocks of cells that hold any of the bed."""
        block = max(1, math.ceil(math.sqrt(self.held.sum() / most)))
        sides = tuple(
            (float(at[1] - at[0]) if len(at) > 1 else 1.0) * block for at in (self.x, self.y)
        )
        rows, columns = (np.arange(0, len(at), block) for at in (self.y, self.x))

        def sums(of: Floats) -> Floats:
            return np.asarray(np.add.reduceat(np.add.reduceat(of, rows, axis=0), columns, axis=1))

        held = sums(self.held.astype(float))
        means = sums(self.held * self.values) / np.maximum(held, 1.0)
        x, y = (
            at[first] + (side - side / block) / 2
            for at, first, side in ((self.x, columns, sides[0]), (self.y, rows, sides[1]))
        )
        return [
            ((float(x[j]), float(y[i])), (sides[0], sides[1]), float(means[i, j]))
            for i, j in np.argwhere(held > 0.0)
        ]


MOST_H = 14.0
DARK, PALE = (76, 80, 90), (255, 243, 200)


def grey(hours: float) -> str:
    """Dark for shade to pale yellow for a long summer's day; steps wider where fewer hours are."""
    share = (min(max(hours, 0.0) / MOST_H, 1.0)) ** 0.75
    red, green, blue = (
        round(low + (high - low) * share) for low, high in zip(DARK, PALE, strict=True)
    )
    return f"#{red:02x}{green:02x}{blue:02x}"
