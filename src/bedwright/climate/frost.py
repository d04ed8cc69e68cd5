"""Last freeze of spring, first freeze of autumn, and their odds.

Definitions follow NCEI's climate normals: a freeze at a threshold is a daily minimum at or below it
(``<=``); spring odds are those of a freeze *later than* a date, autumn odds those of one *earlier
than* a date.  Years without a freeze enter as a mixed distribution: the odds of a date are the
share of years with a freeze times the odds among those.

Spring and autumn are parted on 24 July north of the equator and 24 January south of it, and a
season whose minima are missing on ten days or more of the stretch that could hold the freeze does
not count (Utah Climate Center, freeze tables; the stretch is settled by the place's own freezes).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FREEZE_C, HARD_FREEZE_C = 0.0, (28 - 32) / 1.8
THRESHOLD_NAMES = (
    ((36 - 32) / 1.8, "frost"),
    (FREEZE_C, "freeze"),
    (HARD_FREEZE_C, "hard freeze"),
    ((24 - 32) / 1.8, "severe freeze"),
)
"""36, 32 and 28 °F under the National Weather Service's names (weather.gov/jan/frostfreeze); 24 °F
is NCEI's next threshold, the name ours."""

SPLIT = {True: 204, False: 207}
"""Index of the day that parts spring from autumn (True: year from 1 January; False: from 1
July)."""


class Halves(NamedTuple):
    """Where in a growing year a last freeze and a first freeze may lie: before one index, and from
    another on."""

    spring_until: int
    autumn_from: int


HALVES = {north: Halves(split, split) for north, split in SPLIT.items()}
"""Of growing years that begin in winter, as SPLIT has them."""

WHOLE_YEAR = Halves(365, 0)
"""Of a growing year with its winter in the middle: the last and the first freeze of that winter."""

MOST_MISSING = 10
MOST_GONE = 0.1
"""Share of the stretch that may be missing; of the half year where no year has a freeze."""

SLACK_C = 1e-3
"""Keeps a value that stands on the threshold below it, whatever the rounding; no record has a finer
step."""

NEVER = -1
"""Stands for 'no freeze in this part of the year'."""

NORMAL = NormalDist()
"""The standard normal law: to the last digit or two what scipy gives, which takes longer to import
than a season takes to work out; a test holds the two against each other."""


def last_spring(
    tmin_c: NDArray[np.floating], threshold_c: float, halves: Halves
) -> NDArray[np.int64]:
    """(n,) index of the last day of spring's half with minimum <= threshold; NEVER if none.

    ``tmin_c``: (n, days) of growing years.  nan is no freeze.
    """
    cold = tmin_c[:, : halves.spring_until] <= threshold_c + SLACK_C
    last = cold.shape[1] - 1 - np.argmax(cold[:, ::-1], axis=1)
    return np.where(cold.any(axis=1), last, NEVER)


def first_autumn(
    tmin_c: NDArray[np.floating], threshold_c: float, halves: Halves
) -> NDArray[np.int64]:
    """(n,) index of the first day of autumn's half with minimum <= threshold; NEVER if none."""
    start = halves.autumn_from
    cold = tmin_c[:, start:] <= threshold_c + SLACK_C
    return np.where(cold.any(axis=1), start + np.argmax(cold, axis=1), NEVER)


def usable(
    tmin_c: NDArray[np.floating], threshold_c: float, spring: bool, halves: Halves
) -> NDArray[np.bool_]:
    """(n,) seasons whose missing days cannot hide the answer.

    A missing day could hide it if it lies later than the last freeze seen in that spring (earlier
    than the first seen in that autumn) and within the days at which the place has ever frozen.
    Fewer than MOST_MISSING such days, or a tenth of all of them, may be missing.
    """
    if not np.isnan(tmin_c).any():  # as no model's season has gaps
        return np.ones(len(tmin_c), bool)
    side = slice(0, halves.spring_until) if spring else slice(halves.autumn_from, tmin_c.shape[1])
    days = np.arange(tmin_c.shape[1])[side]
    ever = days[(tmin_c[:, side] <= threshold_c + SLACK_C).any(axis=0)]
    if len(ever) == 0:
        return np.asarray(np.isnan(tmin_c[:, side]).mean(axis=1) < MOST_GONE)
    find = last_spring if spring else first_autumn
    found = find(tmin_c, threshold_c, halves)[:, None]
    beyond = (days > found) if spring else ((days < found) | (found == NEVER))
    hiding = beyond & (days >= ever[0]) & (days <= ever[-1])
    most = min(MOST_MISSING, max(1, round(MOST_GONE * (ever[-1] - ever[0] + 1))))
    return np.asarray((np.isnan(tmin_c[:, side]) & hiding).sum(axis=1) < most)


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
        return float(np.mean(self.dates) + NORMAL.inv_cdf(level) * np.std(self.dates, ddof=1))

    def odds_at(self, day: float) -> float:
        """Odds of a freeze on or after (spring) or on or before (autumn) ``day``."""
        dates = np.array(self.dates)
        hit = dates >= day if self.spring else dates <= day
        return float(hit.sum() / self.years) if self.years else 0.0


def odds_of(days: NDArray[np.int64], spring: bool) -> FreezeOdds:
    """Odds of freezes (n,), one a year; NEVER where a year has none."""
    return FreezeOdds(tuple(np.sort(days[days != NEVER]).tolist()), len(days), spring)


def odds_of_days(
    spring: NDArray[np.int64], autumn: NDArray[np.int64]
) -> tuple[FreezeOdds, FreezeOdds]:
    """Odds of last and first freezes, (n,) each, one a season."""
    return odds_of(spring, True), odds_of(autumn, False)


def freeze_odds(
    tmin_c: NDArray[np.floating], threshold_c: float, halves: Halves, spring: bool
) -> FreezeOdds:
    """Odds from an array of seasons (n, days); seasons that cannot answer are left out."""
    kept = _rows(tmin_c, usable(tmin_c, threshold_c, spring, halves))
    find = last_spring if spring else first_autumn
    return odds_of(find(kept, threshold_c, halves), spring)


def _rows(values: NDArray[np.floating], wanted: NDArray[np.bool_]) -> NDArray[np.floating]:
    """The rows wanted, not copied where all are."""
    return values if wanted.all() else values[wanted]


def free_days(
    last: NDArray[np.int64], first: NDArray[np.int64], halves: Halves
) -> NDArray[np.int64]:
    """(n,) days of a growing year, 365 long, between the last freeze of spring and the first of
    autumn; where winter lies in the middle of the growing year, those before and after its freezes.

    ``last``, ``first``: (n,) their days, NEVER where there is none: that side runs to the end of
    the growing year.  0 where no day is free.
    """
    end = WHOLE_YEAR.spring_until
    if halves == WHOLE_YEAR:
        frosty = (last != NEVER) & (first != NEVER)
        free = end - np.where(frosty, last - first + 1, (last != NEVER) | (first != NEVER))
    else:
        free = np.where(first == NEVER, end, first) - last - 1
    return np.asarray(np.clip(free, 0, end))


def freeze_free_days(
    tmin_c: NDArray[np.floating], threshold_c: float, halves: Halves
) -> NDArray[np.int64]:
    """(n,) ``free_days`` of seasons (n, 365).

    Seasons that cannot answer on both sides are left out, so n may be smaller than the rows given.
    """
    both = usable(tmin_c, threshold_c, True, halves) & usable(tmin_c, threshold_c, False, halves)
    kept = _rows(tmin_c, both)
    return free_days(
        last_spring(kept, threshold_c, halves), first_autumn(kept, threshold_c, halves), halves
    )


ROUNDS = 2000
"""Draws of the bootstrap: the 5% and 95% points are then good to a tenth of their error."""


def bootstrap_days(
    odds: FreezeOdds, levels: tuple[float, ...], seed: int, rounds: int = ROUNDS
) -> NDArray[np.float64]:
    """(rounds, levels) ``day_at`` each level when years are drawn again with replacement.

    All years are drawn, those without a freeze too; nan where a draw has no such day.
    """
    if not odds.dates:
        return np.full((rounds, len(levels)), np.nan)
    never = odds.years - len(odds.dates)
    years = np.concatenate([np.full(never, NEVER), odds.dates]).astype(np.int16)
    drawn = np.random.default_rng([seed, 102]).integers(
        0, odds.years, (rounds, odds.years), np.int16
    )
    # The years stand in order, so their drawn numbers sort as their days do.
    drawn.sort(axis=1)
    frozen = (drawn >= never).sum(axis=1)[:, None]
    share = frozen / odds.years
    wanted = np.array(levels)
    within = np.minimum(wanted / np.maximum(share, 1e-9), 1.0)
    level = 1.0 - within if odds.spring else within
    # Median-unbiased positions (Hyndman and Fan's type 8), as numpy's quantile has them.
    place = np.clip(frozen * level + (level + 1.0) / 3.0 - 1.0, 0, np.maximum(frozen - 1, 0))
    below = place.astype(int)
    part, start = place - below, odds.years - frozen
    lower = years[np.take_along_axis(drawn, np.minimum(start + below, odds.years - 1), axis=1)]
    upper = years[np.take_along_axis(drawn, np.minimum(start + below + 1, odds.years - 1), axis=1)]
    return np.where(wanted < share, lower + part * (upper - lower), np.nan)


def bootstrap_sd(odds: FreezeOdds, level: float, seed: int, rounds: int = ROUNDS) -> float:
    """Standard error, days, of ``day_at(level)``; 0 where there are too few freezes."""
    if len(odds.dates) < 3 or odds.day_at(level) is None:
        return 0.0
    found = bootstrap_days(odds, (level,), seed, rounds)
    found = found[~np.isnan(found)]
    return float(found.std()) if len(found) > rounds / 2 else 0.0


def bootstrap_range(
    odds: FreezeOdds, level: float, seed: int, cover: float = 0.9
) -> tuple[float, float] | None:
    """The range that holds ``cover`` of the bootstrap's days at a level; None without one."""
    found = bootstrap_days(odds, (level,), seed)
    found = found[~np.isnan(found)]
    if len(found) < ROUNDS / 2:
        return None
    low, high = np.quantile(found, [(1 - cover) / 2, (1 + cover) / 2])
    return float(low), float(high)


@dataclass(frozen=True, slots=True)
class Trend:
    """Change of a yearly figure: ``per_decade`` (its own unit), and ``p``, the odds of a rank
    correlation with the year as strong as this by chance."""

    per_decade: float
    p: float

    @property
    def established(self) -> bool:
        """Whether chance alone would show it less than once in twenty."""
        return self.p < TREND_P


TREND_P = 0.05


def trend_of(years: NDArray[np.int64], values: NDArray[np.floating]) -> Trend:
    """Trend of one value a year; years whose value is nan are left out.  Needs ten of them."""
    known = ~np.isnan(values)
    if known.sum() < 10 or np.ptp(values[known]) == 0:
        return Trend(0.0, 1.0)
    step = np.subtract.outer(values[known], values[known])
    apart = np.subtract.outer(years[known], years[known])
    later = apart > 0
    slope = float(np.median(step[later] / apart[later]))
    rises = float(np.sign(step[later]).sum())
    return Trend(10.0 * slope, _chance(rises, values[known]))


def _chance(rises: float, values: NDArray[np.floating]) -> float:
    """How likely chance alone makes so many more pairs of years rise than fall, or fall than rise.

    Kendall's normal approximation, corrected for ties (M. G. Kendall, Rank Correlation Methods,
    1975, from memory).  scipy has it, too, but takes a second to import; a test holds the two
    against each other.
    """
    ties = np.flatnonzero(np.diff(np.sort(values), append=np.inf))  # the last of each value
    counts = np.append(len(values), np.diff(ties, prepend=-1))
    spreads = counts * (counts - 1) * (2 * counts + 5) / 18.0
    deviation = math.sqrt(spreads[0] - spreads[1:].sum())
    return math.erfc(abs(rises) / deviation / math.sqrt(2.0))
