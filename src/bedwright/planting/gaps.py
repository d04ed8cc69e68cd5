"""Filling the real gaps of a border: annuals among perennials that have yet to grow.

What looks free in spring is not: the perennials will close over much of it.  An annual is given
only ground that stays free when every perennial has its grown spread, each at the middle of the
largest circle left, the largest first; so few plants take up the room, and none is smothered.
Placing each next point farthest from those before comes within twice the best reach (T. F.
Gonzalez, Theoretical Computer Science 38, 1985).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Existing
from bedwright.geometry import polygonal
from bedwright.planting import lattice
from bedwright.planting.stagger import EDGE_SHARE

Floats = NDArray[np.float64]

Choose = Callable[[tuple[float, float], NDArray[np.intp]], int]

TOUCH = 0.8
"""Share of its own half spread that an annual keeps from a grown neighbour, an edge or an annual
set before it: they may just mingle (estimate)."""

LEAST_GAP_M = 0.3
"""Width of the narrowest gap worth a plant: what is narrower closes by itself (estimate)."""

FULL_WEEKS = 10
"""Weeks after the annuals go out in which perennials reach their grown spread (common practice, no
source)."""

PRECISION_M = 0.005


@dataclass(frozen=True)
class Gaps:
    """Places (n, 2) and the size of each, an index into the spreads given; metres from each to the
    nearest grown plant or edge; how many plants today's gaps would take at the middle size, and how
    many of those would be smothered; free ground (m²) each week until the perennials are grown."""

    places: Floats
    sizes: NDArray[np.intp]
    clearance_m: Floats
    naive: int
    smothered: int
    free_m2: Floats


def fill_gaps(
    bed: BaseGeometry, existing: tuple[Existing, ...], spreads_m: Floats, choose: Choose
) -> Gaps:
    """Few annuals that take up the room the grown perennials leave.

    ``spreads_m``: grown spreads to choose from, metres; ``choose``: of those that fit at a spot,
    the one to grow there.
    """
    grown = shapely.union_all([_disc(plant, 1.0) for plant in existing])
    room = bed.difference(grown)
    taken: list[tuple[float, float]] = []
    sizes: list[int] = []
    clear: list[float] = []
    left = room
    while left.area > 0.0:
        spot, reach = _widest(left)
        fits = np.flatnonzero(reach >= TOUCH * spreads_m / 2 - PRECISION_M)
        if len(fits) == 0 or 2 * reach < LEAST_GAP_M:
            break
        size = choose(spot, fits)
        taken.append(spot)
        sizes.append(size)
        clear.append(float(room.boundary.distance(shapely.Point(*spot))))
        left = left.difference(shapely.Point(*spot).buffer(spreads_m[size] / 2, quad_segs=24))
    naive, smothered = _by_todays_gaps(bed, existing, float(np.median(spreads_m)))
    weeks = np.arange(FULL_WEEKS + 1) / FULL_WEEKS
    free = [
        bed.difference(shapely.union_all([_disc(plant, share) for plant in existing])).area
        for share in weeks
    ]
    return Gaps(
        np.array(taken).reshape(-1, 2),
        np.array(sizes, np.intp),
        np.array(clear),
        naive,
        smothered,
        np.array(free),
    )


def _disc(plant: Existing, share: float) -> BaseGeometry:
    """A perennial's ground when it has grown that share of the way from today's spread."""
    now = plant.spread if plant.spread_now is None else plant.spread_now
    return shapely.Point(*plant.at).buffer((now + share * (plant.spread - now)) / 2, quad_segs=24)


def _widest(room: BaseGeometry) -> tuple[tuple[float, float], float]:
    """Middle and radius of the largest circle in some ground."""
    parts = [p for p in shapely.get_parts(room) if p.geom_type == "Polygon" and p.area > 1e-6]
    circles = [shapely.maximum_inscribed_circle(part, PRECISION_M) for part in parts]
    if not circles:
        return (0.0, 0.0), 0.0
    best = max(circles, key=lambda circle: float(circle.length))
    x, y = best.coords[0]
    return (float(x), float(y)), float(best.length)


def _by_todays_gaps(
    bed: BaseGeometry, existing: tuple[Existing, ...], spread_m: float
) -> tuple[int, int]:
    """Plants that an eye on today's gaps would set, and those of them that will be smothered."""
    today = bed.difference(shapely.union_all([_disc(plant, 0.0) for plant in existing]))
    ground = polygonal(today.intersection(bed.buffer(-EDGE_SHARE * spread_m)))
    at = lattice.fill(ground, spread_m, 0.0, np.empty((0, 3)))
    grown = shapely.union_all([_disc(plant, 1.0) for plant in existing])
    lost = shapely.contains_xy(grown, at[:, 0], at[:, 1]) if len(at) else np.zeros(0, bool)
    return len(at), int(lost.sum())
