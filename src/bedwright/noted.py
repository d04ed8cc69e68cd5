"""The journal of a bed, kept by lines: what the page, the command line and Python users call.

A line is read (``journal.read_line``), weighed against what stands in the journal, and written into
the store; what was understood, guessed and doubted comes back, so that a line misread is seen at
once and corrected.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID, uuid5

from bedwright.brief import Fault
from bedwright.catalogue import Catalogue, load_catalogue
from bedwright.facts import Fact
from bedwright.journal import (
    DaysRecorded,
    Entry,
    Kinds,
    WhatRate,
    doubts_of,
    entry_faults,
    forecast_in,
    kinds_of,
    next_year,
    read_photographed,
)
from bedwright.report import entry_words, say
from bedwright.store import (
    Bed,
    NoSuchEntryError,
    NoSuchPhotoError,
    PhotoError,
    Picture,
    Values,
    Written,
    correct_entry,
    entries_of,
    entry_of,
    grown,
    keep_photo,
    kept_photo,
    picture_of,
    planted_in,
    recorded_in,
    tasks_done,
    withdraw_entry,
    write_entry,
)
from bedwright.underway import ForecastUnanswered, days_of_year
from bedwright.units import System

if TYPE_CHECKING:
    from bedwright.journal import BedYear, Reliability
    from bedwright.recorded import Added
    from bedwright.taught import Taught
    from bedwright.underway import DueWork, TonightsWork, Underway


Photograph = str | PathLike[str] | bytes | Picture
"""A photograph's file, what is in it, or one that was looked at already."""


class EntryError(ValueError):
    """An entry cannot be: each fault with its field, what was given and what is accepted."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        words = (f"{one.field}: given {one.given}; accepted: {one.accepted}" for one in faults)
        super().__init__("; ".join(words))


@dataclass(frozen=True)
class Noted:
    """An entry that was written: as it was ``understood``, in one sentence, and what was guessed or
    is doubtful, a sentence each."""

    written: Written
    understood: str
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class NextYear:
    """A brief's tables for the year after, and why it differs, a sentence each."""

    values: Values
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class GardenYears:
    """The years of a garden's beds, the earliest first, and how often what was forecast with some
    odds happened."""

    years: tuple[BedYear, ...]
    kept: Reliability


@dataclass(frozen=True)
class ThisWeek:
    """The bed under way, and the list of the week that begins today."""

    under_way: Underway
    due: tuple[DueWork, ...]


@dataclass(frozen=True)
class Notebook:
    """The journal of one bed: its names of kinds, its units, and the day on which it is used."""

    bed: Bed
    catalogue: Catalogue
    kinds: Kinds
    units: System
    today: date

    def note(
        self, line: str = "", id: UUID | None = None, photo: Photograph | None = None
    ) -> Noted:
        """Write down what a line says, with a photograph, or a photograph alone.  ``id`` as in
        ``store.write_entry``.  Raises journal.LineError, EntryError and what that raises; OSError
        where a photograph's file cannot be opened."""
        picture = _looked_at(photo)
        entry, remarks = self._read(line, picture)
        self._keep(picture)
        return self._noted(write_entry(self.bed.store, self.bed.key, entry, id), remarks)

    def correct(
        self, old: UUID, line: str, id: UUID | None = None, photo: Photograph | None = None
    ) -> Noted:
        """Write what a line says in place of an entry, which stays in the history; its photograph
        is kept unless there is another.  Raises as ``note`` and as ``store.correct_entry``."""
        picture = _looked_at(photo)
        entry, remarks = self._read(line, picture, self.entry(old))
        self._keep(picture)
        return self._noted(correct_entry(self.bed.store, self.bed.key, old, entry, id), remarks)

    def take_back(self, old: UUID, id: UUID | None = None) -> Written:
        """Take an entry back; it stays in the history.  Raises as ``store.withdraw_entry``."""
        return withdraw_entry(self.bed.store, self.bed.key, old, id)

    def add(self, entry: Entry, id: UUID | None = None) -> Noted:
        """Write an entry down; its photograph is one that is kept (``store.keep_photo``).  Raises
        EntryError and what ``store.write_entry`` raises."""
        remarks = self._weighed(entry)
        try:
            if entry.photo is not None:
                kept_photo(self.bed.store, entry.photo)
        except NoSuchPhotoError:
            accepted = "the SHA-256 of a photograph that is kept, in hexadecimal"
            raise EntryError([Fault("photo", repr(entry.photo), accepted)]) from None
        return self._noted(write_entry(self.bed.store, self.bed.key, entry, id), remarks)

    def add_record(
        self, path: str | PathLike[str], replace: bool = False, since: date | None = None
    ) -> Added:
        """Put the days of a weather record's file into the journal.  Days that differ from it are
        told, and corrected where the record is to ``replace`` them; ``since``: the first day that
        is wanted.  Raises as ``recorded.add_record``."""
        from bedwright.recorded import add_record

        return add_record(self.bed, Path(path), self.units, self.today, replace, since)

    def entries(self, latest: int | None = None, typed: bool = False) -> list[Written]:
        """The entries that stand, the latest day first; only so many of the ``latest``; those that
        were ``typed``, without the days of weather records."""
        found = entries_of(self.bed.store, self.bed.key, latest=latest, typed=typed)
        return list(reversed(found))

    def recorded(self) -> str:
        """Of which days the weather of records is in the journal, in words; nothing of none."""
        found = recorded_in(self.bed.store, self.bed.key)
        return "" if found is None else say(DaysRecorded(*found), self.units)

    def taught(self) -> Taught:
        """What the journals of this garden's beds teach, beside the plans by which they were
        grown."""
        from bedwright.garden import garden_taught

        return garden_taught(self.bed, self.today)

    def figures(self) -> Values:
        """That as the table ``[learned]`` of a brief; empty where nothing was learned."""
        from bedwright.taught import figures_of

        return figures_of(self.taught(), self.today)

    def under_way(self) -> Underway | None:
        """Where the bed stands today and what is to come of it, worked out from the journal; None
        where no plan is kept as the one by which it is grown this year."""
        from bedwright.garden import under_way

        return under_way(self.bed, self.today)

    def week(self) -> ThisWeek | None:
        """What moved, and this week's list; None as ``under_way``."""
        found = self.under_way()
        if found is None:
            return None
        first, last = days_of_year(found.bed.start)
        done = tasks_done(self.bed.store, self.bed.key, first, last)
        return ThisWeek(found, tuple(found.week(done)))

    def done(self, key: str, id: UUID | None = None, needed: bool = True) -> list[Noted]:
        """Write down that a piece of work of this week's list is done today, or is left where it is
        not ``needed``: an entry for each of its items.  ``id`` as in ``note``: each entry's is made
        from it, and what was written by it before is not written again (nothing comes back).
        Raises EntryError where the list has no such work."""
        from bedwright.underway import entries_when_done

        if id is not None and self._written(uuid5(id, "0")):
            return []
        found = self.week()
        due = {one.work.key: one for one in found.due} if found else {}
        if found is None or key not in due:
            accepted = "one of this week's list" + (f": {', '.join(due)}" if due else "")
            raise EntryError([Fault("task", f"'{key}'", accepted)])
        plan = found.under_way.bed
        every = entries_when_done(due[key], plan, self.today, needed)
        ids = [None if id is None else uuid5(id, str(n)) for n in range(len(every))]
        return [self.add(entry, one) for entry, one in zip(every, ids, strict=True)]

    def tonight(self, forecast: str) -> TonightsWork | None:
        """What a forecast of the night asks for, such as "minus 1 tonight" or "-1"; None as
        ``under_way``.  Raises EntryError where it is none."""
        celsius = forecast_in(f"tonight {forecast}", self.units)
        if celsius is None:
            accepted = "one temperature, such as 'minus 1' or '28 F'"
            raise EntryError([Fault("forecast", f"'{forecast}'", accepted)])
        found = self.under_way()
        return None if found is None else found.tonight(celsius)

    def answer(self, line: str) -> str | None:
        """What a line that is a forecast of the night ("minus 1 tonight") asks for, in a sentence;
        None of any other line, which is to be written down."""
        celsius = forecast_in(line, self.units)
        if celsius is None:
            return None
        found = self.under_way()
        if found is None:
            return say(ForecastUnanswered(celsius), self.units)
        return say(found.tonight(celsius), self.units)

    def years(self) -> GardenYears:
        """The years of this garden's beds side by side, and how its forecasts came out."""
        from bedwright.garden import beds_about, garden_years
        from bedwright.taught import bed_years, forecasts_kept

        kept = garden_years(beds_about(self.bed), self.today)
        return GardenYears(tuple(bed_years(kept)), forecasts_kept(kept, self.today))

    def lessons(self) -> tuple[str, ...]:
        """That in words, a sentence each."""
        return tuple(say(fact, self.units) for fact in self.taught().facts)

    def next_year(self, keep: Sequence[str] = ()) -> NextYear:
        """Next year's brief from this year's bed; ``keep``: kinds to grow again, by any of their
        names.  Raises EntryError for one that is none."""
        from bedwright.taught import figures_of

        kept, faults = [], list[Fault]()
        for name in keep:
            kind = self.catalogue.one_named(name)
            if kind is None:
                near = ", ".join(self.catalogue.like(name)) or "see 'bedwright kinds'"
                faults.append(Fault("keep", f"'{name}'", f"a kind of the catalogue; near: {near}"))
            else:
                kept.append(kind.key)
        if faults:
            raise EntryError(faults)
        plans, values = grown(self.bed), self.bed.values()
        year = max(plans, default=int(values.get("season", {}).get("year", self.today.year)))
        found = self.taught()
        rates: dict[WhatRate, Any] = {
            "germination": (found.germination, found.usual["germination"]),
            "survival": (found.survival, found.usual["survival"]),
        }
        names = {kind.key: kind.name for kind in self.catalogue}
        learned = figures_of(found, self.today)
        made, facts = next_year(values, year, planted_in(self.bed), names, rates, kept, learned)
        return NextYear(made, tuple(say(fact, self.units) for fact in facts))

    def entry(self, id: UUID) -> Written:
        """One entry, whether or not it stands.  Raises store.NoSuchEntryError."""
        return entry_of(self.bed.store, self.bed.key, id)

    def understood(self, line: str, old: UUID, photo: Photograph | None = None) -> str:
        """How a line would be understood in the place of an entry, in one sentence; nothing is
        written.  Raises as ``note``."""
        return self.words(self._read(line, _looked_at(photo), self.entry(old))[0])

    def _written(self, id: UUID) -> bool:
        try:
            entry_of(self.bed.store, self.bed.key, id)
        except NoSuchEntryError:
            return False
        return True

    def words(self, entry: Entry) -> str:
        """An entry in one sentence."""
        names = {kind.key: kind.name for kind in self.catalogue}
        return entry_words(entry, names, self.units)

    def _read(
        self, line: str, picture: Picture | None = None, old: Written | None = None
    ) -> tuple[Entry, list[Fact]]:
        photo, taken, day = None, None, None
        if old is not None:
            photo, day = old.entry.photo, old.entry.day
        if picture is not None:
            photo, taken = picture.photo.sha256, picture.taken
        given = line, self.today, self.kinds, self.units
        found = read_photographed(*given, photo, taken, day)
        weighed = self._weighed(found.entry, None if old is None else old.id)
        return found.entry, [*found.guesses, *weighed]

    def _keep(self, picture: Picture | None) -> None:
        """See to it that a photograph is kept before the entry that it belongs to."""
        if picture is not None:
            keep_photo(self.bed.store, picture)

    def _weighed(self, entry: Entry, old: UUID | None = None) -> list[Fact]:
        """What is doubtful of an entry.  Raises EntryError."""
        faults = entry_faults(entry, self.today)
        for name in ("kind", "other"):
            key = getattr(entry, name)
            if key is not None and key not in self.catalogue.kinds:
                near = ", ".join(self.catalogue.like(key)) or "see 'bedwright kinds'"
                faults.append(Fault(name, f"'{key}'", f"a key of the catalogue; near it: {near}"))
        if faults:
            raise EntryError(faults)
        before = entries_of(self.bed.store, self.bed.key, entry.day, entry.day)
        if entry.kind is not None:
            before = entries_of(self.bed.store, self.bed.key, kind=entry.kind)
        stand = [one.entry for one in before if one.id != old]
        return doubts_of(entry, stand, planted_in(self.bed))

    def _noted(self, written: Written, remarks: Sequence[Fact]) -> Noted:
        said = tuple(say(fact, self.units) for fact in remarks)
        return Noted(written, self.words(written.entry), said)


def _looked_at(photo: Photograph | None) -> Picture | None:
    """A photograph, not yet kept.  Raises EntryError where it is none, OSError."""
    if photo is None or isinstance(photo, Picture):
        return photo
    try:
        return picture_of(photo if isinstance(photo, bytes) else Path(photo))
    except PhotoError as error:
        raise EntryError([error.fault]) from None


def notebook(bed: Bed, today: date) -> Notebook:
    """The journal of a bed, as of a day."""
    values = bed.values()
    planted, own = planted_in(bed), values.get("own_kinds")
    catalogue = load_catalogue()
    if isinstance(own, str):
        from bedwright.inputs import own_catalogue

        catalogue = own_catalogue(catalogue, bed.folder.parent / own)
    kinds = kinds_of(catalogue, planted) if isinstance(own, str) else _kinds(planted)
    units: System = "us" if values.get("units") == "us" else "metric"
    return Notebook(bed, catalogue, kinds, units, today)


@lru_cache(maxsize=64)
def _kinds(planted: tuple[str, ...]) -> Kinds:
    """Names of kinds where a bed has none of its own: they take a while, and change seldom."""
    return kinds_of(load_catalogue(), planted)
