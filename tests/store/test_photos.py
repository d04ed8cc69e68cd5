"""Photographs in the store: a file under its hash, there before its row; a lost one is told."""

from __future__ import annotations

import hashlib
import os
import random
import threading
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from bedwright.journal import Entry
from bedwright.store import (
    MOST_PHOTO,
    Beds,
    LostPhotoError,
    NoSuchPhotoError,
    PhotoError,
    StoreError,
    keep_photo,
    kept_photo,
    lost_photos,
    open_store,
    photo_of,
    picture_of,
    write_entry,
)
from bedwright.store import photos as module
from bedwright.store.schema import PHOTO
from killing import acknowledged_until_killed
from pictures import heic, photograph

DAY = date(2026, 5, 20)
BODY = photograph(DAY)
SUM = hashlib.sha256(BODY).hexdigest()


@pytest.fixture
def beds(tmp_path: Path, url: str | None) -> Iterator[Beds]:
    made = Beds(tmp_path / "beds", url)
    yield made
    made.close()


def files(beds: Beds) -> list[str]:
    return sorted(str(path.relative_to(beds.folder)) for path in beds.folder.glob("photos/*/*"))


def rows(beds: Beds) -> list[Any]:
    with beds.store.reading() as connection:
        return list(connection.execute(select(PHOTO.c.sha256)).scalars())


def test_a_photograph_is_kept_under_its_hash_as_it_was(beds: Beds) -> None:
    photo = keep_photo(beds.store, BODY)
    assert (photo.sha256, photo.type, photo.bytes) == (SUM, "image/jpeg", len(BODY))
    assert files(beds) == [f"photos/{SUM[:2]}/{SUM}.jpg"]
    found = photo_of(beds.store, SUM)
    assert (found.body, found.photo, found.taken) == (BODY, photo, DAY)
    assert kept_photo(beds.store, SUM) == photo


def test_the_same_one_twice_is_one_file_and_one_row(beds: Beds, tmp_path: Path) -> None:
    first = keep_photo(beds.store, BODY)
    before = (beds.folder / files(beds)[0]).stat().st_mtime_ns
    (tmp_path / "again.png").write_bytes(BODY)  # whatever it is called
    assert keep_photo(beds.store, tmp_path / "again.png") == first
    assert (beds.folder / files(beds)[0]).stat().st_mtime_ns == before
    assert rows(beds) == [SUM]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (b"", "an empty file"),
        (b"GIF89a" + bytes(9), "begins with 'GIF89a"),
        (b"<svg onload='alert(1)'/>", "begins with '<svg onl"),
        (b"\xff\xd8\xff" + bytes(MOST_PHOTO), "25.0 MB"),
    ],
)
def test_what_is_no_photograph_is_refused_and_leaves_nothing(
    beds: Beds, tmp_path: Path, given: bytes, said: str
) -> None:
    (tmp_path / "given").write_bytes(given)
    for one in (given, tmp_path / "given"):
        with pytest.raises(PhotoError) as raised:
            keep_photo(beds.store, one)
        fault = raised.value.fault
        assert (fault.field, said in fault.given) == ("photo", True), fault
        assert fault.accepted == "a JPEG, PNG, WebP or HEIC photograph of up to 25 MB"
    assert files(beds) == rows(beds) == []


def test_a_path_that_is_no_file_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(PhotoError, match="a folder, a device or a pipe"):
        picture_of(tmp_path)
    with pytest.raises(PhotoError, match="a folder, a device or a pipe"):
        picture_of(Path("/dev/zero"))
    with pytest.raises(FileNotFoundError):
        picture_of(tmp_path / "none.jpg")


def test_a_file_that_is_missing_or_altered_is_told_by_its_hash(beds: Beds) -> None:
    keep_photo(beds.store, BODY)
    path = beds.folder / files(beds)[0]
    assert lost_photos(beds.store) == []
    path.write_bytes(BODY[:-1])
    with pytest.raises(LostPhotoError, match=f"{SUM} is not what it was"):
        photo_of(beds.store, SUM)
    assert lost_photos(beds.store) == [SUM]
    path.unlink()
    with pytest.raises(LostPhotoError, match=f"{SUM} is missing"):
        photo_of(beds.store, SUM)
    assert lost_photos(beds.store) == [SUM]
    keep_photo(beds.store, BODY)  # sent again, it is whole again
    assert lost_photos(beds.store) == []
    assert photo_of(beds.store, SUM).body == BODY


@pytest.mark.parametrize("sha256", ["0" * 64, "", "../../garden.db", SUM.upper()])
def test_a_photograph_that_is_not_there(beds: Beds, sha256: str) -> None:
    keep_photo(beds.store, BODY)
    with pytest.raises(NoSuchPhotoError):
        photo_of(beds.store, sha256)


def test_an_entry_has_only_a_photograph_that_is_kept(beds: Beds) -> None:
    """The database itself refuses another."""
    bed = beds.new({"title": "Oval"}, "begun").key
    entry = Entry(DAY, "first_flower", kind="larkspur", photo=SUM)
    with pytest.raises(StoreError):
        write_entry(beds.store, bed, entry)
    keep_photo(beds.store, BODY)
    assert write_entry(beds.store, bed, entry).entry.photo == SUM


@pytest.mark.parametrize("at", ["os.replace", "os.fsync"])
def test_a_disk_that_is_full_leaves_nothing(
    beds: Beds, monkeypatch: pytest.MonkeyPatch, at: str
) -> None:
    def full(*given: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(module.os, at.removeprefix("os."), full)
        with pytest.raises(StoreError, match=r"cannot be written to .*No space left"):
            keep_photo(beds.store, BODY)
    assert files(beds) == rows(beds) == []
    assert keep_photo(beds.store, BODY).sha256 == SUM


def test_many_at_once_keep_one(beds: Beds) -> None:
    ready = threading.Barrier(6)

    def keep() -> None:
        ready.wait()
        keep_photo(beds.store, BODY)

    threads = [threading.Thread(target=keep) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(files(beds)), rows(beds)) == (1, [SUM])


def _keep_on(folder: Path, said: Any) -> None:
    """Keeps one photograph after another for ever, and says of each when it is kept."""
    store, rng = open_store(folder), random.Random(os.getpid())
    while True:
        body = heic(DAY) + rng.randbytes(rng.randrange(300_000))
        said.send(keep_photo(store, body).sha256)


def test_no_row_is_without_its_file_when_the_program_is_killed(tmp_path: Path) -> None:
    """At any moment: as the file is written, before it is renamed, between file and row."""
    Beds(tmp_path).close()
    acknowledged = acknowledged_until_killed(_keep_on, 60, tmp_path)
    beds = Beds(tmp_path)
    kept = rows(beds)
    whole = {path.stem for path in module.sound_photos(beds.store)}
    assert lost_photos(beds.store) == []
    assert set(acknowledged) <= set(kept) <= whole
    without_row = len(whole - set(kept))
    halves = list(beds.folder.glob("photos/*/.*"))
    assert without_row + len(halves) > 0, "no try was killed within a photograph"
    beds.close()
