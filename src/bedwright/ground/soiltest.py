"""What a soil test's figures mean: low, medium or high, by the way they were extracted.

The same soil gives other figures in other extractants, so a figure without its method says nothing.
"""

from __future__ import annotations

from typing import Literal

from bedwright.brief import SoilTest

Level = Literal["low", "medium", "high"]
Nutrient = Literal["phosphorus", "potassium"]

MEDIUM_FROM_PPM: dict[str, dict[Nutrient, tuple[float, float]]] = {
    "Mehlich-3": {"phosphorus": (23.0, 36.0), "potassium": (41.0, 73.0)},
    "Bray P1": {"phosphorus": (11.1, 21.9), "potassium": (51.0, 101.0)},
    "Olsen": {"phosphorus": (10.0, 16.0), "potassium": (51.0, 101.0)},
    "modified Morgan": {"phosphorus": (2.0, 4.0), "potassium": (50.0, 100.0)},
}
"""Parts per million at which medium and high begin, of phosphorus and of potassium.

Mehlich-3: Rutgers Soil Testing Laboratory, Relative Levels of Nutrients (read; 46 and 72, 82 and
146 lb an acre).  Bray P1: those through Bray = 0.832 x Mehlich-3 - 8.08 (Ohio State University,
Understanding Soil Test Reports for Phosphorus Values, read).  Olsen: indices 1 and 2, 10 and 16
mg/L (Nutrient Action Programme Regulations (Northern Ireland) 2019, schedule 5, read).  Potassium
beside Bray and Olsen by ammonium acetate, and modified Morgan: from memory."""


def level_of(test: SoilTest, nutrient: Nutrient) -> Level | None:
    """The level that a test gives, or its figure amounts to; None where it gives neither."""
    value = test.phosphorus if nutrient == "phosphorus" else test.potassium
    if value is None or isinstance(value, str):
        return value
    assert test.method is not None  # the brief wants a method beside figures
    medium, high = MEDIUM_FROM_PPM[test.method][nutrient]
    return "high" if value >= high else "medium" if value >= medium else "low"
