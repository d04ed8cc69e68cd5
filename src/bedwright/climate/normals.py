"""Monthly normals anywhere on land, from a grid that ships with the package.

The grid is ERA5's 2000-2025 climatology at 0.25 degrees (Copernicus Climate Change Service),
packed for land cells by ``tools/pack_normals.py`` in tiles, of which only those about a place are
read.  Parts of ``data/normals.bin``: a bit mask of the land among the 721 x 1440 grid points from
90 N, 0 E; then tiles of TILE by TILE points, row by row.  A tile holds, of its n land cells,
12 x n temperatures (0.1 degrees C), 12 x n rain depths (mm a month) and n heights (m), each int16,
less the layer before and then less the cell before, all low bytes before all high bytes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.packed import Packed
from bedwright.facts import Fact, FactError

ATTRIBUTION = files("bedwright.climate").joinpath("data/attribution.txt").read_text().strip()
"""What the licence of the grid's data asks to have printed wherever they are used."""

LAPSE_C_PER_M = 0.006
"""Fall of temperature with height; 5 to 6.5 degrees C a km is usual (from memory)."""

ROWS, COLUMNS, STEP_DEG = 721, 1440, 0.25
TILE, TILES_DOWN, TILES_ACROSS = 32, 23, 45
LAYERS = 25
TEMPERATURE, RAIN, HEIGHT = slice(0, 12), slice(12, 24), 24
"""Of a cell's layers: tenths of °C, mm a month, metres."""


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


@cache
def _file() -> Packed:
    return Packed("data/normals.bin")


@cache
def _land() -> NDArray[np.bool_]:
    """(ROWS, COLUMNS) where the grid has land."""
    mask = np.unpackbits(np.frombuffer(_file().part(0), np.uint8))
    return mask.astype(bool).reshape(ROWS, COLUMNS)


@cache
def _tile(down: int, across: int) -> NDArray[np.int16]:
    """(LAYERS, TILE, TILE) what a tile holds; 0 on the sea and beyond the grid."""
    raw = np.frombuffer(_file().part(1 + down * TILES_ACROSS + across), np.uint8)
    out = np.zeros((LAYERS, TILE, TILE), np.int16)
    if len(raw):
        octets = np.ascontiguousarray(raw.reshape(2, -1).T)
        steps = octets.view("<i2").reshape(LAYERS, -1)
        layers = np.cumsum(np.cumsum(steps, axis=1, dtype=np.int16), axis=0, dtype=np.int16)
        top, left = down * TILE, across * TILE
        land = _land()[top : top + TILE, left : left + TILE]
        out[:, : land.shape[0], : land.shape[1]][:, land] = layers
    return out


def _layers(rows: NDArray[np.int64], columns: NDArray[np.int64]) -> NDArray[np.int16]:
    """(LAYERS, rows, columns) what the grid holds where rows and columns cross."""
    out = np.empty((LAYERS, len(rows), len(columns)), np.int16)
    every = np.arange(LAYERS)
    for down in set((rows // TILE).tolist()):
        inside_down = np.flatnonzero(rows // TILE == down)
        for across in set((columns // TILE).tolist()):
            inside_across = np.flatnonzero(columns // TILE == across)
            tile = _tile(down, across)
            out[np.ix_(every, inside_down, inside_across)] = tile[
                np.ix_(every, rows[inside_down] % TILE, columns[inside_across] % TILE)
            ]
    return out


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
    row, column = (90.0 - latitude) / STEP_DEG, (longitude % 360.0) / STEP_DEG
    top, left = min(int(row), ROWS - 2), int(column)
    down, right = row - top, column - left
    corners = [
        (top, left % COLUMNS, (1 - down) * (1 - right)),
        (top, (left + 1) % COLUMNS, (1 - down) * right),
        (top + 1, left % COLUMNS, down * (1 - right)),
        (top + 1, (left + 1) % COLUMNS, down * right),
    ]
    land = _land()
    kept = [(r, c, weight) for r, c, weight in corners if land[r, c] and weight > 1e-9]
    if not kept:
        return None
    weights = np.array([weight for _, _, weight in kept])
    weights /= weights.sum()
    cells = np.array([_tile(r // TILE, c // TILE)[:, r % TILE, c % TILE] for r, c, _ in kept]).T
    return (
        cells[TEMPERATURE] @ weights / 10.0,
        cells[RAIN] @ weights,
        float(cells[HEIGHT] @ weights),
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
    rows, columns = _box(middle, longitude, 8.0, 8.0, 8.0)
    rows, columns = rows[::4], columns[::4]
    land = _land()[np.ix_(rows, columns)]
    cells = _layers(rows, columns).reshape(LAYERS, -1)[:, np.flatnonzero(land)]
    there = cells[TEMPERATURE] / 10.0 + LAPSE_C_PER_M * cells[HEIGHT]
    here = mean[:, None] + LAPSE_C_PER_M * max(altitude_m, 0.0)
    return np.asarray(np.maximum(here - there, 0.0).sum(axis=1) / land.size)


def _terrain(latitude: float, longitude: float, altitude_m: float) -> Terrain:
    """The sea and the heights about a place, from the grid's cells."""
    stretch = 1.0 / max(np.cos(np.radians(latitude)), 0.1)

    def sea(north_south: float, west: float, east: float) -> float:
        """Share of sea in a box."""
        box = _box(latitude, longitude, north_south, west * stretch, east * stretch)
        return float((~_land()[np.ix_(*box)]).mean())

    around = _box(latitude, longitude, 0.75, 0.75 * stretch, 0.75 * stretch)
    heights = _layers(*around)[HEIGHT][_land()[np.ix_(*around)]]
    return Terrain(
        shore=sea(0.5, 0.5, 0.5),
        near=sea(1.0, 1.0, 1.0),
        wide=sea(2.5, 3.0, 3.0),
        west=sea(1.5, 8.0, 0.0),
        east=sea(1.5, 0.0, 8.0),
        rough_m=float(heights.std()),
        relief_m=float(altitude_m - heights.mean()),
    )


def _box(
    latitude: float, longitude: float, north_south: float, west: float, east: float
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Rows and columns of the box about a place; reaches in degrees."""
    top, bottom = (round((90.0 - latitude + side * north_south) / STEP_DEG) for side in (-1, 1))
    rows = np.clip(np.arange(top, bottom + 1), 0, ROWS - 1)
    left = round(((longitude - west) % 360.0) / STEP_DEG)
    columns = (left + np.arange(min(round((west + east) / STEP_DEG) + 1, COLUMNS))) % COLUMNS
    return rows, columns
