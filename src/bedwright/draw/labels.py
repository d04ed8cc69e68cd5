"""Words on a picture, set where they cover least of what is there already."""

from __future__ import annotations

import math
from typing import Any

from bedwright.draw.svg import INK, Canvas

EM_WIDTH = 0.47
"""Mean width of a letter of the sheets' type, in its size."""
LINE_HEIGHT = 1.1
Box = tuple[float, float, float, float]
"""Left, top, right, bottom, millimetres."""


class Labels:
    """Places words on a canvas one after the other, each as near to its spot as is free."""

    def __init__(self, canvas: Canvas, halo: str) -> None:
        self.canvas, self.halo = canvas, halo
        self.taken: list[tuple[Box, float]] = []

    def keep_free(self, box: Box, weight: float = 1.0) -> None:
        """Ground that words had better not cover; ``weight``: how much better."""
        self.taken.append((box, weight))

    def put(
        self,
        at: tuple[float, float],
        lines: list[str],
        size: float = 2.7,
        reach: float = 26.0,
        **style: Any,
    ) -> None:
        """Lines of words, the first at a size, others a little smaller, about a spot."""
        wide = max(len(line) for line in lines) * EM_WIDTH * size
        high = size * LINE_HEIGHT * len(lines)
        best = min((self._cost(at, spot, wide, high), spot) for spot in _round_about(at, reach))[1]
        x, y = self._inside(best, wide, high)
        self.taken.append(((x - wide / 2, y - high / 2, x + wide / 2, y + high / 2), 1.0))
        for n, line in enumerate(lines):
            base = y - high / 2 + size * (0.85 + LINE_HEIGHT * n)
            settings = {"fill": INK, "stroke": self.halo, "stroke_width": 0.8,
                        "paint_order": "stroke", "text_anchor": "middle", **style}  # fmt: skip
            self.canvas.text((x, base), line, size if n == 0 else 0.88 * size, **settings)

    def _inside(self, at: tuple[float, float], wide: float, high: float) -> tuple[float, float]:
        edge = 0.8
        x = min(max(at[0], wide / 2 + edge), self.canvas.width - wide / 2 - edge)
        y = min(max(at[1], high / 2 + edge), self.canvas.height - high / 2 - edge)
        return x, y

    def _cost(
        self, at: tuple[float, float], spot: tuple[float, float], wide: float, high: float
    ) -> float:
        x, y = self._inside(spot, wide, high)
        left, top, right, bottom = x - wide / 2, y - high / 2, x + wide / 2, y + high / 2
        cost = 0.35 * math.hypot(x - at[0], y - at[1])
        for (a, b, c, d), weight in self.taken:
            over = max(min(right, c) - max(left, a), 0.0) * max(min(bottom, d) - max(top, b), 0.0)
            cost += 4.0 * weight * over
        return cost


def _round_about(at: tuple[float, float], reach: float) -> list[tuple[float, float]]:
    """The spot, then rings of spots about it."""
    rings = int(reach / 2.0)
    return [at] + [
        (at[0] + 2.0 * ring * math.cos(turn), at[1] + 2.0 * ring * math.sin(turn))
        for ring in range(1, rings + 1)
        for turn in (2 * math.pi * k / 12 for k in range(12))
    ]
