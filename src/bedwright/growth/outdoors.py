"""When a kind may go outside, with the odds."""

from __future__ import annotations

from typing import Literal, NamedTuple

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


DecidedBy = Literal["frost", "soil", "nothing", "midsummer", "bed", "sowing"]
"""What decides the day a kind goes outside: ``frost``; the warmth of the ``soil``; ``nothing``
where neither holds plants back; ``midsummer`` where spring ends before they may go out; the day the
``bed`` is ready; the first day on which ``sowing`` can begin."""


class OutDay(NamedTuple):
    """First day (index) on which plants may go outside, the odds of a killing night from it on, and
    what decides it."""

    day: int
    odds: float
    decided_by: DecidedBy


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

    def day(self, kill_c: float, soil_min_c: float) -> OutDay:
        """First day whose odds of a killing night later in spring are within the risk.

        The soil must also have reached ``soil_min_c``.  Where spring ends before plants may go out
        the day is the first after it.
        """
        odds = self.season.freeze(True, kill_c)
        frost_day = odds.day_at(self.risk)
        safe = 0 if frost_day is None else int(np.ceil(frost_day)) + 1
        warm = self.warm_day(soil_min_c)
        day = min(max(safe, warm), DAYS - 1)
        if day >= self.season.split:
            return OutDay(self.season.split, odds.odds_at(self.season.split), "midsummer")
        if day == 0:
            return OutDay(day, odds.odds_at(day), "nothing")
        return OutDay(day, odds.odds_at(day), "frost" if safe >= warm else "soil")
