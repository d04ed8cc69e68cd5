"""Parts of a sheet: figures under a heading."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Line:
    """One figure on a sheet: its label, its value, and the working behind it."""

    label: str
    value: str
    working: str = ""


@dataclass(frozen=True)
class Part:
    """A headed group of lines."""

    heading: str
    lines: tuple[Line, ...]
