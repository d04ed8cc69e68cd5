"""The sun on the bed drawn and told: a map with what stands around, and month by month."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Brief, Neighbour, Tree
from bedwright.geometry import Outline, foot_of, footprint
from bedwright.light import Light, exposure
from bedwright.season import Season
from bedwright.sheets.charts import months_of
from bedwright.sheets.svg import GREEN, INK, PAPER, SOFT, Canvas, Placing, outline_path
from bedwright.units import say_length


class Sunlit(Protocol):
    """A bed in its light: a plan, or what ``bedwright light`` gathers."""

    @property
    def brief(self) -> Brief: ...  # noqa: D102
    @property
    def outline(self) -> Outline: ...  # noqa: D102
    @property
    def season(self) -> Season: ...  # noqa: D102
    @property
    def light(self) -> Light: ...  # noqa: D102


@dataclass(frozen=True)
class BedLight:
    """A bed's light without a plan."""

    brief: Brief
    outline: Outline
    season: Season
    light: Light


def sun_map(lit: Sunlit, fortnights: slice, width_mm: float = 62.0) -> Canvas:
    """Mean hours of direct sun on each patch over some fortnights, with what stands around."""
    hours = lit.light.over(fortnights)
    x0, y0, x1, y1 = lit.outline.polygon.bounds
    shapes = [(thing, footprint(lit.outline, thing)) for thing in lit.brief.surroundings]
    span = max(x1 - x0, y1 - y0)
    nearest = max((shape.distance(lit.outline.polygon) for _, shape in shapes), default=0.0)
    margin = float(np.clip(nearest + 0.12 * span, 0.3 * span, 1.2 * span))
    window = shapely.box(x0 - margin, y0 - margin, x1 + margin, y1 + margin)
    left, bottom, right, top = window.bounds
    scale = (right - left) * 1000.0 / width_mm
    canvas = Canvas(width_mm, (top - bottom) * 1000.0 / scale, "Sun on the bed")
    place = Placing(scale, left, top, 0.0, 0.0)
    canvas.add("rect", x=0.0, y=0.0, width=width_mm, height=canvas.height, fill="#eef1ea")
    for thing, shape in shapes:
        if not isinstance(thing, Tree):
            seen = shape.intersection(window)
            canvas.path(outline_path(seen, place), fill="#b7bab5", stroke=SOFT, stroke_width=0.3)
    side = lit.light.step_m * place.mm * 1.15
    edge = outline_path(lit.outline.polygon, place)
    canvas.open("clipPath", id="bed")
    canvas.path(edge)
    canvas.close()
    canvas.open(clip_path="url(#bed)")
    for (x, y), value in zip(lit.light.cells, hours, strict=True):
        a, b = place.spot((float(x), float(y)))
        canvas.add(
            "rect",
            x=a - side / 2,
            y=b - side / 2,
            width=side,
            height=side,
            fill=_grey(float(value)),
        )
    canvas.close()
    canvas.path(edge, fill="none", stroke=INK, stroke_width=0.5)
    for thing, _ in shapes:
        if isinstance(thing, Tree):
            _tree(canvas, thing, lit, place, window)
    _hour_marks(canvas, lit, hours, place)
    for thing, shape in shapes:
        _tag(canvas, lit, thing, shape, place, window)
    dx, dy = lit.outline.toward(0.0)
    turn = math.degrees(math.atan2(dx, dy))
    canvas.open(transform=f"translate({width_mm - 7:.2f} 8) rotate({turn:.1f}) scale(0.7)")
    canvas.path("M0 -6 L2 4 L0 2.6 L-2 4 Z", fill=INK)
    canvas.close()
    return canvas


def _grey(hours: float) -> str:
    """Dark for shade to pale yellow for full sun, even steps in lightness."""
    share = min(hours / 10.0, 1.0)
    low, high = (92, 96, 104), (255, 240, 190)
    return "#" + "".join(
        f"{round(a + (b - a) * share):02x}" for a, b in zip(low, high, strict=True)
    )


def _tree(canvas: Canvas, tree: Tree, lit: Sunlit, place: Placing, window: BaseGeometry) -> None:
    """A trunk, and the crown's rim as far as it is on the map."""
    x, y = foot_of(lit.outline, tree)
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
        words += f", {say_length(shape.distance(Point(lit.outline.middle)), lit.brief.units)} off"
    x, y = place.spot(spot)
    if isinstance(thing, Tree) and not beyond:
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


def _hour_marks(canvas: Canvas, lit: Sunlit, hours: np.ndarray, place: Placing) -> None:
    """The hours in figures on a few spread-out cells, well inside the bed."""
    cells = lit.light.cells
    inside = shapely.distance(shapely.points(cells), lit.outline.polygon.boundary)
    x0, y0, x1, y1 = lit.outline.polygon.bounds
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


@dataclass(frozen=True)
class SunMonth:
    """One month's sun on the bed, hours of direct sun a day under a clear sky.

    ``low``, ``middle``, ``high``: of its patches; ``word``: exposure of the middle one;
    ``morning``: share of its hours before noon; ``cloudy``: its hours that clouds are expected to
    leave; ``beam_mj``: energy of the beam on it, MJ/m² a day.
    """

    name: str
    fortnight: int
    low: float
    middle: float
    high: float
    word: str
    morning: float
    cloudy: float
    beam_mj: float


def sun_months(lit: Sunlit) -> list[SunMonth]:
    """The sun month by month, by the fortnight about each month's middle."""
    rows = []
    for index, _ in months_of(lit.season):
        f = min((index + 15) // 14, 25)
        hours, light = lit.light.hours[f], lit.light
        low, middle, high = (float(v) for v in np.quantile(hours, [0.0, 0.5, 1.0]))
        rows.append(
            SunMonth(
                f"{lit.season.day(index + 15):%B}",
                f,
                low,
                middle,
                high,
                exposure(middle),
                float(light.morning[f].sum() / max(hours.sum(), 1e-9)),
                middle * float(light.sunshine[f]),
                float(np.median(light.beam_mj[f])),
            )
        )
    return rows


COARSE_CELLS = 220
"""Patches of each small map of the strip of months."""


def light_chart(lit: Sunlit, fortnights: slice) -> Canvas:
    """The bed and its surroundings over the growing season, and a small map of each month."""
    wide = 178.0
    whole = sun_map(lit, fortnights, 110.0)
    small, across = 26.0, 6
    x0, y0, x1, y1 = lit.outline.polygon.bounds
    tall = small * (y1 - y0) / (x1 - x0)
    top = whole.height + 14.0
    canvas = Canvas(wide, top + 2 * (tall + 12.0), "Sun on the bed")
    first, last = (lit.season.day(n * 14) for n in (fortnights.start, fortnights.stop))
    canvas.text((1.0, 4.0), f"{first:%-d %B} to {last:%-d %B}", 3.2, font_weight="bold")
    canvas.open(transform="translate(1 7)")
    canvas.graft(whole)
    canvas.close()
    _scale_of_hours(canvas, 118.0, 16.0)
    cells, owner = _coarse(lit.light.cells)
    side = 1.3 * float(np.sqrt(lit.outline.area_m2 / len(cells)))
    mm = small / (x1 - x0)
    for n, month in enumerate(sun_months(lit)):
        left, high = 1.0 + (n % across) * (small + 4.0), top + (n // across) * (tall + 12.0)
        canvas.text((left, high), month.name[:3], 3.0, font_weight="bold")
        canvas.text((left + 8.0, high), f"{month.middle:.1f} h", 2.8, fill=SOFT)
        place = Placing(1000.0 / mm, x0, y1, left, high + 2.0)
        edge = outline_path(lit.outline.polygon, place)
        canvas.open("clipPath", id=f"month-{n}")
        canvas.path(edge)
        canvas.close()
        canvas.open(clip_path=f"url(#month-{n})")
        hours = np.bincount(owner, lit.light.hours[month.fortnight]) / np.bincount(owner)
        for (x, y), value in zip(cells, hours, strict=True):
            canvas.add(
                "rect",
                x=left + (x - side / 2 - x0) * mm,
                y=high + 2.0 + (y1 - y - side / 2) * mm,
                width=side * mm,
                height=side * mm,
                fill=_grey(float(value)),
            )
        canvas.close()
        canvas.path(edge, fill="none", stroke=INK, stroke_width=0.3)
    return canvas


def _coarse(cells: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    """Middles of patches of several cells, and which patch each cell is of."""
    low = cells.min(axis=0)
    step = float(np.sqrt(np.prod(np.ptp(cells, axis=0) + 0.1) / COARSE_CELLS))
    at = np.floor((cells - low) / max(step, 1e-9)).astype(int)
    _, owner = np.unique(at, axis=0, return_inverse=True)
    owner = owner.ravel()
    count = np.bincount(owner)
    middles = np.column_stack([np.bincount(owner, cells[:, k]) / count for k in range(2)])
    return middles, owner


def _scale_of_hours(canvas: Canvas, x: float, y: float) -> None:
    """What the greys mean, with the bounds of the exposures."""
    canvas.text((x, y - 4.0), "Direct sun a day, clear sky", 3.0, font_weight="bold")
    for n, hours in enumerate((10, 8, 6, 5, 4, 3, 2, 1, 0)):
        top = y + n * 5.0
        canvas.add("rect", x=x, y=top, width=8.0, height=5.0, fill=_grey(hours), stroke=SOFT,
                   stroke_width=0.15)  # fmt: skip
        words = f"{hours} h{' and more' if hours == 10 else ''}"
        named = {6: "full sun from here up", 4: "part sun", 2: "part shade", 0: "shade"}
        if hours in named:
            words += f"  {named[hours]}"
        canvas.text((x + 10.0, top + 3.6), words, 2.8)
