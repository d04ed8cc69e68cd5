"""A season from a daily record: its own growing years, each as likely as the next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.ensemble import (
    DAYS,
    Season,
    SeasonError,
    Weather,
    growing_year_start,
    month_of_day,
)
from bedwright.climate.frost import (
    FREEZE_C,
    NEVER,
    Halves,
    Trend,
    bootstrap_sd,
    first_autumn,
    freeze_odds,
    last_spring,
    trend_of,
    usable,
)
from bedwright.climate.maxima import MaximaModelled, with_maxima
from bedwright.climate.model import monthly
from bedwright.climate.modelled import modelled_rain
from bedwright.climate.record import Record, month_of
from bedwright.facts import Fact

RECENT_YEARS = 30
"""Growing years used of a record with a trend: the span of climate normals (WMO)."""

LEAST_YEARS = 10
MOST_GAP_DAYS = 5
"""Longest gap bridged by a straight line for heat and bloom."""


@dataclass(frozen=True)
class FromRecord(Fact):
    """A season rests on a record's growing years, so many of them whole."""

    record: str
    first_year: int
    last_year: int
    whole_years: int


@dataclass(frozen=True)
class TooFewYears(Fact):
    """A record has too few whole growing years.

    ``span``: first and last calendar year of the record; ``asked``: those that the brief keeps to,
    None where it does not.
    """

    record: str
    years: int
    span: tuple[int, int]
    asked: tuple[int | None, int | None]
    least_years: int


@dataclass(frozen=True)
class TooFewAnswers(Fact):
    """A record has too few springs or autumns whose missing days cannot hide a freeze."""

    record: str
    springs: int
    autumns: int
    least_years: int


@dataclass(frozen=True)
class TooManyGaps(Fact):
    """A record has too few growing years without a gap longer than so many days."""

    record: str
    years: int
    gap_days: int
    least_years: int


@dataclass(frozen=True)
class OtherHemisphere(Fact):
    """A record's warm months are the cold ones of the place it is given for."""

    record: str
    place: str


@dataclass(frozen=True)
class MonthsUnlike(Fact):
    """A record's months and the grid's at the place differ by up to so much."""

    record: str
    place: str
    differ_c: float


@dataclass(frozen=True)
class YearsLeftOut(Fact):
    """Growing years left out of heat and bloom for a gap longer than so many days."""

    years: tuple[int, ...]
    gap_days: int


@dataclass(frozen=True)
class GridRain(Fact):
    """The grid's rain is used, since the record has none or too little."""

    record_has: Literal["none", "too_little"]


@dataclass(frozen=True)
class RainFilled(Fact):
    """Days without rain readings have their month's mean."""

    days: int


@dataclass(frozen=True)
class FreezeTrend(Fact):
    """The last freeze of spring or the first of autumn comes later (or earlier: below 0).

    ``p``: odds of a trend as strong as this by chance.
    """

    freeze: Literal["last", "first"]
    days_a_decade: float
    p: float


@dataclass(frozen=True)
class WarmthTrend(Fact):
    """The year grows warmer (or cooler: below 0).  ``p``: as in FreezeTrend."""

    c_a_decade: float
    p: float


@dataclass(frozen=True)
class NightsTrend(Fact):
    """As WarmthTrend, of the minima alone: of a record with too few maxima."""

    c_a_decade: float
    p: float


TrendFact = FreezeTrend | WarmthTrend | NightsTrend


@dataclass(frozen=True)
class NoTrend(Fact):
    """No trend over these growing years, so all are used."""

    first_year: int
    last_year: int


@dataclass(frozen=True)
class RecentYearsUsed(Fact):
    """Trends over these growing years, so only the last so many are used."""

    first_year: int
    last_year: int
    trends: tuple[TrendFact, ...]
    years: int


class GrowingYears(NamedTuple):
    """Growing years of a record: labels (n,), and (n, 365) minima, maxima and rain (or None)."""

    labels: NDArray[np.int64]
    tmin_c: NDArray[np.float64]
    tmax_c: NDArray[np.float64]
    rain_mm: NDArray[np.float64] | None


def season_from_record(weather: Weather, record: Record, year: int, seed: int) -> Season:
    """The ensemble of a record's years.  Raises SeasonError where too few are whole."""
    site = weather.site
    years = growing_years(record, site.start_month)
    chosen, notes = _window(years, weather.years, site.halves)
    if len(chosen) < LEAST_YEARS:
        raise SeasonError(
            TooFewYears(record.name, len(chosen), record.years, weather.years, LEAST_YEARS)
        )
    low, high = years.tmin_c[chosen], years.tmax_c[chosen]
    spring, autumn = (freeze_odds(low, FREEZE_C, site.halves, side) for side in (True, False))
    if min(spring.years, autumn.years) < LEAST_YEARS:
        raise SeasonError(TooFewAnswers(record.name, spring.years, autumn.years, LEAST_YEARS))
    nights = _longest_gap(low) <= MOST_GAP_DAYS
    whole = nights & (_longest_gap(high) <= MOST_GAP_DAYS)
    no_maxima = int(whole.sum()) < LEAST_YEARS <= int(nights.sum())
    whole = nights if no_maxima else whole
    count = int(whole.sum())
    if count < LEAST_YEARS:
        raise SeasonError(TooManyGaps(record.name, count, MOST_GAP_DAYS, LEAST_YEARS))
    minima = _filled(low[whole])
    if no_maxima:
        maxima = with_maxima(weather, minima, high[whole], seed)
        notes = (*notes, MaximaModelled(record.name))
    else:
        maxima = _filled(high[whole])
    labels = [int(label) for label in years.labels[chosen]]
    holed = tuple(label for label, sound in zip(labels, whole, strict=True) if not sound)
    rain_mm, rain_notes = _rain(weather, years, chosen[whole], seed)
    gaps = (YearsLeftOut(holed, MOST_GAP_DAYS),) if holed else ()
    return Season(
        site=site,
        start=growing_year_start(site, year),
        tmin_c=minima,
        tmax_c=maxima,
        rain_mm=rain_mm,
        source="record",
        basis=FromRecord(record.name, labels[0], labels[-1], count),
        notes=(*record.notes, *notes, *gaps, *rain_notes),
        doubt_days=bootstrap_sd(spring, min(0.1, spring.share / 2), seed),
        odds_dates=(spring, autumn),
        readings_c=low,
    )


class WrongPlaceError(SeasonError):
    """A record that cannot have been kept where it is stated to have been."""


FAR_OFF_C = 7.0
"""Degrees between a record's months and the grid's from which the place is doubted: mountains and
the grid's error together seldom come to so much."""


def check_place(weather: Weather, record: Record) -> tuple[Fact, ...]:
    """Hold the record's months, as far as it has them, against the place's normals.

    Raises WrongPlaceError where its summer is the place's winter; else returns a doubt, if any.
    """
    month = month_of(record.days)
    daily, usual = (record.tmin_c + record.tmax_c) / 2, np.array(weather.normals.mean_c)
    if np.isnan(record.tmax_c).mean() > 0.5:
        daily = record.tmin_c
        usual = usual - monthly("half_range_c", weather.site.latitude, weather.normals)
    known = ~np.isnan(daily)
    had = [m for m in range(12) if (known & (month == m)).sum() >= LEAST_DAYS]
    if len(had) < 3:
        return ()
    own = np.array([float(daily[known & (month == m)].mean()) for m in had])
    grid = usual[had]
    far = float(np.abs(own - grid).max())
    if far <= FAR_OFF_C:
        return ()
    if np.ptp(grid) > FAR_OFF_C and np.corrcoef(own, grid)[0, 1] < -0.5:
        raise WrongPlaceError(OtherHemisphere(record.name, weather.site.label))
    return (MonthsUnlike(record.name, weather.site.label, far),)


LEAST_DAYS = 20
"""Days of a month that a record must have for the month to be held against the normals."""

RAIN_KNOWN = 0.8
"""Share of a month's days, over the years used, whose rain must be known for the record's to be
used."""


def _rain(
    weather: Weather, years: GrowingYears, rows: NDArray[np.int64], seed: int
) -> tuple[NDArray[np.float64], tuple[Fact, ...]]:
    """(n, 365) rain of the years used, and what is to be noted of it.

    A missing day has its month's mean; a record that knows too little rain has the grid's.
    """
    if years.rain_mm is None:
        return modelled_rain(weather, len(rows), seed), (GridRain("none"),)
    rain = years.rain_mm[rows]
    month = month_of_day(weather.site)
    known = [float((~np.isnan(rain[:, month == m])).mean()) for m in range(12)]
    if min(known) < RAIN_KNOWN:
        return modelled_rain(weather, len(rows), seed), (GridRain("too_little"),)
    means = np.array([np.nanmean(rain[:, month == m]) for m in range(12)])
    gone = np.isnan(rain)
    filled = (RainFilled(int(gone.sum())),) if gone.any() else ()
    return np.where(gone, means[month], rain), filled


def growing_years(record: Record, start_month: int) -> GrowingYears:
    """The growing years of a record, from a month on, whose 365 days it covers, 29 February left
    out."""
    days, month = record.days, month_of(record.days)
    dom = (days - days.astype("datetime64[M]")).astype(int)
    kept = ~((month == 1) & (dom == 28))
    starts = np.flatnonzero((month == start_month - 1) & (dom == 0))
    at = np.flatnonzero(kept)
    where = np.searchsorted(at, starts)
    fits = where + DAYS <= len(at)
    index = at[where[fits][:, None] + np.arange(DAYS)]
    return GrowingYears(
        days[starts[fits]].astype("datetime64[Y]").astype(int) + 1970,
        record.tmin_c[index],
        record.tmax_c[index],
        None if record.rain_mm is None else record.rain_mm[index],
    )


MAXIMA_KNOWN = 0.8
"""Share of the years with minima whose maxima must be known, too, for the trend of the mean to be
looked for, not that of the minima alone (estimate)."""


def trends(years: GrowingYears, halves: Halves) -> tuple[TrendFact, ...]:
    """The trends that are established: of the last freeze, of the first freeze, and of the mean
    temperature, or of the minima where too few years have maxima."""

    def days(spring: bool) -> NDArray[np.float64]:
        find = last_spring if spring else first_autumn
        found = find(years.tmin_c, FREEZE_C, halves).astype(float)
        sound = usable(years.tmin_c, FREEZE_C, spring, halves) & (found != NEVER)
        return np.where(sound, found, np.nan)

    def trend(values: NDArray[np.float64]) -> Trend:
        return trend_of(years.labels, values)

    last, first = trend(days(True)), trend(days(False))
    nights, means = _yearly(years.tmin_c), _yearly((years.tmin_c + years.tmax_c) / 2)
    alone = (~np.isnan(means)).sum() < MAXIMA_KNOWN * (~np.isnan(nights)).sum()
    warmth = trend(nights if alone else means)
    found: list[tuple[Trend, TrendFact]] = [
        (last, FreezeTrend("last", last.per_decade, last.p)),
        (first, FreezeTrend("first", first.per_decade, first.p)),
        (warmth, (NightsTrend if alone else WarmthTrend)(warmth.per_decade, warmth.p)),
    ]
    return tuple(fact for own, fact in found if own.established)


def _yearly(daily: NDArray[np.float64]) -> NDArray[np.float64]:
    """(n,) means of years (n, 365); nan where one day in twenty or more is missing."""
    known = np.isnan(daily).sum(axis=1) < DAYS // 20
    mean = np.nansum(daily, axis=1) / np.maximum((~np.isnan(daily)).sum(axis=1), 1)
    return np.where(known, mean, np.nan)


def _window(
    years: GrowingYears, stated: tuple[int | None, int | None], halves: Halves
) -> tuple[NDArray[np.int64], tuple[Fact, ...]]:
    """Rows of the years to use, and what is to be noted of the choice.

    Years that are stated are used.  Otherwise all of them, unless freezes or warmth show a
    trend: then the last RECENT_YEARS, since old years no longer give today's odds.
    """
    first, last = stated
    if first is not None or last is not None:
        inside = np.ones(len(years.labels), bool)
        inside &= first is None or years.labels >= first
        inside &= last is None or years.labels <= last
        return np.flatnonzero(inside), ()
    rows = np.arange(len(years.labels))
    if len(rows) <= RECENT_YEARS:
        return rows, ()
    found = trends(years, halves)
    span = int(years.labels[0]), int(years.labels[-1])
    if not found:
        return rows, (NoTrend(*span),)
    return rows[-RECENT_YEARS:], (RecentYearsUsed(*span, found, RECENT_YEARS),)


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
