"""A record of a few years joined to the normals, each with the weight that its certainty gives it.

A few years say little of the odd cold one, but much of how the garden's nights differ from what the
normals make of its 25 km of land.  Both are estimates of the same departure; weighted by the
inverse of their variances they make the best one (shrinkage; the normal law with a known variance
and a normal prior, in any text on Bayesian statistics).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.ensemble import (
    DAYS,
    Season,
    SeasonError,
    Weather,
    day_of_year,
    month_of_day,
    spring_of,
)
from bedwright.climate.exposure import in_its_spot, lean_in, renewed
from bedwright.climate.model import spring_share, through_year
from bedwright.climate.modelled import RoughRain, doubt_days, season_from_normals
from bedwright.climate.observed import TooFewYears, growing_years
from bedwright.climate.record import Record
from bedwright.facts import Fact

Floats = NDArray[np.floating]

LEAST_JOINED = 3
"""Growing years from which a record is joined (estimate)."""


@dataclass(frozen=True)
class FromJoined(Fact):
    """A season rests on normals and on a record's few growing years.

    ``weight``: what the record counts for in the cold nights of spring, 0 to 1.
    """

    record: str
    first_year: int
    last_year: int
    years: int
    weight: float


WINDOW_DAYS = 60
"""Days about the usual last or first freeze whose coldest nights are held against the model's."""

COLDEST = 0.25
"""Share of them that count as cold."""

KNOWN = 0.8
"""Share of a year's days that must be known for it to count."""

PRIOR_C = 1.5
"""Standard error of a month's mean minimum or maximum by the normals, °C: that of the half range
at stations left out of the fit, 1.4, and of the grid's mean."""

WIDER = 1.2
"""By how much more than the model's seasons real ones differ from year to year (estimate: the model
has no slow swings of climate)."""


LEFT_C = 0.8
"""Standard error, °C, that is left however many years are joined: cold nights are not the only ones
that freeze (from 38 records, ``tools/judge_few_years.py``: two in three then lie within the doubt).
"""


class Weighed(NamedTuple):
    """A departure, °C, as weighed, what the record counted for, and its standard error."""

    by_c: float
    weight: float
    error_c: float


def season_from_few_years(weather: Weather, record: Record, year: int, seed: int) -> Season:
    """The model's seasons moved toward a record's few years.

    Raises SeasonError where there are fewer than LEAST_JOINED.
    """
    base = in_its_spot(season_from_normals(weather, year, seed), weather)
    years = growing_years(record, weather.site.start_month)
    whole = np.flatnonzero((~np.isnan(years.tmin_c)).mean(axis=1) >= KNOWN)
    if len(whole) < LEAST_JOINED:
        found = TooFewYears(record.name, len(whole), record.years, (None, None), LEAST_JOINED)
        raise SeasonError(found)
    low, high = years.tmin_c[whole], years.tmax_c[whole]
    spring, autumn = (
        weigh(coldest(base.tmin_c, days), coldest(low, days), base.doubt_c)
        for days in (_window(base, True), _window(base, False))
    )
    share = spring_share(DAYS, *spring_of(base.site))
    cold = spring.by_c * share + autumn.by_c * (1.0 - share)
    mild = _by_month(base, base.tmin_c, low)
    lean = lean_in(base.tmin_c)
    minima = (base.tmin_c + cold * lean + mild * (1.0 - lean)).astype(base.tmin_c.dtype)
    warmer = _by_month(base, base.tmax_c, high)
    made = replace(base, tmax_c=(base.tmax_c + warmer).astype(base.tmax_c.dtype))
    made = renewed(made, minima, None)
    labels = years.labels[whole]
    return replace(
        made,
        source="joined",
        basis=FromJoined(record.name, int(labels[0]), int(labels[-1]), len(whole), spring.weight),
        notes=(*record.notes, RoughRain()),
        doubt_c=spring.error_c,
        doubt_days=doubt_days(weather, made.freeze(True), spring.error_c),
    )


def weigh(modelled: Floats, recorded: Floats, prior_c: float) -> Weighed:
    """How far a yearly figure is to move from the model's (n,) toward the record's (m,).

    ``prior_c``: standard error of the model's mean; years without the figure are nan.
    """
    known = recorded[~np.isnan(recorded)]
    if not len(known):
        return Weighed(0.0, 0.0, prior_c)
    sampling = (WIDER * float(np.std(modelled))) ** 2 / len(known)
    weight = prior_c**2 / (prior_c**2 + sampling)
    by = weight * float(known.mean() - np.mean(modelled))
    error = float(np.sqrt(weight * sampling + LEFT_C**2))
    return Weighed(by, weight, min(error, prior_c))


def coldest(tmin_c: Floats, days: NDArray[np.int64]) -> NDArray[np.float64]:
    """(n,) mean of the coldest nights among some days of each year; nan where too few are known."""
    nights = np.sort(tmin_c[:, days], axis=1)  # nan last
    known = (~np.isnan(nights)).sum(axis=1)
    count = np.maximum((COLDEST * known).astype(int), 1)
    inside = np.arange(len(days)) < count[:, None]
    mean = np.where(inside, nights, 0.0).sum(axis=1) / count
    return np.where(known >= KNOWN * len(days), mean, np.nan)


def _window(base: Season, spring: bool) -> NDArray[np.int64]:
    """Days about the usual last or first freeze; where half of all years have none, the coldest
    ones of that half of the year."""
    halves = base.site.halves
    low, high = (0, halves.spring_until) if spring else (halves.autumn_from, DAYS)
    middle = base.freeze(spring).day_at(0.5)
    if middle is None:
        middle = float(np.argmin(base.tmin_c.mean(axis=0)[low:high])) + low
    first = int(np.clip(round(middle) - WINDOW_DAYS // 2, low, high - WINDOW_DAYS))
    return np.arange(first, first + WINDOW_DAYS)


def _by_month(base: Season, modelled: Floats, recorded: Floats) -> NDArray[np.float64]:
    """(365,) degrees by which a reading's usual days move toward the record's months."""
    month = month_of_day(base.site)
    by = np.zeros(12)
    for m in range(12):
        days = month == m
        known = (~np.isnan(recorded[:, days])).mean(axis=1) >= KNOWN
        own = np.nanmean(recorded[known][:, days], axis=1) if known.any() else np.empty(0)
        by[m] = weigh(modelled[:, days].mean(axis=1), own, PRIOR_C).by_c
    smooth = (np.roll(by, 1) + 2.0 * by + np.roll(by, -1)) / 4.0
    return through_year(smooth, day_of_year(base.site))
