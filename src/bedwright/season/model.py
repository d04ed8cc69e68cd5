"""Monthly normals to daily minima and maxima, with the model's own error carried along.

A day's minimum is the monthly mean, less the half range of the day, plus a departure that follows
a first-order autoregression (AR(1)); the maximum likewise, its departures tied to the minimum's.
Half range, spread and persistence are regressed on what the world grid gives; the coefficients and
the errors of regions left out come from ``tools/fit_minimum_model.py``.

Each simulated season also draws its own error of the grid's mean, of the half range and of the
spread, so that every odds reckoned from the ensemble holds the model's doubt and not the weather's
alone.
"""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from bedwright.season.normals import Normals

MEAN_ERROR_C = 0.8
"""Error of the grid's monthly means: 0.58 mean absolute over 34 cities (from memory) is 0.75
rms."""

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
    text = files("bedwright.season").joinpath("data/minimum_model.json").read_text()
    return {k: v for k, v in json.loads(text).items() if isinstance(v, dict)}


def left_out_error(name: str) -> float:
    """Root mean square error of ``half_range_c``, ``sd_c``, ``lag`` or ``cross``, regions left
    out."""
    return float(str(_fitted()[name]["left_out_rmse"]))


def monthly(name: str, latitude: float, normals: Normals) -> NDArray[np.float64]:
    """(12,) regressed ``half_range_c``, ``sd_c``, ``lag`` or ``cross``."""
    coefficients = np.array(_fitted()[name]["coefficients"], float)
    return np.asarray(predictors(latitude, normals) @ coefficients)


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


def simulate(
    latitude: float,
    normals: Normals,
    day: NDArray[np.int64],
    count: int,
    seed: int,
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Daily minima and maxima, each (count, len(day)), degrees C.

    ``day``: consecutive days of the year, counted from 0 and running past 364 where a season does.
    """
    rng = np.random.default_rng([seed, 101])
    mean = through_year(np.array(normals.mean_c), day)
    half = through_year(np.maximum(monthly("half_range_c", latitude, normals), 1.5), day)
    spread = through_year(np.clip(monthly("sd_c", latitude, normals), 1.2, 8.0), day)
    lag = float(np.clip(monthly("lag", latitude, normals).mean(), 0.3, 0.85))
    cross = float(np.clip(monthly("cross", latitude, normals).mean(), 0.0, 0.95))

    shocks = rng.standard_normal((2, count, len(day)))
    low = np.empty((count, len(day)))
    high = np.empty_like(low)
    fresh = np.sqrt(1.0 - lag**2)
    low[:, 0], high[:, 0] = shocks[0, :, 0], shocks[1, :, 0]
    for t in range(1, len(day)):
        low[:, t] = lag * low[:, t - 1] + fresh * shocks[0, :, t]
        high[:, t] = lag * high[:, t - 1] + fresh * shocks[1, :, t]
    high = cross * low + np.sqrt(1.0 - cross**2) * high

    error = rng.standard_normal((3, count, 1))
    middle = mean + MEAN_ERROR_C * error[0]
    reach = np.maximum(half + left_out_error("half_range_c") * error[1], 0.8)
    wide = np.maximum(spread + left_out_error("sd_c") * error[2], 0.8)
    tmin = middle - reach + wide * low
    tmax = np.maximum(middle + reach + wide * high, tmin + 0.3)
    return tmin.astype(np.float32), tmax.astype(np.float32)
