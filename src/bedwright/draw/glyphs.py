"""Plants seen from above: one drawing for each form of flower, told apart without colour.

Each is drawn in a circle of radius 1 about the origin, in ``fill`` the flower's colour and ``edge``
a darker line.  Which form gets which drawing is our own choice.
"""

from __future__ import annotations

import math
from typing import Any

from bedwright.catalogue import ColourForm, Kind
from bedwright.draw.svg import Canvas


def symbol_of(title: str, kind: Kind, colour: ColourForm, variant: int = 0) -> Canvas:
    """A colour form's symbol as a drawing of its own, 10 mm square."""
    canvas = Canvas(10.0, 10.0, title, f"{kind.name}, {colour.name}.")
    canvas.open(transform="translate(5 5) scale(4.7)")
    plant_symbol(canvas, kind.form.flower_form, colour.srgb, shade(colour.srgb, 0.55), variant)
    canvas.close()
    return canvas


def plant_symbol(canvas: Canvas, form: str, fill: str, edge: str, variant: int = 0) -> None:
    """Draw one plant of a flower form into the group that is open.

    ``variant``: tells kinds of the same form apart by an eye, a ring, or both.
    """
    style: dict[str, Any] = {"fill": fill, "stroke": edge, "stroke_width": 0.07}
    _DRAW.get(form, _cluster)(canvas, style, edge)
    if variant % 4 in (1, 3):
        canvas.add("circle", r=0.36, fill="#ffffff", stroke=edge, stroke_width=0.09)
        canvas.add("circle", r=0.1, fill=edge)
    if variant % 4 in (2, 3):
        canvas.add("circle", r=1.0, fill="none", stroke=edge, stroke_width=0.1)


def _daisy(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    petals = "".join(_petal(k * 45.0, 0.98, 0.30) for k in range(8))
    canvas.path(petals, **style)
    canvas.add("circle", r=0.27, fill=edge)


def _petal(turn: float, long: float, wide: float) -> str:
    """A pointed oval from the middle outward."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def at(along: float, across: float) -> str:
        return f"{along * c - across * s:.3f} {along * s + across * c:.3f}"

    half = 0.55 * long
    out = f"C{at(half, wide)} {at(long, wide)} {at(long, 0)}"
    return f"M0 0 {out} C{at(long, -wide)} {at(half, -wide)} 0 0 Z"


def _spike(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    points = []
    for k in range(24):
        reach = 0.98 if k % 2 == 0 else 0.52
        angle = math.radians(k * 15.0)
        points.append(f"{reach * math.cos(angle):.3f},{reach * math.sin(angle):.3f}")
    canvas.add("polygon", points=" ".join(points), **style)
    canvas.add("circle", r=0.16, fill=edge)


def _ball(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    canvas.add("circle", r=0.92, **style)
    for r in (0.66, 0.42, 0.19):
        canvas.add("circle", r=r, fill="none", stroke=edge, stroke_width=0.07)


def _plume(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    canvas.path("".join(_petal(k * 60.0, 0.98, 0.42) for k in range(6)), **style)
    for k in range(6):
        angle = math.radians(k * 60.0)
        canvas.line(
            (0, 0), (0.7 * math.cos(angle), 0.7 * math.sin(angle)), stroke=edge, stroke_width=0.06
        )


def _cluster(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    canvas.add("circle", r=0.34, **style)
    for k in range(7):
        angle = math.radians(k * 360.0 / 7)
        canvas.add("circle", cx=0.64 * math.cos(angle), cy=0.64 * math.sin(angle), r=0.3, **style)


def _cup(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    for k in range(4):
        angle = math.radians(45.0 + k * 90.0)
        canvas.add("circle", cx=0.4 * math.cos(angle), cy=0.4 * math.sin(angle), r=0.55, **style)
    canvas.add("circle", r=0.2, fill=edge)


def _trumpet(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    points = []
    for k in range(60):
        angle = math.radians(k * 6.0)
        reach = 0.84 + 0.12 * math.cos(5 * angle)
        points.append(f"{reach * math.cos(angle):.3f},{reach * math.sin(angle):.3f}")
    canvas.add("polygon", points=" ".join(points), **style)
    for k in range(5):
        angle = math.radians(k * 72.0)
        canvas.line(
            (0.12 * math.cos(angle), 0.12 * math.sin(angle)),
            (0.6 * math.cos(angle), 0.6 * math.sin(angle)),
            stroke=edge,
            stroke_width=0.07,
        )


def _star(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    points = []
    for k in range(10):
        reach = 0.98 if k % 2 == 0 else 0.44
        angle = math.radians(k * 36.0 - 90.0)
        points.append(f"{reach * math.cos(angle):.3f},{reach * math.sin(angle):.3f}")
    canvas.add("polygon", points=" ".join(points), **style)
    canvas.add("circle", r=0.15, fill=edge)


def _bell(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    canvas.add("rect", x=-0.78, y=-0.78, width=1.56, height=1.56, rx=0.5, **style)
    canvas.add("circle", r=0.42, fill="none", stroke=edge, stroke_width=0.08)


def _foliage(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    canvas.path("".join(_petal(k * 72.0 - 90.0, 0.98, 0.5) for k in range(5)), **style)
    for k in range(5):
        angle = math.radians(k * 72.0 - 90.0)
        canvas.line(
            (0, 0), (0.85 * math.cos(angle), 0.85 * math.sin(angle)), stroke=edge, stroke_width=0.05
        )


def _lace(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    canvas.add("circle", r=0.92, fill="none", stroke=edge, stroke_width=0.06)
    for reach, count in ((0.0, 1), (0.36, 6), (0.72, 11)):
        for k in range(count):
            angle = math.radians(k * 360.0 / count)
            canvas.add(
                "circle", cx=reach * math.cos(angle), cy=reach * math.sin(angle), r=0.15, **style
            )


def _pea(canvas: Canvas, style: dict[str, Any], edge: str) -> None:
    for x in (-0.42, 0.42):
        canvas.add("ellipse", cx=x, cy=-0.16, rx=0.5, ry=0.72, **style)
    canvas.add("ellipse", cx=0.0, cy=0.42, rx=0.34, ry=0.46, **style)


_DRAW = {
    "daisy": _daisy,
    "spike": _spike,
    "ball": _ball,
    "plume": _plume,
    "cluster": _cluster,
    "cup": _cup,
    "trumpet": _trumpet,
    "star": _star,
    "bell": _bell,
    "foliage": _foliage,
    "lace": _lace,
    "pea": _pea,
}


def shade(srgb: str, factor: float) -> str:
    """A colour made darker (factor below 1) or mixed with white (above 1, up to 2)."""
    parts = [int(srgb[k : k + 2], 16) for k in (1, 3, 5)]
    if factor <= 1:
        mixed = [round(v * factor) for v in parts]
    else:
        mixed = [round(v + (255 - v) * (factor - 1)) for v in parts]
    return "#" + "".join(f"{v:02x}" for v in mixed)
