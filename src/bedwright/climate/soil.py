"""Warmth of the soil, heat sums, and the days that follow from them.

Soil temperature is the daily mean air temperature lagged and smoothed: a first-order response of
SOIL_LAG_DAYS, for the top 10 cm of bare soil.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.daylight import day_length_h
from bedwright.climate.ensemble import DAYS, Season, day_of_year

SOIL_LAG_DAYS = 8.0
"""The mean lag of D. Zheng, E. R. Hunt and S. W. Running's model of soil at 10 cm (Climate Research
2, 1993: a running mean of 11 days, then a quarter of the gap a day; from memory).  Conduction alone
would give 3 days (damping depth of the year 1.80 m); wet spring soil is slower."""

WORKABLE_SOIL_C = 4.5
"""Soil that no longer freezes at night and has begun to dry: 40 °F (common practice, no source)."""


def soil_temperature(tmean_c: NDArray[np.floating]) -> NDArray[np.float64]:
    """(n, days) temperature of the top of the soil, degrees C, from daily mean air (n, days)."""
    out = np.empty(tmean_c.shape)
    share = 1.0 / SOIL_LAG_DAYS
    level = tmean_c[:, : round(SOIL_LAG_DAYS)].mean(axis=1)
    for t in range(tmean_c.shape[1]):
        level = level + share * (tmean_c[:, t] - level)
        out[:, t] = level
    return out


HEAT_BASE_C = 10.0
"""Base of the heat sums printed for a place: 50 °F, as US weather and extension services have it
for warm-season plants (NCEI's growing degree days among them)."""


def heat_sum(tmean_c: NDArray[np.floating], base_c: float = HEAT_BASE_C) -> NDArray[np.float64]:
    """(n, days) degree-days above a base gathered up to each day, from daily means (n, days)."""
    return np.cumsum(np.maximum(np.asarray(tmean_c, float) - base_c, 0.0), axis=1)


MIDWINTER_DAYS = 90
"""Days of the growing year within which a winter's coldest day lies; later ones are the dip of a
rainy season near the equator."""


def first_steady(values: NDArray[np.floating], threshold: float, until: int) -> NDArray[np.int64]:
    """(n,) first day from which ``values`` stay at or above ``threshold`` for 14 days.

    Looked for from the coldest day of winter on, so that a mild spell before it does not count; 0
    where it is never colder.  Days from ``until`` on are not looked at; where it never
    happens the answer is ``until``.
    """
    fine = np.asarray(values[:, : until + 14] >= threshold)
    windows = fine
    for more in (1, 2, 4, 6):  # 2, 4, 8 and 14 days on end
        windows = windows[:, :-more] & windows[:, more:]
    windows = windows[:, :until]
    coldest = int(np.argmin(values[:, :until].mean(axis=0)))
    if coldest < MIDWINTER_DAYS:
        windows[:, :coldest] = False
    first = np.where(windows.any(axis=1), np.argmax(windows, axis=1), until)
    return np.where(fine[:, :until].all(axis=1), 0, first)


LEAF_SOIL_C = 9.0
"""Soil at which deciduous trees are about in leaf in spring and begin to drop it in autumn
(estimate)."""


def leaf_days(season: Season, soil_c: NDArray[np.floating]) -> tuple[int, int]:
    """Days (indices) between which deciduous trees are in leaf; the whole year in warm places."""
    if season.winter_amid:
        return 0, DAYS
    out = int(np.median(first_steady(soil_c, LEAF_SOIL_C, season.split)))
    late = soil_c[:, season.split :] < LEAF_SOIL_C
    fall = np.where(late.any(axis=1), season.split + np.argmax(late, axis=1), DAYS)
    return out, int(np.median(fall))


GROWING_DAY_H = 10.0
"""Day length below which plants hardly grow, however mild it is (common practice, no source)."""


def workable_day(season: Season, soil_c: NDArray[np.floating]) -> int:
    """First day fit for digging: the soil workable in half of all years, the day long enough."""
    warm = int(np.median(first_steady(soil_c, WORKABLE_SOIL_C, season.split)))
    long = day_length_h(season.site.latitude, day_of_year(season.site)) >= GROWING_DAY_H
    return max(warm, int(np.argmax(long)))
