"""Next year's brief from this year's bed."""

from __future__ import annotations

from typing import Any

import pytest
from scipy.stats import beta

from bedwright.brief import read_brief
from bedwright.journal import (
    FailedHere,
    GrewHere,
    KeptByName,
    LeftBehind,
    OtherColours,
    Rate,
    Rates,
    next_year,
)
from bedwright.journal.year_after import FAILED_SHARE, SCHEMES, SEEN
from bedwright.report import say

NAMES = {"larkspur": "rocket larkspur", "tall_zinnia": "tall zinnia", "viola": "viola"}
USUAL = dict.fromkeys(NAMES, 0.8)
BRIEF: dict[str, Any] = {
    "title": "Oval",
    "place": {"town": "Galway, Ireland"},
    "season": {"year": 2027, "frost_risk": "10%"},
    "bed": {"shape": "circle", "diameter": "3 m"},
    "wishes": {"colour_scheme": "hot", "leave_out": ["coleus"], "grow": ["viola"], "variant": 2,
               "edge_with": ["viola"], "uses": ["cutting"]},
    "changes": [{"at": ["1 m", "0 m"], "size": 2}, {"never": "petunia"}],
    "dates": {"begin": "2027-03-01"},
}  # fmt: skip


def rates(**seen: tuple[int, int]) -> Any:
    """Up of sown, by kind, with a flat prior: by scipy."""
    found = {}
    for kind, (up, of) in seen.items():
        odds = beta(1 + up, 1 + of - up)
        found[kind] = Rate(float(odds.mean()), float(odds.ppf(0.1)), float(odds.ppf(0.9)), of, 1)
    learned = Rates(0.0, 0.1, found, {})
    none = Rates(0.0, 0.1, {}, {})
    return {"germination": (learned, USUAL), "survival": (none, USUAL)}


def test_next_year_s_brief_is_a_brief_and_differs_as_it_says() -> None:
    made, facts = next_year(
        BRIEF, 2027, ["larkspur", "tall_zinnia", "larkspur"], NAMES,
        rates(larkspur=(3, 40), tall_zinnia=(30, 40)), ["tall_zinnia"],
    )  # fmt: skip
    assert made["season"] == {"year": 2028, "frost_risk": "10%"}
    assert made["wishes"] == {
        "colour_scheme": "cool",
        "leave_out": ["coleus", "petunia", "larkspur"],
        "last_year": ["larkspur", "tall_zinnia"],
        "grow": ["tall_zinnia"],
        "uses": ["cutting"],
    }
    assert {"changes", "dates"} & set(made) == set()
    assert (made["bed"], made["place"]) == (BRIEF["bed"], BRIEF["place"])
    read_brief(made)
    assert [type(fact) for fact in facts] == [
        GrewHere, FailedHere, KeptByName, OtherColours, LeftBehind, LeftBehind]  # fmt: skip
    words = [say(fact, "metric") for fact in facts]
    assert "so few seeds of rocket larkspur came up" in words[1]
    assert "1 change to this year's drifts is not taken over" in words[4]
    assert BRIEF["season"]["year"] == 2027, "the brief given stays as it is"


@pytest.mark.parametrize(
    ("up", "of", "fails"), [(3, 40, True), (30, 40, False), (0, SEEN - 1, False), (2, 12, True),
                            (5, 12, False)],
)  # fmt: skip
def test_what_fails_is_what_is_hardly_chance(up: int, of: int, fails: bool) -> None:
    """Where the 90% point, by scipy, lies far below the usual rate, of enough that was counted."""
    made, _ = next_year({}, 2027, ["larkspur"], NAMES, rates(larkspur=(up, of)))
    far = float(beta(1 + up, 1 + of - up).ppf(0.9)) < FAILED_SHARE * 0.8
    assert fails == (far and of >= SEEN)
    assert ("larkspur" in made["wishes"].get("leave_out", [])) == fails
    kept, _ = next_year({}, 2027, ["larkspur"], NAMES, rates(larkspur=(up, of)), ["larkspur"])
    assert "leave_out" not in kept["wishes"]


def test_what_did_not_grow_here_does_not_fail_here() -> None:
    made, _ = next_year({}, 2027, ["viola"], NAMES, rates(larkspur=(0, 90)))
    assert "leave_out" not in made["wishes"]


def test_colours_change_from_year_to_year_and_named_ones_stay() -> None:
    seen, values = [], {"wishes": {}}
    for year in range(2027, 2027 + len(SCHEMES)):
        values, _ = next_year(values, year, ["viola"], NAMES, {})
        seen.append(values["wishes"]["colour_scheme"])
    assert sorted(seen) == sorted(SCHEMES)
    named, facts = next_year({"wishes": {"colours": ["blue"]}}, 2027, [], NAMES, {})
    assert named["wishes"] == {"colours": ["blue"]}
    assert facts == []
