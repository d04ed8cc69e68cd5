"""Hold the freeze dates that a record gives against the years that came after it.

For each window of 30 growing years in a record, a season is made from those years alone, as the
tool makes one from a record kept so far; then it is counted in how many of the following years the
last freeze of spring came later, and the first of autumn earlier, than its dates at odds of 50, 20,
10 and 5%.  Windows overlap, so neighbouring ones hardly tell more than one.  The ten years *before*
each window are counted, too: a climate that warms makes the following years pass a date too seldom
and those before it too often.

Usage: ``python tools/judge_records.py FOLDER``, of ``stations.csv`` (station, lat, lon, and
elev_m where it is known) and a ``STATION.csv`` or ``STATION.csv.gz`` each (date, tmin_c, tmax_c);
or ``FILE LATITUDE LONGITUDE``.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import numpy as np

from bedwright.climate import Record, SeasonError, Weather
from bedwright.climate.frost import FREEZE_C, NEVER, FreezeOdds, first_autumn, last_spring, usable
from bedwright.climate.observed import RECENT_YEARS, growing_years, season_from_record
from bedwright.inputs.records import parse_record
from stations import read_text, records, weather_of

ODDS = (0.5, 0.2, 0.1, 0.05)
TENTH = ODDS.index(0.1)
NEXT_YEARS = 10
LEAST_WINDOWS = 5
"""Windows with years after them that a record must have to be judged."""


class Passed(NamedTuple):
    """Of one record and one side of the year, shares of years that pass the dates at ODDS.

    ``soon``, ``later``, ``before``: of the ten years after a window, of all after it, of the ten
    before it; ``windows``: how many have years after them.
    """

    windows: int
    soon: np.ndarray
    later: np.ndarray
    before: np.ndarray


def passed(record: Record, weather: Weather, spring: bool) -> Passed:
    """How often a record's years pass the dates of the windows before, or after, them."""
    halves = weather.site.halves
    years = growing_years(record, weather.site.start_month)
    found = (last_spring if spring else first_autumn)(years.tmin_c, FREEZE_C, halves)
    sound = usable(years.tmin_c, FREEZE_C, spring, halves)
    shares: dict[str, list[np.ndarray]] = {"soon": [], "later": [], "before": []}
    windows = 0
    for first in range(int(years.labels[0]), int(years.labels[-1]) - RECENT_YEARS + 2):
        after = first + RECENT_YEARS
        own = replace(weather, years=(first, after - 1))
        try:
            season = season_from_record(own, record, after, 0)
        except SeasonError:
            continue
        days = [season.freeze(spring).day_at(odds) for odds in ODDS]
        past = np.stack([is_past(found, day, spring) for day in days])
        spans = {
            "soon": (years.labels >= after) & (years.labels < after + NEXT_YEARS),
            "later": years.labels >= after,
            "before": (years.labels < first) & (years.labels >= first - NEXT_YEARS),
        }
        windows += bool((spans["later"] & sound).any())
        for name, span in spans.items():
            shares[name].append(past[:, span & sound])
    return Passed(windows, **{name: mean_of(found) for name, found in shares.items()})


def mean_of(found: list[np.ndarray]) -> np.ndarray:
    """Mean of rows over all windows, nan where there is nothing."""
    every = np.concatenate(found, axis=1) if found else np.full((len(ODDS), 0), np.nan)
    known = ~np.isnan(every)
    with np.errstate(invalid="ignore"):
        return np.where(known, every, 0.0).sum(axis=1) / known.sum(axis=1)


def by_chance(years: int, draws: int = 300) -> float:
    """Odds that 10% dates are past in 5 to 15% of the ten years after windows, as ``passed`` counts
    them, in a record of so many years without a trend."""
    days = np.round(np.random.default_rng(1).normal(100.0, 10.0, (draws, years))).astype(int)
    held = 0
    for drawn in days:
        past = []
        for first in range(years - RECENT_YEARS):
            after = first + RECENT_YEARS
            odds = FreezeOdds(tuple(np.sort(drawn[first:after]).tolist()), RECENT_YEARS, True)
            past.append(is_past(drawn[after : after + NEXT_YEARS], odds.day_at(0.1), True))
        held += is_held(float(np.concatenate(past).mean()))
    return held / draws


def is_held(share: float) -> bool:
    return 0.05 <= share <= 0.15


def is_past(found: np.ndarray, day: float | None, spring: bool) -> np.ndarray:
    """1 for years whose freeze comes later than a spring day, earlier than an autumn one, else 0;
    nan where freezes are too few for such a day."""
    if day is None:
        return np.full(len(found), np.nan)
    return ((found != NEVER) & ((found > day) if spring else (found < day))).astype(float)


def main() -> None:
    where, *place = sys.argv[1:]
    if place:
        record = parse_record(read_text(Path(where)), Path(where).name)
        latitude, longitude = map(float, place)
        stations = [(Path(where).stem, record, weather_of(latitude, longitude))]
    else:
        least = 365 * (RECENT_YEARS + LEAST_WINDOWS)
        stations = [one for one in records(Path(where)) if len(one[1].tmin_c) >= least]
    for spring in (True, False):
        print(f"{'last freeze of spring' if spring else 'first freeze of autumn'}: % of years past")
        odds = " ".join(f"{odds:4.0%}" for odds in ODDS)
        heads = f"{'next ten years':^19} | {'all later':^19} | {'ten before':^19}"
        print(f"{'':24}{'':7} | {heads}")
        print(f"{'record':24}windows | {odds} | {odds} | {odds}")
        every = []
        for name, record, weather in stations:
            found = passed(record, weather, spring)
            if found.windows >= LEAST_WINDOWS and not np.isnan(found.soon[TENTH]):
                every.append(found)
                print(row_of(name, found))
        spans = zip(*((f.soon, f.later, f.before) for f in every), strict=True)
        if len(every) == 1:
            continue
        print(row_of("mean", Passed(0, *(np.nanmean(span, axis=0) for span in spans))))
        held = [is_held(found.soon[TENTH]) for found in every]
        chance = sum(by_chance(found.windows + RECENT_YEARS) for found in every)
        print(
            f"   10% dates past in 5 to 15% of the ten years: {sum(held)} of {len(held)};"
            f" {chance:.0f} to be expected of records so long, without a trend"
        )


def row_of(name: str, found: Passed) -> str:
    spans = (
        " ".join("   —" if np.isnan(v) else f"{100 * v:4.0f}" for v in span) for span in found[1:]
    )
    return f"{name:24}{found.windows or '':>7} | " + " | ".join(spans)


if __name__ == "__main__":
    main()
