"""Length of the day.

Three definitions, which differ in how far the sun's centre is below the flat horizon when the day
begins and ends: FLAT, the geometric day that FAO-56 works radiation out with; ALMANAC, sunrise to
sunset as almanacs print them (the upper limb on the horizon, seen through the air: 0.833 degrees),
which is what every day length on the sheets means; CIVIL, with civil twilight, in which people see
to work and many plants still feel day.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FLAT, ALMANAC, CIVIL = 0.0, 0.833, 6.0
"""Degrees of the sun's centre below the horizon (US Naval Observatory's definitions)."""

MEAN_YEAR_J2000 = 9497.0
"""Noon of 1 January 2026, in days since J2000: a year half way between leap years."""


def declination_rad(day: NDArray[np.int64]) -> NDArray[np.float64]:
    """(days,) the sun's declination, radians (FAO-56, equation 24); ``day`` counted from 0."""
    return np.asarray(0.409 * np.sin(2 * np.pi * (day + 1) / 365 - 1.39))


def day_length_h(
    latitude: float, day: NDArray[np.int64], below_deg: float = ALMANAC
) -> NDArray[np.float64]:
    """(days,) hours of day; ``day`` counted from 0, ``below_deg`` one of the definitions above.

    0 and 24 in the polar night and day.  Declination by the Astronomical Almanac's low-precision
    formulas, good to 0.01 degrees, at the noons of 2026; other years stray by half a day.
    """
    noon = MEAN_YEAR_J2000 + np.asarray(day)
    anomaly = np.radians(357.528 + 0.9856003 * noon)
    longitude = 280.460 + 0.9856474 * noon + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2 * anomaly)
    tilt = np.radians(23.439 - 4e-7 * noon)
    declination = np.arcsin(np.sin(tilt) * np.sin(np.radians(longitude)))
    phi = np.radians(np.clip(latitude, -89.999, 89.999))
    cosine = (-np.sin(np.radians(below_deg)) - np.sin(phi) * np.sin(declination)) / (
        np.cos(phi) * np.cos(declination)
    )
    return np.asarray(24 / np.pi * np.arccos(np.clip(cosine, -1, 1)))
