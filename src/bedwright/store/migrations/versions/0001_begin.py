"""Gardens, beds, revisions of briefs, plans grown, entries and photographs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects import postgresql

revision = "0001"
down_revision = None

KEPT = ("revision", "grown", "photo", "entry")


def upgrade() -> None:
    """All tables, and the triggers that keep rows as they were written."""
    text, integer = sa.Text(), sa.Integer()
    number: sa.types.TypeEngine[float] = sa.REAL().with_variant(
        postgresql.DOUBLE_PRECISION(), "postgresql"
    )
    op.create_table(
        "garden",
        sa.Column("id", text, primary_key=True),
        sa.Column("name", text, nullable=False),
        sa.Column("made_at", text, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "bed",
        sa.Column("id", text, primary_key=True),
        sa.Column("garden", text, sa.ForeignKey("garden.id"), nullable=False),
        sa.Column("made_at", text, nullable=False),
        sa.Column("changed_at", text, nullable=False),
        sa.Column("away", integer, nullable=False, server_default="0"),
        sa.Column("now", integer, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "revision",
        sa.Column("bed", text, sa.ForeignKey("bed.id", deferrable=True, initially="DEFERRED")),
        sa.Column("number", integer),
        sa.Column("parent", integer, nullable=False),
        sa.Column("made_at", text, nullable=False),
        sa.Column("said", text, nullable=False),
        sa.Column("brief", text, nullable=False),
        sa.PrimaryKeyConstraint("bed", "number"),
        sqlite_strict=True,
    )
    op.create_table(
        "grown",
        sa.Column("bed", text),
        sa.Column("year", integer),
        sa.Column("revision", integer, nullable=False),
        sa.Column("plan", text, nullable=False),
        sa.Column("made_at", text, nullable=False),
        sa.PrimaryKeyConstraint("bed", "year", "made_at"),
        sa.ForeignKeyConstraint(["bed", "revision"], ["revision.bed", "revision.number"]),
        sqlite_strict=True,
    )
    op.create_table(
        "photo",
        sa.Column("sha256", text, primary_key=True),
        sa.Column("type", text, nullable=False),
        sa.Column("bytes", integer, nullable=False),
        sa.Column("made_at", text, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "entry",
        sa.Column("id", text, primary_key=True),
        sa.Column("bed", text, sa.ForeignKey("bed.id"), nullable=False),
        sa.Column("number", integer, nullable=False),
        sa.Column("at", text, nullable=False),
        sa.Column("corrects", text, sa.ForeignKey("entry.id")),
        sa.Column("withdrawn", integer, nullable=False, server_default="0"),
        sa.Column("day", text, nullable=False),
        sa.Column("what", text, nullable=False),
        *(sa.Column(name, text) for name in ("kind", "colour", "other")),
        *(sa.Column(name, integer) for name in ("count", "of")),
        sa.Column("cause", text),
        *(sa.Column(name, number) for name in ("length_m", "tmin_c", "tmax_c", "rain_mm")),
        sa.Column("minutes", integer),
        sa.Column("task", text),
        sa.Column("photo", text, sa.ForeignKey("photo.sha256")),
        sa.Column("text", text, nullable=False, server_default=""),
        sa.CheckConstraint("withdrawn = 0 OR corrects IS NOT NULL", name="withdrawn_is_of_another"),
        sqlite_strict=True,
    )
    op.create_index("entry_by_day", "entry", ["bed", "day"])
    op.create_index("entry_by_number", "entry", ["bed", "number"], unique=True)
    op.create_index("entry_by_corrected", "entry", ["corrects"])
    sqlite = op.get_bind().dialect.name == "sqlite"
    for table in KEPT:
        for act in ("UPDATE", "DELETE"):
            op.execute(_sqlite_trigger(table, act) if sqlite else _postgresql_rule(table, act))


def _sqlite_trigger(table: str, act: str) -> str:
    return (
        f'CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON "{table}" '
        f"BEGIN SELECT RAISE(ABORT, 'rows of {table} are kept as they were written'); END"
    )


def _postgresql_rule(table: str, act: str) -> str:
    return (
        f"CREATE FUNCTION {table}_no_{act.lower()}() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION 'rows of {table} are kept as they were written'; END $$; "
        f'CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON "{table}" '
        f"FOR EACH ROW EXECUTE FUNCTION {table}_no_{act.lower()}()"
    )
