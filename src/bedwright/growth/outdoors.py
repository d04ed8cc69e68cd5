"""When a kind may go outside, with the odds."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Hardiness, Kind
from bedwright.climate import (
    DAYS,
    HARD_FREEZE_C,
    NEVER,
    SLACK_C,
    WORKABLE_SOIL_C,
    FreezeOdds,
    Season,
    first_steady,
    odds_of,
    soil_temperature,
)
from bedwright.growth.bloom import LEAD_DAYS, fortnight_mean, winter_kill_c, with_lead
from bedwright.growth.warmth import Seed, seed_of

TENDER_SOIL_C = 12.0
"""Warmth below which tender transplants stand still (common practice, no source)."""

TRANSPLANT_SOIL_C: dict[Hardiness, float] = {
    "hardy": WORKABLE_SOIL_C,
    "half_hardy": 8.0,
    "tender": TENDER_SOIL_C,
}
"""Soil warm enough for young plants of most kinds of each class (common practice, no source); in a
plan each kind's own figure decides."""

ROOTING_C = 4.0
"""How much cooler a soil rooted young plants stand than their kind's seed (estimate)."""

LATEST_SOWING = 175
"""Last day of the growing year for sowing in place in spring: just after midsummer (common
practice, no source)."""

AUTUMN_SOIL_C = 20.0
AUTUMN_LEAD_DAYS = 56
"""Autumn sowing and planting: once the soil has cooled to this, but so long before the first freeze
at even odds that plants root (common practice, no source: six to eight weeks)."""

AUTUMN_SLACK_DAYS = 35
"""How much later than that a bed may be ready and still be sown or planted, but where winters are
mild (estimate)."""

RARE_SHARE = 0.05
"""Share of seasons below which a hard freeze, which ends flowers of the cool season, hardly comes
(estimate)."""

HEAT_ODDS = 0.5
"""Odds of a fortnight too hot for flowers at which cool-season kinds are set out: heat holds young
plants up and does not kill them (estimate)."""

COOLER, HALF_FORTNIGHT = 1 / 3, 7
"""How far the heat must have fallen, of the way to the coolest fortnight's, for the cool season to
begin (estimate: late October in Miami, where it is the time for it); and how many days the mean of
a fortnight lags behind."""

DecidedBy = Literal[
    "frost",
    "soil",
    "nothing",
    "midsummer",
    "cold_soil",
    "bed",
    "sowing",
    "autumn",
    "heat",
    "cool",
]
"""What decides the day a kind goes outside: ``frost``; the warmth of the ``soil``; ``nothing``
where neither holds plants back; ``midsummer`` where spring ends before they may go out for frost,
``cold_soil`` where it does before the soil is warm; the day the ``bed`` is ready; the first day on
which ``sowing`` can begin; ``autumn`` where it is sown or planted in the autumn before; where the
winter lies in the middle of the growing year, the end of the ``heat`` that stops its flowers, or
the beginning of the ``cool`` season, in which it does better."""


LATE: tuple[DecidedBy, ...] = ("midsummer", "cold_soil")
"""What says that no day of spring will do."""


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
        self._up: dict[Seed, NDArray[np.int64]] = {}
        self._safe: dict[float, int] = {}
        self._frosts: dict[float, int] = {}
        self._coldest: dict[int, NDArray[np.floating]] = {}
        self._heats: dict[float, FreezeOdds] = {}

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
        return self._day(kill_c, self.warm_day(soil_min_c), self._safe_day(kill_c))

    def plant_day(self, kind: Kind) -> OutDay:
        """First day on which young plants of a kind may be set out."""
        soil = max(kind.sowing.soil_min_c - ROOTING_C, WORKABLE_SOIL_C)
        return self.day(kind.kill_c, soil)

    def sowing_day(self, kind: Kind) -> OutDay:
        """First day on which a kind may be sown in place.

        Seed lies safe underground: the risk is that of the nights after it has come up.
        """
        seed, warm = seed_of(kind), self.warm_day(kind.sowing.soil_min_c)
        safe = int(np.argmax(self._up_days(seed)[LEAD_DAYS:] >= self._safe_day(kind.kill_c)))
        found = self._day(kind.kill_c, warm, safe)
        up = min(self.emergence(seed, found.day), DAYS - 1)
        odds = self.season.freeze(True, kind.kill_c).odds_at(up)
        if found.day > LATEST_SOWING:
            late: DecidedBy = (
                "midsummer" if found.decided_by in ("frost", "midsummer") else "cold_soil"
            )
            return OutDay(found.day, odds, late)
        return found._replace(odds=odds)

    def emergence(self, seed: Seed, sown: int) -> int:
        """Day on which seed sown on a day comes up in a usual year; DAYS where it does not."""
        return int(self._up_days(seed)[sown + LEAD_DAYS]) if sown < DAYS else DAYS

    def _up_days(self, seed: Seed) -> NDArray[np.int64]:
        """(LEAD_DAYS + DAYS,) day on which seed comes up that is sown on each day, from LEAD_DAYS
        before the growing year on."""
        if seed not in self._up:
            warmth = np.cumsum(np.maximum(self._usual_soil - seed.base_c, 0.0))
            before = np.concatenate([[0.0], warmth[:-1]])
            up = np.searchsorted(warmth, before + seed.need) + 1
            self._up[seed] = np.minimum(up - LEAD_DAYS, DAYS)
        return self._up[seed]

    @cached_property
    def coolest_day(self) -> int:
        """Day on which the fortnight behind it is usually the coolest by day."""
        return int(np.argmin(self._hot.mean(axis=0)))

    @cached_property
    def cool_day(self) -> int:
        """Day by which the usual daily maximum has fallen by COOLER of the way from the hottest
        fortnight's to the coolest's."""
        usual = self._hot.mean(axis=0)
        limit = usual.max() - COOLER * (usual.max() - usual.min())
        above = np.flatnonzero(usual[: self.coolest_day] > limit)
        return max(int(above[-1]) + 1 - HALF_FORTNIGHT, 0) if len(above) else 0

    def heat_day(self, heat_max_c: float) -> int:
        """First day of the year's falling half after which a fortnight too hot for flowers comes
        in half of all years at most; 0 where heat is no rarer than that before it."""
        return self._heat_until(heat_max_c, HEAT_ODDS)

    def heat_odds(self, heat_max_c: float, day: int) -> float:
        """Odds of a fortnight too hot for flowers from a day on, before the coolest one."""
        return self._heat(heat_max_c).odds_at(day)

    def heat_past(self, heat_max_c: float, odds: float) -> int | None:
        """Day from which the odds of such a fortnight are down to ``odds``; None where they are not
        before the coolest one."""
        found = self._heat_until(heat_max_c, odds)
        return found if found < self.coolest_day else None

    def _heat_until(self, heat_max_c: float, odds: float) -> int:
        """Day from which the odds of such a fortnight are down to ``odds``; 0 where they are no
        higher before it."""
        day = self._heat(heat_max_c).day_at(odds)
        return 0 if day is None else math.ceil(day) + 1

    def _heat(self, heat_max_c: float) -> FreezeOdds:
        """Last day before the coolest that ends a fortnight whose mean maximum is too high."""
        if heat_max_c not in self._heats:
            hot = self._hot[:, : self.coolest_day] > heat_max_c
            last = np.full(len(hot), NEVER)
            if hot.size:
                latest = hot.shape[1] - 1 - np.argmax(hot[:, ::-1], axis=1)
                last = np.where(hot.any(axis=1), latest, NEVER)
            self._heats[heat_max_c] = odds_of(last, True)
        return self._heats[heat_max_c]

    def after_winter(self, kill_c: float, soil_min_c: float) -> OutDay | None:
        """First day after the coolest whose odds of a later killing night are within the risk and
        whose soil is usually warm enough; None where winter holds nothing back."""
        soil = self._usual_soil[LEAD_DAYS:]
        cold = np.flatnonzero(soil < soil_min_c)
        warm = int(cold[-1]) + 1 if len(cold) else 0
        safe = self._safe_day(kill_c)
        day = max(warm, safe)
        if day <= self.coolest_day or day >= DAYS:
            return None
        odds = self.season.freeze(True, kill_c).odds_at(day)
        return OutDay(day, odds, "frost" if safe >= warm else "soil")

    @cached_property
    def _hot(self) -> NDArray[np.float64]:
        """(n, 365) mean daily maximum of the fortnight behind each day."""
        return fortnight_mean(with_lead(self.season.tmax_c))[:, LEAD_DAYS:]

    @cached_property
    def autumn_day(self) -> int | None:
        """Day of the autumn before the growing year on which hardy kinds are sown or planted; None
        where the soil stays warm, or autumn lies in the growing year."""
        if self.season.winter_amid:
            return None
        soil = self._usual_soil[:LEAD_DAYS]
        cool = np.flatnonzero(soil > AUTUMN_SOIL_C)
        cooled = int(cool[-1]) + 1 - LEAD_DAYS if len(cool) else -LEAD_DAYS
        freeze = self.season.freeze(False).day_at(0.5)
        rooted = -LEAD_DAYS if freeze is None else int(freeze) - DAYS - AUTUMN_LEAD_DAYS
        day = max(cooled, rooted)
        return day if day < 0 else None

    @cached_property
    def mild(self) -> bool:
        """Whether flowers go on through winter: hard freezes come in fewer than one season of
        twenty."""
        limit = HARD_FREEZE_C + SLACK_C
        return float((self.season.tmin_c <= limit).any(axis=1).mean()) < RARE_SHARE

    def winter_loss(self, kind: Kind, up: int) -> float:
        """Odds that winter kills a kind that has come up, or is planted, on a day before the
        growing year."""
        if up not in self._coldest:
            nights = self._nights[:, up + LEAD_DAYS : self.season.split + LEAD_DAYS]
            self._coldest[up] = nights.min(axis=1)
        return float((self._coldest[up] <= winter_kill_c(kind) + SLACK_C).mean())

    def frost_day(self, kill_c: float) -> int:
        """Day of autumn's killing frost at even odds; DAYS where there is none."""
        if kill_c not in self._frosts:
            autumn = self.season.freeze(False, kill_c).day_at(0.5)
            self._frosts[kill_c] = DAYS if autumn is None else int(autumn)
        return self._frosts[kill_c]

    def _day(self, kill_c: float, warm: int, safe: int) -> OutDay:
        """The later of two days, with what decides it."""
        odds, split = self.season.freeze(True, kill_c), self.season.split
        day = min(max(safe, warm), DAYS - 1)
        if day >= split:
            late: DecidedBy = "midsummer" if safe >= split else "cold_soil"
            return OutDay(split, odds.odds_at(split), late)
        if day == 0:
            return OutDay(day, odds.odds_at(day), "nothing")
        return OutDay(day, odds.odds_at(day), "frost" if safe >= warm else "soil")

    def _safe_day(self, kill_c: float) -> int:
        """First day whose odds of a killing night later in spring are within the risk."""
        if kill_c not in self._safe:
            frost = self.season.freeze(True, kill_c).day_at(self.risk)
            self._safe[kill_c] = 0 if frost is None else int(np.ceil(frost)) + 1
        return self._safe[kill_c]

    @cached_property
    def _usual_soil(self) -> NDArray[np.float64]:
        """(LEAD_DAYS + DAYS,) mean soil of the seasons."""
        mean = with_lead(self.season.tmean_c).mean(axis=0, keepdims=True)
        return np.asarray(soil_temperature(mean)[0])

    @cached_property
    def _nights(self) -> NDArray[np.floating]:
        """(n, LEAD_DAYS + DAYS) minima, the autumn before included."""
        return with_lead(self.season.tmin_c)
