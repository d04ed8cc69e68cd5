from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, interpolate

from awkward import BEDS
from bedwright.brief import BriefError
from bedwright.geometry import (
    AreaOutOfBounds,
    CornerRepeats,
    CornersOnOneLine,
    EdgeCrosses,
    FixedAtOneSpot,
    FootprintTooSmall,
    GeometryError,
    Misfit,
    NoFreeGround,
    OffsetsAtOneX,
    Spike,
    TapesMiss,
    TooLong,
    TooNarrow,
    cells_in,
    curve_through,
    footprint,
    outline_of,
    tapes_miss_by,
    where_tapes_meet,
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


# --- curves through pegs ------------------------------------------------------------------------

Curve = Callable[[float], np.ndarray]

KIDNEY = np.array(
    [(0.3, 1.3), (1, 0.1), (2.5, 0.6), (4, 0.1), (4.9, 1.2), (4, 2.4), (1.3, 2.5)], float
)


def pegs_of(spots: object) -> list[list[str]]:
    return [[f"{x:.9f} m", f"{y:.9f} m"] for x, y in np.asarray(spots, float)]


def knots_of(line: np.ndarray) -> np.ndarray:
    """Square roots of the distances, summed (Lee 1989)."""
    return np.concatenate([[0], np.cumsum(np.sqrt(np.hypot(*np.diff(line, axis=0).T)))])


def swept(at: Curve, slope: Curve, knots: np.ndarray) -> tuple[float, float]:
    """Area to the left of a line, swept from the origin, and its length, by Gauss-Kronrod
    quadrature from knot to knot (Green's theorem: half the integral of x dy - y dx)."""
    area = length = 0.0

    def half_cross(t: float) -> float:
        (x, y), (dx, dy) = at(t), slope(t)
        return float(x * dy - y * dx) / 2

    for a, b in pairwise(knots):
        area += integrate.quad(half_cross, a, b)[0]
        length += integrate.quad(lambda t: float(np.hypot(*slope(t))), a, b)[0]
    return area, length


@pytest.mark.parametrize("size", [0.3, 1.0, 12.0])
def test_area_and_length_of_a_curve_are_those_that_fitpack_and_quadrature_give(size: float) -> None:
    """FITPACK (P. Dierckx) solves for the closed spline's B-spline coefficients, by least squares:
    other code than the piecewise polynomials the outline is made of."""
    pegs = KIDNEY * size
    closed = np.vstack([pegs, pegs[:1]])
    knots = knots_of(closed)
    spline, _ = interpolate.splprep(closed.T, u=knots, s=0, per=True)
    area, length = swept(
        lambda t: np.array(interpolate.splev(t, spline)),
        lambda t: np.array(interpolate.splev(t, spline, der=1)),
        knots,
    )
    bed = outline(shape="curve", pegs=pegs_of(pegs))
    assert bed.area_m2 == pytest.approx(abs(area), abs=0.001 * length)
    assert bed.perimeter_m == pytest.approx(length, rel=0.002)
    fine = np.array(interpolate.splev(np.linspace(0, knots[-1], 3000), spline)).T
    assert shapely.distance(bed.polygon.exterior, shapely.points(fine)).max() < 0.00101


def test_sharp_pegs_cut_a_curve_into_pieces_with_free_ends() -> None:
    """The pieces' area and length from B-splines by collocation, which scipy solves apart from its
    piecewise polynomials."""
    area = length = 0.0
    for piece in (KIDNEY[[1, 2, 3]], KIDNEY[[3, 4, 5, 6, 0, 1]]):
        knots = knots_of(piece)
        line = interpolate.make_interp_spline(knots, piece, k=3, bc_type="natural")
        swept_area, long = swept(line, line.derivative(), knots)
        area, length = area + swept_area, length + long
    bed = outline(shape="curve", pegs=pegs_of(KIDNEY), sharp=[4, 2])
    assert bed.sharp == (1, 3)
    assert bed.area_m2 == pytest.approx(area, abs=0.001 * length)
    assert bed.perimeter_m == pytest.approx(length, rel=0.002)


def test_eight_pegs_on_a_circle_give_the_circle() -> None:
    angle = np.arange(8) * math.pi / 4
    circle = 3.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    bed = outline(shape="curve", pegs=pegs_of(circle))
    assert bed.area_m2 == pytest.approx(math.pi * 9, rel=0.01)
    assert bed.perimeter_m == pytest.approx(math.pi * 6, rel=0.01)


def test_a_curve_sharp_at_every_peg_is_a_polygon() -> None:
    spots = pegs_of(KIDNEY)
    curve = outline(shape="curve", pegs=spots, sharp=[1, 2, 3, 4, 5, 6, 7])
    polygon = outline(shape="polygon", corners=spots)
    assert curve.polygon.symmetric_difference(polygon.polygon).area < 1e-12


def test_between_two_sharp_pegs_that_follow_each_other_a_curve_is_straight() -> None:
    # Half a disc: the base line from (0, 0) to (4, 0), then an arc of pegs over it.
    angle = np.linspace(0, math.pi, 9)[1:-1]
    spots = [(0, 0), (4, 0), *(2 + 2 * np.cos(angle[:, None]) * [1, 0] + 2 * np.sin(angle[:, None])
             * [0, 1] - [0, 2])]  # fmt: skip
    bed = outline(shape="curve", pegs=pegs_of(spots), sharp=[1, 2])
    assert bed.polygon.bounds[1] == 0.0
    assert bed.area_m2 == pytest.approx(2 * math.pi, rel=0.01)


def test_a_curve_goes_through_its_pegs_either_way_round_and_may_close_on_the_first() -> None:
    forth = outline(shape="curve", pegs=pegs_of(KIDNEY))
    back = outline(shape="curve", pegs=pegs_of(KIDNEY[::-1]))
    closed = outline(shape="curve", pegs=pegs_of([*KIDNEY, KIDNEY[0]]), sharp=[])
    for bed in (forth, back, closed):
        assert shapely.distance(bed.polygon.exterior, shapely.points(KIDNEY)).max() < 1e-9
        assert bed.area_m2 == pytest.approx(forth.area_m2, abs=0.002)
        assert len(bed.pegs) == 7
    assert outline(shape="curve", pegs=pegs_of([*KIDNEY, KIDNEY[0]]), sharp=[8]).sharp == (0,)


@given(st.integers(3, 30), st.floats(0.0, 6.28), st.floats(0.05, 60.0), st.floats(0.4, 1.0))
def test_the_steps_of_a_curve_lie_within_a_millimetre_of_it(
    count: int, turn: float, size: float, squash: float
) -> None:
    angle = turn + np.arange(count) * 2 * math.pi / count
    pegs = size * np.column_stack([np.cos(angle), squash * np.sin(angle)])
    closed = np.vstack([pegs, pegs[:1]])
    knots = knots_of(closed)
    line = interpolate.make_interp_spline(knots, closed, k=3, bc_type="periodic")
    ring = shapely.LinearRing(curve_through(pegs))
    spots = shapely.points(line(np.linspace(0, knots[-1], 1000)))
    assert shapely.distance(ring, spots).max() < 0.001 + 1e-6


@pytest.mark.parametrize(
    ("spots", "sharp", "said"),
    [
        ([(0, 0), (2, 2), (2, 0), (0, 2)], [], "crosses itself near x, y = 1.00 m, 1.00 m"),
        ([(0, 0), (2, 0), (2, 0), (2, 2)], [], "peg 3 on peg 2"),
        ([(0, 0), (2, 2), (4, 4)], [], "pegs that all lie on one line"),
        ([(0, 0), (2, 0), (5, 0.6), (2, 0.1), (2, 1), (0, 1)], [2, 3, 4], "1.8° at peg 3"),
        ([(0, 0), (90, 0), (90, 90), (0, 90)], [], "an area of"),
        ([(0, 0), (20, 0), (20, 0.1), (0, 0.1)], [1, 2, 3, 4], "10 cm wide where it is widest"),
    ],
)
def test_pegs_that_make_no_bed_are_faults(
    spots: list[tuple[float, float]], sharp: list[int], said: str
) -> None:
    with pytest.raises(BriefError) as caught:
        outline(shape="curve", pegs=pegs_of(spots), sharp=sharp)
    (fault,) = caught.value.faults
    assert fault.field == "bed.pegs"
    assert said in fault.given


# --- two tapes ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("a", "b", "tapes", "left", "spot"),
    [
        # 3, 4, 5: a right angle at the spot; its foot is 3²/5 = 1.8 from A, its height 3·4/5.
        ((0, 0), (5, 0), (3, 4), True, (1.8, 2.4)),
        ((0, 0), (5, 0), (3, 4), False, (1.8, -2.4)),
        # 5, 12, 13: the foot 5²/13 from A, the height 5·12/13.
        ((0, 0), (13, 0), (5, 12), True, (25 / 13, 60 / 13)),
        # On paper: A (1, 2), B (4, 6), so 5 apart along (0.6, 0.8), left of it (-0.8, 0.6).  Two on
        # and three to the left: (1 + 1.2 - 2.4, 2 + 1.6 + 1.8); from A √(4 + 9), from B √(9 + 9).
        ((1, 2), (4, 6), (math.sqrt(13), math.sqrt(18)), True, (-0.2, 5.4)),
        ((1, 2), (4, 6), (math.sqrt(13), math.sqrt(18)), False, (4.6, 1.8)),
        # On the line between and beyond, and tapes that miss each other by a centimetre.
        ((0, 0), (6, 0), (2, 4), True, (2, 0)),
        ((0, 0), (6, 0), (9, 3), True, (9, 0)),
        ((0, 0), (6, 0), (0, 6), True, (0, 0)),
        ((0, 0), (6.01, 0), (2, 4), True, (2.0067, 0)),
    ],
)
def test_where_two_tapes_meet(
    a: tuple[float, float], b: tuple[float, float], tapes: tuple[float, float], left: bool,
    spot: tuple[float, float],
) -> None:  # fmt: skip
    assert where_tapes_meet(a, b, *tapes, left) == pytest.approx(spot, abs=1e-4)


COORDINATE = st.floats(-50, 50)


@given(COORDINATE, COORDINATE, COORDINATE, COORDINATE, COORDINATE, COORDINATE)
def test_a_spot_measured_with_two_tapes_is_found_again(
    ax: float, ay: float, bx: float, by: float, x: float, y: float
) -> None:
    a, b, spot = (ax, ay), (bx, by), (x, y)
    off = (bx - ax) * (y - ay) - (by - ay) * (x - ax)  # twice the area of A, B and the spot
    if math.dist(a, b) < 0.1 or abs(off) < 0.01 * math.dist(a, b):
        return
    from_a, from_b = math.dist(a, spot), math.dist(b, spot)
    assert tapes_miss_by(math.dist(a, b), from_a, from_b) <= 1e-9
    assert where_tapes_meet(a, b, from_a, from_b, off > 0) == pytest.approx(spot, abs=1e-3)


def test_a_bed_measured_with_tapes_is_the_bed_measured_square() -> None:
    a, b = np.array([0.5, -1.0]), np.array([5.5, -0.5])
    tapes = [[f"{np.hypot(*(p - a)):.9f} m", f"{np.hypot(*(p - b)):.9f} m"] for p in KIDNEY]
    fixed = [["0.5 m", "-1 m"], ["5.5 m", "-0.5 m"]]
    square = outline(shape="curve", pegs=pegs_of(KIDNEY))
    taped = outline(shape="curve", tapes=tapes, fixed=fixed)
    assert np.allclose(taped.pegs, square.pegs, atol=1e-6)
    assert taped.fixed == ((0.5, -1.0), (5.5, -0.5))
    corners = outline(shape="polygon", tapes=[[*pair, "left"] for pair in tapes], fixed=fixed)
    assert corners.area_m2 == pytest.approx(shapely.Polygon(KIDNEY).area, abs=1e-6)


def test_tapes_to_the_right_of_the_line_lie_below_it() -> None:
    bed = outline(
        shape="polygon",
        base="5 m",
        tapes=[["3 m", "4 m", "right"], ["5 m", "0 m"], ["3 m", "4 m"], ["0 m", "5 m"]],
    )
    assert bed.polygon.bounds == pytest.approx((0, -2.4, 5, 2.4))
    assert bed.fixed == ((0, 0), (5, 0))


def test_every_pair_of_tapes_that_does_not_meet_is_a_fault() -> None:
    with pytest.raises(BriefError) as caught:
        outline(
            shape="curve",
            base="6 m",
            tapes=[["2 m", "3 m"], ["4 m", "4 m"], ["9 m", "2 m"], ["1 m", "8 m"]],
        )
    found = {fault.field: (fault.given, fault.accepted) for fault in caught.value.faults}
    assert found == {
        "bed.tapes[1]": (
            "2.00 m from A and 3.00 m from B, which together are 1.00 m too short to meet",
            "two lengths that together are 6.00 m, as far as A is from B, or more",
        ),
        "bed.tapes[3]": (
            "9.00 m from A and 2.00 m from B: that from A is 1.00 m too long for that from B",
            "two lengths that differ by 6.00 m, as far as A is from B, or less",
        ),
        "bed.tapes[4]": (
            "1.00 m from A and 8.00 m from B: that from B is 1.00 m too long for that from A",
            "two lengths that differ by 6.00 m, as far as A is from B, or less",
        ),
    }


def test_stakes_on_one_spot_and_tapes_as_facts() -> None:
    spot = ["1 m", "1 m"]
    with pytest.raises(BriefError) as caught:
        outline(shape="polygon", fixed=[spot, spot], tapes=[["2 m", "2 m"]] * 3)
    (fault,) = caught.value.faults
    assert (fault.field, fault.given) == ("bed.fixed", "A and B on one spot")
    wrong = TapesMiss("tapes[1]", 1.0, 2.0, 3.5, 0.5)
    assert "19½ in too short to meet" in fault_of(wrong, "us", "bed").given
    assert fault_of(FixedAtOneSpot("base")).field == "base"


def test_a_repeated_spot_by_tapes_is_told_of_the_tapes() -> None:
    with pytest.raises(BriefError) as caught:
        outline(
            shape="polygon",
            base="4 m",
            tapes=[["3 m", "3 m"], ["3 m", "3 m"], ["2 m", "4 m"], ["4 m", "2 m"]],
        )
    (fault,) = caught.value.faults
    assert (fault.field, fault.given) == ("bed.tapes", "corner 2 on corner 1")
