"""What the garden's own spot does to its nights: a hollow, a slope, a town, a wall, the sea.

Clear calm nights, the cold ones, move in full, cloudy and windy ones hardly (``model.lean_of``).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.ensemble import DAYS, Season, Weather
from bedwright.climate.frost import (
    FREEZE_C,
    NEVER,
    Halves,
    first_autumn,
    freeze_odds,
    last_spring,
    odds_of_days,
)
from bedwright.climate.model import lean_of
from bedwright.climate.normals import LAPSE_C_PER_M
from bedwright.climate.record import Record, month_of
from bedwright.facts import Fact

Floats = NDArray[np.floating]

SITUATION_C = {
    "hollow": -2.0,
    "slope": 1.0,
    "town": 1.5,
    "wall": 1.5,
    "sea front": 1.0,
}
"""Degrees C by which cold nights in a spot differ from those of open country about it.

``hollow``: some 30 m of relief, at the 6.2 °C in 100 m that a valley in Pennsylvania had on clear
calm mornings (Hocevar and Martsolf 1971, Agricultural Meteorology 8, 371-383).  ``town``: nights in
towns of the United States are 1.0 to 2.5 °C warmer (Climate Science Special Report 2017, key
finding 10.4).  ``slope``: hillsides stay warmer than valley and hilltop (Young 1921, Monthly
Weather Review 49); its size, and ``wall`` and ``sea front``: common practice, no source.
"""


@dataclass(frozen=True)
class NightsMoved(Fact):
    """Cold nights were moved by so many °C, for what the garden's ``situation`` is; for what the
    gardener measured where that is empty."""

    situation: tuple[str, ...]
    celsius: float


@dataclass(frozen=True)
class NightsLearned(Fact):
    """Cold nights were moved by so many °C, from what was measured in the garden; its standard
    error, where that is known."""

    celsius: float
    error_c: float | None


@dataclass(frozen=True)
class HeightMoved(Fact):
    """A record's temperatures were moved by so many °C, from its own height to the garden's, m."""

    record: str
    record_m: float
    garden_m: float
    celsius: float


def nights_c(weather: Weather) -> float:
    """Degrees C by which the garden's cold nights differ: as stated, else by its situation, and
    what was found in the garden beside that."""
    return _said_c(weather) + weather.learned_nights_c


def _said_c(weather: Weather) -> float:
    if weather.nights_c is not None:
        return weather.nights_c
    return sum(SITUATION_C[word] for word in weather.situation)


def exposure_notes(weather: Weather) -> tuple[Fact, ...]:
    """What to say of the garden's spot, if anything."""
    by, learned = _said_c(weather), weather.learned_nights_c
    notes: tuple[Fact, ...] = (NightsMoved(weather.situation, by),) if by else ()
    if learned or weather.learned_error_c is not None:
        notes += (NightsLearned(learned, weather.learned_error_c),)
    return notes


LEAST_HEIGHT_M = 10.0
"""Difference of height that is not worth a correction (a sixteenth of a degree)."""


def record_here(weather: Weather, record: Record) -> tuple[Record, tuple[Fact, ...]]:
    """A record as it would be in the garden: at its height and in its spot, and what was moved.

    Heights count where both are known: the record's as stated, else as its file has it, and the
    garden's as stated, else its town's.
    Temperatures fall by LAPSE_C_PER_M with height; over the year minima and maxima do so nearly
    alike (5.4 to 5.8 °C a km: Rolland 2003, Journal of Climate 16, 1032-1046).
    """
    notes: tuple[Fact, ...] = ()
    kept_at, garden = weather.record_altitude_m, weather.site.altitude_m
    if kept_at is None:
        kept_at = record.altitude_m
    if weather.site.height_from == "grid":
        kept_at = None
    if kept_at is not None and abs(kept_at - garden) >= LEAST_HEIGHT_M:
        by = LAPSE_C_PER_M * (kept_at - garden)
        notes = (HeightMoved(record.name, kept_at, garden, by),)
        record = replace(record, tmin_c=record.tmin_c + by, tmax_c=record.tmax_c + by)
    nights = nights_c(weather)
    if nights:
        low = record.tmin_c + nights * lean_of(_departures_of(record))
        record = replace(record, tmin_c=low, tmax_c=np.maximum(record.tmax_c, low))
    return record, notes


def _departures_of(record: Record) -> NDArray[np.float64]:
    """(days,) minima less their month's mean, in its standard deviations; 0 where unknown."""
    month = month_of(record.days)
    out = np.zeros(len(month))
    for m in range(12):
        here = (month == m) & ~np.isnan(record.tmin_c)
        if here.any():
            values = record.tmin_c[here]
            out[here] = (values - values.mean()) / max(float(values.std()), LEAST_SD_C)
    return out


LEAST_SD_C = 0.5
"""Least standard deviation of the minima of a day or a time of year that departures are measured
by."""

SMOOTH_DAYS = 31
"""Days over which the mean and spread of minima are smoothed through the year."""


def lean_in(tmin_c: Floats) -> NDArray[np.float64]:
    """(n, days) how much each night of the seasons moves, by how cold it is for its time of
    year."""
    mean, sd = _smooth(tmin_c.mean(axis=0)), _smooth(tmin_c.std(axis=0))
    return lean_of((tmin_c - mean) / np.maximum(sd, LEAST_SD_C))


def _smooth(values: Floats) -> NDArray[np.float64]:
    """(days,) running mean, the year's end joined to its start."""
    around = np.pad(values.astype(float), SMOOTH_DAYS // 2, mode="wrap")
    return np.convolve(around, np.full(SMOOTH_DAYS, 1.0 / SMOOTH_DAYS), mode="valid")


def in_its_spot(season: Season, weather: Weather) -> Season:
    """A modelled season with its nights as they are in the garden's spot; as it was elsewhere."""
    by = nights_c(weather)
    if not by:
        return season
    low = (season.tmin_c + by * lean_in(season.tmin_c)).astype(season.tmin_c.dtype)
    return with_nights(season, low)


def with_nights(season: Season, low: Floats) -> Season:
    """A modelled season with other minima (n, 365): its freezes move as its weather's do."""
    halves, stated = season.site.halves, season.stated
    if stated is not None:
        stated = (
            _moved(stated[0], *(last_spring(t, FREEZE_C, halves) for t in (season.tmin_c, low))),
            _moved(stated[1], *(first_autumn(t, FREEZE_C, halves) for t in (season.tmin_c, low))),
        )
        stated = _in_halves(stated, halves)
    return renewed(season, low, stated)


def renewed(
    season: Season, low: Floats, stated: tuple[NDArray[np.int64], NDArray[np.int64]] | None
) -> Season:
    """A modelled season with other minima and, where they are stated, freeze days (n,)."""
    halves = season.site.halves
    return replace(
        season,
        tmin_c=low,
        tmax_c=np.maximum(season.tmax_c, low + low.dtype.type(0.3)),
        stated=stated,
        odds_dates=(
            (
                freeze_odds(low, FREEZE_C, halves, True),
                freeze_odds(low, FREEZE_C, halves, False),
            )
            if stated is None
            else odds_of_days(*stated)
        ),
    )


def _moved(
    goal: NDArray[np.int64], before: NDArray[np.int64], after: NDArray[np.int64]
) -> NDArray[np.int64]:
    """(n,) stated freezes moved by as many days as the weather's own, found, or lost with it."""
    tied = (goal != NEVER) & (before != NEVER) & (after != NEVER)
    found = (goal == NEVER) & (before == NEVER)
    return np.where(tied, np.maximum(goal + after - before, 0), np.where(found, after, NEVER))


def _in_halves(
    stated: tuple[NDArray[np.int64], NDArray[np.int64]], halves: Halves
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Freezes moved past the middle of the growing year stay on their side of it, those moved past
    its end fall away."""
    spring, autumn = stated
    late = (autumn != NEVER) & (autumn < DAYS)
    spring = np.minimum(spring, halves.spring_until - 1)
    return spring, np.where(late, np.maximum(autumn, halves.autumn_from), NEVER)
