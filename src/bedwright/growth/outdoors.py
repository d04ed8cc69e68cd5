"""When a kind may go outside, with the odds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Hardiness
from bedwright.climate import DAYS, WORKABLE_SOIL_C, Season, first_steady

TENDER_SOIL_C = 12.0
"""Warmth below which tender transplants stand still (common practice, no source)."""


TRANSPLANT_SOIL_C: dict[Hardiness, float] = {
    "hardy": WORKABLE_SOIL_C,
    "half_hardy": 8.0,
    "tender": TENDER_SOIL_C,
}
"""Soil warm enough for young plants of each class (common practice, no source)."""


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
