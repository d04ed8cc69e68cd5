"""Colour difference and OKLCH against published values.

CIEDE2000: G. Sharma, W. Wu, E. N. Dalal, The CIEDE2000 Color-Difference Formula, Color Research and
Application 30 (2005), table 1, the first six pairs.  OKLCH of sRGB red, lime and blue: CSS Color
Module Level 4, sample values.  State of both: from memory.
"""

from __future__ import annotations

import pytest
from coloraide import Color

from bedwright.planting.palette.colour import difference, tone_of

SHARMA = [
    ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
    ((50.0, 3.1571, -77.2803), (50.0, 0.0, -82.7485), 2.8615),
    ((50.0, 2.8361, -74.0200), (50.0, 0.0, -82.7485), 3.4412),
    ((50.0, -1.3802, -84.2814), (50.0, 0.0, -82.7485), 1.0000),
    ((50.0, -1.1848, -84.8006), (50.0, 0.0, -82.7485), 1.0000),
    ((50.0, -0.9009, -85.5211), (50.0, 0.0, -82.7485), 1.0000),
]


@pytest.mark.parametrize(("one", "other", "published"), SHARMA)
def test_the_librarys_difference(
    one: tuple[float, ...], other: tuple[float, ...], published: float
) -> None:
    found = Color("lab-d65", list(one)).delta_e(Color("lab-d65", list(other)), method="2000")
    assert found == pytest.approx(published, abs=5e-5)


def test_ours_is_the_librarys() -> None:
    assert difference("#d01030", "#d01030") == 0
    assert difference("#d01030", "#e0218a") == pytest.approx(
        Color("#d01030").delta_e("#e0218a", method="2000")
    )


@pytest.mark.parametrize(
    ("srgb", "lightness", "chroma", "hue"),
    [
        ("#ff0000", 0.628, 0.2577, 29.23),
        ("#00ff00", 0.866, 0.2948, 142.50),
        ("#0000ff", 0.452, 0.3132, 264.05),
    ],
)
def test_oklch(srgb: str, lightness: float, chroma: float, hue: float) -> None:
    tone = tone_of(srgb)
    assert tone.lightness == pytest.approx(lightness, abs=0.001)
    assert tone.chroma == pytest.approx(chroma, abs=0.001)
    assert tone.hue == pytest.approx(hue, abs=0.1)
