"""What is said of a line that was read, and of one that cannot be."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from bedwright.facts import Fact, FactError
from bedwright.journal.entry import Cause, What

# What cannot be read


class LineError(FactError):
    """A line that cannot be read as an entry; its fact says why."""


@dataclass(frozen=True)
class NothingTyped(Fact):
    """The line holds no word."""


@dataclass(frozen=True)
class NoKindOfThatName(Fact):
    """No kind is called so; ``like``: own names of kinds that may be meant."""

    what: What
    typed: str
    like: tuple[str, ...]


@dataclass(frozen=True)
class KindMissing(Fact):
    """An entry of this sort is of a kind, and the line names none."""

    what: What


@dataclass(frozen=True)
class SeveralOfThatName(Fact):
    """Several kinds are called so: own names of the first of them, and how many more there are;
    ``planted``: all of them grow in the bed."""

    typed: str
    names: tuple[str, ...]
    more: int
    planted: bool


@dataclass(frozen=True)
class SeveralKinds(Fact):
    """The line names several kinds, and an entry is of ``most``."""

    what: What
    typed: tuple[str, ...]
    most: int


@dataclass(frozen=True)
class OtherKindMissing(Fact):
    """Colours quarrel between two kinds, and the line names one or none."""

    names: tuple[str, ...]


@dataclass(frozen=True)
class SeveralVerbs(Fact):
    """The line tells of several sorts of things."""

    whats: tuple[What, ...]


@dataclass(frozen=True)
class VerbOfSeveral(Fact):
    """A verb that may mean several sorts of things."""

    typed: str
    whats: tuple[What, ...]


@dataclass(frozen=True)
class NoSuchDay(Fact):
    """A day that no calendar has; ``month_first``: "4/12" is read as April 12."""

    typed: str
    month_first: bool


@dataclass(frozen=True)
class SeveralDays(Fact):
    """The line names several days."""

    typed: tuple[str, ...]


@dataclass(frozen=True)
class DayOrShare(Fact):
    """Two numbers that may be a day or so many of so many."""

    typed: str
    day: date
    count: int
    of: int


@dataclass(frozen=True)
class SeveralCounts(Fact):
    """The line counts twice."""

    counts: tuple[int, ...]


@dataclass(frozen=True)
class CannotBe(Fact):
    """What no entry can say: the field, what was given and what is accepted."""

    field: str
    given: str
    accepted: str


# What was guessed


@dataclass(frozen=True)
class KindTaken(Fact):
    """A name that is not the kind's own; ``others``: own names of other kinds that are called so;
    ``planted``: it is taken because it grows in the bed."""

    typed: str
    name: str
    others: tuple[str, ...]
    planted: bool


@dataclass(frozen=True)
class OnlyKindTaken(Fact):
    """The line names no kind, and one kind alone grows in the bed."""

    name: str


@dataclass(frozen=True)
class UnitTaken(Fact):
    """A number without its unit was given one."""

    number: str
    unit: str


@dataclass(frozen=True)
class DayTaken(Fact):
    """A day without its year is the latest that is not in the future."""

    typed: str
    day: date


@dataclass(frozen=True)
class NightTaken(Fact):
    """ "Last night" is of this day."""

    day: date


@dataclass(frozen=True)
class DayOfPhoto(Fact):
    """The line says no day, and the day on which its photograph was taken is the entry's."""

    day: date


@dataclass(frozen=True)
class DayOfPhotoToCome(Fact):
    """The photograph says that it was taken on a day to come, so the present day is the entry's."""

    day: date


@dataclass(frozen=True)
class DayKept(Fact):
    """A line in the place of an entry says no day, and that entry's is kept."""

    day: date


@dataclass(frozen=True)
class KeptAsNote(Fact):
    """The line is kept as a note: it has no verb that is known, or no kind that it could be of; it
    tells of what is not done, or asks."""

    why: Literal["no_verb", "no_kind", "not_done", "asked"]


@dataclass(frozen=True)
class VerbTaken(Fact):
    """Words that may mean something else were taken for this."""

    typed: str
    what: What


@dataclass(frozen=True)
class ShareTaken(Fact):
    """ "3/12" was taken for so many of so many, not for a day."""

    typed: str
    count: int
    of: int


@dataclass(frozen=True)
class NotOfThatColour(Fact):
    """The kind has no such colour form; those that it has."""

    typed: str
    name: str
    colours: tuple[str, ...]


@dataclass(frozen=True)
class SeveralColours(Fact):
    """The line names several colours of the kind, and an entry holds one: none was taken."""

    colours: tuple[str, ...]


@dataclass(frozen=True)
class CauseTaken(Fact):
    """The line names several causes, and an entry holds one: the first was taken."""

    cause: Cause
    others: tuple[Cause, ...]
