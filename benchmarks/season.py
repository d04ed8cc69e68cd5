"""How long ``bedwright season`` takes, in a new process, and how its reckoning grows: bloom, frost
odds, records, the world.

Usage: ``python benchmarks/season.py`` (in the development environment: the plain way of reckoning
bloom beside ours is a pandas loop)
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from itertools import chain
from pathlib import Path

import numpy as np
import pandas as pd

from bedwright.catalogue import Kind, load_catalogue
from bedwright.climate import (
    DAYS,
    FreezeOdds,
    Season,
    Site,
    Weather,
    day_length_h,
    day_of_year,
    find_town,
    freeze_odds,
    make_season,
    normals_at,
    soil_temperature,
)
from bedwright.climate.frost import HALVES, bootstrap_days
from bedwright.growth import LEAD_DAYS, Way, blooms_of, outlook_of
from bedwright.growth.bloom import (
    LONG_DAY_H,
    SHORT_DAY_H,
    SPRING_ENDS_DAYS,
    errors_of,
    need_of,
    usual_mean_c,
    winter_kill_c,
    with_lead,
)
from bedwright.growth.bloom_kernel import LEAST_AGE
from bedwright.growth.rates import rate_of
from bedwright.growth.warmth import daily_need, pace_of, seed_of
from bedwright.inputs import gather_season, read_record
from timing import SHORT, Row, best, cold, seconds, show, write_record

SEASONS, KINDS, ROUNDS, YEARS = 1000, 40, 2000, 100


def plain_bloom(way: Way, season: Season, s: int, error: float) -> tuple[int, int]:
    """First and last day of bloom of one kind in one season, as one would write it in pandas."""
    kind, growth = way.kind, way.kind.growth
    year = day_length_h(season.site.latitude, day_of_year(season.site))
    at = range(-LEAD_DAYS, DAYS)
    days = pd.DataFrame({"low": with_lead(season.tmin_c)[s]}, index=at)
    days["high"] = with_lead(season.tmax_c)[s]
    days["mean"] = (days["low"] + days["high"]) / 2
    days["hours"] = np.concatenate([year[-LEAD_DAYS:], year])
    days["recent"] = days["mean"].rolling(14, min_periods=1).mean()
    days["hottest"] = days["high"].rolling(14, min_periods=1).mean()
    days["soil"] = soil_temperature(days["mean"].to_numpy()[None])[0]
    start = way.out
    if way.in_place:
        seed = seed_of(kind)
        gained = (days["soil"] - seed.base_c).clip(lower=0).loc[way.out :].cumsum()
        start = first_day(gained >= seed.need) + 1
    warmth = (days["mean"].clip(upper=rate_of(kind.key).optimum_c) - growth.base_c).clip(lower=0)
    warmth *= pace_of(kind, days["hours"].to_numpy())
    warmth[days.index < max(start, 0 if kind.needs_winter else start)] = 0.0
    ready = warmth.cumsum() >= need_of(way, year, usual_mean_c(season)) * error
    if growth.daylength == "short_obligate":
        ready &= days["hours"] <= SHORT_DAY_H
    if growth.daylength == "long_obligate":
        lived = days["hours"].where(days.index >= way.sown, 0.0)
        ready &= lived.cummax() >= LONG_DAY_H
    ready &= days.index >= start
    ready = ready.cummax()
    cold, hot = days["recent"] < growth.base_c, days["hottest"] > kind.liking.heat_max_c
    first = first_day(ready & ~cold & ~hot)
    # Kinds that heat or their own span ends count from the day they could have flowered.
    could = first if growth.bloom_end == "frost" else first_day(ready & ~cold)
    spring = max(way.out, season.split - SPRING_ENDS_DAYS)
    frozen = (days["low"] <= kind.kill_c + 1e-3) & (days.index >= max(spring, start))
    if way.out < 0:
        winter = days["low"] <= winter_kill_c(kind) + 1e-3
        frozen |= winter & (days.index < spring) & (days.index >= start)
    age = (warmth / daily_need(kind)).clip(LEAST_AGE, 1.0)
    age[days.index < could] = 0.0
    ends = [
        first_day(age.cumsum() > round(growth.bloom_weeks * 7)),
        first_day(frozen),
        first_day(cold & (days.index > max(could, season.split))),
    ]
    if growth.bloom_end == "heat":
        stopped = (hot & (days.index >= could)).astype(int)
        ends.append(first_day(stopped.rolling(7).sum() == 7))
    last = min(*ends, DAYS)
    return (first, last) if first < last else (DAYS, DAYS)


def first_day(flags: pd.Series) -> int:
    """The first day that is marked, DAYS where none is."""
    return int(flags.idxmax()) if flags.any() else DAYS


def shortened(season: Season, count: int) -> Season:
    """The first so many seasons of an ensemble, repeated where it has fewer."""
    rows = np.arange(count) % season.size
    return replace(
        season,
        tmin_c=season.tmin_c[rows],
        tmax_c=season.tmax_c[rows],
        rain_mm=season.rain_mm[rows],
    )


def bloom() -> Iterator[Row]:
    """Our bloom against the plain loop, to the same answer; and how it grows."""
    catalogue = list(load_catalogue())
    site = Site("here", 44.88, -93.22, 265.0)
    season = make_season(Weather(site, normals_at(44.88, -93.22, 265.0)), 2027, None, 0)
    ways = [Way(kind, 90, 140, in_place=False) for kind in catalogue[: KINDS // 2]]
    ways += [Way(kind, 110, 110, in_place=True) for kind in catalogue[: KINDS // 4]]
    ways += [Way(kind, -90, -90, in_place=True) for kind in catalogue[KINDS // 4 : KINDS // 2]]
    errors = errors_of(ways, season.size)
    ours = best(lambda: blooms_of(ways, season))
    found = blooms_of(ways, season)
    sample = [(w, s) for w in range(0, KINDS, 4) for s in range(0, SEASONS, 500 if SHORT else 50)]
    begun = time.perf_counter()
    plain = [plain_bloom(ways[w], season, s, float(errors[w, s])) for w, s in sample]
    each = (time.perf_counter() - begun) / len(sample)
    same = [
        (found[w].first[s], found[w].last[s]) == days
        for (w, s), days in zip(sample, plain, strict=True)
    ]
    # Single precision may put a sum on the other side of a limit on a rare day.
    assert np.mean(same) > 0.99, "the plain loop gives other days"
    whole = each * SEASONS * KINDS
    size = f"{SEASONS} seasons, {KINDS} kinds, theirs from {len(sample)} runs"
    yield Row("bloom", size, ours * 1000, "ms", whole * 1000, "a pandas loop")
    sizes = ((250, 40), (1000, 40), (4000, 40), (1000, 10), (1000, 100))
    for seasons, kinds in sizes[: 1 if SHORT else None]:
        many = shortened(season, seasons)
        some = [Way(kind, 90, 140, in_place=False) for kind in catalogue[:kinds]]
        spent = best(lambda some=some, many=many: blooms_of(some, many))
        yield Row("bloom, by size", f"{seasons} seasons, {kinds} kinds", spent * 1000, "ms")
    every = [way for kind in catalogue for way in _ways_of(kind)]
    spent = best(lambda: blooms_of(every, season))
    size = f"{SEASONS} seasons, {len(every)} ways of {len(catalogue)} kinds"
    yield Row("bloom, the whole table", size, spent * 1000, "ms")


def _ways_of(kind: Kind) -> Iterator[Way]:
    """A kind's ways of raising in spring, and a hardy kind's in autumn."""
    if kind.sowing.method != "in_place":
        yield Way(kind, 70, 130, in_place=False)
    if kind.sowing.method != "indoors":
        yield Way(kind, 110, 110, in_place=True)
    if kind.hardiness == "hardy":
        yield Way(kind, -90, -90, in_place=True)


def frost() -> Iterator[Row]:
    """Freeze odds of a long record with its bootstrap, and how it grows with the years."""
    rng = np.random.default_rng(0)
    for years in (30,) if SHORT else (30, YEARS, 300):
        day = np.arange(DAYS)
        mean = 8.0 - 14.0 * np.cos(2 * np.pi * (day - 20) / DAYS)
        low = mean + rng.normal(0, 4.0, (years, DAYS))

        def work(low: np.ndarray = low) -> None:
            for spring in (True, False):
                odds: FreezeOdds = freeze_odds(low, 0.0, HALVES[True], spring)
                bootstrap_days(odds, (0.5, 0.2, 0.1, 0.05), 0, ROUNDS)

        yield Row("frost odds with 2,000 bootstraps", f"{years} years", best(work) * 1000, "ms")


PLACE = "Edinburgh, United Kingdom"


def commands() -> Iterator[Row]:
    """The whole command, and what of it is the work on a record, once all is loaded."""
    with tempfile.TemporaryDirectory() as folder:
        out, path = ("--out", f"{folder}/season"), Path(folder) / "mine.csv"
        write_record(path, YEARS)
        yield Row("the command, cold", "from normals", cold("season", PLACE, *out), "s")
        spent = cold("season", str(path), "--at", PLACE, *out)
        yield Row("the command, cold", f"a record of {YEARS} years", spent, "s")

        def work() -> None:
            _, weather = gather_season(str(path), PLACE, {}, date(2026, 11, 25))
            outlook_of(make_season(weather, 2027, None, 0))

        size = f"{YEARS} years, read, mended, its season and outlook"
        yield Row("the work on a record", size, best(work), "s")


def records() -> Iterator[Row]:
    """Reading a century of days."""
    days = np.arange(np.datetime64("1920-01-01"), np.datetime64("2020-01-01"))
    low = np.round(np.random.default_rng(0).normal(5, 6, len(days)), 1)
    lines = [f"{d},{v},{v + 10:.1f},{abs(v):.1f}" for d, v in zip(days, low, strict=True)]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "century.csv"
        path.write_text("date,tmin,tmax,rain\n" + "\n".join(lines))
        yield Row(
            "a record read and mended", f"{YEARS} years", best(lambda: read_record(path)), "s"
        )


def world() -> Iterator[Row]:
    """Normals and towns, cold and warm."""
    cold = seconds(lambda: normals_at(53.27, -9.05))
    yield Row("normals of a place", "the first of a run", cold * 1000, "ms")
    spots = np.random.default_rng(1).uniform((30, -120), (60, -70), (200, 2)).tolist()

    def look() -> None:
        for lat, lon in spots:
            try:
                normals_at(lat, lon)
            except LookupError:
                continue

    yield Row("normals of a place", "a later one", best(look) / len(spots) * 1000, "ms")
    first = seconds(lambda: find_town("Galway, Ireland"))
    yield Row("a town found", "the first of a run", first * 1000, "ms")
    again = best(lambda: find_town.__wrapped__("Galway, Ireland"))  # not the answer kept
    yield Row("a town found", "a later one", again * 1000, "ms")


def ensemble() -> Iterator[Row]:
    """A whole season from normals."""
    weather = Weather(Site("here", 44.88, -93.22, 265.0), normals_at(44.88, -93.22, 265.0))
    spent = best(lambda: make_season(weather, 2027, None, 0))
    yield Row("an ensemble from normals", f"{SEASONS} seasons", spent * 1000, "ms")


if __name__ == "__main__":
    show(chain(commands(), world(), records(), ensemble(), frost(), bloom()))
