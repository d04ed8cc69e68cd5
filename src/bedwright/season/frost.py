"""Last freeze of spring, first freeze of autumn, and their odds.

Definitions follow NCEI's climate normals: a freeze at a threshold is a daily minimum at or below it
(``<=``); spring odds are those of a freeze *later than* a date, autumn odds those of one *earlier
than* a date.  Years without a freeze enter as a mixed distribution: the odds of a date are the
share of years with a freeze times the odds among those.

Spring and autumn are parted on 24 July north of the equator and 24 January south of it, and a
season whose minima are missing on ten days or more of the stretch that could hold the freeze does
not count (Utah Climate Center, freeze tables).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

FREEZE_C = 0.0
THRESHOLD_NAMES = (
    ((36 - 32) / 1.8, "frost"),
    (FREEZE_C, "freeze"),
    ((28 - 32) / 1.8, "hard freeze"),
    ((24 - 32) / 1.8, "severe freeze"),
)
"""36, 32 and 28 °F under the National Weather Service's names (weather.gov/jan/frostfreeze); 24 °F
is NCEI's next threshold, the name ours."""

SPLIT = {True: 204, False: 207}
"""Index of the day that parts spring from autumn (True: year from 1 January; False: from 1
July)."""

MOST_MISSING = 10
SLACK_C = 1e-3
"""Keeps a value that stands on the threshold below it, whatever the rounding; no record has a finer
step."""

NEVER = -1
"""Stands for 'no freeze in this part of the year'."""


def last_spring(tmin_c: NDArray[np.floating], threshold_c: float, north: bool) -> NDArray[np.int64]:
    """(n,) index of the last day before the split with minimum <= threshold; NEVER if none.

    ``tmin_c``: (n, days), from 1 January (north) or 1 July (south).  nan is no freeze.
    """
    cold = tmin_c[:, : SPLIT[north]] <= threshold_c + SLACK_C
    last = cold.shape[1] - 1 - np.argmax(cold[:, ::-1], axis=1)
    return np.where(cold.any(axis=1), last, NEVER)


def first_autumn(
    tmin_c: NDArray[np.floating], threshold_c: float, north: bool
) -> NDArray[np.int64]:
    """(n,) index of the first day from the split on with minimum <= threshold; NEVER if none."""
    cold = tmin_c[:, SPLIT[north] :] <= threshold_c + SLACK_C
    return np.where(cold.any(axis=1), SPLIT[north] + np.argmax(cold, axis=1), NEVER)


def usable(tmin_c: NDArray[np.floating], spring: bool, north: bool) -> NDArray[np.bool_]:
    """(n,) seasons whose missing days cannot hide the answer.

    The stretch looked at: 1 February to the split less 60 days, and the split plus 50 days to
    15 December (in the south half a year later).  Fewer than MOST_MISSING days may be missing.
    """
    split = SPLIT[north]
    part = tmin_c[:, 31 : split - 60] if spring else tmin_c[:, split + 50 : split + 144]
    return np.asarray(np.isnan(part).sum(axis=1) < MOST_MISSING)


@dataclass(frozen=True, slots=True)
class FreezeOdds:
    """Odds of one freeze date.

    ``dates``: sorted days (index into the growing year) of the years that had a freeze;
    ``years``: all years looked at; ``spring``: which side of the odds is meant.
    """

    dates: tuple[int, ...]
    years: int
    spring: bool

    @property
    def share(self) -> float:
        """Share of years with a freeze."""
        return len(self.dates) / self.years if self.years else 0.0

    def day_at(self, odds: float) -> float | None:
        """The day at which the odds of a later (spring) or earlier (autumn) freeze are ``odds``.

        Empirical quantile with median-unbiased positions; None where even the whole year's odds
        are smaller, so that no such day exists.
        """
        if not self.dates or odds >= self.share:
            return None
        within = odds / self.share
        level = 1.0 - within if self.spring else within
        return float(np.quantile(self.dates, level, method="median_unbiased"))

    def fitted_day_at(self, odds: float) -> float | None:
        """As day_at, from a normal curve through the years' mean and standard deviation."""
        if len(self.dates) < 3 or odds >= self.share:
            return None
        within = odds / self.share
        level = 1.0 - within if self.spring else within
        return float(np.mean(self.dates) + ndtri(level) * np.std(self.dates, ddof=1))

    def odds_at(self, day: float) -> float:
        """Odds of a freeze on or after (spring) or on or before (autumn) ``day``."""
        dates = np.array(self.dates)
        hit = dates >= day if self.spring else dates <= day
        return float(hit.sum() / self.years) if self.years else 0.0


def freeze_odds(
    tmin_c: NDArray[np.floating], threshold_c: float, north: bool, spring: bool
) -> FreezeOdds:
    """Odds from an array of seasons (n, days); seasons that cannot answer are left out."""
    kept = tmin_c[usable(tmin_c, spring, north)]
    find = last_spring if spring else first_autumn
    days = find(kept, threshold_c, north)
    return FreezeOdds(tuple(sorted(int(d) for d in days if d != NEVER)), len(kept), spring)


def bootstrap_sd(odds: FreezeOdds, level: float, seed: int, rounds: int = 500) -> float:
    """Standard error, days, of ``day_at(level)`` when years are drawn again with replacement.

    All years are drawn, those without a freeze too; draws in which no such day exists are left out.
    """
    if len(odds.dates) < 3 or odds.day_at(level) is None:
        return 0.0
    rng = np.random.default_rng([seed, 102])
    frozen = len(odds.dates)
    found = []
    for _ in range(rounds):
        drawn = rng.integers(0, odds.years, odds.years)
        dates = tuple(odds.dates[k] for k in sorted(drawn) if k < frozen)
        day = FreezeOdds(dates, odds.years, odds.spring).day_at(level)
        if day is not None:
            found.append(day)
    return float(np.std(found)) if len(found) > rounds / 2 else 0.0
