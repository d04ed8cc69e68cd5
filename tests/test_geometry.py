from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from awkward import BEDS
from bedwright.brief import BriefError
from bedwright.geometry import (
    AreaOutOfBounds,
    CornerRepeats,
    CornersOnOneLine,
    EdgeCrosses,
    FootprintTooSmall,
    GeometryError,
    Misfit,
    NoFreeGround,
    OffsetsAtOneX,
    Spike,
    TooLong,
    TooNarrow,
    cells_in,
    footprint,
    outline_of,
)
from bedwright.report import fault_of
from conftest import brief_of


def outline(**bed: object):
    return outline_of(brief_of(bed=bed).bed)


def test_areas() -> None:
    assert outline(shape="rectangle", length="4 m", width="2 m").area_m2 == pytest.approx(8)
    # 128 sides fall 0.04% short of the circle.
    circle = outline(shape="circle", diameter="3 m")
    assert circle.area_m2 == pytest.approx(math.pi * 1.5**2, rel=5e-4)
    ellipse = outline(shape="ellipse", length="5 m", width="3 m")
    assert ellipse.area_m2 == pytest.approx(math.pi * 2.5 * 1.5, rel=5e-4)
    triangle = outline(shape="polygon", corners=[["0 m", "0 m"], ["3 m", "0 m"], ["0 m", "4 m"]])
    assert triangle.area_m2 == pytest.approx(6)
    assert triangle.perimeter_m == pytest.approx(12)


def test_a_straight_edge_by_offsets_is_a_trapezium() -> None:
    bed = outline(
        shape="offsets", offsets=[["0 m", "1 m"], ["2 m", "1.5 m"], ["4 m", "2 m"]], bearing=0
    )
    assert bed.area_m2 == pytest.approx(6.0, rel=1e-6)


def test_the_frame_lies_on_the_compass() -> None:
    east = outline(shape="rectangle", length="4 m", width="2 m", bearing="E")
    assert east.toward(90) == pytest.approx((1, 0))
    assert east.toward(0) == pytest.approx((0, 1))
    south_west = outline(shape="rectangle", length="4 m", width="2 m", bearing=225)
    assert south_west.toward(225) == pytest.approx((1, 0))
    assert south_west.compass_of(0, 1) == pytest.approx(135)
    assert south_west.compass_of(*south_west.toward(310)) == pytest.approx(310)


def test_a_house_faces_the_bed() -> None:
    brief = brief_of(
        bed={"shape": "circle", "diameter": "2 m", "bearing": "E"},
        surroundings=[
            {"kind": "building", "bearing": "N", "distance": "5 m", "width": "8 m", "depth": "6 m",
             "height": "4 m"},
            {"kind": "wall", "bearing": "W", "distance": "3 m", "length": "4 m", "height": "2 m"},
        ],
    )  # fmt: skip
    bed = outline_of(brief.bed)
    house, wall = (footprint(bed, thing) for thing in brief.surroundings)
    assert house.bounds == pytest.approx((1 - 4, 5, 1 + 4, 11))
    assert wall.bounds == pytest.approx((-2.1, -2, -1.9, 2))


def test_bad_outlines_name_the_field() -> None:
    with pytest.raises(GeometryError) as caught:
        outline_of(
            brief_of(
                bed={
                    "shape": "offsets",
                    "offsets": [["0 m", "1 m"], ["1 m", "1 m"], ["2 m", "1 m"]],
                }
            ).bed.model_copy(update={"offsets": ((0.0, 1.0), (0.0, 1.0), (2.0, 1.0))})
        )
    assert caught.value.field == "offsets"
    assert caught.value.fact == OffsetsAtOneX("offsets")


@pytest.mark.parametrize("name", BEDS)
def test_awkward_beds_are_sound(name: str) -> None:
    bed = outline_of(brief_of(bed=BEDS[name]).bed)
    assert bed.polygon.is_valid
    cells = cells_in(bed.polygon, 0.1)
    assert len(cells) > 0
    assert shapely.contains_xy(bed.polygon, cells[:, 0], cells[:, 1]).all()
    # The cells' area is the bed's, give or take the cells along its edge.
    assert len(cells) * 0.01 == pytest.approx(bed.area_m2, abs=0.1 * bed.perimeter_m + 0.02)


def test_free_ground_may_fall_apart_or_vanish() -> None:
    bed = outline(shape="rectangle", length="4 m", width="1 m")
    band = shapely.box(1.5, -1, 2.5, 2)
    left = bed.free_ground([band])
    assert left.geom_type == "MultiPolygon"
    assert left.area == pytest.approx(3.0)
    with pytest.raises(GeometryError) as caught:
        bed.free_ground([shapely.box(-1, -1, 9, 9)])
    assert caught.value.fact == NoFreeGround("existing", 0.05)


def test_cells_of_a_speck() -> None:
    speck = shapely.Point(0, 0).buffer(0.01)
    assert np.allclose(cells_in(speck, 0.5), 0.0, atol=0.01)


@pytest.mark.parametrize(
    ("corners", "said"),
    [
        ([(0, 0), (2, 2), (2, 0), (0, 2)], "crosses itself near x, y = 1.00 m, 1.00 m"),
        ([(0, 0), (4, 3), (4, 0), (0, 2)], "crosses itself near"),
        ([(0, 0), (2, 2), (4, 4)], "all lie on one line"),
        ([(0, 0), (2, 0), (4, 0), (2, 0)], "all lie on one line"),
        ([(0, 0), (2, 0), (2, 0), (2, 2), (0, 2)], "corner 3 on corner 2"),
        ([(0, 0), (2, 0), (1, 1), (2, 2), (0, 2), (1, 1)], "crosses itself near"),
        ([(0, 0), (4, 0), (4, 2), (2, 0), (0, 2)], "crosses itself near"),
        ([(0, 0), (2, 0), (4, 0), (2, 0), (2, 2), (0, 2)], "a spike of 0° at corner 3"),
        ([(0, 0), (2, 0), (2, 1), (5, 1.0005), (2, 1.001), (2, 2), (0, 2)], "at corner 4"),
        ([(0, 0), (2, 0), (2, 2), (1, 2), (1, 1), (1, 2), (0, 2)], "a spike of 0° at corner 5"),
        ([(0, 0), (2, 0), (2, 2), (0, 2), (0, 0), (2, 0), (2, 2), (0, 2)], "crosses itself near"),
        ([(0, 0), (201, 0), (201, 1), (0, 1)], "a bed 201 m long"),
        ([(0, 0), (20, 0), (20, 0.14), (0, 0.14)], "14 cm wide where it is widest"),
        ([(0, 0), (90, 0), (90, 90), (0, 90)], "an area of"),
    ],
)
def test_corners_that_make_no_bed_are_faults(corners: list[tuple[float, float]], said: str) -> None:
    with pytest.raises(BriefError) as caught:
        outline(shape="polygon", corners=[[f"{x} m", f"{y} m"] for x, y in corners])
    (fault,) = caught.value.faults
    assert fault.field == "bed.corners"
    assert said in fault.given


@pytest.mark.parametrize(
    ("corners", "fact"),
    [
        ([(0, 0), (2, 2), (2, 0), (0, 2)], EdgeCrosses("corners", "bed", (1.0, 1.0))),
        ([(0, 0), (2, 2), (4, 4)], CornersOnOneLine("corners", "bed")),
        ([(0, 0), (2, 0), (2, 0), (2, 2), (0, 2)], CornerRepeats("corners", 3)),
        ([(0, 0), (2, 0), (4, 0), (2, 0), (2, 2), (0, 2)], Spike("corners", 3, 0.0, 2.0)),
        ([(0, 0), (201, 0), (201, 1), (0, 1)], TooLong("corners", 201.0, 200.0)),
        ([(0, 0), (90, 0), (90, 90), (0, 90)], AreaOutOfBounds("corners", 8100.0, 0.05, 2500.0)),
    ],
)
def test_what_is_wrong_with_corners_is_a_fact(
    corners: list[tuple[float, float]], fact: Misfit
) -> None:
    bed = brief_of(bed={"shape": "polygon", "corners": [["0 m", "0 m"], ["2 m", "0 m"],
                                                        ["2 m", "2 m"]]}).bed  # fmt: skip
    with pytest.raises(GeometryError) as caught:
        outline_of(bed.model_copy(update={"corners": tuple(corners)}))
    assert caught.value.fact == fact


def test_outlines_at_fault_are_worded_in_the_units_of_the_brief() -> None:
    narrow = TooNarrow("width", 0.0508, 0.1524)
    metric, us = fault_of(narrow, "metric", "bed"), fault_of(narrow, "us", "bed")
    assert (metric.field, metric.given) == ("bed.width", "a bed 5.1 cm wide where it is widest")
    assert us.given == "a bed 2 in wide where it is widest"
    assert us.accepted == "a bed with room for a circle 6 in wide"
    area = AreaOutOfBounds("length", 0.0092903, 0.05, 2500.0)
    assert fault_of(area, "us").given == "an area of 0.1 sq ft"
    assert fault_of(area, "us").accepted == "a bed of 0.538 to 26900 sq ft"
    crossing = EdgeCrosses("corners", "building", None)
    assert "walls do not cross" in fault_of(crossing).accepted
    assert fault_of(FootprintTooSmall("corners", 0.004, 0.01)).given == "0.004 m²"


def test_a_bed_long_and_narrow_beyond_use_is_a_fault() -> None:
    with pytest.raises(BriefError, match=r"bed\.length: given a bed 1000 m long"):
        outline(shape="rectangle", length="1000 m", width="1 cm")
    with pytest.raises(BriefError, match=r"bed\.length: given a bed 5 cm wide"):
        outline(shape="ellipse", length="20 m", width="5 cm")


def test_a_ring_closed_by_its_first_corner_a_stake_on_an_edge_and_the_limits_are_sound() -> None:
    closed = [["0 m", "0 m"], ["2 m", "0 m"], ["2 m", "2 m"], ["0 m", "2 m"], ["0 m", "0 m"]]
    assert outline(shape="polygon", corners=closed).area_m2 == pytest.approx(4)
    staked = [["0 m", "0 m"], ["1 m", "0 m"], ["2 m", "0 m"], ["2 m", "2 m"], ["0 m", "2 m"]]
    assert outline(shape="polygon", corners=staked).area_m2 == pytest.approx(4)
    limit = outline(shape="rectangle", length="200 m", width="15 cm")
    assert limit.area_m2 == pytest.approx(30)


def test_plants_that_fill_the_bed_are_a_fault_of_the_brief() -> None:
    stays = [{"name": "yew", "at": ["2 m", "1 m"], "spread": "9 m"}]
    with pytest.raises(BriefError, match="existing: given plants that fill the bed"):
        brief_of(existing=stays)
