"""Days of a weather record beside the journal's: which are new, there already, or differ."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal, get_args

from bedwright.facts import Fact
from bedwright.journal.entry import Entry

WhatReading = Literal["tmin_c", "tmax_c", "rain_mm"]
READINGS: tuple[WhatReading, ...] = get_args(WhatReading)
SAME = 0.05
"""Readings as near as this (°C, mm) are the same: both are said to a tenth."""


@dataclass(frozen=True)
class ReadingDiffers(Fact):
    """A reading (°C, mm) of a day that is another in the record than in the journal."""

    day: date
    reading: WhatReading
    record: float
    journal: float


@dataclass(frozen=True)
class DaysAdded(Fact):
    """How many days of a record were ``added``, from ``first`` to ``last``; were there already, the
    ``same``; and differ: ``corrected``, or ``left`` as they were."""

    added: int
    first: date | None
    last: date | None
    same: int
    corrected: int
    left: int


@dataclass(frozen=True)
class DaysRecorded(Fact):
    """So many days of weather records are in the journal, from the first to the last."""

    days: int
    first: date
    last: date


@dataclass(frozen=True)
class ReadingsTaken(Fact):
    """Between which values the readings of a record's days lie: coldest minimum, warmest maximum
    (°C) and wettest day (mm), None where it has none."""

    coldest_c: float | None
    warmest_c: float | None
    wettest_mm: float | None


@dataclass(frozen=True)
class Compared:
    """Days of a record beside those of a journal: the entries that are ``new`` (days, or readings
    of days that have others); what would stand in the place of entries that differ, by their place
    among those given (``corrections``), with what they are without; and the ``same``."""

    new: tuple[Entry, ...]
    corrections: tuple[tuple[int, Entry], ...]
    beside: tuple[Entry, ...]
    differ: tuple[ReadingDiffers, ...]
    same: int


def days_compared(record: Sequence[Entry], there: Sequence[Entry]) -> Compared:
    """A record's days, each once, beside the entries that stand in a journal.

    Of a day that differs nothing is new; ``beside`` are its readings that the journal does not have
    at all, for whoever takes the record's.  An entry of the sort frost is the garden's own, and is
    not compared.
    """
    by_day = defaultdict[date, list[int]](list)
    for n, entry in enumerate(there):
        if entry.what == "weather":
            by_day[entry.day].append(n)
    new, beside = list[Entry](), list[Entry]()
    corrections, differ, same = list[tuple[int, Entry]](), list[ReadingDiffers](), 0
    for given in record:
        had = [(n, there[n]) for n in by_day[given.day]]
        other = [(n, one, _other(given, one)) for n, one in had]
        other = [(n, one, names) for n, one, names in other if names]
        lacking = {
            name: getattr(given, name)
            for name in READINGS
            if all(getattr(one, name) is None for _, one in had)
        }
        more = Entry(given.day, "weather", **lacking)
        if other:
            corrections += [(n, _corrected(given, one, names)) for n, one, names in other]
            beside += [more] if more.given else []
            differ += [
                ReadingDiffers(given.day, name, getattr(given, name), getattr(one, name))
                for _, one, names in other
                for name in names
            ]
        elif more.given:
            new.append(more)
        else:
            same += 1
    return Compared(tuple(new), tuple(corrections), tuple(beside), tuple(differ), same)


def _other(given: Entry, there: Entry) -> list[WhatReading]:
    """The readings that both entries have, and not alike."""
    return [
        name
        for name in READINGS
        if getattr(given, name) is not None
        and getattr(there, name) is not None
        and abs(getattr(given, name) - getattr(there, name)) > SAME
    ]


def _corrected(given: Entry, there: Entry, names: Sequence[WhatReading]) -> Entry:
    """An entry with the record's readings in the place of its own: no longer as it was typed."""
    return replace(there, text="", **{name: getattr(given, name) for name in names})


def readings_of(entries: Sequence[Entry]) -> ReadingsTaken:
    """Between which values the readings of days lie."""
    low, high, rain = ([value for one in entries if (value := getattr(one, name)) is not None]
                       for name in READINGS)  # fmt: skip
    return ReadingsTaken(min(low, default=None), max(high, default=None), max(rain, default=None))
