"""The journal's part of the API: lines written down, corrected, taken back, and what stands."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Annotated, Any
from uuid import UUID

from fastapi import APIRouter, HTTPException, Request
from pydantic import BaseModel, Field

from bedwright.journal import MOST_TEXT, LineError
from bedwright.report import words_of_mistake
from bedwright.store import (
    Bed,
    Beds,
    ChangedSinceError,
    CorrectedSinceError,
    FullError,
    LostPhotoError,
    NoSuchEntryError,
    NoSuchPhotoError,
    OtherEntryError,
    Picture,
    Written,
    grow,
    photo_of,
)
from bedwright.web.asked import Number, fault_at
from bedwright.web.kept import Kept

if TYPE_CHECKING:
    from bedwright.noted import Notebook, Noted

router = APIRouter()


class Line(BaseModel):
    """A line for the journal; ``id``: made by who sends it, so that it is written once, however
    often it is sent; ``typed``: the day on which it was typed, where that is not today; ``photo``:
    the SHA-256 of a photograph that was sent before, with which the line may be empty."""

    line: Annotated[str, Field(max_length=MOST_TEXT)] = ""
    id: UUID | None = None
    typed: date | None = None
    photo: Annotated[str, Field(pattern="^[0-9a-f]{64}$")] | None = None


def book_of(bed: Bed, typed: date | None = None) -> Notebook:
    """A bed's journal as of today, or of an earlier day on which a line was typed; what it needs is
    loaded when it is first opened."""
    from bedwright.noted import notebook

    today = date.today()
    return notebook(bed, min(typed or today, today))


def _photo(bed: Bed, asked: Line) -> Picture | None:
    """The photograph that a line names.  Raises HTTPException."""
    if asked.photo is None:
        return None
    try:
        return photo_of(bed.store, asked.photo)
    except NoSuchPhotoError:
        accepted = "the SHA-256 of a photograph that was sent before"
        raise HTTPException(422, [fault_at("photo", asked.photo, accepted, {})]) from None
    except LostPhotoError as error:
        raise HTTPException(410, str(error)) from None


@router.get("/api/beds/{bed}/entries")
def entries(bed: Kept) -> list[dict[str, Any]]:
    """The entries that stand in a bed's journal, the latest day first."""
    return listed(book_of(bed), None, typed=False)


@router.post("/api/beds/{bed}/entries", status_code=201)
def write(bed: Kept, asked: Line) -> dict[str, Any]:
    """Write a line down; what was understood, guessed and doubted comes back.  A forecast of the
    night is answered, and not written."""
    book, photo = book_of(bed, asked.typed), _photo(bed, asked)
    answer = book.answer(asked.line) if photo is None else None
    if answer is not None:
        return {"answer": answer}
    return _told(book, lambda: book.note(asked.line, asked.id, photo))


@router.post("/api/beds/{bed}/entries/{entry}", status_code=201)
def correct(bed: Kept, entry: UUID, asked: Line) -> dict[str, Any]:
    """Write a line in the place of an entry, which stays in the history."""
    book, photo = book_of(bed, asked.typed), _photo(bed, asked)

    def mine() -> dict[str, str]:
        return {"line": asked.line, "words": book.understood(asked.line, entry, photo)}

    return _told(book, lambda: book.correct(entry, asked.line, asked.id, photo), entry, mine)


@router.delete("/api/beds/{bed}/entries/{entry}")
def take_back(bed: Kept, entry: UUID, id: UUID | None = None) -> dict[str, Any]:
    """Take an entry back; it stays in the history."""
    book = book_of(bed)
    written = done(book, lambda: book.take_back(entry, id), entry)
    return {"id": str(written.id), "number": written.number}


@router.get("/api/beds/{bed}/learned")
def learned(bed: Kept) -> list[str]:
    """What a bed's journal says of this garden, a sentence each."""
    return list(book_of(bed).lessons())


class Figures(BaseModel):
    """The revision of a brief that is to hold the garden's figures."""

    on: Number


@router.post("/api/beds/{bed}/learned", status_code=201)
def use_learned(bed: Kept, asked: Figures) -> dict[str, Any]:
    """Put what the garden's journals teach into a bed's brief, as a revision of its own."""
    figures = book_of(bed).figures()
    if not figures:
        raise HTTPException(409, "Nothing can be said of this garden yet.")
    values = {**bed.values(asked.on), "learned": figures}
    try:
        return {"on": bed.change(asked.on, values, "With the garden's own figures")}
    except ChangedSinceError:
        raise HTTPException(409, "The bed was changed meanwhile: load the page again.") from None


class Again(BaseModel):
    """Kinds to grow again next year, by any of their names."""

    keep: Annotated[list[Annotated[str, Field(min_length=1, max_length=60)]],
                    Field(max_length=50)] = []  # fmt: skip


@router.post("/api/beds/{bed}/next-year", status_code=201)
def begin_next_year(request: Request, bed: Kept, asked: Again) -> dict[str, Any]:
    """Begin next year's bed from this one: another bed, and why its brief differs."""
    from bedwright.noted import EntryError

    beds: Beds = request.app.state.beds
    try:
        made = book_of(bed).next_year(asked.keep)
        new = beds.new(made.values, f"After the year of {bed.key}")
    except EntryError as error:
        faults = [fault_at(f.field, f.given, f.accepted, {}) for f in error.faults]
        raise HTTPException(422, faults) from None
    except FullError as error:
        raise HTTPException(507, f"No room for another bed: {error}.") from None
    return {"bed": new.key, "on": new.now, "remarks": list(made.remarks)}


class Grown(BaseModel):
    """The revision whose plan a bed is grown by."""

    on: Number


@router.post("/api/beds/{bed}/grown", status_code=201)
def grown_by(bed: Kept, asked: Grown) -> dict[str, Any]:
    """Keep the plan of a revision as the one by which the bed is grown in its year."""
    path = bed.plan_folder(asked.on) / "files" / "plan.json"
    if not bed.has_plan(asked.on):
        raise HTTPException(409, "Work out the plan of this revision first.")
    if not path.is_file():
        raise HTTPException(503, "The plan's files are still being made: ask again in a moment.")
    plan = path.read_text(encoding="utf-8")
    year = int(json.loads(plan)["season"]["year"])
    grow(bed, year, asked.on, plan)
    return {"year": year, "on": asked.on}


SHOWN = 200
"""The latest entries, so many of which the sheet shows; the command line and the API list all."""


def listed(book: Notebook, latest: int | None = SHOWN, typed: bool = True) -> list[dict[str, Any]]:
    """The latest entries of a journal as the page shows them: those that were ``typed``, without
    the days of weather records."""
    return [_shown(book, one) for one in book.entries(latest, typed)]


def _shown(book: Notebook, one: Written) -> dict[str, Any]:
    return {
        "id": str(one.id),
        "number": one.number,
        "day": one.entry.day.isoformat(),
        "words": book.words(one.entry),
        "line": one.entry.text,
        "photo": one.entry.photo,
    }


Mine = Callable[[], dict[str, str]]
"""My line and how it was understood, for where another stands in the entry's place."""


def _told(
    book: Notebook, write: Callable[[], Noted], old: UUID | None = None, mine: Mine | None = None
) -> dict[str, Any]:
    made = done(book, write, old, mine)
    return {**_shown(book, made.written), "remarks": list(made.remarks)}


def done(
    book: Notebook, act: Callable[[], Any], old: UUID | None = None, mine: Mine | None = None
) -> Any:
    """What comes of an act; ``old``: the entry in whose place it puts ``mine``.  Raises
    HTTPException where it cannot be, with both where somebody else was first."""
    from bedwright.noted import EntryError

    try:
        return act()
    except LineError as error:
        raise HTTPException(422, words_of_mistake(error, book.units)) from None
    except EntryError as error:
        faults = [fault_at(f.field, f.given, f.accepted, {}) for f in error.faults]
        raise HTTPException(422, faults) from None
    except NoSuchEntryError:
        raise HTTPException(404, "There is no such entry.") from None
    except OtherEntryError:
        raise HTTPException(409, "Another entry has this id.") from None
    except CorrectedSinceError as error:
        raise HTTPException(409, _both(book, error.now, old, mine)) from None


def _both(book: Notebook, now: Written, old: UUID | None, mine: Mine | None) -> dict[str, Any]:
    """What stands in an entry's place, and what was to be written there."""
    stands = "It was taken back" if now.withdrawn else f"In its place: {book.words(now.entry)}"
    before = "" if old is None else book.words(book.entry(old).entry)
    theirs = {**_shown(book, now), "withdrawn": now.withdrawn, "before": before}
    return {"said": f"{stands}.", "theirs": theirs, "mine": None if mine is None else mine()}
