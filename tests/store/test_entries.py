"""Entries in the store: written once, corrected and taken back by rows of their own, never lost."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import threading
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import psycopg
import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from bedwright.journal import Entry
from bedwright.store import (
    FILE,
    Beds,
    CorrectedSinceError,
    NoSuchEntryError,
    OtherEntryError,
    StoreError,
    correct_entry,
    entries_of,
    entry_of,
    history_of,
    open_store,
    withdraw_entry,
    write_entry,
)
from conftest import examples
from killing import acknowledged_until_killed

DAY = date(2027, 4, 12)
SOWN = Entry(DAY, "sown", kind="larkspur", count=24, text="sowed larkspur 24")


@pytest.fixture
def beds(tmp_path: Path, url: str | None) -> Iterator[Beds]:
    made = Beds(tmp_path, url)
    yield made
    made.close()


@pytest.fixture
def bed(beds: Beds) -> str:
    return beds.new({"title": "Oval"}, "begun").key


def test_an_entry_is_as_it_was_written(beds: Beds, bed: str) -> None:
    given = [
        SOWN,
        Entry(DAY, "came_up", kind="larkspur", colour="blue", count=18, of=24),
        Entry(DAY, "lost", kind="larkspur", count=3, cause="slugs", text="Ä 花 'quoted' \n two"),
        Entry(DAY, "height", kind="larkspur", length_m=1.05),
        Entry(DAY, "colours", kind="larkspur", other="coleus"),
        Entry(DAY, "weather", tmin_c=-1.5, tmax_c=12.0, rain_mm=0.1),
        Entry(DAY, "work", minutes=40, task="dig", text="dug"),
    ]
    ids = [write_entry(beds.store, bed, entry).id for entry in given]
    found = entries_of(beds.store, bed)
    assert [one.entry for one in found] == given
    assert [one.id for one in found] == ids
    assert [one.number for one in found] == list(range(1, len(given) + 1))
    assert entry_of(beds.store, bed, ids[2]) == found[2]


def test_what_is_sent_twice_is_written_once(beds: Beds, bed: str) -> None:
    own = uuid4()
    first = write_entry(beds.store, bed, SOWN, own)
    assert write_entry(beds.store, bed, SOWN, own) == first
    assert history_of(beds.store, bed) == [first]
    with pytest.raises(OtherEntryError):
        write_entry(beds.store, bed, Entry(DAY, "frost"), own)
    assert history_of(beds.store, bed) == [first]


def test_a_correction_stands_in_the_place_of_what_it_corrects(beds: Beds, bed: str) -> None:
    store, later = beds.store, Entry(DAY + timedelta(days=1), "sown", kind="larkspur", count=20)
    first = write_entry(store, bed, SOWN)
    other = write_entry(store, bed, Entry(DAY, "frost", tmin_c=-1.0))
    second = correct_entry(store, bed, first.id, later)
    assert [one.id for one in entries_of(store, bed)] == [other.id, second.id]
    third = correct_entry(store, bed, second.id, SOWN)
    assert [one.entry for one in entries_of(store, bed)] == [other.entry, SOWN]
    with pytest.raises(CorrectedSinceError) as raised:
        correct_entry(store, bed, first.id, later)
    assert raised.value.now == third
    withdraw_entry(store, bed, third.id)
    assert [one.id for one in entries_of(store, bed)] == [other.id]
    for act in (lambda: withdraw_entry(store, bed, third.id),
                lambda: correct_entry(store, bed, third.id, SOWN)):  # fmt: skip
        with pytest.raises(CorrectedSinceError):
            act()
    assert [one.number for one in history_of(store, bed)] == [1, 2, 3, 4, 5]


def test_an_entry_or_bed_that_is_not_there(beds: Beds, bed: str) -> None:
    mine = write_entry(beds.store, bed, SOWN)
    other = beds.new({"title": "Other"}, "begun").key
    for act in (
        lambda: write_entry(beds.store, "nowhere", SOWN),
        lambda: correct_entry(beds.store, bed, uuid4(), SOWN),
        lambda: withdraw_entry(beds.store, other, mine.id),
        lambda: entry_of(beds.store, other, mine.id),
    ):
        with pytest.raises(NoSuchEntryError):
            act()
    assert len(history_of(beds.store, bed)) == 1
    assert history_of(beds.store, other) == []


def test_entries_of_some_days(beds: Beds, bed: str) -> None:
    days = [DAY + timedelta(days=k) for k in (5, 0, 3)]
    for day in days:
        write_entry(beds.store, bed, Entry(day, "frost"))
    found = entries_of(beds.store, bed, DAY + timedelta(days=1), DAY + timedelta(days=5))
    assert [one.entry.day for one in found] == [days[2], days[0]]
    mine = write_entry(beds.store, bed, SOWN)
    assert entries_of(beds.store, bed, kind="larkspur") == [mine]
    assert [one.entry.day for one in entries_of(beds.store, bed, latest=2)] == [days[2], days[0]]


@pytest.mark.parametrize("table", ["entry", "revision", "grown", "photo"])
@pytest.mark.parametrize("act", ["DELETE FROM {}", "UPDATE {} SET made_at = ''"])
def test_no_row_is_changed_or_taken_out_by_any_client(
    beds: Beds, bed: str, url: str | None, table: str, act: str
) -> None:
    """By the sqlite3 module and psycopg, which are not ours."""
    write_entry(beds.store, bed, SOWN)
    rows = {"photo": "'00', 'image/jpeg', 1, ''", "grown": f"'{bed}', 2027, 1, '', ''"}
    if url is None:
        other: Any = sqlite3.connect(beds.folder / FILE, isolation_level=None)
    else:
        other = psycopg.connect(url, autocommit=True)
    if table in rows:
        other.execute(f"INSERT INTO {table} VALUES ({rows[table]})")
    act = act.replace("made_at", "at") if table == "entry" else act
    with pytest.raises((sqlite3.IntegrityError, psycopg.Error), match="kept as they were written"):
        other.execute(act.format(table))
    other.close()
    assert len(history_of(beds.store, bed)) == 1


def test_two_who_write_at_once_lose_nothing(beds: Beds, bed: str) -> None:
    def write(of: int) -> None:
        for k in range(20):
            write_entry(beds.store, bed, Entry(DAY, "frost", tmin_c=-of - k / 100))

    threads = [threading.Thread(target=write, args=(n,)) for n in (1, 2, 3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    numbers = [one.number for one in history_of(beds.store, bed)]
    assert numbers == list(range(1, 61))


def _write_on(folder: Path, url: str | None, bed: str, said: Any) -> None:
    """Writes, corrects and takes back entries for ever, and says of each when it is written."""
    store = open_store(folder, url)
    rng = random.Random(os.getpid())
    standing: list[UUID] = []
    while True:
        entry = Entry(DAY, "frost", tmin_c=rng.uniform(-9.0, 0.0))
        if standing and rng.random() < 0.3:
            made = correct_entry(store, bed, standing.pop(), entry)
        elif standing and rng.random() < 0.1:
            made = withdraw_entry(store, bed, standing.pop())
        else:
            made = write_entry(store, bed, entry)
        if not made.withdrawn:
            standing.append(made.id)
        said.send(made)


def test_nothing_that_was_acknowledged_is_lost_when_the_program_is_killed(
    tmp_path: Path, url: str | None
) -> None:
    """Two hundred times of a file, at any moment, and thirty of a server's."""
    beds = Beds(tmp_path, url)
    bed = beds.new({"title": "Oval"}, "begun").key
    beds.close()
    times = 200 if url is None else 30
    acknowledged = acknowledged_until_killed(_write_on, times, tmp_path, url, bed)
    store = open_store(tmp_path, url)
    rows = {one.id: one for one in history_of(store, bed)}
    assert all(rows[one.id] == one for one in acknowledged)
    assert len(acknowledged) > times
    assert sorted(one.number for one in rows.values()) == list(range(1, len(rows) + 1))
    with store.reading() as connection:
        if url is None:
            assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
            assert connection.exec_driver_sql("PRAGMA foreign_key_check").all() == []
    store.close()


def _until_full(beds: Beds, bed: str, entry: Entry) -> Entry | None:
    """An entry that was written; None once there is no room."""
    try:
        return write_entry(beds.store, bed, entry).entry
    except StoreError:
        return None


@pytest.mark.parametrize("url", ["file"], indirect=True)
def test_a_full_disk_is_told_and_the_last_state_stays(beds: Beds, bed: str) -> None:
    """A limit on the file's pages, which SQLite meets as it would meet the disk's end."""
    write_entry(beds.store, bed, SOWN)
    with beds.store.reading() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    long = Entry(DAY, "note", text="x" * 1900)
    written = 1 + sum(1 for _ in iter(lambda: _until_full(beds, bed, long), None))
    with pytest.raises(StoreError, match="disk is full"):
        write_entry(beds.store, bed, long)
    assert len(history_of(beds.store, bed)) == written


class Journal(RuleBasedStateMachine):
    """The store against a plain list, over any order of writing, correcting and taking back."""

    def __init__(self) -> None:
        super().__init__()
        self.folder: Path | None = None

    @initialize()
    def begin(self) -> None:
        self.folder = Path(os.environ["PYTEST_JOURNAL"]) / uuid4().hex
        self.beds = Beds(self.folder)
        self.bed = self.beds.new({"title": "Oval"}, "begun").key
        self.rows: list[Any] = []
        self.stand: dict[UUID, Entry] = {}

    entries = st.builds(
        Entry,
        st.dates(date(2026, 1, 1), date(2027, 12, 31)),
        st.just("sown"),
        kind=st.sampled_from(["larkspur", "coleus"]),
        count=st.none() | st.integers(0, 500),
        text=st.text(max_size=20),
    )

    @rule(entry=entries, again=st.booleans())
    def write(self, entry: Entry, again: bool) -> None:
        own = uuid4()
        made = write_entry(self.beds.store, self.bed, entry, own)
        if again:
            assert write_entry(self.beds.store, self.bed, entry, own) == made
        self.rows.append(made)
        self.stand[made.id] = entry

    @rule(entry=entries, which=st.integers(0), back=st.booleans())
    def correct(self, entry: Entry, which: int, back: bool) -> None:
        if not self.rows:
            return
        old = self.rows[which % len(self.rows)]
        try:
            if back:
                made = withdraw_entry(self.beds.store, self.bed, old.id)
            else:
                made = correct_entry(self.beds.store, self.bed, old.id, entry)
        except CorrectedSinceError:
            assert old.id not in self.stand
            return
        del self.stand[old.id]
        self.rows.append(made)
        if not back:
            self.stand[made.id] = entry

    @rule()
    def open_again(self) -> None:
        self.beds.close()
        assert self.folder is not None
        self.beds = Beds(self.folder)

    @invariant()
    def nothing_is_lost(self) -> None:
        if self.folder is None:
            return
        assert history_of(self.beds.store, self.bed) == self.rows
        found = {one.id: one.entry for one in entries_of(self.beds.store, self.bed)}
        assert found == self.stand

    def teardown(self) -> None:
        if self.folder is not None:
            self.beds.close()
            shutil.rmtree(self.folder)


def test_the_journal_over_any_order(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PYTEST_JOURNAL", str(tmp_path))
    from hypothesis.stateful import run_state_machine_as_test

    run_state_machine_as_test(  # type: ignore[no-untyped-call]
        Journal, settings=settings(max_examples=examples(15), stateful_step_count=20, deadline=None)
    )
