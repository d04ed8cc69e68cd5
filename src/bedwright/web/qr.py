"""An address as a QR code (ISO/IEC 18004), for the terminal and for the page."""

from __future__ import annotations

from typing import Any

BORDER = 4
"""Light modules around it, as the standard wants."""


def _code(text: str) -> Any:
    import segno  # only where a page is shared

    return segno.make(text, error="m", micro=False)


def svg_of(text: str) -> str:
    """The code as an SVG to put into a page: black on white in any theme."""
    drawn: str = _code(text).svg_inline(border=BORDER, dark="#000", light="#fff", omitsize=True)
    return drawn


def lines_of(text: str) -> list[str]:
    """The code as lines of half blocks, two rows of modules to a line; to be printed black on
    white."""
    rows = [list(row) for row in _code(text).matrix_iter(border=BORDER)]
    if len(rows) % 2:
        rows.append([0] * len(rows[0]))
    shapes = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return ["".join(shapes[bool(a), bool(b)] for a, b in zip(*pair, strict=True)) for pair in pairs]
