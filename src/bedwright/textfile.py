"""Reading a text file that a person saved, whatever editor or spreadsheet saved it.

Only regular files are read, and only up to a size the caller names: a device or a pipe given by
mistake would never end.  UTF-8 with or without its mark, UTF-16 and, where the caller allows it,
the one-byte coding of older Windows programs are understood; all line ends become ``\\n``.
"""

from __future__ import annotations

import codecs
import stat
from pathlib import Path

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
"""Byte order marks and their codings; UTF-32 before UTF-16, whose mark it begins with."""


class TextFileError(ValueError):
    """A file that cannot be read as text: what was ``given``, and what is ``accepted``."""

    def __init__(self, given: str, accepted: str) -> None:
        self.given, self.accepted = given, accepted
        super().__init__(f"{given}; accepted: {accepted}")


def read_text_file(path: Path, most_bytes: int, one_byte: str | None = None) -> str:
    """The text of a regular file of at most ``most_bytes``, its lines ended by ``\\n``.

    ``one_byte``: a coding such as ``"cp1252"`` for files that are not UTF-8; without it they are
    refused.  Raises TextFileError for what is no such file, OSError where it cannot be opened.
    """
    size = f"a text file of up to {most_bytes / 1e6:,.3g} MB"
    try:
        found = path.stat()
    except ValueError:  # a NUL in the name
        raise TextFileError("a name that no file can have", size) from None
    if stat.S_ISDIR(found.st_mode):
        raise TextFileError("a folder", size)
    if not stat.S_ISREG(found.st_mode):
        raise TextFileError("a device or a pipe", size)
    with path.open("rb") as file:
        raw = file.read(most_bytes + 1)
    if len(raw) > most_bytes:
        raise TextFileError(f"a file of {max(found.st_size, len(raw)):,} bytes", size)
    return decode(raw, one_byte).replace("\r\n", "\n").replace("\r", "\n")


def decode(raw: bytes, one_byte: str | None = None) -> str:
    """The text of a file's bytes, without its byte order mark.  Raises TextFileError."""
    coding = next((name for mark, name in _MARKS if raw.startswith(mark)), None)
    if coding is None:
        coding = _unmarked_utf_16(raw) or "utf-8"
    try:
        return raw.decode(coding).removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        if coding == "utf-8" and one_byte is not None and b"\0" not in raw:
            return raw.decode(one_byte, errors="replace")
        line = raw.count(b"\n", 0, error.start) + 1
        raise TextFileError(f"bytes that are no {coding.upper()} in line {line}", "text in UTF-8"
                            " (in a text editor: save as, encoding UTF-8)") from None  # fmt: skip


def _unmarked_utf_16(raw: bytes) -> str | None:
    """UTF-16 without its mark, told by the zero beside each letter of plain English."""
    start = raw[:200]
    if len(start) < 4 or len(raw) % 2:
        return None
    zeros = [start[n::2].count(0) / len(start[n::2]) for n in (0, 1)]
    if zeros[1] > 0.7 and zeros[0] == 0:
        return "utf-16-le"
    return "utf-16-be" if zeros[0] > 0.7 and zeros[1] == 0 else None
