"""What is odd about an entry beside the plan and the entries before it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bedwright.facts import Fact
from bedwright.journal import (
    BeforeItsBeginning,
    Entry,
    MoreUpThanSown,
    NeverSown,
    NotInTheBed,
    WrittenBefore,
    doubts_of,
)
from bedwright.report import say

DAY = date(2027, 4, 12)
LATER = DAY + timedelta(days=14)
SOWN = Entry(DAY, "sown", kind="larkspur", count=24, text="sowed 24 larkspur")
BED = ["larkspur", "coleus"]


@pytest.mark.parametrize(
    ("entry", "before", "planted", "doubts"),
    [
        (SOWN, [], BED, []),
        (SOWN, [], [], []),
        (SOWN, [Entry(DAY, "sown", kind="larkspur", count=24)], BED, [WrittenBefore(DAY)]),
        (Entry(LATER, "sown", kind="larkspur", count=24), [SOWN], BED, []),
        (Entry(DAY, "note", text="bees"), [Entry(DAY, "note", text="bees")], BED, []),
        (Entry(DAY, "sown", kind="viola"), [], BED, [NotInTheBed("viola")]),
        (Entry(LATER, "sown", kind="viola"), [Entry(DAY, "sown", kind="viola")], BED, []),
        (Entry(LATER, "came_up", kind="larkspur", count=18), [SOWN], BED, []),
        (Entry(LATER, "came_up", kind="larkspur", count=30), [SOWN], BED, [MoreUpThanSown(30, 24)]),
        (Entry(LATER, "came_up", kind="larkspur", count=30),
         [SOWN, Entry(DAY, "sown", kind="larkspur")], BED, []),
        (Entry(LATER, "came_up", kind="coleus", count=3), [SOWN], BED, [NeverSown("coleus")]),
        (Entry(DAY - timedelta(days=1), "came_up", kind="larkspur"), [SOWN], BED,
         [BeforeItsBeginning("came_up", DAY - timedelta(days=1), DAY)]),
        (Entry(DAY - timedelta(days=1), "first_flower", kind="larkspur"), [SOWN], BED,
         [BeforeItsBeginning("first_flower", DAY - timedelta(days=1), DAY)]),
        (Entry(LATER, "first_flower", kind="coleus"), [SOWN], BED, []),
        (Entry(DAY, "frost"), [SOWN], BED, []),
    ],
)  # fmt: skip
def test_doubts(entry: Entry, before: list[Entry], planted: list[str], doubts: list[Fact]) -> None:
    found = doubts_of(entry, before, planted)
    assert found == doubts
    assert all(say(fact, "metric") and say(fact, "us") for fact in found)
