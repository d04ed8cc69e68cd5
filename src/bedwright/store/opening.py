"""Opening the store: which file, whether it is sound and of a version that is known, migrations.

In SQLite it writes ahead (WAL) and waits for the disk at every commit, so that what was
acknowledged is there after a crash; every write begins by taking the one lock there is, so that
none fails halfway for another.
"""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, inspect
from sqlalchemy.exc import DatabaseError, OperationalError

from bedwright.store.schema import VERSION

FILE = "garden.db"
"""The store's file in the folder of the beds."""

PATIENCE_S = 10.0
"""How long a write waits for another one."""


class StoreError(OSError):
    """The store cannot be used, or not now: what was found, and what to do."""


@dataclass(frozen=True)
class Store:
    """An open store: its engine, and the folder in which photographs and plans lie."""

    engine: Engine
    folder: Path

    @property
    def in_file(self) -> bool:
        """Whether it is a file of its own (SQLite), not a server's (PostgreSQL)."""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one state of the store.  Raises StoreError."""
        with _said(self.folder), self.engine.connect() as connection:
            if not self.in_file:
                connection = connection.execution_options(isolation_level="REPEATABLE READ")
            with connection.begin():
                yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection whose changes are kept together or not at all, one after another.  Raises
        StoreError."""
        with _said(self.folder), self.engine.connect() as connection:
            connection = connection.execution_options(writes=True)
            with connection.begin():
                if not self.in_file:
                    wait = f"SET LOCAL lock_timeout = {round(PATIENCE_S * 1000)}"
                    connection.exec_driver_sql(wait)
                    connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({LOCK})")
                yield connection

    def close(self) -> None:
        """Let go of it."""
        self.engine.dispose()


LOCK = 5_206_937
"""The number of the lock that a write takes in PostgreSQL: any that no other program uses."""


def now() -> str:
    """This moment, as the store keeps moments."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def open_store(folder: Path, url: str | None = None) -> Store:
    """The store in a folder, which is made where it is not there and brought to the newest version.

    ``url``: of a PostgreSQL database (``postgresql://...``) that keeps what the file would; without
    it, what the variable BEDWRIGHT_STORE says; without that, the file.  Raises StoreError where it
    cannot be opened, is damaged, or of a newer version than this program knows.
    """
    folder = folder.resolve()
    folder.mkdir(parents=True, exist_ok=True)
    return _opened(folder, url or os.environ.get("BEDWRIGHT_STORE") or None)


def open_file(folder: Path) -> Store:
    """The store that is a file in a folder, whatever BEDWRIGHT_STORE says.  Raises StoreError."""
    return _opened(folder, None)


def _opened(folder: Path, url: str | None) -> Store:
    store = Store(_engine(folder, url), folder)
    try:
        _check(store)
    except BaseException:
        store.close()
        raise
    return store


def _engine(folder: Path, url: str | None) -> Engine:
    if url is None:
        engine = create_engine(f"sqlite+pysqlite:///{folder / FILE}")
        event.listen(engine, "connect", _set_up)
        event.listen(engine, "begin", _begin)
        return engine
    if not re.match(r"postgres(ql)?(\+psycopg)?://", url):
        raise StoreError(
            f"The store: given {url[:80]!r}; accepted: the address of a PostgreSQL database, such"
            " as postgresql://club@host/garden; or none, for a file in the folder."
        )
    try:
        return create_engine(re.sub(r"^[a-z+]+://", "postgresql+psycopg://", url))
    except ModuleNotFoundError as error:
        raise StoreError(
            "A store in PostgreSQL needs psycopg: pip install 'bedwright[postgresql]'."
        ) from error


def _check(store: Store) -> None:
    """See that a store is sound and of a known version, and bring it to the newest."""
    path = store.folder / FILE
    with store.reading() as connection:
        version = _version(connection)
        damage = "ok"
        if store.in_file:
            damage = str(connection.exec_driver_sql("PRAGMA quick_check(1)").scalar())
    if damage != "ok":
        raise StoreError(_damaged(path, damage))
    if version > VERSION:
        where = path if store.in_file else "The store"
        raise StoreError(
            f"{where} is of version {version}, made by a newer Bedwright; this one knows versions"
            f" up to {VERSION}. Install the newer one, or restore a backup of yours."
        )
    if version < VERSION:
        _migrate(store, path, version)


def _set_up(connection: Any, record: Any) -> None:
    """What every connection to SQLite needs; transactions are begun by ``_begin``."""
    connection.isolation_level = None
    cursor = connection.cursor()
    wait = f"busy_timeout = {round(PATIENCE_S * 1000)}"
    for pragma in (wait, "journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _version(connection: Connection) -> int:
    """The number of a store's schema; 0 of an empty one."""
    if connection.dialect.name == "sqlite":
        return int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())
    if not inspect(connection).has_table("alembic_version"):
        return 0
    return int(connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one())


def _migrate(store: Store, path: Path, version: int) -> None:
    """Bring a store to the newest version, in one transaction; of a file that holds something a
    copy is kept beside it first."""
    from alembic import command
    from alembic.config import Config

    if version > 0 and store.in_file:
        copy_to(store, path.with_name(f"{path.stem}-of-version-{version}{path.suffix}"))
    config = Config()
    config.set_main_option("script_location", str(files("bedwright.store") / "migrations"))
    with store.writing() as connection:
        if _version(connection) >= VERSION:
            return  # another process was first
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        if store.in_file:
            connection.exec_driver_sql(f"PRAGMA user_version = {VERSION}")


def copy_to(store: Store, path: Path) -> None:
    """Write a whole copy of the store's file, as it stands, in place of what lies at a path."""
    beside = path.with_name(f".{path.name}-new")
    beside.unlink(missing_ok=True)
    with _said(store.folder):
        source = sqlite3.connect(store.folder / FILE)
        target = sqlite3.connect(beside)
        try:
            source.backup(target)
        finally:
            source.close()
            target.close()
        beside.replace(path)


def _damaged(path: Path, found: str) -> str:
    found = " ".join(found.split())[:200]
    return (
        f"{path} is damaged ({found}). Nothing was changed in it. Put it aside and restore the"
        " latest backup: 'bedwright restore'."
    )


@contextmanager
def _said(folder: Path) -> Iterator[None]:
    """What goes wrong in the database or on the disk, in words."""
    try:
        yield
    except DatabaseError as error:
        raise StoreError(_words(folder, error.orig, isinstance(error, OperationalError))) from error
    except sqlite3.DatabaseError as error:
        raise StoreError(_words(folder, error, True)) from error


def _words(folder: Path, error: BaseException | None, operational: bool) -> str:
    said = " ".join(str(error).split())
    if "full" in said or "No space left" in said:
        return f"The disk is full: {folder} stays as it was. Make room, and do it again."
    if "locked" in said or "busy" in said or "lock timeout" in said:
        return f"{folder / FILE} is in use by another program: try again in a moment."
    if "malformed" in said or "not a database" in said:
        return _damaged(folder / FILE, said)
    if "readonly" in said or "unable to open" in said:
        return f"{folder / FILE} cannot be written or opened ({said}): check who may write there."
    if "connection" in said:
        return f"The store's server cannot be reached: {said}"
    return f"The store of {folder}: {said}"
