"""Opening the store: sound, of a known version, brought to the newest; read by other clients."""

from __future__ import annotations

import json
import multiprocessing
import os
import random
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import psycopg
import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from bedwright.store import FILE, VERSION, Beds, StoreError, copy_to, open_store
from bedwright.store.schema import METADATA


def test_a_store_is_made_and_opened_again(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "garden"
    open_store(folder).close()
    with sqlite3.connect(folder / FILE) as other:
        assert other.execute("PRAGMA user_version").fetchone() == (VERSION,)
        assert other.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        tables = other.execute("SELECT name, strict FROM pragma_table_list WHERE schema = 'main'"
                               " AND name NOT LIKE 'sqlite_%'").fetchall()  # fmt: skip
    other.close()
    ours = {table.name for table in METADATA.sorted_tables}
    assert {name for name, _ in tables} == {*ours, "alembic_version"}
    assert all(strict for name, strict in tables if name in ours)


def test_the_migrations_lead_to_the_tables_that_are_used(tmp_path: Path, url: str | None) -> None:
    """By Alembic's own comparison."""
    store = open_store(tmp_path, url)
    with store.reading() as connection:
        context = MigrationContext.configure(connection)
        assert compare_metadata(context, METADATA) == []
    store.close()


def test_a_newer_store_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    open_store(tmp_path).close()
    with sqlite3.connect(tmp_path / FILE) as other:
        other.execute(f"PRAGMA user_version = {VERSION + 1}")
    other.close()
    before = (tmp_path / FILE).read_bytes()
    with pytest.raises(StoreError, match=f"of version {VERSION + 1}, made by a newer Bedwright"):
        open_store(tmp_path)
    assert (tmp_path / FILE).read_bytes() == before


def test_a_newer_store_of_a_server_is_refused(tmp_path: Path, postgresql: str) -> None:
    with psycopg.connect(postgresql, autocommit=True) as connection:
        connection.execute("CREATE DATABASE newer")
    url = postgresql.replace("/postgres?", "/newer?")
    open_store(tmp_path, url).close()
    with psycopg.connect(url, autocommit=True) as connection:
        connection.execute(f"UPDATE alembic_version SET version_num = '{VERSION + 1:04}'")
    with pytest.raises(StoreError, match="made by a newer Bedwright"):
        open_store(tmp_path, url)


@pytest.mark.parametrize(
    ("url", "words"),
    [("mysql://host/garden", "given 'mysql://host/garden'; accepted: the address of a PostgreSQL"),
     ("postgresql://nobody@/garden?host=/nowhere", "server cannot be reached")],
)  # fmt: skip
def test_an_address_that_is_no_store_s_is_said_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, url: str, words: str
) -> None:
    monkeypatch.setenv("BEDWRIGHT_STORE", url)
    with pytest.raises(StoreError, match=re.escape(words)):
        open_store(tmp_path)


@pytest.mark.parametrize("whole", [True, False])
def test_a_damaged_store_is_refused_with_the_way_to_restore(tmp_path: Path, whole: bool) -> None:
    beds = Beds(tmp_path)
    for n in range(40):
        beds.new({"title": f"Bed {n}", "text": "x" * 500}, "begun")
    copy_to(beds.store, tmp_path / FILE)  # all of it in the one file
    beds.close()
    for name in (f"{FILE}-wal", f"{FILE}-shm"):
        (tmp_path / name).unlink(missing_ok=True)
    body = bytearray((tmp_path / FILE).read_bytes())
    if whole:
        body[:100] = b"no database at all".ljust(100, b"-")
    else:
        body[8192:16384] = bytes(8192)
    (tmp_path / FILE).write_bytes(body)
    with pytest.raises(StoreError, match=r"is damaged.*restore"):
        open_store(tmp_path)
    assert (tmp_path / FILE).read_bytes() == body


def test_a_folder_that_cannot_be_written_is_said_so(tmp_path: Path) -> None:
    (tmp_path / FILE).mkdir()
    with pytest.raises(StoreError, match="cannot be written or opened"):
        open_store(tmp_path)


def test_a_store_held_by_another_program_is_said_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bedwright.store.opening.PATIENCE_S", 0.05)
    beds = Beds(tmp_path)
    other = sqlite3.connect(tmp_path / FILE, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreError, match="in use by another program"):
        beds.new({"title": "Oval"}, "begun")
    other.execute("ROLLBACK")
    other.close()
    beds.new({"title": "Oval"}, "begun")
    beds.close()


def test_another_client_reads_the_store(tmp_path: Path) -> None:
    """SQLite's own shell where it is installed, else a program that knows nothing of ours."""
    beds = Beds(tmp_path)
    bed = beds.new({"title": "Oval"}, "begun")
    query = "SELECT bed, number, brief FROM revision"
    shell = shutil.which("sqlite3")
    plain = (
        "import json, sqlite3, sys; c = sqlite3.connect(sys.argv[1]); c.row_factory = sqlite3.Row;"
        " print(json.dumps([dict(row) for row in c.execute(sys.argv[2])]))"
    )
    command = [shell, "-json"] if shell else [sys.executable, "-I", "-c", plain]
    done = subprocess.run([*command, tmp_path / FILE, query], capture_output=True, text=True,
                          check=True)  # fmt: skip
    assert json.loads(done.stdout) == [{"bed": bed.key, "number": 1, "brief": 'title = "Oval"\n'}]
    beds.close()


def _open(folder: Path) -> None:
    Beds(folder).close()


def test_a_migration_that_is_killed_is_done_the_next_time(tmp_path: Path) -> None:
    fork, rng = multiprocessing.get_context("fork"), random.Random(0)
    left: list[Any] = []
    for n in range(40):
        folder = tmp_path / str(n)
        child = fork.Process(target=_open, args=(folder,))
        child.start()
        time.sleep(rng.uniform(0.0, 0.12))
        assert child.pid is not None
        os.kill(child.pid, signal.SIGKILL)
        child.join()
        if (folder / FILE).is_file():
            with sqlite3.connect(folder / FILE) as other:
                tables = other.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
                left.append((other.execute("PRAGMA user_version").fetchone()[0], tables > 0))
            other.close()
        beds = Beds(folder)
        beds.new({"title": "Oval"}, "begun")
        assert len(beds.all()) == 1
        beds.close()
    assert set(left) <= {(0, False), (VERSION, True)}, "all of it, or nothing"
    assert len(set(left)) == 2
