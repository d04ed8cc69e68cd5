"""Fields of the brief on the sheets: where they are, and how what is typed becomes a value."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.brief import neighbours
from bedwright.catalogue import Catalogue
from bedwright.inputs import gather_values
from bedwright.web import fields
from bedwright.web.fields import (
    BY_PATH,
    EVERY,
    NEIGHBOURS,
    Field,
    NotAFieldError,
    at_path,
    number,
    parts_of,
    put_at,
    shown,
    typed,
    with_unit,
)
from bedwright.web.starters import STARTERS, starter, thing

TODAY = date(2026, 11, 25)
GIVEN: dict[str, dict[str, str]] = {
    "text": {"place.town": "Galway, Ireland", "place.altitude": "240 m", "place.frost": "none",
             "season.frost_risk": "5%", "bed.length": "4 m", "bed.width": "2 m",
             "bed.diameter": "2 m", "bed.base": "3 m", "bed.bearing": "NE",
             "bed.slope": "8%", "bed.aspect": "S",
             "ground.dig_depth": "25 cm", "ground.raise_by": "10 cm",
             "ground.test.phosphorus": "low", "ground.test.potassium": "34 ppm",
             "ground.test.organic_matter": "3%", "wishes.height": "60 cm", "title": "A bed",
             "dates.begin": "2027-03-20", "dates.show": "2027-07-24", "currency": "€"},
    "number": {"season.year": "2027", "ground.test.ph": "6,5", "wishes.kinds": "4",
               "wishes.budget": "100", "prices.seed_packet": "3,2", "prices.plant": "1",
               "prices.cutter_hire": "80"},
    "list": {"wishes.colours": "blue, white", "wishes.grow": "tall zinnia",
             "wishes.leave_out": "larkspur", "wishes.last_year": "larkspur"},
}  # fmt: skip
"""Something that each field without a list of choices accepts."""
TAPES = {"shape": "curve", "tapes": [["1 m", "2.5 m"], ["2 m", "2 m"], ["3 m", "1 m"]]}
NEEDS: dict[str, dict[str, Any]] = {
    "bed.slope": {"bed.aspect": "S"},
    "bed.aspect": {"bed.slope": "8%"},
    "bed.diameter": {"bed": {"shape": "circle"}},
    "bed.base": {"bed": TAPES},
    "ground.clear_by": {"ground.found": "lawn"},
    "ground.test.potassium": {"ground.test.method": "Olsen"},
    "ground.test.method": {"ground.test.phosphorus": "34 ppm"},
}
"""What must stand beside a field."""


def brief() -> dict[str, Any]:
    return {
        "place": {"town": "Galway, Ireland"},
        "season": {"year": 2027},
        "bed": {"shape": "rectangle", "length": "4 m", "width": "2 m"},
    }


def words_of(field: Field) -> list[str]:
    """What may be typed into a field."""
    if field.sort == "choices":
        wanted = [", ".join(field.options[-2:]), *field.options]
    elif field.sort == "choice":
        wanted = list(field.options)
    elif field.sort == "yes_no":
        wanted = ["yes", "no", "No"]
    else:
        wanted = [GIVEN[field.sort][field.path]]
    return wanted


@pytest.mark.parametrize("field", EVERY, ids=lambda field: field.path)
def test_the_brief_accepts_what_a_field_offers(field: Field, catalogue: Catalogue) -> None:
    for words in words_of(field):
        values = brief()
        for path, value in NEEDS.get(field.path, {}).items():
            put_at(values, path, value)
        put_at(values, field.path, typed(field, words))
        gather_values(values, Path("."), catalogue, TODAY)  # raises BriefError otherwise


def test_a_field_that_is_on_two_shapes_is_called_the_same() -> None:
    for field in EVERY:
        assert BY_PATH[field.path].label == field.label


def test_what_is_asked_of_a_neighbour_is_what_the_brief_has_of_it() -> None:
    models = neighbours.NEIGHBOURS
    assert set(NEIGHBOURS) == set(models)
    for kind, asked in NEIGHBOURS.items():
        assert {field.path for field in asked} <= set(models[kind].model_fields), kind


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("kind", NEIGHBOURS)
def test_a_thing_is_sound_until_it_is_measured(kind: str, units: str, catalogue: Catalogue) -> None:
    values = {**brief(), "units": units, "surroundings": [thing(kind, units, n) for n in range(5)]}
    read, _ = gather_values(values, Path("."), catalogue, TODAY)
    assert len({one.bearing for one in read.surroundings}) == 4
    large = thing(kind, units, 0, 30.0)["distance"]
    assert large == ("31 m" if units == "metric" else "102 ft")
    asked = {field.path for field in NEIGHBOURS[kind]}
    assert set(thing(kind, units, 0)) <= asked | {"kind"}
    # What is asked of it and has no value says what is taken instead.
    told = {field.path for field in NEIGHBOURS[kind] if field.assumed}
    assert asked - set(thing(kind, units, 0)) <= told


@pytest.mark.parametrize("field", [f for fields in NEIGHBOURS.values() for f in fields if f.help],
                         ids=lambda field: field.path)  # fmt: skip
def test_the_help_of_what_stands_around_can_be_typed(field: Field, catalogue: Catalogue) -> None:
    for words in field.help.split(", or "):
        if words in ("a compass point", "degrees from north"):
            words = {"a compass point": "SSW", "degrees from north": "45"}[words]
        kinds = [kind for kind, asked in NEIGHBOURS.items() if field in asked]
        for kind in kinds:
            far = {**thing(kind, "metric", 0), "distance": "20 m", "height": "5 m"}
            values = {**brief(), "surroundings": [far]}
            put_at(values, f"surroundings.0.{field.path}", typed(field, words))
            gather_values(values, Path("."), catalogue, TODAY)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("shape", sorted(STARTERS))
def test_every_starting_shape_is_sound(shape: str, units: str, catalogue: Catalogue) -> None:
    values = starter(shape, "Galway, Ireland", " ", units)
    read, _ = gather_values(values, Path("."), catalogue, TODAY)
    assert (read.title.lower(), read.units) == (shape, units)


@pytest.mark.parametrize(
    ("path", "text", "units", "meant"),
    [
        ("bed.length", "6", "metric", "6 m"),
        ("bed.length", "20", "us", "20 ft"),
        ("bed.width", "2,5", "metric", "2,5 m"),
        ("surroundings.0.height", "8", "metric", "8 m"),
        ("bed.length", "6 yd", "metric", "6 yd"),
        ("bed.length", "long", "metric", "long"),
        ("ground.dig_depth", "25", "metric", "25"),
        ("wishes.height", "60", "metric", "60"),
        ("place.town", "6", "metric", "6"),
        ("bed.pegs.3.0", "-2.5", "metric", "-2.5 m"),
        ("bed.tapes.0.1", "6", "us", "6 ft"),
        ("place.horizon.0.1", "6", "metric", "6"),
        ("surroundings.0.crown_base", "2", "metric", "2 m"),
    ],
)
def test_a_bare_length_takes_the_unit_of_the_brief(
    path: str, text: str, units: str, meant: str
) -> None:
    assert with_unit(path, text, units) == meant


def test_a_start_does_not_change_the_next() -> None:
    one = starter("corner", "Galway, Ireland", "", "metric")
    put_at(one, "bed.viewed_from", ["S"])
    put_at(one, "bed.corners.0.0", "1 m")
    again = starter("corner", "Galway, Ireland", "", "metric")
    assert again["bed"]["viewed_from"] == ["NE"]
    assert again["bed"]["corners"][0] == ["0 m", "0 m"]


@pytest.mark.parametrize(
    ("text", "value"),
    [("6", 6), ("-3", -3), ("6.5", 6.5), ("6,5", 6.5), ("1e3", "1e3"), ("six", "six"),
     ("1_0", "1_0"), ("٣", "٣"), ("nan", "nan"), ("1.", "1."), ("9" * 10, "9" * 10), ("", "")],
)  # fmt: skip
def test_a_number_or_the_text_as_it_was(text: str, value: Any) -> None:
    assert number(text) == value
    assert type(number(text)) is type(value)


@pytest.mark.parametrize(
    ("sort", "text", "value"),
    [("text", "  240 m ", "240 m"), ("text", "   ", None), ("list", "a, b ,,c", ["a", "b", "c"]),
     ("list", " , ", None), ("choices", "N, S", ["N", "S"]), ("choices", "", None),
     ("yes_no", "yes", True), ("yes_no", "No", False), ("yes_no", "perhaps", "perhaps"),
     ("number", "2027", 2027), ("number", "", None), ("choice", "clay", "clay")],
)  # fmt: skip
def test_what_is_typed(sort: Any, text: str, value: Any) -> None:
    assert typed(Field("x", "X", "", sort), text) == value


@pytest.mark.parametrize(
    ("value", "text"),
    [(True, "yes"), (False, "no"), (["a", 1], "a, 1"), ({"a_b": "1 m", "c": ["d"]}, "a b 1 m; c d"),
     (2.5, "2.5"), ("x", "x"), (0, "0")],
)  # fmt: skip
def test_what_is_shown(value: Any, text: str) -> None:
    assert shown(value) == text


@pytest.mark.parametrize(
    "path", ["", ".", "a.", ".a", "a..b", "A", "a b", "__class__.x.y.z.a.b.c", "a.1000", "a.-1",
             "a/b", "a\n", "é", "a.²", "a.٣"],
)  # fmt: skip
def test_what_is_no_path(path: str) -> None:
    with pytest.raises(NotAFieldError):
        parts_of(path)


@pytest.mark.parametrize(
    ("path", "value", "after"),
    [
        ("bed.width", "1 m", {"bed": {"length": "2 m", "width": "1 m"}, "list": [{"a": 1}]}),
        ("new.deep.one", 1, {"bed": {"length": "2 m"}, "list": [{"a": 1}],
                             "new": {"deep": {"one": 1}}}),
        ("list.1", {"b": 2}, {"bed": {"length": "2 m"}, "list": [{"a": 1}, {"b": 2}]}),
        ("list.1.b", 2, {"bed": {"length": "2 m"}, "list": [{"a": 1}, {"b": 2}]}),
        ("list.0.a", 2, {"bed": {"length": "2 m"}, "list": [{"a": 2}]}),
        ("bed.length", None, {"list": [{"a": 1}]}),
        ("list.0.a", None, {"bed": {"length": "2 m"}}),
        ("list.0", None, {"bed": {"length": "2 m"}}),
        ("list", None, {"bed": {"length": "2 m"}}),
        ("none.at.all", None, {"bed": {"length": "2 m"}, "list": [{"a": 1}]}),
    ],
)  # fmt: skip
def test_a_value_is_put_and_taken_out(path: str, value: Any, after: dict[str, Any]) -> None:
    values = {"bed": {"length": "2 m"}, "list": [{"a": 1}]}
    put_at(values, path, value)
    assert values == after


@pytest.mark.parametrize("path", ["bed.length.x", "list.2", "list.5.a", "list.a", "0", "bed.0",
                                  "bed.length.0", "list.0.a.b"])  # fmt: skip
def test_a_path_through_what_is_no_table(path: str) -> None:
    with pytest.raises(NotAFieldError):
        put_at({"bed": {"length": "2 m"}, "list": [{"a": 1}]}, path, 1)


def test_a_tree_with_nothing_said_of_it_stays() -> None:
    values = {"surroundings": [{"kind": "tree"}]}
    put_at(values, "surroundings.0.kind", None)
    assert values == {"surroundings": [{}]}
    put_at(values, "surroundings.0", None)
    assert values == {}


PARTS = st.sampled_from(["a", "b", "surroundings", "0", "1", "2"])
LEAVES = st.none() | st.booleans() | st.integers() | st.text(max_size=3)
VALUES = st.recursive(
    LEAVES, lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.sampled_from("ab"), inner, max_size=2), max_leaves=6,
)  # fmt: skip
TABLES = st.dictionaries(st.sampled_from(["a", "b", "surroundings"]), VALUES, max_size=3)


@given(values=TABLES, parts=st.lists(PARTS, min_size=1, max_size=6), value=VALUES)
def test_any_path_is_taken_or_refused(values: Any, parts: list[str], value: Any) -> None:
    path = ".".join(parts)
    try:
        put_at(values, path, value)
    except NotAFieldError:
        return
    if value not in (None, {}, []):
        assert at_path(values, path) == value


def test_the_help_of_a_field_is_something_it_accepts(catalogue: Catalogue) -> None:
    """The examples that a field gives are read as it says."""
    for path, text in (("place.altitude", "800 ft"),
                       ("place.frost", "light frost in April and May"),
                       ("place.frost", "frost one year in five"), ("bed.slope", "1 in 12"),
                       ("place.frost", "frost from November to March"),
                       ("bed.length", "12 ft 6 in")):  # fmt: skip
        assert text in BY_PATH[path].help, path
        values = brief()
        put_at(values, path, text)
        if path == "bed.slope":
            put_at(values, "bed.aspect", "S")
        gather_values(values, Path("."), catalogue, TODAY)


def test_every_part_of_the_page_says_what_is_assumed() -> None:
    for field in (*fields.GROUND, *fields.WISHES, *fields.RAISING, *fields.WORK):
        assert field.assumed, field.path
