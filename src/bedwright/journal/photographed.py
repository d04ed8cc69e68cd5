"""A line with a photograph: the entry that both make, and which day it is of."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bedwright.facts import Fact
from bedwright.journal.entry import Entry
from bedwright.journal.line import Understood, read_line
from bedwright.journal.line_facts import DayKept, DayOfPhoto, DayOfPhotoToCome, KeptAsNote
from bedwright.journal.names import Kinds
from bedwright.units import System

NO_MORE = frozenset(("", "photo", "photograph", "picture"))
"""Lines that say no more than that there is a photograph."""


def read_photographed(
    text: str,
    today: date,
    kinds: Kinds,
    units: System,
    photo: str | None = None,
    taken: date | None = None,
    day: date | None = None,
) -> Understood:
    """The entry of a line, as ``read_line`` reads it, and of a photograph: its SHA-256 and the day
    on which it was ``taken``, as far as it says so.

    A photograph alone is an entry by itself, and a line that would be kept as a note is what it is
    called.  Of a line that says no day, the entry is of ``day``, if that is given (of the entry in
    whose place the line is written), else of the day on which the photograph was taken, else of
    today.  Raises LineError.
    """
    if photo is not None and text.strip().casefold() in NO_MORE:
        found = Understood(Entry(today, "photo", photo=photo), "", (), dated=False)
    else:
        found = read_line(text, today, kinds, units)
    entry, guesses = found.entry, found.guesses
    if photo is not None:
        entry = replace(entry, photo=photo)
    if photo is not None and any(isinstance(one, KeptAsNote) for one in guesses):
        entry = replace(entry, what="photo")
        guesses = tuple(one for one in guesses if not isinstance(one, KeptAsNote))
    if not found.dated:
        own, said = _day(today, taken, day)
        entry, guesses = replace(entry, day=own), (*said, *guesses)
    return replace(found, entry=entry, guesses=guesses)


def _day(today: date, taken: date | None, day: date | None) -> tuple[date, tuple[Fact, ...]]:
    """The day of an entry whose line says none, and what is to be said of it."""
    if day is not None:
        return day, (DayKept(day),) if day != today else ()
    if taken is None or taken == today:
        return today, ()
    return (taken, (DayOfPhoto(taken),)) if taken < today else (today, (DayOfPhotoToCome(taken),))
