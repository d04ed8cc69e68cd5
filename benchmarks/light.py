"""How long the hours of sun take, beside pvlib and shapely doing the same, and how they grow.

Usage: ``python benchmarks/light.py`` (in the development environment)
"""

from __future__ import annotations

import time

import numpy as np
import pandas as pd
import pvlib
import shapely
from numpy.typing import NDArray

from bedwright.light import sun_position
from bedwright.light.hours import LOWEST_DEG
from bedwright.light.kernel import Shading, sunlight
from timing import best

Floats = NDArray[np.float64]
LATITUDE, LONGITUDE, STEP_MINUTES = 48.8, 2.3, 10


def cells_of(area_m2: float) -> Floats:
    """Centres of cells of 10 cm of a rectangle."""
    across, up = int(np.sqrt(area_m2 * 1.6) / 0.1), int(np.sqrt(area_m2 / 1.6) / 0.1)
    grid = np.array(np.meshgrid(np.arange(across), np.arange(up))).reshape(2, -1).T
    return grid * 0.1


def boxes(count: int) -> list[Floats]:
    """Corners of boxes round about the bed, 3 to 9 m high."""
    found = []
    for n in range(count):
        angle = 2 * np.pi * n / count
        x, y = 3 + 9 * np.cos(angle), 2 + 9 * np.sin(angle)
        ring = np.array([[x, y], [x + 4, y], [x + 4, y + 3], [x, y + 3]])
        high = 3.0 + 6.0 * n / count
        found.append(np.vstack([np.c_[ring, np.zeros(4)], np.c_[ring, np.full(4, high)]]))
    return found


def instants(days: int) -> Floats:
    """Unix seconds of every step from 1 April on."""
    first = pd.Timestamp("2027-04-01", tz="UTC").timestamp()
    return first + np.arange(days * 24 * 60 // STEP_MINUTES) * STEP_MINUTES * 60.0


def suns_of(days: int) -> Floats:
    """Suns above the horizon over so many days."""
    elevation, azimuth = sun_position(instants(days), LATITUDE, LONGITUDE)
    up = elevation > LOWEST_DEG
    turn, high = np.radians(azimuth[up]), np.radians(elevation[up])
    return np.column_stack([np.sin(turn), np.cos(turn), np.tan(high)])


def ours(cells: Floats, solids: list[Floats], days: int) -> Floats:
    """Hours of sun of each cell over the days, suns reckoned too."""
    suns = suns_of(days)
    starts = np.cumsum([0, *(len(s) for s in solids)])
    return sunlight(
        cells,
        suns,
        np.full((len(suns), 1), STEP_MINUTES / 60),
        Shading(
            np.concatenate(solids),
            starts,
            np.zeros(len(solids)),
            np.empty((0, 5)),
            np.empty((len(suns), 0)),
            np.zeros(2),
        ),
    )[0]


def plain(cells: Floats, solids: list[Floats], days: int) -> Floats:
    """The same by pvlib's suns and shapely's shadows, one sun and one solid at a time."""
    times = pd.to_datetime(instants(days), unit="s", utc=True)
    found = pvlib.solarposition.get_solarposition(times, LATITUDE, LONGITUDE)
    hours = np.zeros(len(cells))
    for high, azimuth in zip(found.apparent_elevation, found.azimuth, strict=True):
        if high <= LOWEST_DEG:
            continue
        turn = np.radians(azimuth)
        toward = np.array([np.sin(turn), np.cos(turn)])
        lit = np.ones(len(cells), bool)
        for corners in solids:
            shadow = corners[:, :2] - corners[:, 2:] / np.tan(np.radians(high)) * toward
            hull = shapely.convex_hull(shapely.multipoints(shadow))
            shapely.prepare(hull)
            lit &= ~shapely.contains_xy(hull, cells[:, 0], cells[:, 1])
        hours += lit * STEP_MINUTES / 60
    return hours


def main() -> None:
    """Print the figures."""
    cells, solids, days = cells_of(20.0), boxes(10), 180
    spent = best(lambda: ours(cells, solids, days), 3)
    suns = len(suns_of(days))
    few = 6
    begun = time.perf_counter()
    slow = plain(cells, solids, few)
    each = (time.perf_counter() - begun) / few
    fast = ours(cells, solids, few)
    off = float(np.abs(slow - fast).max())
    # Suns differ by up to 0.01 degree, so a cell on a shadow's edge may differ by a step a day.
    assert off <= few * STEP_MINUTES / 60, "pvlib and shapely give other hours"
    rays = len(cells) * suns * len(solids)
    print(f"20 m², {len(cells)} cells x {suns} suns x {len(solids)} solids: {spent:.2f} s,"
          f" {rays / spent / 2 / 1e6:,.0f} million tests a second and core;"
          f" pvlib and shapely {each * days:.0f} s (from {few} days),"
          f" {each * days / spent:,.0f} times ours; hours over {few} days agree to"
          f" {off:.2f} at most, {np.abs(slow - fast).mean():.3f} on average")  # fmt: skip
    print("  cells   days  solids      s")
    for area, count, span in ((5, 10, 180), (20, 10, 180), (80, 10, 180), (20, 2, 180),
                              (20, 40, 180), (20, 10, 45), (20, 10, 365)):  # fmt: skip
        some, stand = cells_of(float(area)), boxes(count)
        took = best(lambda some=some, stand=stand, span=span: ours(some, stand, span), 2)
        print(f"  {len(some):5} {span:6} {count:7} {took:6.2f}")


if __name__ == "__main__":
    main()
