"""The season of a place at a glance: freezes, safe days, and month by month."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Hardiness
from bedwright.climate import (
    FREEZE_C,
    MONTH_DAYS,
    THRESHOLD_NAMES,
    Season,
    bootstrap_range,
    day_length_h,
    day_of_year,
    free_days,
    freeze_free_days,
    heat_sum,
    soil_temperature,
    workable_day,
)
from bedwright.growth.outdoors import LATE, TRANSPLANT_SOIL_C, DecidedBy, Outdoors

RISKS = (0.5, 0.2, 0.1, 0.05)
"""Odds of a freeze after planting at which days are given."""

HEAT_LIMITS_C = (28.0, 30.0, 32.0)
"""Mean daily maxima of a fortnight above which flowers stop: of pansies and pot marigolds (27 to
28), of snapdragons and sweet alyssum (29 to 30), of nasturtiums and gerberas (32), by the
catalogue."""

CLASS_NIGHT_C: dict[Hardiness, float] = {"hardy": -4.0, "half_hardy": -1.0, "tender": FREEZE_C}
"""Night that three kinds in four of a class outlive when just set out (of the catalogue, whose own
figures decide in a plan); the tenderest lose a degree or so sooner."""


@dataclass(frozen=True)
class Freezes:
    """Days (indices) of the last and first freeze at a threshold, one for each of RISKS; None where
    the odds never come to that.

    ``fitted_spring``, ``fitted_autumn``: the same from a normal curve.
    """

    threshold_c: float
    name: str
    spring: tuple[float | None, ...]
    autumn: tuple[float | None, ...]
    fitted_spring: tuple[float | None, ...]
    fitted_autumn: tuple[float | None, ...]


@dataclass(frozen=True)
class SafeDays:
    """First days on which a class may go outside, one for each of RISKS, and what decides each;
    None where no day before midsummer is safe."""

    hardiness: Hardiness
    night_c: float
    soil_c: float
    days: tuple[int | None, ...]
    decided_by: tuple[DecidedBy, ...]


@dataclass(frozen=True)
class HeatDays:
    """First days after which a fortnight with days hotter than a limit still comes, before the
    coolest one, at the odds of RISKS; None where there is no such day."""

    limit_c: float
    days: tuple[int | None, ...]


@dataclass(frozen=True)
class Month:
    """One month: means of the days' extremes, °C, and of the soil; rain in a usual month and in the
    driest and wettest of ten, mm; heat gathered in it above 10 °C, degree-days; hours of day at its
    middle.

    ``tmin_range_c``, ``tmax_range_c``: between which the month's mean minimum and mean maximum lie
    in eight seasons of ten.
    """

    number: int
    tmin_c: float
    tmax_c: float
    tmin_range_c: tuple[float, float]
    tmax_range_c: tuple[float, float]
    soil_c: float
    rain_mm: tuple[float, float, float]
    heat: float
    day_h: float


@dataclass(frozen=True)
class Outlook:
    """All that is printed and drawn of a season.

    ``lengths``: days free of freezes that the season exceeds with odds 1 - RISKS; ``sampling``: the
    range (days) that holds 90% of the bootstrap's last and first freezes at even odds, for a
    record; ``workable``: first day fit for digging; ``heat``, ``cool``: where the winter lies in
    the middle of the growing year, when heat is past, and the day the cool season begins.
    """

    season: Season
    freezes: tuple[Freezes, ...]
    lengths: tuple[int, ...]
    sampling: tuple[tuple[float, float] | None, tuple[float, float] | None]
    workable: int
    safe: tuple[SafeDays, ...]
    months: tuple[Month, ...]
    heat: tuple[HeatDays, ...] = ()
    cool: int | None = None


def outlook_of(season: Season, seed: int = 0) -> Outlook:
    """The outlook of a season; ``seed`` draws the bootstrap's years."""
    soil = soil_temperature(season.tmean_c)
    heat = Outdoors(season, soil, RISKS[0]) if season.winter_amid else None
    return Outlook(
        season=season,
        freezes=tuple(_freezes(season, celsius, name) for celsius, name in THRESHOLD_NAMES),
        lengths=_lengths(season),
        sampling=(_sampling(season, True, seed), _sampling(season, False, seed)),
        workable=workable_day(season, soil),
        safe=tuple(_safe(season, soil, hardiness) for hardiness in CLASS_NIGHT_C),
        months=tuple(_months(season, soil)),
        heat=tuple(_heat(heat, limit) for limit in HEAT_LIMITS_C) if heat else (),
        cool=heat.cool_day if heat else None,
    )


def _heat(outdoors: Outdoors, limit_c: float) -> HeatDays:
    return HeatDays(limit_c, tuple(outdoors.heat_past(limit_c, risk) for risk in RISKS))


def _freezes(season: Season, celsius: float, name: str) -> Freezes:
    spring, autumn = (season.freeze(side, celsius) for side in (True, False))
    return Freezes(
        celsius,
        name,
        tuple(spring.day_at(risk) for risk in RISKS),
        tuple(autumn.day_at(risk) for risk in RISKS),
        tuple(spring.fitted_day_at(risk) for risk in RISKS),
        tuple(autumn.fitted_day_at(risk) for risk in RISKS),
    )


def _lengths(season: Season) -> tuple[int, ...]:
    """From the weather itself; from stated dates, paired by season."""
    if season.stated is None:
        days = freeze_free_days(season.tmin_c, FREEZE_C, season.site.halves)
    else:
        days = free_days(*season.stated, season.site.halves)
    return tuple(int(v) for v in np.quantile(days, RISKS, method="median_unbiased"))


def _sampling(season: Season, spring: bool, seed: int) -> tuple[float, float] | None:
    if season.source != "record":
        return None
    odds = season.freeze(spring)
    open_still = len(set(odds.dates)) > 1
    return bootstrap_range(odds, 0.5, seed) if odds.share > 0.5 and open_still else None


def _safe(season: Season, soil: NDArray[np.floating], hardiness: Hardiness) -> SafeDays:
    night, warmth = CLASS_NIGHT_C[hardiness], TRANSPLANT_SOIL_C[hardiness]
    found = [Outdoors(season, soil, risk).day(night, warmth) for risk in RISKS]
    return SafeDays(
        hardiness,
        night,
        warmth,
        tuple(None if out.decided_by in LATE else out.day for out in found),
        tuple(out.decided_by for out in found),
    )


def _months(season: Season, soil: NDArray[np.floating]) -> list[Month]:
    hours = day_length_h(season.site.latitude, day_of_year(season.site))
    gathered = np.diff(heat_sum(season.tmean_c), axis=1, prepend=0.0)
    first = season.start.month - 1
    months = [(first + n) % 12 for n in range(12)]
    ends = np.cumsum([MONTH_DAYS[month] for month in months])
    spans = [slice(end - MONTH_DAYS[month], end) for month, end in zip(months, ends, strict=True)]

    def points(values: list[NDArray[np.floating]], *shares: float) -> list[tuple[float, ...]]:
        """Of each month the values that these shares of the seasons keep below."""
        found = np.quantile(np.stack(values), shares, axis=1)
        return [tuple(float(v) for v in month) for month in found.T]

    rain = points([season.rain_mm[:, days].sum(axis=1) for days in spans], 0.5, 0.1, 0.9)
    heat = np.median([gathered[:, days].sum(axis=1) for days in spans], axis=1)
    nights, highs = (
        points([series[:, days].mean(axis=1) for days in spans], 0.1, 0.9)
        for series in (season.tmin_c, season.tmax_c)
    )
    return [
        Month(
            number=month + 1,
            tmin_c=float(season.tmin_c[:, days].mean()),
            tmax_c=float(season.tmax_c[:, days].mean()),
            tmin_range_c=(nights[n][0], nights[n][1]),
            tmax_range_c=(highs[n][0], highs[n][1]),
            soil_c=float(soil[:, days].mean()),
            rain_mm=(rain[n][0], rain[n][1], rain[n][2]),
            heat=float(heat[n]),
            day_h=float(hours[days.start + MONTH_DAYS[month] // 2]),
        )
        for n, (month, days) in enumerate(zip(months, spans, strict=True))
    ]
