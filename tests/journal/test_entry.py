"""Entries of a journal by themselves: which fields each sort has, and what no entry can say."""

from __future__ import annotations

from dataclasses import fields
from datetime import date, timedelta
from typing import Any, get_args

import pytest

from bedwright.journal import MOST_TEXT, OF, SPANS, Cause, Entry, What, entry_faults

TODAY = date(2027, 6, 1)
LEAST: dict[str, dict[str, Any]] = {
    "height": {"kind": "larkspur", "length_m": 0.9},
    "colours": {"kind": "larkspur", "other": "coleus"},
    "frost": {},
    "weather": {"rain_mm": 4.0},
    "work": {"text": "weeded"},
    "photo": {"photo": "0" * 64},
    "note": {"text": "bees all day"},
}


def least(what: Any) -> dict[str, Any]:
    return LEAST.get(what, {"kind": "larkspur"})


def faults(what: Any, **given: Any) -> list[tuple[str, str]]:
    found = entry_faults(Entry(TODAY, what, **{**least(what), **given}), TODAY)
    return [(fault.field, fault.given) for fault in found]


def test_every_sort_and_field_is_known() -> None:
    assert set(OF) == set(get_args(What))
    named = {name for of in OF.values() for part in of for name in part}
    assert named | {"day", "what"} == {field.name for field in fields(Entry)}
    assert set(SPANS) <= named


@pytest.mark.parametrize("what", OF)
def test_the_least_of_each_sort_is_sound(what: What) -> None:
    assert faults(what) == []
    assert faults(what, text="as typed") == []
    for name in least(what):
        assert faults(what, **{name: None if name != "text" else ""})


@pytest.mark.parametrize(
    ("what", "given", "field"),
    [
        ("frost", {"kind": "larkspur"}, "kind"),
        ("sown", {"rain_mm": 1.0}, "rain_mm"),
        ("came_up", {"count": 30, "of": 24}, "count"),
        ("picked", {"count": -1}, "count"),
        ("height", {"length_m": 12.0}, "length_m"),
        ("weather", {"tmin_c": 20.0, "tmax_c": 10.0}, "tmin_c"),
        ("weather", {"rain_mm": -1.0}, "rain_mm"),
        ("weather", {"tmin_c": -80.0}, "tmin_c"),
        ("lost", {"cause": "dragons"}, "cause"),
        ("work", {"minutes": 2000}, "minutes"),
        ("note", {"text": "x" * (MOST_TEXT + 1)}, "text"),
        ("note", {"text": "a\0b"}, "text"),
        ("burnt", {}, "what"),
    ],
)
def test_what_no_entry_can_say(what: Any, given: dict[str, Any], field: str) -> None:
    assert [name for name, _ in faults(what, **given)] == [field]


def test_no_entry_is_of_a_day_to_come() -> None:
    tomorrow = Entry(TODAY + timedelta(days=1), "frost")
    (fault,) = entry_faults(tomorrow, TODAY)
    assert (fault.field, fault.given) == ("day", "2027-06-02")
    assert "2027-06-01" in fault.accepted
    assert entry_faults(Entry(TODAY, "frost"), TODAY) == []


@pytest.mark.parametrize("cause", get_args(Cause))
def test_every_cause_is_taken(cause: Any) -> None:
    assert faults("lost", cause=cause, count=3, of=12) == []
