"""Backups and exports: whole, sound, and back again."""

from __future__ import annotations

import csv
import hashlib
import json
import tomllib
import zipfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import icalendar
import pytest

from bedwright.journal import Entry
from bedwright.store import FILE, Beds, StoreError, correct_entry, history_of, write_entry
from bedwright.store.backup import back_up, export_to, restore, take_in
from bedwright.store.schema import METADATA

DAY = date(2027, 4, 12)
PICTURE = b"no real picture"
HASH = hashlib.sha256(PICTURE).hexdigest()


@pytest.fixture
def beds(tmp_path: Path, url: str | None) -> Iterator[Beds]:
    made = Beds(tmp_path / "beds", url)
    bed = made.new({"title": "Oval, é 花"}, "begun")
    bed.change(1, {"title": "Oval"}, "named")
    first = write_entry(made.store, bed.key, Entry(DAY, "sown", kind="larkspur", count=24))
    correct_entry(made.store, bed.key, first.id, Entry(DAY, "sown", kind="larkspur", count=20,
                                                       text="sowed 20 larkspur"))  # fmt: skip
    write_entry(made.store, bed.key, Entry(DAY, "frost", tmin_c=-1.5))
    made.put_away(made.new({"title": "Away"}, "begun").key)
    photo = made.folder / "photos" / HASH[:2] / f"{HASH}.jpg"
    photo.parent.mkdir(parents=True)
    photo.write_bytes(PICTURE)
    yield made
    made.close()


def everything(beds: Beds) -> dict[str, Any]:
    with beds.store.reading() as connection:
        return {
            table.name: sorted(tuple(row) for row in connection.execute(table.select()))
            for table in METADATA.sorted_tables
        }


def test_a_backup_holds_everything(beds: Beds, tmp_path: Path) -> None:
    back_up(beds.store, tmp_path / "garden.zip")
    assert restore(tmp_path / "garden.zip", tmp_path / "again") is None
    again = Beds(tmp_path / "again")
    assert everything(again) == everything(beds)
    assert (again.folder / "photos" / HASH[:2] / f"{HASH}.jpg").read_bytes() == PICTURE
    again.close()
    assert {path.name for path in tmp_path.iterdir()} == {"beds", "again", "garden.zip"}


@pytest.mark.parametrize("url", ["file"], indirect=True)
def test_what_was_there_before_is_put_aside(beds: Beds, tmp_path: Path) -> None:
    back_up(beds.store, tmp_path / "garden.zip")
    key = beds.all()[0].key
    write_entry(beds.store, key, Entry(DAY, "note", text="after the backup"))
    beds.close()
    aside = restore(tmp_path / "garden.zip", beds.folder)
    assert aside is not None
    again = Beds(beds.folder)
    assert len(history_of(again.store, key)) == 3
    again.close()
    (beds.folder / FILE).unlink()
    for end in ("", "-wal"):
        if Path(f"{aside}{end}").exists():
            Path(f"{aside}{end}").rename(beds.folder / f"{FILE}{end}")
    before = Beds(beds.folder)
    assert len(history_of(before.store, key)) == 4
    before.close()


@pytest.mark.parametrize("wrong", ["no zip", "no store", "other files", "way out", "damaged store",
                                   "damaged photo"])  # fmt: skip
def test_what_is_no_sound_backup_touches_nothing(beds: Beds, tmp_path: Path, wrong: str) -> None:
    path = tmp_path / "garden.zip"
    back_up(beds.store, path)
    had = everything(beds)
    with zipfile.ZipFile(path) as whole:
        files = {name: whole.read(name) for name in whole.namelist()}
    photo = next(name for name in files if name.startswith("photos/"))
    if wrong == "no zip":
        path.write_bytes(b"PK nothing")
    else:
        match wrong:
            case "no store":
                del files["garden.json"]
            case "other files":
                files["run.sh"] = b"x"
            case "way out":
                files["photos/../../out.jpg"] = b"x"
            case "damaged store":
                files["garden.json"] = b"x" * 5000
            case _:
                files[photo] = b"another"
        with zipfile.ZipFile(path, "w") as whole:
            for name, body in files.items():
                whole.writestr(name, body)
    with pytest.raises(StoreError):
        restore(path, tmp_path / "again")
    with pytest.raises(StoreError):
        restore(path, beds.folder)
    assert not (tmp_path / "again").exists()
    assert everything(beds) == had
    assert {one.name for one in tmp_path.iterdir()} == {"beds", "garden.zip"}


def test_an_export_is_read_by_others_and_taken_in_again(beds: Beds, tmp_path: Path) -> None:
    """CSV and JSON by Python's own readers, the calendar by icalendar, briefs by tomllib."""
    out = tmp_path / "out"
    export_to(beds.store, out)
    key = beds.all()[0].key
    with (out / "entry.csv").open(encoding="utf-8", newline="") as body:
        rows = list(csv.DictReader(body))
    assert [(row["what"], row["count"]) for row in rows] == [
        ("sown", "24"), ("sown", "20"), ("frost", "")]  # fmt: skip
    assert tomllib.loads((out / f"{key}.toml").read_text(encoding="utf-8")) == {"title": "Oval"}
    calendar = icalendar.Calendar.from_ical((out / f"{key}.ics").read_bytes())
    events = calendar.walk("VEVENT")
    assert [(str(one["summary"]), one.decoded("dtstart")) for one in events] == [
        ("sowed 20 larkspur", DAY), ("frost", DAY)]  # fmt: skip
    again = Beds(tmp_path / "again")
    new = take_in(again.store, out / "garden.json")
    assert (new["bed"], new["entry"], new["garden"]) == (2, 3, 0)
    assert everything(again) | {"garden": None} == everything(beds) | {"garden": None}
    assert set(take_in(again.store, out / "garden.json").values()) == {0}
    again.close()
    with pytest.raises(FileExistsError):
        export_to(beds.store, out)


@pytest.mark.parametrize("wrong", ["text", "schema", "field", "row", "table"])
def test_what_is_no_export_is_refused_and_changes_nothing(
    beds: Beds, tmp_path: Path, wrong: str
) -> None:
    export_to(beds.store, tmp_path / "out")
    path, again = tmp_path / "out/garden.json", Beds(tmp_path / "again")
    given = json.loads(path.read_text(encoding="utf-8"))
    match wrong:
        case "schema":
            given["schema"] = "bedwright-garden/9"
        case "field":
            given["entry"][2]["burnt"] = 1
        case "row":
            given["entry"][2]["bed"] = "nowhere"
        case "table":
            del given["revision"]
    path.write_text("{" if wrong == "text" else json.dumps(given), encoding="utf-8")
    with pytest.raises(StoreError):
        take_in(again.store, path)
    assert again.all() == []
    again.close()
