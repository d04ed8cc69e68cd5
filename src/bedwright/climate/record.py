"""Daily readings put in order: repaired by stated rules, each noted with its count.

Rules, in order, each noted in ``Record.notes`` with its count:

1. A day given twice keeps its first row.
2. A reading that no weather on earth has given drops: temperatures beyond IMPOSSIBLE_C, rain below
   nothing or above MOST_RAIN_MM.
3. A reading far from its neighbours drops: more than SPIKE_C, and SPIKE_SPREADS times the usual
   departure of that month, from the median of the readings within three days, and three quarters
   of that from both of the nearest two.  (One July minimum of -72 °F in the middle of a summer is
   an error of the record, not a frost.)
4. A minimum above its maximum drops both.
5. Whole °F that passed through tenths of °C are put back on whole °F, so that 28 °F is 28 and not
   28.04, and a threshold of 28 °F counts it.

What a gap costs is settled where the readings are used: a season counts for a freeze when its
missing days cannot hide it (``frost.usable``), for heat and bloom when no gap is longer than five
days (``observed.MOST_GAP_DAYS``); a part of a year at either end of the record is no season.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.record_facts import (
    CrossedDropped,
    DaysGivenTwice,
    DaysTooFarApart,
    FahrenheitRestored,
    GivenAgain,
    ImpossibleDropped,
    ImpossibleRainDropped,
    LooseDays,
    MinimaMissing,
    MostlyCrossed,
    MostlyMissing,
    RangeUnknown,
    Reading,
    TooManyImpossible,
    UnitChanges,
    YearsOutOfRange,
)
from bedwright.facts import Fact, FactError

Floats = NDArray[np.float64]

SPIKE_C, SPIKE_SPREADS = 12.0, 5.0
IMPOSSIBLE_C = (-90.0, 60.0)
"""The coldest and hottest air ever measured lie just inside (WMO extremes archive, from memory)."""

MOST_RAIN_MM = 1900.0
"""The most rain measured in a day lies just under (WMO extremes archive, from memory: 1,825 mm)."""

MOST_CROSSED = 0.1
"""Share of days with minimum above maximum from which the columns must be swapped, throughout or
in part: of sound records not one day in a hundred has it (estimate)."""

MOST_IMPOSSIBLE = 0.02
"""Share of readings that cannot be, or contradict their neighbours, from which the file is no
record of temperatures in one unit: of sound records one in a thousand does (estimate)."""

MOST_DIFFERENT = 0.005
"""Share of days that may be given again with other readings: two in a year.  More, and the lines
are of several places or several hours a day, or some dates have day and month turned (estimate)."""

USUAL_RANGE_C = (2.0, 28.0)
"""Between which the usual day's range from minimum to maximum lies, from islands in cold seas to
high deserts (estimate); readings in a tenth or ten times their unit do not."""

LEAST_READINGS = 100
"""Readings from which shares and usual ranges say something."""

JUMP_C, JUMPS = 20.0, 3
"""A month's mean that far from the same month of the year before, so often within twelve months, is
a change of unit: from °F read as such to °C, any month above 5 °C falls by more.  No three months
of a year are so far from those of another anywhere (estimate)."""

NO_TEMPERATURE = 150.0
"""No degree of either scale reaches it: a code, or a slip."""

LEAST_LAG, LEAST_PAIRS = 0.2, 300
"""Correlation of a day's departure from its month with the next day's, and the pairs of days from
which it is known.  Of weather it is 0.4 to 0.8 (from memory); a record that mixes units or dates
from line to line loses it."""

FIRST_YEAR, LAST_YEAR = 1600, 2200
"""Thermometers came in the 1600s (from memory); later years than the last are slips."""

MOST_YEARS = 300
MOST_DAYS = MOST_YEARS * 366
"""The longest daily records are of some 300 years; a wider span is a slip in a date."""


class UnsoundRecordError(FactError):
    """Daily readings that are no record of a place's weather; the fact says why."""


@dataclass(frozen=True)
class Record:
    """A daily record without gaps in its dates (missing readings are nan).

    ``first``: first day; ``tmin_c``, ``tmax_c``: (days,); ``rain_mm``: (days,) or None; ``notes``:
    what was repaired; ``altitude_m``: of the station, where the record itself says it.
    """

    name: str
    first: np.datetime64
    tmin_c: Floats = field(repr=False)
    tmax_c: Floats = field(repr=False)
    rain_mm: Floats | None = field(repr=False)
    notes: tuple[Fact, ...]
    altitude_m: float | None = None

    @property
    def days(self) -> NDArray[np.datetime64]:
        """(days,) every day from the first to the last."""
        return self.first + np.arange(len(self.tmin_c)).astype("timedelta64[D]")

    @property
    def years(self) -> tuple[int, int]:
        """First and last calendar year that the record touches."""
        days = self.days
        return int(str(days[0])[:4]), int(str(days[-1])[:4])


def month_of(days: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """(n,) month, 0 to 11, of days."""
    return np.asarray(days.astype("datetime64[M]").astype(int) % 12)


class Readings(NamedTuple):
    """Days as given, in any order, with their readings: each (n,), °C and mm, nan for none."""

    days: NDArray[np.datetime64]
    low: Floats
    high: Floats
    rain: Floats


def make_record(
    name: str, given: Readings, notes: tuple[Fact, ...] = (), gaps: bool = False
) -> Record:
    """Apply the rules of the module's docstring; ``notes``: what is known of the readings already;
    ``gaps``: whether most days of its span may be missing, of single days and not of seasons.

    Raises UnsoundRecordError where they are no record of a place's weather.
    """
    if (given.days[1:] > given.days[:-1]).all():
        days, at = given.days, np.arange(len(given.days))
    else:
        days, at = np.unique(given.days, return_index=True)
    again = len(given.days) - len(days)
    if again:
        _check_again(given, at)
    full = _on_every_day(days, at, given)
    first, size = days[0], len(full.days)
    for series in (full.low, full.high):
        _check_jumps(series, first)
    month = month_of(full.days)
    low, low_notes = _possible("minimum", full.low, month, first)
    high, high_notes = _possible("maximum", full.high, month, first)
    wrong = (full.rain < 0) | (full.rain > MOST_RAIN_MM)
    rain = np.where(wrong, np.nan, full.rain)
    crossed = _crossed(low, high)
    low, high = (np.where(crossed, np.nan, series) for series in (low, high))
    _check_range(high - low)
    loose = any(_lag(series, month) < LEAST_LAG for series in (low, high))
    low, high, restored = _whole_fahrenheit(low, high)
    missing = int(np.isnan(low).sum())
    if missing > 0.5 * size and not gaps:
        raise UnsoundRecordError(MostlyMissing(missing, size))
    found: list[Fact | None] = [
        DaysGivenTwice(again) if again else None,
        *low_notes,
        *high_notes,
        ImpossibleRainDropped(int(wrong.sum())) if wrong.any() else None,
        CrossedDropped(int(crossed.sum())) if crossed.any() else None,
        LooseDays() if loose else None,
        FahrenheitRestored() if restored else None,
        MinimaMissing(missing, size, size - len(days)) if missing else None,
    ]
    kept = tuple(fact for fact in found if fact is not None)
    return Record(name, first, low, high, None if np.isnan(rain).all() else rain, (*notes, *kept))


def _date(day: np.datetime64) -> date:
    return date.fromisoformat(str(day.astype("datetime64[D]")))


def _on_every_day(days: NDArray[np.datetime64], at: NDArray[np.int64], given: Readings) -> Readings:
    """Readings on every day from the first to the last, nan on those that are not given.

    ``days``: (n,) in order, each once; ``at``: (n,) their rows.  Raises UnsoundRecordError where
    the span cannot be a record's.
    """
    index = (days - days[0]).astype(int)
    size, ends = int(index[-1]) + 1, (_date(days[0]), _date(days[-1]))
    if size > MOST_DAYS:
        raise UnsoundRecordError(DaysTooFarApart(*ends, MOST_YEARS))
    if not FIRST_YEAR <= ends[0].year <= ends[1].year <= LAST_YEAR:
        raise UnsoundRecordError(YearsOutOfRange(*ends, FIRST_YEAR, LAST_YEAR))

    def spread(series: Floats) -> Floats:
        out = np.full(size, np.nan)
        out[index] = series[at]
        return out

    every_day = days[0] + np.arange(size).astype("timedelta64[D]")
    return Readings(every_day, spread(given.low), spread(given.high), spread(given.rain))


def _possible(
    reading: Reading, series: Floats, month: NDArray[np.int64], first: np.datetime64
) -> tuple[Floats, tuple[Fact, ...]]:
    """A series without the readings that cannot be, and a note of them.

    Raises UnsoundRecordError where they are too many.
    """
    beyond = (series < IMPOSSIBLE_C[0]) | (series > IMPOSSIBLE_C[1])
    bad = beyond | _spikes(series, month)
    if not bad.any():
        return series, ()
    days = tuple(_date(first + day) for day in np.flatnonzero(bad)[:SHOWN_DAYS])
    had, count = int((~np.isnan(series)).sum()), int(bad.sum())
    if had >= LEAST_READINGS and count > MOST_IMPOSSIBLE * had:
        raise UnsoundRecordError(TooManyImpossible(reading, count, had, days[0]))
    return np.where(bad, np.nan, series), (ImpossibleDropped(reading, count, days),)


SHOWN_DAYS = 3
"""Days of impossible readings that are named."""


def _crossed(low: Floats, high: Floats) -> NDArray[np.bool_]:
    """(days,) where the minimum is above the maximum.  Raises UnsoundRecordError where on too
    many."""
    crossed = low > high
    both = int((~np.isnan(low + high)).sum())
    if crossed.sum() > max(MOST_CROSSED * both, min(3, both / 2)):
        raise UnsoundRecordError(MostlyCrossed(int(crossed.sum())))
    return np.asarray(crossed)


def _check_again(given: Readings, at: NDArray[np.int64]) -> None:
    """Raise UnsoundRecordError where too many days are given again with other readings."""
    row = at[np.unique(given.days, return_inverse=True)[1]]
    other = np.zeros(len(given.days), bool)
    for series in (given.low, given.high, given.rain):
        other |= (series != series[row]) & ~(np.isnan(series) & np.isnan(series[row]))
    if other.sum() > max(3, MOST_DIFFERENT * len(at)):
        first = _date(given.days[np.flatnonzero(other)[0]])
        raise UnsoundRecordError(GivenAgain(int(other.sum()), first))


def _check_range(ranges: Floats) -> None:
    """Raise UnsoundRecordError where nights and days are nearer or farther apart than anywhere."""
    known = ranges[~np.isnan(ranges)]
    if len(known) < LEAST_READINGS:
        return
    usual = float(np.median(known))
    if not USUAL_RANGE_C[0] <= usual <= USUAL_RANGE_C[1]:
        raise UnsoundRecordError(RangeUnknown(usual, usual < USUAL_RANGE_C[0]))


def _lag(series: Floats, month: NDArray[np.int64]) -> float:
    """Correlation of days' departures from their month's mean with the next days'; 1 if unknown."""
    off = series.copy()
    for m in range(12):
        here = (month == m) & ~np.isnan(series)
        if here.any():
            off[here] -= off[here].mean()
    pairs = ~np.isnan(off[1:] + off[:-1])
    if pairs.sum() < LEAST_PAIRS:
        return 1.0
    one, next_ = off[:-1][pairs], off[1:][pairs]
    spread = float(one.std() * next_.std())
    if spread < 1e-9:
        return 1.0
    return float(((one - one.mean()) * (next_ - next_.mean())).mean()) / spread


def _check_jumps(series: Floats, first: np.datetime64) -> None:
    """Raise UnsoundRecordError where the unit changes within a record."""
    months = (first + np.arange(len(series))).astype("datetime64[M]")
    of = (months - months[0]).astype(int)
    known = np.abs(series) < NO_TEMPERATURE
    count = np.bincount(of[known], minlength=of[-1] + 1)
    total = np.bincount(of[known], series[known], minlength=of[-1] + 1)
    jumps = np.zeros(len(count), bool)
    for m in range(12):
        had = m + 12 * np.flatnonzero(count[m::12] >= 10)
        means = total[had] / count[had]
        jumps[had[1:]] = np.abs(np.diff(means)) > JUMP_C
    within = np.convolve(jumps, np.ones(12, int))[: len(jumps)]
    if within.max() >= JUMPS:
        raise UnsoundRecordError(UnitChanges(_date(months[0] + np.flatnonzero(jumps)[0]), JUMP_C))


def _spikes(series: Floats, month: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Readings farther from the median of their week than weather goes at that time of year.

    Farther means SPIKE_C and SPIKE_SPREADS times the month's own spread about such medians, and
    three quarters of that from both the days beside it.  ``month``: (days,) 0 to 11.
    """
    padded = np.pad(series, 3, constant_values=np.nan)
    window = np.lib.stride_tricks.sliding_window_view(padded, 7)
    around = np.delete(window, 3, axis=1)
    known, day = (~np.isnan(around)).sum(axis=1), np.arange(len(series))
    ordered = np.sort(around, axis=1)  # days without a reading last
    median = (ordered[day, (known - 1) // 2] + ordered[day, known // 2]) / 2.0
    median[known < 3] = np.nan
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
        to_celsius(np.round(low * 1.8 + 32.0)),
        to_celsius(np.round(high * 1.8 + 32.0)),
        restored,
    )


def to_celsius(fahrenheit: Floats) -> Floats:
    """Degrees Fahrenheit as degrees Celsius."""
    return (fahrenheit - 32.0) / 1.8
