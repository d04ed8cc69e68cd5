"""Plants to an area against the densest packing and published spacing charts."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from bedwright.planting.place.stagger import EDGE_SHARE, Placed, fill_drift
from bedwright.units import AREA, LENGTH, parse

CHART_48 = {4: 4.5, 6: 10, 8: 18, 10: 28.5, 12: 41.5, 15: 64.5, 18: 92, 24: 165.5}
"""Square feet that 48 staggered plants cover, by spacing in inches: a nursery's flyer,
mcshanesnursery.com (read).  It rounds down, by up to 4%."""


@pytest.mark.parametrize("inches", CHART_48)
def test_a_lattice_covers_what_the_chart_says(inches: int) -> None:
    spacing = inches * 0.0254
    # A bed so large that its edge hardly counts.
    bed = shapely.box(0, 0, 60 * spacing, 60 * spacing)
    plants = len(fill_drift(bed, bed, spacing, Placed()))
    # Ground that belongs to the plants: within half a spacing of the outermost.
    covered = (60 - 2 * EDGE_SHARE + 1) ** 2 * spacing**2
    per_48 = 48 * covered / plants / parse("1 sq ft", AREA)
    # 4% for the chart's rounding, 2% for rows that do not close with the bed's far edge.
    assert per_48 == pytest.approx(CHART_48[inches], rel=0.06)
    assert per_48 >= CHART_48[inches]


def test_no_lattice_beats_the_densest_packing() -> None:
    """Thue, Fejes Toth: equal discs cover at most pi / (2 sqrt 3) of the plane."""
    for width, height, spacing in ((6, 2, 0.3), (3, 3, 0.25), (9, 5, 0.4)):
        bed = shapely.box(0, 0, width, height)
        spots = fill_drift(bed, bed, spacing, Placed())
        # Discs of half the spacing about each plant lie within the bed grown by what they overhang.
        overhang = (0.5 - EDGE_SHARE) * spacing
        room = (width + 2 * overhang) * (height + 2 * overhang)
        share = len(spots) * math.pi * (spacing / 2) ** 2 / room
        limit = math.pi / (2 * math.sqrt(3))
        assert share <= limit + 1e-9
        assert share >= 0.85 * limit
        near = np.linalg.norm(spots[:, None] - spots[None], axis=2)
        assert near[np.triu_indices(len(spots), 1)].min() >= spacing - 1e-9


def test_a_foot_apart_square_is_a_hundred_to_a_hundred_square_feet() -> None:
    """Landscape spacing tables (read, gloverperennials.com/?p=2150): 12 in, 100; staggered 15%
    more."""
    spacing = parse("12 in", LENGTH)
    bed = shapely.box(0, 0, 60 * spacing, 60 * spacing)
    plants = len(fill_drift(bed, bed, spacing, Placed()))
    covered = (60 - 2 * EDGE_SHARE + 1) ** 2 * spacing**2 / parse("100 sq ft", AREA)
    assert plants / covered == pytest.approx(100 * 2 / math.sqrt(3), rel=0.02)
