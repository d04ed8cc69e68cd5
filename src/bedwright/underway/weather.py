"""The season of a bed under way: as it was planned for, with the days the journal has of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

import numpy as np

from bedwright.climate import DAYS, FREEZE_C, Record, Season, hold_observed
from bedwright.journal import Entry

SEASONS = 250
"""Seasons that a bed under way is worked out in: medians of first flowers are then within a day of
those of a thousand, two times in three."""


def some_of(season: Season) -> Season:
    """A season of at most SEASONS of its seasons, evenly taken; the odds of freezes stay those of
    all."""
    every = season.size // SEASONS
    if every < 2:
        return season
    part = slice(None, SEASONS * every, every)
    stated = season.stated
    return replace(
        season,
        tmin_c=season.tmin_c[part],
        tmax_c=season.tmax_c[part],
        rain_mm=season.rain_mm[part],
        stated=None if stated is None else (stated[0][part], stated[1][part]),
    )


def with_entries(season: Season, entries: Iterable[Entry], today: date) -> Season:
    """The season with the minima, maxima and rain that were written down, and the frosts.

    A frost without a number is taken as the mean of such nights in the ensemble at freezing or
    colder; of a day written down twice the last entry holds.
    """
    low, high, rain = (np.full(DAYS, np.nan) for _ in range(3))
    for entry in sorted(entries, key=lambda one: one.day):
        index = season.index(entry.day)
        if not 0 <= index < DAYS or entry.day > today:
            continue
        if entry.tmin_c is not None:
            low[index] = entry.tmin_c
        elif entry.what == "frost" and np.isnan(low[index]):
            low[index] = _frosty(season, index)
        if entry.tmax_c is not None:
            high[index] = entry.tmax_c
        if entry.rain_mm is not None:
            rain[index] = entry.rain_mm
    return hold_observed(season, _record(season, low, high, rain))


def _frosty(season: Season, index: int) -> float:
    """What a night with a frost is usually like on a day of the year, °C."""
    nights = season.tmin_c[:, index]
    cold = nights[nights <= FREEZE_C]
    return float(cold.mean()) if len(cold) else FREEZE_C


def _record(
    season: Season,
    low: np.ndarray,
    high: np.ndarray,
    rain: np.ndarray,
) -> Record:
    """Readings by the day of the growing year as a record by date."""
    first = np.datetime64(season.start)
    days = np.array([np.datetime64(season.day(n)) for n in range(DAYS)])
    at = (days - first).astype(int)
    series = []
    for values in (low, high, rain):
        by_date = np.full(at[-1] + 1, np.nan)
        by_date[at] = values
        series.append(by_date)
    return Record("journal", first, series[0], series[1], series[2], ())
