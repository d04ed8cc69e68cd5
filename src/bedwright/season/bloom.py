"""When a kind flowers: thermal time to first bloom, then frost, heat or its own span.

Thermal time: a kind that takes ``days_to_bloom`` days at REFERENCE_C from sowing needs
``(days_to_bloom) x (REFERENCE_C - base)`` degree-days; each day gives its mean temperature less the
base, capped at CEILING_C (the linear model of development used for bedding plants, Blanchard and
Runkle, HortScience; the ceiling is an estimate).  Obligate short-day and long-day kinds do not
open before the day length that lets them.  By the same model no flower opens while the
fortnight's mean temperature is below the base.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Kind
from bedwright.season.daylight import day_length_h
from bedwright.season.ensemble import DAYS, Season, day_of_year

REFERENCE_C = 20.0
CEILING_C = 28.0
INDOOR_C = 18.0
"""Mean temperature of a bright room or greenhouse bench (common practice, no source)."""

SHORT_DAY_H, LONG_DAY_H = 12.5, 13.0
"""Critical day lengths of obligate kinds (common practice, no source)."""

SPRING_ENDS_DAYS = 60
"""Days before the split of spring and autumn from which a killing night ends the bloom; earlier
ones are the setting-out risk, which is reckoned apart."""

CHECK_DAYS = 5
"""Days a transplant stands still after moving (common practice, no source)."""

FORTNIGHTS = 26


@dataclass(frozen=True)
class Bloom:
    """A kind's flowering in each season of the ensemble.

    ``first``: (n,) index of first bloom, DAYS where there is none; ``last``: (n,) day it ends;
    ``odds``: (26,) odds of being in bloom in each fortnight of the growing year.
    """

    first: NDArray[np.int64]
    last: NDArray[np.int64]
    odds: NDArray[np.float64]

    @property
    def share(self) -> float:
        """Share of seasons in which it blooms at all."""
        return float((self.first < DAYS).mean())

    @property
    def typical(self) -> tuple[int, int] | None:
        """Median first and last day of the seasons that bloom; None where most do not."""
        if self.share < 0.5:
            return None
        some = self.first < DAYS
        first, last = int(np.median(self.first[some])), int(np.median(self.last[some]))
        return (first, last) if first < last else None

    @property
    def spread(self) -> tuple[int, int]:
        """10% and 90% points of the first day, of the seasons that bloom."""
        some = self.first < DAYS
        if not some.any():
            return DAYS, DAYS
        low, high = np.quantile(self.first[some], [0.1, 0.9])
        return int(low), int(high)

    @property
    def weeks(self) -> float:
        """Expected weeks in bloom."""
        return float(self.odds.sum() * 2)

    @property
    def typical_weeks(self) -> float:
        """Weeks between the median first and last day."""
        return (self.typical[1] - self.typical[0]) / 7 if self.typical else 0.0


def bloom_of(
    kind: Kind, season: Season, sown: int, out: int, in_place: bool, stall: NDArray[np.bool_]
) -> Bloom:
    """Flowering of a kind sown on day ``sown`` and set out on day ``out`` (indices).

    ``in_place``: sown where it flowers, so all its growth is outdoors.  ``stall``: (n, 365) days
    too hot for it to open flowers (see heat_stall).
    """
    growth = kind.growth
    need = growth.days_to_bloom * (REFERENCE_C - growth.base_c)
    if not in_place:
        indoors = max(out - sown, 0)
        need -= indoors * (INDOOR_C - growth.base_c)
        need += CHECK_DAYS * (REFERENCE_C - growth.base_c)
    need = max(need, 0.0)
    warmth = np.clip(season.tmean_c, None, CEILING_C) - growth.base_c
    warmth = np.maximum(warmth, 0.0)
    warmth[:, : max(out, 0)] = 0.0
    reached = np.cumsum(warmth, axis=1) >= max(need, 1e-6)
    open_days = _daylength_allows(kind, season)
    first = _first(reached & open_days)
    last = np.minimum(_end(kind, season, first, out), DAYS)
    ticks = np.arange(DAYS)
    chill = _fortnight_mean(season.tmean_c) < growth.base_c
    last = np.minimum(last, _first(chill & (ticks > np.maximum(first, season.split)[:, None])))
    blooming = (ticks >= first[:, None]) & (ticks < last[:, None]) & ~stall & ~chill
    if growth.bloom_end == "heat":
        # Stopped by heat for a week on end, it is over.
        begun = np.cumsum(blooming, axis=1) > 0
        stopped = np.pad(stall & begun, ((0, 0), (6, 0)))
        week = np.asarray(np.lib.stride_tricks.sliding_window_view(stopped, 7, axis=1).all(axis=2))
        over = _first(week)
        last = np.minimum(last, over)
        blooming &= ticks < over[:, None]
    never = last <= first
    first = np.where(never, DAYS, first)
    last = np.where(never, DAYS, last)
    blooming &= ~never[:, None]
    share = blooming.mean(axis=0)[: FORTNIGHTS * 14]
    odds = share.reshape(FORTNIGHTS, 14).mean(axis=1)
    return Bloom(first, last, odds)


def heat_stall(kind: Kind, season: Season) -> NDArray[np.bool_]:
    """(n, 365) days whose fortnight before had a mean maximum above the kind's limit."""
    return np.asarray(_fortnight_mean(season.tmax_c) > kind.liking.heat_max_c)


def _fortnight_mean(values: NDArray[np.floating]) -> NDArray[np.float64]:
    """(n, days) mean of each day and the 13 before it (of fewer at the start)."""
    total = np.cumsum(values, axis=1, dtype=float)
    total = total - np.pad(total, ((0, 0), (14, 0)))[:, :-14]
    return np.asarray(total / np.minimum(np.arange(values.shape[1]) + 1, 14))


def _first(flags: NDArray[np.bool_]) -> NDArray[np.int64]:
    return np.where(flags.any(axis=1), np.argmax(flags, axis=1), DAYS)


def _daylength_allows(kind: Kind, season: Season) -> NDArray[np.bool_]:
    """(365,) days whose length lets the kind open."""
    hours = day_length_h(season.site.latitude, day_of_year(season.site))
    if kind.growth.daylength == "short_obligate":
        return np.asarray(hours <= SHORT_DAY_H)
    if kind.growth.daylength == "long_obligate":
        # A plant that has been let flower goes on: only the start waits for long days.
        return np.asarray(np.maximum.accumulate(hours) >= LONG_DAY_H)
    return np.ones(DAYS, bool)


def _end(kind: Kind, season: Season, first: NDArray[np.int64], out: int) -> NDArray[np.int64]:
    """(n,) day on which frost kills it or its span is over."""
    cold = season.tmin_c <= kind.kill_c + 1e-3
    cold[:, : max(out, season.split - SPRING_ENDS_DAYS, 0)] = False
    frost = _first(cold)
    span = first + round(kind.growth.bloom_weeks * 7)
    return np.minimum(frost, span)
