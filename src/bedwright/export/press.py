"""Setting and printing with Typst: PDF from a template and its data, PNG from a drawing.

The same data give the same bytes: the timestamp is fixed and fonts come from packages only (Typst's
own and ``font-source-sans-pro``), never from the system.  Typst gets its files from memory, so that
a run that is killed leaves no temporary files.
"""

from __future__ import annotations

import json
import math
import re
import struct
import zlib
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import font_source_sans_pro
import typst

from bedwright.draw import Canvas
from bedwright.units import INCH_MM

FONTS = str(Path(font_source_sans_pro.__file__).parent / "files")
FACE = "Source Sans Pro"
FIXED_TIME = 1_577_836_800
"""1 January 2020, UTC: the creation date in every PDF, so that the same plan is the same file."""

STYLE = "style.typ"
"""What the templates share: page, colours, headings, tables."""


Drawings = dict[str, bytes]
"""Drawings that a template prints, by file name."""


def print_pdf(drawings: Drawings, template: str, data: dict[str, Any]) -> bytes:
    """The PDF of a template of this package with its data and drawings."""
    package = files("bedwright.export")
    sources = {
        **drawings,
        "main": (package / template).read_bytes(),
        STYLE: (package / STYLE).read_bytes(),
        "data.json": json.dumps(data, ensure_ascii=False).encode(),
    }
    return bytes(_typst(sources))


def _typst(sources: dict[str, bytes], **options: Any) -> Any:
    """What Typst makes of the file ``main`` and those it names: bytes, or a list of them where it
    makes one file a page."""
    return typst.compile(
        sources,
        font_paths=_fonts(),
        ignore_system_fonts=True,
        timestamp=FIXED_TIME,
        **options,
    )


@cache
def _fonts() -> typst.Fonts:
    """The faces of the sheets, which take as long to look up as a short page to print."""
    return typst.Fonts(include_system_fonts=False, font_paths=[FONTS])


COMMON = 0x250
"""Characters below this number (Latin with its accents) are all in the faces."""


def boxed(text: str) -> str:
    """The characters of a text that no face of the press has a shape for: each prints as a box.

    Found by printing each alone and comparing it with a character that no face can have, the last
    of the private ones (Unicode 16, 23.5).
    """
    rare = sorted({c for c in text if ord(c) >= COMMON and not "\ud800" <= c <= "\udfff"})
    if not rare:
        return ""
    pages = "#pagebreak()\n".join(f'#"\\u{{{ord(c):x}}}"\n' for c in ("\U0010fffd", *rare))
    source = (
        f'#set page(width: 20mm, height: 20mm, margin: 2mm)\n#set text(font: "{FACE}")\n{pages}'
    )
    printed: Any = _typst({"main": source.encode()}, format="svg")
    box, *shapes = [re.findall(rb"<symbol[^>]*>(.*?)</symbol>", page, re.S) for page in printed]
    lacking = {c for c, shape in zip(rare, shapes, strict=True) if shape == box}
    return "".join(dict.fromkeys(c for c in text if c in lacking))


def add_drawing(canvas: Canvas, drawings: Drawings, name: str) -> str:
    """Put a drawing among those to be printed, and its words beside it; returns its name."""
    drawings[name] = canvas.render().encode()
    words = f"{canvas.title}. {canvas.words}" if canvas.words else canvas.title
    drawings[f"{name}.txt"] = words.encode()
    return name


def to_png(canvas: Canvas, dots_per_inch: float = 150.0) -> bytes:
    """A drawing as PNG, in the sheets' fonts, with its resolution, so that it prints to scale."""
    # Whole pixels, a trifle less against rounding up: of a picture that ends within a pixel, Typst
    # drops rows and columns.
    wide, high = (
        math.ceil(round(mm * dots_per_inch / INCH_MM, 3)) * INCH_MM / dots_per_inch - 1e-3
        for mm in (canvas.width, canvas.height)
    )
    whole = Canvas(wide, high, "")
    whole.root.attrib |= {
        "width": f"{wide}mm",
        "height": f"{high}mm",
        "viewBox": f"0 0 {wide} {high}",
    }
    whole.graft(canvas)
    page = (
        f"#set page(width: {wide}mm, height: {high}mm, margin: 0mm)\n"
        '#image("drawing.svg", width: 100%, height: 100%)'
    )
    sources = {"main": page.encode(), "drawing.svg": whole.render().encode()}
    png = bytes(_typst(sources, format="png", ppi=dots_per_inch))
    return _with_resolution(png, dots_per_inch)


def _with_resolution(png: bytes, dots_per_inch: float) -> bytes:
    """The PNG with a pHYs chunk (pixels a metre) after its header (PNG specification, 11.3.4.3)."""
    header_end = 8 + 25
    per_metre = round(dots_per_inch / 0.0254)
    body = b"pHYs" + struct.pack(">IIB", per_metre, per_metre, 1)
    chunk = struct.pack(">I", 9) + body + struct.pack(">I", zlib.crc32(body))
    return png[:header_end] + chunk + png[header_end:]
