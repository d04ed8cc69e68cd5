"""The bed as an onlooker sees it, at a few moments of its season.

A parallel view, a little raised so that the back shows over the front.  Plants have their grown
size once they bloom and less before; flowers show by the odds of bloom in that fortnight.  The
scatter of blossoms is drawn from a fixed seed: it is a sketch, the sizes, places, heights and times
are not.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bedwright.draw.glyphs import shade
from bedwright.draw.svg import PAPER, Canvas
from bedwright.plan import Plan
from bedwright.planting import Item
from bedwright.report import COMPASS_WORDS

RAISE = 0.42
"""How much of the depth shows as height on the sheet."""

GREENS = {
    "green": "#6f9457",
    "grey": "#a9b5a6",
    "bronze": "#7c5a4a",
    "purple": "#6d4a63",
    "mixed": "#86925a",
    "blue_green": "#7d9d8b",
}
MOST_BLOSSOMS = 26


def season_moments(plan: Plan) -> list[int]:
    """Up to three fortnights: the first with a third of the bed in bloom, the fullest, the last."""
    share = plan.planting.bloom_share()
    good = np.flatnonzero(share >= 0.33)
    full = int(np.argmax(share))
    if len(good) == 0:
        return [full]
    return sorted({int(good[0]), full, int(good[-1])})


def bed_picture(plan: Plan, fortnight: int, width_mm: float = 170.0) -> Canvas:
    """The bed in one fortnight, from the first side it is viewed from (from below when from
    all)."""
    toward = _side(plan)
    across = np.array([-toward[1], toward[0]])
    spots, owners = _plants(plan)
    u, v = spots @ across, spots @ np.array(toward)
    heights = np.array([plan.planting.items[o].candidate.kind.form.height_m for o in owners])
    ring = np.array(plan.outline.polygon.exterior.coords)
    ru, rv = ring @ across, ring @ np.array(toward)
    reach = max(float(np.ptp(ru)), 0.5)
    mm = (width_mm - 12.0) / reach
    left, back = float(ru.min()), float(rv.max())
    top = float((RAISE * (back - v) + heights).max()) if len(v) else 1.0
    height_mm = (top + 0.12) * mm + 10.0
    canvas = Canvas(width_mm, height_mm, "The bed in bloom", _words(plan, fortnight))
    canvas.add("rect", x=0.0, y=0.0, width=width_mm, height=height_mm, fill=PAPER)

    def spot(a: float, b: float, up: float = 0.0) -> tuple[float, float]:
        return 6.0 + (a - left) * mm, height_mm - 6.0 - (RAISE * (back - b) + up) * mm

    points = " ".join(
        f"{x:.2f},{y:.2f}"
        for x, y in (spot(a, b) for a, b in zip(ru.tolist(), rv.tolist(), strict=True))
    )
    canvas.add("polygon", points=points, fill="#8a7863", stroke="#6d5f4e", stroke_width=0.4)
    rng = np.random.default_rng([plan.seed, fortnight, 301])
    for plant in plan.brief.existing:
        at = np.array(plant.at)
        foot = spot(float(at @ across), float(at @ np.array(toward)) + plant.spread / 2)
        _leaves(canvas, foot, plant.spread * 0.6 * mm, plant.spread / 2 * mm, "mound", "#9aa79b")
    along, toward_eye = u.tolist(), v.tolist()
    for k in np.lexsort((u, v)):
        item = plan.planting.items[owners[k]]
        _plant(canvas, item, fortnight, spot(along[k], toward_eye[k]), mm, rng)
    return canvas


def _side(plan: Plan) -> tuple[float, float]:
    """Unit vector to the onlooker."""
    for side in plan.outline.viewed_from:
        if not isinstance(side, str):
            return plan.outline.toward(side)
    return 0.0, -1.0


def _plants(plan: Plan) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    places = [d.places for d in plan.planting.drifts]
    owners = [np.full(len(d.places), d.item) for d in plan.planting.drifts]
    return np.concatenate(places), np.concatenate(owners)


def _plant(
    canvas: Canvas,
    item: Item,
    fortnight: int,
    foot: tuple[float, float],
    mm: float,
    rng: np.random.Generator,
) -> None:
    """One plant: leaves by habit and age, then its blossoms."""
    course, form = item.candidate.course, item.candidate.kind.form
    grown = _grown(item, fortnight)
    vary = 1.0 + 0.12 * (rng.random() - 0.5)
    if grown <= 0:
        return
    high = form.height_m * mm * grown * vary
    wide = min(form.spread_m, form.spacing_m * 1.15) * mm * grown**0.7 / 2
    odds = float(course.bloom.odds[fortnight])
    green = GREENS[form.foliage_colour]
    if item.candidate.kind.is_foliage:
        green = item.candidate.colour.srgb
    body = high * (0.62 if form.flower_form in ("spike", "plume") else 0.86)
    _leaves(canvas, foot, body, wide, form.habit, shade(green, 0.9 + 0.18 * rng.random()))
    if odds > 0.08 and not item.candidate.kind.is_foliage:
        _blossoms(canvas, item, foot, high, wide, odds, mm, rng)


def _grown(item: Item, fortnight: int) -> float:
    """Share of the grown size: a tenth when set out, all of it a month after first bloom."""
    course = item.candidate.course
    day = fortnight * 14 + 7
    if day < course.out:
        return 0.0
    typical = course.bloom.typical
    bloom = typical[0] + 28 if typical else course.out + 90
    share = 0.12 + 0.88 * min((day - course.out) / max(bloom - course.out, 20), 1.0)
    if typical and day > typical[1] + 14 and not item.candidate.kind.is_foliage:
        share *= 0.75
    return share


def _leaves(
    canvas: Canvas, foot: tuple[float, float], high: float, wide: float, habit: str, colour: str
) -> None:
    x, y = foot
    if habit == "upright":
        waist = wide * 0.62
        data = (
            f"M{x - waist * 0.5:.2f} {y:.2f} C{x - wide:.2f} {y - high * 0.4:.2f} {x - waist:.2f}"
            f" {y - high:.2f} {x:.2f} {y - high:.2f} C{x + waist:.2f} {y - high:.2f} {x + wide:.2f}"
            f" {y - high * 0.4:.2f} {x + waist * 0.5:.2f} {y:.2f} Z"
        )
    else:
        data = (
            f"M{x - wide:.2f} {y:.2f} C{x - wide:.2f} {y - high * 1.25:.2f} {x + wide:.2f}"
            f" {y - high * 1.25:.2f} {x + wide:.2f} {y:.2f} Z"
        )
    canvas.path(data, fill=colour, stroke=shade(colour, 0.75), stroke_width=0.12)


def _blossoms(
    canvas: Canvas,
    item: Item,
    foot: tuple[float, float],
    high: float,
    wide: float,
    odds: float,
    mm: float,
    rng: np.random.Generator,
) -> None:
    form = item.candidate.kind.form
    colour = item.candidate.colour.srgb
    size = max(form.flower_cm / 100 * mm / 2, 0.35)
    room = max(wide * high / max(size * size, 0.1) * 0.35, 4.0)
    tall = form.flower_form in ("spike", "plume")
    count = max(int(min(room, 9 if tall else MOST_BLOSSOMS) * odds), 1)
    edge = shade(colour, 0.6)
    for _ in range(count):
        a = (rng.random() * 2 - 1) * 0.88
        level = math.sqrt(1 - a * a) * (0.55 + 0.45 * rng.random()) if not tall else 1.0
        x = foot[0] + a * wide * (0.75 if tall else 0.95)
        y = foot[1] - high * level * (0.95 if tall else 0.9)
        if tall:
            long = high * (0.25 + 0.2 * rng.random())
            half = max(min(size * 0.45, long * 0.16), 0.3)
            foot_y = y + long * 0.75 - high * 0.1 * rng.random()
            canvas.path(
                f"M{x - half:.2f} {foot_y:.2f} Q{x - half:.2f} {foot_y - long * 0.6:.2f}"
                f" {x:.2f} {foot_y - long:.2f} Q{x + half:.2f} {foot_y - long * 0.6:.2f}"
                f" {x + half:.2f} {foot_y:.2f} Z",
                fill=colour,
                stroke=edge,
                stroke_width=0.1,
            )
        else:
            canvas.add(
                "circle", cx=x, cy=y, r=float(size), fill=colour, stroke=edge, stroke_width=0.1
            )
            if form.flower_form == "daisy":
                canvas.add("circle", cx=x, cy=y, r=float(size * 0.32), fill=edge)


def _words(plan: Plan, fortnight: int) -> str:
    """The picture in words."""
    items = [i for i in plan.planting.items if i.candidate.course.bloom.odds[fortnight] >= 0.5]
    names = ", ".join(i.label for i in items if not i.candidate.kind.is_foliage) or "nothing yet"
    return f"{caption(plan, fortnight)}. In flower: {names}."


def caption(plan: Plan, fortnight: int) -> str:
    """Days of a fortnight and how much of the bed is expected in bloom."""
    start, end = plan.season.day(fortnight * 14), plan.season.day(min(fortnight * 14 + 13, 364))
    share = plan.planting.bloom_share()[fortnight]
    seen = f"seen from the {_from(plan)}"
    return (
        f"{start.day} {start:%B} to {end.day} {end:%B}, {seen}:"
        f" about {round(share * 20) * 5}% of the bed in bloom"
    )


def _from(plan: Plan) -> str:
    """Compass word of the side from which the picture looks."""
    bearing = plan.outline.compass_of(*_side(plan))
    return COMPASS_WORDS[round(bearing / 45) % 8]
