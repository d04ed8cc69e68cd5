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
    NoSuchEntryError,
    OtherEntryError,
    Written,
    grow,
)
from bedwright.web.asked import Number, fault_at
from bedwright.web.kept import Kept

if TYPE_CHECKING:
    from bedwright.noted import Notebook, Noted

router = APIRouter()


class Line(BaseModel):
    """A line for the journal; ``id``: made by who sends it, so that it is written once, however
    often it is sent."""

    line: Annotated[str, Field(min_length=1, max_length=MOST_TEXT)]
    id: UUID | None = None


def book_of(bed: Bed) -> Notebook:
    """A bed's journal as of today; what it needs is loaded when it is first opened."""
    from bedwright.noted import notebook

    return notebook(bed, date.today())


@router.get("/api/beds/{bed}/entries")
def entries(bed: Kept) -> list[dict[str, Any]]:
    """The entries that stand in a bed's journal, the latest day first."""
    return listed(book_of(bed), None)


@router.post("/api/beds/{bed}/entries", status_code=201)
def write(bed: Kept, asked: Line) -> dict[str, Any]:
    """Write a line down; what was understood, guessed and doubted comes back.  A forecast of the
    night is answered, and not written."""
    book = book_of(bed)
    answer = book.answer(asked.line)
    if answer is not None:
        return {"answer": answer}
    return _told(book, lambda: book.note(asked.line, asked.id))


@router.post("/api/beds/{bed}/entries/{entry}", status_code=201)
def correct(bed: Kept, entry: UUID, asked: Line) -> dict[str, Any]:
    """Write a line in the place of an entry, which stays in the history."""
    book = book_of(bed)
    return _told(book, lambda: book.correct(entry, asked.line, asked.id))


@router.delete("/api/beds/{bed}/entries/{entry}")
def take_back(bed: Kept, entry: UUID, id: UUID | None = None) -> dict[str, Any]:
    """Take an entry back; it stays in the history."""
    book = book_of(bed)
    written = done(book, lambda: book.take_back(entry, id))
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


def listed(book: Notebook, latest: int | None = SHOWN) -> list[dict[str, Any]]:
    """The latest entries of a journal as the page shows them."""
    return [_shown(book, one) for one in book.entries(latest)]


def _shown(book: Notebook, one: Written) -> dict[str, Any]:
    return {
        "id": str(one.id),
        "number": one.number,
        "day": one.entry.day.isoformat(),
        "words": book.words(one.entry),
        "line": one.entry.text,
    }


def _told(book: Notebook, write: Callable[[], Noted]) -> dict[str, Any]:
    made = done(book, write)
    return {**_shown(book, made.written), "remarks": list(made.remarks)}


def done(book: Notebook, act: Callable[[], Any]) -> Any:
    """What comes of an act.  Raises HTTPException where it cannot be."""
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
        now = error.now
        said = (
            "It was taken back"
            if now.withdrawn
            else f"In its place stands: {book.words(now.entry)}"
        )
        raise HTTPException(409, f"{said}. Load the page again to see it.") from None
