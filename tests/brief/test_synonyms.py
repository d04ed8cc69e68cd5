"""Every row of the table of synonyms, in a brief that uses it."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

import pytest

from bedwright.brief import BriefError, read_brief
from bedwright.brief.synonyms import meanings, synonyms, taken
from bedwright.catalogue import load_catalogue
from bedwright.ground import packs_of
from bedwright.inputs.checks import brief_by_key, checks
from bedwright.planting import COLOUR_WORDS
from bedwright.units import UnitError

ROOT = Path(__file__).parents[2]
TABLE = ROOT / "src/bedwright/brief/data/synonyms.csv"
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))

PLACE = {"latitude": 53.27, "longitude": -9.05}
ROUND = {"shape": "circle", "diameter": "2 m"}
HOUSE = {"kind": "building", "bearing": "N", "distance": "9 m", "height": "3 m", "width": "5 m",
         "depth": "4 m"}  # fmt: skip
TREE = {"kind": "tree", "bearing": "N", "distance": "9 m", "height": "3 m", "spread": "2 m"}

SPOTS: dict[str, tuple[str, Any]] = {
    "situation": ("place.situation[1]", lambda w: {"place": {**PLACE, "situation": [w]}}),
    "shape": ("bed.shape", lambda word: {"bed": {"shape": word}}),
    "thing": ("surroundings[1].kind", lambda word: {"surroundings": [{"kind": word}]}),
    "colour scheme": ("wishes.colour_scheme", lambda w: {"wishes": {"colour_scheme": w}}),
    "colour": ("wishes.colours[1]", lambda word: {"wishes": {"colours": [word]}}),
    "use": ("wishes.uses[1]", lambda word: {"wishes": {"uses": [word]}}),
    "maintenance": ("wishes.maintenance", lambda word: {"wishes": {"maintenance": word}}),
    "avoid": ("wishes.avoid[1]", lambda word: {"wishes": {"avoid": [word]}}),
    "found": ("ground.found", lambda word: {"ground": {"found": word}}),
    "clearing": ("ground.clear_by", lambda word: {"ground": {"clear_by": word}}),
    "texture": ("ground.texture", lambda word: {"ground": {"texture": word}}),
    "extraction": ("ground.test.method", lambda word: {"ground": {"test": {"method": word}}}),
    "material": (
        "materials[1].material",
        lambda word: {"materials": [{"material": word, "pack": "40 L"}]},
    ),
    "container": ("indoors.container", lambda word: {"indoors": {"container": word}}),
    "roof": (
        "surroundings[1].roof",
        lambda word: {"surroundings": [{**HOUSE, "roof": word, "ridge": "5 m"}]},
    ),
    "crown": ("surroundings[1].crown", lambda word: {"surroundings": [{**TREE, "crown": word}]}),
    "units": ("units", lambda word: {"units": word}),
    "paper": ("paper", lambda word: {"paper": word}),
}
"""Where the words of each sort stand in a brief, and tables with one of them there."""


def faults_of(tables: dict[str, Any]) -> dict[str, str]:
    """What is accepted in place of each faulty field of a brief."""
    try:
        read_brief({"place": PLACE, "bed": ROUND, **tables}, checks(load_catalogue()))
    except BriefError as error:
        return {fault.field: fault.accepted for fault in error.faults}
    return {}


def test_the_table_has_a_place_in_a_brief_for_every_sort() -> None:
    assert {row["of"] for row in ROWS} == {*SPOTS, "field"}
    assert len(synonyms()) == len(ROWS), "a word of a sort stands twice"


@pytest.mark.parametrize("row", [r for r in ROWS if r["of"] != "field"], ids=lambda r: r["word"])
def test_a_synonym_is_taken_or_its_meanings_named(row: dict[str, str]) -> None:
    field, tables = SPOTS[row["of"]]
    means = meanings(row["of"], row["word"])
    for word in (row["word"], row["word"].upper(), f" {row['word']} "):
        accepted = faults_of(tables(word)).get(field)
        if len(means) == 1:
            assert accepted is None
        else:
            assert accepted is not None
            assert all(f"'{mean}'" in accepted for mean in means)
    for mean in means:
        assert field not in faults_of(tables(mean)), "what it means is accepted"


@pytest.mark.parametrize("row", [r for r in ROWS if r["of"] == "field"], ids=lambda r: r["word"])
def test_a_field_by_another_name_is_answered_with_its_own(row: dict[str, str]) -> None:
    every = {
        "": {},
        "bed": {"bed": ROUND},
        "bed of offsets": {"bed": {"shape": "offsets"}},
        "bed of corners": {"bed": {"shape": "polygon"}},
        "bed of pegs": {"bed": {"shape": "curve"}},
        "place": {"place": PLACE},
        "surroundings": {"surroundings": [HOUSE]},
        "ground": {"ground": {}},
        "wishes": {"wishes": {}},
        "changes": {"changes": [{"at": ["0 m", "0 m"]}]},
    }
    answers = []
    for table, tables in every.items():
        added: dict[str, Any] = {**tables, row["word"]: 1} if not table else {}
        for name, inner in tables.items():
            listed = isinstance(inner, list)
            changed = {**(inner[0] if listed else inner), row["word"]: 1}
            added[name] = [changed] if listed else changed
        for field, accepted in faults_of(added).items():
            if field.endswith(row["word"]):
                answers.append(accepted)
    assert any(accepted.startswith(f"{row['means']} in its place; ") for accepted in answers)


def test_an_oval_bed_is_an_ellipse() -> None:
    bed = {"shape": "Oval", "length": "4 m", "width": "2 m"}
    assert read_brief({"place": PLACE, "bed": bed}).bed.shape == "ellipse"


def test_a_shape_that_can_be_two_names_both() -> None:
    bed = {"shape": "kidney", "length": "4 m"}
    assert faults_of({"bed": bed})["bed.shape"] == (
        "one of 'curve', 'offsets', 'polygon'; the word can mean any of them"
    )


@pytest.mark.parametrize(
    ("field", "tables", "accepted"),
    [
        ("bed.shape", {"bed": {"shape": "heart"}}, "one of 'rectangle', 'circle', 'ellipse'"),
        ("ground.texture", {"ground": {"texture": "gravel"}}, "one of 'sand', 'sandy loam'"),
        ("wishes.uses[1]", {"wishes": {"uses": ["hedging"]}}, "one of 'cutting', 'drying'"),
        ("wishes.colour_scheme", {"wishes": {"colour_scheme": 3}}, "one of 'any', 'hot'"),
        ("wishes.colours[1]", {"wishes": {"colours": ["puce"]}}, "one of white, cream"),
    ],
)
def test_an_unknown_word_is_a_fault_with_what_is_accepted(
    field: str, tables: dict[str, Any], accepted: str
) -> None:
    assert faults_of(tables)[field].startswith(accepted)


def test_a_word_of_another_sort_is_not_taken() -> None:
    assert taken("shape", "vase") == "vase"
    assert taken("use", "x" * 10_000) == "x" * 10_000
    with pytest.raises(UnitError):
        taken("texture", "clayey")


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("marigold", ["african_marigold", "french_marigold"]),
        ("salvia", ["red_salvia", "mealycup_sage"]),
        ("geranium", ["bedding_geranium", "ivy_geranium"]),
        ("daisy", ["blue_daisy", "crown_daisy", "kingfisher_daisy"]),
        ("Tagetes erecta", ["african_marigold", "french_marigold"]),
        ("triffid", ["bedwright kinds"]),
    ],
)
def test_a_name_of_several_kinds_names_them(name: str, keys: list[str]) -> None:
    for field in ("grow", "leave_out", "last_year", "edge_with"):
        accepted = faults_of({"wishes": {field: [name]}})[f"wishes.{field}[1]"]
        assert all(key in accepted for key in keys)


def test_a_name_that_one_kind_has_is_taken_for_its_key() -> None:
    catalogue = load_catalogue()
    wishes = {
        "grow": ["French marigold", "french_marigold"],
        "leave_out": ["Asteraceae", "Petunia"],
        "last_year": ["Cosmos bipinnatus"],
        "edge_with": ["Sweet alyssum: white", "Edging lobelia"],
    }
    changes = [{"at": ["1 m", "0 m"], "grow": "Edging lobelia"}]
    given = {"place": PLACE, "bed": ROUND, "wishes": wishes, "changes": changes}
    brief = brief_by_key(read_brief(given, checks(catalogue)), catalogue)
    assert brief.wishes.grow == ("french_marigold",)
    assert brief.wishes.leave_out == ("Asteraceae", "petunia")
    assert brief.wishes.last_year == ("garden_cosmos",)
    assert brief.wishes.edge_with == ("sweet_alyssum: white", "edging_lobelia")
    assert brief.changes[0].grow == "edging_lobelia"


def test_a_kind_grown_and_left_out_by_two_names_is_a_fault() -> None:
    wishes = {"grow": ["French marigold"], "leave_out": ["french_marigold"]}
    assert faults_of({"wishes": wishes})["wishes.grow"] == "a kind in one list only"


def test_materials_of_the_table_are_none_that_the_ground_knows() -> None:
    """Names that can mean one material only stand in the table of materials."""
    for row in ROWS:
        if row["of"] == "material" and ";" in row["means"]:
            stock = read_brief({
                "place": PLACE, "bed": ROUND,
                "materials": [{"material": meanings("material", row["word"])[0], "pack": "9 L"}],
            }).materials  # fmt: skip
            assert not packs_of(stock)[1]


def test_colours_of_the_table_are_colour_words() -> None:
    for row in ROWS:
        if row["of"] == "colour":
            assert set(meanings("colour", row["word"])) <= set(COLOUR_WORDS)


def test_the_documentation_lists_every_row() -> None:
    text = (ROOT / "docs/brief.md").read_text(encoding="utf-8")
    section = text.split("\n## Other words\n")[1].split("\n## ")[0]
    listed = {
        (of.strip(), word.strip("` "), meant.strip("` "))
        for of, words, means in re.findall(r"^\| ([^|]+) \| ([^|]+) \| ([^|]+) \|$", section, re.M)
        for word in words.split("; ")
        for meant in [means.replace("`", "")]
    }
    assert {(r["of"], r["word"], r["means"]) for r in ROWS} <= listed


def test_wishes_kinds_says_what_it_counts() -> None:
    accepted = faults_of({"wishes": {"kinds": 40}})["wishes.kinds"]
    assert accepted == (
        "a whole number from 1 to 30 of plants with their colour"
        " (each colour of a kind counts as one)"
    )
