"""Charts of the pack: when each kind is sown, goes out and blooms; the sun on the bed."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Neighbour, Tree
from bedwright.geometry import footprint
from bedwright.light import exposure
from bedwright.plan import Plan
from bedwright.season import Season
from bedwright.sheets.glyphs import shade
from bedwright.sheets.svg import FAINT, GREEN, INK, PAPER, SOFT, Canvas, Placing, outline_path
from bedwright.units import say_length

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def months_of(season: Season) -> list[tuple[int, str]]:
    """First index of each month of the growing year, and its name."""
    start = season.start.month - 1
    lengths = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    out, index = [], 0
    for n in range(12):
        month = (start + n) % 12
        out.append((index, MONTHS[month]))
        index += lengths[month]
    return out


def bloom_chart(plan: Plan, width_mm: float = 176.0) -> Canvas:
    """A row for each item: sown, set out, and the odds of bloom fortnight by fortnight."""
    items = plan.planting.items
    left, row, top = 44.0, 6.4, 9.0
    canvas = Canvas(width_mm, top + row * len(items) + 7.0, "When each kind flowers")
    first = min(0, min(i.candidate.course.sow for i in items))
    mm = (width_mm - left - 2.0) / (365 - first)

    def at(day: float) -> float:
        return left + (day - first) * mm

    bottom = top + row * len(items)
    for index, name in months_of(plan.season):
        canvas.line((at(index), top - 2), (at(index), bottom), stroke=FAINT, stroke_width=0.2)
        canvas.text((at(index) + 1, top - 3), name, 2.7, fill=SOFT)
    if first < -45:
        canvas.text((at(first), top - 3), "before", 2.7, fill=SOFT)
    for spring in (True, False):
        day = plan.season.freeze(spring).day_at(0.5)
        if day is not None:
            canvas.line(
                (at(day), top - 1),
                (at(day), bottom),
                stroke="#3f6fa8",
                stroke_width=0.35,
                stroke_dasharray="1.2 0.8",
            )
            word = "last freeze, even odds" if spring else "first freeze, even odds"
            canvas.text((at(day), bottom + 4.2), word, 2.4, fill="#3f6fa8", text_anchor="middle")
    for n, item in enumerate(items):
        y = top + n * row
        course, colour = item.candidate.course, item.candidate.colour.srgb
        canvas.text((1.5, y + 4.2), item.letter, 3.2, font_weight="bold")
        canvas.text((7, y + 4.2), _short(item.candidate.kind.name), 2.9)
        canvas.line(
            (at(course.sow), y + 3.2), (at(course.out), y + 3.2), stroke=SOFT, stroke_width=0.45
        )
        canvas.add(
            "circle",
            cx=at(course.sow),
            cy=y + 3.2,
            r=0.9,
            fill=PAPER,
            stroke=INK,
            stroke_width=0.35,
        )
        canvas.path(f"M{at(course.out) - 1.1:.2f} {y + 4.4:.2f} h2.2 l-1.1 -2.4 Z", fill=INK)
        for f, odds in enumerate(course.bloom.odds):
            if odds >= 0.05 and not item.candidate.kind.is_foliage:
                tall = 1.0 + 3.6 * float(odds)
                canvas.add(
                    "rect",
                    x=at(f * 14),
                    y=y + 3.2 - tall / 2,
                    width=14 * mm,
                    height=tall,
                    fill=colour,
                    stroke=shade(colour, 0.55),
                    stroke_width=0.15,
                )
    return canvas


def _short(name: str) -> str:
    return name if len(name) <= 24 else name[:23] + "…"


def sun_map(plan: Plan, width_mm: float = 62.0) -> Canvas:
    """Hours of direct sun on each patch over the season, with what stands around."""
    hours = plan.light.over(_season_slice(plan))
    x0, y0, x1, y1 = plan.outline.polygon.bounds
    shapes = [(thing, footprint(plan.outline, thing)) for thing in plan.brief.surroundings]
    span = max(x1 - x0, y1 - y0)
    nearest = max((shape.distance(plan.outline.polygon) for _, shape in shapes), default=0.0)
    margin = float(np.clip(nearest + 0.12 * span, 0.3 * span, 1.2 * span))
    window = shapely.box(x0 - margin, y0 - margin, x1 + margin, y1 + margin)
    left, bottom, right, top = window.bounds
    scale = (right - left) * 1000.0 / width_mm
    canvas = Canvas(width_mm, (top - bottom) * 1000.0 / scale, "Sun on the bed")
    place = Placing(scale, left, top, 0.0, 0.0)
    canvas.add("rect", x=0.0, y=0.0, width=width_mm, height=canvas.height, fill="#eef1ea")
    for thing, shape in shapes:
        if thing.kind != "tree":
            seen = shape.intersection(window)
            canvas.path(outline_path(seen, place), fill="#b7bab5", stroke=SOFT, stroke_width=0.3)
    side = plan.light.step_m * place.mm * 1.15
    for (x, y), value in zip(plan.light.cells, hours, strict=True):
        a, b = place.spot((float(x), float(y)))
        canvas.add(
            "rect",
            x=a - side / 2,
            y=b - side / 2,
            width=side,
            height=side,
            fill=_grey(float(value)),
        )
    canvas.path(
        outline_path(plan.outline.polygon, place), fill="none", stroke=INK, stroke_width=0.5
    )
    for thing, _ in shapes:
        if isinstance(thing, Tree):
            _tree(canvas, thing, plan, place, window)
    _hour_marks(canvas, plan, hours, place)
    for thing, shape in shapes:
        _tag(canvas, plan, thing, shape, place, window)
    dx, dy = plan.outline.toward(0.0)
    turn = math.degrees(math.atan2(dx, dy))
    canvas.open(transform=f"translate({width_mm - 7:.2f} 8) rotate({turn:.1f}) scale(0.7)")
    canvas.path("M0 -6 L2 4 L0 2.6 L-2 4 Z", fill=INK)
    canvas.close()
    return canvas


def _season_slice(plan: Plan) -> slice:
    windows = [i.candidate.course.window for i in plan.planting.items]
    return slice(min(w.start for w in windows), max(w.stop for w in windows))


def _grey(hours: float) -> str:
    """Dark for shade to pale yellow for full sun, even steps in lightness."""
    share = min(hours / 10.0, 1.0)
    low, high = (92, 96, 104), (255, 240, 190)
    return "#" + "".join(
        f"{round(a + (b - a) * share):02x}" for a, b in zip(low, high, strict=True)
    )


def _tree(canvas: Canvas, tree: Tree, plan: Plan, place: Placing, window: BaseGeometry) -> None:
    """A trunk, and the crown's rim as far as it is on the map."""
    x, y = plan.outline.paced(tree.bearing, tree.distance)
    rim = shapely.Point(x, y).buffer(tree.spread / 2).exterior.intersection(window)
    for line in shapely.get_parts(shapely.line_merge(rim)):
        points = " ".join(f"{a:.2f},{b:.2f}" for a, b in map(place.spot, line.coords))
        canvas.add(
            "polyline",
            points=points,
            fill="none",
            stroke=GREEN,
            stroke_width=0.45,
            stroke_dasharray="1.6 1",
        )
    if window.covers(shapely.Point(x, y)):
        a, b = place.spot((x, y))
        canvas.add("circle", cx=a, cy=b, r=1.1, fill=GREEN)


def _tag(
    canvas: Canvas,
    plan: Plan,
    thing: Neighbour,
    shape: BaseGeometry,
    place: Placing,
    window: BaseGeometry,
) -> None:
    """The name of a thing, on it or at the rim nearest to it, kept inside the picture."""
    seen = shape.intersection(window)
    spot = plan.outline.paced(thing.bearing, thing.distance)
    beyond = seen.is_empty
    if not beyond and thing.kind != "tree":
        point = seen.representative_point()
        spot = (float(point.x), float(point.y))
    words = thing.name or thing.kind
    if beyond:
        words += f", {say_length(thing.distance, plan.brief.units)} off"
    x, y = place.spot(spot)
    if thing.kind == "tree" and not beyond:
        y += 4.0
    half = 0.62 * len(words)
    x = min(max(x, half + 1.0), canvas.width - half - 1.0)
    y = min(max(y + 1.0, 3.8), canvas.height - 1.8)
    canvas.text(
        (x, y),
        words,
        2.7,
        text_anchor="middle",
        fill=INK,
        stroke="#eef1ea",
        stroke_width=0.8,
        paint_order="stroke",
    )


def _hour_marks(canvas: Canvas, plan: Plan, hours: np.ndarray, place: Placing) -> None:
    """The hours in figures on a few spread-out cells, well inside the bed."""
    cells = plan.light.cells
    inside = shapely.distance(shapely.points(cells), plan.outline.polygon.boundary)
    x0, y0, x1, y1 = plan.outline.polygon.bounds
    room = 2.4 / place.mm
    taken: list[np.ndarray] = []
    for fx in (0.2, 0.5, 0.8):
        for fy in (0.25, 0.75):
            goal = np.array([x0 + fx * (x1 - x0), y0 + fy * (y1 - y0)])
            k = int(np.argmin(((cells - goal) ** 2).sum(axis=1) + 9.0 * (inside < room)))
            if any(np.linalg.norm(cells[k] - other) < 8.0 / place.mm for other in taken):
                continue
            taken.append(cells[k])
            a, b = place.spot((float(cells[k, 0]), float(cells[k, 1])))
            canvas.text(
                (a, b + 1),
                f"{hours[k]:.0f} h",
                2.8,
                text_anchor="middle",
                font_weight="bold",
                fill=PAPER if hours[k] < 4.5 else INK,
            )


def sun_rows(plan: Plan) -> list[tuple[str, float, float, float, str]]:
    """Month, least, median and most hours of direct sun on the bed, and the median's exposure."""
    rows = []
    for index, _ in months_of(plan.season):
        name = f"{plan.season.day(index + 15):%B}"
        f = min((index + 15) // 14, 25)
        low, middle, high = np.quantile(plan.light.hours[f], [0.0, 0.5, 1.0])
        rows.append((name, float(low), float(middle), float(high), exposure(float(middle))))
    return rows
