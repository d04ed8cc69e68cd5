"""What was to be expected of a garden's nights, and what the journal says beside it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from typing import NamedTuple

import numpy as np

from bedwright.climate import DAYS, MONTH_DAYS, Season, day_of_year
from bedwright.journal import NIGHT_SD_C, SITE_SD_C, Entry, Minima, Night, learn_nights

FIXED_SD_C = 0.05
"""A night that differs by less than this from season to season was measured near by."""


class ExpectedNights(NamedTuple):
    """The nights of the years in which a bed was grown: of each, what was to be expected; how much
    whole months differ from year to year; and the standard error of the source.  °C."""

    nights: Mapping[date, Night]
    month_sd_c: float
    prior_sd_c: float


def expected_nights(seasons: Sequence[Season], measured: Collection[date]) -> ExpectedNights:
    """What the seasons of some growing years, as they were planned without anything learned, had to
    be expected.

    Where a station near by measured the nights that the garden did, its nights alone are taken;
    else the ensembles' means, with the spread of days within their month.
    """
    near = [night for season in seasons for night in _measured(season)]
    both = {day for day, _ in near} & set(measured)
    if both:
        return ExpectedNights(dict(near), 0.0, SITE_SD_C)
    nights = dict[date, Night]()
    sds, doubts = [], []
    for season in seasons:
        low = np.asarray(season.tmin_c, float)
        mean = low.mean(axis=0)
        apart, months = low - mean, _months(season)
        by_month = np.array([apart[:, months == n].mean(axis=1) for n in range(12)])
        within = (apart - by_month[months].T).std(axis=0)
        for index in range(DAYS):
            sd = max(float(within[index]), NIGHT_SD_C)
            nights[season.day(index)] = Night(float(mean[index]), sd)
        sds.append(float(by_month.std(axis=1).mean()))
        doubts.append(season.doubt_c or SITE_SD_C)
    if not nights:
        return ExpectedNights({}, 0.0, SITE_SD_C)
    return ExpectedNights(nights, float(np.mean(sds)), max(doubts))


def _measured(season: Season) -> list[tuple[date, Night]]:
    """Nights that are the same in all seasons: those that a record near by has of this year."""
    low = np.asarray(season.tmin_c, float)
    fixed = np.flatnonzero(low.std(axis=0) < FIXED_SD_C)
    return [(season.day(int(n)), Night(float(low[:, n].mean()), NIGHT_SD_C)) for n in fixed]


def _months(season: Season) -> np.ndarray:
    """(365,) month, 0 to 11, of each day of the growing year."""
    return np.repeat(np.arange(12), MONTH_DAYS)[day_of_year(season.site)]


def garden_nights(entries: Iterable[Entry], expected: ExpectedNights | None) -> Minima:
    """By how much a garden's nights differ from what was to be expected.

    All nights count alike.  In a hollow cold nights differ by more than warm ones; there the figure
    is too small, and never too great where all nights differ alike.
    """
    if expected is None:
        return Minima(0.0, SITE_SD_C, 0.0, 0.0, 0, 0, 0)
    return learn_nights(
        entries,
        expected.nights,
        month_sd_c=expected.month_sd_c,
        prior_sd_c=expected.prior_sd_c,
    )
