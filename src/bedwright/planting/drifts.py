"""Cutting the bed into drifts of equal area: a power diagram whose weights are raised or lowered
until the areas agree (capacity-constrained Voronoi; F. Aurenhammer, Power diagrams, SIAM J. Comput.
16, 1987).

Distances are measured in a frame drawn out along the front edge, so that drifts run broad rather
than deep.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from bedwright.geometry import cells_in, polygonal

STRETCH = 1.7
"""How much broader than deep a drift is made when the bed has a front (common practice)."""

LLOYD_ROUNDS = 30
WEIGHT_ROUNDS = 120
RASTER = 2600


def cut_drifts(
    area: BaseGeometry, count: int, toward: tuple[float, float] | None, rng: np.random.Generator
) -> list[BaseGeometry]:
    """``count`` drifts of about equal area, without gaps or overlaps.

    ``toward``: unit vector to the onlookers, or None when the bed is seen from all sides.
    """
    if count <= 1:
        return [area]
    turn = _frame(toward)
    cells = cells_in(area, float(np.sqrt(area.area / RASTER))) @ turn.T
    sites = _spread(cells, count, rng)
    weights = np.zeros(count)
    for _ in range(LLOYD_ROUNDS):
        weights = _balance(cells, sites, weights)
        owner = _owner(cells, sites, weights)
        moved = np.array(
            [
                cells[owner == k].mean(axis=0) if (owner == k).any() else sites[k]
                for k in range(count)
            ]
        )
        if np.abs(moved - sites).max() < 1e-3:
            break
        sites = moved
    weights = _balance(cells, sites, weights)
    return _polygons(area, sites, weights, turn)


def _frame(toward: tuple[float, float] | None) -> NDArray[np.float64]:
    """Matrix that turns the bed's frame so that depth comes second, drawn out by STRETCH."""
    if toward is None:
        return np.eye(2)
    x, y = toward
    return np.array([[-y, x], [STRETCH * x, STRETCH * y]])


def _spread(
    cells: NDArray[np.float64], count: int, rng: np.random.Generator
) -> NDArray[np.float64]:
    """Sites far from one another: each next one drawn with odds as its squared distance."""
    sites = [cells[rng.integers(len(cells))]]
    gap = np.full(len(cells), np.inf)
    for _ in range(count - 1):
        gap = np.minimum(gap, ((cells - sites[-1]) ** 2).sum(axis=1))
        sites.append(cells[rng.choice(len(cells), p=gap / gap.sum())])
    return np.array(sites)


def _owner(
    cells: NDArray[np.float64], sites: NDArray[np.float64], weights: NDArray[np.float64]
) -> NDArray[np.intp]:
    power = ((cells[:, None, :] - sites[None]) ** 2).sum(axis=2) - weights
    return np.asarray(np.argmin(power, axis=1))


def _balance(
    cells: NDArray[np.float64], sites: NDArray[np.float64], weights: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Weights at which every drift has the same number of cells, give or take 2%."""
    count = len(sites)
    goal = len(cells) / count
    span = float(np.prod(np.ptp(cells, axis=0))) / count
    square = ((cells[:, None, :] - sites[None]) ** 2).sum(axis=2)
    step = 0.5
    worst = np.inf
    best = weights
    for _ in range(WEIGHT_ROUNDS):
        sizes = np.bincount(np.argmin(square - weights, axis=1), minlength=count)
        off = np.abs(sizes - goal).max() / goal
        if off < worst:
            worst, best = off, weights
        elif off > 1.5 * worst:
            step *= 0.7
        if off <= 0.02:
            break
        weights = weights + step * span * (goal - sizes) / goal * 0.25
        weights = weights - weights.mean()
    return best


def _polygons(
    area: BaseGeometry,
    sites: NDArray[np.float64],
    weights: NDArray[np.float64],
    turn: NDArray[np.float64],
) -> list[BaseGeometry]:
    """Each site's cell as a polygon: the area clipped by the half planes of its rivals."""
    back = np.linalg.inv(turn)
    stretched = _turned(area, turn)
    reach = 4.0 * max(np.ptp(np.array(stretched.bounds).reshape(2, 2), axis=0).max(), 1.0)
    out = []
    for k, site in enumerate(sites):
        cell: BaseGeometry = stretched
        for j, rival in enumerate(sites):
            if j == k or cell.is_empty:
                continue
            normal = rival - site
            size = float(np.linalg.norm(normal))
            if size < 1e-9:
                continue
            normal = normal / size
            # Points with power to the site below that to the rival: n . (p - site) <= offset.
            offset = (size**2 + weights[k] - weights[j]) / (2 * size)
            cell = cell.intersection(_half_plane(site, normal, offset, reach))
        out.append(_turned(cell, back))
    return [p for p in out if p.area > 1e-6]


def _turned(shape: BaseGeometry, turn: NDArray[np.floating]) -> BaseGeometry:
    """A shape turned and drawn out, made valid: a sharp corner may cross itself by a rounding."""
    return polygonal(shapely.make_valid(shapely.transform(shape, lambda xy: xy @ turn.T)))


def _half_plane(
    site: NDArray[np.float64], normal: NDArray[np.float64], offset: float, reach: float
) -> BaseGeometry:
    """Square standing for the points p with normal · (p - site) <= offset."""
    side = np.array([-normal[1], normal[0]])
    foot = site + normal * offset
    far = foot - normal * 2 * reach
    corners = [foot + side * reach, foot - side * reach, far - side * reach, far + side * reach]
    return Polygon(corners)
