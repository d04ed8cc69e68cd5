"""Daily weather records: read, mend, count what was mended.

Rules, in order, each counted in ``Record.notes``:

1. A day given twice keeps its first row.
2. A minimum above its maximum drops both.
3. A reading far from its neighbours drops: more than SPIKE_C, and SPIKE_SPREADS times the usual
   departure of that month, from the median of the readings within three days, and three quarters
   of that from both of the nearest two.  (One July minimum of -72 °F in the middle of a summer is
   an error of the record, not a frost.)
4. Whole °F that passed through tenths of °C are put back on whole °F, so that 28 °F is 28 and not
   28.04, and a threshold of 28 °F counts it.

What a gap costs is settled where the readings are used: a season counts for a freeze when its
missing days cannot hide it (``frost.usable``), for heat and bloom when no gap is longer than five
days (``observed.MOST_GAP_DAYS``); a part of a year at either end of the record is no season.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bedwright.season.ghcn import (
    Columns,
    is_by_station,
    is_dly,
    is_summaries,
    read_by_station,
    read_dly,
    read_summaries,
)

Floats = NDArray[np.float64]

SPIKE_C, SPIKE_SPREADS = 12.0, 5.0
IMPOSSIBLE_C = (-90.0, 60.0)
"""The coldest and hottest air ever measured lie just inside (WMO extremes archive, from memory)."""

MOST_BYTES = 40_000_000
"""A century of days as text is under 5 MB, with every element of GHCN-Daily 20 MB; a larger file is
no daily record of one place, and is not opened."""

MOST_DAYS = 300 * 366
"""The longest daily records are of some 300 years; a wider span is a slip in a date."""

_DATE = {"date", "day", "datetime", "time"}
_LOW = {"tmin", "tmin_c", "tmin_f", "min", "minimum", "tn", "temp_min"}
_HIGH = {"tmax", "tmax_c", "tmax_f", "max", "maximum", "tx", "temp_max"}
_RAIN = {"rain", "prcp", "precipitation", "rain_mm", "precip", "rain_in", "prcp_in"}
LEAST_RAIN_MM = 150.0
"""A year's rain below this beside temperatures in °F is taken for inches: no garden without
watering gets so little, and US summaries give inches."""


class RecordError(ValueError):
    """A weather record that cannot be used; the words say why and what is accepted."""


@dataclass(frozen=True)
class Record:
    """A daily record without gaps in its dates (missing readings are nan).

    ``first``: first day; ``tmin_c``, ``tmax_c``: (days,); ``rain_mm``: (days,) or None.
    """

    name: str
    first: np.datetime64
    tmin_c: Floats = field(repr=False)
    tmax_c: Floats = field(repr=False)
    rain_mm: Floats | None = field(repr=False)
    notes: tuple[str, ...]

    @property
    def years(self) -> tuple[int, int]:
        """First and last calendar year that the record touches."""
        last = self.first + np.timedelta64(len(self.tmin_c) - 1, "D")
        return int(str(self.first)[:4]), int(str(last)[:4])


def read_record(path: Path, unit: Literal["C", "F"] | None = None) -> Record:
    """Read GHCN-Daily (``.dly`` or CSV), or a CSV with date, tmin, tmax and optional rain (mm).

    ``unit``: of the temperatures; when left out it is taken from the heading (``tmin_f``,
    ``tmin_c``) or from how warm the warm days are.  Raises RecordError, or OSError if the file
    cannot be read.
    """
    if path.stat().st_size > MOST_BYTES:
        raise RecordError(f"{path.name}: {path.stat().st_size:,} bytes; a record of up to 40 MB")
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise RecordError(f"{path.name}: not text; a CSV with date, tmin, tmax") from None
    return parse_record(text, path.name, unit)


def parse_record(text: str, name: str, unit: Literal["C", "F"] | None = None) -> Record:
    """As read_record, from the text of the file."""
    if is_dly(text):
        return _from_ghcn(name, read_dly(text))
    if is_by_station(text):
        return _from_ghcn(name, read_by_station(text))
    heading = [cell.strip().strip('"').lower() for cell in text.split("\n", 1)[0].split(",")]
    if is_summaries(heading):
        columns = read_summaries(text)
        # The same heading comes over tenths and over whole degrees; none is hotter than 60.
        if np.nanmax([v[1] for v in columns.readings.values()] or [0.0]) * 10 > TENTHS_ABOVE:
            return _from_ghcn(name, columns)
    return _from_table(text, name, unit)


TENTHS_ABOVE = 140.0
"""Maxima above this are tenths of °C: no degree of either scale reaches it."""


def _from_ghcn(name: str, columns: Columns) -> Record:
    """A record from GHCN-Daily's readings."""
    days, low, high, rain = columns.arrays()
    if len(days) == 0:
        raise RecordError(f"{name}: GHCN-Daily without TMIN, TMAX or PRCP")
    notes = []
    if columns.skipped:
        notes.append(f"{columns.skipped} unreadable values passed over")
    if columns.failed:
        notes.append(f"{columns.failed} values that failed GHCN-Daily's checks dropped")
    return _mend(name, days, low, high, rain, notes)


def _from_table(text: str, name: str, unit: Literal["C", "F"] | None) -> Record:
    """A record from a CSV with date, tmin, tmax and optional rain."""
    rows = csv.reader(io.StringIO(text))
    try:
        heading = [cell.strip().lower() for cell in next(rows, [])]
    except csv.Error as error:
        raise RecordError(f"{name}: no sound CSV ({error})") from None
    column = {
        want: next((n for n, cell in enumerate(heading) if cell in words), None)
        for want, words in (("date", _DATE), ("low", _LOW), ("high", _HIGH), ("rain", _RAIN))
    }
    if None in (column["date"], column["low"], column["high"]):
        raise RecordError(
            f"{name}: its columns are {', '.join(heading) or 'none'}; needed: date, tmin, tmax"
        )
    try:
        days, low, high, rain, skipped = _columns(rows, column)
    except csv.Error as error:
        raise RecordError(f"{name}: no sound CSV ({error})") from None
    if len(days) == 0:
        raise RecordError(f"{name}: no day with a date such as 1994-07-31")
    ending = heading[column["low"] or 0][-2:]
    stated = unit or {"_f": "F", "_c": "C"}.get(ending)
    taken = _unit_of(name, high, stated)
    lines = "line" if skipped == 1 else "lines"
    notes = [f"{skipped} {lines} without a readable date passed over"] if skipped else []
    if stated is None:
        notes.append(f"temperatures taken as °{taken}")
    rain_name = heading[column["rain"]] if column["rain"] is not None else ""
    yearly = 365.25 * float(np.nanmean(rain)) if not np.isnan(rain).all() else 0.0
    if rain_name.endswith("_in") or (taken == "F" and 0 < yearly < LEAST_RAIN_MM):
        rain = rain * 25.4
        notes.append("rain taken as inches")
    if taken == "F":
        low, high = _to_celsius(low), _to_celsius(high)
    return _mend(name, days, low, high, rain, notes)


WARM_SHARE = 0.95
WARM_LIMITS = {"C": (0.0, 52.0), "F": (45.0, 130.0)}
"""Between which the warmest days in twenty of a record lie, in either unit: from summers on the
ice's edge to the hottest deserts.  Where both fit and none is stated, °C is taken."""


def _unit_of(name: str, high: Floats, stated: str | None) -> str:
    """The unit of a record's temperatures; RecordError where the stated one cannot be."""
    known = high[~np.isnan(high)]
    if len(known) == 0:
        return stated or "C"
    warm = float(np.quantile(known, WARM_SHARE))
    fits = [unit for unit, (low, top) in WARM_LIMITS.items() if low <= warm <= top]
    if stated is None:
        if not fits:
            raise RecordError(
                f"{name}: its warm days reach {warm:g}, which is neither °C nor °F; needed: degrees"
                " (of GHCN-Daily's own forms, tenths too)"
            )
        return "F" if warm > WARM_LIMITS["C"][1] else "C"
    if stated not in fits:
        hint = f"; they look like °{fits[0]}" if fits else ""
        raise RecordError(f"{name}: its warm days reach {warm:g}, which cannot be °{stated}{hint}")
    return stated


def _columns(
    rows: Iterable[list[str]], column: dict[str, int | None]
) -> tuple[NDArray[np.datetime64], Floats, Floats, Floats, int]:
    """Days, minima, maxima, rain (nan where none), and lines passed over."""
    days, low, high, rain, skipped = [], [], [], [], 0
    for row in rows:
        try:
            days.append(np.datetime64(date.fromisoformat(row[column["date"] or 0].strip()[:10])))
        except (ValueError, IndexError):
            skipped += 1
            continue
        low.append(_reading(row, column["low"]))
        high.append(_reading(row, column["high"]))
        rain.append(_reading(row, column["rain"]))
    as_days = np.array(days, "datetime64[D]")
    return as_days, np.array(low, float), np.array(high, float), np.array(rain, float), skipped


def _reading(row: list[str], column: int | None) -> float:
    try:
        return float(row[column]) if column is not None else float("nan")
    except (ValueError, IndexError):
        return float("nan")


def _mend(
    name: str,
    days: NDArray[np.datetime64],
    low: Floats,
    high: Floats,
    rain: Floats,
    notes: list[str],
) -> Record:
    """Apply the rules of the module's docstring."""
    unique, at = np.unique(days, return_index=True)
    if len(unique) < len(days):
        again = len(days) - len(unique)
        notes.append(f"{again} day{'s' if again > 1 else ''} given twice; the first row kept")
    index = (unique - unique[0]).astype(int)
    size = int(index[-1]) + 1
    if size > MOST_DAYS:
        raise RecordError(
            f"{name}: its days run from {unique[0]} to {unique[-1]}; a record of up to 300 years"
        )
    absent = size - len(unique)
    full = []
    for series in (low, high, rain):
        spread = np.full(size, np.nan)
        spread[index] = series[at]
        full.append(spread)
    low, high, rain = full
    month = (unique[0] + np.arange(size)).astype("datetime64[M]").astype(int) % 12
    for series, one, more in ((low, "minimum", "minima"), (high, "maximum", "maxima")):
        bad = (series < IMPOSSIBLE_C[0]) | (series > IMPOSSIBLE_C[1]) | _spikes(series, month)
        if bad.any():
            where = unique[0] + np.flatnonzero(bad)
            shown = ", ".join(str(day) for day in where[:3]) + (" …" if bad.sum() > 3 else "")
            notes.append(
                f"{_count(bad, f'impossible {one}', f'impossible {more}')} dropped ({shown})"
            )
            series[bad] = np.nan
    crossed = low > high
    if crossed.any():
        notes.append(f"{_count(crossed, 'day', 'days')} with minimum above maximum dropped")
        low[crossed] = high[crossed] = np.nan
    low, high, restored = _whole_fahrenheit(low, high)
    if restored:
        notes.append("whole °F restored from values rounded through °C")
    gone = int(np.isnan(low).sum())
    if gone:
        notes.append(f"{gone} of {size} minima missing ({absent} days absent from the file)")
    if gone > 0.5 * size:
        raise RecordError(f"{name}: {gone} of {size} days have no minimum")
    has_rain = not np.isnan(rain).all()
    return Record(name, unique[0], low, high, rain if has_rain else None, tuple(notes))


def _count(marked: NDArray[np.bool_], one: str, more: str) -> str:
    """How many are marked, in words."""
    count = int(marked.sum())
    return f"{count} {one if count == 1 else more}"


def _spikes(series: Floats, month: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Readings farther from the median of their week than weather goes at that time of year.

    Farther means SPIKE_C and SPIKE_SPREADS times the month's own spread about such medians, and
    three quarters of that from both the days beside it.  ``month``: (days,) 0 to 11.
    """
    padded = np.pad(series, 3, constant_values=np.nan)
    window = np.lib.stride_tricks.sliding_window_view(padded, 7)
    around = np.delete(window, 3, axis=1)
    enough = (~np.isnan(around)).sum(axis=1) >= 3
    median = np.full(len(series), np.nan)
    median[enough] = np.nanmedian(around[enough], axis=1)
    off = np.abs(series - median)
    limit = np.full(len(series), SPIKE_C)
    for m in range(12):
        here = (month == m) & ~np.isnan(off)
        if here.any():
            # 1.4826 median absolute deviations are a standard deviation of a normal law.
            limit[month == m] = max(SPIKE_C, SPIKE_SPREADS * 1.4826 * float(np.median(off[here])))
    far = off > limit
    for neighbour in (padded[2:-4], padded[4:-2]):
        far &= np.isnan(neighbour) | (np.abs(series - neighbour) > 0.75 * limit)
    return np.asarray(far, bool)


def _whole_fahrenheit(low: Floats, high: Floats) -> tuple[Floats, Floats, bool]:
    """Round to whole °F where nearly every value is one, give or take 0.05 °C."""
    both = np.concatenate([low, high])
    both = both[~np.isnan(both)] * 1.8 + 32.0
    off = np.abs(both - np.round(both))
    # A tenth of a degree Celsius rounds by 0.05 °C, 0.09 °F; of other series one value in six
    # falls so near a whole °F.
    if len(both) == 0 or np.mean(off <= 0.0901) < 0.98:
        return low, high, False
    restored = bool(np.mean(off > 1e-6) > 0.1)
    return (
        _to_celsius(np.round(low * 1.8 + 32.0)),
        _to_celsius(np.round(high * 1.8 + 32.0)),
        restored,
    )


def _to_celsius(fahrenheit: Floats) -> Floats:
    return (fahrenheit - 32.0) / 1.8
