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
from bedwright.store import (
    FILE,
    Beds,
    StoreError,
    correct_entry,
    history_of,
    keep_photo,
    lost_photos,
    photo_of,
    write_entry,
)
from bedwright.store.backup import back_up, export_to, restore, take_in
from bedwright.store.schema import METADATA
from pictures import photograph

DAY = date(2027, 4, 12)
PICTURE = photograph(DAY)
HASH = hashlib.sha256(PICTURE).hexdigest()


@pytest.fixture
def beds(tmp_path: Path, url: str | None) -> Iterator[Beds]:
    made = Beds(tmp_path / "beds", url)
    bed = made.new({"title": "Oval, é 花"}, "begun")
    bed.change(1, {"title": "Oval"}, "named")
    first = write_entry(made.store, bed.key, Entry(DAY, "sown", kind="larkspur", count=24))
    correct_entry(made.store, bed.key, first.id, Entry(DAY, "sown", kind="larkspur", count=20,
                                                       text="sowed 20 larkspur"))  # fmt: skip
    keep_photo(made.store, PICTURE)
    write_entry(made.store, bed.key, Entry(DAY, "frost", tmin_c=-1.5, photo=HASH))
    made.put_away(made.new({"title": "Away"}, "begun").key)
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
    assert photo_of(again.store, HASH).body == PICTURE
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
    assert (new["bed"], new["entry"], new["garden"], new["photo"]) == (2, 3, 0, 1)
    assert everything(again) | {"garden": None} == everything(beds) | {"garden": None}
    assert photo_of(again.store, HASH).body == PICTURE
    assert set(take_in(again.store, out / "garden.json").values()) == {0}
    again.close()
    with pytest.raises(FileExistsError):
        export_to(beds.store, out)


@pytest.mark.parametrize("lost", ["missing", "altered", "half written"])
def test_a_lost_photograph_keeps_nothing_else_back(beds: Beds, tmp_path: Path, lost: str) -> None:
    """The backup is sound without it, and so is what is made of it; which one is lost is told."""
    path = beds.folder / "photos" / HASH[:2] / f"{HASH}.jpg"
    match lost:
        case "missing":
            path.unlink()
        case "altered":
            path.write_bytes(PICTURE[:-1])
        case _:  # as it is left where the program was killed
            path.rename(path.with_name(f".{path.name}-0a1b2c3d"))
    back_up(beds.store, tmp_path / "garden.zip")
    restore(tmp_path / "garden.zip", tmp_path / "again")
    again = Beds(tmp_path / "again")
    assert everything(again) == everything(beds)
    assert lost_photos(again.store) == lost_photos(beds.store) == [HASH]
    export_to(beds.store, tmp_path / "out")
    other = Beds(tmp_path / "other")
    assert take_in(other.store, tmp_path / "out/garden.json")["entry"] == 3
    assert lost_photos(other.store) == [HASH]
    keep_photo(other.store, PICTURE)
    assert lost_photos(other.store) == []
    again.close()
    other.close()


@pytest.mark.parametrize(
    ("field", "value"),
    [("sha256", "../../../etc/passwd"), ("sha256", 7), ("sha256", HASH.upper()),
     ("type", "image/svg+xml"), ("type", "../jpg"), ("type", None)],
)  # fmt: skip
def test_a_photograph_s_row_leads_nowhere_else(
    beds: Beds, tmp_path: Path, field: str, value: Any
) -> None:
    export_to(beds.store, tmp_path / "out")
    path, again = tmp_path / "out/garden.json", Beds(tmp_path / "again")
    given = json.loads(path.read_text(encoding="utf-8"))
    given["photo"][0][field] = value
    path.write_text(json.dumps(given), encoding="utf-8")
    with pytest.raises(StoreError, match="accepted: a SHA-256 in hexadecimal, and one of image"):
        take_in(again.store, path)
    assert again.all() == []
    again.close()


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
