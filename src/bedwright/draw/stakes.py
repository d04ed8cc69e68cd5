"""The outline to be staked: numbered stakes, the base line, north."""

from __future__ import annotations

import math

import numpy as np

from bedwright.draw.labels import Labels
from bedwright.draw.svg import GREEN, INK, LEAF, PAPER, SOFT, Canvas, Placing, outline_path, outward
from bedwright.report import Dug
from bedwright.units import say_length

WIDE, TALL, MARGIN = 88.0, 62.0, 10.0
"""Of the picture at most, and about the bed, millimetres."""


def stake_plan(bed: Dug) -> Canvas:
    """A bed's outline with its stakes, to be read beside their table."""
    x0, y0, x1, y1 = bed.outline.polygon.bounds
    spots = np.array([(0.0, 0.0), (x0, y0), (x1, y1), *(bed.outline.fixed or ())])
    (left, low), (right, high) = spots.min(axis=0).tolist(), spots.max(axis=0).tolist()
    mm = min((WIDE - 2 * MARGIN) / (right - left), (TALL - 2 * MARGIN) / (high - low))
    size = f"{say_length(x1 - x0, bed.brief.units)} by {say_length(y1 - y0, bed.brief.units)}"
    count = len(bed.ground.markout.stakes)
    canvas = Canvas(
        WIDE, (high - low) * mm + 2 * MARGIN, "Stakes",
        f"The bed's outline, {size}, with the base line and {count} stakes; the table says where"
        " each stands.",
    )  # fmt: skip
    place = Placing(1000.0 / mm, left, high, MARGIN, MARGIN)
    labels = Labels(canvas, PAPER)
    canvas.path(outline_path(bed.outline.polygon, place), fill=LEAF, stroke=INK, stroke_width=0.4)
    (ax, ay), (bx, by) = place.spot((left, 0.0)), place.spot((right, 0.0))
    canvas.line((ax - 4, ay), (bx + 6, by), stroke=SOFT, stroke_width=0.3,
                stroke_dasharray="2 1")  # fmt: skip
    canvas.path(f"M{bx + 6:.2f} {by - 1:.2f} l2 1 l-2 1 Z", fill=SOFT)
    zero = place.spot((0.0, 0.0))
    canvas.add("circle", cx=zero[0], cy=zero[1], r=1.1, fill=PAPER, stroke=INK, stroke_width=0.35)
    labels.put((zero[0] - 3.4, zero[1] + 2.6), ["0"], 2.8, 6.0, font_weight="bold")
    labels.put((bx - 4.0, by + 3.4), ["base line"], 2.4, 10.0, fill=SOFT)
    for letter, fixed in zip("AB", bed.outline.fixed or (), strict=False):
        a, b = place.spot(fixed)
        canvas.add("rect", x=a - 0.8, y=b - 0.8, width=1.6, height=1.6, fill=INK)
        labels.put((a + 2.6, b + 2.6), [letter], 2.8, 6.0, font_weight="bold")
    middle = np.array(place.spot(bed.outline.middle))
    for name, stake in zip(bed.ground.markout.names, bed.ground.markout.stakes, strict=True):
        a, b = place.spot(stake)
        dx, dy = outward(bed.outline.polygon, stake)
        canvas.add("circle", cx=a, cy=b, r=0.8 if name.isdigit() else 0.6, fill=GREEN)
        labels.put((a + 2.8 * dx, b - 2.8 * dy), [name], 2.4, 6.0, fill=GREEN)
    labels.put((float(middle[0]), float(middle[1])), [size], 2.7, 8.0, stroke=LEAF)
    dx, dy = bed.outline.toward(0.0)
    turn = math.degrees(math.atan2(dx, dy))
    canvas.open(transform=f"translate({WIDE - 5:.2f} 6) rotate({turn:.1f}) scale(0.5)")
    canvas.path("M0 -6 L2 4 L0 2.6 L-2 4 Z", fill=INK)
    canvas.close()
    canvas.text((WIDE - 5 + 4.4 * dx, 6 - 4.4 * dy + 0.8), "N", 2.3, text_anchor="middle",
                font_weight="bold")  # fmt: skip
    return canvas
