"""A weather record on the API, sent as it is, whose days go into a bed's journal."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, HTTPException, Request
from fastapi.concurrency import run_in_threadpool
from pydantic import Field

from bedwright.store import Bed
from bedwright.web.kept import Kept

if TYPE_CHECKING:
    from bedwright.recorded import Added

router = APIRouter()

MOST_RECORD = 40_000_000
"""Bytes of a record, as ``inputs`` reads it from a file."""

ANY_RECORD = {"requestBody": {"required": True, "content": {
    "application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}}  # fmt: skip


@router.post("/api/beds/{bed}/record", status_code=201, openapi_extra=ANY_RECORD)
async def add(
    bed: Kept,
    request: Request,
    name: Annotated[str, Field(max_length=200)] = "The record",
    since: date | None = None,
    replace: bool = False,
) -> dict[str, Any]:
    """Put the days of a weather record, sent as the body, into a bed's journal, from ``since`` on;
    days that differ from the journal are told, and corrected only where it is to ``replace``
    them."""
    body = await request.body()
    added = await run_in_threadpool(_added, bed, body, name, since, replace)
    return {
        "added": added.added,
        "first": None if added.first is None else added.first.isoformat(),
        "last": None if added.last is None else added.last.isoformat(),
        "same": added.same,
        "days_differ": added.days_differ,
        "corrected": added.corrected,
        "differences": list(added.differences),
        "understood": added.understood,
        "remarks": list(added.remarks),
    }


def _added(bed: Bed, body: bytes, name: str, since: date | None, replace: bool) -> Added:
    """Raises HTTPException where the file is at fault."""
    from bedwright.inputs import RecordError
    from bedwright.noted import notebook
    from bedwright.recorded import add_record
    from bedwright.textfile import TextFileError, decode

    today = date.today()
    try:
        given = decode(body, "cp1252"), name
        return add_record(bed, given, notebook(bed, today).units, today, replace, since)
    except TextFileError as error:
        raise HTTPException(422, f"{name}: {error}") from None
    except RecordError as error:
        raise HTTPException(422, str(error)) from None
