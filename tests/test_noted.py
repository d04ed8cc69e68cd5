"""The journal from Python: lines and photographs in a bed's notebook."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

import bedwright
from bedwright.journal import Entry, LineError
from bedwright.noted import EntryError, Notebook
from bedwright.store import history_of, keep_photo, photo_of, picture_of
from pictures import photograph

TODAY, TAKEN = date(2026, 6, 1), date(2026, 5, 20)
BODY = photograph(TAKEN)


@pytest.fixture
def book(tmp_path: Path) -> Notebook:
    path = tmp_path / "oval.toml"
    path.write_text(
        '[place]\ntown = "Galway, Ireland"\n[bed]\nshape = "circle"\ndiameter = "2 m"\n'
    )
    return bedwright.journal_of(path, TODAY)


def kept(book: Notebook) -> list[Path]:
    return sorted(book.bed.store.folder.glob("photos/*/*"))


@pytest.mark.parametrize("how", ["bytes", "path", "text", "looked at"])
def test_a_line_with_a_photograph(book: Notebook, tmp_path: Path, how: str) -> None:
    path = tmp_path / "cosmos.jpg"
    path.write_bytes(BODY)
    given = {"bytes": BODY, "path": path, "text": str(path), "looked at": picture_of(BODY)}[how]
    made = book.note("first flower garden cosmos", photo=given)
    entry = made.written.entry
    assert (entry.what, entry.kind, entry.day) == ("first_flower", "garden_cosmos", TAKEN)
    assert made.understood.endswith("on 20 May 2026, with a photograph")
    assert made.remarks[0] == "the day is the photograph's own date, 20 May 2026"
    assert photo_of(book.bed.store, str(entry.photo)).body == BODY
    assert len(kept(book)) == 1


def test_a_photograph_alone(book: Notebook) -> None:
    made = book.note(photo=BODY)
    assert (made.written.entry.what, made.understood) == ("photo", "Photograph, on 20 May 2026")
    with pytest.raises(LineError):
        book.note()


def test_what_cannot_be_written_keeps_no_photograph(book: Notebook, tmp_path: Path) -> None:
    with pytest.raises(LineError):
        book.note("sowed 24 triffids", photo=BODY)
    with pytest.raises(EntryError, match="photo: given a file that begins with"):
        book.note("first flower garden cosmos", photo=b"no picture")
    with pytest.raises(FileNotFoundError):
        book.note("first flower garden cosmos", photo=tmp_path / "none.jpg")
    assert history_of(book.bed.store, book.bed.key) == []
    assert kept(book) == []


def test_a_correction_keeps_day_and_photograph_unless_it_says_others(book: Notebook) -> None:
    first = book.note("first flower garden cosmos 25 May", photo=BODY).written
    later = replace(book, today=date(2026, 6, 9))
    second = later.correct(first.id, "first flower tall zinnia")
    assert (second.written.entry.day, second.written.entry.kind) == (
        date(2026, 5, 25),
        "tall_zinnia",
    )
    assert second.written.entry.photo == first.entry.photo
    assert "the line says no day, and 25 May 2026 was kept" in second.remarks
    other = photograph(TAKEN, colour=(1, 2, 3))
    third = later.correct(second.written.id, "full flower tall zinnia 30 May", photo=other)
    assert third.written.entry.day == date(2026, 5, 30)
    assert third.written.entry.photo not in (None, first.entry.photo)
    assert len(kept(book)) == 2
    fourth = later.correct(third.written.id, "")
    assert (fourth.written.entry.what, fourth.written.entry.photo) == (
        "photo", third.written.entry.photo)  # fmt: skip


def test_an_entry_names_only_a_photograph_that_is_kept(book: Notebook) -> None:
    photo = keep_photo(book.bed.store, BODY)
    entry = Entry(TAKEN, "photo", photo=photo.sha256)
    assert book.add(entry).written.entry == entry
    with pytest.raises(EntryError, match=f"photo: given '{'0' * 64}'"):
        book.add(replace(entry, photo="0" * 64))
