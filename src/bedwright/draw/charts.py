"""Charts of the sheets: when each kind is sown, goes out and blooms."""

from __future__ import annotations

from bedwright.dates import short_day_month
from bedwright.draw.glyphs import shade
from bedwright.draw.svg import FAINT, INK, PAPER, SOFT, Canvas
from bedwright.plan import Plan
from bedwright.report import months_of


def bloom_chart(plan: Plan, width_mm: float = 176.0) -> Canvas:
    """A row for each item: sown, set out, and the odds of bloom fortnight by fortnight."""
    items = plan.planting.items
    left, row, top = 44.0, 6.4, 9.0
    canvas = Canvas(
        width_mm, top + row * len(items) + 7.0, "When each kind flowers", _bloom_words(plan)
    )
    first = min(0, min(plan.days_of(item)[0] for item in items))
    mm = (width_mm - left - 2.0) / (365 - first)

    def at(day: float) -> float:
        return left + (day - first) * mm

    bottom = top + row * len(items)
    for index, name in months_of(plan.season):
        canvas.line((at(index), top - 2), (at(index), bottom), stroke=FAINT, stroke_width=0.2)
        canvas.text((at(index) + 1, top - 3), name, 2.7, fill=SOFT)
    if first < -45:
        canvas.text((at(first), top - 3), "before", 2.7, fill=SOFT)
    named = [(at(day), word) for day, word in _freezes(plan) if day is not None]
    middles = _apart([x for x, _ in named], FREEZE_MM, width_mm)
    for (x, word), middle in zip(named, middles, strict=True):
        canvas.line(
            (x, top - 1),
            (x, bottom),
            stroke="#3f6fa8",
            stroke_width=0.35,
            stroke_dasharray="1.2 0.8",
        )
        canvas.text((middle, bottom + 4.2), word, 2.4, fill="#3f6fa8", text_anchor="middle")
    for n, item in enumerate(items):
        y = top + n * row
        course, colour = item.candidate.course, item.candidate.colour.srgb
        canvas.text((1.5, y + 4.2), item.letter, 3.2, font_weight="bold")
        canvas.text((7, y + 4.2), _short(item.candidate.kind.name), 2.9)
        sown, out = (at(day) for day in plan.days_of(item))
        canvas.line((sown, y + 3.2), (out, y + 3.2), stroke=SOFT, stroke_width=0.45)
        canvas.add(
            "circle",
            cx=sown,
            cy=y + 3.2,
            r=0.9,
            fill=PAPER,
            stroke=INK,
            stroke_width=0.35,
        )
        canvas.path(f"M{out - 1.1:.2f} {y + 4.4:.2f} h2.2 l-1.1 -2.4 Z", fill=INK)
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


FREEZE_MM = 29.0
"""Room for a freeze's name below the bloom chart, with a gap."""


def _apart(middles: list[float], room: float, width: float) -> list[float]:
    """Middles of names, in order, moved so that each has its room and none leaves the sheet."""
    placed: list[float] = []
    for n, middle in enumerate(middles):
        left = placed[-1] + room if placed else room / 2
        placed.append(min(max(middle, left), width - room / 2 - room * (len(middles) - 1 - n)))
    return placed


def _freezes(plan: Plan) -> list[tuple[float | None, str]]:
    """The days of the last and of the first freeze at even odds, with what to call them."""
    found = [
        (plan.season.freeze(True).day_at(0.5), "last freeze, even odds"),
        (plan.season.freeze(False).day_at(0.5), "first freeze, even odds"),
    ]
    if plan.season.winter_amid and (found[0][0] or 0.0) <= (found[1][0] or 0.0):
        return []  # A winter that freezes about every second year has no such days.
    return sorted(found, key=lambda one: one[0] or 0.0)


def _bloom_words(plan: Plan) -> str:
    """The chart in words: each item's span of bloom."""
    said = []
    for item in plan.planting.items:
        typical = item.candidate.course.bloom.typical
        span = "not in flower this year"
        if item.candidate.kind.is_foliage:
            span = "foliage"
        elif typical:
            first, last = (plan.season.day(min(day, 364)) for day in typical)
            span = f"{short_day_month(first)} to {short_day_month(last)}"
        said.append(f"{item.letter} {item.label}: {span}")
    return "In flower in half of all years: " + "; ".join(said) + "."


def _short(name: str) -> str:
    return name if len(name) <= 24 else name[:23] + "…"
