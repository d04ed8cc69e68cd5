"""Entries of the journal in the store: written, corrected, taken back; nothing is ever lost."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass, fields
from datetime import date
from typing import Any
from uuid import UUID, uuid4

from sqlalchemy import ColumnElement, Connection, Row, Select, func, insert, select

from bedwright.journal import Entry
from bedwright.store.opening import Store, now
from bedwright.store.schema import BED, ENTRY, GROWN, REVISION

FIELDS = tuple(field.name for field in fields(Entry))


class NoSuchEntryError(LookupError):
    """A bed has no entry of an id."""


class OtherEntryError(ValueError):
    """An id is taken by another entry."""


class CorrectedSinceError(Exception):
    """An entry was corrected or taken back by someone else meanwhile; ``now``: what stands."""

    def __init__(self, now: Written) -> None:
        super().__init__(str(now.id))
        self.now = now


@dataclass(frozen=True)
class Written:
    """An entry as it stands in the journal: its ``id``, the bed, its ``number`` among the bed's
    rows (counted from 1 as they were written), when it was written (UTC, ISO 8601), the row that it
    corrects, and whether it takes that back."""

    id: UUID
    bed: str
    number: int
    at: str
    entry: Entry
    corrects: UUID | None = None
    withdrawn: bool = False


def write_entry(store: Store, bed: str, entry: Entry, id: UUID | None = None) -> Written:
    """Write an entry down.  The same ``id`` with the same entry is written once, however often it
    is sent.  Raises OtherEntryError where the id is taken, NoSuchEntryError where there is no such
    bed, and StoreError."""
    return _write(store, bed, entry, id or uuid4(), None, False)


def correct_entry(
    store: Store, bed: str, old: UUID, entry: Entry, id: UUID | None = None
) -> Written:
    """Write an entry in place of another, which stays in the history.  Raises NoSuchEntryError,
    CorrectedSinceError where another stands in its place already, OtherEntryError and
    StoreError."""
    return _write(store, bed, entry, id or uuid4(), old, False)


def withdraw_entry(store: Store, bed: str, old: UUID, id: UUID | None = None) -> Written:
    """Take an entry back; it stays in the history.  Raises as ``correct_entry``."""
    with store.reading() as connection:
        found = _one(connection, bed, old)
    return _write(store, bed, found.entry, id or uuid4(), old, True)


def _write(
    store: Store, bed: str, entry: Entry, id: UUID, corrects: UUID | None, withdrawn: bool
) -> Written:
    with store.writing() as connection:
        had = connection.execute(select(ENTRY).where(ENTRY.c.id == str(id))).one_or_none()
        if had is not None:
            made = written_of(had)
            same = (made.bed, made.entry, made.corrects, made.withdrawn)
            if same != (bed, entry, corrects, withdrawn):
                raise OtherEntryError(str(id))
            return made
        _check_bed(connection, bed)
        if corrects is not None:
            old = _one(connection, bed, corrects)
            stands = _standing(connection, old)
            if stands.id != old.id or stands.withdrawn:
                raise CorrectedSinceError(stands)
        made = Written(id, bed, _last(connection, bed) + 1, now(), entry, corrects, withdrawn)
        connection.execute(insert(ENTRY).values(row_of(made)))
    return made


def write_together(
    store: Store,
    bed: str,
    since: date,
    until: date,
    choose: Callable[[list[Written]], Sequence[tuple[Entry, UUID | None]]],
) -> list[Written]:
    """Write entries down, all of them or none.

    ``choose`` is given the entries that stand from ``since`` to ``until``, both with them, and says
    what to write: each entry, and the id of the one of them that it corrects.  Nobody writes
    meanwhile.  Raises NoSuchEntryError where there is no such bed, and StoreError.
    """
    with store.writing() as connection:
        _check_bed(connection, bed)
        days = ENTRY.c.day.between(since.isoformat(), until.isoformat())
        rows = connection.execute(_standing_in(bed).where(days))
        number, moment = _last(connection, bed), now()
        made = [
            Written(uuid4(), bed, number + n, moment, entry, corrects)
            for n, (entry, corrects) in enumerate(choose(written_all(rows)), start=1)
        ]
        if made:
            connection.execute(insert(ENTRY), [row_of(one) for one in made])
    return made


def _check_bed(connection: Connection, bed: str) -> None:
    """Raises NoSuchEntryError."""
    if connection.execute(select(BED.c.id).where(BED.c.id == bed)).one_or_none() is None:
        raise NoSuchEntryError(bed)


def _last(connection: Connection, bed: str) -> int:
    """The number of a bed's last row, 0 where there is none."""
    query = select(func.coalesce(func.max(ENTRY.c.number), 0)).where(ENTRY.c.bed == bed)
    return int(connection.execute(query).scalar_one())


def _standing_in(bed: str, *columns: ColumnElement[Any]) -> Select[Any]:
    """Of the entries of a bed that stand, all columns or those named."""
    newer = ENTRY.alias("newer")
    return (
        select(*(columns or (ENTRY,)))
        .select_from(ENTRY.outerjoin(newer, newer.c.corrects == ENTRY.c.id))
        .where(ENTRY.c.bed == bed, newer.c.id.is_(None), ENTRY.c.withdrawn == 0)
    )


_OF_RECORD = (ENTRY.c.what == "weather") & (ENTRY.c.text == "") & ENTRY.c.photo.is_(None)
"""Days of a weather record, which nobody typed."""


def entries_of(
    store: Store,
    bed: str,
    since: date | None = None,
    until: date | None = None,
    kind: str | None = None,
    latest: int | None = None,
    typed: bool = False,
) -> list[Written]:
    """The entries of a bed that stand, by day and then as they were written: of a chain of
    corrections the last, none that were taken back; from ``since`` to ``until``, both with them;
    those of a ``kind``; only so many of the ``latest``; those that were ``typed``, without the days
    of weather records."""
    query = _standing_in(bed).order_by(ENTRY.c.day.desc(), ENTRY.c.number.desc()).limit(latest)
    if kind is not None:
        query = query.where(ENTRY.c.kind == kind)
    if since is not None:
        query = query.where(ENTRY.c.day >= since.isoformat())
    if until is not None:
        query = query.where(ENTRY.c.day <= until.isoformat())
    if typed:
        query = query.where(~_OF_RECORD)
    with store.reading() as connection:
        return list(reversed(written_all(connection.execute(query))))


def recorded_in(store: Store, bed: str) -> tuple[int, date, date] | None:
    """Of how many days a bed's journal has the weather from records, the first and the last of
    them; None where of none."""
    day = ENTRY.c.day
    columns = func.count(day.distinct()), func.min(day), func.max(day)
    with store.reading() as connection:
        many, first, last = connection.execute(_standing_in(bed, *columns).where(_OF_RECORD)).one()
    return (many, date.fromisoformat(first), date.fromisoformat(last)) if many else None


def written_since(store: Store, bed: str, number: int) -> list[Written]:
    """The rows of a bed's journal after that of a number, as they were written, corrections and
    all."""
    query = select(ENTRY).where(ENTRY.c.bed == bed, ENTRY.c.number > number)
    with store.reading() as connection:
        return written_all(connection.execute(query.order_by(ENTRY.c.number)))


def last_number(store: Store, bed: str) -> int:
    """The number of the last row of a bed's journal; 0 of none."""
    query = select(func.max(ENTRY.c.number)).where(ENTRY.c.bed == bed)
    with store.reading() as connection:
        return int(connection.execute(query).scalar() or 0)


def history_of(store: Store, bed: str) -> list[Written]:
    """Every row of a bed's journal, in the order in which they were written."""
    query = select(ENTRY).where(ENTRY.c.bed == bed).order_by(ENTRY.c.number)
    with store.reading() as connection:
        return written_all(connection.execute(query))


def mark_of(store: Store) -> tuple[int, ...]:
    """What changes with every entry, of any bed, with every plan that a bed is grown by, and with
    every revision: how many of each there are, since none is ever taken out."""
    with store.reading() as connection:
        return tuple(
            int(connection.execute(select(func.count()).select_from(table)).scalar_one())
            for table in (ENTRY, GROWN, REVISION)
        )


def tasks_done(store: Store, bed: str, since: date, until: date) -> dict[str, date]:
    """The tasks that entries of a bed say are done, of days from ``since`` to ``until``: by key the
    latest day on which one was."""
    newer = ENTRY.alias("newer")
    query = (
        select(ENTRY.c.task, func.max(ENTRY.c.day))
        .group_by(ENTRY.c.task)
        .outerjoin(newer, newer.c.corrects == ENTRY.c.id)
        .where(ENTRY.c.bed == bed, newer.c.id.is_(None), ENTRY.c.withdrawn == 0)
        .where(ENTRY.c.task.is_not(None))
        .where(ENTRY.c.day >= since.isoformat(), ENTRY.c.day <= until.isoformat())
    )
    with store.reading() as connection:
        rows = connection.execute(query)
        return {str(task): date.fromisoformat(day) for task, day in rows}


def entry_of(store: Store, bed: str, id: UUID) -> Written:
    """One row.  Raises NoSuchEntryError."""
    with store.reading() as connection:
        return _one(connection, bed, id)


def _one(connection: Connection, bed: str, id: UUID) -> Written:
    query = select(ENTRY).where(ENTRY.c.id == str(id), ENTRY.c.bed == bed)
    row = connection.execute(query).one_or_none()
    if row is None:
        raise NoSuchEntryError(str(id))
    return written_of(row)


def _standing(connection: Connection, old: Written) -> Written:
    """What stands in the place of a row: the last of its corrections, or itself."""
    while True:
        query = select(ENTRY).where(ENTRY.c.corrects == str(old.id)).order_by(ENTRY.c.number)
        row = connection.execute(query).first()
        if row is None:
            return old
        old = written_of(row)


def row_of(made: Written) -> dict[str, Any]:
    """A row of the table of entries."""
    return {
        **asdict(made.entry),
        "day": made.entry.day.isoformat(),
        "id": str(made.id),
        "bed": made.bed,
        "number": made.number,
        "at": made.at,
        "corrects": None if made.corrects is None else str(made.corrects),
        "withdrawn": int(made.withdrawn),
    }


def written_all(rows: Iterable[Row[Any]]) -> list[Written]:
    """Rows of the table of entries as they stand in the journal."""
    return [written_of(row) for row in rows]


def written_of(row: Row[Any]) -> Written:
    """One row."""
    given = row._mapping
    own = {name: given[name] for name in FIELDS}
    entry = Entry(**{**own, "day": date.fromisoformat(own["day"])})
    corrects = None if given["corrects"] is None else UUID(given["corrects"])
    place = UUID(given["id"]), given["bed"], given["number"], given["at"]
    return Written(*place, entry, corrects, bool(given["withdrawn"]))
