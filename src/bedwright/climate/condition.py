"""The days of this year that have been seen: fixed in every season, and felt in those that follow.

Departures from the usual follow a first-order autoregression, so what is known of one day moves the
next by its lag correlation, the day after by the square of it, and so on, from both sides within a
gap (the conditional mean of a Gaussian AR(1); any text on time series).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.ensemble import DAYS, Season
from bedwright.climate.frost import FREEZE_C, NEVER, first_autumn, last_spring, odds_of_days
from bedwright.climate.maxima import DAY_WITH_NIGHT
from bedwright.climate.record import Record
from bedwright.facts import Fact

Floats = NDArray[np.floating]


@dataclass(frozen=True)
class SeenUntil(Fact):
    """The growing year's weather up to a day is as it was seen; odds are of what follows."""

    day: date


SEEN_DAYS, SEEN_SHARE = 150, 0.8
"""The months before the last day seen, and the share of their days that must have been seen, for
what they brought to count as known."""

HARDLY = 0.01
"""Odds of a further freeze before midsummer below which spring is past (estimate)."""

LEAST_DOUBT_C = 1.0
"""How much colder nights may be at the least: a record's few seasons miss its coldest by about that
(estimate)."""


def hold_observed(season: Season, record: Record) -> Season:
    """The season with the record's days of its own growing year fixed; as it was without any."""
    low = _days_of(season, record, record.tmin_c)
    high = _days_of(season, record, record.tmax_c)
    if np.isnan(low).all():
        return _with_rain(season, record)
    tmin = _moved(season.tmin_c, low)
    tmax: Floats = season.tmax_c + DAY_WITH_NIGHT * (tmin - season.tmin_c)
    if not np.isnan(high).all():
        tmax = _moved(season.tmax_c, high)
    tmax = np.maximum(tmax, tmin)
    last = int(np.flatnonzero(~np.isnan(low))[-1])
    lately = ~np.isnan(low[max(last - SEEN_DAYS, 0) : last + 1])
    settled = last if lately.mean() >= SEEN_SHARE else -1
    stated, halves = season.stated, season.site.halves
    if stated is not None:
        stated = _unsettled(stated, low, last, season)
    spring, autumn = stated or (
        last_spring(tmin, FREEZE_C, halves),
        first_autumn(tmin, FREEZE_C, halves),
    )
    cold = FREEZE_C + max(season.doubt_c, LEAST_DOUBT_C)
    nights = tmin[:, last + 1 : season.split]
    coming = (nights <= cold).any(axis=1) if stated is None else spring > last
    past = settled >= 0 and float(coming.mean()) < HARDLY
    return replace(
        season,
        tmin_c=tmin,
        tmax_c=tmax,
        rain_mm=_with_rain(season, record).rain_mm,
        notes=(*season.notes, SeenUntil(season.day(last))),
        odds_dates=odds_of_days(spring, autumn),
        doubt_days=0.0 if past else season.doubt_days,
        stated=stated,
        readings_c=None,
        settled=settled,
        spring_past=past,
    )


def _with_rain(season: Season, record: Record) -> Season:
    """The season with the record's rain of its own growing year."""
    if record.rain_mm is None:
        return season
    fallen = _days_of(season, record, record.rain_mm)
    if np.isnan(fallen).all():
        return season
    return replace(season, rain_mm=np.where(np.isnan(fallen), season.rain_mm, fallen))


def _unsettled(
    stated: tuple[NDArray[np.int64], NDArray[np.int64]],
    low: NDArray[np.float64],
    last: int,
    season: Season,
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Stated freeze days that the days seen have not settled or ruled out.

    A last freeze of spring that should have been by now is the one seen; a first freeze of autumn
    that should have been and was not gives way to those still to come.
    """
    spring, autumn = stated
    past = np.where(np.arange(DAYS) <= last, low, np.nan)[None]
    seen_last = last_spring(past, FREEZE_C, season.site.halves)[0]
    seen_first = first_autumn(past, FREEZE_C, season.site.halves)[0]
    seen = ~np.isnan(low)
    # The day it should have been was seen, without a freeze unless it is the last one seen.
    spring = np.where((spring != NEVER) & seen[spring], seen_last, np.maximum(spring, seen_last))
    if seen_first != NEVER:
        autumn = np.where((autumn == NEVER) | (autumn > seen_first), seen_first, autumn)
    gone = (autumn != NEVER) & seen[autumn] & (autumn != seen_first)
    if gone.any():
        coming = autumn[~gone]
        autumn = np.resize(coming, len(autumn)) if len(coming) else np.full_like(autumn, NEVER)
    return spring, autumn


def _days_of(season: Season, record: Record, values: Floats) -> NDArray[np.float64]:
    """(365,) a record's readings on the days of the growing year; nan where there are none."""
    out = np.full(DAYS, np.nan)
    for index in range(DAYS):
        at = int((np.datetime64(season.day(index)) - record.first).astype(int))
        if 0 <= at < len(values):
            out[index] = values[at]
    return out


def _moved(seasons: Floats, known: NDArray[np.float64]) -> Floats:
    """Seasons (n, 365) moved to pass through the known days."""
    at = np.flatnonzero(~np.isnan(known))
    move = known[at] - seasons[:, at]
    days, lag = np.arange(DAYS), _lag(seasons)
    upper = np.searchsorted(at, days)
    before, after = np.clip(upper - 1, 0, None), np.clip(upper, None, len(at) - 1)
    since = np.where(upper > 0, days - at[before], DAYS)
    until = np.where(upper < len(at), at[after] - days, DAYS)
    ends = 1.0 - lag ** (2.0 * (since + until))
    from_before = lag**since * (1.0 - lag ** (2.0 * until)) / ends
    from_after = lag**until * (1.0 - lag ** (2.0 * since)) / ends
    bridged = move[:, before] * from_before + move[:, after] * from_after
    return np.asarray(seasons + bridged, seasons.dtype)


def _lag(seasons: Floats) -> float:
    """Day-to-day correlation of the departures from the ensemble's own mean."""
    off = seasons - seasons.mean(axis=0)
    spread = float((off**2).mean())
    return float(np.clip((off[:, 1:] * off[:, :-1]).mean() / max(spread, 1e-9), 0.0, 0.99))
