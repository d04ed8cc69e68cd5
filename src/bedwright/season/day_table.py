"""A table of days from the text of a CSV as people's stations and spreadsheets write it.

The heading names date, minimum, maximum and perhaps rain in any of many ways; cells are parted by
comma, semicolon or tab; dates are 1994-07-31, or with dots, or with slashes in whichever order the
file's own days allow.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.season.mending import Floats, RecordError

_DATE = {"date", "day", "datetime", "time", "datum"}
_LOW = {"tmin", "min", "minimum", "tn", "temp_min", "min_temp", "minimum_temperature", "low"}
_HIGH = {"tmax", "max", "maximum", "tx", "temp_max", "max_temp", "maximum_temperature", "high"}
_RAIN = {"rain", "prcp", "precipitation", "precip", "rainfall"}
UNITS = {"c": "c", "f": "f", "mm": "mm", "in": "in", "inch": "in", "inches": "in"}


class DayTable(NamedTuple):
    """Days with their readings (nan where none), the units headings name, lines passed over."""

    days: NDArray[np.datetime64]
    low: Floats
    high: Floats
    rain: Floats
    temperature_unit: str
    rain_unit: str
    skipped: int


def read_table(text: str, name: str) -> DayTable:
    """Read a table of days.  Raises RecordError that says what is amiss and what is accepted."""
    if not text.strip():
        raise RecordError(f"{name}: it is empty; a CSV with date, tmin, tmax")
    first = text.lstrip().split("\n", 1)[0]
    mark = max(",;\t", key=first.count)
    try:
        rows = list(csv.reader(io.StringIO(text), delimiter=mark))
    except csv.Error as error:
        raise RecordError(f"{name}: no sound CSV ({error})") from None
    heading = [_plain(cell) for cell in next(row for row in rows if row)]
    column = {
        want: next((n for n, (word, _) in enumerate(heading) if word in words), None)
        for want, words in (("date", _DATE), ("low", _LOW), ("high", _HIGH), ("rain", _RAIN))
    }
    at, low, high, rain = (column[want] for want in ("date", "low", "high", "rain"))
    if at is None or low is None or high is None:
        raise RecordError(
            f"{name}: its columns are {first.strip()[:80]!r}; needed: date, tmin, tmax, parted by"
            " commas, semicolons or tabs"
        )
    body = rows[rows.index(next(row for row in rows if row)) + 1 :]
    order = _order(name, (row[at] for row in body if len(row) > at))
    days, readings, skipped = [], [], 0
    comma = mark != ","
    for row in body:
        if not any(row):
            continue
        day = _day(row[at], order) if len(row) > at else None
        if day is None:
            skipped += 1
            continue
        days.append(day)
        readings.append([_reading(row, k, comma) for k in (low, high, rain)])
    if not days:
        shown = next((row[at] for row in body if len(row) > at), "nothing")
        raise RecordError(f"{name}: no day with a date such as 1994-07-31 (it has {shown!r})")
    table = np.array(readings, float)
    return DayTable(
        np.array(days, "datetime64[D]"),
        table[:, 0],
        table[:, 1],
        table[:, 2],
        heading[low][1],
        "" if rain is None else heading[rain][1],
        skipped,
    )


def _plain(cell: str) -> tuple[str, str]:
    """A heading's word and unit: ``TMIN (°F)`` and ``tmin_f`` are ``tmin`` and ``f``."""
    parts = [part for part in re.split(r"[^a-z]+", cell.strip().lower()) if part]
    unit = UNITS.get(parts[-1], "") if len(parts) > 1 else ""
    return "_".join(parts[:-1] if unit else parts), unit


def _order(name: str, dates: Iterable[str]) -> str:
    """``dmy`` or ``mdy`` for dates with slashes, as the file's days allow; ``dmy`` with dots."""
    day_first = month_first = slashed = False
    for text in dates:
        found = _PARTED.match(text.strip())
        if found is None:
            continue
        slashed = slashed or "/" in text
        day_first = day_first or int(found[1]) > 12
        month_first = month_first or int(found[2]) > 12
    if slashed and day_first == month_first:
        raise RecordError(
            f"{name}: its dates can be read day first or month first; write them as 1994-07-31"
        )
    return "mdy" if month_first else "dmy"


_PARTED = re.compile(r"(\d{1,2})[./](\d{1,2})[./](\d{4})")


def _day(text: str, order: str) -> np.datetime64 | None:
    """A day; None for what is no date."""
    text = text.strip()
    found = _PARTED.match(text)
    try:
        if found is None:
            return np.datetime64(date.fromisoformat(text[:10]))
        one, two, year = (int(part) for part in found.groups())
        month, day = (two, one) if order == "dmy" else (one, two)
        return np.datetime64(date(year, month, day))
    except ValueError:
        return None


def _reading(row: list[str], column: int | None, comma: bool) -> float:
    """A number; nan where there is none.  ``comma``: whether one may part the decimals."""
    if column is None or column >= len(row):
        return float("nan")
    text = row[column].strip()
    try:
        value = float(text.replace(",", ".") if comma else text)
    except ValueError:
        return float("nan")
    return float("nan") if value in MISSING else value


MISSING = {-99.0, -99.9, -999.0, -999.9, -9999.0, -99.99, 999.0, 999.9, 9999.0}
"""Codes that stand for no reading in many stations' files; no weather is like them."""
