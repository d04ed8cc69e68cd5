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
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Existing
from bedwright.geometry import polygonal
from bedwright.planting.place import lattice
from bedwright.planting.place.stagger import EDGE_SHARE

Floats = NDArray[np.float64]

Choose = Callable[[tuple[float, float], NDArray[np.intp]], int]

TOUCH = 0.8
"""Share of its own half spread that an annual keeps from a grown neighbour, an edge or an annual
set before it: they may just mingle (estimate)."""

LEAST_GAP_M = 0.3
"""Width of the narrowest gap that is planted: what is narrower closes by itself (estimate)."""

FULL_WEEKS = 10
"""Weeks after the annuals go out in which perennials reach their grown spread (common practice, no
source)."""

PRECISION_M, LEAST_PART_M2 = 0.005, 1e-6


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
    left = _circles(room)
    while left:
        widest = max(range(len(left)), key=lambda k: left[k].reach_m)
        _, spot, reach = left[widest]
        fits = np.flatnonzero(reach >= TOUCH * spreads_m / 2 - PRECISION_M)
        if len(fits) == 0 or 2 * reach < LEAST_GAP_M:
            break
        size = choose(spot, fits)
        taken.append(spot)
        sizes.append(size)
        clear.append(float(room.boundary.distance(shapely.Point(*spot))))
        disc = shapely.Point(*spot).buffer(spreads_m[size] / 2, quad_segs=24)
        # A disc may reach beyond its own part into another.
        met = [k for k, other in enumerate(left) if other.part.intersects(disc)]
        cut = [one for k in met for one in _circles(left[k].part.difference(disc))]
        left = [one for k, one in enumerate(left) if k not in met] + cut
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


class Circle(NamedTuple):
    """A part of some ground, and the middle and radius of the largest circle in it."""

    part: BaseGeometry
    middle: tuple[float, float]
    reach_m: float


def _circles(room: BaseGeometry) -> list[Circle]:
    """The parts of some ground with their largest circles."""
    out = []
    for part in shapely.get_parts(room):
        if part.geom_type == "Polygon" and part.area > LEAST_PART_M2:
            circle = shapely.maximum_inscribed_circle(part, PRECISION_M)
            x, y = circle.coords[0]
            out.append(Circle(part, (float(x), float(y)), float(circle.length)))
    return out


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
