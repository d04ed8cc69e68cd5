"""A growing year's weather as an ensemble: many seasons, each as likely as the next.

Four sources, best first: a daily record (its own years); what is stated of frost, by an extension
office's dates or in a gardener's words (the model's seasons, moved until their freezes fall as
stated); a record of a few years joined to the world's normals (the model's seasons, moved toward
it); and the normals alone (the model's seasons as they are).  The doubt about the last two stands
beside them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property, wraps
from typing import Any, Literal, TypeVar

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.frost import (
    FREEZE_C,
    HALVES,
    NEVER,
    SLACK_C,
    SPLIT,
    WHOLE_YEAR,
    FreezeOdds,
    Halves,
    first_autumn,
    freeze_odds,
    last_spring,
    odds_of,
)
from bedwright.climate.normals import Normals
from bedwright.climate.record import Record
from bedwright.facts import Fact, FactError

DAYS, WEEKS, FORTNIGHTS = 365, 52, 26
Source = Literal["record", "dates", "joined", "normals"]
"""Where the odds of freezes come from, best first: a record; what is stated of frost; a record of a
few years joined to the normals; the normals alone."""

HeightFrom = Literal["stated", "town", "grid"]


class SeasonError(FactError):
    """The weather given cannot make a season; its fact says why."""


@dataclass(frozen=True)
class Namesakes(Fact):
    """A town's name fits several: the one ``taken``, ``others`` and how many ``more``."""

    taken: str
    others: tuple[str, ...]
    more: int


@dataclass(frozen=True)
class YearPast(Fact):
    """The growing year was over before the plan was made: its last day."""

    year: int
    ended: date


@dataclass(frozen=True)
class Site:
    """A spot on earth: degrees north and east, metres above the sea.

    ``height_from``: who gives the height: the gardener, the index of towns, or the climate grid,
    whose cells of 25 km miss hills and valleys; ``heat_turn``: month with which its growing year
    begins where that turns over in the hot season (``turn``).
    """

    label: str
    latitude: float
    longitude: float
    altitude_m: float
    timezone: str = "UTC"
    height_from: HeightFrom = "stated"
    heat_turn: int | None = None

    @property
    def north(self) -> bool:
        """Whether it lies on or north of the equator."""
        return self.latitude >= 0

    @property
    def start_month(self) -> int:
        """Month with which its growing year begins."""
        if self.heat_turn is not None:
            return self.heat_turn
        return 1 if self.north else 7

    @property
    def halves(self) -> Halves:
        """Where in its growing year the last and the first freeze may lie."""
        return HALVES[self.north] if self.heat_turn is None else WHOLE_YEAR


@dataclass(frozen=True)
class Weather:
    """What is known of a place's weather: normals, and a record if any.

    ``years``: of the record, first and last to use; ``record_altitude_m``: height at which it is
    kept, where that is stated; ``situation``: words for the garden's spot
    (``exposure.SITUATION_C``); ``nights_c``: by how much its cold nights differ, where that is
    stated; ``learned_nights_c``: by how much more they were found to in the garden, with the
    standard error ``learned_error_c``; ``people``: of the town that the place is named for, None
    without one; ``notes``: what was found in gathering it.
    """

    site: Site
    normals: Normals
    record: Record | None = None
    years: tuple[int | None, int | None] = (None, None)
    record_altitude_m: float | None = None
    situation: tuple[str, ...] = ()
    nights_c: float | None = None
    learned_nights_c: float = 0.0
    learned_error_c: float | None = None
    people: int | None = None
    notes: tuple[Fact, ...] = ()


@dataclass(frozen=True)
class Season:
    """One growing year as an ensemble.

    ``start``: its first day (1 January or 1 July); ``tmin_c``, ``tmax_c``: (n, 365),
    29 February left out; ``rain_mm``: (n, 365) rain a day; where it is modelled some falls on every
    day.  ``source``: where its odds of freezes come from (``Source``), ``basis``: the same with its
    figures; ``doubt_days``: standard error of its frost dates (0 where none is known or nothing is
    open); ``stated``: last and first freeze of each season as what is stated has it;
    ``readings_c``: (m, 365) a record's minima, gaps and all, that freezes are counted in;
    ``settled``: last day already seen, -1 without any; ``doubt_c``:
    standard error of cold nights in spring, °C, where they come from normals, alone or joined;
    ``spring_past``: whether so much has been seen that hardly a freeze can come before midsummer.
    """

    site: Site
    start: date
    tmin_c: NDArray[np.floating] = field(repr=False)
    tmax_c: NDArray[np.floating] = field(repr=False)
    rain_mm: NDArray[np.float64] = field(repr=False)
    source: Source
    basis: Fact
    notes: tuple[Fact, ...]
    doubt_days: float
    odds_dates: tuple[FreezeOdds, FreezeOdds] = field(repr=False)
    stated: tuple[NDArray[np.int64], NDArray[np.int64]] | None = field(default=None, repr=False)
    readings_c: NDArray[np.float64] | None = field(default=None, repr=False)
    settled: int = -1
    doubt_c: float = 0.0
    spring_past: bool = False

    @property
    def size(self) -> int:
        """How many seasons the ensemble holds."""
        return len(self.tmin_c)

    @cached_property
    def tmean_c(self) -> NDArray[np.floating]:
        """(n, 365) mean of minimum and maximum."""
        return (self.tmin_c + self.tmax_c) / 2

    def day(self, index: float) -> date:
        """Calendar day of an index into the growing year; below 0 and past 364 too."""
        whole = round(index)
        day = self.start + timedelta(days=whole)
        leap = _leap_day(self.start)
        return day + timedelta(days=1) if leap is not None and day >= leap and whole >= 0 else day

    def index(self, day: date) -> int:
        """Index of a calendar day; the inverse of ``day``."""
        whole = (day - self.start).days
        leap = _leap_day(self.start)
        return whole - 1 if leap is not None and day >= leap else whole

    @property
    def split(self) -> int:
        """Index of the day that parts spring from autumn; DAYS where the winter lies in the middle
        of the growing year."""
        return self.site.halves.spring_until

    @property
    def winter_amid(self) -> bool:
        """Whether the winter lies in the middle of the growing year, which turned over in heat."""
        return self.site.heat_turn is not None

    def freeze(self, spring: bool, threshold_c: float = FREEZE_C) -> FreezeOdds:
        """Odds of the last freeze of spring or the first of autumn at a threshold."""
        if threshold_c == FREEZE_C:
            return self.odds_dates[0 if spring else 1]
        key = (spring, threshold_c)
        if key not in self._freezes:
            self._freezes[key] = (
                freeze_odds(self._minima, threshold_c, self.site.halves, spring)
                if self.stated is None
                else self._from_stated(self.stated[0 if spring else 1], threshold_c, spring)
            )
        return self._freezes[key]

    @cached_property
    def _freezes(self) -> dict[tuple[bool, float], FreezeOdds]:
        """Freeze odds worked out so far, by side and threshold."""
        return {}

    @property
    def from_normals(self) -> bool:
        """Whether its freezes are calculated from normals, alone or joined to a few years."""
        return self.source in ("joined", "normals")

    def share_if(self, colder_c: float) -> float:
        """Share of springs with a freeze if nights were so many degrees colder."""
        lowest = self.tmin_c[:, : self.split].min(axis=1)
        return float((lowest <= colder_c + SLACK_C).mean())

    def odds_of_night(self, celsius: float, since: int, days: int = 28) -> float:
        """Odds of a night as cold as this within so many days from an index on."""
        nights = self.tmin_c[:, max(since, 0) : max(since, 0) + days]
        return float((nights <= celsius + SLACK_C).any(axis=1).mean()) if nights.size else 0.0

    @cached_property
    def _kept(self) -> dict[str, Any]:
        """What other modules have worked out from it, by the name of the function that did."""
        return {}

    @property
    def _minima(self) -> NDArray[np.floating]:
        """Minima that freezes are counted in: a record's own, gaps and all, where it has them."""
        return self.tmin_c if self.readings_c is None else self.readings_c

    def _from_stated(
        self, freeze: NDArray[np.int64], threshold_c: float, spring: bool
    ) -> FreezeOdds:
        """Odds at another threshold: each season's stated freeze, moved as its weather moves.

        Where there is nothing to move by, a milder threshold has its weather's freeze or the stated
        one, whichever is the worse; a sharper one its weather's, if a freeze is stated at all.  A
        freeze stays in its half of the year, and one already seen is where it was seen.
        """
        find = last_spring if spring else first_autumn
        own = find(self.tmin_c, FREEZE_C, self.site.halves)
        there = find(self.tmin_c, threshold_c, self.site.halves)
        halves = self.site.halves
        low, high = (0, halves.spring_until - 1) if spring else (halves.autumn_from, DAYS - 1)
        moved = np.clip(freeze + there - own, max(low, self.settled + 1), high)
        tied = (own != NEVER) & (freeze != NEVER) & (there != NEVER) & (there > self.settled)
        if threshold_c >= FREEZE_C:
            late = np.maximum(there, freeze)
            early = np.where(np.minimum(there, freeze) == NEVER, late, np.minimum(there, freeze))
            loose = late if spring else early
        else:
            loose = np.where(freeze == NEVER, NEVER, there)
        days = np.where(tied, moved, loose)
        return odds_of(days, spring)


Worked = TypeVar("Worked")


def kept_with_season(work: Callable[[Season], Worked]) -> Callable[[Season], Worked]:
    """Have what a function works out from a season kept with it, for the next call."""
    name = f"{work.__module__}.{work.__qualname__}"

    @wraps(work)
    def kept(season: Season) -> Worked:
        if name not in season._kept:
            season._kept[name] = work(season)
        found: Worked = season._kept[name]
        return found

    return kept


def _leap_day(start: date) -> date | None:
    """The 29 February inside the 366 days from ``start``, if there is one."""
    year = start.year if start.month == 1 else start.year + 1
    try:
        return date(year, 2, 29)
    except ValueError:
        return None


def growing_year_start(site: Site, year: int) -> date:
    """First day of a growing year: 1 January north of the equator, 1 July south of it; the
    reverse where it turns over in the hot season."""
    return date(year, site.start_month, 1)


def spring_of(site: Site) -> tuple[int, int]:
    """Days from midwinter to the day that parts spring from autumn, and midwinter's index."""
    if site.heat_turn is None:
        return SPLIT[site.north], 0
    return SPLIT[site.heat_turn == 7], DAYS - 181 if site.heat_turn == 7 else 181


def split_day(site: Site, year: int) -> date:
    """The day that parts spring from autumn in a growing year (frost.SPLIT)."""
    return date(year, 7, 24) if site.north else date(year + 1, 1, 24)


MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def month_of_day(site: Site) -> NDArray[np.int64]:
    """(365,) month, 0 to 11, of each index of the growing year."""
    return np.repeat(np.arange(12), MONTH_DAYS)[day_of_year(site)]


def day_of_year(site: Site) -> NDArray[np.int64]:
    """(365,) day of the year, from 0, of each index of the growing year."""
    return (np.arange(DAYS) + (0 if site.start_month == 1 else 181)) % 365
