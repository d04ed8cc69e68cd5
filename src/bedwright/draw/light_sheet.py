"""The sun on the bed on one page: the map, what its greys and lines mean, and a strip of months."""

from __future__ import annotations

import math
import textwrap

import numpy as np

from bedwright.dates import day_month
from bedwright.draw.light_grid import BOUNDS, MOST_H, grey, shade
from bedwright.draw.light_map import sun_map
from bedwright.draw.svg import FAINT, INK, SOFT, Canvas, Placing
from bedwright.light import EXPOSURES, LEAST_H, exposure_shares, skyline_deg
from bedwright.report import Sunlit, sun_months
from bedwright.units import trim

COARSE_PATCHES = 400
"""Patches of each small map of the strip of months."""
WIDE, MAP, SMALL, ACROSS = 178.0, 112.0, 26.0, 6
"""Widths of the page, the map and a month's map, millimetres; months in a row."""
KEY = 118.0
"""Where the key begins."""
LINE_PITCH = 4.2


def _by_month(lit: Sunlit) -> str:
    """The small maps in words."""
    said = (f"{month.name} {month.middle:.1f}" for month in sun_months(lit))
    return f"Half of the bed has more than these hours a day: {', '.join(said)}."


def light_chart(lit: Sunlit, fortnights: slice) -> Canvas:
    """The bed and its surroundings over the growing season, and a small map of each month."""
    title = textwrap.wrap(lit.brief.title, 68)
    head = 3.4 + 5.4 * len(title)
    whole = sun_map(lit, fortnights, MAP)
    x0, y0, x1, y1 = lit.outline.polygon.bounds
    mm = min(SMALL / (x1 - x0), 1.6 * SMALL / (y1 - y0))
    tall = mm * (y1 - y0)
    foot = 8.0 if _is_flat(lit) else 8.0 + 29.0
    top = head + max(whole.height, 76.0 + foot) + 11.0
    canvas = Canvas(WIDE, top + 2 * (tall + 10.0) - 4.0, "Sun on the bed",
                    f"{whole.words} {_by_month(lit)}")  # fmt: skip
    for n, words in enumerate(title):
        canvas.text((1.0, 5.0 + 5.4 * n), words, 4.4, font_weight="bold")
    canvas.open(transform=f"translate(1 {head:.2f})")
    canvas.graft(whole)
    canvas.close()
    first, last = (lit.season.day(n * 14) for n in (fortnights.start, fortnights.stop))
    canvas.text((KEY, head + 2.6), "Direct sun a day, clear sky", 3.0, font_weight="bold")
    canvas.text(
        (KEY, head + 6.6), f"mean of {day_month(first)} to {day_month(last)}", 2.6, fill=SOFT
    )
    _greys(canvas, head + 9.0)
    _exposures(canvas, lit, fortnights, head + 53.0)
    _terrain(canvas, lit, head + 84.0)
    canvas.text((1.0, top - 5.6), "Month by month", 3.0, font_weight="bold")
    canvas.text((25.0, top - 5.6), "about the middle of each; half of the bed has more hours than"
                " said, half less", 2.6, fill=SOFT)  # fmt: skip
    for n, month in enumerate(sun_months(lit)):
        left, high = 1.0 + (n % ACROSS) * (SMALL + 4.0), top + (n // ACROSS) * (tall + 10.0)
        canvas.text((left, high), month.name[:3], 3.0, font_weight="bold")
        canvas.text((left + 8.0, high), f"{month.middle:.1f} h", 2.8, fill=SOFT)
        place = Placing(1000.0 / mm, x0, y1, left, high + 2.0)
        hours = lit.light.hours[month.fortnight]
        shade(canvas, lit, hours, place, f"month-{n}", COARSE_PATCHES, 0.3)
    return canvas


def _greys(canvas: Canvas, y: float) -> None:
    """What the greys mean."""
    steps = (14, 12, 10, 8, 6, 5, 4, 3, 2, 1, 0)
    for n, hours in enumerate(steps):
        top = y + n * 3.3
        canvas.add("rect", x=KEY, y=top, width=8.0, height=3.3, fill=grey(hours), stroke=SOFT,
                   stroke_width=0.15)  # fmt: skip
        more = " and more" if hours == MOST_H else ""
        canvas.text((KEY + 10.0, top + 2.6), f"{hours} h{more}", 2.5)


def _exposures(canvas: Canvas, lit: Sunlit, fortnights: slice, y: float) -> None:
    """The exposures: their bounds, the lines between them, and how much of the bed has each."""
    shares = exposure_shares(lit.light.over(fortnights))
    canvas.text((KEY, y), "Exposure", 3.0, font_weight="bold")
    canvas.text((WIDE - 1.0, y), "of the bed", 2.5, text_anchor="end", fill=SOFT)
    uppers = (None, *LEAST_H[:-1])
    for n, (name, low, high) in enumerate(zip(EXPOSURES, LEAST_H, uppers, strict=True)):
        at = y + 4.8 + n * LINE_PITCH
        words = f"{low:g} h and more" if high is None else f"{low:g} to {high:g} h"
        canvas.text((KEY, at), name, 2.7)
        canvas.text((KEY + 16.0, at), words if low else f"below {high:g} h", 2.5, fill=SOFT)
        canvas.text((WIDE - 1.0, at), f"{shares[name]:.0%}", 2.7, text_anchor="end")
    at = y + 4.8 + len(EXPOSURES) * LINE_PITCH
    canvas.text((KEY, at), "Lines where they change:", 2.5, fill=SOFT)
    for n, (hours, dashes) in enumerate(BOUNDS.items()):
        x = KEY + n * 19.0
        canvas.line((x, at + 3.4), (x + 9.0, at + 3.4), stroke=INK, stroke_width=0.35,
                    stroke_dasharray=dashes)  # fmt: skip
        canvas.text((x + 10.5, at + 4.3), f"{hours:g} h", 2.5)


def _is_flat(lit: Sunlit) -> bool:
    return not (lit.brief.bed.slope or lit.brief.place.horizon)


def _terrain(canvas: Canvas, lit: Sunlit, y: float) -> None:
    """The slope, with an arrow down it as the map lies, and the skyline as a profile."""
    bed = lit.brief.bed
    if bed.slope and bed.aspect is not None:
        dx, dy = lit.outline.toward(bed.aspect)
        turn = math.degrees(math.atan2(-dy, dx))
        canvas.open(transform=f"translate({KEY + 3.5:.2f} {y + 0.6:.2f}) rotate({turn:.1f})")
        canvas.path("M-3 0 h4.4 M1 -1.1 L3.2 0 L1 1.1 Z", fill=INK, stroke=INK, stroke_width=0.35)
        canvas.close()
        canvas.text(
            (KEY + 9.0, y + 1.4), f"The ground falls {trim(100 * bed.slope)}% this way", 2.5
        )
        y += 8.0
    if not lit.brief.place.horizon:
        return
    canvas.text((KEY, y), "Skyline, degrees above level", 2.5)
    bearings = np.linspace(0.0, 360.0, 181)
    heights = skyline_deg(bearings, lit.brief.place.horizon)
    wide, mm = WIDE - 1.0 - KEY, 10.0 / max(float(heights.max()), 10.0)
    base = y + 3.0 + mm * float(heights.max()) + 1.5
    spots = " ".join(
        f"{KEY + wide * b / 360:.2f},{base - mm * h:.2f}"
        for b, h in zip(bearings, heights, strict=True)
    )
    canvas.add("polygon", points=f"{KEY:.2f},{base:.2f} {spots} {KEY + wide:.2f},{base:.2f}",
               fill=FAINT, stroke=SOFT, stroke_width=0.2)  # fmt: skip
    last = -10.0
    for bearing, height in sorted(lit.brief.place.horizon):
        x = KEY + wide * bearing / 360
        if height > 0 and x - last > 4.5:
            last = x
            canvas.text((x, base - mm * height - 0.6), f"{trim(height)}°", 2.1,
                        text_anchor="middle")  # fmt: skip
    for n, name in enumerate("NESWN"):
        canvas.text((KEY + wide * n / 4, base + 2.8), name, 2.3, text_anchor="middle", fill=SOFT)
