"""A bed in metres for the page to draw, and its pegs set by two tapes."""

from __future__ import annotations

from typing import Any

import pytest
import shapely
from scipy.optimize import fsolve

from bedwright.brief import read_brief
from bedwright.geometry import GeometryError, outline_of
from bedwright.units import LENGTH, UnitError, parse
from bedwright.web.fields import MEASURES, PEGS
from bedwright.web.measured import (
    TapesError,
    by_pegs,
    by_two_tapes,
    measured,
    reach_m,
    with_distance,
    with_peg,
    without_peg,
    written,
)
from bedwright.web.starters import STARTERS, starter

SHAPES: dict[str, dict[str, Any]] = {
    name: starter(name, "Galway, Ireland", "", "metric")["bed"] for name in STARTERS
} | {
    "circle": {"shape": "circle", "diameter": "12 ft"},
    "tapes": {"shape": "polygon", "base": "3 m",
              "tapes": [["1 m", "2.5 m"], ["2 m", "2 m"], ["2 m", "2 m", "right"]]},
    "offsets": {"shape": "offsets", "offsets": [["0 m", "1 m"], ["1 m", "2 m"], ["2 m", "1 m"]]},
    "both edges": {"shape": "offsets", "offsets": [["0 m", "0 m", "1 m"], ["1 m", "-0.5 m", "2 m"],
                                                   ["2 m", "0 m", "1 m"]]},
}  # fmt: skip


def brief(bed: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"place": {"town": "Galway, Ireland"}, "bed": bed, **more}


@pytest.mark.parametrize("metres", [0.0, 0.3048, 1.25, -0.9144, 12.345, 0.0127, -0.004])
@pytest.mark.parametrize(("units", "most"), [("metric", 0.005), ("us", 0.0064)])
def test_a_length_as_it_is_written_is_read_back(metres: float, units: Any, most: float) -> None:
    assert parse(written(metres, units), LENGTH) == pytest.approx(metres, abs=most)


@pytest.mark.parametrize("shape", SHAPES)
def test_the_edge_drawn_is_the_outline_planned(shape: str) -> None:
    """Its area by the shoelace, as surveyors have it (any handbook of surveying)."""
    values = brief(SHAPES[shape])
    found = measured(values)
    edge = found["edge"]
    twice = sum(x * v - u * y for (x, y), (u, v) in zip(edge, [*edge[1:], edge[0]], strict=True))
    assert abs(twice) / 2 == pytest.approx(outline_of(read_brief(values).bed).area_m2, rel=1e-3)
    assert found["field"] == (PEGS.get(SHAPES[shape]["shape"]) if shape in STARTERS
                              and SHAPES[shape]["shape"] in PEGS else None)  # fmt: skip
    assert len(found["spots"]) == len(SHAPES[shape].get("tapes", ()))


@pytest.mark.parametrize("smooth", [True, False])
@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("shape", SHAPES)
def test_any_outline_can_be_set_out_by_pegs(shape: str, units: str, smooth: bool) -> None:
    values = brief({**SHAPES[shape], "bearing": "NE", "viewed_from": ["S"]}, units=units)
    before = outline_of(read_brief(values).bed)
    bed = by_pegs(values, smooth)
    assert (bed["shape"], bed["bearing"], bed["viewed_from"]) == (
        "curve" if smooth else "polygon", "NE", ["S"])  # fmt: skip
    after = outline_of(read_brief({**values, "bed": bed}).bed)
    round_ = SHAPES[shape]["shape"] in ("circle", "ellipse", "curve", "offsets")
    if round_ == smooth and "offsets" not in SHAPES[shape]:
        # A circle through eight pegs, and what is rounded to half an inch.
        assert after.area_m2 == pytest.approx(before.area_m2, rel=0.02)
    spots = {tuple(peg) for peg in bed[PEGS[bed["shape"]]]}
    if PEGS.get(SHAPES[shape]["shape"]) in SHAPES[shape]:
        assert spots == {tuple(peg) for peg in SHAPES[shape][PEGS[SHAPES[shape]["shape"]]]}


CORNER = {"shape": "polygon", "corners": [["0 m", "0 m"], ["12 feet", "0 m"], ["0 m", "3 m"]]}


def test_a_new_peg_goes_where_the_line_grows_least_and_what_was_written_stays() -> None:
    bed = with_peg(brief(CORNER), (1.9, 1.7))
    assert bed["corners"] == [
        ["0 m", "0 m"],
        ["12 feet", "0 m"],
        ["1.9 m", "1.7 m"],
        ["0 m", "3 m"],
    ]
    assert without_peg(brief(bed), 3)["corners"] == CORNER["corners"]


@pytest.mark.parametrize("turned", [False, True])
def test_a_new_peg_without_a_spot_lies_outside_the_longest_gap(turned: bool) -> None:
    corners = CORNER["corners"][::-1] if turned else CORNER["corners"]
    values = brief({"shape": "polygon", "corners": corners})
    before = outline_of(read_brief(values).bed)
    after = outline_of(read_brief({**values, "bed": with_peg(values)}).bed)
    assert after.area_m2 > before.area_m2
    assert before.polygon.difference(after.polygon).area == pytest.approx(0.0, abs=1e-6)


def test_sharp_pegs_stay_with_their_pegs() -> None:
    pegs = [["0 m", "0 m"], ["3 m", "0 m"], ["3 m", "3 m"], ["0 m", "3 m"]]
    values = brief({"shape": "curve", "pegs": pegs, "sharp": [1, 3]})
    bed = with_peg(values, (1.5, -0.2))
    assert (bed["pegs"][1], bed["sharp"]) == (["1.5 m", "-0.2 m"], [1, 4])
    assert without_peg(brief(bed), 1)["sharp"] == [3]
    assert without_peg(brief(bed), 2)["sharp"] == [1, 3]


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize(("peg", "moved"), [(1, 1), (2, 2), (3, 0)])
def test_the_next_peg_is_moved_along_its_line(peg: int, moved: int, units: str) -> None:
    """By shapely: as far from the peg as was typed, on the line to where it stood."""
    values = brief(CORNER, units=units)
    length = "1.37 m" if units == "metric" else "4 ft 5.3 in"
    table = with_distance(values, peg, length)
    stood = [shapely.Point(at) for at in read_brief(values).bed.corners]
    stand = [shapely.Point(at) for at in read_brief({**values, "bed": table}).bed.corners]
    first = stood[peg - 1]
    assert first.distance(stand[moved]) == pytest.approx(parse(length, LENGTH), abs=1.5e-3)
    assert shapely.LineString([first, stood[moved]]).distance(stand[moved]) < 1.5e-3
    for n in {0, 1, 2} - {moved}:
        assert table["corners"][n] == CORNER["corners"][n]


def test_a_bare_distance_between_pegs_is_in_the_gardener_s_unit() -> None:
    assert with_distance(brief(CORNER), 1, "2")["corners"][1] == ["2 m", "0 m"]
    assert with_distance(brief(CORNER, units="us"), 1, "2")["corners"][1] == ["2 ft", "0 in"]


def test_distances_that_no_two_pegs_can_have() -> None:
    with pytest.raises(UnitError):
        with_distance(brief(CORNER), 1, "far")
    for length in ("0 m", "-2 m"):
        with pytest.raises(TapesError, match="more than nothing"):
            with_distance(brief(CORNER), 1, length)
    bed = {"shape": "polygon", "corners": [["0 m", "0 m"], ["0 m", "0 m"], ["2 m", "0 m"],
                                           ["0 m", "2 m"]]}  # fmt: skip
    with pytest.raises(TapesError, match="Pegs 1 and 2 stand on one spot"):
        with_distance(brief(bed), 1, "1 m")


@pytest.mark.parametrize("left", [True, False])
def test_two_tapes_meet_where_a_solver_finds_them_to(left: bool) -> None:
    """The two equations of the circles, solved by scipy from a guess on the side meant."""
    x, y = by_two_tapes(brief(CORNER), (1, 2), ("3 m", "2.4 m"), left)
    far = parse("12 feet", LENGTH)

    def off(at: Any) -> list[float]:
        return [at[0] ** 2 + at[1] ** 2 - 9.0, (at[0] - far) ** 2 + at[1] ** 2 - 2.4**2]

    assert (x, y) == pytest.approx(fsolve(off, (2.0, 2.0 if left else -2.0)), abs=1e-6)


@pytest.mark.parametrize(
    ("pegs", "lengths", "words"),
    [((1, 2), ("1 m", "1 m"), "too short to meet by 1.66 m"),
     ((1, 2), ("9 m", "1 m"), "too long to meet the other by 4.34 m"),
     ((1, 1), ("1 m", "1 m"), "two different pegs"), ((1, 9), ("1 m", "1 m"), "different pegs")],
)  # fmt: skip
def test_tapes_that_set_no_peg(pegs: Any, lengths: Any, words: str) -> None:
    with pytest.raises(TapesError, match=words):
        by_two_tapes(brief(CORNER), pegs, lengths, True)
    with pytest.raises(UnitError):
        by_two_tapes(brief(CORNER), (1, 2), ("1 m", "long"), True)


def test_what_stands_around_is_drawn_where_it_is_planned() -> None:
    """A house 8 m north of the middle of a bed of 4 by 2 m, its near wall 10 m long: by hand."""
    things = [
        {"kind": "building", "bearing": "N", "distance": "8 m", "width": "10 m", "depth": "7 m",
         "height": "3 m"},
        {"kind": "tree", "at": ["-3 m", "2 m"], "spread": "3 m", "height": "5 m",
         "name": "the ash"},
        {"kind": "wall", "bearing": "E", "distance": "4 m", "length": "2 m", "height": "2 m",
         "runs": "NE"},
        {"kind": "fence", "corners": [["0 m", "3 m"], ["S", "2 m"]],
         "height": "1 m"},
    ]  # fmt: skip
    found = measured(brief({"shape": "rectangle", "length": "4 m", "width": "2 m"},
                           surroundings=things))  # fmt: skip
    assert found["middle"] == (2.0, 1.0)
    house, tree, wall, fence = found["things"]
    assert sorted(house["rings"][0]) == [(-3.0, 9.0), (-3.0, 16.0), (7.0, 9.0), (7.0, 16.0)]
    assert (house["foot"], house["paced"], house["turns"]) == ((2.0, 9.0), [0.0, 8.0], True)
    assert (tree["foot"], tree["radius"], tree["paced"]) == ((-3.0, 2.0), 1.5, None)
    assert tree["name"] == "the ash"
    assert (wall["foot"], wall["turns"]) == ((6.0, 1.0), False)
    assert (tree["at"], tree["corners"], house["at"]) == ((-3.0, 2.0), None, None)
    assert fence["corners"] == [(0.0, 3.0), (2.0, -1.0)]


@pytest.mark.parametrize(
    ("given", "found"), [(None, []), ("all", []), (["S"], [180.0]), (["NE", "W"], [45.0, 270.0])]
)
def test_the_sides_that_a_bed_is_looked_at_from(given: Any, found: list[float]) -> None:
    bed = {**CORNER, **({} if given is None else {"viewed_from": given})}
    assert measured(brief(bed))["viewed_from"] == found


def test_the_sketch_of_an_outline_that_crosses_itself_is_refused() -> None:
    bow = [["0 m", "0 m"], ["2 m", "2 m"], ["2 m", "0 m"], ["0 m", "2 m"]]
    with pytest.raises(GeometryError):
        measured(brief({"shape": "polygon", "corners": bow}))


def test_how_far_a_bed_reaches() -> None:
    assert reach_m(brief({"shape": "rectangle", "length": "8 m", "width": "6 m"})) == 5.0


def test_measures_are_fields_of_outlines_or_the_place() -> None:
    from bedwright.brief.outlines import BEDS
    from bedwright.brief.place import Place

    for path in MEASURES:
        table, name = path.split(".")
        models = BEDS.values() if table == "bed" else [Place]
        assert any(name in model.model_fields for model in models), path
