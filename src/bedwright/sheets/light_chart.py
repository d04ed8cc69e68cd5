"""The sun on the bed on one page: the map, what its greys and lines mean, and a strip of months."""

from __future__ import annotations

from bedwright.light import EXPOSURES, LEAST_H, exposure_shares
from bedwright.sheets.light_grid import BOUNDS, grey, shade
from bedwright.sheets.light_map import sun_map
from bedwright.sheets.light_table import Sunlit, sun_months
from bedwright.sheets.svg import INK, SOFT, Canvas, Placing
from bedwright.sheets.words import compass_point

COARSE_PATCHES = 220
"""Patches of each small map of the strip of months."""
WIDE, MAP, SMALL, ACROSS = 178.0, 112.0, 26.0, 6
"""Widths of the page, the map and a month's map, millimetres; months in a row."""


def light_chart(lit: Sunlit, fortnights: slice) -> Canvas:
    """The bed and its surroundings over the growing season, and a small map of each month."""
    whole = sun_map(lit, fortnights, MAP)
    x0, y0, x1, y1 = lit.outline.polygon.bounds
    mm = min(SMALL / (x1 - x0), 1.6 * SMALL / (y1 - y0))
    tall = mm * (y1 - y0)
    top = 9.0 + max(whole.height, 88.0) + 9.0
    canvas = Canvas(WIDE, top + 2 * (tall + 10.0) - 4.0, "Sun on the bed")
    first, last = (lit.season.day(n * 14) for n in (fortnights.start, fortnights.stop))
    canvas.text((1.0, 4.6), lit.brief.title, 4.4, font_weight="bold")
    canvas.text(
        (WIDE - 1.0, 4.6), f"{first:%-d %B} to {last:%-d %B}", 3.2, text_anchor="end", fill=SOFT
    )
    canvas.open(transform="translate(1 8)")
    canvas.graft(whole)
    canvas.close()
    _greys(canvas, 118.0, 12.0)
    _exposures(canvas, lit, fortnights, 118.0, 50.0)
    _lie(canvas, lit, 118.0, 80.0)
    for n, month in enumerate(sun_months(lit)):
        left, high = 1.0 + (n % ACROSS) * (SMALL + 4.0), top + (n // ACROSS) * (tall + 10.0)
        canvas.text((left, high), month.name[:3], 3.0, font_weight="bold")
        canvas.text((left + 8.0, high), f"{month.middle:.1f} h", 2.8, fill=SOFT)
        place = Placing(1000.0 / mm, x0, y1, left, high + 2.0)
        hours = lit.light.hours[month.fortnight]
        shade(canvas, lit, hours, place, f"month-{n}", COARSE_PATCHES, 0.3)
    return canvas


def _greys(canvas: Canvas, x: float, y: float) -> None:
    """What the greys mean."""
    canvas.text((x, y), "Direct sun a day, clear sky", 3.0, font_weight="bold")
    for n, hours in enumerate((10, 8, 6, 5, 4, 3, 2, 1, 0)):
        top = y + 2.0 + n * 3.4
        canvas.add("rect", x=x, y=top, width=8.0, height=3.4, fill=grey(hours), stroke=SOFT,
                   stroke_width=0.15)  # fmt: skip
        canvas.text((x + 10.0, top + 2.7), f"{hours} h{' and more' if hours == 10 else ''}", 2.6)


def _exposures(canvas: Canvas, lit: Sunlit, fortnights: slice, x: float, y: float) -> None:
    """The exposures: their bounds, the lines between them, and how much of the bed has each."""
    shares = exposure_shares(lit.light.over(fortnights))
    canvas.text((x, y), "Exposure", 3.0, font_weight="bold")
    canvas.text((WIDE - 1.0, y), "of the bed", 2.6, text_anchor="end", fill=SOFT)
    uppers = (None, *LEAST_H[:-1])
    for n, (name, low, high) in enumerate(zip(EXPOSURES, LEAST_H, uppers, strict=True)):
        at = y + 5.0 + n * 5.2
        words = f"{low:g} h and more" if high is None else f"{low:g} to {high:g} h"
        canvas.text((x, at), name, 2.8)
        canvas.text((x + 18.0, at), words if low else f"below {high:g} h", 2.6, fill=SOFT)
        canvas.text((WIDE - 1.0, at), f"{shares[name]:.0%}", 2.8, text_anchor="end")
        if low in BOUNDS:
            canvas.line((x, at + 1.7), (x + 40.0, at + 1.7), stroke=INK, stroke_width=0.35,
                        stroke_dasharray=BOUNDS[low])  # fmt: skip


def _lie(canvas: Canvas, lit: Sunlit, x: float, y: float) -> None:
    """The slope and the skyline, where the brief states them."""
    rows = []
    if lit.brief.bed.slope and lit.brief.bed.aspect is not None:
        rows.append(f"Falls {lit.brief.bed.slope:.0%} toward {compass_point(lit.brief.bed.aspect)}")
    if lit.brief.place.horizon:
        tops = sorted(lit.brief.place.horizon)
        hills = ", ".join(f"{compass_point(b)} {height:g}°" for b, height in tops)
        rows.append(f"Skyline: {hills}")
    for n, words in enumerate(rows):
        canvas.text((x, y + 4.4 * n), words, 2.6)
