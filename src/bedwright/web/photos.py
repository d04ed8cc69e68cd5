"""Photographs on the API: sent as they are, kept under their hash, shown small and large."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, HTTPException, Request, Response
from fastapi import Path as InPath
from fastapi.concurrency import run_in_threadpool

from bedwright.store import (
    LostPhotoError,
    NoSuchPhotoError,
    PhotoError,
    keep_photo,
    photo_of,
    picture_of,
    small_of,
)
from bedwright.web.asked import fault_at
from bedwright.web.kept import Kept

router = APIRouter()

SMALL_PX = 320
"""The longer side of a small photograph: what a list shows, on a screen of fine dots."""

FOR_EVER = {"cache-control": "private, max-age=31536000, immutable"}
"""What lies under its hash never changes."""

ANY_PHOTO = {"requestBody": {"required": True, "content": {
    "application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}}  # fmt: skip


@router.post("/api/beds/{bed}/photos", status_code=201, openapi_extra=ANY_PHOTO)
async def keep(bed: Kept, request: Request) -> dict[str, Any]:
    """Keep a photograph, sent as the body: JPEG, PNG, WebP or HEIC.  Its hash, by which an entry
    names it, comes back, and the day on which it says that it was taken."""
    body = await request.body()
    try:
        picture = await run_in_threadpool(picture_of, body)
    except PhotoError as error:
        fault = error.fault
        raise HTTPException(422, [fault_at("photo", fault.given, fault.accepted, {})]) from None
    photo = await run_in_threadpool(keep_photo, bed.store, picture)
    taken = None if picture.taken is None else picture.taken.isoformat()
    return {"sha256": photo.sha256, "type": photo.type, "bytes": photo.bytes, "taken": taken}


@router.get("/api/beds/{bed}/photos/{sha256}")
def show(
    bed: Kept, sha256: Annotated[str, InPath(pattern="^[0-9a-f]{64}$")], small: bool = False
) -> Response:
    """A photograph as it was sent, or a small one of it, if it can be made."""
    try:
        picture = photo_of(bed.store, sha256)
    except NoSuchPhotoError:
        raise HTTPException(404, "There is no such photograph.") from None
    except LostPhotoError as error:
        raise HTTPException(410, str(error)) from None
    made = small_of(picture.body, SMALL_PX) if small else None
    if made is not None:
        return Response(made, media_type="image/jpeg", headers=FOR_EVER)
    return Response(picture.body, media_type=picture.photo.type, headers=FOR_EVER)
