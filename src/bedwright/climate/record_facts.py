"""What is noted of a daily record: in what unit it was read, what was passed over or repaired, and
why it can be no record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from bedwright.facts import Fact

Unit = Literal["C", "F"]
Reading = Literal["minimum", "maximum"]
Column = Literal["minima", "maxima", "rain"]


# --- read from a file


@dataclass(frozen=True)
class ReadingsGivenTwice(Fact):
    """Readings given twice, of which the first is kept."""

    count: int


@dataclass(frozen=True)
class ValuesPassedOver(Fact):
    """Values that could not be read; ``first_line``: the line of the first."""

    count: int
    first_line: int


@dataclass(frozen=True)
class ChecksFailed(Fact):
    """Values dropped because they failed GHCN-Daily's own checks."""

    count: int


@dataclass(frozen=True)
class LinesPassedOver(Fact):
    """Lines passed over: without a date, with too many cells, or with too few."""

    count: int
    fault: Literal["undated", "wide", "short"]


@dataclass(frozen=True)
class CellsPassedOver(Fact):
    """Cells of a column that hold no number; the line and text of the first."""

    column: Column
    count: int
    first_line: int
    first: str


@dataclass(frozen=True)
class TakenAs(Fact):
    """The unit that a record's temperatures are taken to be in, where it states none."""

    unit: Unit


@dataclass(frozen=True)
class RainInInches(Fact):
    """A record's rain is taken as inches."""


# --- repaired


@dataclass(frozen=True)
class DaysGivenTwice(Fact):
    """Days given twice, of which the first row is kept."""

    days: int


@dataclass(frozen=True)
class ImpossibleDropped(Fact):
    """Impossible readings dropped: how many, and the days of the first few."""

    reading: Reading
    count: int
    first_days: tuple[date, ...]


@dataclass(frozen=True)
class ImpossibleRainDropped(Fact):
    """Impossible readings of rain dropped."""

    count: int


@dataclass(frozen=True)
class CrossedDropped(Fact):
    """Days dropped because their minimum is above their maximum."""

    days: int


@dataclass(frozen=True)
class LooseDays(Fact):
    """Days follow each other less closely than weather does."""


@dataclass(frozen=True)
class FahrenheitRestored(Fact):
    """Values rounded through °C put back on whole °F."""


@dataclass(frozen=True)
class MinimaMissing(Fact):
    """Minima missing, of all days of the record's span; ``absent`` days are not in the file."""

    missing: int
    days: int
    absent: int


# --- refused


@dataclass(frozen=True)
class DaysTooFarApart(Fact):
    """A record's days span more years than a record can."""

    first: date
    last: date
    most_years: int


@dataclass(frozen=True)
class YearsOutOfRange(Fact):
    """A record's days lie outside the years in which there can be one."""

    first: date
    last: date
    first_year: int
    last_year: int


@dataclass(frozen=True)
class TooManyImpossible(Fact):
    """Too many readings cannot be; ``first``: the day of the first."""

    reading: Reading
    count: int
    of: int
    first: date


@dataclass(frozen=True)
class MostlyCrossed(Fact):
    """Minima stand above maxima on too many days."""

    days: int


@dataclass(frozen=True)
class MostlyMissing(Fact):
    """Too many days have no minimum."""

    missing: int
    days: int


@dataclass(frozen=True)
class GivenAgain(Fact):
    """Too many lines give a day again with other readings; ``first``: the first such day."""

    lines: int
    first: date


@dataclass(frozen=True)
class RangeUnknown(Fact):
    """Half the days' minima and maxima are nearer (or farther apart) than anywhere."""

    usual_c: float
    too_near: bool


@dataclass(frozen=True)
class UnitChanges(Fact):
    """Months from ``month`` (its first day) on are too far from those of the year before."""

    month: date
    jump_c: float
