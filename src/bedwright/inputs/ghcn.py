"""GHCN-Daily station files: the fixed-width ``.dly`` and the two comma-separated forms.

Format after NOAA's readme of GHCN-Daily (version 3, section III;
https://www.ncei.noaa.gov/pub/data/ghcn/daily/readme.txt, read as several public repositories quote
it): values of TMAX and TMIN in tenths of °C, of PRCP in tenths of mm, -9999 for missing.  A value
whose quality flag (QFLAG) is not blank failed a check and is dropped, counted.  A measurement flag
(MFLAG) ``P``, missing presumed zero, is kept as the zero it says; source flags (SFLAG) are not
looked at.

A line that does not fit the layout shows that the file was changed on its way: a value one column
off is a tenth of the truth, or ten times it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from bedwright.climate import (
    MOST_DAYS,
    MOST_YEARS,
    ChecksFailed,
    Readings,
    ReadingsGivenTwice,
    ValuesPassedOver,
)
from bedwright.facts import Fact
from bedwright.inputs.lines import (
    RecordError,
    first_line,
    lines_of,
    number,
    rows_of,
    shown,
    too_many,
)

ELEMENTS = ("TMIN", "TMAX", "PRCP")
MISSING = -9999
DAYS_OF_LINE, CELL_WIDTH, FIRST_CELL = 31, 8, 21
DLY_WIDTH = FIRST_CELL + DAYS_OF_LINE * CELL_WIDTH
"""Characters of a .dly line: 21 of heading, then 31 days of 8."""

MEASUREMENT_FLAGS = "ABDHKLOPTW"
"""After the readme; ``A``, a total of several days, after NOAA's notes on daily summaries."""

QUALITY_FLAGS = "DGIKLMNORSTWXZ"
SOURCE_FLAGS = "0-9A-Za-z"
"""The readme lists some thirty letters and digits and gains more with each new source, so any is
taken."""

MOST_ELEMENTS, MOST_ELEMENTS_A_DAY = 60, 10
"""Elements that one station has ever given, and that it gives on a usual day (estimates)."""

MOST_DLY_LINES = MOST_YEARS * 12 * MOST_ELEMENTS
MOST_BY_STATION_LINES = MOST_DAYS * MOST_ELEMENTS_A_DAY
MOST_SUMMARIES_LINES = 2 * MOST_DAYS
"""A line a day, and room for blank ones between."""


@dataclass
class Columns:
    """Days with their readings, in a file of ``total`` lines.

    Counted: readings that ``failed`` checks, were given ``again``, of them ``different``, and what
    was ``skipped``; ``first``: the first of these in words, in line ``first_line``;
    ``altitude_m``: of the station, where the file has it.
    """

    readings: dict[date, list[float]] = field(default_factory=dict)
    failed: int = 0
    again: int = 0
    different: int = 0
    skipped: int = 0
    total: int = 0
    first: str = ""
    first_line: int = 0
    station: str = ""
    altitude_m: float | None = None

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
            self.different += row[k] != value / 10.0
            return
        row[k] = value / 10.0

    def skip(self, name: str, line: int, why: str) -> None:
        """Pass over a line, or a reading of it.  Raises RecordError where they are too many."""
        self.skipped += 1
        if self.skipped == 1:
            self.first, self.first_line = f"line {line}: {why}", line
        if too_many(self.skipped, self.total):
            raise RecordError(
                f"{name}: more values cannot be read than one in twenty ({self.first}); accepted:"
                " GHCN-Daily's forms as NOAA gives them"
            )

    def check(self, name: str, line: int, station: str) -> None:
        """Raise RecordError where a line is another station's, or days are more than may be."""
        self.station = self.station or station
        if station != self.station:
            raise RecordError(
                f"{name}: line {line} is of station {shown(station)}, those above of"
                f" {shown(self.station)}; accepted: a record of one station"
            )
        if len(self.readings) > MOST_DAYS:
            raise RecordError(
                f"{name}: more than {MOST_DAYS:,} days; accepted: a record of up to"
                f" {MOST_YEARS} years"
            )

    def in_order(self) -> Readings:
        """The readings by day: minima, maxima (°C), rain (mm)."""
        days = sorted(self.readings)
        low, high, rain = np.array([self.readings[d] for d in days], float).reshape(-1, 3).T
        return Readings(np.array(days, "datetime64[D]"), low, high, rain)

    def notes(self) -> tuple[Fact, ...]:
        """What was passed over."""
        found = (
            ReadingsGivenTwice(self.again) if self.again else None,
            ValuesPassedOver(self.skipped, self.first_line) if self.skipped else None,
            ChecksFailed(self.failed) if self.failed else None,
        )
        return tuple(fact for fact in found if fact is not None)


_DLY_BEGINS = re.compile(r"\d{6}[A-Z][A-Z0-9]{3}[-\s\d]", re.ASCII)


def is_dly(text: str) -> bool:
    """Whether a text begins like a .dly file, be it well or a few columns off."""
    line = first_line(text)
    return "," not in line and len(line) > 2 * CELL_WIDTH and bool(_DLY_BEGINS.search(line[:50]))


def is_by_station(text: str) -> bool:
    """Whether a text is a by-station CSV (id, date, element, value, flags), headed or not."""
    cells = [cell.strip().strip('"') for cell in first_line(text).split(",")]
    if [cell.lower() for cell in cells[:4]] == ["id", "date", "element", "data_value"]:
        return True
    return len(cells) >= 7 and len(cells[1]) == 8 and cells[1].isdigit() and len(cells[2]) == 4


def is_summaries(heading: list[str]) -> bool:
    """Whether a heading is that of the CSV with one row a day and ``_ATTRIBUTES`` columns."""
    return "station" in heading and "tmin_attributes" in heading


_STATION = re.compile(r"[A-Z]{2}[A-Z0-9][A-Za-z0-9_.-]{8}", re.ASCII)
_ELEMENT = re.compile(r"[A-Z][A-Z0-9]{3}", re.ASCII)
_MONTH = re.compile(r"\d{4}(?:0[1-9]|1[0-2])", re.ASCII)
_VALUE = r"(?: {4}\d| {3}[-\d]\d| {2}[-\d]\d{2}| [-\d]\d{3}|[-\d]\d{4})"
_CELL = f"{_VALUE}[ {MEASUREMENT_FLAGS}][ {QUALITY_FLAGS}][ {SOURCE_FLAGS}]"
_ONE_CELL = re.compile(_CELL, re.ASCII)
_CELLS = re.compile(f"(?:{_CELL}){{{DAYS_OF_LINE}}}", re.ASCII)
_DLY_ACCEPTED = (
    "GHCN-Daily's columns as NOAA gives them: station 1-11, year 12-15, month 16-17, element 18-21,"
    " then 31 times a value to the right of five columns and three flags"
)


def _misfit(line: str) -> str:
    """In what a .dly line, filled up with blanks, misses its layout; nothing where it fits."""
    if "\t" in line:
        return "a tab, where columns are parted by blanks"
    if len(line) > DLY_WIDTH:
        return f"{len(line)} characters"
    if not _STATION.fullmatch(line[:11]):
        return f"no station in columns 1-11 ('{shown(line[:11])}')"
    if not _MONTH.fullmatch(line[11:17]) or line[11:15] == "0000":
        return f"no year and month in columns 12-17 ('{shown(line[11:17])}')"
    if not _ELEMENT.fullmatch(line[17:21]):
        return f"no element in columns 18-21 ('{shown(line[17:21])}')"
    if _CELLS.fullmatch(line, FIRST_CELL):
        return ""
    for day in range(1, DAYS_OF_LINE + 1):
        at = FIRST_CELL + CELL_WIDTH * (day - 1)
        cell = line[at : at + CELL_WIDTH]
        if not _ONE_CELL.fullmatch(cell):
            columns = f"columns {at + 1}-{at + CELL_WIDTH}"
            return f"no value and flags of day {day} in {columns} ('{shown(cell)}')"
    return ""


def read_dly(text: str, name: str = "record") -> Columns:
    """Readings of a .dly file.  Raises RecordError that names the first line out of its layout.

    Blanks lost at the end of a line do no harm.
    """
    out = Columns()
    for n, given in enumerate(lines_of(text, name, MOST_DLY_LINES), 1):
        if not given.strip():
            continue
        line = given.rstrip(" ").ljust(DLY_WIDTH)
        why = _misfit(line)
        if why:
            raise RecordError(f"{name}: line {n}: {why}; accepted: {_DLY_ACCEPTED}")
        out.check(name, n, line[:11])
        element = line[17:21]
        if element not in ELEMENTS:
            continue
        year, month = int(line[11:15]), int(line[15:17])
        for k in range(DAYS_OF_LINE):
            at = FIRST_CELL + CELL_WIDTH * k
            value = int(line[at : at + 5])
            if value == MISSING:
                continue
            try:
                day = date(year, month, k + 1)
            except ValueError:
                raise RecordError(
                    f"{name}: line {n}: a value on {year}-{month:02d}-{k + 1:02d}, which is no day;"
                    f" accepted: {_DLY_ACCEPTED}"
                ) from None
            out.add(day, element, float(value), line[at + 6])
    return out


def read_by_station(text: str, name: str = "record") -> Columns:
    """Readings of a by-station CSV; a heading passes by.  Raises RecordError."""
    out = Columns()
    lines = lines_of(text, name, MOST_BY_STATION_LINES)
    out.total = len(lines)
    for n, row in rows_of(lines, name):
        if len(row) < 7:
            out.skip(name, n, f"{len(row)} cells, where GHCN-Daily has 7 or 8")
            continue
        element = row[2].strip()
        if element not in ELEMENTS:
            if n > 1 and not _ELEMENT.fullmatch(element):
                out.skip(name, n, f"'{shown(element)}' is no element such as TMIN")
            continue
        station, day, _, given, *flags = [cell.strip() for cell in row]
        when, value = _day(day), number(given)
        why = _flag_fault(flags)
        if when is None:
            out.skip(name, n, f"'{shown(day)}' is no day such as 19940731")
        elif value is None or value != value or abs(value) > 99_999:
            out.skip(name, n, f"'{shown(given)}' is no value")
        elif why:
            out.skip(name, n, why)
        elif value != round(value):
            out.skip(name, n, f"'{shown(given)}' is no whole number of tenths of °C or mm")
        else:
            out.check(name, n, station)
            out.add(when, element, value, flags[1])
    return out


def _flag_fault(flags: list[str]) -> str:
    """What is wrong with a value's flags, of which the first two are looked at."""
    for flag, known, what in zip(
        flags, (MEASUREMENT_FLAGS, QUALITY_FLAGS), ("measurement", "quality"), strict=False
    ):
        if len(flag) > 1 or flag not in known:
            return f"'{shown(flag)}' is no {what} flag"
    return ""


def _height(text: str) -> float | None:
    """A station's height, m; None for a code that stands for none."""
    value = number(text)
    return value if value is not None and -430.0 <= value <= 9000.0 else None


_PARTS = re.compile(r"(\d{4})-(\d\d)-(\d\d)(?:[T ]00:00(?::00)?)?", re.ASCII)


def _day(text: str) -> date | None:
    """19940731 as a day; None for what is no such day."""
    if not re.fullmatch(r"\d{8}", text, re.ASCII):
        return None
    try:
        return date(int(text[:4]), int(text[4:6]), int(text[6:]))
    except ValueError:
        return None


def read_summaries(text: str, name: str = "record", mark: str = ",") -> Columns:
    """Readings of the CSV with a heading: TMIN, TMAX, PRCP and their attributes ``M,Q,S``.

    Raises RecordError.
    """
    out = Columns()
    lines = lines_of(text, name, MOST_SUMMARIES_LINES)
    out.total = len(lines)
    rows = rows_of(lines, name, mark)
    heading = [cell.strip().strip('"').upper() for cell in next(rows)[1]]
    wanted = ["STATION", "DATE", *ELEMENTS, *(f"{element}_ATTRIBUTES" for element in ELEMENTS)]
    for word in wanted:
        if heading.count(word) > 1:
            raise RecordError(f"{name}: {heading.count(word)} columns headed {word}; accepted: one")
    for word in ("STATION", "DATE"):
        if word not in heading:
            raise RecordError(f"{name}: no column headed {word}, as GHCN-Daily's summaries have")
    at = {word: heading.index(word) for word in wanted if word in heading}
    height = heading.index("ELEVATION") if heading.count("ELEVATION") == 1 else None
    for n, row in rows:
        cells = [cell.strip() for cell in row]
        if len(cells) > len(heading) and any(cells[len(heading) :]):
            out.skip(name, n, f"{len(cells)} cells beneath a heading of {len(heading)}")
            continue
        cells += [""] * (len(heading) - len(cells))
        out.check(name, n, cells[at["STATION"]])
        if height is not None and out.altitude_m is None:
            out.altitude_m = _height(cells[height])
        when = _day(_PARTS.sub(r"\1\2\3", cells[at["DATE"]]))
        if when is None:
            out.skip(name, n, f"'{shown(cells[at['DATE']])}' is no day such as 1994-07-31")
            continue
        for element in ELEMENTS:
            given = cells[at[element]] if element in at else ""
            if not given:
                continue
            key = f"{element}_ATTRIBUTES"
            flags = cells[at[key]].split(",") if key in at else []
            value, why = number(given), _flag_fault([flag.strip() for flag in flags])
            if value is None or abs(value) > 99_999:
                out.skip(name, n, f"'{shown(given)}' is no value of {element}")
            elif why:
                out.skip(name, n, why)
            elif value == value:
                out.add(when, element, value, flags[1] if len(flags) > 1 else "")
    return out
