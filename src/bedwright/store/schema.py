"""The tables of the store, as the newest migration leaves them.

Whatever a gardener wrote is a row that is never changed or taken out: a correction is a row of its
own, and triggers refuse the rest (``migrations``).  Days and moments are texts in ISO 8601, moments
in UTC, so that any client reads them.
"""

from __future__ import annotations

from sqlalchemy import (
    REAL,
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    Text,
)
from sqlalchemy.dialects import postgresql
from sqlalchemy.types import TypeEngine

VERSION = 1
"""Number of the newest schema, one for each migration; ``PRAGMA user_version`` in SQLite."""

METADATA = MetaData()

NUMBER: TypeEngine[float] = REAL().with_variant(postgresql.DOUBLE_PRECISION(), "postgresql")
"""Numbers of eight bytes in either database."""


def _table(
    name: str, *parts: Column[object] | ForeignKeyConstraint | PrimaryKeyConstraint
) -> Table:
    return Table(name, METADATA, *parts, sqlite_strict=True)


GARDEN = _table(
    "garden",
    Column("id", Text, primary_key=True),
    Column("name", Text, nullable=False),
    Column("made_at", Text, nullable=False),
)

BED = _table(
    "bed",
    Column("id", Text, primary_key=True),
    Column("garden", Text, ForeignKey("garden.id"), nullable=False),
    Column("made_at", Text, nullable=False),
    Column("changed_at", Text, nullable=False),
    Column("away", Integer, nullable=False, server_default="0"),
    Column("now", Integer, nullable=False),
)
"""``now``: the number of the revision in force; ``away``: 1 where the bed was put away."""

REVISION = _table(
    "revision",
    Column("bed", Text, ForeignKey("bed.id", deferrable=True, initially="DEFERRED")),
    Column("number", Integer),
    Column("parent", Integer, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("said", Text, nullable=False),
    Column("brief", Text, nullable=False),
    PrimaryKeyConstraint("bed", "number"),
)
"""``brief``: TOML, as the command line takes it; ``parent``: 0 of the first."""

GROWN = _table(
    "grown",
    Column("bed", Text),
    Column("year", Integer),
    Column("revision", Integer, nullable=False),
    Column("plan", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    PrimaryKeyConstraint("bed", "year", "made_at"),
    ForeignKeyConstraint(["bed", "revision"], ["revision.bed", "revision.number"]),
)
"""The plan (as plan.json) by which a bed was grown in a year; the latest row holds."""

PHOTO = _table(
    "photo",
    Column("sha256", Text, primary_key=True),
    Column("type", Text, nullable=False),
    Column("bytes", Integer, nullable=False),
    Column("made_at", Text, nullable=False),
)
"""A picture, whose file lies in ``photos`` under its hash."""

ENTRY = _table(
    "entry",
    Column("id", Text, primary_key=True),
    Column("bed", Text, ForeignKey("bed.id"), nullable=False),
    Column("number", Integer, nullable=False),
    Column("at", Text, nullable=False),
    Column("corrects", Text, ForeignKey("entry.id")),
    Column("withdrawn", Integer, nullable=False, server_default="0"),
    Column("day", Text, nullable=False),
    Column("what", Text, nullable=False),
    Column("kind", Text),
    Column("colour", Text),
    Column("other", Text),
    Column("count", Integer),
    Column("of", Integer),
    Column("cause", Text),
    Column("length_m", NUMBER),
    Column("tmin_c", NUMBER),
    Column("tmax_c", NUMBER),
    Column("rain_mm", NUMBER),
    Column("minutes", Integer),
    Column("task", Text),
    Column("photo", Text, ForeignKey("photo.sha256")),
    Column("text", Text, nullable=False, server_default=""),
)
"""Entries of the journal (``journal.Entry``).  ``number``: of a bed's rows, counted from 1;
``corrects``: the row that this one stands for; ``withdrawn``: 1 where it takes that row back."""

Index("entry_by_day", ENTRY.c.bed, ENTRY.c.day)
Index("entry_by_number", ENTRY.c.bed, ENTRY.c.number, unique=True)
Index("entry_by_corrected", ENTRY.c.corrects)
ENTRY.append_constraint(
    CheckConstraint("withdrawn = 0 OR corrects IS NOT NULL", name="withdrawn_is_of_another")
)

KEPT = (REVISION, GROWN, PHOTO, ENTRY)
"""Tables whose rows are never changed or taken out."""
