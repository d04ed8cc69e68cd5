"""A growing year's weather as an ensemble: many seasons, each as likely as the next.

Three sources, best first: a daily record (its own years), dates that an extension office gives
(the model's seasons, each warmed or cooled until its frosts fall as those dates say), and the
world's normals alone (the model's seasons as they are, with the model's own error in them).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from bedwright.brief import KnownFrost, MonthDay
from bedwright.season.frost import (
    FREEZE_C,
    NEVER,
    SPLIT,
    FreezeOdds,
    bootstrap_sd,
    first_autumn,
    freeze_odds,
    last_spring,
)
from bedwright.season.model import (
    Climate,
    climate_of,
    left_out_error,
    simulate,
    spring_share,
    through_year,
)
from bedwright.season.normals import Normals
from bedwright.season.records import Record

DAYS = 365
RECENT_YEARS = 30
"""Growing years used when the brief names none: the span of climate normals (WMO)."""

LEAST_YEARS = 10
MODEL_SEASONS = 500
"""Simulated seasons: the 10% date then has a standard error under a day."""

MOST_GAP_DAYS = 5
"""Longest gap bridged by a straight line for heat and bloom."""

Source = Literal["record", "dates", "normals"]


class SeasonError(ValueError):
    """The weather given cannot make a season; the words say why and what is accepted."""


@dataclass(frozen=True)
class Site:
    """A spot on earth: degrees north and east, metres above the sea."""

    label: str
    latitude: float
    longitude: float
    altitude_m: float
    timezone: str = "UTC"

    @property
    def north(self) -> bool:
        """Whether it lies on or north of the equator."""
        return self.latitude >= 0


@dataclass(frozen=True)
class Weather:
    """What is known of a place's weather, gathered at the rim: normals, and a record if any."""

    site: Site
    normals: Normals
    record: Record | None = None
    years: tuple[int | None, int | None] = (None, None)


@dataclass(frozen=True)
class Season:
    """One growing year as an ensemble.

    ``start``: its first day (1 January north, 1 July south); ``tmin_c``, ``tmax_c``: (n, 365),
    29 February left out; ``rain_mm``: (n, 365) rain a day, spread evenly over weeks where it is
    modelled.  ``basis``: one sentence on where it comes from; ``doubt_days``: standard error of
    its frost dates; ``stated``: last and first freeze of each season as stated dates have it.
    """

    site: Site
    start: date
    tmin_c: NDArray[np.floating]
    tmax_c: NDArray[np.floating]
    rain_mm: NDArray[np.float64]
    source: Source
    basis: str
    notes: tuple[str, ...]
    doubt_days: float
    odds_dates: tuple[FreezeOdds, FreezeOdds]
    stated: tuple[NDArray[np.int64], NDArray[np.int64]] | None = None

    @property
    def size(self) -> int:
        """How many seasons the ensemble holds."""
        return len(self.tmin_c)

    @cached_property
    def tmean_c(self) -> NDArray[np.floating]:
        """(n, 365) mean of minimum and maximum."""
        return (self.tmin_c + self.tmax_c) / 2

    def day(self, index: float) -> date:
        """Calendar day of an index into the growing year; below 0 and past 364 too."""
        whole = round(index)
        day = self.start + timedelta(days=whole)
        leap = _leap_day(self.start)
        return day + timedelta(days=1) if leap is not None and day >= leap and whole >= 0 else day

    def index(self, day: date) -> int:
        """Index of a calendar day; the inverse of ``day``."""
        whole = (day - self.start).days
        leap = _leap_day(self.start)
        return whole - 1 if leap is not None and day >= leap else whole

    @property
    def split(self) -> int:
        """Index of the day that parts spring from autumn."""
        return SPLIT[self.site.north]

    def freeze(self, spring: bool, threshold_c: float = FREEZE_C) -> FreezeOdds:
        """Odds of the last freeze of spring or the first of autumn at a threshold."""
        if threshold_c == FREEZE_C:
            return self.odds_dates[0 if spring else 1]
        if self.stated is not None:
            return self._from_stated(self.stated[0 if spring else 1], threshold_c, spring)
        return freeze_odds(self.tmin_c, threshold_c, self.site.north, spring)

    def _from_stated(
        self, freeze: NDArray[np.int64], threshold_c: float, spring: bool
    ) -> FreezeOdds:
        """Odds at another threshold: each season's stated freeze, moved as its weather moves."""
        find = last_spring if spring else first_autumn
        own = find(self.tmin_c, FREEZE_C, self.site.north)
        there = find(self.tmin_c, threshold_c, self.site.north)
        known = (there != NEVER) & (own != NEVER) & (freeze != NEVER)
        days = freeze[known] + there[known] - own[known]
        return FreezeOdds(tuple(sorted(int(d) for d in days)), self.size, spring)


def _leap_day(start: date) -> date | None:
    """The 29 February inside the 366 days from ``start``, if there is one."""
    year = start.year if start.month == 1 else start.year + 1
    try:
        return date(year, 2, 29)
    except ValueError:
        return None


def make_season(weather: Weather, year: int, known: KnownFrost | None, seed: int) -> Season:
    """The ensemble of a growing year, from the best source there is.  Raises SeasonError."""
    if weather.record is not None:
        season = _from_record(weather, weather.record, year, seed)
        if known is not None:
            told = "frost dates are stated too, but the weather record is used"
            season = replace(season, notes=(*season.notes, told))
        return season
    if known is not None:
        return _from_dates(weather, year, known, seed)
    return _from_normals(weather, year, seed)


def growing_year_start(site: Site, year: int) -> date:
    """First day of a growing year: 1 January north of the equator, 1 July south of it."""
    return date(year, 1, 1) if site.north else date(year, 7, 1)


def split_day(site: Site, year: int) -> date:
    """The day that parts spring from autumn in a growing year (frost.SPLIT)."""
    return date(year, 7, 24) if site.north else date(year + 1, 1, 24)


def day_of_year(site: Site) -> NDArray[np.int64]:
    """(365,) day of the year, from 0, of each index of the growing year."""
    return (np.arange(DAYS) + (0 if site.north else 181)) % 365


RAIN_SHAPE = 2.5
"""Shape of the gamma law that a month's rain follows about its mean, a spread of 63% (from memory:
half to four fifths is usual in moist climates, more in dry ones)."""


def _modelled_rain(weather: Weather, count: int, seed: int) -> NDArray[np.float64]:
    """(count, 365) rain a day: the normals, each month of each season drawn dry or wet."""
    lengths = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    per_day = np.array(weather.normals.rain_mm) / lengths
    day = day_of_year(weather.site)
    mean = np.maximum(through_year(per_day, day), 0.0)
    month = np.searchsorted(np.cumsum(lengths)[:-1], day, "right")
    rng = np.random.default_rng([seed, 104])
    wet = rng.gamma(RAIN_SHAPE, 1.0 / RAIN_SHAPE, (count, 12))
    return np.asarray(mean * wet[:, month])


# --- from a record -----------------------------------------------------------------------------


def _from_record(weather: Weather, record: Record, year: int, seed: int) -> Season:
    site = weather.site
    labels, low, high, rain = _seasons_of(record, site.north)
    first, last = weather.years
    chosen = [
        n
        for n, label in enumerate(labels)
        if (first is None or label >= first) and (last is None or label <= last)
    ]
    if first is None and last is None:
        chosen = chosen[-RECENT_YEARS:]
    if len(chosen) < LEAST_YEARS:
        raise SeasonError(
            f"{record.name}: {len(chosen)} whole growing years"
            f" of {record.years[0]}-{record.years[1]}; needed: {LEAST_YEARS} or more"
        )
    low, high = low[chosen], high[chosen]
    odds = tuple(freeze_odds(low, FREEZE_C, site.north, spring) for spring in (True, False))
    whole = ~(_longest_gap(low) > MOST_GAP_DAYS) & ~(_longest_gap(high) > MOST_GAP_DAYS)
    if whole.sum() < LEAST_YEARS:
        raise SeasonError(
            f"{record.name}: {int(whole.sum())} growing years without a gap of more than"
            f" {MOST_GAP_DAYS} days; needed: {LEAST_YEARS} or more"
        )
    span = f"{labels[chosen[0]]}-{labels[chosen[-1]]}"
    notes = list(record.notes)
    left_out = [str(labels[n]) for n, ok in zip(chosen, whole, strict=True) if not ok]
    if left_out:
        notes.append(
            f"growing years left out of heat and bloom for a gap of more than {MOST_GAP_DAYS}"
            f" days: {', '.join(left_out)}"
        )
    count = int(whole.sum())
    rainy = (
        _modelled_rain(weather, count, seed)
        if rain is None
        else np.nan_to_num(rain[chosen][whole], nan=float(np.nanmean(rain)))
    )
    doubt = bootstrap_sd(odds[0], min(0.1, odds[0].share / 2), seed)
    return Season(
        site,
        growing_year_start(site, year),
        _filled(low[whole]),
        _filled(high[whole]),
        rainy,
        "record",
        f"the daily record {record.name}, growing years {span} ({int(whole.sum())} whole ones)",
        tuple(notes),
        doubt,
        (odds[0], odds[1]),
    )


def _seasons_of(
    record: Record, north: bool
) -> tuple[list[int], NDArray[np.float64], NDArray[np.float64], NDArray[np.float64] | None]:
    """Growing years of a record: labels, and (n, 365) minima, maxima and rain (None without)."""
    days = record.first + np.arange(len(record.tmin_c)).astype("timedelta64[D]")
    month = days.astype("datetime64[M]").astype(int) % 12
    dom = (days - days.astype("datetime64[M]")).astype(int)
    kept = ~((month == 1) & (dom == 28))
    starts = np.flatnonzero(kept & (month == (0 if north else 6)) & (dom == 0))
    at = np.flatnonzero(kept)
    labels, rows = [], []
    for start in starts:
        where = np.searchsorted(at, start)
        row = at[where : where + DAYS]
        if len(row) == DAYS:
            labels.append(int(str(days[start])[:4]))
            rows.append(row)
    if not rows:
        return [], np.empty((0, DAYS)), np.empty((0, DAYS)), None
    index = np.array(rows)
    rain = None if record.rain_mm is None else record.rain_mm[index]
    return labels, record.tmin_c[index], record.tmax_c[index], rain


def _longest_gap(values: NDArray[np.float64]) -> NDArray[np.int64]:
    """(n,) longest run of nan in each row."""
    longest = np.zeros(len(values), int)
    run = np.zeros(len(values), int)
    for column in np.isnan(values).T:
        run = np.where(column, run + 1, 0)
        longest = np.maximum(longest, run)
    return longest


def _filled(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Short gaps bridged by a straight line between the days about them."""
    out = values.copy()
    for row in out:
        gone = np.isnan(row)
        if gone.any():
            row[gone] = np.interp(np.flatnonzero(gone), np.flatnonzero(~gone), row[~gone])
    return out


# --- from the model ----------------------------------------------------------------------------


def _from_normals(weather: Weather, year: int, seed: int) -> Season:
    site = weather.site
    climate = climate_of(site.latitude, weather.normals, day_of_year(site), SPLIT[site.north])
    low, high = simulate(climate, MODEL_SEASONS, seed)
    odds = tuple(freeze_odds(low, FREEZE_C, site.north, spring) for spring in (True, False))
    return Season(
        site,
        growing_year_start(site, year),
        low,
        high,
        _modelled_rain(weather, MODEL_SEASONS, seed),
        "normals",
        "monthly normals of a world grid (ERA5, 2000-2025) and a model of daily minima",
        (
            "Frost dates reckoned from normals can be weeks out: ask the local extension office or"
            " weather service for its dates and state them in the brief.",
        ),
        _model_doubt(climate, odds[0]),
        (odds[0], odds[1]),
    )


def _model_doubt(climate: Climate, spring: FreezeOdds) -> float:
    """Standard error, days, of the last spring freeze that the model's own error brings.

    The error of freeze dates at regions left out, degrees, divided by the pace at which minima rise
    at that time of year.
    """
    middle = spring.day_at(spring.share / 2)
    if middle is None:
        return 0.0
    minimum = climate.minimum
    at = int(np.clip(middle, 15, len(minimum) - 16))
    pace = max((minimum[at + 15] - minimum[at - 15]) / 30.0, 0.05)
    return float(left_out_error("spring_c") / pace)


# --- from known dates --------------------------------------------------------------------------


def _from_dates(weather: Weather, year: int, known: KnownFrost, seed: int) -> Season:
    base = _from_normals(weather, year, seed)
    rng = np.random.default_rng([seed, 103])
    n, north = base.size, base.site.north
    goals = [
        _target_days(known_dates, base, spring, rng.permutation(n))
        for spring, known_dates in ((True, known.last_spring), (False, known.first_autumn))
    ]
    shift_spring = _shift_to(base.tmin_c, goals[0], north, spring=True)
    shift_autumn = _shift_to(base.tmin_c, goals[1], north, spring=False)
    spring = spring_share(DAYS, base.split)
    shift = shift_spring[:, None] * spring + shift_autumn[:, None] * (1 - spring)
    low = (base.tmin_c + shift).astype(np.float32)
    high = (base.tmax_c + shift / 2).astype(np.float32)
    odds = tuple(
        FreezeOdds(tuple(sorted(int(g) for g in goal if g != NEVER)), n, spring)
        for goal, spring in zip(goals, (True, False), strict=True)
    )
    missed = _missed(low, goals[0], north)
    return Season(
        base.site,
        base.start,
        low,
        np.maximum(high, low + np.float32(0.3)),
        base.rain_mm,
        "dates",
        f"frost dates {known.source}; heat and rain from monthly normals of a world grid"
        " (ERA5, 2000-2025)",
        ()
        if missed <= FAIR_MISS_DAYS
        else (
            f"The modelled weather meets the stated spring dates only to {missed:.0f} days, which"
            " shows in bloom and heat, not in the frost dates.",
        ),
        0.0,
        (odds[0], odds[1]),
        (goals[0], goals[1]),
    )


FAIR_MISS_DAYS = 5.0


def _missed(tmin: NDArray[np.floating], goal: NDArray[np.int64], north: bool) -> float:
    """Median days by which the seasons' own last freezes miss the stated ones."""
    day = last_spring(tmin, FREEZE_C, north)
    both = (day != NEVER) & (goal != NEVER)
    return float(np.median(np.abs(day - goal)[both])) if both.any() else 0.0


def _target_days(
    stated: Mapping[float, MonthDay], base: Season, spring: bool, order: NDArray[np.int64]
) -> NDArray[np.int64]:
    """(n,) freeze days that follow the stated odds, dealt to the seasons.

    A normal curve through the stated points (least squares in the curve's own scale); where one
    point is stated its spread is the model's.
    """
    points = [
        (1.0 - risk if spring else risk, _index_of(day, base)) for risk, day in stated.items()
    ]
    z = ndtri([p for p, _ in points])
    days = np.array([d for _, d in points], float)
    model = base.freeze(spring)
    spread = float(np.std(model.dates)) if len(model.dates) > 3 else 12.0
    if len(points) > 1:
        spread, centre = np.polyfit(z, days, 1)
    else:
        centre = float(days[0] - spread * z[0])
    levels = ndtri((np.arange(len(order)) + 0.5) / len(order))
    goal = np.round(centre + spread * levels).astype(int)
    low, high = (0, base.split - 1) if spring else (base.split, DAYS - 1)
    return np.asarray(np.where((goal < low) | (goal > high), NEVER, goal)[order])


def _index_of(day: MonthDay, base: Season) -> int:
    """Index of a MonthDay within the growing year."""
    for year in (base.start.year, base.start.year + 1):
        index = base.index(day.in_year(year))
        if 0 <= index < DAYS:
            return index
    raise SeasonError(f"{day} lies outside the growing year")


def _shift_to(
    tmin: NDArray[np.floating], goal: NDArray[np.int64], north: bool, spring: bool
) -> NDArray[np.float64]:
    """(n,) degrees added to each season so that its freeze falls as near its goal as can be."""
    shifts = np.arange(-12.0, 12.01, 0.1)
    find = last_spring if spring else first_autumn
    best = np.full(len(tmin), np.inf)
    chosen = np.zeros(len(tmin))
    for shift in shifts[np.argsort(np.abs(shifts), kind="stable")]:
        day = find(tmin + shift, FREEZE_C, north)
        both = (day != NEVER) & (goal != NEVER)
        neither = (day == NEVER) & (goal == NEVER)
        miss = np.where(both, np.abs(day - goal), np.where(neither, 0.0, 400.0))
        better = miss < best
        best, chosen = np.where(better, miss, best), np.where(better, shift, chosen)
    return chosen
