"""Tables and daily records that the tools read, plain or compressed."""

from __future__ import annotations

import csv
import gzip
from collections.abc import Iterator
from pathlib import Path

from bedwright.climate import Record, Site, Weather, normals_at
from bedwright.inputs.records import parse_record


def read_text(path: Path) -> str:
    """The text of a file in UTF-8, unpacked where its name ends in .gz."""
    raw = path.read_bytes()
    return (gzip.decompress(raw) if path.suffix == ".gz" else raw).decode()


def read_table(path: Path) -> list[dict[str, str]]:
    """Rows of a CSV by its heads; lines that begin with # are comments."""
    lines = (line for line in read_text(path).splitlines() if not line.startswith("#"))
    return list(csv.DictReader(lines))


def series_of(folder: Path, station: str) -> Path:
    """The file of a station's days, ``STATION.csv`` or ``STATION.csv.gz``.  Raises
    FileNotFoundError."""
    for path in (folder / f"{station}.csv", folder / f"{station}.csv.gz"):
        if path.exists():
            return path
    raise FileNotFoundError(f"{folder}: no {station}.csv or {station}.csv.gz")


def weather_of(latitude: float, longitude: float, height_m: float | None = None) -> Weather:
    """A place and its normals, at a height where one is given, else at the grid's."""
    normals = normals_at(latitude, longitude, height_m)
    return Weather(Site("", latitude, longitude, normals.altitude_m), normals)


def records(folder: Path) -> Iterator[tuple[str, Record, Weather]]:
    """Name, record and weather of each station in ``stations.csv`` (station, lat, lon and, where it
    is known, elev_m); a file of its days (date, tmin_c, tmax_c) each."""
    for row in read_table(folder / "stations.csv"):
        path = series_of(folder, row["station"])
        height = row.get("elev_m")
        place = weather_of(float(row["lat"]), float(row["lon"]), float(height) if height else None)
        yield row["station"], parse_record(read_text(path), path.name), place
