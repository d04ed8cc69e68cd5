"""Daily weather records: which form a file has, and in what unit; then read and repaired.

Forms: GHCN-Daily (``ghcn``) and tables of days (``day_table``).  The rules of repair stand in
``climate.record``.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from bedwright.climate import (
    MOST_DIFFERENT,
    MOST_RAIN_MM,
    RainInInches,
    Readings,
    Record,
    TakenAs,
    Unit,
    UnsoundRecordError,
    make_record,
    to_celsius,
)
from bedwright.facts import Fact
from bedwright.inputs.day_table import mark_of, read_table
from bedwright.inputs.ghcn import (
    Columns,
    is_by_station,
    is_dly,
    is_summaries,
    read_by_station,
    read_dly,
    read_summaries,
)
from bedwright.inputs.lines import FEW, RecordError, first_line, shown
from bedwright.textfile import TextFileError, read_text_file
from bedwright.units import INCH_MM

MOST_BYTES = 40_000_000
"""A century of days as text is under 5 MB, with every element of GHCN-Daily 20 MB; a larger file is
no daily record of one place, and is not read."""

LEAST_RAIN_MM = 150.0
"""A year's rain below this beside temperatures in °F is taken for inches: no garden without
watering gets so little, and US summaries give inches."""


def read_record(path: Path, unit: Unit | None = None, usual: Unit | None = None) -> Record:
    """Read GHCN-Daily (``.dly`` or CSV), or a CSV with date, tmin, tmax and optional rain (mm).

    ``unit``: of the temperatures; when left out it is taken from the heading (``tmin_f``,
    ``tmin_c``) or from how warm the warm days are.  ``usual``: taken where that tells nothing, as
    of some days in winter; with it a file may be of any days, without it of seasons.  Raises
    RecordError, or OSError if the file cannot be read.
    """
    try:
        text = read_text_file(path, MOST_BYTES, "cp1252")
    except TextFileError as error:
        raise RecordError(
            f"{shown(path.name)}: {error.given}; accepted: a daily record of up to 40 MB, as text:"
            " a CSV with date, tmin, tmax, or GHCN-Daily"
        ) from None
    return parse_record(text, path.name, unit, usual)


def parse_record(
    text: str, name: str, unit: Unit | None = None, usual: Unit | None = None
) -> Record:
    """As read_record, from the text of the file."""
    name = shown(name, 80)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    gaps = usual is not None
    if is_dly(text):
        return _from_ghcn(name, read_dly(text, name), gaps=gaps)
    if is_by_station(text):
        return _from_ghcn(name, read_by_station(text, name), gaps=gaps)
    mark = mark_of(text)
    heading = [cell.strip().strip('"').lower() for cell in first_line(text).split(mark)]
    if is_summaries(heading):
        columns = read_summaries(text, name, mark)
        if in_tenths(columns):
            return _from_ghcn(name, columns, gaps=gaps)
        taken = _unit_of(name, _degrees(columns), unit, usual)
        return _from_ghcn(name, columns, taken, gaps)
    return _from_table(text, name, unit, usual)


TENTHS_ABOVE = 140.0
"""Readings above this are tenths of °C: no degree of either scale reaches it."""


def in_tenths(columns: Columns) -> bool:
    """Whether daily summaries are in tenths of °C and mm, or in whole degrees and inches or mm.

    The same heading stands over both.  Tenths have no decimals; a hot day or a wet one in tenths is
    beyond any degree or inch, and days and nights are farther apart than degrees ever are.
    """
    table = np.array(list(columns.readings.values()), float).reshape(-1, 3) * 10.0
    low, high, rain = table.T
    if (np.abs(table - np.round(table)) > 1e-6).any():
        return False
    known = high[~np.isnan(high)]
    range_ = (high - low)[~np.isnan(high - low)]
    return bool(
        (len(known) > 0 and known.max() > TENTHS_ABOVE)
        or ((~np.isnan(low)).any() and np.nanmin(low) < -TENTHS_ABOVE)
        or (len(range_) > 0 and np.median(range_) > MOST_RANGE)
        or ((~np.isnan(rain)).any() and np.nanmax(rain) > MOST_RAIN_MM / 10)
    )


MOST_RANGE = 50.0
"""Degrees between night and day, in either scale, that no place has on most days."""


def _degrees(columns: Columns) -> Readings:
    """Daily summaries as they are written, not as tenths."""
    read = columns.in_order()
    return Readings(read.days, read.low * 10.0, read.high * 10.0, read.rain * 10.0)


def _from_ghcn(name: str, columns: Columns, unit: Unit | None = None, gaps: bool = False) -> Record:
    """A record from GHCN-Daily's readings: in tenths, or of daily summaries in a whole ``unit``."""
    given, notes = columns.in_order(), columns.notes()
    if columns.different > max(FEW, MOST_DIFFERENT * len(given.days)):
        raise RecordError(
            f"{name}: {columns.different} readings are given again with another value; accepted:"
            " a record of one station, each reading once"
        )
    if len(given.days) == 0:
        raise RecordError(f"{name}: GHCN-Daily without TMIN, TMAX or PRCP")
    if unit is not None:
        inches: tuple[Fact, ...] = (RainInInches(),) if unit == "F" else ()
        given = _in_si(_degrees(columns), unit, unit == "F")
        notes = (TakenAs(unit), *inches, *notes)
    made = _made(name, given, notes, gaps)
    # Beside °F the height may be in feet, which nothing in the file tells.
    return made if unit == "F" else replace(made, altitude_m=columns.altitude_m)


def _in_si(given: Readings, unit: Unit, inches: bool) -> Readings:
    """Readings in °C and mm."""
    low, high = given.low, given.high
    if unit == "F":
        low, high = to_celsius(low), to_celsius(high)
    return Readings(given.days, low, high, given.rain * INCH_MM if inches else given.rain)


def _made(name: str, given: Readings, notes: tuple[Fact, ...], gaps: bool) -> Record:
    """The record of readings.  Raises RecordError where they are none of a place's weather."""
    try:
        return make_record(name, given, notes, gaps)
    except UnsoundRecordError as error:
        from bedwright.report import say  # all of the report, and seldom wanted

        raise RecordError(f"{name}: {say(error.fact, 'metric')}") from None


def _from_table(text: str, name: str, unit: Unit | None, usual: Unit | None) -> Record:
    """A record from a CSV with date, tmin, tmax and optional rain."""
    table = read_table(text, name)
    given = table.readings
    stated = unit or table.temperature_unit
    taken = _unit_of(name, given, stated, usual)
    notes = list(table.notes)
    if stated is None:
        notes.append(TakenAs(taken))
    sound = given.rain[(given.rain >= 0) & (given.rain <= MOST_RAIN_MM)]
    yearly = 365.25 * float(sound.mean()) if len(sound) else 0.0
    few = taken == "F" and 0 < yearly < LEAST_RAIN_MM and table.rain_unit != "mm"
    inches = table.rain_unit == "in" or few
    if inches:
        notes.append(RainInInches())
    return _made(name, _in_si(given, taken, inches), tuple(notes), usual is not None)


YEAR = 365
"""Days from which a record holds a summer."""

WARM_SHARE = 0.95
WARM_LIMITS: dict[Unit, tuple[float, float]] = {"C": (0.0, 52.0), "F": (45.0, 130.0)}
"""Between which the warmest days in twenty of a record lie, in either unit: from summers on the
ice's edge to the hottest deserts.  Where both fit and none is stated, °C is taken."""


WARM_NIGHTS: dict[Unit, tuple[float, float]] = {"C": (-10.0, 33.0), "F": (33.0, 95.0)}
"""As WARM_LIMITS, of the warmest nights in twenty, for a record without maxima."""


def _unit_of(name: str, given: Readings, stated: Unit | None, usual: Unit | None) -> Unit:
    """The unit of a record's temperatures; RecordError where the stated one cannot be.  Of a year
    or more its summers tell; of fewer days no more than whether they are too warm for °C."""
    by_days = bool((~np.isnan(given.high)).any())
    series, limits = (given.high, WARM_LIMITS) if by_days else (given.low, WARM_NIGHTS)
    what = "days" if by_days else "nights"
    known = series[~np.isnan(series)]
    if len(known) == 0:
        return stated or usual or "C"
    warm = float(np.quantile(known, WARM_SHARE))
    few = usual is not None and len(known) < YEAR
    fits = [unit for unit, (low, top) in limits.items() if (few or low <= warm) and warm <= top]
    if few and stated is None and usual in fits:
        return usual
    if stated is None:
        if not fits:
            raise RecordError(
                f"{name}: its warm {what} reach {warm:g}, which is neither °C nor °F; needed:"
                " degrees (of GHCN-Daily's own forms, tenths too)"
            )
        return "F" if warm > limits["C"][1] else "C"
    if stated not in fits:
        hint = f"; they look like °{fits[0]}" if fits else ""
        raise RecordError(
            f"{name}: its warm {what} reach {warm:g}, which cannot be °{stated}{hint}"
        )
    return stated
