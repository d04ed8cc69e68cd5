"""Hours of direct sun on each cell of the bed, fortnight by fortnight.

The sun is stepped through every day; at each step a convex solid shades the ground inside the hull
of its corners' shadows, and a crown the cells whose ray to the sun meets its ellipsoid (see
``kernel``).  Light through fences, hedges and crowns counts in part.  The sky is taken as clear;
what clouds leave of it is told apart (``Light.sunshine``).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, time

import numpy as np
from numpy.typing import NDArray

from bedwright.geometry import Outline, cells_in
from bedwright.light.obstacles import Crown, Solid
from bedwright.light.sun import sun_position
from bedwright.season import DAYS, FORTNIGHTS, Season, sunshine_share

STEP_MINUTES = 10
STEPS = 24 * 60 // STEP_MINUTES
LOWEST_DEG = 2.0
"""Sun below this gives no warmth worth counting and shadows without end."""

FULL_SUN_H, PART_SUN_H, PART_SHADE_H = 6.0, 4.0, 2.0
"""Least hours of direct sun for full sun, part sun and part shade; less is shade.  Six hours is
common to all definitions read; the lower bounds differ (3 or 4, common practice, no source)."""

MOST_CELLS = 4000


@dataclass(frozen=True)
class Light:
    """Sun on the bed, means over the days of each fortnight of the growing year, clear sky.

    ``cells``: (n, 2) centres, metres, in the bed's frame; ``step_m``: their width; ``hours``:
    (26, n) hours of direct sun a day; ``morning``: (26, n) those of them before solar noon;
    ``beam_mj``: (26, n) energy of the direct beam on the ground, MJ/m² a day; ``open_hours``: (26,)
    hours with nothing around; ``sunshine``: (26,) share of them that clouds are expected to leave.
    """

    cells: NDArray[np.float64] = field(repr=False)
    step_m: float
    hours: NDArray[np.float64] = field(repr=False)
    morning: NDArray[np.float64] = field(repr=False)
    beam_mj: NDArray[np.float64] = field(repr=False)
    open_hours: NDArray[np.float64] = field(repr=False)
    sunshine: NDArray[np.float64] = field(repr=False)

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
    from bedwright.light.kernel import Shading, sunlight  # numba takes a second to import

    step = max(0.1, float(np.sqrt(outline.area_m2 / MOST_CELLS)))
    cells = cells_in(outline.polygon, step)
    elevation, azimuth = suns_of(season)
    day, at = np.divmod(np.arange(DAYS * STEPS), STEPS)
    up = elevation > LOWEST_DEG
    elevation, azimuth, day, at = elevation[up], azimuth[up], day[up], at[up]
    fortnight = np.minimum(day // 14, FORTNIGHTS - 1)
    lengths = np.bincount(np.minimum(np.arange(DAYS) // 14, FORTNIGHTS - 1))
    turn = np.radians(azimuth - outline.bearing_deg)
    suns = np.column_stack([np.cos(turn), -np.sin(turn), np.tan(np.radians(elevation))])
    hours = STEP_MINUTES / 60.0 / lengths[fortnight]
    beam = beam_w_m2(elevation) * np.sin(np.radians(elevation)) * 3600e-6
    weights = np.column_stack([hours, hours * (at < STEPS / 2), hours * beam])
    convex = [solid for solid in solids if isinstance(solid, Solid)]
    crowns = [solid for solid in solids if isinstance(solid, Crown)]
    in_leaf = (leaf[0] <= day) & (day < leaf[1])
    corners = np.concatenate([np.empty((0, 3)), *(solid.corners for solid in convex)])
    starts = np.cumsum([0, *(len(solid.corners) for solid in convex)])
    share = np.array([solid.openness for solid in convex], float)
    shapes = np.array([(*c.centre, c.radius, c.half_height) for c in crowns]).reshape(-1, 5)
    through = np.empty((len(day), len(crowns)))
    for k, crown in enumerate(crowns):
        through[:, k] = np.where(in_leaf, crown.in_leaf, crown.bare)
    found = np.zeros((FORTNIGHTS, weights.shape[1], len(cells)))
    for f in range(FORTNIGHTS):
        here = fortnight == f
        if here.any():
            found[f] = sunlight(
                cells,
                suns[here],
                weights[here],
                Shading(corners, starts, share, shapes, through[here], np.zeros(2)),
            )
    return Light(
        cells,
        step,
        found[:, 0],
        found[:, 1],
        found[:, 2],
        np.bincount(fortnight, hours, FORTNIGHTS).astype(float),
        sunshine_share(season),
    )


def suns_of(season: Season) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Elevation and azimuth, degrees, each (365 x STEPS,): the middle of every step of every day of
    the growing year, by local mean solar time."""
    site = season.site
    midnight = np.array(
        [datetime.combine(season.day(n), time(0), UTC).timestamp() for n in range(DAYS)]
    )
    minutes = (np.arange(STEPS, dtype=np.float64) + 0.5) * STEP_MINUTES
    instants = (midnight - site.longitude * 240.0)[:, None] + minutes * 60.0
    return sun_position(instants.ravel(), site.latitude, site.longitude)


def beam_w_m2(elevation_deg: NDArray[np.float64]) -> NDArray[np.float64]:
    """Direct beam under a clear sky, W/m² square to it: 1,353 x 0.7^(air mass^0.678).

    A. B. Meinel and M. P. Meinel, Applied Solar Energy, 1976 (from memory); air mass by F. Kasten
    and A. T. Young, Applied Optics 28, 1989.  Zero at and below the horizon.
    """
    height = np.maximum(np.asarray(elevation_deg, float), 0.0)
    air = 1.0 / (np.sin(np.radians(height)) + 0.50572 * (height + 6.07995) ** -1.6364)
    return np.where(np.asarray(elevation_deg) > 0, 1353.0 * 0.7 ** (air**0.678), 0.0)
