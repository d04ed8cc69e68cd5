"""A season from a daily record: its own growing years, each as likely as the next."""

from __future__ import annotations

from typing import NamedTuple

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
    Trend,
    bootstrap_sd,
    first_autumn,
    freeze_odds,
    last_spring,
    trend_of,
    usable,
)
from bedwright.climate.modelled import modelled_rain
from bedwright.climate.record import Record

RECENT_YEARS = 30
"""Growing years used of a record with a trend: the span of climate normals (WMO)."""

LEAST_YEARS = 10
MOST_GAP_DAYS = 5
"""Longest gap bridged by a straight line for heat and bloom."""


class GrowingYears(NamedTuple):
    """Growing years of a record: labels (n,), and (n, 365) minima, maxima and rain (or None)."""

    labels: NDArray[np.int64]
    tmin_c: NDArray[np.float64]
    tmax_c: NDArray[np.float64]
    rain_mm: NDArray[np.float64] | None


def season_from_record(weather: Weather, record: Record, year: int, seed: int) -> Season:
    """The ensemble of a record's years.  Raises SeasonError where too few are whole."""
    site = weather.site
    years = growing_years(record, site.north)
    chosen, notes = _window(years, weather.years, site.north)
    if len(chosen) < LEAST_YEARS:
        stated = zip(("from_year", "to_year"), weather.years, strict=True)
        within = " and ".join(f"{word} = {year}" for word, year in stated if year is not None)
        raise SeasonError(
            f"{record.name}: {len(chosen)} whole growing years"
            f" of {record.years[0]}-{record.years[1]}; needed: {LEAST_YEARS} or more"
            + (f" within {within}" if within else "")
        )
    low, high = years.tmin_c[chosen], years.tmax_c[chosen]
    spring, autumn = (freeze_odds(low, FREEZE_C, site.north, side) for side in (True, False))
    if min(spring.years, autumn.years) < LEAST_YEARS:
        raise SeasonError(
            f"{record.name}: {spring.years} springs and {autumn.years} autumns whose missing days"
            f" cannot hide a freeze; needed: {LEAST_YEARS} or more"
        )
    whole = (_longest_gap(low) <= MOST_GAP_DAYS) & (_longest_gap(high) <= MOST_GAP_DAYS)
    count = int(whole.sum())
    if count < LEAST_YEARS:
        raise SeasonError(
            f"{record.name}: {count} growing years without a gap of more than"
            f" {MOST_GAP_DAYS} days; needed: {LEAST_YEARS} or more"
        )
    if count < len(chosen):
        left_out = ", ".join(str(label) for label in years.labels[chosen][~whole])
        notes.append(
            f"growing years left out of heat and bloom for a gap of more than {MOST_GAP_DAYS}"
            f" days: {left_out}"
        )
    rainy, rain_notes = _rain(weather, years, chosen[whole], seed)
    notes += rain_notes
    span = f"{years.labels[chosen[0]]}-{years.labels[chosen[-1]]}"
    return Season(
        site,
        growing_year_start(site, year),
        _filled(low[whole]),
        _filled(high[whole]),
        rainy,
        "record",
        f"the daily record {record.name}, growing years {span} ({count} whole ones)",
        (*record.notes, *notes),
        bootstrap_sd(spring, min(0.1, spring.share / 2), seed),
        (spring, autumn),
        readings_c=low,
    )


class WrongPlaceError(SeasonError):
    """A record that cannot have been kept where it is said to have been."""


FAR_OFF_C = 7.0
"""Degrees between a record's months and the grid's from which the place is doubted: mountains and
the grid's error together seldom come to so much."""


def check_place(weather: Weather, record: Record) -> tuple[str, ...]:
    """Hold the record's months, as far as it has them, against the place's normals.

    Raises WrongPlaceError where its summer is the place's winter; else returns a doubt, if any.
    """
    days = record.first + np.arange(len(record.tmin_c)).astype("timedelta64[D]")
    month = days.astype("datetime64[M]").astype(int) % 12
    daily = (record.tmin_c + record.tmax_c) / 2
    known = ~np.isnan(daily)
    had = [m for m in range(12) if (known & (month == m)).sum() >= LEAST_DAYS]
    if len(had) < 3:
        return ()
    own = np.array([float(daily[known & (month == m)].mean()) for m in had])
    grid = np.array(weather.normals.mean_c)[had]
    far = float(np.abs(own - grid).max())
    if far <= FAR_OFF_C:
        return ()
    if np.ptp(grid) > FAR_OFF_C and np.corrcoef(own, grid)[0, 1] < -0.5:
        raise WrongPlaceError(
            f"{record.name}: its warm months are the cold ones of {weather.site.label};"
            " a record kept on the same side of the equator"
        )
    return (
        f"months of {record.name} and of the world's normals at {weather.site.label} differ by up"
        f" to {far:.0f} °C: is it the right place?",
    )


LEAST_DAYS = 20
"""Days of a month that a record must have for the month to be held against the normals."""

RAIN_KNOWN = 0.8
"""Share of a month's days, over the years used, whose rain must be known for the record to tell
it."""


def _rain(
    weather: Weather, years: GrowingYears, rows: NDArray[np.int64], seed: int
) -> tuple[NDArray[np.float64], list[str]]:
    """(n, 365) rain of the years used, and what is to be said of it.

    A missing day has its month's mean; a record that knows too little rain has the grid's.
    """
    if years.rain_mm is None:
        return modelled_rain(weather, len(rows), seed), [
            "no rain in the record: the grid's is used"
        ]
    rain = years.rain_mm[rows]
    month = month_of_day(weather.site)
    known = [float((~np.isnan(rain[:, month == m])).mean()) for m in range(12)]
    if min(known) < RAIN_KNOWN:
        told = "too little rain in the record for these years: the grid's is used"
        return modelled_rain(weather, len(rows), seed), [told]
    means = np.array([np.nanmean(rain[:, month == m]) for m in range(12)])
    gone = np.isnan(rain)
    told = f"{int(gone.sum())} days without rain readings given their month's mean"
    return np.where(gone, means[month], rain), [told] if gone.any() else []


def growing_years(record: Record, north: bool) -> GrowingYears:
    """The growing years of a record whose 365 days it covers, 29 February left out."""
    days = record.first + np.arange(len(record.tmin_c)).astype("timedelta64[D]")
    month = days.astype("datetime64[M]").astype(int) % 12
    dom = (days - days.astype("datetime64[M]")).astype(int)
    kept = ~((month == 1) & (dom == 28))
    starts = np.flatnonzero((month == (0 if north else 6)) & (dom == 0))
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


def trends(years: GrowingYears, north: bool) -> tuple[Trend, Trend, Trend]:
    """Trends of the last freeze and the first freeze (days) and of the mean temperature (°C)."""

    def days(spring: bool) -> NDArray[np.float64]:
        find = last_spring if spring else first_autumn
        found = find(years.tmin_c, FREEZE_C, north).astype(float)
        sound = usable(years.tmin_c, FREEZE_C, spring, north) & (found != NEVER)
        return np.where(sound, found, np.nan)

    daily = (years.tmin_c + years.tmax_c) / 2
    known = np.isnan(daily).sum(axis=1) < DAYS // 20
    total = np.nansum(daily, axis=1) / np.maximum((~np.isnan(daily)).sum(axis=1), 1)
    mean = np.where(known, total, np.nan)
    return (
        trend_of(years.labels, days(True)),
        trend_of(years.labels, days(False)),
        trend_of(years.labels, mean),
    )


def _window(
    years: GrowingYears, stated: tuple[int | None, int | None], north: bool
) -> tuple[NDArray[np.int64], list[str]]:
    """Rows of the years to use, and what is to be said of the choice.

    Years that are stated are used.  Otherwise all of them, unless freezes or mean temperature show
    a trend: then the last RECENT_YEARS, since old years no longer tell the odds.
    """
    first, last = stated
    if first is not None or last is not None:
        inside = np.ones(len(years.labels), bool)
        inside &= first is None or years.labels >= first
        inside &= last is None or years.labels <= last
        return np.flatnonzero(inside), []
    rows = np.arange(len(years.labels))
    if len(rows) <= RECENT_YEARS:
        return rows, []
    spring, autumn, mean = trends(years, north)
    said = [
        *_say(spring, "days", "the last freeze comes", ("later", "earlier")),
        *_say(autumn, "days", "the first freeze comes", ("later", "earlier")),
        *_say(mean, "°C", "the year has grown", ("warmer", "cooler")),
    ]
    span = f"{years.labels[0]}-{years.labels[-1]}"
    if not said:
        return rows, [f"no trend in freezes or warmth over {span}, so all its years are used"]
    return rows[-RECENT_YEARS:], [
        f"over {span} {', '.join(said)}, so only the last {RECENT_YEARS} years are used"
    ]


def _say(trend: Trend, unit: str, what: str, ways: tuple[str, str]) -> list[str]:
    """A trend in words, if it is established."""
    if not trend.established:
        return []
    way = ways[0] if trend.per_decade > 0 else ways[1]
    return [f"{what} {abs(trend.per_decade):.1f} {unit} a decade {way} (p {trend.p:.2f})"]


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
