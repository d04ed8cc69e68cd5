"""A place's year as one diagram: a column to each month, frost hatched in from both ends, the means
of days and nights as steps, rain as bars from the foot, and the hours of day as a row of figures.

Hatching and weight of line tell things apart, colour only adds to them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from bedwright.climate import DAYS, FREEZE_C, THRESHOLD_NAMES, Season
from bedwright.dates import short_day_month
from bedwright.draw.labels import EM_WIDTH
from bedwright.draw.svg import FAINT, INK, PAPER, SOFT, Canvas, number
from bedwright.growth import Month, Outlook
from bedwright.report import months_of
from bedwright.units import INCH_MM, System, c_to_fahrenheit, fahrenheit_to_c, say_temperature

BLUE, RUST, WATER = "#2f5f9e", "#a5522a", "#3d7a74"
LEFT, RIGHT, WIDTH = 15.0, 18.5, 176.0
SIZE, SMALL = 2.6, 2.4
HALO: dict[str, Any] = {"stroke": PAPER, "stroke_width": 0.8, "paint_order": "stroke"}
"""Keeps words clear of the lines that they stand on."""


class Box(NamedTuple):
    """A rectangle on the sheet, millimetres."""

    left: float
    top: float
    right: float
    bottom: float


class Scale(NamedTuple):
    """Values from ``low`` at ``foot`` to ``high`` at ``top``, millimetres down the sheet."""

    low: float
    high: float
    top: float
    foot: float

    def y(self, value: float) -> float:
        """Where a value stands."""
        share = (value - self.low) / (self.high - self.low)
        return self.foot - share * (self.foot - self.top)


# --- the whole -----------------------------------------------------------------------------------

FRAME_TOP, FROST_FOOT, WARM_FOOT, RAIN_TOP, RAIN_FOOT, FIGURES_FOOT = 4.6, 23, 64, 68, 84, 93.2
"""Where the parts of the diagram begin and end, millimetres from its top."""


def season_chart(outlook: Outlook, units: System) -> Canvas:
    """The diagram of a place's year, 176 mm wide."""
    season = outlook.season
    canvas = Canvas(WIDTH, 105.0, f"The season of {season.site.label}",
                    f"{_frost_words(season)} {_month_words(outlook, units)}")  # fmt: skip
    _columns(canvas, season, FRAME_TOP, FIGURES_FOOT)
    _frost_rows(canvas, season, units, FRAME_TOP)
    _warmth(canvas, outlook, units)
    _rain(canvas, outlook, units)
    _figures(canvas, outlook, units)
    for y in (FROST_FOOT, RAIN_FOOT):
        canvas.line((_x(0), y), (_x(DAYS), y), stroke=INK, stroke_width=0.25)
    _frame(canvas, FRAME_TOP, FIGURES_FOOT)
    _frost_key(canvas, 97.2, season.winter_amid)
    _key(canvas, 102.2)
    return canvas


def frost_chart(season: Season, units: System) -> Canvas:
    """The frost of a place's year alone."""
    foot = float(FROST_FOOT)
    canvas = Canvas(WIDTH, foot + 6.0, "Odds of frost", _frost_words(season))
    _columns(canvas, season, FRAME_TOP, foot)
    _frost_rows(canvas, season, units, FRAME_TOP)
    _frame(canvas, FRAME_TOP, foot)
    _frost_key(canvas, foot + 4.0, season.winter_amid)
    return canvas


def _frost_words(season: Season) -> str:
    """The frost in words."""
    found = []
    last, first = ("last", "first") if season.winter_amid else ("last of spring", "first of autumn")
    for spring, name in ((True, last), (False, first)):
        day = season.freeze(spring).day_at(0.5)
        found.append(f"{name} {'none' if day is None else short_day_month(season.day(day))}")
    return f"Odds of frost, day by day; freezes at even odds: {', '.join(found)}."


def _month_words(outlook: Outlook, units: System) -> str:
    """The months in words."""
    parts = (
        f"{outlook.season.start.replace(month=m.number, day=1):%B}"
        f" {say_temperature(m.tmin_c, units)} to {say_temperature(m.tmax_c, units)},"
        f" {_rain_words(m.rain_mm[0], units)} of rain"
        for m in outlook.months
    )
    return f"Warmth, nights and days, and rain of a usual month: {'; '.join(parts)}."


def _rain_words(mm: float, units: System) -> str:
    return f"{mm / INCH_MM:.1f} in" if units == "us" else f"{mm:.0f} mm"


# --- frame and columns ---------------------------------------------------------------------------


def _x(day: float) -> float:
    return LEFT + day * (WIDTH - LEFT - RIGHT) / DAYS


def _spans(season: Season) -> list[tuple[float, float]]:
    """Left and right of each month's column."""
    starts = [index for index, _ in months_of(season)]
    return [(_x(a), _x(b)) for a, b in zip(starts, [*starts[1:], DAYS], strict=True)]


def _columns(canvas: Canvas, season: Season, top: float, foot: float) -> None:
    """Lines between the months, and their names above."""
    for (left, right), (_, name) in zip(_spans(season), months_of(season), strict=True):
        canvas.line((left, top), (left, foot), stroke=FAINT, stroke_width=0.2)
        canvas.text(((left + right) / 2, top - 1.2), name, 2.9, text_anchor="middle",
                    font_weight="bold")  # fmt: skip


def _frame(canvas: Canvas, top: float, foot: float) -> None:
    canvas.add("rect", x=_x(0), y=top, width=_x(DAYS) - _x(0), height=foot - top, fill="none",
               stroke=INK, stroke_width=0.45)  # fmt: skip


def _left(canvas: Canvas, y: float, words: str, size: float = SMALL) -> None:
    """Words beside the frame on its left, in the middle of a line at ``y``."""
    canvas.text((LEFT - 1.2, y + 0.85), words, size, text_anchor="end", fill=SOFT)


def _right(canvas: Canvas, named: Sequence[tuple[float, str]]) -> None:
    """Names beside the frame on its right, from the top down, none on another."""
    lowest = -np.inf
    for y, name in sorted(named):
        at = max(y + 0.85, lowest + 2.9)
        canvas.text((_x(DAYS) + 1.2, at), name, SMALL, fill=INK)
        lowest = at


def _hatch(canvas: Canvas, box: Box, gap: float, rising: bool, **style: Any) -> None:
    """Lines at 45 degrees within a box, ``gap`` apart along its edges, on one grid for all boxes.

    ``rising``: from lower left to upper right.
    """
    if box.right - box.left < 0.05 or box.bottom - box.top < 0.05:
        return
    # Turned about, a rising line is a falling one; x + y (or x - y) is the same all along a line.
    top, bottom = (box.top, box.bottom) if rising else (-box.bottom, -box.top)
    first = np.ceil((box.left + top) / gap) * gap
    pieces = []
    for k in np.arange(first, box.right + bottom, gap):
        a, b = max(box.left, k - bottom), min(box.right, k - top)
        if b - a > 0.05:
            ya, yb = ((k - a), (k - b)) if rising else (a - k, b - k)
            pieces.append(f"M{number(a)} {number(ya)} L{number(b)} {number(yb)}")
    if pieces:
        canvas.path(" ".join(pieces), fill="none", **style)


def _outlined(canvas: Canvas, box: Box, **style: Any) -> None:
    canvas.add("rect", x=box.left, y=box.top, width=box.right - box.left,
               height=box.bottom - box.top, **{"fill": "none", **style})  # fmt: skip


# --- frost ---------------------------------------------------------------------------------------

EVEN, RARE = 0.5, 0.1
"""Odds to which the close and the open hatching go."""
ROW, BAR = 4.5, 3.1
DENSE, OPEN = 0.75, 2.0
"""Millimetres between lines of hatching."""


class Side(NamedTuple):
    """The days of one side of the year at EVEN and RARE odds; None where they never come to it."""

    even: float | None
    rare: float | None

    def dates(self, season: Season, spring: bool) -> list[str]:
        """The days that there are, in the order of the year."""
        days = [day for day in self if day is not None]
        found = [short_day_month(season.day(day)) for day in days]
        return found if spring else found[::-1]


def _frost_rows(canvas: Canvas, season: Season, units: System, top: float) -> None:
    """A row to each threshold: hatched from the year's beginning to the last frost of spring, and
    from the first of autumn to its end; where the winter lies in the middle, from the first to the
    last."""
    for n, (celsius, name) in enumerate(THRESHOLD_NAMES):
        y = top + 2.4 + n * ROW
        spring, autumn = (
            Side(odds.day_at(EVEN), odds.day_at(RARE))
            for odds in (season.freeze(side, celsius) for side in (True, False))
        )
        _left(canvas, y, say_temperature(celsius, units))
        canvas.text((_x(DAYS) + 1.2, y + 0.85), name, SMALL,
                    font_weight="bold" if celsius == FREEZE_C else "normal")  # fmt: skip
        if season.winter_amid:
            _winter(canvas, season, autumn, spring, y)
            continue
        for side, end in ((spring, 0.0), (autumn, float(DAYS))):
            _frost_bar(canvas, side, end, y)
        _frost_dates(canvas, season, spring, autumn, y)


def _frost_bar(canvas: Canvas, side: Side, end: float, y: float) -> None:
    """Hatched from an end of the year: close to the day at even odds, open to the rare one."""
    even = end if side.even is None else side.even
    if side.even is not None:
        box = Box(_x(min(end, even)), y - BAR / 2, _x(max(end, even)), y + BAR / 2)
        _hatch(canvas, box, DENSE, True, stroke=BLUE, stroke_width=0.22)
        _outlined(canvas, box, stroke=BLUE, stroke_width=0.35)
    if side.rare is not None:
        box = Box(_x(min(even, side.rare)), y - BAR / 2, _x(max(even, side.rare)), y + BAR / 2)
        _hatch(canvas, box, OPEN, True, stroke=BLUE, stroke_width=0.22)
        _outlined(canvas, box, stroke=BLUE, stroke_width=0.22)


def _winter(canvas: Canvas, season: Season, first: Side, last: Side, y: float) -> None:
    """The frost of one winter in the middle of the year, with its rarer days in words."""
    spans = ((first.rare, last.rare, OPEN, 0.22), (first.even, last.even, DENSE, 0.35))
    for begin, end, gap, width in spans:
        if begin is not None and end is not None and begin < end:
            box = Box(_x(begin), y - BAR / 2, _x(end), y + BAR / 2)
            _hatch(canvas, box, gap, True, stroke=BLUE, stroke_width=0.22)
            _outlined(canvas, box, stroke=BLUE, stroke_width=width)
    if first.rare is None or last.rare is None:
        canvas.text((_x(DAYS / 2), y + 0.85), "in fewer than one year in ten", SMALL,
                    text_anchor="middle", **HALO)  # fmt: skip
        return
    words = [short_day_month(season.day(day)) for day in sorted((first.rare, last.rare))]
    left, right = _x(min(first.rare, last.rare)) - 1.0, _x(max(first.rare, last.rare)) + 1.0
    canvas.text((left, y + 0.85), words[0], SMALL, text_anchor="end", **HALO)
    canvas.text((right, y + 0.85), words[1], SMALL, **HALO)


def _frost_dates(canvas: Canvas, season: Season, spring: Side, autumn: Side, y: float) -> None:
    """The days in words between the bars: both of each side where there is room, else the rarer."""
    left = _x(0.0 if spring.rare is None else spring.rare) + 1.0
    right = _x(DAYS if autumn.rare is None else autumn.rare) - 1.0
    whole = spring.dates(season, True), autumn.dates(season, False)
    if not any(whole):
        middle = ((left + right) / 2, y + 0.85)
        canvas.text(middle, "in fewer than one year in ten", SMALL, text_anchor="middle",
                    **HALO)  # fmt: skip
        return
    for first, last in (whole, (whole[0][-1:], whole[1][:1])):
        words = " · ".join(first), " · ".join(last)
        if _wide(words[0]) + _wide(words[1]) + 2.0 <= right - left:
            canvas.text((left, y + 0.85), words[0], SMALL, **HALO)
            canvas.text((right, y + 0.85), words[1], SMALL, text_anchor="end", **HALO)
            return


def _wide(words: str) -> float:
    """Room for words of the small size, with some to spare."""
    return len(words) * EM_WIDTH * SMALL


# --- warmth --------------------------------------------------------------------------------------


def _warmth(canvas: Canvas, outlook: Outlook, units: System) -> None:
    """Means of days and nights as steps, with hatched the range of eight years in ten."""
    months = outlook.months
    low = min(min(m.tmin_range_c) for m in months)
    high = max(max(m.tmax_range_c) for m in months)
    scale = Scale(low - 1.0, max(high + 1.0, low + 14.0), FROST_FOOT + 1.5, WARM_FOOT)
    for value, words in _degrees(scale, units):
        y = scale.y(value)
        canvas.line((_x(0), y), (_x(DAYS), y), stroke=FAINT, stroke_width=0.2)
        _left(canvas, y, words)
    named = [(scale.y(months[-1].tmax_c), "days"), (scale.y(months[-1].tmin_c), "nights")]
    if scale.low < FREEZE_C < scale.high:
        y = scale.y(FREEZE_C)
        canvas.line((_x(0), y), (_x(DAYS), y), stroke=BLUE, stroke_width=0.3,
                    stroke_dasharray="1.6 1")  # fmt: skip
        named.append((y, "freezing"))
    spans = _spans(outlook.season)
    for (left, right), m in zip(spans, months, strict=True):
        for (cold, warm), rising, colour in (
            (m.tmax_range_c, True, RUST),
            (m.tmin_range_c, False, BLUE),
        ):
            box = Box(left, scale.y(warm), right, scale.y(cold))
            _hatch(canvas, box, 1.1, rising, stroke=colour, stroke_width=0.2)
            _outlined(canvas, box, stroke=colour, stroke_width=0.15)
    _steps(canvas, spans, [scale.y(m.tmax_c) for m in months], stroke=RUST, stroke_width=0.9)
    _steps(canvas, spans, [scale.y(m.tmin_c) for m in months], stroke=BLUE, stroke_width=0.55)
    _right(canvas, named)


def _degrees(scale: Scale, units: System) -> list[tuple[float, str]]:
    """Values of the scale of warmth, °C, and what to call them."""
    if units == "us":
        low, high = c_to_fahrenheit(scale.low), c_to_fahrenheit(scale.high)
        return [(fahrenheit_to_c(float(f)), f"{f:.0f} °F") for f in _round_steps(low, high, 20.0)]
    return [(float(c), f"{c:.0f} °C") for c in _round_steps(scale.low, scale.high, 10.0)]


def _round_steps(low: float, high: float, step: float) -> list[float]:
    """Multiples of a step, or of half of it where that gives too few, between two values."""
    if high - low < 2.5 * step:
        step /= 2
    return [float(k) * step for k in range(int(np.ceil(low / step)), int(high // step) + 1)]


def _steps(canvas: Canvas, spans: list[tuple[float, float]], ys: list[float], **style: Any) -> None:
    """A line level over each month."""
    pieces = [f"{number(x)} {number(y)}" for span, y in zip(spans, ys, strict=True) for x in span]
    canvas.path("M" + " L".join(pieces), fill="none", stroke_linejoin="miter", **style)


# --- rain and day --------------------------------------------------------------------------------


def _rain(canvas: Canvas, outlook: Outlook, units: System) -> None:
    """Bars of a usual month's rain from the foot, and a line from the driest to the wettest of
    ten."""
    unit, name = (INCH_MM, "in") if units == "us" else (1.0, "mm")
    most = max(m.rain_mm[2] for m in outlook.months)
    step = _rain_step(most / unit)
    scale = Scale(0.0, max(most, step * unit), RAIN_TOP, RAIN_FOOT)
    for k in range(1, int(scale.high / unit / step + 1e-6) + 1):
        y = scale.y(k * step * unit)
        canvas.line((_x(0), y), (_x(DAYS), y), stroke=FAINT, stroke_width=0.2)
        _left(canvas, y, f"{k * step:g} {name}")
    for (left, right), m in zip(_spans(outlook.season), outlook.months, strict=True):
        usual, dry, wet = m.rain_mm
        middle = (left + right) / 2
        box = Box(left + 2.2, scale.y(usual), right - 2.2, RAIN_FOOT)
        _outlined(canvas, box, fill=PAPER, stroke=WATER, stroke_width=0.35)
        for y in np.arange(RAIN_FOOT - 0.8, box.top, -0.8):
            canvas.line((box.left, y), (box.right, y), stroke=WATER, stroke_width=0.22)
        canvas.line((middle, scale.y(dry)), (middle, scale.y(wet)), stroke=INK, stroke_width=0.4)
        for value in (dry, wet):
            y = scale.y(value)
            canvas.line((middle - 1.0, y), (middle + 1.0, y), stroke=INK, stroke_width=0.4)
    _right(canvas, [((RAIN_TOP + RAIN_FOOT) / 2, "rain")])


def _rain_step(most: float) -> float:
    """A round step of which the most holds two to five, or one where it is little."""
    steps = [m * 10.0**e for e in range(-1, 4) for m in (1, 2, 5)]
    return next((step for step in steps if most < 3 * step), steps[-1])


def _figures(canvas: Canvas, outlook: Outlook, units: System) -> None:
    """A row of the usual rain and one of the length of day, under the columns."""
    rain = [_rain_figure(m, units) for m in outlook.months]
    rows = ((f"rain, {'in' if units == 'us' else 'mm'}", rain),
            ("day, h:min", [_clock(m.day_h) for m in outlook.months]))  # fmt: skip
    for n, (name, figures) in enumerate(rows):
        y = RAIN_FOOT + 2.4 + 4.4 * n
        _left(canvas, y, name)
        for (left, right), words in zip(_spans(outlook.season), figures, strict=True):
            canvas.text(((left + right) / 2, y + 0.9), words, SIZE, text_anchor="middle")


def _rain_figure(month: Month, units: System) -> str:
    usual = month.rain_mm[0]
    return f"{usual / INCH_MM:.1f}" if units == "us" else f"{usual:.0f}"


def _clock(hours: float) -> str:
    whole, minutes = divmod(round(hours * 60), 60)
    return f"{whole}:{minutes:02d}"


# --- key -----------------------------------------------------------------------------------------


def _frost_key(canvas: Canvas, y: float, winter_amid: bool) -> None:
    """What the hatching of the frost means."""
    at = _x(0)
    half = "a night as cold comes later in spring (earlier in autumn) in half of all years or more"
    if winter_amid:
        half = "from the first night as cold to the last, each at even odds"
    for gap, width, words in (
        (DENSE, 0.35, half),
        (OPEN, 0.22, "in one year in ten or more"),
    ):  # fmt: skip
        box = Box(at, y - 1.3, at + 7.0, y + 1.3)
        _hatch(canvas, box, gap, True, stroke=BLUE, stroke_width=0.22)
        _outlined(canvas, box, stroke=BLUE, stroke_width=width)
        canvas.text((at + 8.2, y + 0.85), words, SMALL)
        at += 8.2 + 0.9 * _wide(words) + 4.0


def _key(canvas: Canvas, y: float) -> None:
    """What steps and bars mean."""
    at = _x(0)
    for colour, rising, weight, words in (
        (RUST, True, 0.9, "mean of the days"),
        (BLUE, False, 0.55, "mean of the nights; hatched: eight years in ten"),
    ):
        box = Box(at, y - 1.3, at + 7.0, y + 1.3)
        _hatch(canvas, box, 1.1, rising, stroke=colour, stroke_width=0.2)
        _outlined(canvas, box, stroke=colour, stroke_width=0.15)
        canvas.line((at, y), (at + 7.0, y), stroke=colour, stroke_width=weight)
        canvas.text((at + 8.2, y + 0.85), words, SMALL)
        at += 8.2 + 0.9 * _wide(words) + 4.0
    box = Box(at, y - 0.4, at + 5.0, y + 1.3)
    _outlined(canvas, box, fill=PAPER, stroke=WATER, stroke_width=0.35)
    canvas.line((at, y + 0.45), (at + 5.0, y + 0.45), stroke=WATER, stroke_width=0.22)
    canvas.line((at + 2.5, y - 1.4), (at + 2.5, y + 0.9), stroke=INK, stroke_width=0.4)
    canvas.text((at + 6.2, y + 0.85), "usual rain; line: eight years in ten", SMALL)
