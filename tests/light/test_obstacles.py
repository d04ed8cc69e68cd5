"""What the brief says of the surroundings, as bodies about the bed."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely.geometry import Point

from bedwright.geometry import foot_of, footprint, outline_of
from bedwright.light import Body, Crown, Foliage, Solid, Taper, bodies_of
from conftest import brief_of

BED = {"shape": "rectangle", "length": "4 m", "width": "2 m", "bearing": "E"}
"""Base line to the east: x east, y north; the middle at (2, 1)."""


def bodies(*things: dict[str, object], **bed: object) -> list[Body]:
    brief = brief_of(bed={**BED, **bed}, surroundings=list(things))
    return bodies_of(outline_of(brief.bed), brief.surroundings)


TREE = {"kind": "tree", "bearing": "S", "distance": "9 m", "height": "10 m", "spread": "5 m"}


def placed(thing: dict[str, object], **place: object) -> dict[str, object]:
    return {**{k: v for k, v in thing.items() if k not in ("bearing", "distance")}, **place}


def test_a_crown_stands_where_it_was_paced_or_set_out() -> None:
    crown, trunk = bodies(TREE)
    assert isinstance(crown, Crown)
    assert crown.centre == pytest.approx((2.0, -8.0, 6.5))
    assert (crown.radius, crown.half_height) == pytest.approx((2.5, 3.5))
    assert crown.foliage == Foliage(0.19, 0.51)
    assert isinstance(trunk, Taper)
    assert (trunk.base, trunk.top) == (0.0, 3.0)
    assert trunk.base_radius == trunk.top_radius == pytest.approx(0.1)
    assert trunk.foliage == Foliage(0.0, 0.0)
    (again, _) = bodies(placed(TREE, at=["2 m", "-8 m"]))
    assert isinstance(again, Crown)
    assert again.centre == pytest.approx(crown.centre)


def test_crowns_are_rounded_conical_or_columnar() -> None:
    cone, _ = bodies({**TREE, "crown": "conical"})
    column, _ = bodies({**TREE, "crown": "columnar", "trunk": "40 cm"})
    assert isinstance(cone, Taper)
    assert isinstance(column, Taper)
    assert (cone.base, cone.top, cone.base_radius, cone.top_radius) == (3.0, 10.0, 2.5, 0.0)
    assert (column.base_radius, column.top_radius) == (2.5, 2.5)


def test_a_shrub_is_leafy_to_the_ground_and_shows_no_trunk() -> None:
    (shrub,) = bodies({**TREE, "kind": "shrub", "height": "2 m", "spread": "2 m"})
    assert isinstance(shrub, Crown)
    assert shrub.centre[2] - shrub.half_height == pytest.approx(0.0)


def test_leaf_dates_and_openness_reach_the_foliage() -> None:
    stated = {"openness": "10%", "openness_bare": "70%", "leaf_out": "05-01", "leaf_fall": "10-20"}
    crown, _ = bodies({**TREE, **stated})
    pine, _ = bodies({**TREE, "evergreen": True})
    assert isinstance(crown, Crown)
    assert isinstance(pine, Crown)
    assert (crown.foliage.in_leaf, crown.foliage.bare) == (0.10, 0.70)
    assert [str(day) for day in crown.foliage.leaf or ()] == ["05-01", "10-20"]
    assert pine.foliage == Foliage(0.27, 0.27)


def test_a_building_by_corners_is_the_one_by_width_and_depth() -> None:
    house = {"kind": "building", "bearing": "N", "distance": "6 m", "width": "8 m", "depth": "5 m",
             "height": "3 m", "ridge": "5 m"}  # fmt: skip
    corners = [["-2 m", "7 m"], ["6 m", "7 m"], ["6 m", "12 m"], ["-2 m", "12 m"]]
    cornered = {
        k: v for k, v in placed(house, corners=corners).items() if k not in ("width", "depth")
    }
    (one,), (other,) = bodies(house), bodies(cornered)
    assert isinstance(one, Solid)
    assert isinstance(other, Solid)
    rows = [np.unique(body.pieces[0].round(6) + 0.0, axis=0) for body in (one, other)]
    np.testing.assert_allclose(rows[0], rows[1], atol=1e-6)
    # Paced corners: the same north-west and north-east, sighted from the middle of the bed.
    sighted = [["-2 m", "7 m"], ["6 m", "7 m"]] + [
        [float(np.degrees(np.arctan2(x - 2.0, 11.0)) % 360), f"{np.hypot(x - 2.0, 11.0)} m"]
        for x in (6.0, -2.0)
    ]
    (third,) = bodies({**cornered, "corners": sighted})
    assert isinstance(third, Solid)
    np.testing.assert_allclose(
        np.unique(third.pieces[0].round(6) + 0.0, axis=0), rows[0], atol=1e-6
    )


def test_a_house_with_wings_is_a_body_for_each() -> None:
    corners = [["0 m", "6 m"], ["9 m", "6 m"], ["9 m", "10 m"], ["4 m", "10 m"], ["4 m", "14 m"],
               ["0 m", "14 m"]]  # fmt: skip
    house = {"kind": "building", "corners": corners, "height": "3 m"}
    flat, hip = bodies(house), bodies({**house, "roof": "hip", "ridge": "5 m"})
    assert isinstance(flat[0], Solid)
    assert isinstance(hip[0], Solid)
    assert len(flat[0].pieces) == len(hip[0].pieces) == 2
    for piece in flat[0].pieces:
        assert set(piece[:, 2]) == {0.0, 3.0}
    assert max(piece[:, 2].max() for piece in hip[0].pieces) == 5.0


def test_a_fence_turns_corners_with_mitred_joints() -> None:
    line = [["-3 m", "-3 m"], ["8 m", "-3 m"], ["8 m", "6 m"], ["-3 m", "6 m"], ["-3 m", "-3 m"]]
    fence = {"kind": "hedge", "corners": line, "height": "2 m", "thickness": "1 m"}
    brief = brief_of(bed=BED, surroundings=[fence])
    outline, (hedge,) = outline_of(brief.bed), brief.surroundings
    ring = shapely.LinearRing([(-3, -3), (8, -3), (8, 6), (-3, 6)])
    theirs = ring.buffer(0.5, join_style="mitre")
    ours = footprint(outline, hedge)
    assert ours.symmetric_difference(theirs).area < 1e-9


@pytest.mark.parametrize("turn", [20.0, 40.0, 70.0, 110.0, 179.0])
def test_turns_of_a_hedge_keep_its_thickness(turn: float) -> None:
    """However sharp a hedge turns back, each stretch keeps its ground, as shapely draws it."""
    back = np.radians(180.0 - turn)
    end = [
        f"{8 - 9 * np.cos(np.radians(turn)):.3f} m",
        f"{-3 - 9 * np.sin(np.radians(turn)):.3f} m",
    ]
    fence = {"kind": "hedge", "corners": [["-4 m", "-3 m"], ["8 m", "-3 m"], end],
             "height": "2 m", "thickness": "1 m"}  # fmt: skip
    brief = brief_of(bed=BED, surroundings=[fence])
    outline, (hedge,) = outline_of(brief.bed), brief.surroundings
    line = shapely.LineString([(-4, -3), (8, -3), tuple(float(v.split()[0]) for v in end)])
    ours = footprint(outline, hedge)
    flat, mitred = (
        line.buffer(0.5, cap_style="flat", join_style=join, mitre_limit=2.0)
        for join in ("bevel", "mitre")
    )
    assert ours.buffer(1e-3).covers(flat)
    assert mitred.buffer(1e-3).covers(ours)
    assert back > 0


def test_stretches_shorter_than_a_hedge_is_thick_are_borne() -> None:
    corners = [["0 m", "-5 m"], ["0 m", "-6 m"], ["0.5 m", "-6 m"], ["0.5 m", "-5 m"]]
    (hedge,) = bodies({"kind": "hedge", "corners": corners, "height": "2 m"})
    assert isinstance(hedge, Solid)
    assert all(len(np.unique(piece[:, :2].round(6), axis=0)) >= 3 for piece in hedge.pieces)


SLOPE = {"slope": "10%", "aspect": "S"}


def test_things_stand_on_the_slope_unless_their_foot_is_stated() -> None:
    crown, trunk = bodies(TREE, **SLOPE)
    level, _ = bodies({**TREE, "base_height": "-30 cm"}, **SLOPE)
    assert isinstance(crown, Crown)
    assert isinstance(level, Crown)
    # The ground falls 10% southward; heights count from the base line's start, 1 m south of the
    # middle: the trunk 9 m south of the middle stands 0.8 m below it.
    assert crown.centre[2] == pytest.approx(6.5 - 0.8)
    assert isinstance(trunk, Taper)
    assert trunk.base == pytest.approx(-0.8)
    assert level.centre[2] == pytest.approx(6.5 + 0.1 - 0.3)


def test_a_fence_follows_the_slope_and_a_house_stands_level() -> None:
    fence = {"kind": "fence", "bearing": "W", "distance": "4 m", "length": "6 m", "height": "2 m"}
    house = {"kind": "building", "bearing": "N", "distance": "6 m", "width": "8 m", "depth": "5 m",
             "height": "3 m"}  # fmt: skip
    pales, walls = bodies(fence, house, **SLOPE)
    assert isinstance(pales, Solid)
    assert isinstance(walls, Solid)
    ground, top = np.split(pales.pieces[0], 2)
    np.testing.assert_allclose(top[:, 2] - ground[:, 2], 2.0)
    assert np.ptp(ground[:, 2]) == pytest.approx(0.6, abs=0.01)
    ground, top = np.split(walls.pieces[0], 2)
    assert np.ptp(top[:, 2]) == 0.0
    # It stands as high as the ground at its middle, 8.5 m north of the bed's.
    assert top[0, 2] == pytest.approx(0.1 * 9.5 + 3.0)
    np.testing.assert_allclose(ground[:, 2], 0.1 * ground[:, 1])


def test_nothing_sinks_below_the_ground() -> None:
    sunk = {"kind": "wall", "bearing": "N", "distance": "6 m", "length": "8 m", "height": "1 m",
            "base_height": "-3 m"}  # fmt: skip
    (wall,) = bodies(sunk)
    assert isinstance(wall, Solid)
    assert wall.pieces == ()


def test_a_wall_that_runs_into_the_slope_ends_there() -> None:
    """A level wall 2 m high against ground that rises 20% to the west: it comes out of the ground
    10 m up the slope from where its foot is, and casts no shadow beyond."""
    tilted = {"slope": "20%", "aspect": "E"}
    wall = {"kind": "wall", "height": "2 m", "base_height": "0 m"}
    (long,) = bodies({**wall, "corners": [["-40 m", "-2 m"], ["20 m", "-2 m"]]}, **tilted)
    (cut,) = bodies({**wall, "corners": [["-8 m", "-2 m"], ["20 m", "-2 m"]]}, **tilted)
    assert isinstance(long, Solid)
    assert isinstance(cut, Solid)
    assert long.pieces[0][:, 0].min() == pytest.approx(-8.0)
    assert (long.pieces[0][:, 2] >= -0.2 * long.pieces[0][:, 0] - 1e-9).all()
    for end in (long, cut):
        assert end.pieces[0][:, 2].max() == pytest.approx(0.2 * -2.0 + 2.0)


def test_a_thing_by_coordinates_looks_back_at_the_bed() -> None:
    house = {"kind": "building", "at": ["2 m", "7 m"], "width": "8 m", "depth": "5 m",
             "height": "3 m"}  # fmt: skip
    brief = brief_of(bed=BED, surroundings=[house])
    outline, (thing,) = outline_of(brief.bed), brief.surroundings
    assert footprint(outline, thing).bounds == pytest.approx((-2, 7, 6, 12))
    assert foot_of(outline, thing) == (2.0, 7.0)
    assert footprint(outline, thing).distance(Point(2.0, 1.0)) == pytest.approx(6.0)
