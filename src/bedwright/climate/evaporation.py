"""Reference evapotranspiration, and the sunshine that follows from the daily range of temperature.

FAO-56 Penman-Monteith (R. G. Allen, L. S. Pereira, D. Raes and M. Smith, Crop Evapotranspiration,
FAO Irrigation and Drainage Paper 56, Rome 1998, equation 6) with the paper's own rules for what a
gardener's record lacks: dew point from the minimum (equation 48), sunshine from the daily range
(equation 50), wind of 2 m/s (page 63).  Hargreaves (equation 52) stands beside it.  Equation
numbers are the paper's.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.daylight import declination_rad
from bedwright.climate.ensemble import Season, day_of_year

Floats = NDArray[np.float64]


SOLAR_CONSTANT = 0.0820
"""MJ m⁻² min⁻¹ (equation 21)."""

ALBEDO = 0.23

STEFAN_BOLTZMANN = 4.903e-9
"""MJ K⁻⁴ m⁻² day⁻¹ (equation 39)."""

WIND_M_S = 2.0

RANGE_TO_SUN = 0.16
"""Coefficient of equation 50 away from coasts (0.19 on them)."""


def radiation_mj(latitude: float, day: NDArray[np.int64]) -> Floats:
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


def saturation_kpa(celsius: NDArray[np.floating]) -> Floats:
    """Saturation vapour pressure, kPa (equation 11)."""
    return np.asarray(0.6108 * np.exp(17.27 * celsius / (celsius + 237.3)))


def psychrometric_kpa(altitude_m: float) -> float:
    """Psychrometric constant, kPa per °C (equations 7 and 8)."""
    pressure = 101.3 * ((293 - 0.0065 * altitude_m) / 293) ** 5.26
    return float(0.000665 * pressure)


def solar_mj(tmin_c: NDArray[np.floating], tmax_c: NDArray[np.floating], ra_mj: Floats) -> Floats:
    """Solar radiation Rs from the daily range, MJ m⁻² a day (equation 50)."""
    return np.asarray(RANGE_TO_SUN * np.sqrt(np.maximum(tmax_c - tmin_c, 0.0)) * ra_mj)


def sunshine_share(season: Season) -> Floats:
    """(26,) share of the hours of sun that clouds leave, by fortnight, means of the ensemble.

    From the daily range of temperature: solar radiation by equation 50, sunshine by equation 35
    turned about (as = 0.25, bs = 0.50).
    """
    ra = np.maximum(radiation_mj(season.site.latitude, day_of_year(season.site)), 1e-9)
    rs = solar_mj(season.tmin_c, season.tmax_c, ra)
    share = np.clip((rs / ra - 0.25) / 0.50, 0.0, 1.0).mean(axis=0)
    return np.asarray(share[:364].reshape(26, 14).mean(axis=1))


def net_radiation_mj(
    tmin_c: NDArray[np.floating],
    tmax_c: NDArray[np.floating],
    rs_mj: Floats,
    ra_mj: Floats,
    ea_kpa: Floats,
    altitude_m: float,
) -> Floats:
    """Net radiation Rn, MJ m⁻² a day (equations 37 to 40)."""
    clear = (0.75 + 2e-5 * altitude_m) * ra_mj  # eq. 37
    short = (1 - ALBEDO) * rs_mj  # eq. 38
    cloud = np.clip(rs_mj / np.maximum(clear, 1e-9), 0.3, 1.0)
    kelvin = ((tmax_c + 273.16) ** 4 + (tmin_c + 273.16) ** 4) / 2
    long = STEFAN_BOLTZMANN * kelvin * (0.34 - 0.14 * np.sqrt(ea_kpa)) * (1.35 * cloud - 0.35)
    return np.asarray(short - long)  # eq. 39, 40


def penman_monteith_mm(
    tmin_c: NDArray[np.floating],
    tmax_c: NDArray[np.floating],
    ra_mj: Floats,
    altitude_m: float,
    *,
    rs_mj: Floats | None = None,
    ea_kpa: Floats | None = None,
    wind_m_s: float = WIND_M_S,
    soil_heat_mj: float = 0.0,
) -> Floats:
    """Reference evapotranspiration, mm a day (equation 6); arrays broadcast.

    What is not given follows the paper's rules for missing data.
    """
    low, high = np.asarray(tmin_c, float), np.asarray(tmax_c, float)
    mean = (low + high) / 2
    es = (saturation_kpa(low) + saturation_kpa(high)) / 2  # eq. 12
    ea = saturation_kpa(low) if ea_kpa is None else ea_kpa  # eq. 48
    rs = solar_mj(low, high, ra_mj) if rs_mj is None else rs_mj
    rn = net_radiation_mj(low, high, rs, ra_mj, ea, altitude_m)
    slope = 4098 * saturation_kpa(mean) / (mean + 237.3) ** 2  # eq. 13
    gamma = psychrometric_kpa(altitude_m)
    dry = gamma * 900 / (mean + 273) * wind_m_s * (es - ea)
    top = 0.408 * slope * (rn - soil_heat_mj) + dry
    return np.asarray(np.maximum(top / (slope + gamma * (1 + 0.34 * wind_m_s)), 0.0))


def hargreaves_mm(
    tmin_c: NDArray[np.floating], tmax_c: NDArray[np.floating], ra_mj: Floats
) -> Floats:
    """Reference evapotranspiration, mm a day, from temperature alone (equation 52)."""
    mean = (tmin_c + tmax_c) / 2
    span = np.maximum(tmax_c - tmin_c, 0.0)
    return np.asarray(0.0023 * (mean + 17.8) * np.sqrt(span) * 0.408 * ra_mj)
