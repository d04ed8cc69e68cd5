"""How much water the bed wants, month by month.

Reference evapotranspiration by Hargreaves and Samani as in FAO-56, equation 52, from daily
temperatures and extraterrestrial radiation (equations 21 to 25).  One crop coefficient stands for
the bed in full leaf: young plants take less.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.season.daylight import declination_rad
from bedwright.season.ensemble import Season, day_of_year

SOLAR_CONSTANT = 0.0820
"""MJ m⁻² min⁻¹ (FAO-56, equation 21)."""

EFFECTIVE_RAIN = 0.75
"""Share of rain that the roots get; FAO's rule of thumb is 0.6 to 0.8 (from memory)."""

WATER_USE = {"low": 0.6, "medium": 0.85, "high": 1.05}
"""Crop coefficient of bedding in full leaf by thirst (estimate, within FAO-56's 0.4 to 1.15)."""


def radiation_mj(latitude: float, day: NDArray[np.int64]) -> NDArray[np.float64]:
    """(days,) extraterrestrial radiation Ra, MJ m⁻² a day; ``day`` counted from 0."""
    phi = np.radians(latitude)
    angle = 2 * np.pi * (day + 1) / 365
    inverse_distance = 1 + 0.033 * np.cos(angle)  # eq. 23
    declination = declination_rad(day)  # eq. 24
    sunset = np.arccos(np.clip(-np.tan(phi) * np.tan(declination), -1, 1))  # eq. 25
    return np.asarray(
        24
        * 60
        / np.pi
        * SOLAR_CONSTANT
        * inverse_distance
        * (
            sunset * np.sin(phi) * np.sin(declination)
            + np.cos(phi) * np.cos(declination) * np.sin(sunset)
        )
    )  # eq. 21


def hargreaves_mm(
    tmin_c: NDArray[np.floating], tmax_c: NDArray[np.floating], ra_mj: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Reference evapotranspiration, mm a day (FAO-56, equation 52); arrays broadcast."""
    mean = (tmin_c + tmax_c) / 2
    span = np.maximum(tmax_c - tmin_c, 0.0)
    return np.asarray(0.0023 * (mean + 17.8) * np.sqrt(span) * 0.408 * ra_mj)


def weekly_water_mm(season: Season, coefficient: float) -> NDArray[np.float64]:
    """(n, 52) water wanted beyond effective rain, mm a week, for each season."""
    ra = radiation_mj(season.site.latitude, day_of_year(season.site))
    et0 = np.maximum(hargreaves_mm(season.tmin_c, season.tmax_c, ra), 0.0)
    need = coefficient * et0 - EFFECTIVE_RAIN * season.rain_mm
    weeks = need[:, :364].reshape(len(need), 52, 7).sum(axis=2)
    return np.asarray(np.maximum(weeks, 0.0))
