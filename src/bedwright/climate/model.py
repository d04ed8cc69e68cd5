"""Monthly normals to daily minima and maxima, with the model's own error carried along.

A day's minimum is the monthly mean, less the half range of the day, plus a departure that follows
a first-order autoregression (AR(1)); the maximum likewise, its departures tied to the minimum's.
Half range, spread and persistence are regressed on what the world grid gives; the coefficients and
the errors of regions left out come from ``tools/fit_minimum_model.py``.

What matters most, when the freezes fall, is then set right by itself: at some thousand stations
whose freeze dates are published, the degrees by which the modelled minima must move in spring and
in autumn for the median dates to agree were regressed on the surroundings of the place.

Each simulated season also draws its own error of that correction, of the spread and of the grid's
mean, so that all odds worked out from the ensemble holds the model's doubt and not the weather's
alone.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.normals import Normals

MEAN_ERROR_C = 0.8
"""Error of the grid's monthly means: 0.58 mean absolute over 34 cities (from memory) is 0.75 rms.
The maxima carry it; that of the minima is part of their own correction's."""

SPREAD_ERROR = 0.23
"""Standard deviation of the ratio of the spread of last freezes, published over modelled
(``tools/fit_minimum_model.py``)."""

MID_MONTH = np.array([15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5])
"""Day of the year, counted from 0, at the middle of each month."""


def predictors(latitude: float, normals: Normals) -> NDArray[np.float64]:
    """(12, 12) predictors of the daily range and spread, January first.

    Months are turned half a year in the south, so that the seasons agree.
    """
    mean = np.array(normals.mean_c)
    rain = np.array(normals.rain_mm)
    season = 2 * np.pi * (np.arange(12) - (0 if latitude >= 0 else 6)) / 12
    ones = np.ones(12)
    swing = normals.swing_c / 20.0
    dry = np.log((rain + 10.0) / 80.0)
    height = max(normals.altitude_m, 0.0) / 1000.0
    contrast = np.clip(np.array(normals.contrast_c), -4.0, 14.0) / 8.0
    return np.column_stack(
        [
            ones,
            abs(latitude) / 45.0 * ones - 1.0,
            swing - 1.0 * ones,
            dry,
            np.log((rain.sum() + 100.0) / 900.0) * ones,
            height * ones,
            mean / 10.0 - 1.0,
            np.cos(season),
            np.sin(season),
            swing * np.cos(season),
            contrast,
            contrast**2,
        ]
    )


@cache
def _fitted() -> dict[str, dict[str, object]]:
    text = files("bedwright.climate").joinpath("data/minimum_model.json").read_text()
    return {k: v for k, v in json.loads(text).items() if isinstance(v, dict)}


def forget() -> None:
    """Read the coefficients anew at the next call (for the fitting script)."""
    _fitted.cache_clear()


def monthly(name: str, latitude: float, normals: Normals) -> NDArray[np.float64]:
    """(12,) regressed ``half_range_c``, ``sd_c``, ``lag`` or ``cross``."""
    coefficients = np.array(_fitted()[name]["coefficients"], float)
    return np.asarray(predictors(latitude, normals) @ coefficients)


WARM_C = 9.0
"""Mean temperature whose crossing marks where in the year the shoulder of the season lies."""

MID_RANGE = (-4.0, 14.0)
"""Temperature contrasts beyond this count as this: seas and ice caps reach any figure."""


def shoulder_predictors(latitude: float, normals: Normals, spring: bool) -> NDArray[np.float64]:
    """(27,) predictors of the correction at the frosty end of spring or autumn."""
    mean, rain = np.array(normals.mean_c), np.array(normals.rain_mm)
    through = through_year(mean, np.arange(365))
    start = int(np.argmin(through) if spring else np.argmax(through))
    days = (start + np.arange(200)) % 365
    past = through[days] >= WARM_C if spring else through[days] <= WARM_C
    at = int(days[np.argmax(past)]) if past.any() else int(np.argmin(through))
    here = np.array([at])
    pace = (through[(at + 15) % 365] - through[(at - 15) % 365]) / 3.0
    contrast = float(through_year(np.clip(np.array(normals.contrast_c), *MID_RANGE), here)[0]) / 8.0
    rain_then = np.log((max(float(through_year(rain, here)[0]), 0.0) + 10.0) / 80.0)
    wet = float(np.log((rain.sum() + 100.0) / 900.0))
    poleward, swing = abs(latitude) / 45.0 - 1.0, normals.swing_c / 20.0 - 1.0
    height, terrain = max(normals.altitude_m, 0.0) / 1000.0, normals.terrain
    return np.array(
        [
            *(1.0, poleward, swing, height, wet, rain_then, contrast, pace),
            *(terrain.near, terrain.wide, terrain.west, terrain.east),
            *(terrain.rough_m / 1000.0, terrain.relief_m / 1000.0),
            *(through[at] / 10.0, mean.min() / 10.0, mean.max() / 10.0),
            *(poleward**2, swing**2, height**2, wet**2, contrast**2),
            *(terrain.near * terrain.west, terrain.near * swing, wet * terrain.west),
            *(wet * height, wet * contrast),
        ]
    )


def frost_offset_c(latitude: float, normals: Normals, spring: bool) -> float:
    """Degrees C by which cold nights must move for freezes to fall as at stations like this.

    Held within OFFSET_RANGE_C, and fading to nothing in places warmer than any station with
    freezes.
    """
    name = "spring_c" if spring else "autumn_c"
    coefficients = np.array(_fitted()[name]["coefficients"], float)
    raw = float(shoulder_predictors(latitude, normals, spring) @ coefficients)
    return float(np.clip(raw, *OFFSET_RANGE_C)) * frosty(latitude, normals)


def offset_error_c(normals: Normals, spring: bool) -> float:
    """Standard error of ``frost_offset_c``, degrees C: larger where the land is rougher."""
    fitted = _fitted()["spring_c" if spring else "autumn_c"]
    level, rough = (float(v) for v in fitted["error_with_rough_km"])  # type: ignore[attr-defined]
    return level + rough * min(normals.terrain.rough_m, MOST_ROUGH_M) / 1000.0


MOST_ROUGH_M = 600.0
"""Roughness beyond which there are few stations."""

OFFSET_RANGE_C = (-9.0, 6.0)
"""The range of the corrections at the stations fitted."""

FROSTLESS_C = (17.0, 21.0)
"""Mean of the coldest month between which the correction fades: 99% of the stations with a freeze
in most years lie below the first, all below the second."""


TROPICS_DEG = (15.0, 25.0)
"""Latitudes between which the correction fades: no station nearer the equator was fitted but
frostless ones."""


def frosty(latitude: float, normals: Normals) -> float:
    """1 where the correction holds, 0 where the coldest month is too warm for any freeze, or in the
    tropics, whose mountains no fitted station is like."""
    (warm, hot), (near, far) = FROSTLESS_C, TROPICS_DEG
    cold = np.clip((hot - min(normals.mean_c)) / (hot - warm), 0.0, 1.0)
    return float(cold * np.clip((abs(latitude) - near) / (far - near), 0.0, 1.0))


def through_year(values: NDArray[np.float64], day: NDArray[np.int64]) -> NDArray[np.float64]:
    """Monthly values (12,) at days of the year ``day`` (counted from 0), by periodic lines.

    The monthly means are first stretched so that the mean of the line over a month returns them
    (one step of the usual correction).
    """
    year = np.arange(365)
    month = np.searchsorted([31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334], year, "right")

    def line(knots: NDArray[np.float64], at: NDArray[np.int64]) -> NDArray[np.float64]:
        return np.asarray(np.interp(at, MID_MONTH, knots, period=365))

    knots = values.astype(float)
    for _ in range(3):
        got = line(knots, year)
        averages = np.array([got[month == m].mean() for m in range(12)])
        knots = knots + (values - averages)
    return line(knots, day % 365)


@dataclass(frozen=True)
class Climate:
    """The model of one place: arrays through the days of its growing year, degrees C.

    ``mean``, ``half``, ``spread``: (days,) mean, half range and spread of minima; ``lag``,
    ``cross``: correlations from day to day and of minimum with maximum; ``shoulder``: (days,) 1 in
    spring falling to 0 in autumn; ``offset``, ``error``: corrections of cold nights in spring and
    in autumn, and their standard errors; ``frosty``: 1 where the correction holds, 0 where nothing
    is known of freezes.
    """

    mean: NDArray[np.float64]
    half: NDArray[np.float64]
    spread: NDArray[np.float64]
    lag: float
    cross: float
    shoulder: NDArray[np.float64]
    offset: tuple[float, float]
    error: tuple[float, float]
    frosty: float

    @property
    def cold_night(self) -> NDArray[np.float64]:
        """(days,) minimum of a cold night, LEAN_SDS below the mean one."""
        low = self.mean - self.half - LEAN_SDS * self.spread
        return np.asarray(low + self.blend(*self.offset))

    def minima(
        self,
        low: NDArray[np.float64],
        spread: NDArray[np.float64],
        moved: NDArray[np.float64] | float,
    ) -> NDArray[np.float64]:
        """(n, days) minima from standardised departures ``low``, the coldest ``moved`` by so much.

        Nights of LEAN_SDS and more below the mean move in full, warmer ones in proportion, those
        above it not at all: clear calm nights fall farther than cloudy ones keep warm.
        """
        lean = np.clip(-low / LEAN_SDS, 0.0, 1.0)
        return np.asarray(self.mean - np.maximum(self.half, 0.8) + spread * low + moved * lean)

    def blend(
        self, spring: float | NDArray[np.float64], autumn: float | NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """A figure of spring turning into one of autumn through the summer."""
        return np.asarray(spring * self.shoulder + autumn * (1.0 - self.shoulder))


def climate_of(
    latitude: float, normals: Normals, day: NDArray[np.int64], split: int, correct: bool = True
) -> Climate:
    """The fitted model at a place.

    ``day``: consecutive days of the year, counted from 0 and running past 364 where a season does;
    ``split``: index at which spring turns to autumn; ``correct``: whether minima are moved to where
    freezes fall at the stations fitted (False only while fitting).
    """
    corrections, errors = [0.0, 0.0], [0.0, 0.0]
    if correct:
        corrections = [frost_offset_c(latitude, normals, side) for side in (True, False)]
        errors = [offset_error_c(normals, side) for side in (True, False)]
    return Climate(
        mean=through_year(np.array(normals.mean_c), day),
        half=through_year(np.maximum(monthly("half_range_c", latitude, normals), 1.5), day),
        spread=through_year(np.clip(monthly("sd_c", latitude, normals), 1.2, 8.0), day),
        lag=float(np.clip(monthly("lag", latitude, normals).mean(), 0.3, 0.85)),
        cross=float(np.clip(monthly("cross", latitude, normals).mean(), 0.0, 0.95)),
        shoulder=spring_share(len(day), split),
        offset=(corrections[0], corrections[1]),
        error=(errors[0], errors[1]),
        frosty=frosty(latitude, normals),
    )


LEAN_SDS = 1.5
"""Standard deviations below the mean from which a night is cold in full (estimate; last freezes lie
about there)."""


def spring_share(days: int, split: int) -> NDArray[np.float64]:
    """(days,) 1 in spring, 0 in autumn; lines between of 90 days about midsummer, and of 30 about
    the turn of the growing year."""
    at = np.arange(days)
    summer = np.clip((at - (split - 45)) / 90.0, 0.0, 1.0)
    winter = np.minimum(at, days - at)  # days from the turn, on either side
    turn = np.clip((15.0 - winter) / 30.0, 0.0, 0.5)
    return np.asarray(np.where(at < split, 1.0 - summer - turn, 1.0 - summer + turn))


def departures(
    climate: Climate, count: int, rng: np.random.Generator
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Standardised departures of minima and maxima, each (count, days): AR(1), tied by cross."""
    days = len(climate.mean)
    shocks = rng.standard_normal((2, days, count))
    fresh = np.sqrt(1.0 - climate.lag**2)
    shocks[:, 1:] *= fresh
    for t in range(1, days):
        shocks[:, t] += climate.lag * shocks[:, t - 1]
    low, other = shocks[0].T, shocks[1].T
    return low, climate.cross * low + np.sqrt(1.0 - climate.cross**2) * other


def simulate(
    climate: Climate, count: int, seed: int
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Daily minima and maxima, each (count, days), degrees C, each season with its own error.

    The error of cold nights in spring and in autumn is that of freeze dates at regions left out.
    """
    rng = np.random.default_rng([seed, 101])
    low, high = departures(climate, count, rng)
    tie = float(str(_fitted()["spring_c"]["with_autumn"]))
    draws = rng.standard_normal((4, count, 1))
    spring = climate.frosty * climate.error[0] * draws[0]
    autumn = tie * draws[0] + np.sqrt(1.0 - tie**2) * draws[1]
    autumn *= climate.frosty * climate.error[1]
    moved = climate.blend(climate.offset[0] + spring, climate.offset[1] + autumn)
    wide = np.maximum(climate.spread * (1.0 + SPREAD_ERROR * draws[2]), 0.8)
    tmin = climate.minima(low, wide, moved)
    middle = climate.mean + MEAN_ERROR_C * draws[3]
    tmax = np.maximum(middle + np.maximum(climate.half, 0.8) + wide * high, tmin + 0.3)
    return tmin.astype(np.float32), tmax.astype(np.float32)
