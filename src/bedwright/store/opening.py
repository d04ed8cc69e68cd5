"""Opening the store: which file, whether it is sound and of a version that is known, migrations.

In SQLite it writes ahead (WAL) and waits for the disk at every commit, so that what was
acknowledged is there after a crash; every write begins by taking the one lock there is, so that
none fails halfway for another.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
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

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one state of the store.  Raises StoreError."""
        with _said(self.folder), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection whose changes are kept together or not at all.  Raises StoreError."""
        with _said(self.folder), self.engine.connect() as connection:
            connection = connection.execution_options(writes=True)
            with connection.begin():
                yield connection

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()


def now() -> str:
    """This moment, as the store keeps moments."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def open_store(folder: Path) -> Store:
    """The store in a folder, which is made where it is not there and brought to the newest version.

    Raises StoreError where its file is damaged or of a newer version than this program knows.
    """
    folder = folder.resolve()
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / FILE
    engine = create_engine(f"sqlite+pysqlite:///{path}")
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    store = Store(engine, folder)
    try:
        with store.reading() as connection:
            version = _version(connection)
            damage = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar()
        if damage != "ok":
            raise StoreError(_damaged(path, str(damage)))
        if version > VERSION:
            raise StoreError(
                f"{path} is of version {version}, made by a newer Bedwright; this one knows"
                f" versions up to {VERSION}. Install the newer one, or restore a backup of yours."
            )
        if version < VERSION:
            _migrate(store, path, version)
    except BaseException:
        engine.dispose()
        raise
    return store


def _set_up(connection: Any, record: Any) -> None:
    """What every connection to SQLite needs; transactions are begun by ``_begin``."""
    connection.isolation_level = None
    cursor = connection.cursor()
    wait = f"busy_timeout = {round(PATIENCE_S * 1000)}"
    for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", wait):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _version(connection: Connection) -> int:
    return int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())


def _migrate(store: Store, path: Path, version: int) -> None:
    """Bring a store to the newest version, in one transaction; of one that holds something a copy
    is kept beside it first."""
    from alembic import command
    from alembic.config import Config

    if version > 0:
        copy_to(store, path.with_name(f"{path.stem}-of-version-{version}{path.suffix}"))
    config = Config()
    config.set_main_option("script_location", str(files("bedwright.store") / "migrations"))
    with store.writing() as connection:
        if _version(connection) >= VERSION:
            return  # another process was first
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
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
    said = str(error)
    if "full" in said:
        return f"The disk is full: {folder} stays as it was. Make room, and do it again."
    if "locked" in said or "busy" in said:
        return f"{folder / FILE} is in use by another program: try again in a moment."
    if "malformed" in said or "not a database" in said:
        return _damaged(folder / FILE, said)
    if "readonly" in said or "unable to open" in said:
        return f"{folder / FILE} cannot be written or opened ({said}): check who may write there."
    return f"{folder / FILE}: {said}"
