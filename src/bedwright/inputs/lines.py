"""Lines, cells and numbers of a weather record's text, bounded in number and in length."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from contextlib import suppress

from bedwright.climate import MOST_YEARS


class RecordError(ValueError):
    """A weather record that cannot be used; the words say why and what is accepted."""


MOST_LINE = 10_000
"""Characters of a line: the widest daily summaries, with every element and its attributes, have
under 3,000 (estimate)."""

MOST_PASSED_OVER = 0.05
"""Share of a file's lines that may be passed over.  Totals and means below each month are one line
in 31 and fit; dates whose day and month were swapped lose 19 days in 31, and do
not."""

FEW = 3
"""As many may be passed over of any file, however short."""


def first_line(text: str) -> str:
    """The first line that is not blank, up to MOST_LINE characters of it; blank where none is."""
    found = re.search(r"\S", text)
    if found is None:
        return ""
    start = text.rfind("\n", 0, found.start()) + 1
    return text[start : start + MOST_LINE].split("\n", 1)[0]


def lines_of(text: str, name: str, most: int) -> list[str]:
    """A text's lines.  Raises RecordError where they are more than ``most``, or one is too long."""
    count = text.count("\n") + 1
    if count > most:
        raise RecordError(
            f"{name}: {count:,} lines; accepted: up to {most:,}, more than {MOST_YEARS} years have"
            " in this form"
        )
    lines = text.split("\n")
    if max(map(len, lines)) > MOST_LINE:
        n, line = next((n, line) for n, line in enumerate(lines, 1) if len(line) > MOST_LINE)
        raise RecordError(
            f"{name}: line {n} has {len(line):,} characters ('{shown(line, 20)}'); accepted:"
            f" up to {MOST_LINE:,}, with each day on a line of its own"
        )
    return lines


def rows_of(lines: list[str], name: str, mark: str = ",") -> Iterator[tuple[int, list[str]]]:
    """The lines that are not blank, numbered from 1, as cells parted by ``mark``.

    Quotation marks must stand in pairs round a cell: one that does not close on the line on which
    it opens would swallow the days after it.  Raises RecordError that names the line.
    """
    if not any('"' in line for line in lines):
        for at, line in enumerate(lines, 1):
            row = line.split(mark)
            if row[0] or "".join(row).strip():
                yield at, row
        return
    reader = csv.reader(lines, delimiter=mark, strict=True)
    read = 0
    with suppress(csv.Error):
        for row in reader:
            if reader.line_num > read + 1:
                break
            read += 1
            if row and (row[0] or "".join(row).strip()):
                yield read, row
        else:
            return
    raise RecordError(
        f"{name}: line {read + 1}: quotation marks that do not stand in pairs round a cell"
        f" ({shown(lines[read])}); accepted: none, or a pair round the whole of a cell,"
        " each day on a line of its own"
    )


def shown(text: str, most: int = 60) -> str:
    """Text of a file as a message may carry it: without control characters, and cut."""
    kept = text if len(text) <= most else text[: most - 1] + "…"
    return "".join(
        char if char.isprintable() else char.encode("unicode_escape").decode() for char in kept
    )


_NUMBER = re.compile(r"[+-]?(?:\d{1,9}(?:\.\d{0,30})?|\.\d{1,30})(?:e[+-]?\d{1,2})?", re.ASCII)
_MINUS = str.maketrans({"\u2212": "-", "\u2013": "-", ",": "."})
"""Minus signs as word processors write them, and the decimal comma."""

_BLANK = {"", "-", "--", "---", ".", "*", "m", "na", "n/a", "nan", "nd", "none", "null", "missing"}


def number(text: str) -> float | None:
    """The number in a cell; nan where it is blank or says that it is; None for anything else."""
    if _NUMBER.fullmatch(text):  # as nearly every cell of a record is
        return float(text)
    plain = text.strip().lower()
    if plain in _BLANK:
        return float("nan")
    plain = plain.translate(_MINUS)
    return float(plain) if _NUMBER.fullmatch(plain) else None


def too_many(passed_over: int, lines: int) -> bool:
    """Whether too many of a file's lines had to be passed over for the rest to be trusted."""
    return passed_over > max(FEW, MOST_PASSED_OVER * lines)
