"""Seasons from the model and the world's normals alone."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.ensemble import (
    MONTH_DAYS,
    Season,
    Weather,
    day_of_year,
    growing_year_start,
    month_of_day,
    spring_of,
)
from bedwright.climate.exposure import SITUATION_C
from bedwright.climate.frost import (
    FREEZE_C,
    FreezeOdds,
    freeze_odds,
)
from bedwright.climate.model import (
    MOST_ROUGH_M,
    TROPICS_DEG,
    Climate,
    climate_of,
    simulate,
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
class PerhapsTown(Fact):
    """The place is a city, amid whose houses nights are milder than normals have them, by °C."""

    milder_c: float


@dataclass(frozen=True)
class ColdHollows(Fact):
    """Hilly land, whose hollows freeze later in spring and sooner in autumn."""


def modelled_rain(weather: Weather, count: int, seed: int) -> NDArray[np.float64]:
    """(count, 365) rain a day: the normals, each month of each season drawn dry or wet."""
    per_day = np.array(weather.normals.rain_mm) / np.array(MONTH_DAYS)
    mean = np.maximum(through_year(per_day, day_of_year(weather.site)), 0.0)
    rng = np.random.default_rng([seed, 104])
    wet = rng.gamma(RAIN_SHAPE, 1.0 / RAIN_SHAPE, (count, 12))
    return np.asarray(mean * wet[:, month_of_day(weather.site)])


def climate_at(weather: Weather) -> Climate:
    """The model of a place, day by day of its growing year."""
    site = weather.site
    split, turn = spring_of(site)
    return climate_of(site.latitude, weather.normals, day_of_year(site), split, turn=turn)


def season_from_normals(weather: Weather, year: int, seed: int) -> Season:
    """The ensemble that normals alone give."""
    site = weather.site
    climate = climate_at(weather)
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


ROUGH_M = 150.0
"""Standard deviation of heights about a place from which its hollows count (estimate)."""


UNTRIED = 0.5
"""How far outside the stations' surroundings a place lies before it is told, in widths of their
range (estimate)."""


CITY_PEOPLE = 200_000
"""People from which a town is a city that keeps its nights milder (estimate)."""


def _normals_notes(weather: Weather, climate: Climate) -> tuple[Fact, ...]:
    """What must be known of dates from normals at this place."""
    notes: list[Fact] = [RoughDates(), RoughRain()]
    if abs(weather.site.latitude) < TROPICS_DEG[1]:
        notes.append(UntriedTropics())
    elif climate.spring.untried > UNTRIED:
        notes.append(UntriedHere())
    spot_known = bool(weather.situation) or weather.nights_c is not None
    if (weather.people or 0) >= CITY_PEOPLE and not spot_known:
        notes.append(PerhapsTown(SITUATION_C["town"]))
    hollow_known = bool({"hollow", "slope"} & {*weather.situation}) or weather.nights_c is not None
    if weather.normals.terrain.rough_m > ROUGH_M and not hollow_known:
        notes.append(ColdHollows())
    return tuple(notes)


HEIGHT_MISS = 0.6
"""How far the grid's height may miss, as a share of the roughness of the land: it misses those of
towns by 0.45 to 0.75 of it, rms (``tools/pack_towns.py``)."""


def _doubt_c(climate: Climate, weather: Weather) -> float:
    """Standard error of cold nights in spring, °C: of regions left out of the fit, and of the
    grid's height, where no better is known."""
    by_height = 0.0
    if weather.site.height_from == "grid":
        by_height = HEIGHT_MISS * LAPSE_C_PER_M * min(weather.normals.terrain.rough_m, MOST_ROUGH_M)
    return float(np.hypot(climate.spring.error_c, by_height))


def doubt_days(weather: Weather, spring: FreezeOdds, doubt_c: float) -> float:
    """Days that so many °C of doubt about cold nights make of the last spring freeze."""
    return _doubt_days(climate_at(weather), spring, doubt_c)


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
