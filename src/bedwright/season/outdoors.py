"""When the ground can be worked and when a kind may go outside, with the odds.

Soil temperature is the daily mean air temperature lagged and smoothed: a first-order response of
SOIL_LAG_DAYS, for the top 10 cm of bare soil.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Hardiness
from bedwright.season.daylight import day_length_h
from bedwright.season.ensemble import DAYS, Season, day_of_year

SOIL_LAG_DAYS = 8.0
"""The mean lag of D. Zheng, E. R. Hunt and S. W. Running's model of soil at 10 cm (Climate Research
2, 1993: a running mean of 11 days, then a quarter of the gap a day; from memory).  Conduction alone
would give 3 days (damping depth of the year 1.80 m); wet spring soil is slower."""

WORKABLE_SOIL_C = 4.5
"""Soil that no longer freezes at night and has begun to dry: 40 °F (common practice, no source)."""

TENDER_SOIL_C = 12.0
"""Warmth below which tender transplants stand still (common practice, no source)."""


TRANSPLANT_SOIL_C: dict[Hardiness, float] = {
    "hardy": WORKABLE_SOIL_C,
    "half_hardy": 8.0,
    "tender": TENDER_SOIL_C,
}
"""Soil warm enough for young plants of each class (common practice, no source)."""


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
    spans = np.lib.stride_tricks.sliding_window_view(fine, 14, axis=1)
    windows = np.asarray(spans.all(axis=2))[:, :until]
    coldest = int(np.argmin(values[:, :until].mean(axis=0)))
    if coldest < MIDWINTER_DAYS:
        windows[:, :coldest] = False
    first = np.where(windows.any(axis=1), np.argmax(windows, axis=1), until)
    return np.where(fine[:, :until].all(axis=1), 0, first)


NEVER_SAFE = "midsummer, with no safe day before it"


class Outdoors:
    """When plants may go outside in a season at an accepted frost risk; answers are kept."""

    def __init__(self, season: Season, soil_c: NDArray[np.floating], risk: float) -> None:
        """``soil_c``: (n, days); ``risk``: odds of a later killing night that are accepted."""
        self.season, self.soil_c, self.risk = season, soil_c, risk
        self._warm: dict[float, int] = {}

    def warm_day(self, soil_min_c: float) -> int:
        """Day by which the soil has reached a warmth, for a fortnight on end, in half the seasons;
        the split of spring and autumn where it never does."""
        if soil_min_c not in self._warm:
            steady = first_steady(self.soil_c, soil_min_c, self.season.split)
            self._warm[soil_min_c] = int(np.median(steady))
        return self._warm[soil_min_c]

    def day(self, kill_c: float, soil_min_c: float) -> tuple[int, float, str]:
        """First day whose odds of a killing night later in spring are within the risk.

        The soil must also have reached ``soil_min_c``.  Returns the day's index, the odds of a
        killing night from it on, and which of the two decided: ``frost``, ``soil warmth``,
        ``nothing`` where neither holds plants back, or NEVER_SAFE where spring ends before they may
        go out (the day is then the first after it).
        """
        odds = self.season.freeze(True, kill_c)
        frost_day = odds.day_at(self.risk)
        safe = 0 if frost_day is None else int(np.ceil(frost_day)) + 1
        warm = self.warm_day(soil_min_c)
        day = min(max(safe, warm), DAYS - 1)
        if day >= self.season.split:
            return self.season.split, odds.odds_at(self.season.split), NEVER_SAFE
        reason = "nothing" if day == 0 else ("frost" if safe >= warm else "soil warmth")
        return day, odds.odds_at(day), reason


LEAF_SOIL_C = 9.0
"""Soil at which deciduous trees are about in leaf in spring and begin to drop it in autumn
(estimate)."""


def leaf_days(season: Season, soil_c: NDArray[np.floating]) -> tuple[int, int]:
    """Days (indices) between which deciduous trees are in leaf; the whole year in warm places."""
    out = int(np.median(first_steady(soil_c, LEAF_SOIL_C, season.split)))
    late = soil_c[:, season.split :] < LEAF_SOIL_C
    fall = np.where(late.any(axis=1), season.split + np.argmax(late, axis=1), DAYS)
    return out, int(np.median(fall))


GROWING_DAY_H = 10.0
"""Day length below which plants hardly grow, however mild it is (common practice, no source)."""


def workable_day(season: Season, soil_c: NDArray[np.floating]) -> int:
    """First day worth digging for: the soil workable in half of all years, the day long enough."""
    warm = int(np.median(first_steady(soil_c, WORKABLE_SOIL_C, season.split)))
    long = day_length_h(season.site.latitude, day_of_year(season.site)) >= GROWING_DAY_H
    return max(warm, int(np.argmax(long)))
