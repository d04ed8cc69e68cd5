"""Colour: OKLCH coordinates, plain hue names, how a colour suits a scheme and how two go together.

OKLCH and CIEDE2000 are coloraide's.  Hue angles: red about 29, orange 60, yellow 105, green 142,
blue 264, violet 300, magenta 328 degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

NEUTRAL_CHROMA = 0.045


@dataclass(frozen=True)
class Tone:
    """A colour in OKLCH: lightness 0 to 1, chroma, hue in degrees."""

    lightness: float
    chroma: float
    hue: float

    @cached_property
    def neutral(self) -> bool:
        """White, cream or grey, which go with everything."""
        return self.chroma < NEUTRAL_CHROMA

    @cached_property
    def name(self) -> str:
        """Plain word for the hue."""
        if self.neutral:
            return "white" if self.lightness > 0.85 else "grey"
        if self.lightness > 0.93 and self.chroma < 0.10:
            return "cream"
        word = next(word for limit, word in _HUES if self.hue < limit)
        if word in ("red", "magenta") and self.lightness > 0.7:
            return "pink"
        if word == "orange" and self.lightness < 0.45:
            return "brown"
        return word


_HUES = (
    (8.0, "magenta"),
    (42.0, "red"),
    (78.0, "orange"),
    (118.0, "yellow"),
    (190.0, "green"),
    (285.0, "blue"),
    (325.0, "purple"),
    (360.1, "magenta"),
)
COLOUR_WORDS = (
    "white",
    "cream",
    "yellow",
    "orange",
    "red",
    "pink",
    "magenta",
    "purple",
    "blue",
    "green",
    "brown",
    "grey",
)
BEHIND = ("#4c7031", "#5a4634")
"""A leaf's green and a moist loam's brown (estimate)."""

STANDS_OUT = 35.0
"""CIEDE2000 difference from what is behind at which a flower is seen from afar (estimate)."""

STRONG = 0.2
"""Chroma of a strong colour in OKLCH (estimate)."""

ANCHORS = tuple(range(0, 360, 30))


@cache
def tone_of(srgb: str) -> Tone:
    """OKLCH of ``#rrggbb``."""
    from coloraide import Color

    lightness, chroma, hue = Color(srgb).convert("oklch").coords(nans=False)
    return Tone(float(lightness), float(chroma), float(hue) % 360.0)


@cache
def _lab(srgb: str) -> Any:
    """``#rrggbb`` in the space in which differences are taken: each colour meets hundreds."""
    from coloraide import Color

    return Color(srgb).convert("lab-d65")


@cache
def difference(one: str, other: str) -> float:
    """CIEDE2000 difference of two sRGB colours."""
    return float(_lab(one).delta_e(_lab(other), method="2000"))


@cache
def shows(srgb: str) -> float:
    """How well a flower stands out from leaves and bare soil, 0 to 1: dark reds and purples recede
    (common practice, no source)."""
    return min(min(difference(srgb, other) for other in BEHIND) / STANDS_OUT, 1.0)


def apart(one: float, other: float) -> float:
    """Angle between two hues, 0 to 180 degrees."""
    return abs((one - other + 180.0) % 360.0 - 180.0)


def suits(tone: Tone, scheme: str, anchor: float) -> float:
    """How well a colour suits a scheme, 0 to 1.

    ``anchor``: the hue that schemes of one, neighbouring, opposite or third hues are built on.
    """
    if scheme == "white":
        return 1.0 if tone.neutral or tone.name == "cream" else 0.0
    if tone.neutral or (tone.name == "cream" and scheme != "single colour"):
        return 0.85
    if scheme == "pastel":
        return 1.0 if tone.lightness > 0.78 and tone.chroma < 0.15 else 0.0
    if scheme == "hot":
        return 1.0 if 8 <= tone.hue <= 115 and tone.chroma > 0.10 else 0.0
    if scheme == "cool":
        return 1.0 if 215 <= tone.hue <= 350 else 0.0
    near = apart(tone.hue, anchor)
    if scheme == "single colour":
        return 1.0 if near <= 20 else 0.0
    if scheme == "complementary":
        return 1.0 if near <= 30 or apart(tone.hue, anchor + 180) <= 30 else 0.0
    if scheme == "triadic":
        return 1.0 if min(apart(tone.hue, anchor + turn) for turn in (0, 120, 240)) <= 25 else 0.0
    if scheme == "analogous":
        return 1.0 if near <= 55 else 0.0
    # Any: neighbours of the anchor, with its opposite as an accent.
    if near <= 55:
        return 1.0
    return 0.6 if apart(tone.hue, anchor + 180) <= 30 else 0.25


def discord(one: str, other: str) -> float:
    """How ill two colours stand side by side, 0 to 1.

    Strong colours whose hues are neither near nor far apart jar most; colours that hardly differ
    are a little dull.  White and pale tones soothe (common practice, no source).
    """
    a, b = tone_of(one), tone_of(other)
    if difference(one, other) < 8:
        return 0.25
    if a.neutral or b.neutral:
        return 0.0
    gap = apart(a.hue, b.hue)
    middle = max(0.0, 1.0 - abs(gap - 65.0) / 45.0)
    strength = min(a.chroma, b.chroma) / STRONG
    return min(middle * strength, 1.0)
