"""This week's part of the API: what moved, what there is to do, what to cover tonight."""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor
from datetime import date
from threading import Lock
from typing import TYPE_CHECKING, Annotated, Any
from uuid import UUID

from fastapi import APIRouter, Query, Request
from pydantic import BaseModel, Field

from bedwright.store import Bed, entries_of, last_number, mark_of, tasks_done, written_since
from bedwright.web.entries import book_of, done
from bedwright.web.kept import Kept

if TYPE_CHECKING:
    from bedwright.underway import Underway

router = APIRouter()

Known = tuple[tuple[int, ...], date, "Underway | None", int]
"""What was worked out for a mark of the store and a day, and the last row of the bed's journal that
is in it."""


class Weeks:
    """Beds under way as they were worked out last.

    That takes a second or two.  Once it was done, the list is answered at once by what was worked
    out before and by what has been written since, while it is worked out again behind it.
    """

    def __init__(self) -> None:
        self._known: dict[str, Known] = {}
        self._running: dict[tuple[Any, ...], Future[Underway | None]] = {}
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="under-way")
        self._lock = Lock()

    def now(self, bed: Bed, today: date) -> tuple[Underway | None, bool]:
        """A bed under way, and whether all that is written is in it."""
        mark = mark_of(bed.store)
        with self._lock:
            had = self._known.get(bed.key)
            if had is not None and had[:2] == (mark, today):
                return had[2], True
            key = bed.key, mark, today
            if key not in self._running:
                self._running[key] = self._pool.submit(self._work_out, bed, mark, today)
            running = self._running[key]
        if had is None or had[1] != today or had[2] is None:
            return running.result(), True
        new = written_since(bed.store, bed.key, had[3])
        if any(one.corrects is not None for one in new):
            first, last = had[2].days
            stand = entries_of(bed.store, bed.key, first, min(last, today))
            return had[2].after(one.entry for one in stand), False
        return had[2].after((*had[2].entries, *(one.entry for one in new))), False

    def _work_out(self, bed: Bed, mark: tuple[int, ...], today: date) -> Underway | None:
        from bedwright.garden import under_way

        try:
            number = last_number(bed.store, bed.key)
            found = under_way(bed, today)
            with self._lock:
                self._known[bed.key] = mark, today, found, number
            return found
        finally:
            with self._lock:
                self._running.pop((bed.key, mark, today), None)

    def close(self) -> None:
        """Let what is being worked out end."""
        self._pool.shutdown(wait=True, cancel_futures=True)


@router.get("/api/beds/{bed}/week")
def week(request: Request, bed: Kept) -> dict[str, Any]:
    """What moved, second sowings and this week's list, in words; ``fresh``: whether all that is
    written is in it, or it is still being worked out again; ``grown``: whether a plan is kept as
    the one by which the bed is grown, without which there is no list."""
    from bedwright.report import week_sheet

    weeks: Weeks = request.app.state.weeks
    today = date.today()
    found, fresh = weeks.now(bed, today)
    if found is None:
        return {"grown": False, "fresh": fresh, "moved": [], "second": [], "parts": []}
    done_now = tasks_done(bed.store, bed.key, *found.days)
    sheet = week_sheet(found, tuple(found.week(done_now, today)), book_of(bed).units)
    parts = [
        {
            "heading": heading,
            "rows": [
                {
                    "key": row.key,
                    "what": row.what,
                    "when": row.when,
                    "notes": list(row.notes),
                    "wait": row.wait,
                }
                for row in rows
            ],
        }
        for heading, rows in sheet.parts
    ]
    return {
        "grown": True,
        "fresh": fresh,
        "moved": list(sheet.moved),
        "second": list(sheet.second),
        "parts": parts,
    }


class Tap(BaseModel):
    """A line of the list that is done, or is left where it is not ``needed``; ``id``: made by who
    sends it, so that it is written once; ``typed``: the day of the tap, where that is not today."""

    work: Annotated[str, Field(min_length=1, max_length=60)]
    needed: bool = True
    id: UUID | None = None
    typed: date | None = None


@router.post("/api/beds/{bed}/week", status_code=201)
def tapped(bed: Kept, asked: Tap) -> list[dict[str, Any]]:
    """Write down that a line of this week's list is done; the entries come back."""
    book = book_of(bed, asked.typed)
    made = done(book, lambda: book.done(asked.work, asked.id, asked.needed))
    return [
        {"id": str(one.written.id), "number": one.written.number, "words": one.understood}
        for one in made
    ]


@router.get("/api/beds/{bed}/tonight")
def tonight(
    bed: Kept, forecast: Annotated[str, Query(min_length=1, max_length=200)]
) -> dict[str, str | None]:
    """What a forecast of the night asks for, in words; null where no plan is kept by which the bed
    is grown."""
    from bedwright.report import say

    book = book_of(bed)
    found = done(book, lambda: book.tonight(forecast))
    return {"words": None if found is None else say(found, book.units)}


@router.get("/api/beds/{bed}/years")
def years(bed: Kept) -> dict[str, Any]:
    """The years of a bed's garden side by side and how its forecasts came out, as tables of words;
    ``brier``: the Brier score of so many forecasts, ``count``."""
    from bedwright.report import KEPT_HEADS, YEAR_HEADS, kept_rows, year_rows

    found = book_of(bed).years()
    return {
        "heads": list(YEAR_HEADS),
        "rows": year_rows(found.years),
        "kept_heads": list(KEPT_HEADS),
        "kept": kept_rows(found.kept),
        "brier": round(found.kept.brier, 3),
        "count": found.kept.count,
    }
