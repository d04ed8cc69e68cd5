"""GHCN-Daily station files: the fixed-width ``.dly`` and the two comma-separated forms.

Format after NOAA's readme of GHCN-Daily (version 3, section III): values of TMAX and TMIN in tenths
of °C, of PRCP in tenths of mm, -9999 for missing.  A value whose quality flag (QFLAG) is not blank
failed a check and is dropped, counted.  A measurement flag (MFLAG) ``P``, missing presumed zero, is
kept as the zero it says; source flags (SFLAG) are not looked at.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import NDArray

ELEMENTS = ("TMIN", "TMAX", "PRCP")
MISSING = -9999
DLY_WIDTH = 269
"""Characters of a .dly line: 21 of heading, then 31 days of 8."""

Floats = NDArray[np.float64]


@dataclass
class Columns:
    """Days with their readings, line by line; how many ``failed`` checks, were given ``again`` or
    were ``skipped``."""

    readings: dict[date, list[float]] = field(default_factory=dict)
    failed: int = 0
    again: int = 0
    skipped: int = 0
    notes: list[str] = field(default_factory=list)

    def add(self, day: date, element: str, value: float, quality: str) -> None:
        """Take in one reading in tenths."""
        if value == MISSING:
            return
        if quality.strip():
            self.failed += 1
            return
        row, k = self.readings.setdefault(day, [float("nan")] * 3), ELEMENTS.index(element)
        if row[k] == row[k]:
            self.again += 1
            return
        row[k] = value / 10.0

    def arrays(self) -> tuple[NDArray[np.datetime64], Floats, Floats, Floats]:
        """Days in order, minima, maxima (°C), rain (mm)."""
        days = sorted(self.readings)
        table = np.array([self.readings[d] for d in days], float).reshape(-1, 3)
        return np.array(days, "datetime64[D]"), table[:, 0], table[:, 1], table[:, 2]


def is_dly(text: str) -> bool:
    """Whether a text begins like a .dly file."""
    line = text.split("\n", 1)[0].rstrip("\r")
    return len(line) >= 29 and line[11:17].isdigit() and line[17:21].isalnum() and "," not in line


def is_by_station(text: str) -> bool:
    """Whether a text is a by-station CSV (id, date, element, value, flags), headed or not."""
    cells = [cell.strip().strip('"') for cell in text.split("\n", 1)[0].split(",")]
    if [cell.lower() for cell in cells[:4]] == ["id", "date", "element", "data_value"]:
        return True
    return len(cells) >= 7 and len(cells[1]) == 8 and cells[1].isdigit() and len(cells[2]) == 4


def is_summaries(heading: list[str]) -> bool:
    """Whether a heading is that of the CSV with one row a day and ``_ATTRIBUTES`` columns."""
    return "station" in heading and "tmin_attributes" in heading


def read_dly(text: str) -> Columns:
    """Readings of a .dly file."""
    out = Columns()
    for line in text.splitlines():
        element = line[17:21]
        if element not in ELEMENTS:
            continue
        try:
            year, month = int(line[11:15]), int(line[15:17])
        except ValueError:
            out.skipped += 1
            continue
        for k in range(31):
            cell = line[21 + 8 * k : 29 + 8 * k]
            value = cell[:5].strip()
            if not value or value == str(MISSING):
                continue
            try:
                out.add(date(year, month, k + 1), element, float(value), cell[6:7])
            except ValueError:
                out.skipped += 1
    return out


def read_by_station(text: str) -> Columns:
    """Readings of a by-station CSV; a heading is no element and passes by."""
    out = Columns()
    for row in csv.reader(io.StringIO(text)):
        try:
            day, element = row[1], row[2]
            if element in ELEMENTS:
                when = date(int(day[:4]), int(day[4:6]), int(day[6:8]))
                out.add(when, element, float(row[3]), row[5])
        except (ValueError, IndexError):
            out.skipped += 1
    return out


def read_summaries(text: str) -> Columns:
    """Readings of the CSV with a heading: TMIN, TMAX, PRCP and their attributes ``M,Q,S``."""
    out = Columns()
    lines = csv.DictReader(io.StringIO(text))
    for row in lines:
        cells = {(k or "").strip().upper(): (v or "").strip() for k, v in row.items() if k}
        try:
            when = date.fromisoformat(cells["DATE"][:10])
        except (KeyError, ValueError):
            out.skipped += 1
            continue
        for element in ELEMENTS:
            value = cells.get(element, "")
            if not value:
                continue
            flags = cells.get(f"{element}_ATTRIBUTES", "").split(",")
            try:
                out.add(when, element, float(value), flags[1] if len(flags) > 1 else "")
            except ValueError:
                out.skipped += 1
    return out
