"""What is learned of a garden: the values that ``journal.learn`` and its like take and give, and
the facts that are to be said of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal, NamedTuple

from bedwright.facts import Fact

WhatRate = Literal["germination", "survival"]


# What is taken in


class Sowing(NamedTuple):
    """One sowing of a kind, or of one colour of it; ``year``: of what was counted, where no entry
    says when it was sown (``day`` None)."""

    kind: str
    day: date | None
    colour: str | None = None
    year: int | None = None


class Tally(NamedTuple):
    """Of one sowing, so many of so many came up, or lived."""

    sowing: Sowing
    good: int
    of: int


class Forecast(NamedTuple):
    """When a kind was to flower first: the median of what was forecast, and its standard deviation
    in days (of the 10% and 90% points: the days between them, by 2.563)."""

    kind: str
    median: date
    sd_days: float


class Night(NamedTuple):
    """The minimum, °C, that was to be expected in the garden in one night, and the standard
    deviation, °C, of a night's true difference from it.

    From a station near by that measured the same night: its minimum, and about
    ``NIGHT_SD_C``.  From a season's ensemble: the mean of that day over the seasons, and the
    standard deviation of the day within its month (that of the months themselves is given apart).
    """

    tmin_c: float
    sd_c: float


class Outcome(NamedTuple):
    """A forecast and what came of it: the days by which it was to have happened with odds of 10, 50
    and 90%; the day it happened; where it has not, None, as of day ``until``."""

    early: date
    median: date
    late: date
    happened: date | None
    until: date


# What is given back


@dataclass(frozen=True)
class Rate:
    """A rate from 0 to 1: its mean, and the 10% and 90% points of what it may be.

    ``seen``: seeds or plants that were counted; ``sowings``: those that they were of.
    """

    mean: float
    low: float
    high: float
    seen: int
    sowings: int = 0


@dataclass(frozen=True)
class Rates:
    """What was learned of one rate.

    ``shift``, ``shift_sd``: how much higher the logit of the rate is in this garden than in the
    catalogue, over all kinds; ``by_kind``: of every kind of the catalogue that was given, in this
    garden; ``by_sowing``: of the seed, or the plants, of each sowing that was counted.
    """

    shift: float
    shift_sd: float
    by_kind: Mapping[str, Rate]
    by_sowing: Mapping[Sowing, Rate]
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True)
class Shift:
    """Days by which first flowers come later than forecast (below 0: sooner), their standard
    deviation in days, and how many first flowers were seen."""

    days: float
    sd: float
    seen: int


@dataclass(frozen=True)
class Flowering:
    """What was learned of first flowers.

    ``garden``: of all kinds together; ``by_kind``: of each kind that had a forecast; ``other``: of
    a kind of which nothing was seen.
    """

    garden: Shift
    other: Shift
    by_kind: Mapping[str, Shift]
    facts: tuple[Fact, ...] = ()

    def of(self, kind: str) -> Shift:
        """A kind's own; what holds for any other kind, where it had no forecast."""
        return self.by_kind.get(kind, self.other)


@dataclass(frozen=True)
class Minima:
    """How much warmer this garden's nights are than was to be expected (below 0: colder), °C: mean,
    standard deviation, 10% and 90% points.

    ``seen``: nights with a minimum; ``frosts``: nights with a frost and no number; ``quiet``:
    nights that were watched and have no entry.
    """

    offset_c: float
    sd_c: float
    low_c: float
    high_c: float
    seen: int
    frosts: int
    quiet: int
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True)
class Share:
    """So many of so many, beside the share that was promised, with the 10% and 90% points of what
    the share may be in the long run; 0 to 1 of none."""

    happened: int
    of: int
    promised: float
    low: float
    high: float


@dataclass(frozen=True)
class Score:
    """How forecasts of dates came out: the shares that happened by the 10%, the 50% and the 90%
    date, and within the two outer ones."""

    early: Share
    median: Share
    late: Share
    band: Share
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True)
class Bin:
    """Forecasts with odds from ``low`` to below ``high`` (to 1 itself in the last): the share of
    them that happened, beside their mean odds (0 of none)."""

    low: float
    high: float
    share: Share


@dataclass(frozen=True)
class Reliability:
    """A table of bins, and the Brier score: the mean square of odds less outcome, 0 for forecasts
    without a fault, 0.25 for a coin; 0 of none (G. W. Brier 1950, Monthly Weather Review 78)."""

    bins: tuple[Bin, ...]
    brier: float
    count: int


class Seen(NamedTuple):
    """Something of a year as planned and as it was written down; None where nothing says."""

    planned: float | None
    seen: float | None


class BedYear(NamedTuple):
    """One bed in one year.

    ``kinds``: planted; ``plants``: to be set out, and set out as counted; ``lost``: plants;
    ``hours``;
    ``weeks``: from first flower to last, the mean of the kinds of which both were written down,
    beside the forecast of the same; ``cost``: of what the plan had bought; ``stems``: picked;
    ``frosts``: written down; ``entries``: how many are of the year.
    """

    year: int
    title: str
    kinds: int
    plants: Seen
    lost: int
    hours: Seen
    weeks: Seen
    cost: float
    currency: str
    stems: int
    frosts: int
    entries: int


# What is to be said


@dataclass(frozen=True)
class RateHere(Fact):
    """A kind's rate in this garden, beside the catalogue's: shares from 0 to 1."""

    what: WhatRate
    name: str
    rate: float
    low: float
    high: float
    catalogue: float
    seen: int
    sowings: int


@dataclass(frozen=True)
class MoreThanSown(Fact):
    """A count that is not used: of so many that came up, or that were said to be sown (``of``),
    there are more than an entry says were sown."""

    name: str
    day: date
    what: Literal["up", "of"]
    count: int
    sown: int


@dataclass(frozen=True)
class SownUnknown(Fact):
    """A count of what came up that is not used, since no entry says of how many."""

    name: str
    day: date
    count: int


@dataclass(frozen=True)
class CountedEarly(Fact):
    """A sowing's last count that is not used: seed may still have come up after it, until about day
    ``until``."""

    name: str
    day: date
    until: date


@dataclass(frozen=True)
class MoreLostThanStood(Fact):
    """Losses that are not used: more plants than were pricked out or set out, since day
    ``since``."""

    name: str
    since: date
    lost: int
    stood: int


@dataclass(frozen=True)
class LossUncounted(Fact):
    """Plants of which some were lost, nobody knows how many, so that they are not used."""

    name: str
    since: date
    stood: int


@dataclass(frozen=True)
class FlowersHere(Fact):
    """A kind's first flower comes so many days later (below 0: sooner) than forecast, with a
    standard deviation, from so many first flowers."""

    name: str
    days: float
    sd_days: float
    seen: int


@dataclass(frozen=True)
class GardenFlowers(Fact):
    """First flowers of all kinds come so many days later (below 0: sooner) than forecast, with a
    standard deviation, from so many first flowers of so many kinds."""

    days: float
    sd_days: float
    seen: int
    kinds: int


@dataclass(frozen=True)
class FlowerDue(Fact):
    """A kind that was to flower about a day, so many days ago, and has no entry of it."""

    name: str
    day: date
    days: int


@dataclass(frozen=True)
class NightsHere(Fact):
    """The garden's nights are so much warmer (below 0: colder) than was to be expected, °C, from so
    many nights with a minimum and frosts without one."""

    offset_c: float
    low_c: float
    high_c: float
    seen: int
    frosts: int


@dataclass(frozen=True)
class ForecastsKept(Fact):
    """So many of the things that were forecast happened by the date, or within the dates, that was
    to hold with odds ``promised``; ``low``, ``high``: what the share may be in the long run."""

    when: Literal["by", "within"]
    happened: int
    of: int
    promised: float
    low: float
    high: float
