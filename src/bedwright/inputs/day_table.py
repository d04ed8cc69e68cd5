"""A table of days from the text of a CSV as people's stations and spreadsheets write it.

The heading names date, minimum, maximum and perhaps rain in any of many ways; cells are parted by
comma, semicolon or tab.  Dates are written in one way throughout: year first, or the year in four
digits last, with dots, slashes or hyphens, in whichever order of day and month the file's own days
allow.  A file that leaves the order open, or shows both, is refused: half its days would move.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Literal, NamedTuple

import numpy as np

from bedwright.climate import (
    MOST_DAYS,
    CellsPassedOver,
    Column,
    Floats,
    LinesPassedOver,
    Readings,
)
from bedwright.facts import Fact
from bedwright.inputs.lines import (
    FEW,
    RecordError,
    first_line,
    lines_of,
    number,
    rows_of,
    shown,
    too_many,
)

_DATE = ("date", "datum", "datetime", "day", "time")
"""In the order in which they are taken where a heading has several."""

_LOW = ("tmin", "min", "minimum", "tn", "temp_min", "min_temp", "minimum_temperature", "low")
_HIGH = ("tmax", "max", "maximum", "tx", "temp_max", "max_temp", "maximum_temperature", "high")
_MAYBE_HIGH = re.compile("max|high|tx")
"""In a heading that is none of _HIGH: maxima in a way that is not read, rather than none."""

_RAIN = ("rain", "prcp", "precipitation", "precip", "rainfall")
_STATION = ("station", "station_id", "station_name")
UNITS = {"c": "c", "f": "f", "mm": "mm", "in": "in", "inch": "in", "inches": "in"}
TEMPERATURE_UNITS: dict[str, Literal["C", "F"]] = {"c": "C", "f": "F"}
RAIN_UNITS: dict[str, Literal["mm", "in"]] = {"mm": "mm", "in": "in"}

MOST_LINES = 2 * MOST_DAYS
"""A line a day, and room for blank ones between."""

HOW_TO_WRITE = "write all dates as 1994-07-31, with the year in four digits"

MOST_UNREADABLE = 0.05
"""Share of a column's cells that may be no numbers: more, and the readings left are a choice."""


MOST_DATELESS = 0.2
"""Lines without a date, for each with one: totals below each week are one to seven."""


MOST_SHORT = 0.01
"""Share of lines that may end before their readings: the file is cut, and perhaps its numbers."""


class DayTable(NamedTuple):
    """Days with their readings, the units that headings name, and what was passed over."""

    readings: Readings
    temperature_unit: Literal["C", "F"] | None
    rain_unit: Literal["mm", "in"] | None
    notes: tuple[Fact, ...]


def mark_of(text: str) -> str:
    """What parts a table's cells, by its first line."""
    return max(",;\t", key=first_line(text).count)


def read_table(text: str, name: str) -> DayTable:
    """Read a table of days.  Raises RecordError that says what is wrong and what is accepted."""
    first = first_line(text)
    if not first:
        raise RecordError(f"{name}: it is empty; a CSV with date, tmin, tmax")
    rows = list(rows_of(lines_of(text, name, MOST_LINES), name, mark_of(text)))
    heading = _read_heading(rows[0][1], name, first)
    width, body = len(rows[0][1]), rows[1:]
    at = heading.date
    _check_station(name, rows[0][1], body)
    plain = _plain_readings(heading, width, body)
    if plain is not None:
        return DayTable(plain, heading.temperature_unit, heading.rain_unit, ())
    order = _order(name, ((n, row[at]) for n, row in body if len(row) > at))
    days, cells, passed = [], [], _Passed()
    for n, row in body:
        had = len(row)
        row += [""] * (width - had)
        readings = [row[k] if k is not None else "" for k in heading.readings]
        day = _day(row[at], order)
        if any(cell.strip() for cell in row[width:]):
            passed.wide(n, f"{len(row)} cells beneath a heading of {width}")
        elif day is not None and had < heading.width:
            passed.short(n, f"{had} cells beneath a heading of {width}")
        elif day is None:
            passed.undated(n, row[at], any(_is_number(cell) for cell in readings[:2]), order)
        else:
            days.append(day)
            cells.append((n, readings))
    passed.check(name, len(days))
    if not days:
        given = next((row[at] for _, row in body if len(row) > at), "nothing")
        raise RecordError(
            f"{name}: no day with a date such as 1994-07-31 (it has {_why_no_day(given, order)});"
            f" {HOW_TO_WRITE}"
        )
    found = [_column(name, cells, k) for k in range(3)]
    low, high, rain = (values for values, _ in found)
    return DayTable(
        Readings(np.array(days, "datetime64[D]"), low, high, rain),
        heading.temperature_unit,
        heading.rain_unit,
        (*passed.notes(), *(note for _, notes in found for note in notes)),
    )


_NO_DATE, _NO_NUMBER = re.compile(r"[^0-9\-\n]"), re.compile(r"[^0-9.+\-\n]")
"""Characters that no plain date has, and no plain number."""

PLAIN_DATE, PLAIN_NUMBER = 10, 9
"""Characters of a plain date, and of a plain number at most."""

_FIRST_DAY, _LAST_DAY = np.datetime64("0001-01-01"), np.datetime64("9999-12-31")
"""Of years in four digits."""


def _plain_readings(
    heading: _Heading, width: int, body: list[tuple[int, list[str]]]
) -> Readings | None:
    """The readings of a table as plain as most are, read a column at a time: lines as wide as the
    heading, dates such as 1994-07-31, and numbers or nothing.  None of any other table."""
    if {len(row) for _, row in body} != {width}:
        return None
    columns = list(zip(*(row for _, row in body), strict=True))
    readings = [("",) * len(body) if at is None else columns[at] for at in heading.readings]
    dates = columns[heading.date]
    if (
        set(map(len, dates)) != {PLAIN_DATE}
        or {date[4:8:3] for date in dates} != {"--"}
        or max(max(map(len, cells)) for cells in readings) > PLAIN_NUMBER
        or _NO_DATE.search("\n".join(dates))
        or any(_NO_NUMBER.search("\n".join(cells)) for cells in readings)
    ):
        return None
    try:
        days = np.array(dates, "datetime64[D]")
        low, high, rain = (_floats(cells) for cells in readings)
    except ValueError:  # a cell of such characters that is no day, or no number
        return None
    if not _FIRST_DAY <= days.min() <= days.max() <= _LAST_DAY:
        return None
    for values in (low, high, rain):
        values[np.isin(values, list(MISSING))] = np.nan
    return Readings(days, low, high, rain)


def _floats(cells: Sequence[str]) -> Floats:
    """The numbers in cells; nan where a cell is empty.  Raises ValueError where one has none."""
    filled = cells if all(cells) else [cell or "nan" for cell in cells]
    return np.fromiter(map(float, filled), float, len(filled))


class _Heading(NamedTuple):
    """The columns of date, minimum, maximum and rain; the units of temperatures and of rain."""

    date: int
    low: int
    high: int | None
    rain: int | None
    temperature_unit: Literal["C", "F"] | None
    rain_unit: Literal["mm", "in"] | None

    @property
    def readings(self) -> tuple[int, int | None, int | None]:
        """The columns of minimum, maximum and rain."""
        return self.low, self.high, self.rain

    @property
    def width(self) -> int:
        """Cells that a line must have to hold its temperatures."""
        return max(self.low, self.low if self.high is None else self.high) + 1


def _read_heading(cells: list[str], name: str, first: str) -> _Heading:
    """Find the columns.  Raises RecordError where one is not there, or more than one could be."""
    plain = [_plain(cell) for cell in cells]

    def find(words: tuple[str, ...], units: tuple[str, ...]) -> list[int]:
        return [n for n, (word, unit) in enumerate(plain) if word in words and unit in units]

    dates = sorted(find(_DATE, ("",)), key=lambda n: _DATE.index(plain[n][0]))
    lows, highs = find(_LOW, ("", "c", "f")), find(_HIGH, ("", "c", "f"))
    rains = find(_RAIN, ("", "mm", "in"))
    unread = not highs and any(_MAYBE_HIGH.search(word) for word, _ in plain)
    if not dates or not lows or unread:
        raise RecordError(
            f"{name}: its columns are '{shown(first.strip(), 80)}'; needed: date, tmin, tmax (which"
            " may be left out), parted by commas, semicolons or tabs"
        )
    if len(lows) > 1 and len(highs) > 1:  # given in both units
        lows, highs = ([n for n in found if plain[n][1] == "c"] for found in (lows, highs))
    rains = [n for n in rains if len(rains) == 1 or plain[n][1] == "mm"] or rains
    dates = [n for n in dates if plain[n] == plain[dates[0]]]
    for what, found in (("date", dates), ("tmin", lows), ("tmax", highs), ("rain", rains)):
        if len(found) > 1 or (not found and what in ("date", "tmin")):
            raise RecordError(
                f"{name}: its columns '{shown(first.strip(), 80)}' name {what} more than once;"
                " accepted: one column each of date, tmin, tmax and rain"
            )
    units = {plain[n][1] for n in (*lows, *highs)} - {""}
    if len(units) > 1:
        raise RecordError(
            f"{name}: its columns '{shown(first.strip(), 80)}' name both °C and °F; accepted: tmin"
            " and tmax in one unit"
        )
    rain = rains[0] if rains else None
    return _Heading(
        date=dates[0],
        low=lows[0],
        high=highs[0] if highs else None,
        rain=rain,
        temperature_unit=TEMPERATURE_UNITS.get("".join(units)),
        rain_unit=None if rain is None else RAIN_UNITS.get(plain[rain][1]),
    )


def _plain(cell: str) -> tuple[str, str]:
    """A heading's word and unit: ``TMIN (°F)`` and ``tmin_f`` are ``tmin`` and ``f``."""
    parts = [part for part in re.split(r"[^a-z0-9]+", cell.strip().lower()) if part]
    unit = UNITS.get(parts[-1], "") if len(parts) > 1 else ""
    return "_".join(parts[:-1] if unit else parts), unit


def _check_station(name: str, heading: list[str], body: list[tuple[int, list[str]]]) -> None:
    """Raise RecordError where the lines are of more than one station."""
    for k, cell in enumerate(heading):
        if _plain(cell)[0] not in _STATION:
            continue
        given = [(n, row[k].strip()) for n, row in body if len(row) > k and row[k].strip()]
        other = next(((n, station) for n, station in given if station != given[0][1]), None)
        if other is not None:
            raise RecordError(
                f"{name}: line {other[0]} is of station '{shown(other[1])}', those above of"
                f" '{shown(given[0][1])}'; accepted: a record of one station"
            )


class _Passed:
    """Lines passed over: without a date, or wider or narrower than the heading."""

    def __init__(self) -> None:
        self.dateless = self.wider = self.shorter = self.data = 0
        self.first = ""

    def undated(self, line: int, given: str, is_data: bool, order: str) -> None:
        """A line without a date; ``is_data`` where it has readings."""
        self.dateless += 1
        if is_data:
            self._data(line, _why_no_day(given, order))

    def wide(self, line: int, why: str) -> None:
        """A line with more cells than the heading."""
        self.wider += 1
        self._data(line, f"{why} (is there a comma within a number?)")

    def short(self, line: int, why: str) -> None:
        """A line that ends before its readings."""
        self.shorter += 1
        self._data(line, why)

    def _data(self, line: int, why: str) -> None:
        self.data += 1
        self.first = self.first or f"line {line}: {why}"

    def check(self, name: str, read: int) -> None:
        """Raise RecordError where too many lines were passed over."""
        lines = read + self.data
        short = self.shorter > max(FEW, MOST_SHORT * lines)
        if (too_many(self.data, lines) and (read or self.wider)) or short:
            raise RecordError(
                f"{name}: {self.data} of {lines} lines cannot be read ({self.first});"
                f" {HOW_TO_WRITE}, and numbers as 4.5"
            )
        if read and self.dateless > max(FEW, MOST_DATELESS * read):
            raise RecordError(
                f"{name}: {self.dateless} lines have no date, {read} have one; {HOW_TO_WRITE}, each"
                " day on a line of its own"
            )

    def notes(self) -> tuple[Fact, ...]:
        """What was passed over."""
        found = (
            LinesPassedOver(self.dateless, "undated"),
            LinesPassedOver(self.wider, "wide"),
            LinesPassedOver(self.shorter, "short"),
        )
        return tuple(fact for fact in found if fact.count)


_TIME = (
    r"(?:[T ] *(\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?) ?(?:[AaPp]\.?[Mm]\.?)?(Z|[+-]\d{2}:?\d{2})?)?"
)
_YEAR_FIRST = re.compile(r"(\d{4})([-/.]?)(\d{2}|(?<=\D)\d)\2(\d{2}|(?<=\D)\d)" + _TIME, re.ASCII)
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4})" + _TIME, re.ASCII)


def _order(name: str, dates: Iterable[tuple[int, str]]) -> str:
    """``ymd``, ``dmy`` or ``mdy``, whichever the file's days allow.  Raises RecordError."""
    ways: dict[str, str] = {}
    day_first = month_first = ""
    for n, text in dates:
        text = text.strip()
        found = _YEAR_LAST.fullmatch(text)
        if found is None:
            if "year first" not in ways and _YEAR_FIRST.fullmatch(text):
                ways["year first"] = f"line {n}: '{shown(text)}'"
            continue
        if found[2] not in ways:
            ways[found[2]] = f"line {n}: '{shown(text)}'"
        if int(found[1]) > 12:
            day_first = day_first or f"line {n}: '{shown(text)}'"
        if int(found[3]) > 12:
            month_first = month_first or f"line {n}: '{shown(text)}'"
    if len(ways) > 1:
        raise RecordError(
            f"{name}: its dates are written in more than one way ({'; '.join(ways.values())});"
            f" {HOW_TO_WRITE}"
        )
    if not ways or "year first" in ways:
        return "ymd"
    if day_first and month_first:
        raise RecordError(
            f"{name}: some dates have the day first ({day_first}), others the month"
            f" ({month_first}); {HOW_TO_WRITE}"
        )
    if not day_first and not month_first:
        raise RecordError(
            f"{name}: its dates can be read day first or month first"
            f" ({next(iter(ways.values()))}); {HOW_TO_WRITE}"
        )
    return "dmy" if day_first else "mdy"


def _day(text: str, order: str) -> date | None:
    """A day; None for what is no date, and for an hour of another time zone's day."""
    text = text.strip()
    found = (_YEAR_FIRST if order == "ymd" else _YEAR_LAST).fullmatch(text)
    if found is None:
        return None
    one, _, two, three, time, zone = found.groups()
    if _is_of_a_zone(time, zone):
        return None
    if order == "ymd":
        year, month, day = one, two, three
    else:
        day, month, year = (one, two, three) if order == "dmy" else (two, one, three)
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        return None


def _is_of_a_zone(time: str | None, zone: str | None) -> bool:
    """Whether a time is an hour, other than midnight, of a time zone: not of the place's own."""
    return zone is not None and time is not None and bool(time.strip("0:."))


def _why_no_day(text: str, order: str) -> str:
    """A date's cell, and why it stands for no day."""
    found = (_YEAR_FIRST if order == "ymd" else _YEAR_LAST).fullmatch(text.strip())
    if found is not None and _is_of_a_zone(found[5], found[6]):
        return (
            f"'{shown(text)}', where {found[5]} {found[6]} is an hour of a time zone, whose day may"
            " not be the place's own"
        )
    return f"'{shown(text)}', which is no date"


_TRACE = {"t", "tr", "trace"}
"""Rain too little to measure, as US observers write it (common practice)."""


COLUMNS: tuple[Column, ...] = ("minima", "maxima", "rain")


def _column(
    name: str, cells: list[tuple[int, list[str]]], k: int
) -> tuple[Floats, tuple[Fact, ...]]:
    """The numbers of one of COLUMNS, and a note of cells without one.

    Raises RecordError where these are too many.
    """
    what, first = COLUMNS[k], (0, "")
    out, given, unreadable = np.full(len(cells), np.nan), 0, 0
    for i, (n, readings) in enumerate(cells):
        value = number(readings[k])
        if value is None and k == 2 and readings[k].strip().lower() in _TRACE:
            value = 0.0
        if value is None:
            unreadable += 1
            first = first if unreadable > 1 else (n, shown(readings[k].strip(), 30))
        elif value not in MISSING:
            out[i] = value
        given += value is None or value == value
    if unreadable > max(3, MOST_UNREADABLE * given):
        raise RecordError(
            f"{name}: {unreadable} of {given} cells of {what} are no numbers (line {first[0]}:"
            f" '{first[1]}'); accepted: numbers such as -4.5, and nothing where there is none"
        )
    return out, (CellsPassedOver(what, unreadable, *first),) if unreadable else ()


def _is_number(cell: str) -> bool:
    """Whether a cell holds a number."""
    value = number(cell)
    return value is not None and value == value


MISSING = {-99.0, -99.9, -999.0, -999.9, -9999.0, -99.99, 999.0, 999.9, 9999.0}
"""Codes that stand for no reading in many stations' files; no weather is like them."""
