"""A map of the bed's sun among what stands around it."""

from __future__ import annotations

import math
import textwrap
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Building, Neighbour, Tree
from bedwright.draw.labels import Labels
from bedwright.draw.light_grid import Grid, shade
from bedwright.draw.svg import GREEN, INK, LEAF, SOFT, Canvas, Placing, outline_path
from bedwright.geometry import foot_of, footprint, walls_of
from bedwright.light import LEAST_H, roof_lines
from bedwright.report import Sunlit, compass_point, height_words, say_far
from bedwright.units import FOOT_M

Floats = NDArray[np.float64]
GROUND, BUILT = "#e3e8dd", "#b3b6b0"
TALLEST, FLATTEST = 1.05, 0.75
"""Height of the map, at most and at least, as a share of its width."""
FIGURES = 6
"""Hours written on the bed at most."""
ROOMY_MM = 80.0
"""Maps wider than this have room for heights beside names, and for a mark on the bed's middle."""


def _words(lit: Sunlit, hours: NDArray[np.floating]) -> str:
    """The map in words."""
    low, middle, high = np.quantile(hours, [0.0, 0.5, 1.0])
    around = [thing.name or thing.kind for thing in lit.brief.surroundings]
    what = f" Around it: {', '.join(around)}." if around else ""
    return (
        f"Map of the hours of direct sun a day: {low:.1f} where it is shadiest, {high:.1f} where it"
        f" is sunniest; half of the bed has more than {middle:.1f}.{what}"
    )


def sun_map(lit: Sunlit, fortnights: slice, width_mm: float = 62.0) -> Canvas:
    """Mean hours of direct sun on each patch over some fortnights, with what stands around."""
    hours = lit.light.over(fortnights)
    shapes = [(thing, footprint(lit.outline, thing)) for thing in lit.brief.surroundings]
    crowns = [(thing, _crown(lit, thing)) for thing, _ in shapes if isinstance(thing, Tree)]
    window = _window(lit, [*(s for _, s in shapes), *(c for _, c in crowns)])
    left, bottom, right, top = window.bounds
    scale = (right - left) * 1000.0 / width_mm
    canvas = Canvas(width_mm, (top - bottom) * 1000.0 / scale, "Sun on the bed",
                    _words(lit, hours))  # fmt: skip
    place = Placing(scale, left, top, 0.0, 0.0)
    canvas.add("rect", x=0.0, y=0.0, width=width_mm, height=canvas.height, fill=GROUND)
    for _, crown in crowns:
        canvas.path(outline_path(crown.intersection(window), place), fill=LEAF)
    for thing, shape in shapes:
        if not isinstance(thing, Tree):
            canvas.path(outline_path(shape.intersection(window), place), fill=BUILT)
            _lines(canvas, shape.boundary, place, window, stroke=SOFT, stroke_width=0.3)
        if isinstance(thing, Building) and thing.roof_shape != "flat":
            for line in _roof(lit, thing):
                _lines(canvas, line, place, window, stroke=SOFT, stroke_width=0.2)
    shade(canvas, lit, hours, place, "bed")
    for tree, crown in crowns:
        _lines(canvas, crown.boundary, place, window, stroke=GREEN, stroke_width=0.45,
               stroke_dasharray="1.6 1")  # fmt: skip
        foot = foot_of(lit.outline, tree)
        if window.covers(Point(foot)):
            a, b = place.spot(foot)
            canvas.add("circle", cx=a, cy=b, r=1.1, fill=GREEN)
    if width_mm > ROOMY_MM:
        _middle(canvas, lit, place)
    labels = Labels(canvas, GROUND)
    rims = [crown.boundary.buffer(0.5 / place.mm) for _, crown in crowns]
    built = shapely.union_all([*(shape for _, shape in shapes), *rims])
    _north(canvas, lit, labels, window, built)
    _scale_bar(canvas, lit, place, labels, window, built)
    x0, y0, x1, y1 = lit.outline.polygon.bounds
    (a, d), (c, b) = place.spot((x0, y0)), place.spot((x1, y1))
    _figures(labels, lit, hours, place)
    labels.keep_free((a, b, c, d), 0.6)
    for tree, _ in crowns:
        a, b = place.spot(foot_of(lit.outline, tree))
        labels.keep_free((a - 1.3, b - 1.3, a + 1.3, b + 1.3))
    for thing, shape in shapes:
        _tag(labels, lit, thing, shape, place, window)
    return canvas


def _window(lit: Sunlit, shapes: list[BaseGeometry]) -> BaseGeometry:
    """What the map shows: the bed, and about it what stands near, whole if it is not too large."""
    x0, y0, x1, y1 = lit.outline.polygon.bounds
    span = max(x1 - x0, y1 - y0)
    inner = np.array([x0, y0, x1, y1]) + 0.35 * span * np.array([-1, -1, 1, 1])
    outer = np.array([x0, y0, x1, y1]) + 2.0 * span * np.array([-1, -1, 1, 1])
    for shape in shapes:
        if shape.distance(lit.outline.polygon) < 2.2 * span:
            near = np.array(shape.bounds) + 0.08 * span * np.array([-1, -1, 1, 1])
            inner[:2] = np.minimum(inner[:2], np.maximum(near[:2], outer[:2]))
            inner[2:] = np.maximum(inner[2:], np.minimum(near[2:], outer[2:]))
    wide, high = inner[2:] - inner[:2]
    if high > TALLEST * wide:
        inner += (high / TALLEST - wide) / 2 * np.array([-1, 0, 1, 0])
    elif high < FLATTEST * wide:
        inner += (FLATTEST * wide - high) / 2 * np.array([0, -1, 0, 1])
    return shapely.box(*inner)


def _crown(lit: Sunlit, tree: Tree) -> BaseGeometry:
    return Point(foot_of(lit.outline, tree)).buffer(tree.spread / 2)


def _roof(lit: Sunlit, house: Building) -> list[BaseGeometry]:
    """Ridges and hips."""
    along = house.ridge_runs
    toward = None if along is None else np.array(lit.outline.toward(along))
    walls = walls_of(lit.outline, house)
    return [LineString(line) for line in roof_lines(walls, house.roof_shape == "hip", toward)]


def _lines(
    canvas: Canvas, lines: BaseGeometry, place: Placing, window: BaseGeometry, **style: Any
) -> None:
    """Lines as far as they lie on the map."""
    seen = shapely.line_merge(shapely.multilinestrings(
        [p for p in shapely.get_parts(lines.intersection(window)) if isinstance(p, LineString)]
    ))  # fmt: skip
    for line in shapely.get_parts(seen):
        points = " ".join(f"{a:.2f},{b:.2f}" for a, b in map(place.spot, line.coords))
        canvas.add("polyline", points=points, fill="none", **style)


def _middle(canvas: Canvas, lit: Sunlit, place: Placing) -> None:
    """A small cross on the bed's middle, from which distances are paced."""
    a, b = place.spot(lit.outline.middle)
    canvas.path(f"M{a - 1:.2f} {b:.2f} h2 M{a:.2f} {b - 1:.2f} v2", stroke=INK, stroke_width=0.25)


def _figures(labels: Labels, lit: Sunlit, hours: Floats, place: Placing) -> None:
    """Hours in figures: on the sunniest and the shadiest patch, and on others far from those."""
    cells = lit.light.cells
    wide, high = 4.8 / place.mm, 1.9 / place.mm
    x, y = cells.T
    boxes = shapely.box(x - wide, y - high, x + wide, y + high)
    off_middle = np.linalg.norm(cells - lit.outline.middle, axis=1) * place.mm > 5.0
    roomy = np.flatnonzero(shapely.covers(lit.outline.polygon, boxes) & off_middle)
    cramped = not len(roomy)
    if cramped:
        gap = shapely.distance(shapely.points(cells), lit.outline.polygon.boundary)
        roomy = np.array([int(np.argmax(gap))])
    # Figures are wider than high: what lies above or below counts as farther off.
    spread = cells[roomy] * place.mm * np.array([1.0, 2.6])
    chosen = [int(np.argmax(hours[roomy])), int(np.argmin(hours[roomy]))]
    if np.linalg.norm(spread[chosen[0]] - spread[chosen[1]]) < 11.0:
        del chosen[1]
    while len(chosen) < FIGURES:
        gaps = np.min([np.linalg.norm(spread - spread[k], axis=1) for k in chosen], axis=0)
        if gaps.max() < 16.0:
            break
        chosen.append(int(np.argmax(gaps)))
    chosen = [int(roomy[k]) for k in chosen]
    for k in chosen:
        at = place.spot((float(cells[k, 0]), float(cells[k, 1])))
        pale = cramped or hours[k] >= 3.0
        labels.put(
            at,
            [f"{hours[k]:.1f} h"],
            2.7,
            0.0,
            font_weight="bold",
            fill=INK if pale else "#ffffff",
            stroke="#f2ead0" if cramped else "none",
        )
    grid = Grid(cells, hours)
    for bound in LEAST_H[:-1]:
        lines = [line for line in grid.lines(bound) if np.ptp(line, axis=0).max() * place.mm > 14.0]
        for line in lines[:1]:
            spot = line[len(line) // 2]
            labels.put(place.spot((float(spot[0]), float(spot[1]))), [f"{bound:g} h"], 2.1, 8.0,
                       stroke="#f2ead0", font_style="italic")  # fmt: skip


def _tag(
    labels: Labels,
    lit: Sunlit,
    thing: Neighbour,
    shape: BaseGeometry,
    place: Placing,
    window: BaseGeometry,
) -> None:
    """Name and height of a thing, on it; or at the rim of the map toward it, how far and where."""
    units = lit.brief.units
    words = textwrap.wrap(thing.name or thing.kind, 22)
    if shape.intersection(window).is_empty:
        (mx, my), (x, y) = lit.outline.middle, foot_of(lit.outline, thing)
        ray = LineString([(mx, my), (x, y)]).intersection(window)
        bearing = compass_point(lit.outline.compass_of(x - mx, y - my))
        spot = ray.coords[-1] if isinstance(ray, LineString) and not ray.is_empty else (mx, my)
        words.append(f"{say_far(math.hypot(x - mx, y - my), units)} {bearing}")
        labels.put(place.spot(spot), words)
        return
    if labels.canvas.width > ROOMY_MM:
        words.append(height_words(thing, units))
    if isinstance(thing, Tree):
        x, y = place.spot(foot_of(lit.outline, thing))
        rim = thing.spread / 2 * place.mm
        labels.put((x, y + (rim + 2.2 if rim < 8.0 else 4.2)), words)
        return
    point = shape.intersection(window).representative_point()
    labels.put(place.spot((float(point.x), float(point.y))), words)


def _free_corners(window: BaseGeometry, built: BaseGeometry) -> list[tuple[bool, bool]]:
    """Corners of the map, (right, top), those with the least in them first."""
    x0, y0, x1, y1 = window.bounds
    wide, high = (x1 - x0) * 0.2, (y1 - y0) * 0.18

    def taken(corner: tuple[bool, bool]) -> float:
        x, y = x1 - wide if corner[0] else x0, y1 - high if corner[1] else y0
        return float(shapely.box(x, y, x + wide, y + high).intersection(built).area)

    return sorted([(True, True), (False, False), (False, True), (True, False)], key=taken)


def _north(
    canvas: Canvas, lit: Sunlit, labels: Labels, window: BaseGeometry, built: BaseGeometry
) -> None:
    """An arrow to the north with its letter, in the freest corner."""
    right, top = _free_corners(window, built)[0]
    dx, dy = lit.outline.toward(0.0)
    turn = math.degrees(math.atan2(dx, dy))
    x = canvas.width - 7.0 if right else 7.0
    y = 7.0 if top else canvas.height - 8.5
    canvas.open(transform=f"translate({x:.2f} {y:.2f}) rotate({turn:.1f}) scale(0.6)")
    canvas.path("M0 -6 L2 4 L0 2.6 L-2 4 Z", fill=INK)
    canvas.close()
    canvas.text((x + 5.2 * dx, y - 5.2 * dy + 0.9), "N", 2.6, text_anchor="middle",
                font_weight="bold")  # fmt: skip
    labels.keep_free((x - 6.5, y - 6.5, x + 6.5, y + 6.5))


def _scale_bar(
    canvas: Canvas,
    lit: Sunlit,
    place: Placing,
    labels: Labels,
    window: BaseGeometry,
    built: BaseGeometry,
) -> None:
    """A bar of a round length, a fifth of the picture or less, in the next freest corner."""
    right, top = _free_corners(window, built)[1]
    us = lit.brief.units == "us"
    unit = FOOT_M if us else 1.0
    most = 0.2 * canvas.width / place.mm / unit
    step = max(
        (s for s in (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100) if s <= most), default=0.02
    )
    length = step * unit * place.mm
    x = canvas.width - 3.0 - length if right else 3.0
    y = 6.5 if top else canvas.height - 3.0
    canvas.path(f"M{x:.2f} {y - 1:.2f} v1 h{length:.2f} v-1", fill="none", stroke=INK,
                stroke_width=0.35)  # fmt: skip
    canvas.text((x + length / 2, y - 1.4), f"{step:g} {'ft' if us else 'm'}", 2.4,
                text_anchor="middle")  # fmt: skip
    labels.keep_free((x - 1, y - 5, x + length + 1, y + 1))
