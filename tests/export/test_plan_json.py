"""plan.json's own form: outlines as RFC 7946 has them, on a grid that keeps them valid."""

from __future__ import annotations

import json

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bedwright.export import plan_json
from bedwright.export.json_plan import GRID_M, _outline, _rounded
from bedwright.plan import Plan


def multipolygon(coordinates: object) -> shapely.MultiPolygon:
    """As a reader of RFC 7946 geometries has it."""
    text = json.dumps({"type": "MultiPolygon", "coordinates": coordinates})
    return shapely.from_geojson(text)  # type: ignore[no-any-return]


def test_outlines_in_the_file_are_valid_and_where_they_are(example: Plan) -> None:
    document = json.loads(plan_json(example))
    bed = multipolygon(document["bed"]["outline"])
    assert bed.is_valid
    assert bed.area == pytest.approx(
        example.outline.area_m2, abs=example.outline.perimeter_m * GRID_M
    )
    for drift, written in zip(example.planting.drifts, document["drifts"], strict=True):
        shape = multipolygon(written["outline"])
        assert shape.is_valid
        # Slivers narrower than the grid may go.
        assert shape.symmetric_difference(drift.polygon).area <= drift.polygon.length * GRID_M
        assert len(written["plants"]) == len(drift.places)


@given(
    st.lists(st.floats(0.05, 1.0), min_size=5, max_size=60),
    st.tuples(st.floats(-400, 400), st.floats(-400, 400)),
)
def test_any_outline_stays_valid_and_to_the_millimetre(
    radii: list[float], middle: tuple[float, float]
) -> None:
    """Stars with sharp points, far from the start of the base line."""
    angles = np.linspace(0, 2 * np.pi, len(radii), endpoint=False)
    ring = np.column_stack([np.cos(angles), np.sin(angles)]) * np.array(radii)[:, None] + middle
    star = shapely.Polygon(ring)
    written = multipolygon(_rounded(_outline(star)))
    assert written.is_valid
    assert written.symmetric_difference(star).area <= star.length * GRID_M
    corners = shapely.get_coordinates(written)
    assert np.abs(corners - np.round(corners, 4)).max() < 1e-9


def test_light_stands_by_cell_and_fortnight(oval: Plan) -> None:
    light = json.loads(plan_json(oval))["light"]
    hours = np.array(light["hours_by_fortnight"])
    assert hours.shape == (26, len(light["cells"]))
    assert hours == pytest.approx(oval.light.hours, abs=0.00501)


def test_each_statement_carries_its_code_and_values(example: Plan) -> None:
    document = json.loads(plan_json(example))
    said = [entry["reason"] for entry in document["left_out"]] + document["notes"]
    assert all(set(one) == {"code", "values", "text"} and one["text"] for one in said)
