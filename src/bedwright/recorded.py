"""A daily weather record put into a bed's journal, a day an entry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

import numpy as np

from bedwright.facts import Fact
from bedwright.inputs import RecordError, parse_record, read_record
from bedwright.journal import (
    Compared,
    DaysAdded,
    Entry,
    ReadingDiffers,
    days_compared,
    entry_faults,
    readings_of,
)
from bedwright.report import say
from bedwright.store import Bed, Written, write_together
from bedwright.units import System

if TYPE_CHECKING:
    from bedwright.climate import Record, Unit

MOST_DAYS = 3_660
"""Ten years: what a journal is of.  A longer record says what a place is like, in the brief."""


@dataclass(frozen=True)
class Added:
    """What came of a record: how many days and which were ``added``; the days that were there with
    the ``same`` readings; the readings that ``differ``, and on how many days (``days_differ``),
    which were ``corrected`` or left; all that in words (``understood``), and each of the
    ``differences``; and what else is to be said, a sentence each."""

    added: int
    first: date | None
    last: date | None
    same: int
    differ: tuple[ReadingDiffers, ...]
    days_differ: int
    corrected: bool
    understood: str
    differences: tuple[str, ...]
    remarks: tuple[str, ...]


def add_record(
    bed: Bed,
    given: Path | tuple[str, str],
    units: System,
    today: date,
    replace: bool = False,
    since: date | None = None,
) -> Added:
    """Put the days of a weather record into a bed's journal, all of them or none.

    ``given``: the record's file, or its text and name; ``units``: those of temperatures where
    neither the file nor its summers say; ``replace``: whether days that differ are corrected by the
    record, else they are left and told; ``since``: the first day that is wanted.  Raises
    inputs.RecordError with what is wrong of the file, OSError where it cannot be read, and
    store.StoreError.
    """
    usual: Unit = "F" if units == "us" else "C"
    if isinstance(given, Path):
        record = read_record(given, usual=usual)
    else:
        text, name = given
        record = parse_record(text, name, usual=usual)
    days = _checked(record.name, _days_of(record, since), today, since)
    found = days_compared((), ())

    def choose(there: list[Written]) -> Sequence[tuple[Entry, UUID | None]]:
        nonlocal found
        found = days_compared(days, [one.entry for one in there])
        made: list[tuple[Entry, UUID | None]] = [(entry, None) for entry in found.new]
        if replace:
            made += [(entry, there[n].id) for n, entry in found.corrections]
            made += [(entry, None) for entry in found.beside]
        _check_all(record.name, [entry for entry, _ in made], today)
        return made

    write_together(bed.store, bed.key, days[0].day, days[-1].day, choose)
    return _told(found, replace, (readings_of(days), *record.notes), units)


def _days_of(record: Record, since: date | None) -> list[Entry]:
    """A record's days that have a reading, in order."""
    rain = np.full(len(record.tmin_c), np.nan) if record.rain_mm is None else record.rain_mm
    table = np.column_stack([record.tmin_c, record.tmax_c, rain])
    known = ~np.isnan(table).all(axis=1)
    if since is not None:
        known &= record.days >= np.datetime64(since)
    found = []
    for day, row in zip(record.days[known].tolist(), table[known], strict=True):
        low, high, wet = (None if np.isnan(value) else round(float(value), 2) for value in row)
        found.append(Entry(day, "weather", tmin_c=low, tmax_c=high, rain_mm=wet))
    return found


def _checked(name: str, days: list[Entry], today: date, since: date | None) -> list[Entry]:
    """A record's days.  Raises RecordError where they are none, too many, or still to come."""
    if not days:
        what = "no day with a reading" if since is None else f"no day from {since} on"
        raise RecordError(f"{name}: it has {what}; accepted: a record of days that have been")
    to_come = [one.day for one in days if one.day > today]
    if to_come:
        raise RecordError(
            f"{name}: {len(to_come)} of its days are to come, the first {to_come[0]}; accepted:"
            f" days up to today, {today}"
        )
    if len(days) > MOST_DAYS:
        raise RecordError(
            f"{name}: {len(days):,} days; accepted: up to {MOST_DAYS:,} at once; say the first day"
            " that you want (since). A longer record belongs in the brief, as place.record"
        )
    return days


def _check_all(name: str, entries: Sequence[Entry], today: date) -> None:
    """Raises RecordError where an entry cannot be."""
    for entry in entries:
        for fault in entry_faults(entry, today):
            raise RecordError(
                f"{name}: {fault.field} of {entry.day}: given {fault.given}; accepted:"
                f" {fault.accepted}"
            )


def _told(found: Compared, replace: bool, notes: Sequence[Fact], units: System) -> Added:
    days = [entry.day for entry in found.new]
    first, last = (min(days), max(days)) if days else (None, None)
    differ = len({one.day for one in found.differ})
    corrected, left = (differ, 0) if replace else (0, differ)
    fact = DaysAdded(len(days), first, last, found.same, corrected, left)
    remarks = tuple(say(note, units) for note in notes)
    differences = tuple(say(one, units) for one in found.differ)
    counts = len(days), first, last, found.same, found.differ, differ, replace
    return Added(*counts, say(fact, units), differences, remarks)
