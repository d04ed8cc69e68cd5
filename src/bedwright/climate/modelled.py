"""Seasons from the model: from the world's normals alone, or bent to dates an office states."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import scipy
from numpy.typing import NDArray

from bedwright.brief import KnownFrost, MonthDay
from bedwright.climate.ensemble import (
    DAYS,
    MONTH_DAYS,
    Season,
    Site,
    Weather,
    day_of_year,
    growing_year_start,
    month_of_day,
)
from bedwright.climate.frost import (
    FREEZE_C,
    NEVER,
    SPLIT,
    FreezeOdds,
    Halves,
    first_autumn,
    freeze_odds,
    last_spring,
)
from bedwright.climate.model import (
    MOST_ROUGH_M,
    TROPICS_DEG,
    Climate,
    climate_of,
    simulate,
    spring_share,
    through_year,
)
from bedwright.climate.normals import LAPSE_C_PER_M
from bedwright.facts import Fact

MODEL_SEASONS = 1000
"""Simulated seasons: the 10% date then has a standard error of a day or so."""

RAIN_SHAPE = 2.5
"""Shape of the gamma law that a month's rain follows about its mean, a spread of 63% (from memory:
half to four fifths is usual in moist climates, more in dry ones)."""


@dataclass(frozen=True)
class FromNormals(Fact):
    """A season rests on monthly normals of the world grid and the model of daily minima."""


@dataclass(frozen=True)
class FromDates(Fact):
    """A season rests on stated frost dates, heat and rain on the grid's normals.

    ``whose``: where the dates come from, as stated; empty where nothing is.
    """

    whose: str


@dataclass(frozen=True)
class RoughDates(Fact):
    """Frost dates from normals alone can be weeks out."""


@dataclass(frozen=True)
class RoughRain(Fact):
    """Rain from the grid, which is wrong near coasts and mountains."""


@dataclass(frozen=True)
class UntriedTropics(Fact):
    """No station of the tropics was fitted: freezes there are a guess."""


@dataclass(frozen=True)
class UntriedHere(Fact):
    """The surroundings of a place are unlike those of all stations fitted."""


@dataclass(frozen=True)
class ColdHollows(Fact):
    """Hilly land, whose hollows freeze later in spring and sooner in autumn."""


@dataclass(frozen=True)
class DatesMissed(Fact):
    """The modelled weather meets the stated spring dates only to so many days (median)."""

    miss_days: float


def modelled_rain(weather: Weather, count: int, seed: int) -> NDArray[np.float64]:
    """(count, 365) rain a day: the normals, each month of each season drawn dry or wet."""
    per_day = np.array(weather.normals.rain_mm) / np.array(MONTH_DAYS)
    mean = np.maximum(through_year(per_day, day_of_year(weather.site)), 0.0)
    rng = np.random.default_rng([seed, 104])
    wet = rng.gamma(RAIN_SHAPE, 1.0 / RAIN_SHAPE, (count, 12))
    return np.asarray(mean * wet[:, month_of_day(weather.site)])


def season_from_normals(weather: Weather, year: int, seed: int) -> Season:
    """The ensemble that normals alone give."""
    site = weather.site
    split, turn = _spring_of(site)
    climate = climate_of(site.latitude, weather.normals, day_of_year(site), split, turn=turn)
    low, high = simulate(climate, MODEL_SEASONS, seed)
    spring, autumn = (freeze_odds(low, FREEZE_C, site.halves, side) for side in (True, False))
    doubt_c = _doubt_c(climate, weather)
    return Season(
        site=site,
        start=growing_year_start(site, year),
        tmin_c=low,
        tmax_c=high,
        rain_mm=modelled_rain(weather, MODEL_SEASONS, seed),
        source="normals",
        basis=FromNormals(),
        notes=_normals_notes(weather, climate),
        doubt_days=_doubt_days(climate, spring, doubt_c),
        doubt_c=doubt_c,
        odds_dates=(spring, autumn),
    )


def _spring_of(site: Site) -> tuple[int, int]:
    """Days from midwinter to the split of spring and autumn, and midwinter's day of the growing
    year."""
    if site.heat_turn is None:
        return SPLIT[site.north], 0
    return SPLIT[site.heat_turn == 7], DAYS - 181 if site.heat_turn == 7 else 181


ROUGH_M = 150.0
"""Standard deviation of heights about a place from which its hollows count (estimate)."""


UNTRIED = 0.5
"""How far outside the stations' surroundings a place lies before it is told, in widths of their
range (estimate)."""


def _normals_notes(weather: Weather, climate: Climate) -> tuple[Fact, ...]:
    """What must be known of dates from normals at this place."""
    notes: list[Fact] = [RoughDates(), RoughRain()]
    if abs(weather.site.latitude) < TROPICS_DEG[1]:
        notes.append(UntriedTropics())
    elif climate.spring.untried > UNTRIED:
        notes.append(UntriedHere())
    if weather.normals.terrain.rough_m > ROUGH_M:
        notes.append(ColdHollows())
    return tuple(notes)


HEIGHT_MISS = 0.6
"""How far a height that is not stated may miss, as a share of the roughness of the land (estimate:
towns lie lower than the land about them, but alike)."""


def _doubt_c(climate: Climate, weather: Weather) -> float:
    """Standard error of cold nights in spring, °C: of regions left out of the fit, and of a height
    that is not stated, which the land about may miss by its roughness."""
    by_height = 0.0
    if not weather.site.height_stated:
        by_height = HEIGHT_MISS * LAPSE_C_PER_M * min(weather.normals.terrain.rough_m, MOST_ROUGH_M)
    return float(np.hypot(climate.spring.error_c, by_height))


def _doubt_days(climate: Climate, spring: FreezeOdds, doubt_c: float) -> float:
    """Standard error, days, of the last spring freeze: that of cold nights divided by the pace at
    which they warm at that time of year; 0 where no year freezes."""
    middle = spring.day_at(spring.share / 2)
    if middle is None:
        return 0.0
    cold = climate.cold_night
    at = int(np.clip(middle, 15, len(cold) - 16))
    pace = max((cold[at + 15] - cold[at - 15]) / 30.0, 0.05)
    return float(doubt_c / pace)


def season_from_dates(weather: Weather, year: int, known: KnownFrost, seed: int) -> Season:
    """The model's seasons, each warmed or cooled until its freezes fall as the dates say."""
    base = season_from_normals(weather, year, seed)
    rng = np.random.default_rng([seed, 103])
    n, halves = base.size, base.site.halves
    goals = [
        _target_days(known_dates, base, spring, rng.permutation(n))
        for spring, known_dates in ((True, known.last_spring), (False, known.first_autumn))
    ]
    shift_spring = _shift_to(base.tmin_c, goals[0], halves, spring=True)
    shift_autumn = _shift_to(base.tmin_c, goals[1], halves, spring=False)
    spring = spring_share(DAYS, *_spring_of(base.site))
    shift = shift_spring[:, None] * spring + shift_autumn[:, None] * (1 - spring)
    low = (base.tmin_c + shift).astype(np.float32)
    high = (base.tmax_c + shift / 2).astype(np.float32)
    last, first = (
        FreezeOdds(tuple(sorted(int(g) for g in goal if g != NEVER)), n, side)
        for goal, side in zip(goals, (True, False), strict=True)
    )
    missed = _missed(low, goals[0], halves)
    return Season(
        site=base.site,
        start=base.start,
        tmin_c=low,
        tmax_c=np.maximum(high, low + np.float32(0.3)),
        rain_mm=base.rain_mm,
        source="dates",
        basis=FromDates(known.source.strip()),
        notes=() if missed <= FAIR_MISS_DAYS else (DatesMissed(missed),),
        doubt_days=0.0,
        odds_dates=(last, first),
        stated=(goals[0], goals[1]),
    )


FAIR_MISS_DAYS = 5.0
"""Days by which the seasons' own freezes may miss the stated ones without a note (estimate)."""


def _missed(tmin: NDArray[np.floating], goal: NDArray[np.int64], halves: Halves) -> float:
    """Median days by which the seasons' own last freezes miss the stated ones."""
    day = last_spring(tmin, FREEZE_C, halves)
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
    z = scipy.special.ndtri([p for p, _ in points])
    days = np.array([d for _, d in points], float)
    model = base.freeze(spring)
    spread = float(np.std(model.dates)) if len(model.dates) > 3 else 12.0
    if len(points) > 1:
        spread, centre = np.polyfit(z, days, 1)
    else:
        centre = float(days[0] - spread * z[0])
    levels = scipy.special.ndtri((np.arange(len(order)) + 0.5) / len(order))
    goal = np.round(centre + spread * levels).astype(int)
    # Beyond the year's end there is no freeze; past midsummer it is one of the other half.
    if spring:
        goal = np.where(goal < 0, NEVER, np.minimum(goal, base.site.halves.spring_until - 1))
    else:
        goal = np.where(goal >= DAYS, NEVER, np.maximum(goal, base.site.halves.autumn_from))
    return goal[order]


def _index_of(day: MonthDay, base: Season) -> int:
    """Index of a MonthDay within the growing year."""
    index = base.index(day.in_year(base.start.year))
    return index if index >= 0 else base.index(day.in_year(base.start.year + 1))


def _shift_to(
    tmin: NDArray[np.floating], goal: NDArray[np.int64], halves: Halves, spring: bool
) -> NDArray[np.float64]:
    """(n,) degrees added to each season so that its freeze falls as near its goal as can be."""
    shifts = np.arange(-12.0, 12.01, 0.1)
    find = last_spring if spring else first_autumn
    best = np.full(len(tmin), np.inf)
    chosen = np.zeros(len(tmin))
    for shift in shifts[np.argsort(np.abs(shifts), kind="stable")]:
        day = find(tmin + shift, FREEZE_C, halves)
        both = (day != NEVER) & (goal != NEVER)
        neither = (day == NEVER) & (goal == NEVER)
        miss = np.where(both, np.abs(day - goal), np.where(neither, 0.0, 400.0))
        better = miss < best
        best, chosen = np.where(better, miss, best), np.where(better, shift, chosen)
    return chosen
