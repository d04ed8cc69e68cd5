"""What a photograph's file says by itself: its form and when it was taken; and a small one of it.

Forms are told by how a file begins, as the standards have it: JPEG (ITU-T T.81), PNG (ISO/IEC
15948), WebP (RFC 9649) and HEIC (ISO/IEC 23008-12); the day by Exif's DateTimeOriginal (CIPA
DC-008).  Pillow reads the first three; of HEIC it is only the Exif part that is read.
"""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Exif
    from PIL.ImageFile import ImageFile

ENDINGS: Mapping[str, str] = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/webp": "webp",
    "image/heic": "heic",
}
"""Of each form that is kept, how its file's name ends."""

_HEIC = (b"heic", b"heix", b"heim", b"heis")
_EXIF = re.compile(rb"Exif\0\0(?=II\*\0|MM\0\*)")
_TIME = re.compile(r"(\d{4}):(\d\d):(\d\d)(?: |$)", re.ASCII)
_EXIF_PART, _TAKEN = 0x8769, 0x9003
"""Tags of Exif: the part about the picture, and in it DateTimeOriginal."""

MOST_EXIF = 1_000_000

MOST_PIXELS = {"image/jpeg": 120_000_000, "image/png": 50_000_000, "image/webp": 50_000_000}
"""A larger picture is not opened to make a small one of it: a JPEG is opened at a part of its size,
of the others each pixel takes four bytes."""

SMALL_QUALITY = 80


def picture_type(body: bytes) -> str | None:
    """The form of a photograph by its first bytes, one of ENDINGS; None of anything else."""
    if body.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if body.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if body[:4] == b"RIFF" and body[8:12] == b"WEBP":
        return "image/webp"
    if body[4:8] == b"ftyp":
        size = min(int.from_bytes(body[:4], "big"), 256)
        brands = [body[8:12], *(body[at : at + 4] for at in range(16, size, 4))]
        if brands[0] in _HEIC or (brands[0] == b"mif1" and b"heic" in brands):
            return "image/heic"
    return None


def taken_on(body: bytes) -> date | None:
    """The day on which a photograph says that it was taken; None where it says none."""
    exif = _exif(body)
    if exif is None:
        return None
    found = _TIME.match(str(exif.get_ifd(_EXIF_PART).get(_TAKEN, "")))
    try:
        return None if found is None else date(*map(int, found.groups()))
    except ValueError:  # 0000:00:00, of a camera whose clock was never set
        return None


def small_of(body: bytes, most: int) -> bytes | None:
    """A photograph as a JPEG of at most so many pixels each way, upright, in its own colours, and
    without what else is in the file.  None of HEIC, and of a file that is damaged or too large."""
    from PIL.ImageOps import exif_transpose

    try:
        picture = _opened(body)
        if picture is None or picture.width * picture.height > MOST_PIXELS[str(picture_type(body))]:
            return None
        picture.draft("RGB", (most, most))
        picture.thumbnail((most, most))
        upright = exif_transpose(picture)
        made, profile = io.BytesIO(), picture.info.get("icc_profile")
        upright.convert("RGB").save(made, "JPEG", quality=SMALL_QUALITY, icc_profile=profile)
    except Exception:  # whatever a damaged file makes the library raise
        return None
    return made.getvalue()


def _opened(body: bytes) -> ImageFile | None:
    """A photograph as Pillow opens it, without its pixels; None of HEIC."""
    from PIL.JpegImagePlugin import JpegImageFile
    from PIL.PngImagePlugin import PngImageFile
    from PIL.WebPImagePlugin import WebPImageFile

    # By their own classes: Image.open tries other forms, and warns of what is large, once a run.
    match picture_type(body):
        case "image/jpeg":
            return JpegImageFile(io.BytesIO(body))
        case "image/png":
            return PngImageFile(io.BytesIO(body))
        case "image/webp":
            return WebPImageFile(io.BytesIO(body))
    return None


def _exif(body: bytes) -> Exif | None:
    """The Exif part of a photograph; None where it has none, or one that cannot be read."""
    from PIL.Image import Exif

    try:
        picture = _opened(body)
        if picture is not None:
            part = picture.info.get("exif")
        else:
            found = _EXIF.search(body)
            part = None if found is None else body[found.start() : found.start() + MOST_EXIF]
        if not part:
            return None
        exif = Exif()
        exif.load(part)
        exif.get_ifd(_EXIF_PART)
    except Exception:  # whatever a damaged file makes the library raise
        return None
    return exif
