"""Seasons from the model: from the world's normals alone, or bent to dates an office states."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from bedwright.brief import KnownFrost, MonthDay
from bedwright.season.ensemble import (
    DAYS,
    Season,
    SeasonError,
    Weather,
    day_of_year,
    growing_year_start,
)
from bedwright.season.frost import (
    FREEZE_C,
    NEVER,
    SPLIT,
    FreezeOdds,
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

MODEL_SEASONS = 1000
"""Simulated seasons: the 10% date then has a standard error of half a day."""

RAIN_SHAPE = 2.5
"""Shape of the gamma law that a month's rain follows about its mean, a spread of 63% (from memory:
half to four fifths is usual in moist climates, more in dry ones)."""


def modelled_rain(weather: Weather, count: int, seed: int) -> NDArray[np.float64]:
    """(count, 365) rain a day: the normals, each month of each season drawn dry or wet."""
    lengths = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    per_day = np.array(weather.normals.rain_mm) / lengths
    day = day_of_year(weather.site)
    mean = np.maximum(through_year(per_day, day), 0.0)
    month = np.searchsorted(np.cumsum(lengths)[:-1], day, "right")
    rng = np.random.default_rng([seed, 104])
    wet = rng.gamma(RAIN_SHAPE, 1.0 / RAIN_SHAPE, (count, 12))
    return np.asarray(mean * wet[:, month])


def season_from_normals(weather: Weather, year: int, seed: int) -> Season:
    """The ensemble that normals alone give."""
    site = weather.site
    climate = climate_of(site.latitude, weather.normals, day_of_year(site), SPLIT[site.north])
    low, high = simulate(climate, MODEL_SEASONS, seed)
    odds = tuple(freeze_odds(low, FREEZE_C, site.north, spring) for spring in (True, False))
    return Season(
        site,
        growing_year_start(site, year),
        low,
        high,
        modelled_rain(weather, MODEL_SEASONS, seed),
        "normals",
        "monthly normals of a world grid (ERA5, 2000-2025) and a model of daily minima",
        (
            "Frost dates reckoned from normals can be weeks out: ask the local extension office or"
            " weather service for its dates and state them.",
            "Rain is a grid's, which coasts and mountains belie.",
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


def season_from_dates(weather: Weather, year: int, known: KnownFrost, seed: int) -> Season:
    """The model's seasons, each warmed or cooled until its freezes fall as the dates say."""
    base = season_from_normals(weather, year, seed)
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
