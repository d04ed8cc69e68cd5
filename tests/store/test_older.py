"""Stores of each schema that was ever in use, kept as SQL (``tools/dump_store.py``), still open."""

from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path

import pytest

from bedwright.journal import Entry
from bedwright.store import (
    FILE,
    VERSION,
    Beds,
    entries_of,
    grown,
    grown_from,
    history_of,
    lost_photos,
    write_entry,
)

FOLDER = Path(__file__).parent / "older"
SCHEMAS = range(1, VERSION + 1)
DAY = date(2027, 5, 20)


def older(folder: Path, schema: int) -> Path:
    path = folder / FILE
    with sqlite3.connect(path) as made:
        made.executescript((FOLDER / f"{schema}.sql").read_text())
    made.close()
    return path


@pytest.mark.parametrize("schema", SCHEMAS)
def test_a_store_of_an_older_schema_keeps_all_that_is_in_it(tmp_path: Path, schema: int) -> None:
    path = older(tmp_path, schema)
    beds = Beds(tmp_path)
    (bed,) = beds.all()
    said = [(one.number, one.said) for one in bed.revisions]
    assert said == [(1, "begun"), (2, "title")]
    assert (bed.values(1), bed.values()) == ({"title": "Oval"}, {"title": "Oval by the gate"})
    assert grown(bed) == {2027: '{"items": []}'}
    assert grown_from(bed) == {2027: 2}
    assert len(history_of(beds.store, bed.key)) == 5
    sown, picture = (one.entry for one in entries_of(beds.store, bed.key))
    assert sown == Entry(DAY, "sown", kind="larkspur", count=30, text="sowed larkspur 24")
    assert picture.photo is not None
    assert picture.text == "Ä 花 'quoted'"
    assert lost_photos(beds.store) == [picture.photo], "its file is not kept here"
    write_entry(beds.store, bed.key, Entry(DAY, "note", text="written after"))
    beds.close()
    with sqlite3.connect(path) as other:
        assert other.execute("PRAGMA user_version").fetchone() == (VERSION,)
        with pytest.raises(sqlite3.IntegrityError):
            other.execute("DELETE FROM entry")
    other.close()
