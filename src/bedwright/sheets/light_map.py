"""A map of the bed's sun among what stands around it."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Neighbour, Tree
from bedwright.geometry import foot_of, footprint
from bedwright.sheets.light_grid import shade
from bedwright.sheets.light_table import Sunlit
from bedwright.sheets.svg import GREEN, INK, LEAF, PAPER, SOFT, Canvas, Placing, outline_path
from bedwright.units import say_length

Floats = NDArray[np.float64]
GROUND, BUILT = "#eef1ea", "#b7bab5"


def sun_map(lit: Sunlit, fortnights: slice, width_mm: float = 62.0) -> Canvas:
    """Mean hours of direct sun on each patch over some fortnights, with what stands around."""
    hours = lit.light.over(fortnights)
    shapes = [(thing, footprint(lit.outline, thing)) for thing in lit.brief.surroundings]
    window = _window(lit, [shape for _, shape in shapes])
    left, bottom, right, top = window.bounds
    scale = (right - left) * 1000.0 / width_mm
    canvas = Canvas(width_mm, (top - bottom) * 1000.0 / scale, "Sun on the bed")
    place = Placing(scale, left, top, 0.0, 0.0)
    canvas.add("rect", x=0.0, y=0.0, width=width_mm, height=canvas.height, fill=GROUND)
    crowns = [(thing, _crown(lit, thing)) for thing, _ in shapes if isinstance(thing, Tree)]
    for _, crown in crowns:
        canvas.path(outline_path(crown.intersection(window), place), fill=LEAF)
    for thing, shape in shapes:
        if not isinstance(thing, Tree):
            seen = shape.intersection(window)
            canvas.path(outline_path(seen, place), fill=BUILT, stroke=SOFT, stroke_width=0.3)
    shade(canvas, lit, hours, place, "bed")
    for tree, crown in crowns:
        _tree(canvas, foot_of(lit.outline, tree), crown, place, window)
    _hour_marks(canvas, lit, hours, place)
    for thing, shape in shapes:
        _tag(canvas, lit, thing, shape, place, window)
    built = shapely.union_all([shape for _, shape in shapes] + [crown for _, crown in crowns])
    free = _free_corners(window, built)
    _north(canvas, lit, free[0])
    _scale_bar(canvas, lit, place, free[1])
    return canvas


def _window(lit: Sunlit, shapes: list[BaseGeometry]) -> BaseGeometry:
    """What the map shows: the bed, and about it what stands near."""
    x0, y0, x1, y1 = lit.outline.polygon.bounds
    span = max(x1 - x0, y1 - y0)
    gaps = [shape.distance(lit.outline.polygon) for shape in shapes]
    near = [gap for gap in gaps if gap < 2.5 * span]
    margin = float(np.clip(max(near, default=0.0) + 0.3 * span, 0.3 * span, 1.8 * span))
    return shapely.box(x0 - margin, y0 - margin, x1 + margin, y1 + margin)


def _crown(lit: Sunlit, tree: Tree) -> BaseGeometry:
    return Point(foot_of(lit.outline, tree)).buffer(tree.spread / 2)


def _tree(
    canvas: Canvas,
    foot: tuple[float, float],
    crown: BaseGeometry,
    place: Placing,
    window: BaseGeometry,
) -> None:
    """A trunk, and the crown's rim as far as it is on the map."""
    rim = crown.boundary.intersection(window)
    for line in shapely.get_parts(shapely.line_merge(rim)):
        points = " ".join(f"{a:.2f},{b:.2f}" for a, b in map(place.spot, line.coords))
        canvas.add("polyline", points=points, fill="none", stroke=GREEN, stroke_width=0.45,
                   stroke_dasharray="1.6 1")  # fmt: skip
    if window.covers(Point(foot)):
        a, b = place.spot(foot)
        canvas.add("circle", cx=a, cy=b, r=1.1, fill=GREEN)


def _tag(
    canvas: Canvas,
    lit: Sunlit,
    thing: Neighbour,
    shape: BaseGeometry,
    place: Placing,
    window: BaseGeometry,
) -> None:
    """The name of a thing, on it or at the rim nearest to it, kept inside the picture."""
    seen = shape.intersection(window)
    spot = foot_of(lit.outline, thing)
    beyond = seen.is_empty
    if not beyond and not isinstance(thing, Tree):
        point = seen.representative_point()
        spot = (float(point.x), float(point.y))
    words = thing.name or thing.kind
    if beyond:
        gap = shape.distance(Point(lit.outline.middle))
        words += f", {say_length(round(gap), lit.brief.units)} off"
    x, y = place.spot(spot)
    if isinstance(thing, Tree) and not beyond:
        rim = thing.spread / 2 * place.mm
        y += rim + 2.2 if rim < 8.0 else 4.0
    half = 0.62 * len(words)
    x = min(max(x, half + 1.0), canvas.width - half - 1.0)
    y = min(max(y + 1.0, 3.8), canvas.height - 1.8)
    canvas.text((x, y), words, 2.7, text_anchor="middle", stroke=GROUND, stroke_width=0.8,
                paint_order="stroke")  # fmt: skip


def _hour_marks(canvas: Canvas, lit: Sunlit, hours: Floats, place: Placing) -> None:
    """The hours in figures on a few spread-out cells, well inside the bed."""
    cells = lit.light.cells
    inside = shapely.distance(shapely.points(cells), lit.outline.polygon.boundary)
    x0, y0, x1, y1 = lit.outline.polygon.bounds
    room = 2.4 / place.mm
    digits = 1 if np.ptp(hours) < 2.0 else 0
    taken: list[np.ndarray] = []
    for fx in (0.2, 0.5, 0.8):
        for fy in (0.25, 0.75):
            goal = np.array([x0 + fx * (x1 - x0), y0 + fy * (y1 - y0)])
            k = int(np.argmin(((cells - goal) ** 2).sum(axis=1) + 9.0 * (inside < room)))
            if any(np.linalg.norm(cells[k] - other) < 9.0 / place.mm for other in taken):
                continue
            taken.append(cells[k])
            a, b = place.spot((float(cells[k, 0]), float(cells[k, 1])))
            canvas.text(
                (a, b + 1),
                f"{hours[k]:.{digits}f} h",
                2.8,
                text_anchor="middle",
                font_weight="bold",
                fill=PAPER if hours[k] < 4.5 else INK,
            )


def _free_corners(window: BaseGeometry, built: BaseGeometry) -> list[tuple[bool, bool]]:
    """Corners of the map, (right, top), those with the least in them first."""
    x0, y0, x1, y1 = window.bounds
    wide, high = (x1 - x0) * 0.22, (y1 - y0) * 0.16

    def taken(corner: tuple[bool, bool]) -> float:
        x, y = x1 - wide if corner[0] else x0, y1 - high if corner[1] else y0
        return float(shapely.box(x, y, x + wide, y + high).intersection(built).area)

    return sorted([(True, True), (False, False), (False, True), (True, False)], key=taken)


def _north(canvas: Canvas, lit: Sunlit, corner: tuple[bool, bool]) -> None:
    """An arrow to the north with its letter."""
    dx, dy = lit.outline.toward(0.0)
    turn = math.degrees(math.atan2(dx, dy))
    x = canvas.width - 7.0 if corner[0] else 7.0
    y = 7.0 if corner[1] else canvas.height - 8.5
    canvas.open(transform=f"translate({x:.2f} {y:.2f}) rotate({turn:.1f}) scale(0.6)")
    canvas.path("M0 -6 L2 4 L0 2.6 L-2 4 Z", fill=INK)
    canvas.close()
    canvas.text((x + 5.2 * dx, y - 5.2 * dy + 0.9), "N", 2.6, text_anchor="middle",
                font_weight="bold")  # fmt: skip


def _scale_bar(canvas: Canvas, lit: Sunlit, place: Placing, corner: tuple[bool, bool]) -> None:
    """A bar of a round length, a fifth of the picture or less."""
    us = lit.brief.units == "us"
    unit = 0.3048 if us else 1.0
    most = 0.2 * canvas.width / place.mm / unit
    step = max((s for s in (0.5, 1, 2, 5, 10, 20, 50, 100) if s <= most), default=0.25)
    length = step * unit * place.mm
    x = canvas.width - 3.0 - length if corner[0] else 3.0
    y = 6.5 if corner[1] else canvas.height - 3.0
    canvas.path(f"M{x:.2f} {y - 1:.2f} v1 h{length:.2f} v-1", fill="none", stroke=INK,
                stroke_width=0.35)  # fmt: skip
    canvas.text((x + length / 2, y - 1.4), f"{step:g} {'ft' if us else 'm'}", 2.4,
                text_anchor="middle")  # fmt: skip
