"""The planting drawing: the bed to scale, every plant in its place, measured from the base line."""

from __future__ import annotations

import math

import numpy as np
import shapely

from bedwright.draw.glyphs import plant_symbol, shade
from bedwright.draw.svg import (
    FAINT,
    GREEN,
    INK,
    LEAF,
    PAPER,
    SOFT,
    Canvas,
    Placing,
    outline_path,
    outward,
)
from bedwright.geometry import cells_in
from bedwright.plan import Plan
from bedwright.planting import Drift, Item
from bedwright.units import FOOT_M, System, long_measure, say_area, say_length

SCALES = {
    "metric": (5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 250, 500, 1000),
    "us": (4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 384, 768),
}
"""Drawing scales: rounded ratios, or inches to the foot (1:24 is half an inch to the foot)."""

MARGIN_MM = 24.0
AXIS_MM = 8.0
"""Gap from the bed to its measuring lines; stake numbers and edging letters stand in it."""

DISC_MM = 2.5
KEY_MM = 84.0
KEY_LETTERS = 46
"""Letters that the first line of a row of the key has room for."""
KEY_ROW_MM = 9.0
KEY_REST_MM = 44.0


def best_scale(plan: Plan, width_mm: float, height_mm: float) -> int:
    """Largest usual scale at which the bed, with its margins, fits."""
    x0, y0, x1, y1 = plan.outline.polygon.bounds
    for scale in SCALES[plan.brief.units]:
        if (x1 - x0) * 1000 / scale <= width_mm - 2 * MARGIN_MM and (
            y1 - y0
        ) * 1000 / scale <= height_mm - 2 * MARGIN_MM:
            return scale
    return SCALES[plan.brief.units][-1]


def say_scale(scale: int, units: str) -> str:
    """``1 : 20``, or ``1/2 in = 1 ft (1 : 24)``."""
    if units != "us":
        return f"1 : {scale}"
    inches = 12 / scale
    return f"{_FRACTIONS.get(inches, f'{inches:.3g}')} in = 1 ft (1 : {scale})"


_FRACTIONS = {
    3.0: "3",
    2.0: "2",
    1.5: "1 1/2",
    1.0: "1",
    0.75: "3/4",
    0.5: "1/2",
    0.375: "3/8",
    0.25: "1/4",
    0.1875: "3/16",
    0.125: "1/8",
    0.09375: "3/32",
    0.0625: "1/16",
}


DRILL = "#8a7a5c"
WIDTH_OF_LETTER = 0.58
"""Mean width of a letter of the drawing's face, in sizes."""


PAGE_MM = (188.0, 185.0)
"""Room for the bed in the free-standing drawing: with the key beside it, it fits A4 and Letter."""


def page_drawing(plan: Plan) -> Canvas:
    """The bed with its key, to the largest scale that fits a page."""
    return planting_drawing(plan, best_scale(plan, *PAGE_MM))


def planting_drawing(plan: Plan, scale: int, key: bool = True) -> Canvas:
    """The bed seen from above; with ``key`` a list of the plants stands beside it."""
    x0, y0, x1, y1 = plan.outline.polygon.bounds
    mm = 1000.0 / scale
    wide, high = (x1 - x0) * mm + 2 * MARGIN_MM, (y1 - y0) * mm + 2 * MARGIN_MM
    rows = len(plan.planting.items)
    full_high = max(high, rows * KEY_ROW_MM + KEY_REST_MM) if key else high
    canvas = Canvas(
        wide + (KEY_MM if key else 0.0), full_high, plan.brief.title, _words(plan, scale)
    )
    canvas.add("rect", x=0.0, y=0.0, width=canvas.width, height=canvas.height, fill=PAPER)
    place = placing_of(plan, scale, (full_high - high) / 2)
    _grid(canvas, plan, place)
    _ground(canvas, plan, place)
    _plants(canvas, plan, place)
    _stakes(canvas, plan, place)
    _labels(canvas, plan, place)
    _measures(canvas, plan, place)
    eyes = _onlookers(canvas, plan, place)
    _north(canvas, plan, _free_corner(eyes, wide, full_high))
    if key:
        _key(canvas, plan, wide, scale)
    return canvas


def placing_of(plan: Plan, scale: int, down_mm: float = 0.0) -> Placing:
    """Where the bed lies on its drawing; ``down_mm``: how far a long key pushes it down."""
    x0, _, _, y1 = plan.outline.polygon.bounds
    return Placing(scale, x0, y1, MARGIN_MM, MARGIN_MM + down_mm)


def _words(plan: Plan, scale: int) -> str:
    """The drawing in words."""
    planting, units = plan.planting, plan.brief.units
    items = "; ".join(f"{i.letter} {i.label}, {i.plants}" for i in planting.items)
    return (
        f"The bed of {say_area(plan.outline.area_m2, units)} from above, at"
        f" {say_scale(scale, units)}, with every plant in its place in {len(planting.drifts)}"
        f" drifts. Plants by letter: {items}."
    )


def _step(plan: Plan) -> float:
    """Spacing of the measuring grid: half a metre or a foot, wider in large beds."""
    x0, y0, x1, y1 = plan.outline.polygon.bounds
    unit = FOOT_M if plan.brief.units == "us" else 0.5
    span = max(x1 - x0, y1 - y0)
    return unit * next((m for m in (1, 2, 5, 10, 20) if span / (unit * m) <= 26), 20)


def grid_words(plan: Plan) -> str:
    """The measuring grid's spacing."""
    step, unit = long_measure(_step(plan), plan.brief.units)
    return f"{round(step, 9):g} {unit}"


def _grid(canvas: Canvas, plan: Plan, place: Placing) -> None:
    x0, y0, x1, y1 = plan.outline.polygon.bounds
    step = _step(plan)
    canvas.open(stroke=FAINT, stroke_width=0.12)
    for x in np.arange(math.ceil(x0 / step - 1e-9), math.floor(x1 / step + 1e-9) + 1) * step:
        canvas.line(place.spot((x, y0)), place.spot((x, y1)))
    for y in np.arange(math.ceil(y0 / step - 1e-9), math.floor(y1 / step + 1e-9) + 1) * step:
        canvas.line(place.spot((x0, y)), place.spot((x1, y)))
    canvas.close()


def _ground(canvas: Canvas, plan: Plan, place: Placing) -> None:
    canvas.path(outline_path(plan.outline.polygon, place), fill="#f3efe6", stroke="none")
    for number, drift in enumerate(plan.planting.drifts):
        item = plan.planting.items[drift.item]
        canvas.path(
            outline_path(drift.polygon, place),
            id=f"drift-{number}",
            fill=shade(item.candidate.colour.srgb, 1.78),
            stroke="#b9b2a2",
            stroke_width=0.2,
            stroke_dasharray="1 0.8",
            fill_rule="evenodd",
        )
        for line in drift.rows:
            spots = " ".join("{:.2f},{:.2f}".format(*place.spot(tuple(at))) for at in line)
            canvas.add("polyline", points=spots, fill="none", stroke=DRILL, stroke_width=0.3)
    for plant in plan.brief.existing:
        x, y = place.spot(plant.at)
        canvas.add(
            "circle",
            cx=x,
            cy=y,
            r=plant.spread / 2 * place.mm,
            fill=LEAF,
            stroke=SOFT,
            stroke_width=0.3,
            stroke_dasharray="2 1",
        )
        wide = plant.spread * place.mm / (WIDTH_OF_LETTER * max(len(plant.name), 1))
        size = min(2.8, max(wide, 1.7))
        canvas.text((x, y + 0.36 * size), plant.name, size, text_anchor="middle", fill=SOFT)
    canvas.path(
        outline_path(plan.outline.polygon, place),
        fill="none",
        stroke=INK,
        stroke_width=0.6,
        stroke_linejoin="round",
    )


def variants(plan: Plan) -> list[int]:
    """For each item, how many before it share its flower form: tells their symbols apart."""
    forms = [item.candidate.kind.form.flower_form for item in plan.planting.items]
    return [forms[:n].count(form) for n, form in enumerate(forms)]


def _plants(canvas: Canvas, plan: Plan, place: Placing) -> None:
    variant = variants(plan)
    for drift in plan.planting.drifts:
        item = plan.planting.items[drift.item]
        form = item.candidate.kind.form
        radius = form.spacing_m * place.mm * 0.44
        colour = item.candidate.colour.srgb
        for spot in drift.places:
            x, y = place.spot(tuple(spot))
            canvas.open(transform=f"translate({x:.2f} {y:.2f}) scale({radius:.3f})")
            plant_symbol(canvas, form.flower_form, colour, shade(colour, 0.55), variant[drift.item])
            canvas.close()


def _labels(canvas: Canvas, plan: Plan, place: Placing) -> None:
    """A letter in the widest gap of each drift; those of the edging stand outside the bed.  Plants
    that stand singly, in gaps, wear their letters."""
    taken: list[tuple[float, float]] = []
    for drift in plan.planting.drifts:
        letter = plan.planting.items[drift.item].letter
        if plan.planting.gaps is not None:
            for x, y in (place.spot(tuple(spot)) for spot in drift.places):
                canvas.add("circle", cx=x, cy=y, r=1.35, fill=PAPER, stroke=INK, stroke_width=0.15)
                canvas.text((x, y + 0.75), letter, 2.1, text_anchor="middle", font_weight="bold")
            continue
        if drift.ribbon:
            spots = _outside_spots(plan, drift, place)
        else:
            taken.append(_gap(plan, drift, place, taken))
            spots = [place.spot(taken[-1])]
        for x, y in spots:
            canvas.add("circle", cx=x, cy=y, r=DISC_MM, fill=PAPER, stroke=INK, stroke_width=0.25)
            canvas.text((x, y + 1.25), letter, 3.5, text_anchor="middle", font_weight="bold")


def _gap(
    plan: Plan, drift: Drift, place: Placing, taken: list[tuple[float, float]]
) -> tuple[float, float]:
    """The spot of a drift farthest from any plant, its own border weighing half, whose disc touches
    none of those about spots already taken."""
    spots = cells_in(drift.polygon, float(np.sqrt(drift.polygon.area / 250)))
    plants = np.concatenate([d.places for d in plan.planting.drifts])
    clear = np.linalg.norm(spots[:, None] - plants[None], axis=2).min(axis=1)
    inside = shapely.distance(shapely.points(spots), drift.polygon.boundary)
    free = np.minimum(clear, 2.0 * inside + 0.02)
    if taken:
        apart = np.linalg.norm(spots[:, None] - np.array(taken)[None], axis=2).min(axis=1)
        free += 10.0 * np.minimum(apart - 2.2 * DISC_MM / place.mm, 0.0)
    at = spots[int(np.argmax(free))]
    return float(at[0]), float(at[1])


def _outside_spots(plan: Plan, drift: Drift, place: Placing) -> list[tuple[float, float]]:
    """One spot beside a stretch of edging in about every two metres, clear of the stakes."""
    edge = plan.outline.polygon.exterior
    stakes = np.array(plan.ground.markout.stakes)
    count = max(1, round(drift.polygon.length / 2 / 2.2))
    spots = []
    for part in np.array_split(drift.places, min(count, len(drift.places))):
        middle = part[len(part) // 2]
        gap = np.linalg.norm(part[:, None] - stakes[None], axis=2).min(axis=1)
        wander = np.linalg.norm(part - middle, axis=1)
        best = part[int(np.argmax(np.minimum(gap, 0.35) - 0.1 * wander))]
        near = np.array(edge.interpolate(edge.project(shapely.Point(best))).coords[0])
        away = near - best
        reach = (DISC_MM + 1.0) / place.mm
        at = near + away / max(float(np.linalg.norm(away)), 1e-9) * reach
        spots.append(place.spot((float(at[0]), float(at[1]))))
    return spots


def _stakes(canvas: Canvas, plan: Plan, place: Placing) -> None:
    """Numbered marks where the stakes go, numbers outside the bed."""
    out = plan.ground.markout
    for name, stake in zip(out.names, out.stakes, strict=True):
        x, y = place.spot(stake)
        dx, dy = outward(plan.outline.polygon, stake)
        canvas.add("rect", x=x - 0.7, y=y - 0.7, width=1.4, height=1.4, fill=GREEN)
        canvas.text(
            (x + 2.6 * dx, y - 2.6 * dy + 0.8),
            name,
            2.3,
            fill=GREEN,
            text_anchor="middle",
            font_weight="bold",
        )


def _measures(canvas: Canvas, plan: Plan, place: Placing) -> None:
    """Marks along the base line and up its side, so that any plant can be found with a tape."""
    x0, y0, x1, y1 = plan.outline.polygon.bounds
    step, units = _step(plan), plan.brief.units
    (left, bottom), (right, top) = place.spot((x0, y0)), place.spot((x1, y1))
    left, bottom = left - AXIS_MM, bottom + AXIS_MM
    canvas.line((left + AXIS_MM, bottom), (right, bottom), stroke=GREEN, stroke_width=0.35)
    canvas.line((left, bottom - AXIS_MM), (left, top), stroke=GREEN, stroke_width=0.35)
    every = 1 if step * place.mm > 9 else 2
    for n in range(math.ceil(x0 / step - 1e-9), math.floor(x1 / step + 1e-9) + 1):
        x, _ = place.spot((n * step, y0))
        canvas.line((x, bottom - 1), (x, bottom + 1), stroke=GREEN, stroke_width=0.35)
        if n % every == 0:
            canvas.text(
                (x, bottom + 3.8), _tick(n * step, units), 2.6, text_anchor="middle", fill=GREEN
            )
    for n in range(math.ceil(y0 / step - 1e-9), math.floor(y1 / step + 1e-9) + 1):
        _, y = place.spot((x0, n * step))
        canvas.line((left - 1, y), (left + 1, y), stroke=GREEN, stroke_width=0.35)
        if n % every == 0:
            canvas.text(
                (left - 1.8, y + 0.9), _tick(n * step, units), 2.6, text_anchor="end", fill=GREEN
            )
    words = f"along the base line, {'feet' if units == 'us' else 'metres'}"
    canvas.text(((left + right) / 2, bottom + 7.6), words, 2.6, text_anchor="middle", fill=GREEN)


def _tick(metres: float, units: System) -> str:
    value, _ = long_measure(metres, units)
    return f"{value:.1f}".rstrip("0").rstrip(".").replace("-0", "0" if abs(value) < 0.05 else "-0")


Box = tuple[float, float, float, float]
"""Left, top, right, bottom, millimetres."""


def _free_corner(taken: list[Box], wide: float, high: float) -> tuple[float, float]:
    """The middle of the corner, upper right first, whose north arrow is farthest from what is
    written about the bed."""
    corners = [(x, y) for y in (13.0, high - 13.0) for x in (wide - 11.0, 11.0)]

    def room(spot: tuple[float, float]) -> float:
        gaps = [
            max(box[0] - spot[0], spot[0] - box[2], box[1] - spot[1], spot[1] - box[3])
            for box in taken
        ]
        return min(min(gaps, default=NORTH_MM), NORTH_MM)

    return max(corners, key=room)


NORTH_MM = 11.0
"""From the middle of the north arrow to the end of its letter."""


def _onlookers(canvas: Canvas, plan: Plan, place: Placing) -> list[Box]:
    """A small eye outside the bed on each side from which it is seen; returns where they are."""
    boxes: list[Box] = []
    x0, y0, x1, y1 = plan.outline.polygon.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    if plan.outline.from_all_sides:
        canvas.text((MARGIN_MM, 8), "seen from all sides", 2.8, fill=SOFT)
        return [(MARGIN_MM, 5.0, MARGIN_MM + 26.0, 9.0)]
    for side in plan.outline.viewed_from:
        if isinstance(side, str):
            continue
        dx, dy = plan.outline.toward(side)
        reach = min(
            (x1 - x0) / 2 / abs(dx) if abs(dx) > 1e-9 else 1e9,
            (y1 - y0) / 2 / abs(dy) if abs(dy) > 1e-9 else 1e9,
        )
        edge = place.spot((middle[0] + dx * reach, middle[1] + dy * reach))
        x, y = edge[0] + dx * 19.0, edge[1] - dy * 19.0
        canvas.path(
            f"M{x - 3:.2f} {y:.2f} Q{x:.2f} {y - 2.6:.2f} {x + 3:.2f} {y:.2f}"
            f" Q{x:.2f} {y + 2.6:.2f} {x - 3:.2f} {y:.2f} Z",
            fill="none",
            stroke=SOFT,
            stroke_width=0.3,
        )
        canvas.add("circle", cx=x, cy=y, r=0.9, fill=SOFT)
        if abs(dx) < 0.7:
            canvas.text((x + 4.2, y + 0.9), "seen from here", 2.6, fill=SOFT)
            boxes.append((x - 3.0, y - 2.6, x + 22.0, y + 2.6))
        else:
            canvas.text((x, y + 4.4), "seen from", 2.6, fill=SOFT, text_anchor="middle")
            canvas.text((x, y + 7.4), "here", 2.6, fill=SOFT, text_anchor="middle")
            boxes.append((x - 6.0, y - 2.6, x + 6.0, y + 8.0))
    return boxes


def _north(canvas: Canvas, plan: Plan, at: tuple[float, float]) -> None:
    """North arrow in the bed's frame."""
    dx, dy = plan.outline.toward(0.0)
    turn = math.degrees(math.atan2(dx, dy))
    canvas.open(transform=f"translate({at[0]:.2f} {at[1]:.2f}) rotate({turn:.1f})")
    canvas.path("M0 -6 L2 4 L0 2.6 L-2 4 Z", fill=INK)
    canvas.close()
    canvas.text(
        (at[0] + 8.2 * dx, at[1] - 8.2 * dy + 1.0),
        "N",
        3.0,
        text_anchor="middle",
        font_weight="bold",
    )


def _key(canvas: Canvas, plan: Plan, left: float, scale: int) -> None:
    canvas.text((left, 12), plan.brief.title, 5.0, font_weight="bold")
    canvas.text((left, 17.5), plan.season.site.label, 2.8, fill=SOFT)
    canvas.text((left, 21.5), f"scale {say_scale(scale, plan.brief.units)}", 2.8, fill=SOFT)
    y = 32.0
    for item, variant in zip(plan.planting.items, variants(plan), strict=True):
        _key_row(canvas, plan, item, variant, left, y)
        y += KEY_ROW_MM
    canvas.text(
        (left, y + 1),
        f"{sum(i.plants for i in plan.planting.items)} plants",
        3.2,
        font_weight="bold",
    )
    if any(drift.rows for drift in plan.planting.drifts):
        canvas.line((left, y + 5.6), (left + 5, y + 5.6), stroke=DRILL, stroke_width=0.4)
        canvas.text((left + 7, y + 6.5), "a row, for kinds sown in place", 2.7, fill=SOFT)


def _key_row(canvas: Canvas, plan: Plan, item: Item, variant: int, left: float, y: float) -> None:
    kind, colour = item.candidate.kind, item.candidate.colour
    canvas.add(
        "circle", cx=left + 2.5, cy=y - 1.2, r=2.5, fill=PAPER, stroke=INK, stroke_width=0.25
    )
    canvas.text((left + 2.5, y), item.letter, 3.5, text_anchor="middle", font_weight="bold")
    canvas.open(transform=f"translate({left + 9.2:.2f} {y - 1.2:.2f}) scale(3.1)")
    plant_symbol(canvas, kind.form.flower_form, colour.srgb, shade(colour.srgb, 0.55), variant)
    canvas.close()
    units = plan.brief.units
    head, foot = key_lines(
        f"{item.plants} × {kind.name}",
        colour.name,
        f"{say_length(kind.form.height_m, units)} high,"
        f" {say_length(kind.form.spacing_m, units)} apart",
    )
    canvas.text((left + 14, y - 1.6), head, 3.1, font_weight="600")
    canvas.text((left + 14, y + 2.2), foot, 2.7, fill=SOFT)


def key_lines(name: str, colour: str, size: str) -> tuple[str, str]:
    """The two lines of a row of the key: the colour beside the name where there is room."""
    head = f"{name}, {colour}"
    return (head, size) if len(head) <= KEY_LETTERS else (name, f"{colour}, {size}")
