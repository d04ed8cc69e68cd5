"""Monthly normals anywhere on land, from a grid that ships with the package.

The grid is ERA5's 2000-2025 climatology at 0.25 degrees (Copernicus Climate Change Service),
packed for land cells by ``tools/pack_normals.py``.  Layout of ``data/normals.bin.gz``, once
decompressed: ``BWN1``; cell count n (int32); a bit mask of 721 x 1440 grid points from 90 N, 0 E;
then 12 x n temperatures (0.1 degrees C), 12 x n rain depths (mm a month) and n heights (m), each
int16, differenced along the cells, all low bytes before all high bytes.
"""

from __future__ import annotations

import gzip
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.facts import Fact, FactError

ATTRIBUTION = files("bedwright.climate").joinpath("data/attribution.txt").read_text().strip()
"""What the licence of the grid's data asks to have printed wherever they are used."""

LAPSE_C_PER_M = 0.006
"""Fall of temperature with height; 5 to 6.5 degrees C a km is usual (from memory)."""

ROWS, COLUMNS, STEP_DEG = 721, 1440, 0.25


@dataclass(frozen=True)
class NoLand(Fact):
    """The climate grid has no land at a place: degrees north and east."""

    latitude: float
    longitude: float


class NoClimateError(FactError, LookupError):
    """The grid has no land at the place asked for."""


@dataclass(frozen=True, slots=True)
class Terrain:
    """The sea about a place, and its height among its surroundings.

    ``shore``, ``near`` and ``wide``: share of sea within some 55, 110 and 300 km; ``west`` and
    ``east``: share of sea in the 900 km on that side; ``rough_m``: standard deviation of the
    heights of the land within some 80 km; ``relief_m``: height of the place above their mean.
    """

    shore: float
    near: float
    wide: float
    west: float
    east: float
    rough_m: float
    relief_m: float


@dataclass(frozen=True, slots=True)
class Normals:
    """Monthly normals of one place.

    ``mean_c`` and ``rain_mm``: tuples of 12, January first (degrees C; mm a month).
    ``altitude_m``: the height the temperatures stand for.
    """

    mean_c: tuple[float, ...]
    rain_mm: tuple[float, ...]
    altitude_m: float
    contrast_c: tuple[float, ...]
    """How much warmer it is 4 degrees nearer the equator than 4 degrees nearer the pole, at one
    height, month by month: what drives the changes of weather from day to day."""

    cold_land_c: tuple[float, ...]
    """How much colder, at one height, the land 8 to 24 degrees towards the pole is, month by month,
    with sea counted as no colder: what cold waves are fed from."""

    terrain: Terrain

    @property
    def swing_c(self) -> float:
        """Warmest month less coldest month, degrees C."""
        return max(self.mean_c) - min(self.mean_c)


class Grid(NamedTuple):
    """The world's land cells.

    ``cell``: (rows, columns) number of the cell at each grid point, -1 on the sea;
    ``temperature_tenths``: (12, cells) 0.1 °C; ``rain_mm``: (12, cells); ``height_m``: (cells,).
    """

    cell: NDArray[np.int32]
    temperature_tenths: NDArray[np.int16]
    rain_mm: NDArray[np.int16]
    height_m: NDArray[np.int16]


@cache
def _grid() -> Grid:
    raw = gzip.decompress(files("bedwright.climate").joinpath("data/normals.bin.gz").read_bytes())
    count = int(np.frombuffer(raw, "<i4", 1, 4)[0])
    start = 8 + ROWS * COLUMNS // 8
    land = np.unpackbits(np.frombuffer(raw, np.uint8, ROWS * COLUMNS // 8, 8)).astype(bool)
    index = np.where(land, np.cumsum(land) - 1, -1).astype(np.int32).reshape(ROWS, COLUMNS)

    def undo(offset: int, layers: int) -> NDArray[np.int16]:
        size = layers * count
        octets = np.frombuffer(raw, np.uint8, 2 * size, offset).reshape(2, size).T
        steps = np.ascontiguousarray(octets).view("<i2").reshape(layers, count)
        return np.cumsum(steps, axis=1, dtype=np.int16)

    return Grid(
        index,
        undo(start, 12),
        undo(start + 24 * count, 12),
        undo(start + 48 * count, 1)[0],
    )


def normals_at(latitude: float, longitude: float, altitude_m: float | None = None) -> Normals:
    """Monthly normals at a place, interpolated between the land cells about it.

    ``latitude`` and ``longitude`` in degrees, north and east positive.  With ``altitude_m`` the
    temperatures are moved from the grid's height to that height at LAPSE_C_PER_M.  Raises
    NoClimateError over open sea and south of 60 S.
    """
    found = _interpolated(latitude, longitude)
    if found is None:
        raise NoClimateError(NoLand(latitude, longitude))
    mean, rain, grid_height = found
    height = grid_height if altitude_m is None else altitude_m
    mean = mean - LAPSE_C_PER_M * (height - grid_height)
    return Normals(
        mean_c=tuple(float(v) for v in mean),
        rain_mm=tuple(float(v) for v in rain),
        altitude_m=height,
        contrast_c=tuple(float(v) for v in _contrast(latitude, longitude)),
        cold_land_c=tuple(float(v) for v in _cold_land(latitude, longitude, mean, height)),
        terrain=_terrain(latitude, longitude, height),
    )


def _interpolated(
    latitude: float, longitude: float
) -> tuple[NDArray[np.float64], NDArray[np.float64], float] | None:
    """Monthly temperature, rain and height between the land cells about a place, or None."""
    grid = _grid()
    index = grid.cell
    row, column = (90.0 - latitude) / STEP_DEG, (longitude % 360.0) / STEP_DEG
    top, left = min(int(row), ROWS - 2), int(column)
    down, right = row - top, column - left
    corners = [
        (index[top, left % COLUMNS], (1 - down) * (1 - right)),
        (index[top, (left + 1) % COLUMNS], (1 - down) * right),
        (index[top + 1, left % COLUMNS], down * (1 - right)),
        (index[top + 1, (left + 1) % COLUMNS], down * right),
    ]
    kept = [(int(cell), weight) for cell, weight in corners if cell >= 0 and weight > 1e-9]
    if not kept:
        return None
    cells = [cell for cell, _ in kept]
    weights = np.array([weight for _, weight in kept])
    weights /= weights.sum()
    return (
        grid.temperature_tenths[:, cells] @ weights / 10.0,
        grid.rain_mm[:, cells] @ weights,
        float(grid.height_m[cells] @ weights),
    )


def _contrast(latitude: float, longitude: float) -> NDArray[np.float64]:
    """(12,) degrees C over 8 degrees of latitude, from the farthest land within 4 on each side."""
    pole = 1.0 if latitude >= 0 else -1.0
    ends = []
    for side in (-pole, pole):
        for reach in (4.0, 3.0, 2.0, 1.0, 0.0):
            at = _interpolated(latitude + side * reach, longitude)
            if at is not None:
                ends.append((reach, at[0] + LAPSE_C_PER_M * at[2]))
                break
    (south, warm), (north, cold) = ends
    return (warm - cold) * 8.0 / max(south + north, 1.0)


def _cold_land(
    latitude: float, longitude: float, mean: NDArray[np.float64], altitude_m: float
) -> NDArray[np.float64]:
    """(12,) degrees C, averaged over a box of 16 by 16 degrees whose middle is as far polewards."""
    middle = float(np.clip(latitude + (16.0 if latitude >= 0 else -16.0), -84.0, 84.0))
    around = _window(middle, longitude, 8.0, 8.0, 8.0)[::4, ::4]
    cells = around[around >= 0]
    grid = _grid()
    there = grid.temperature_tenths[:, cells] / 10.0 + LAPSE_C_PER_M * grid.height_m[cells]
    here = mean[:, None] + LAPSE_C_PER_M * max(altitude_m, 0.0)
    return np.asarray(np.maximum(here - there, 0.0).sum(axis=1) / around.size)


def _terrain(latitude: float, longitude: float, altitude_m: float) -> Terrain:
    """The sea and the heights about a place, from the grid's cells."""
    stretch = 1.0 / max(np.cos(np.radians(latitude)), 0.1)

    def cells(north_south: float, west: float, east: float) -> NDArray[np.int32]:
        return _window(latitude, longitude, north_south, west * stretch, east * stretch)

    around = cells(0.75, 0.75, 0.75)
    heights = _grid().height_m[around[around >= 0]]
    return Terrain(
        shore=_sea(cells(0.5, 0.5, 0.5)),
        near=_sea(cells(1.0, 1.0, 1.0)),
        wide=_sea(cells(2.5, 3.0, 3.0)),
        west=_sea(cells(1.5, 8.0, 0.0)),
        east=_sea(cells(1.5, 0.0, 8.0)),
        rough_m=float(heights.std()),
        relief_m=float(altitude_m - heights.mean()),
    )


def _sea(cells: NDArray[np.int32]) -> float:
    return float((cells < 0).mean())


def _window(
    latitude: float, longitude: float, north_south: float, west: float, east: float
) -> NDArray[np.int32]:
    """Cell numbers (-1: sea) of the box about a place; reaches in degrees."""
    top, bottom = (round((90.0 - latitude + side * north_south) / STEP_DEG) for side in (-1, 1))
    rows = np.clip(np.arange(top, bottom + 1), 0, ROWS - 1)
    left = round(((longitude - west) % 360.0) / STEP_DEG)
    columns = (left + np.arange(min(round((west + east) / STEP_DEG) + 1, COLUMNS))) % COLUMNS
    return _grid().cell[np.ix_(rows, columns)]
