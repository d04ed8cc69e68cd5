"""Photographs for the tests, and what of them is written by hand after the standards."""

from __future__ import annotations

import io
import struct
from datetime import date

from PIL import Image


def tiff(taken: str, order: str = "<", tag: int = 0x9003) -> bytes:
    """The least of a TIFF with a time in its Exif part, laid out by hand after TIFF 6.0 and CIPA
    DC-008: a header, a directory whose one entry leads to the Exif part, and there a text."""
    text = taken.encode("ascii") + b"\0"
    mark = b"II" if order == "<" else b"MM"
    first = struct.pack(f"{order}HHHIII", 1, 0x8769, 4, 1, 26, 0)
    exif = struct.pack(f"{order}HHHIII", 1, tag, 2, len(text), 44, 0)
    return mark + struct.pack(f"{order}HI", 42, 8) + first + exif + text


def photograph(
    taken: date | str | None = None,
    form: str = "JPEG",
    size: tuple[int, int] = (64, 48),
    colour: tuple[int, int, int] = (200, 60, 120),
    turned: int | None = None,
) -> bytes:
    """A picture of one colour, by Pillow; ``taken``: its Exif's day, or the whole of its time;
    ``turned``: its Exif's orientation."""
    made, exif = io.BytesIO(), b""
    if taken is not None:
        exif = b"Exif\0\0" + tiff(taken if isinstance(taken, str) else f"{taken:%Y:%m:%d} 10:11:12")
    if turned is not None:
        own = Image.Exif()
        own[0x0112] = turned
        exif = own.tobytes()
    Image.new("RGB", size, colour).save(made, form, exif=exif)
    return made.getvalue()


def heic(taken: date | None = None) -> bytes:
    """The beginning of a HEIC file after ISO/IEC 23008-12, with an Exif part as phones write it;
    there is no picture in it."""
    exif = b"" if taken is None else b"\0\0\0\x06Exif\0\0" + tiff(f"{taken:%Y:%m:%d} 10:11:12", ">")
    return b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0\0\x01\0mdat" + bytes(100) + exif


def gps(taken: date) -> bytes:
    """A JPEG that says when and where it was taken."""
    made, exif = io.BytesIO(), Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = f"{taken:%Y:%m:%d} 10:11:12"
    exif.get_ifd(0x8825)[2] = (53.0, 16.0, 12.0)
    Image.new("RGB", (64, 48)).save(made, "JPEG", exif=exif.tobytes())
    return made.getvalue()
