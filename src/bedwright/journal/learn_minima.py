"""What a garden's nights say of how cold its spot is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import date
from math import inf, isfinite, sqrt
from typing import NamedTuple

import numpy as np
import scipy

from bedwright.journal.entry import Entry
from bedwright.journal.learn import OUTER, Floats, accept, normalised, shares_written
from bedwright.journal.learned import Minima, Night, NightsHere

SITE_SD_C = 1.0
"""Standard deviation, °C, of how a garden's nights differ in the mean from a station's near by.

Monthly means of minima that were interpolated between 417 German stations are off by 0.5 °C in the
mean (Ziche and Seidling 2010, Annals of Forest Science 67, table I), which is a standard deviation
of 0.6; those stations stand in the open, gardens also in hollows and by walls
(``climate.SITUATION_C``: 1 to 2 °C), so more is taken (estimate)."""

NIGHT_SD_C = 1.0
"""Standard deviation, °C, of one night's difference, beside that in the mean: minima of single
nights in the same table are off by 0.8 °C in the mean, standard deviation 1.0; with it falls what a
garden's thermometer is off by (estimate)."""

FROST_AT_C = 0.0
"""Minimum, °C, at eye level, at or below which a night has a frost that is written down without a
number.  (Grass turns white at 2 °C or so more, common practice, no source: written down as frosts,
such nights make a garden look colder than it is.)"""

_STEP_C, _MOST_STEPS, _MONTHS_SD = 0.1, 2001, 5.0
"""Widest step of the offsets that are tried, the most of them, and standard deviations of a month's
own difference to which it is summed."""

_SELDOM, _LEAST = 1e-9, 1e-300
"""Odds of a frost below which a night without one says nothing, and the least odds that have a
logarithm."""


class _Seen(NamedTuple):
    """Nights of one month of one year: differences of measured minima from what was expected, °C,
    those that were written down for a frost, and what stands of nights without a number: how far
    freezing is above what was expected, °C, and whether a frost was seen; each with its standard
    deviation."""

    measured: list[tuple[float, float]]
    frosty: list[bool]
    freezing: list[tuple[float, float]]
    quiet: list[tuple[float, float]]


def learn_nights(
    entries: Iterable[Entry],
    nights: Mapping[date, Night],
    *,
    watched: Collection[date] | None = None,
    month_sd_c: float = 0.0,
    prior_c: float = 0.0,
    prior_sd_c: float = SITE_SD_C,
) -> Minima:
    """How much warmer or colder this garden's nights are than expected.

    ``nights``: what was to be expected, by date; ``month_sd_c``: standard deviation of whole
    months' minima from year to year, 0 against a station that measured the same nights;
    ``prior_c``, ``prior_sd_c``: what is known of the difference beforehand; ``watched``: dates on
    which a frost might have been written down: by default, where any was, those from the first
    entry to the last.

    The model: a night's minimum is normal about what was expected and the offset.  Measured minima
    give its density; a frost without a number the odds of FROST_AT_C or colder (a censored normal:
    J. Tobin 1958, Econometrica 26, 24-36).  Frosts alone would speak only for cold, so a watched
    night without an entry has the odds that it had no frost or one that nobody wrote down; the
    share that is written down may be anything, apart for each month of the calendar.  All months
    of all years share the offset; each also has its own normal difference with ``month_sd_c``,
    which is summed over.  The posterior is worked out on a grid.

    Raises ValueError for a standard deviation that is not above 0 (``month_sd_c``: or 0), or a
    number that is none.
    """
    accept(0.0 < prior_sd_c < inf, "prior_sd_c", prior_sd_c, "a number of °C above 0")
    accept(0.0 <= month_sd_c < inf, "month_sd_c", month_sd_c, "a number of °C, 0 or more")
    for day, night in nights.items():
        accept(isfinite(night.tmin_c), f"nights[{day}].tmin_c", night.tmin_c, "a number of °C")
        accept(0.0 < night.sd_c < inf, f"nights[{day}].sd_c", night.sd_c, "a number of °C above 0")
    months = _months(list(entries), nights, watched)
    seen = sum(len(month.measured) for month in months.values())
    frosts = sum(len(month.freezing) for month in months.values())
    quiet = sum(len(month.quiet) for month in months.values())
    if not seen + frosts + quiet:
        to_end = prior_sd_c * float(scipy.special.ndtri(1.0 - OUTER))
        return Minima(prior_c, prior_sd_c, prior_c - to_end, prior_c + to_end, 0, 0, 0)
    offsets = _offsets(months, prior_c, prior_sd_c)
    logs = -(((offsets - prior_c) / prior_sd_c) ** 2) / 2.0
    for number in range(1, 13):
        same = [each for (_, month), each in sorted(months.items()) if month == number]
        if same:
            logs += _of_month(same, offsets, month_sd_c)
    mean, sd, low, high = _summary(offsets, logs)
    facts = (NightsHere(mean, low, high, seen, frosts),) if seen or frosts else ()
    return Minima(mean, sd, low, high, seen, frosts, quiet, facts)


def _months(
    entries: Collection[Entry], nights: Mapping[date, Night], watched: Collection[date] | None
) -> dict[tuple[int, int], _Seen]:
    """What was seen of the nights, by year and month."""
    numbers = defaultdict[date, set[float]](set)
    frosts: set[date] = set()
    for entry in entries:
        if entry.what in ("weather", "frost") and entry.day in nights:
            if entry.tmin_c is not None:
                numbers[entry.day].add(entry.tmin_c)
            if entry.what == "frost":
                frosts.add(entry.day)
    if watched is None:
        days = [entry.day for entry in entries] if frosts else []
        first, last = (min(days), max(days)) if days else (date.max, date.min)
        watched = [day for day in nights if first <= day <= last]
    months = defaultdict[tuple[int, int], _Seen](lambda: _Seen([], [], [], []))
    for day in sorted({*numbers, *frosts, *(day for day in watched if day in nights)}):
        month, (expected, sd) = months[day.year, day.month], nights[day]
        if day in numbers:
            minimum = sum(sorted(numbers[day])) / len(numbers[day])
            month.measured.append((minimum - expected, sd))
            month.frosty.append(day in frosts)
        else:
            (month.freezing if day in frosts else month.quiet).append((FROST_AT_C - expected, sd))
    return dict(months)


def _offsets(months: Mapping[tuple[int, int], _Seen], prior_c: float, prior_sd_c: float) -> Floats:
    """Evenly spaced offsets that hold all of the posterior: it lies between what is known
    beforehand, what months' measured minima say, and what single frosts say."""
    means = [q / p for p, q in (_sums(each) for each in months.values()) if p]
    frosts = [value for each in months.values() for value, _ in each.freezing]
    every = [
        sd for each in months.values() for _, sd in (*each.measured, *each.freezing, *each.quiet)
    ]
    ends, margin = [prior_c, *means, *frosts], 8.0 * prior_sd_c
    low, high = min(ends) - margin, max(ends) + margin
    step = min(_STEP_C, min(every) / 4.0, prior_sd_c / 4.0)
    return np.linspace(low, high, min(int((high - low) / step) + 2, _MOST_STEPS))


def _sums(seen: _Seen) -> tuple[float, float]:
    """Of the minima that were measured, the sum of the precisions and that of the differences, each
    times its own."""
    precision = sum(1.0 / sd**2 for _, sd in seen.measured)
    return precision, sum(value / sd**2 for value, sd in seen.measured)


def _of_month(years: Collection[_Seen], offsets: Floats, month_sd_c: float) -> Floats:
    """(offsets,) logarithm of the odds of what was seen in one month of the calendar."""
    r, odds = shares_written()
    step = offsets[1] - offsets[0]
    reach = int(np.ceil(_MONTHS_SD * month_sd_c / step))
    wide = offsets[0] + step * np.arange(-reach, len(offsets) + reach)
    apart = (wide[:, None] - offsets) / month_sd_c if reach else np.zeros((1, 1))
    kernel = np.exp(-(apart**2) / 2.0)
    logs = np.log(odds)[:, None] + np.zeros(len(offsets))
    for seen in years:
        each = _of_nights(seen, wide, r)
        if reach:
            most = each.max(axis=1, keepdims=True)
            each = most + np.log(np.maximum(np.exp(each - most) @ kernel, _LEAST))
        logs += each
    return np.asarray(scipy.special.logsumexp(logs, axis=0))


def _of_nights(seen: _Seen, offsets: Floats, r: Floats) -> Floats:
    """(shares, offsets) logarithm of the odds of one month's nights, each by itself."""
    precision, middle = _sums(seen)
    freezing, quiet = (
        np.array(each, float).reshape(-1, 2, 1) for each in (seen.freezing, seen.quiet)
    )
    cold = scipy.special.log_ndtr((freezing[:, 0] - offsets) / freezing[:, 1]).sum(axis=0)
    # Frosts with a number are among those that were written down, too.
    frosts = sum(seen.frosty) + len(freezing)
    logs = middle * offsets - precision * offsets**2 / 2.0 + cold + frosts * np.log(r)[:, None]
    if len(quiet):
        frost = scipy.special.ndtr((quiet[:, 0] - offsets) / quiet[:, 1])
        frost = frost[frost.max(axis=1) > _SELDOM]
        logs += np.log(np.prod(1.0 - frost[:, None] * r[:, None], axis=0))
    return np.asarray(logs)


def _summary(offsets: Floats, logs: Floats) -> tuple[float, float, float, float]:
    """Mean, standard deviation and 10% and 90% points of a posterior from its logarithm."""
    from scipy.interpolate import CubicSpline  # half a second to import

    kept = np.flatnonzero(logs > logs.max() - 40.0)
    first, last = max(kept[0] - 1, 0), min(kept[-1] + 1, len(offsets) - 1)
    fine = np.linspace(offsets[first], offsets[last], 4001)
    weight = normalised(CubicSpline(offsets, logs)(fine))
    mean = float(weight @ fine)
    sd = sqrt(float(weight @ (fine - mean) ** 2))
    below = np.cumsum(weight) - weight / 2.0
    low, high = np.interp((OUTER, 1.0 - OUTER), below, fine)
    return mean, sd, float(low), float(high)
