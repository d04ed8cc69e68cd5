"""The season drawn: odds of frost at four thresholds, warmth of air and soil, rain and daylight."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from bedwright.climate import (
    DAYS,
    FREEZE_C,
    THRESHOLD_NAMES,
    Season,
    day_length_h,
    day_of_year,
    soil_temperature,
)
from bedwright.dates import short_day_month
from bedwright.draw.svg import FAINT, GREEN, INK, PAPER, SOFT, Canvas
from bedwright.growth import Outlook
from bedwright.report import months_of
from bedwright.units import System, c_to_fahrenheit, say_temperature

BLUE, EARTH, SUN = "#2f5f9e", "#8a5a2b", "#b07d00"
STROKES: dict[float, dict[str, object]] = {
    THRESHOLD_NAMES[0][0]: {"stroke_width": 0.3, "stroke_dasharray": "0.5 0.9"},
    THRESHOLD_NAMES[1][0]: {"stroke_width": 0.9},
    THRESHOLD_NAMES[2][0]: {"stroke_width": 0.45, "stroke_dasharray": "2.6 1.1"},
    THRESHOLD_NAMES[3][0]: {"stroke_width": 0.3},
}
"""Told apart by weight and dash as much as by place, so that they read in grey."""

LEFT, RIGHT, WIDTH = 13.0, 12.0, 176.0
Spot = Callable[[float, float], tuple[float, float]]


def season_chart(outlook: Outlook, units: System) -> Canvas:
    """Three panels over one calendar, 176 mm wide."""
    canvas = Canvas(WIDTH, 103.0, f"The season of {outlook.season.site.label}",
                    f"{_frost_words(outlook.season)} {_month_words(outlook, units)}")  # fmt: skip
    _frost_panel(canvas, outlook.season, units, 5.0, 32.0)
    _warmth_panel(canvas, outlook.season, units, 43.0, 68.0)
    _rain_panel(canvas, outlook, units, 79.0, 97.0)
    return canvas


def frost_chart(season: Season, units: System) -> Canvas:
    """The first panel alone."""
    canvas = Canvas(WIDTH, 38.0, "Odds of frost", _frost_words(season))
    _frost_panel(canvas, season, units, 5.0, 32.0)
    return canvas


def _frost_words(season: Season) -> str:
    """The first panel in words."""
    said = []
    for spring, name in ((True, "last of spring"), (False, "first of autumn")):
        day = season.freeze(spring).day_at(0.5)
        said.append(f"{name} {'none' if day is None else short_day_month(season.day(day))}")
    return f"Odds of frost, day by day; freezes at even odds: {', '.join(said)}."


def _month_words(outlook: Outlook, units: System) -> str:
    """The other panels in words."""
    said = (
        f"{outlook.season.start.replace(month=m.number, day=1):%B}"
        f" {say_temperature(m.tmin_c, units)} to {say_temperature(m.tmax_c, units)}"
        for m in outlook.months
    )
    return f"Warmth, nights and days: {'; '.join(said)}. Rain, month by month."


def _x(day: float) -> float:
    return LEFT + day * (WIDTH - LEFT - RIGHT) / DAYS


def _panel(
    canvas: Canvas, season: Season, title: str, top: float, bottom: float, low: float, high: float
) -> Spot:
    """Frame, month lines and title of a panel; returns the way from a value to the sheet."""
    canvas.text((LEFT, top - 2.0), title, 3.0, font_weight="bold")
    for index, name in months_of(season):
        canvas.line((_x(index), top), (_x(index), bottom), stroke=FAINT, stroke_width=0.2)
        canvas.text((_x(index) + 1, bottom + 3.4), name, 2.6, fill=SOFT)
    canvas.line((_x(DAYS), top), (_x(DAYS), bottom), stroke=FAINT, stroke_width=0.2)

    def spot(day: float, value: float) -> tuple[float, float]:
        return _x(day), bottom - (value - low) / (high - low) * (bottom - top)

    return spot


def _scale(
    canvas: Canvas, spot: Spot, values: list[tuple[float, str]], right: bool = False
) -> None:
    """Lines and figures of a scale on the left, figures alone on the right."""
    for value, words in values:
        y = spot(0, value)[1]
        if right:
            canvas.text((_x(DAYS) + 1.5, y + 0.9), words, 2.5, fill=SUN)
            continue
        canvas.line((_x(0), y), (_x(DAYS), y), stroke=FAINT, stroke_width=0.2)
        canvas.text((LEFT - 1.5, y + 0.9), words, 2.5, text_anchor="end", fill=SOFT)


def _line(canvas: Canvas, spot: Spot, values: NDArray[np.float64], **style: object) -> None:
    """A curve through the days; nan breaks it."""
    pieces, pen = [], "M"
    for day, value in enumerate(values):
        if np.isnan(value):
            pen = "M"
            continue
        x, y = spot(day, float(value))
        pieces.append(f"{pen}{x:.2f} {y:.2f}")
        pen = "L"
    if pieces:
        canvas.path(" ".join(pieces), fill="none", stroke_linejoin="round", **style)


def _frost_panel(canvas: Canvas, season: Season, units: System, top: float, bottom: float) -> None:
    title = "Odds of a freeze still to come in spring, and already come in autumn"
    spot = _panel(canvas, season, title, top, bottom, 0.0, 1.0)
    _scale(canvas, spot, [(v, f"{v:.0%}") for v in (0.0, 0.1, 0.5, 0.9, 1.0)])
    spring, autumn = np.arange(season.split), np.arange(season.split, DAYS)
    for celsius, _ in THRESHOLD_NAMES:
        odds = np.full(DAYS, np.nan)
        odds[spring] = season.freeze(True, celsius).odds_on(spring)
        odds[autumn] = season.freeze(False, celsius).odds_on(autumn)
        # The line lifts off where nothing is left to come.
        odds[(odds == 0) & (np.roll(odds, 1) == 0) & (np.roll(odds, -1) == 0)] = np.nan
        _line(canvas, spot, odds, stroke=BLUE, **STROKES[celsius])
    _frost_key(canvas, season, units, top)


def _frost_key(canvas: Canvas, season: Season, units: System, top: float) -> None:
    """The four lines named, in the gap between spring and autumn."""
    middle = _x(season.split)
    canvas.add(
        "rect", x=middle - 16.0, y=top + 3.4, width=36.0, height=17.0, fill=PAPER, fill_opacity=0.85
    )
    for n, (celsius, name) in enumerate(THRESHOLD_NAMES):
        y = top + 6.0 + n * 3.9
        canvas.line((middle - 15, y), (middle - 6, y), stroke=BLUE, **STROKES[celsius])
        canvas.text((middle - 4, y + 0.9), f"{say_temperature(celsius, units)} {name}", 2.6)


def _warmth_panel(canvas: Canvas, season: Season, units: System, top: float, bottom: float) -> None:
    cold, hot = (
        np.quantile(_smooth(v), q, axis=0) for v, q in ((season.tmin_c, 0.1), (season.tmax_c, 0.9))
    )
    low = 5.0 * np.floor(min(float(cold.min()), 0.0) / 5.0)
    high = 5.0 * np.ceil(float(hot.max()) / 5.0)
    title = "Days, soil and nights: running means of three weeks, bands hold eight years in ten"
    spot = _panel(canvas, season, title, top, bottom, low, high)
    step = 10.0 if high - low > 25 else 5.0
    marks = np.arange(np.ceil(low / step), np.floor(high / step) + 1) * step + 0.0
    if units == "us":
        fahrenheit = np.arange(np.ceil(c_to_fahrenheit(low) / 20) * 20, c_to_fahrenheit(high), 20)
        _scale(canvas, spot, [((f - 32) / 1.8, f"{f:.0f} °F") for f in fahrenheit])
    else:
        _scale(canvas, spot, [(float(v), f"{v + 0.0:.0f} °C") for v in marks])
    for values, colour in ((season.tmax_c, "#e3a07a"), (season.tmin_c, "#8fb0d6")):
        lower, upper = np.quantile(_smooth(values), [0.1, 0.9], axis=0)
        ring = [spot(d, v) for d, v in enumerate(upper)]
        ring += [spot(d, v) for d, v in reversed(list(enumerate(lower)))]
        data = "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in ring) + " Z"
        canvas.path(data, fill=colour, fill_opacity=0.75)
    soil = np.median(soil_temperature(season.tmean_c), axis=0)
    _line(canvas, spot, soil, stroke=EARTH, stroke_width=0.7)
    ends = (float(np.median(season.tmax_c[:, -21:])), float(soil[-1]),
            float(np.median(season.tmin_c[:, -21:])))  # fmt: skip
    _name_ends(canvas, spot, ends, ("days", "soil", "nights"))
    if low < FREEZE_C:
        canvas.line(spot(0, FREEZE_C), spot(DAYS, FREEZE_C), stroke=BLUE, stroke_width=0.35)


def _name_ends(
    canvas: Canvas, spot: Spot, values: tuple[float, ...], names: tuple[str, ...]
) -> None:
    """Names beside the right ends of curves, from the top down, none on another."""
    lowest = -np.inf
    for value, name in zip(values, names, strict=True):
        y = max(spot(0, value)[1] + 0.9, lowest + 2.9)
        canvas.text((_x(DAYS) + 1.5, y), name, 2.6, fill=INK)
        lowest = y


def _smooth(values: NDArray[np.floating]) -> NDArray[np.float64]:
    """(n, days) running means of three weeks, the year's ends joined."""
    padded = np.concatenate([values[:, -10:], values, values[:, :10]], axis=1)
    total = np.cumsum(np.pad(padded, ((0, 0), (1, 0))), axis=1, dtype=float)
    return np.asarray((total[:, 21:] - total[:, :-21]) / 21.0)


def _rain_panel(canvas: Canvas, outlook: Outlook, units: System, top: float, bottom: float) -> None:
    season = outlook.season
    inch = 25.4
    most = max(month.rain_mm[2] for month in outlook.months)
    step = 2 * inch if units == "us" else 50.0
    if most < step:
        step /= 5
    while most > 5 * step:
        step *= 2
    high = max(step * np.ceil(most / step), step)
    title = "Rain by the month (usual; line: eight years in ten), and hours of day (yellow, right)"
    spot = _panel(canvas, season, title, top, bottom, 0.0, high)
    marks = [float(v) for v in np.arange(0.0, high + 0.1, step)]
    digits = 0 if step >= inch else 1
    words = [f"{v / inch:.{digits}f} in" if units == "us" else f"{v:.0f} mm" for v in marks]
    _scale(canvas, spot, list(zip(marks, words, strict=True)))
    starts = [index for index, _ in months_of(season)]
    for start, end, month in zip(starts, [*starts[1:], DAYS], outlook.months, strict=True):
        usual, dry, wet = month.rain_mm
        x0, y = spot(start, usual)
        x1, base = spot(end, 0.0)
        canvas.add(
            "rect", x=x0 + 1.0, y=y, width=x1 - x0 - 2.0, height=base - y, fill="#b9c9bd",
            stroke=GREEN, stroke_width=0.2,
        )  # fmt: skip
        middle = (start + end) / 2
        canvas.line(spot(middle, dry), spot(middle, wet), stroke=INK, stroke_width=0.35)
    hours = day_length_h(season.site.latitude, day_of_year(season.site))

    def of_hours(day: float, value: float) -> tuple[float, float]:
        return spot(day, value / 24.0 * high)

    _scale(canvas, of_hours, [(v, f"{v:.0f} h") for v in (0.0, 6.0, 12.0, 18.0, 24.0)], right=True)
    _line(canvas, of_hours, hours, stroke=SUN, stroke_width=0.7)
