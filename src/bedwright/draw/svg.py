"""A small canvas: SVG elements through the standard library's ElementTree, lengths in
millimetres."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from functools import cache
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree
from xml.sax.saxutils import escape

if TYPE_CHECKING:
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

FONT = "'Source Sans Pro', 'Source Sans 3', Helvetica, Arial, sans-serif"
INK, SOFT, FAINT, PAPER, GREEN = "#22302a", "#66706a", "#c9cfc8", "#ffffff", "#2f6b4f"
LEAF = "#dfe8d6"

ElementTree.register_namespace("", "http://www.w3.org/2000/svg")


def number(value: float) -> str:
    """Coordinate to a hundredth of a millimetre, no trailing zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class Canvas:
    """An SVG picture of a given size, millimetres; y runs down as in SVG.

    ``words``: what it shows, for those who do not see it.
    """

    def __init__(self, width: float, height: float, title: str, words: str = "") -> None:
        self.width, self.height = width, height
        self.title, self.words = title, words
        self.root = ElementTree.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "width": f"{number(width)}mm",
                "height": f"{number(height)}mm",
                "viewBox": f"0 0 {number(width)} {number(height)}",
                "font-family": FONT,
                "role": "img",
            },
        )
        ElementTree.SubElement(self.root, "title").text = title
        if words:
            ElementTree.SubElement(self.root, "desc").text = words
        self._at = [self.root]

    def add(self, tag: str, words: str | None = None, **attributes: Any) -> ElementTree.Element:
        """Append an element; attribute names take ``_`` for ``-``."""
        plain = {
            _name(key): number(v) if isinstance(v, float) else str(v)
            for key, v in attributes.items()
            if v is not None
        }
        element = ElementTree.SubElement(self._at[-1], tag, plain)
        element.text = words
        return element

    def graft(self, other: Canvas) -> None:
        """Put another picture's elements into this one, as they lie there."""
        self._at[-1].extend(child for child in other.root if child.tag not in ("title", "desc"))

    def open(self, tag: str = "g", **attributes: Any) -> None:
        """Begin a group; what follows goes inside until ``close``."""
        self._at.append(self.add(tag, **attributes))

    def close(self) -> None:
        """End the group begun last."""
        self._at.pop()

    def line(self, a: tuple[float, float], b: tuple[float, float], **style: Any) -> None:
        """A straight line."""
        self.add("line", x1=float(a[0]), y1=float(a[1]), x2=float(b[0]), y2=float(b[1]), **style)

    def text(self, at: tuple[float, float], words: str, size: float = 3.2, **style: Any) -> None:
        """Words at a point; ``size`` in millimetres."""
        settings = {"fill": INK, **style}
        self.add("text", words, x=float(at[0]), y=float(at[1]), font_size=float(size), **settings)

    def path(self, data: str, **style: Any) -> None:
        """A path."""
        self.add("path", d=data, **style)

    def _repr_svg_(self) -> str:
        """As a notebook shows it."""
        return self.render()

    def render(self) -> str:
        """The picture as text."""
        parts = ['<?xml version="1.0" encoding="UTF-8"?>\n']
        _write(self.root, parts.append)
        return "".join(parts)


@cache
def _name(key: str) -> str:
    """The attribute that a keyword stands for."""
    return key.rstrip("_").replace("_", "-")


def _write(element: ElementTree.Element, put: Callable[[str], None]) -> None:
    """An element as ``ElementTree.tostring`` writes it, in a fraction of the time: no name of a
    canvas has a namespace of its own, and hardly any value needs escaping."""
    text = element.text
    put(f"<{element.tag}")
    for name, value in element.items():
        put(f' {name}="{escape(value, ENTITIES) if SPECIAL.search(value) else value}"')
    if text or len(element):
        put(">")
        if text:
            put(escape(text))
        for child in element:
            _write(child, put)
        put(f"</{element.tag}>")
    else:
        put(" />")


SPECIAL = re.compile(r'[&<>"\r\n\t]')
ENTITIES = {'"': "&quot;", "\r": "&#13;", "\n": "&#10;", "\t": "&#09;"}


NEAR = 0.005
"""Share of the edge, to each side of a spot on it, by which its direction there is judged."""


def outward(bed: Polygon, spot: tuple[float, float]) -> tuple[float, float]:
    """Unit vector out of a bed at a spot on its edge; at a corner half way between the sides'."""
    import shapely

    edge = bed.exterior
    along, step = edge.project(shapely.Point(spot)), NEAR * edge.length
    before, after = (edge.interpolate((along + s) % edge.length) for s in (-step, step))
    dx, dy = after.x - before.x, after.y - before.y
    long = max(math.hypot(dx, dy), 1e-9)
    return dy / long, -dx / long


def outline_path(shape: BaseGeometry, place: Placing) -> str:
    """Path data of a polygon or several, each ring closed."""
    parts = getattr(shape, "geoms", [shape])
    rings: list[Iterable[tuple[float, ...]]] = []
    for part in parts:
        if part.geom_type == "Polygon" and not part.is_empty:
            rings += [part.exterior.coords, *(r.coords for r in part.interiors)]
    return " ".join(
        "M" + " L".join(f"{number(x)} {number(y)}" for x, y in map(place.spot, ring)) + " Z"
        for ring in rings
    )


class Placing:
    """From the bed's frame (metres, y up) to the sheet (millimetres, y down)."""

    def __init__(self, scale: float, left_m: float, top_m: float, x_mm: float, y_mm: float) -> None:
        self.mm = 1000.0 / scale
        self.left_m, self.top_m, self.x_mm, self.y_mm = left_m, top_m, x_mm, y_mm

    @classmethod
    def at(cls, mm: float, left_m: float, top_m: float, x_mm: float, y_mm: float) -> Placing:
        """As it was, from its attributes (``vars``)."""
        return cls(1000.0 / mm, left_m, top_m, x_mm, y_mm)

    def spot(self, point: tuple[float, ...]) -> tuple[float, float]:
        """A point of the bed on the sheet."""
        return (
            self.x_mm + (float(point[0]) - self.left_m) * self.mm,
            self.y_mm + (self.top_m - float(point[1])) * self.mm,
        )
