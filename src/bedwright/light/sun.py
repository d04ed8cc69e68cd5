"""Where the sun stands: Meeus's low-precision solar coordinates, good to about 0.01 degree.

J. Meeus, Astronomical Algorithms, 2nd ed. (1998), chapter 25 (sun) and 12 (sidereal time);
atmospheric refraction by Saemundsson's formula, chapter 16.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

J2000_UNIX_S = 946728000.0
"""2000 January 1, 12:00 UTC, in Unix seconds."""


def sun_position(
    unix_s: NDArray[np.float64], latitude: float, longitude: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Apparent elevation and azimuth of the sun's centre, degrees.

    ``unix_s``: instants in UTC; ``latitude``, ``longitude``: degrees, north and east positive.
    Elevation includes refraction at sea level above -1 degree; azimuth runs clockwise from north.
    """
    days = (np.asarray(unix_s, float) - J2000_UNIX_S) / 86400.0
    # Earth's clock runs about 70 s behind uniform time: 0.0008 degree, below the method's error.
    t = (days + 69.0 / 86400.0) / 36525.0
    mean_longitude = 280.46646 + t * (36000.76983 + t * 0.0003032)  # eq. 25.2
    anomaly = np.radians(357.52911 + t * (35999.05029 - t * 0.0001537))  # eq. 25.3
    centre = (
        (1.914602 - t * (0.004817 + t * 0.000014)) * np.sin(anomaly)
        + (0.019993 - t * 0.000101) * np.sin(2 * anomaly)
        + 0.000289 * np.sin(3 * anomaly)
    )
    node = np.radians(125.04 - 1934.136 * t)
    longitude_sun = np.radians(mean_longitude + centre - 0.00569 - 0.00478 * np.sin(node))
    obliquity = np.radians(23.439291 - 0.0130042 * t + 0.00256 * np.cos(node))
    ascension = np.arctan2(np.cos(obliquity) * np.sin(longitude_sun), np.cos(longitude_sun))
    declination = np.arcsin(np.sin(obliquity) * np.sin(longitude_sun))
    sidereal = np.radians(280.46061837 + 360.98564736629 * days + longitude)  # eq. 12.4
    hour = sidereal - ascension
    phi = np.radians(latitude)
    up = np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.cos(hour)
    elevation = np.degrees(np.arcsin(np.clip(up, -1, 1)))
    azimuth = np.degrees(
        np.arctan2(-np.sin(hour), np.tan(declination) * np.cos(phi) - np.sin(phi) * np.cos(hour))
    )
    return elevation + refraction_deg(elevation), azimuth % 360.0


def refraction_deg(elevation: NDArray[np.float64]) -> NDArray[np.float64]:
    """Lift by the air at 1010 mbar and 10 °C, degrees (Meeus eq. 16.4); none below -1 degree."""
    lift = 1.02 / np.tan(np.radians(elevation + 10.3 / (elevation + 5.11))) / 60.0
    return np.where(elevation > -1.0, lift, 0.0)
