"""Hours of direct sun on each cell of the bed, fortnight by fortnight.

The sun is stepped through every day; at each step every body around the bed takes its share of the
light from the cells in its shadow (see ``kernel``), and the skyline hides what is below it.  Light
through fences, hedges and crowns counts in part.  The sky is taken as clear; what clouds leave of
it is told apart (``Light.sunshine``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, time
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Brief
from bedwright.climate import DAYS, FORTNIGHTS, Season, leaf_days, sunshine_share
from bedwright.geometry import Outline, cells_in
from bedwright.light.obstacles import Body, Crown, Foliage, Solid, Taper, bodies_of
from bedwright.light.sun import sun_position

if TYPE_CHECKING:
    from bedwright.light.kernel import Shading

Floats = NDArray[np.float64]

STEP_MINUTES = 10
STEPS = 24 * 60 // STEP_MINUTES
SUNSHINE_W_M2 = 120.0
"""The sun shines while its beam, square to it, is above this: the definition of sunshine duration
in the Guide to Instruments and Methods of Observation, WMO-No. 8, chapter 8 (a copy was read)."""

MOST_CELLS = 4000


@dataclass(frozen=True)
class Light:
    """Sun on the bed, means over the days of each fortnight of the growing year, clear sky.

    ``cells``: (n, 2) centres, metres, in the bed's frame; ``step_m``: their width; ``hours``:
    (26, n) hours of direct sun a day; ``morning``: (26, n) those of them before local mean noon;
    ``beam_mj``: (26, n) energy of the direct beam on the ground as it slopes, MJ/m² a day;
    ``open_hours``: (26,) hours with nothing around and no hills; ``sunshine``: (26,) share of them
    that clouds are expected to leave.
    """

    cells: Floats = field(repr=False)
    step_m: float
    hours: Floats = field(repr=False)
    morning: Floats = field(repr=False)
    beam_mj: Floats = field(repr=False)
    open_hours: Floats = field(repr=False)
    sunshine: Floats = field(repr=False)

    def over(self, fortnights: slice) -> Floats:
        """(n,) mean hours a day over some fortnights."""
        span = fortnights.start, fortnights.stop, fortnights.step
        if span not in self._means:
            self._means[span] = np.asarray(self.hours[fortnights].mean(axis=0))
        return self._means[span]

    @cached_property
    def _means(self) -> dict[tuple[int | None, ...], Floats]:
        """What ``over`` has worked out: many kinds are in bloom over the same fortnights."""
        return {}


def sun_on(brief: Brief, outline: Outline, season: Season, soil_c: NDArray[np.floating]) -> Light:
    """Sun on a brief's bed; ``soil_c``: (n, 365) tells when trees are in leaf.

    Raises GeometryError where something around the bed has no footprint.
    """
    bodies = bodies_of(outline, brief.surroundings)
    return sun_hours(outline, bodies, season, leaf_days(season, soil_c), brief.place.horizon)


def sun_hours(
    outline: Outline,
    bodies: list[Body],
    season: Season,
    leaf: tuple[int, int],
    horizon: tuple[tuple[float, float], ...] = (),
    most_cells: int = MOST_CELLS,
    fortnights: Sequence[int] = range(FORTNIGHTS),
) -> Light:
    """Hours of direct sun on a bed.

    ``leaf``: indices between which deciduous trees are in leaf whose dates are not stated;
    ``horizon``: heights of the skyline, degrees, at bearings (see ``skyline_deg``);
    ``most_cells``: about how many cells the bed is cut into at most; ``fortnights``: those of the
    growing year that are asked for; of the others, hours and beam are left at 0.
    """
    from bedwright.light.kernel import sunlight

    step = max(0.1, float(np.sqrt(outline.area_m2 / most_cells)))
    cells = cells_in(outline.polygon, step)
    elevation, azimuth = suns_of(season)
    shining = beam_w_m2(elevation) >= SUNSHINE_W_M2
    fortnight = np.minimum(np.arange(DAYS * STEPS) // STEPS // 14, FORTNIGHTS - 1)
    days = np.bincount(fortnight) / STEPS
    open_hours = np.bincount(fortnight, shining, FORTNIGHTS) * STEP_MINUTES / 60.0 / days
    up = np.flatnonzero(shining & (elevation > skyline_deg(azimuth, horizon)))
    elevation, azimuth, fortnight = elevation[up], azimuth[up], fortnight[up]
    turn = np.radians(azimuth - outline.bearing_deg)
    suns = np.column_stack([np.cos(turn), -np.sin(turn), np.tan(np.radians(elevation))])
    hours = STEP_MINUTES / 60.0 / days[fortnight]
    beam = beam_w_m2(elevation) * square_on(elevation, suns, outline.rise) * 3600e-6
    weights = np.column_stack([hours, hours * (up % STEPS < STEPS / 2), hours * beam])
    shading = _Shades(bodies, season, leaf, outline.rise)
    # Where nothing stands around the bed, every cell has the sun of the first.
    unlike = cells if bodies else cells[:1]
    found = np.zeros((FORTNIGHTS, weights.shape[1], len(cells)))
    for f in fortnights:
        here = fortnight == f
        if here.any():
            found[f] = sunlight(unlike, suns[here], weights[here], shading.on(up[here] // STEPS))
    return Light(
        cells, step, found[:, 0], found[:, 1], found[:, 2], open_hours, sunshine_share(season)
    )


class _Shades:
    """Bodies as the kernel wants them, and what each lets through on a day."""

    def __init__(
        self,
        bodies: list[Body],
        season: Season,
        leaf: tuple[int, int],
        rise: tuple[float, float],
    ) -> None:
        solids = [body for body in bodies if isinstance(body, Solid)]
        crowns = [body for body in bodies if isinstance(body, Crown)]
        tapers = [body for body in bodies if isinstance(body, Taper)]
        pieces = [piece for s in solids for piece in s.pieces]
        self.corners = np.concatenate([np.empty((0, 3)), *pieces])
        self.starts = np.cumsum([0, *map(len, pieces)])
        self.solids = np.cumsum([0, *(len(s.pieces) for s in solids)])
        self.solid_share = np.array([s.openness for s in solids], float)
        self.crowns = _table(5, [(*c.centre, c.radius, c.half_height) for c in crowns])
        self.tapers = _table(
            6, [(*t.axis, t.base, t.top, t.base_radius, t.top_radius) for t in tapers]
        )
        self.crown_share = _through([c.foliage for c in crowns], season, leaf)
        self.taper_share = _through([t.foliage for t in tapers], season, leaf)
        self.rise = np.array(rise)

    def on(self, days: NDArray[np.int64]) -> Shading:
        """Of suns that stand on these days (indices)."""
        from bedwright.light.kernel import Shading

        return Shading(
            self.corners,
            self.starts,
            self.solids,
            self.solid_share,
            self.crowns,
            self.crown_share[days],
            self.tapers,
            self.taper_share[days],
            self.rise,
        )


def _table(columns: int, rows: list[tuple[float, ...]]) -> Floats:
    return np.array(rows, float).reshape(-1, columns)


def _through(foliage: list[Foliage], season: Season, leaf: tuple[int, int]) -> Floats:
    """(365, crowns) share of light through each crown on each day."""
    shares = np.empty((DAYS, len(foliage)))
    day = np.arange(DAYS)
    for k, crown in enumerate(foliage):
        out, fall = leaf
        if crown.leaf is not None:
            out, fall = (season.index(d.in_year(season.start.year)) % DAYS for d in crown.leaf)
        in_leaf = (day - out) % DAYS < (fall - out if fall >= out else fall - out + DAYS)
        shares[:, k] = np.where(in_leaf, crown.in_leaf, crown.bare)
    return shares


def suns_of(season: Season) -> tuple[Floats, Floats]:
    """Elevation and azimuth, degrees, each (365 x STEPS,): the middle of every step of every day of
    the growing year, by local mean solar time."""
    site = season.site
    midnight = np.array(
        [datetime.combine(season.day(n), time(0), UTC).timestamp() for n in range(DAYS)]
    )
    minutes = (np.arange(STEPS, dtype=np.float64) + 0.5) * STEP_MINUTES
    instants = (midnight - site.longitude * 240.0)[:, None] + minutes * 60.0
    return sun_position(instants.ravel(), site.latitude, site.longitude)


def skyline_deg(azimuth_deg: Floats, horizon: tuple[tuple[float, float], ...]) -> Floats:
    """Height of the skyline at azimuths: straight between the bearings at which it is given, round
    the compass; level where none is."""
    if not horizon:
        return np.zeros_like(azimuth_deg)
    bearing, height = np.array(sorted(horizon)).T
    return np.asarray(np.interp(azimuth_deg, bearing, height, period=360.0))


def square_on(elevation_deg: Floats, suns: Floats, rise: tuple[float, float]) -> Floats:
    """Cosine of the angle between the sun and the square to the bed's plane, 0 behind it.

    The plane's normal is (-rise x, -rise y, 1) made a unit long; ``suns`` as in ``kernel``.
    """
    height = np.radians(elevation_deg)
    level = np.cos(height) * (suns[:, 0] * rise[0] + suns[:, 1] * rise[1])
    steep = np.sqrt(1.0 + rise[0] ** 2 + rise[1] ** 2)
    return np.asarray(np.maximum(np.sin(height) - level, 0.0) / steep)


def beam_w_m2(elevation_deg: Floats) -> Floats:
    """Direct beam under a clear sky, W/m² square to it: 1,353 x 0.7^(air mass^0.678).

    A. B. Meinel and M. P. Meinel, Applied Solar Energy, 1976 (from memory); air mass by F. Kasten
    and A. T. Young, Applied Optics 28, 1989.  Zero at and below the horizon.
    """
    height = np.maximum(np.asarray(elevation_deg, float), 0.0)
    air = 1.0 / (np.sin(np.radians(height)) + 0.50572 * (height + 6.07995) ** -1.6364)
    return np.where(np.asarray(elevation_deg) > 0, 1353.0 * 0.7 ** (air**0.678), 0.0)


def cells_of(patch: BaseGeometry, light: Light) -> NDArray[np.intp]:
    """Indices of the cells of light in a patch, or of the one nearest it."""
    inside = shapely.contains_xy(patch, light.cells[:, 0], light.cells[:, 1])
    if inside.any():
        return np.flatnonzero(inside)
    at = np.array(patch.representative_point().coords[0])
    return np.array([int(np.argmin(((light.cells - at) ** 2).sum(axis=1)))])
