"""The bed that an address names."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, HTTPException, Request
from fastapi import Path as InPath

from bedwright.store import Bed, Beds, NoSuchBedError

BedKey = Annotated[str, InPath(pattern=r"^[a-z0-9-]{1,60}$")]


def bed_of(request: Request, bed: BedKey) -> Bed:
    """The bed that an address names.  Raises HTTPException where there is none."""
    kept: Beds = request.app.state.beds
    try:
        return kept.one(bed)
    except NoSuchBedError:
        raise HTTPException(404, "There is no such bed.") from None


Kept = Annotated[Bed, Depends(bed_of)]
