"""What is asked of a drift, as changes of the brief."""

from __future__ import annotations

from typing import Any

import pytest

from bedwright.brief import MOST_SIZE, read_brief
from bedwright.web.argue import LESS, MORE, ArgueError, argued

BRIEF: dict[str, Any] = {
    "place": {"town": "Galway, Ireland"},
    "bed": {"shape": "rectangle", "length": "4 m", "width": "2 m"},
}


def drift(**more: Any) -> dict[str, Any]:
    return {"number": 2, "letter": "B", "name": "Larkspur", "kind": "larkspur", "colour": "blue",
            "edging": False, "spot": ["1.000 m", "0.500 m"], **more}  # fmt: skip


def changes(values: dict[str, Any]) -> list[dict[str, Any]]:
    """The brief's changes, if it is sound."""
    assert len(read_brief(values).changes) == len(values.get("changes", []))
    return list(values.get("changes", []))


def test_each_wish_is_one_change_of_the_drift() -> None:
    spot = {"at": ["1.000 m", "0.500 m"]}
    kept, said = argued(BRIEF, drift(), [], "keep")
    assert changes(kept) == [{**spot, "grow": "larkspur", "colour": "blue"}]
    assert said == "B Larkspur stays where it is"
    planted, said = argued(BRIEF, drift(), [], "plant", "tall_zinnia")
    assert changes(planted) == [{**spot, "grow": "tall_zinnia"}]
    assert said == "tall zinnia in place of B Larkspur"
    assert changes(argued(BRIEF, drift(), [], "colour", colour="white")[0]) == [
        {**spot, "grow": "larkspur", "colour": "white"}]  # fmt: skip
    assert changes(argued(BRIEF, drift(), [], "more")[0]) == [
        {**spot, "grow": "larkspur", "colour": "blue", "size": MORE}]  # fmt: skip
    other = drift(number=3, letter="C", name="Cosmos", kind="cosmos", spot=["3 m", "1 m"])
    swapped, said = argued(BRIEF, drift(), [], "swap", other=other)
    assert changes(swapped) == [
        {**spot, "grow": "cosmos", "colour": "blue"},
        {"at": ["3 m", "1 m"], "grow": "larkspur", "colour": "blue"},
    ]
    assert said == "B Larkspur and C Cosmos change places"
    assert BRIEF.get("changes") is None, "what is given stays as it is"


def test_a_drift_asked_again_has_one_change_still() -> None:
    values: dict[str, Any] = {**BRIEF, "changes": [{"at": ["3 m", "1 m"], "size": 0.8}]}
    values, _ = argued(values, drift(), [], "keep")
    for _ in range(2):
        values, _ = argued(values, drift(), [1], "more")
    values, _ = argued(values, drift(), [1], "plant", "cosmos", "white")
    assert changes(values) == [
        {"at": ["3 m", "1 m"], "size": 0.8},
        {"at": ["1.000 m", "0.500 m"], "size": round(MORE * MORE, 3), "grow": "cosmos",
         "colour": "white"},
    ]  # fmt: skip
    values, _ = argued(values, drift(), [1], "free")
    assert changes(values) == [{"at": ["3 m", "1 m"], "size": 0.8}]
    values, _ = argued(values, drift(), [0], "free")
    assert "changes" not in values


def test_a_drift_of_two_changes_keeps_what_both_ask() -> None:
    spots = [{"at": ["1 m", "0.5 m"], "size": 1.2}, {"at": ["1.01 m", "0.5 m"], "grow": "cosmos"}]
    values, _ = argued({**BRIEF, "changes": spots}, drift(), [0, 1], "less")
    assert changes(values) == [
        {"at": ["1.000 m", "0.500 m"], "size": round(1.2 * LESS, 3), "grow": "larkspur",
         "colour": "blue"}]  # fmt: skip


def test_what_was_asked_of_two_drifts_that_change_places_is_asked_no_more() -> None:
    """Each has one change still, and keeps its size."""
    here, there = {"at": ["1 m", "0.5 m"]}, {"at": ["3 m", "1 m"]}
    values = {**BRIEF, "changes": [{**here, "grow": "zinnia", "size": 1.2}, {**there, "size": 0.8}]}
    other = drift(number=3, letter="C", name="Cosmos", kind="cosmos", spot=["3 m", "1 m"])
    swapped, _ = argued(values, drift(), [0], "swap", other=other, other_had=[1])
    assert [(one["grow"], one["size"]) for one in changes(swapped)] == [
        ("cosmos", 1.2), ("larkspur", 0.8)]  # fmt: skip
    by_hand = {**BRIEF, "changes": [{**here, "swap": there["at"]}]}
    planted, _ = argued(by_hand, drift(), [0], "plant", "viola")
    assert changes(planted) == [{"at": ["1.000 m", "0.500 m"], "grow": "viola"}]


def test_one_of_two_edgings_is_kept_beside_the_other() -> None:
    edge = drift(edging=True, spot=None)
    other = drift(edging=True, spot=None, number=3, kind="viola", colour="white")
    both = [edge, other, {**edge, "number": 4}]
    kept, _ = argued(BRIEF, edge, [], "keep", edgings=both)
    assert kept["wishes"]["edge_with"] == ["larkspur: blue", "viola: white"]
    planted, _ = argued(BRIEF, other, [], "plant", "lobelia", edgings=both)
    assert planted["wishes"]["edge_with"] == ["larkspur: blue", "lobelia"]


def test_sizes_have_bounds() -> None:
    values = {**BRIEF, "changes": [{"at": ["1 m", "0.5 m"], "size": MOST_SIZE / MORE + 0.01}]}
    with pytest.raises(ArgueError, match="times as large"):
        argued(values, drift(), [0], "more")
    small = {**BRIEF, "changes": [{"at": ["1 m", "0.5 m"], "size": 0.5}]}
    with pytest.raises(ArgueError, match="times as large"):
        argued(small, drift(), [0], "less")


def test_never_takes_the_kind_out_of_every_wish() -> None:
    values = {
        **BRIEF,
        "wishes": {"grow": ["larkspur", "cosmos"], "edge_with": ["larkspur: blue"],
                   "leave_out": ["zinnia"]},
        "changes": [{"at": ["1 m", "0.5 m"], "grow": "Larkspur"},
                    {"at": ["2 m", "0.5 m"], "size": 1.2}],
    }  # fmt: skip
    after, said = argued(values, drift(), [], "never")
    assert said == "Never Larkspur"
    assert after["wishes"] == {"grow": ["cosmos"], "leave_out": ["zinnia"]}
    assert after["changes"] == [{"at": ["2 m", "0.5 m"], "size": 1.2}, {"never": "larkspur"}]
    again, _ = argued(after, drift(), [], "never")
    assert again == after
    assert argued(BRIEF, drift(), [], "never")[0] == {**BRIEF, "changes": [{"never": "larkspur"}]}


def test_never_leaves_the_kind_out_where_gaps_are_planted() -> None:
    """All of them are chosen again: there are no drifts to change."""
    after, _ = argued(BRIEF, drift(spot=None), [], "never")
    assert after == {**BRIEF, "wishes": {"leave_out": ["larkspur"]}}


def test_an_edging_is_a_wish() -> None:
    edge = drift(edging=True, spot=None)
    values = {**BRIEF, "wishes": {"edging": True}}
    assert argued(values, edge, [], "keep")[0]["wishes"] == {"edge_with": ["larkspur: blue"]}
    assert argued(values, edge, [], "plant", "viola")[0]["wishes"] == {"edge_with": ["viola"]}
    assert argued(values, edge, [], "colour", colour="white")[0]["wishes"] == {
        "edge_with": ["larkspur: white"]}  # fmt: skip
    for act in ("more", "less", "swap", "free"):
        with pytest.raises(ArgueError):
            argued(values, edge, [], act)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("act", "more", "other"),
    [("plant", {}, None), ("colour", {}, None), ("swap", {}, None), ("swap", {}, drift()),
     ("swap", {}, drift(edging=True, spot=None)), ("keep", {"spot": None}, None)],
)  # fmt: skip
def test_what_cannot_be_asked(act: Any, more: dict[str, Any], other: Any) -> None:
    with pytest.raises(ArgueError):
        argued(BRIEF, drift(**more), [], act, other=other)
