from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.catalogue import ROW_RISE
from bedwright.planting.place.rows import OFF_ROW, rows_of
from bedwright.planting.place.stagger import Placed, fill_drift, fill_line


def lines_of(rows: tuple[np.ndarray, ...]) -> shapely.MultiLineString:
    return shapely.MultiLineString(list(rows))


def test_a_lattice_is_sown_in_its_rows() -> None:
    """By hand: three rows of four, three and four, 30 cm apart in the row."""
    rise = 0.3 * ROW_RISE
    rows = [(0.0, 4, 0.0), (rise, 3, 0.15), (2 * rise, 4, 0.0)]
    places = np.array([[0.3 * k + start + 0.2, y + 0.2] for y, n, start in rows for k in range(n)])
    rows = rows_of(shapely.box(0, 0, 2, 2), places, 0.3, False)
    assert len(rows) == 3
    assert sorted(round(shapely.LineString(line).length, 6) for line in rows) == [0.9, 1.2, 1.2]
    levels = sorted(float(line[:, 1].mean()) for line in rows)
    assert np.diff(levels) == pytest.approx([rise, rise])


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.floats(0.5, 1.5), min_size=5, max_size=8),
    st.sampled_from([0.15, 0.2, 0.3]),
)
def test_every_plant_stands_on_a_drill_and_every_drill_in_its_drift(
    radii: list[float], spacing: float
) -> None:
    angles = np.linspace(0, 2 * np.pi, len(radii), endpoint=False)
    bed = shapely.Polygon(np.column_stack([np.cos(angles), np.sin(angles)]) * np.c_[radii])
    places = fill_drift(bed, bed, spacing, Placed())
    rows = lines_of(rows_of(bed, places, spacing, False))
    assert bed.buffer(1e-5).covers(rows)
    gap = shapely.distance(shapely.points(places), rows)
    assert gap.max() <= OFF_ROW * spacing
    # A row to each row: a lattice holds one plant to spacing by rise.
    assert rows.length == pytest.approx(len(places) * spacing, rel=0.35)


def test_a_row_of_edging_is_its_own_drill() -> None:
    bed = shapely.box(0, 0, 3, 1)
    ribbon = shapely.box(0, 0, 3, 0.2)
    places = fill_line(ribbon, bed, 0.2, Placed())
    rows = rows_of(ribbon, places, 0.2, True)
    assert shapely.distance(shapely.points(places), lines_of(rows)).max() < 1e-9


def test_no_plants_no_drills() -> None:
    assert rows_of(shapely.box(0, 0, 1, 1), np.empty((0, 2)), 0.3, False) == ()
