"""Hold seasons from a few years of a record against the whole of it.

From each long record stretches of a few growing years are taken, and three seasons are made of
each: from the normals alone, from the stretch alone, and from both joined (``climate.joined``).
How far their last freezes of spring (at even odds and at one in ten) and their odds are from those
of the whole record is printed, and how often the stated doubt holds the even date.

Usage: ``python tools/judge_few_years.py FOLDER [YEARS ...]``, of ``stations.csv`` (station, lat,
lon, elev_m) and a ``STATION.csv[.gz]`` each (date, tmin_c, tmax_c).
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import numpy as np

from bedwright.climate import (
    FreezeOdds,
    Record,
    Season,
    Weather,
    freeze_odds,
    make_season,
)
from bedwright.climate.frost import HALVES
from bedwright.climate.joined import KNOWN
from bedwright.climate.observed import growing_years
from stations import records

LEAST_WHOLE = 20
"""Years that a record must have to stand for the truth."""

MOST_OFTEN = 0.5
"""Share of springs with a freeze from which the days of the last one are judged."""


class Miss(NamedTuple):
    """How one season misses the whole record: days of the even and of the 10% last freeze, nan
    where either has none; the odds it gives to the record's own even date, less a half, and to its
    10% date, less a tenth; the doubt stated, days."""

    median: float
    tenth: float
    odds_median: float
    odds_tenth: float
    doubt: float


def miss(season: Season, truth: FreezeOdds, found: FreezeOdds | None = None) -> Miss:
    """How a season, or ``found`` in its place, misses the odds of the whole record."""
    found = found or season.freeze(True)

    def off(odds: float) -> float:
        own, real = found.day_at(odds * truth.share), truth.day_at(odds * truth.share)
        return np.nan if own is None or real is None else own - real

    def odds_off(odds: float) -> float:
        real = truth.day_at(odds * truth.share)
        return np.nan if real is None else found.odds_at(real) - odds * truth.share

    return Miss(off(0.5), off(0.1), odds_off(0.5), odds_off(0.1), season.doubt_days)


def misses(record: Record, weather: Weather, count: int) -> Iterator[tuple[Miss, Miss, Miss]]:
    """Of each stretch of so many years: normals alone, the stretch alone, joined."""
    north = weather.site.north
    years = growing_years(record, 1 if north else 7)
    whole = np.flatnonzero((~np.isnan(years.tmin_c)).mean(axis=1) >= KNOWN)
    truth = freeze_odds(years.tmin_c, 0.0, HALVES[north], True)
    if len(whole) < LEAST_WHOLE or truth.share < MOST_OFTEN:
        return
    alone = make_season(weather, 2027, None, 0)
    for first in range(0, len(whole) - count + 1, count):
        rows = whole[first : first + count]
        if rows[-1] - rows[0] != count - 1:
            continue
        start = np.datetime64(f"{years.labels[rows[0]]}-{'01' if north else '07'}-01")
        at = int((start - record.first).astype(int))
        span = slice(at, at + 366 * count)
        low, high = record.tmin_c[span], record.tmax_c[span]
        part = replace(record, first=start, tmin_c=low, tmax_c=high, rain_mm=None)
        joined = make_season(replace(weather, record=part), 2027, None, 0)
        own = freeze_odds(years.tmin_c[rows], 0.0, HALVES[north], True)
        yield miss(alone, truth), miss(alone, truth, own), miss(joined, truth)


def main() -> None:
    folder, *counts = sys.argv[1:]
    stations = list(records(Path(folder)))
    for count in map(int, counts or ("3", "5", "8")):
        found = [rows for _, record, weather in stations
                 if (rows := list(misses(record, weather, count)))]  # fmt: skip
        every = np.array([row for rows in found for row in rows])
        print(f"{count} years: {len(every)} stretches of {len(found)} records")
        for n, name in enumerate(("normals alone", "those years alone", "joined")):
            rms = np.sqrt(np.nanmean(every[:, n, :4] ** 2, axis=0))
            mean = np.nanmean(every[:, n, :2], axis=0)
            off, doubt = np.abs(every[:, n, 0]), every[:, n, 4]
            held = (
                ""
                if n == 1
                else (
                    f"; within the doubt {np.nanmean(off <= doubt):.0%},"
                    f" within 1.28 of it {np.nanmean(off <= 1.2816 * doubt):.0%}"
                )
            )
            print(
                f"   {name:18} even date {rms[0]:5.1f} days rms (mean {mean[0]:+5.1f}), 10% date"
                f" {rms[1]:5.1f} ({mean[1]:+5.1f}); odds {rms[2]:.2f} and {rms[3]:.2f} rms{held}"
            )


if __name__ == "__main__":
    main()
