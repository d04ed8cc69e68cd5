"""How long the hours of sun take, beside pvlib with shapely or trimesh doing the same, and how they
grow.

Usage: ``python benchmarks/light.py`` (in the development environment)
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator

import numpy as np
import pandas as pd
import pvlib
import shapely
import trimesh
from numpy.typing import NDArray

from bedwright.light import sun_position
from bedwright.light.hours import SUNSHINE_W_M2, beam_w_m2
from bedwright.light.kernel import Shading, sunlight
from timing import SHORT, Row, best, show

Floats = NDArray[np.float64]
LATITUDE, LONGITUDE, STEP_MINUTES = 48.8, 2.3, 10
CORES = os.cpu_count() or 1


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
    """Suns that shine over so many days, as the kernel wants them."""
    elevation, azimuth = sun_position(instants(days), LATITUDE, LONGITUDE)
    up = beam_w_m2(elevation) >= SUNSHINE_W_M2
    turn, high = np.radians(azimuth[up]), np.radians(elevation[up])
    return np.column_stack([np.sin(turn), np.cos(turn), np.tan(high)])


def trees(count: int) -> Floats:
    """Round crowns about the bed: x, y, height of the middle, radius, half height."""
    angle = 2 * np.pi * (np.arange(count) + 0.5) / max(count, 1)
    middle = np.column_stack([2.8 + 8 * np.cos(angle), 1.8 + 8 * np.sin(angle)])
    return np.column_stack([middle, np.full((count, 3), (5.0, 2.5, 3.0))])


def ours(
    cells: Floats,
    solids: list[Floats],
    days: int,
    crowns: Floats | None = None,
    tapers: Floats | None = None,
) -> Floats:
    """Hours of sun of each cell over the days, suns reckoned too; all bodies opaque."""
    suns = suns_of(days)
    crowns = np.empty((0, 5)) if crowns is None else crowns
    tapers = np.empty((0, 6)) if tapers is None else tapers
    shading = Shading(
        np.concatenate([np.empty((0, 3)), *solids]),
        np.cumsum([0, *(len(s) for s in solids)]),
        np.arange(len(solids) + 1),
        np.zeros(len(solids)),
        crowns,
        np.zeros((len(suns), len(crowns))),
        tapers,
        np.zeros((len(suns), len(tapers))),
        np.zeros(2),
    )
    return sunlight(cells, suns, np.full((len(suns), 1), STEP_MINUTES / 60), shading)[0]


def plain(cells: Floats, solids: list[Floats], days: int) -> Floats:
    """The same by pvlib's suns and shapely's shadows, one sun and one solid at a time."""
    times = pd.to_datetime(instants(days), unit="s", utc=True)
    found = pvlib.solarposition.get_solarposition(times, LATITUDE, LONGITUDE)
    hours = np.zeros(len(cells))
    for high, azimuth in zip(found.apparent_elevation, found.azimuth, strict=True):
        if beam_w_m2(np.array([high]))[0] < SUNSHINE_W_M2:
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


def meshed(cells: Floats, solids: list[Floats], days: int) -> Floats:
    """The same by pvlib's suns and trimesh's rays at all bodies together, one sun at a time."""
    times = pd.to_datetime(instants(days), unit="s", utc=True)
    found = pvlib.solarposition.get_solarposition(times, LATITUDE, LONGITUDE)
    mesh = trimesh.util.concatenate([trimesh.convex.convex_hull(solid) for solid in solids])
    ground, hours = np.column_stack([cells, np.zeros(len(cells))]), np.zeros(len(cells))
    for high, azimuth in zip(found.apparent_elevation, found.azimuth, strict=True):
        if beam_w_m2(np.array([high]))[0] < SUNSHINE_W_M2:
            continue
        turn = np.radians(azimuth)
        toward = np.array([np.sin(turn), np.cos(turn), np.tan(np.radians(high))])
        hit = mesh.ray.intersects_any(ground, np.tile(toward, (len(cells), 1)))
        hours += ~hit * STEP_MINUTES / 60
    return hours


def timed(work: Callable[[], Floats]) -> tuple[float, Floats]:
    """Seconds of one run, and what it gave."""
    begun = time.perf_counter()
    found = work()
    return time.perf_counter() - begun, found


SIZES = (
    (5, 10, 0, 0, 180), (20, 10, 0, 0, 180), (80, 10, 0, 0, 180), (20, 0, 0, 0, 180),
    (20, 2, 0, 0, 180), (20, 40, 0, 0, 180), (20, 10, 0, 0, 45), (20, 10, 0, 0, 365),
    (20, 0, 10, 0, 180), (20, 0, 0, 10, 180), (20, 10, 10, 10, 365),
)[: 1 if SHORT else None]  # fmt: skip
"""Square metres, boxes, crowns, cones and days of each line of the table."""


def cypresses(count: int) -> Floats:
    """Cones about the bed: axis, heights of base and top, radii there."""
    angle = 2 * np.pi * np.arange(count) / max(count, 1)
    axis = np.column_stack([2.8 + 6 * np.cos(angle), 1.8 + 6 * np.sin(angle)])
    return np.column_stack([axis, np.full((count, 4), (0.5, 8.0, 1.5, 0.0))])


def rows() -> Iterator[Row]:
    cells, solids, days = cells_of(0.5 if SHORT else 20.0), boxes(10), 30 if SHORT else 180
    ours(cells[:9], solids, 1, trees(1), cypresses(1))  # compiled before the clock starts
    spent = best(lambda: ours(cells, solids, days), 3)
    suns = len(suns_of(days))
    size = f"{len(cells)} cells, {suns} suns, {len(solids)} boxes"
    rays = len(cells) * suns / spent / CORES / 1e6
    yield Row("rays of the sun, a second and core", size, rays, "million")
    for name, way, few in (("shapely", plain, 1 if SHORT else 6), ("trimesh", meshed, 1)):
        took, slow = timed(lambda way=way, few=few: way(cells, solids, few))
        fast = ours(cells, solids, few)
        off = float(np.abs(slow - fast).max())
        # Suns differ by up to 0.01 degree, so a cell on a shadow's edge may differ by a step a day.
        assert off < few * STEP_MINUTES / 60 + 1e-9, f"pvlib and {name} give other hours"
        yield Row("hours of sun", f"{size}, theirs from {few} days", spent, "s",
                  took / few * days, f"pvlib and {name}")  # fmt: skip
        mean = float(np.abs(slow - fast).mean())
        yield Row(f"hours that {name} gives otherwise, mean", f"{few} days", mean, "h")
    for area, count, crowns, cones, span in SIZES:
        bodies = cells_of(float(area)), boxes(count), span, trees(crowns), cypresses(cones)
        took = best(lambda bodies=bodies: ours(*bodies), 2)
        size = f"{area} m², {count} boxes, {crowns} crowns, {cones} cones, {span} days"
        yield Row("hours of sun, by size", size, took, "s")
    far = np.array([0.0, 300.0, 0.0])
    behind = boxes(10) + [box + far for box in boxes(40)]
    took = best(lambda: ours(cells, behind, days), 2)
    yield Row("hours of sun, boxes that never shade", "10 boxes about, 40 far off", took, "s")


if __name__ == "__main__":
    show(rows())
