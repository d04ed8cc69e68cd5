"""Hours of direct sun on each cell of the bed, fortnight by fortnight.

For the middle day of each fortnight the sun is stepped through the day; at each step a convex solid
shades the ground inside the hull of its corners' shadows, and a crown the cells whose ray to the
sun meets its ellipsoid.  Light through fences, hedges and crowns counts in part.  The sky is taken
as clear.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time

import numpy as np
import shapely
from numpy.typing import NDArray

from bedwright.geometry import Outline, cells_in
from bedwright.light.obstacles import Crown, Solid
from bedwright.light.sun import sun_position
from bedwright.season import FORTNIGHTS, Season

STEP_MINUTES = 10
LOWEST_DEG = 2.0
"""Sun below this gives no warmth worth counting and shadows without end."""

FULL_SUN_H, PART_SUN_H, PART_SHADE_H = 6.0, 4.0, 2.0
"""Least hours of direct sun for full sun, part sun and part shade; less is shade.  Six hours is
common to all definitions read; the lower bounds differ (3 or 4, common practice, no source)."""

MOST_CELLS = 900


@dataclass(frozen=True)
class Light:
    """Sun on the bed.

    ``cells``: (n, 2) centres, metres, in the bed's frame; ``step_m``: their width; ``hours``:
    (26, n) hours of direct sun a day in each fortnight of the growing year, clear sky;
    ``open_hours``: (26,) the same with nothing around.
    """

    cells: NDArray[np.float64]
    step_m: float
    hours: NDArray[np.float64]
    open_hours: NDArray[np.float64]

    def over(self, fortnights: slice) -> NDArray[np.float64]:
        """(n,) mean hours a day over some fortnights."""
        return np.asarray(self.hours[fortnights].mean(axis=0))


def exposure(hours: float) -> str:
    """Name of an exposure by hours of direct sun a day."""
    if hours >= FULL_SUN_H:
        return "full sun"
    if hours >= PART_SUN_H:
        return "part sun"
    return "part shade" if hours >= PART_SHADE_H else "shade"


def sun_hours(
    outline: Outline, solids: list[Solid | Crown], season: Season, leaf: tuple[int, int]
) -> Light:
    """Hours of direct sun; ``leaf``: indices between which deciduous trees are in leaf."""
    step = max(0.1, float(np.sqrt(outline.area_m2 / MOST_CELLS)))
    cells = cells_in(outline.polygon, step)
    hours = np.zeros((FORTNIGHTS, len(cells)))
    open_hours = np.zeros(FORTNIGHTS)
    for f in range(FORTNIGHTS):
        middle = f * 14 + 7
        elevation, azimuth = _suns(season, middle)
        up = elevation > LOWEST_DEG
        open_hours[f] = up.sum() * STEP_MINUTES / 60.0
        through = np.ones((int(up.sum()), len(cells)))
        for solid in solids:
            through *= _let_through(
                solid, outline, cells, elevation[up], azimuth[up], leaf[0] <= middle < leaf[1]
            )
        hours[f] = through.sum(axis=0) * STEP_MINUTES / 60.0
    return Light(cells, step, hours, open_hours)


def _suns(season: Season, index: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Elevation and azimuth through the local solar day, middle of each step."""
    site = season.site
    midnight = datetime.combine(season.day(index), time(0), UTC).timestamp()
    local = midnight - site.longitude * 240.0
    minutes = (np.arange(24 * 60 // STEP_MINUTES, dtype=np.float64) + 0.5) * STEP_MINUTES
    return sun_position(local + minutes * 60.0, site.latitude, site.longitude)


def _let_through(
    solid: Solid | Crown,
    outline: Outline,
    cells: NDArray[np.float64],
    elevation: NDArray[np.float64],
    azimuth: NDArray[np.float64],
    in_leaf: bool,
) -> NDArray[np.float64]:
    """(suns, cells) share of the beam that reaches each cell."""
    turn = np.radians(azimuth - outline.bearing_deg)
    toward = np.column_stack([np.cos(turn), -np.sin(turn)])
    slope = np.tan(np.radians(elevation))
    if isinstance(solid, Crown):
        share = solid.in_leaf if in_leaf else solid.bare
        return np.where(_crown_hit(solid, cells, toward, slope), share, 1.0)
    shift = solid.corners[None, :, 2:] / slope[:, None, None] * toward[:, None, :]
    shadows = shapely.convex_hull(shapely.multipoints(list(solid.corners[None, :, :2] - shift)))
    shaded = np.zeros((len(elevation), len(cells)), bool)
    near = shapely.intersects(shadows, outline.polygon)
    if near.any():
        hulls = shadows[near]
        shapely.prepare(hulls)
        shaded[near] = shapely.contains_xy(hulls[:, None], cells[None, :, 0], cells[None, :, 1])
    return np.where(shaded, solid.openness, 1.0)


def _crown_hit(
    crown: Crown,
    cells: NDArray[np.float64],
    toward: NDArray[np.float64],
    slope: NDArray[np.float64],
) -> NDArray[np.bool_]:
    """(suns, cells) whether the ray from a cell to the sun meets the crown's ellipsoid.

    The ray p + s·(toward, slope), s > 0, is scaled so that the crown is a unit sphere; it hits
    where the quadratic in s has a root and the crown is not behind.
    """
    x, y, z = crown.centre
    px = (cells[None, :, 0] - x) / crown.radius
    py = (cells[None, :, 1] - y) / crown.radius
    pz = -z / crown.half_height
    dx = (toward[:, 0] / crown.radius)[:, None]
    dy = (toward[:, 1] / crown.radius)[:, None]
    dz = (slope / crown.half_height)[:, None]
    a = dx**2 + dy**2 + dz**2
    b = px * dx + py * dy + pz * dz
    c = px**2 + py**2 + pz**2 - 1.0
    return np.asarray((b < 0) & (b**2 - a * c >= 0))
