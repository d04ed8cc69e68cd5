"""Length of the day."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def declination_rad(day: NDArray[np.int64]) -> NDArray[np.float64]:
    """(days,) the sun's declination, radians (FAO-56, equation 24); ``day`` counted from 0."""
    return np.asarray(0.409 * np.sin(2 * np.pi * (day + 1) / 365 - 1.39))


def day_length_h(latitude: float, day: NDArray[np.int64]) -> NDArray[np.float64]:
    """(days,) hours from sunrise to sunset, sun's centre on a flat horizon.

    FAO-56, equations 24, 25 and 34 (Allen et al. 1998); ``day`` counted from 0.  Without
    refraction, hence about ten minutes short of the almanac's day.
    """
    cosine = -np.tan(np.radians(latitude)) * np.tan(declination_rad(day))
    return np.asarray(24 / np.pi * np.arccos(np.clip(cosine, -1, 1)))
