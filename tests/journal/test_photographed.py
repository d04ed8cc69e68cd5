"""Lines with a photograph: what the entry is, and of which day."""

from __future__ import annotations

from datetime import date

import pytest

from bedwright.catalogue import Catalogue
from bedwright.facts import Fact
from bedwright.journal import (
    DayKept,
    DayOfPhoto,
    DayOfPhotoToCome,
    Entry,
    Kinds,
    LineError,
    doubts_of,
    entry_faults,
    kinds_of,
    read_photographed,
)
from bedwright.report import entry_words, say

TODAY, TAKEN, OLD = date(2026, 6, 1), date(2026, 5, 20), date(2026, 4, 2)
TO_COME = date(2031, 1, 1)
SUM = "ab" * 32


@pytest.fixture(scope="module")
def kinds(catalogue: Catalogue) -> Kinds:
    return kinds_of(catalogue, ("garden_cosmos",))


@pytest.mark.parametrize(
    ("line", "what", "text"),
    [
        ("first flower cosmos", "first_flower", "first flower cosmos"),
        ("bees all day", "photo", "bees all day"),
        ("is that a weed?", "photo", "is that a weed?"),
        ("note: bees all day", "note", "note: bees all day"),
        ("", "photo", ""),
        ("  ", "photo", ""),
        ("Photograph", "photo", ""),
        ("photo", "photo", ""),
    ],
)
def test_any_entry_may_have_a_photograph_and_one_alone_is_an_entry(
    kinds: Kinds, line: str, what: str, text: str
) -> None:
    found = read_photographed(line, TODAY, kinds, "metric", SUM)
    assert (found.entry.what, found.entry.text, found.entry.photo) == (what, text, SUM)
    assert entry_faults(found.entry, TODAY) == []


def test_without_a_photograph_a_line_is_read_as_ever(kinds: Kinds) -> None:
    assert read_photographed("bees", TODAY, kinds, "metric").entry == Entry(
        TODAY, "note", text="bees"
    )
    assert read_photographed("photo", TODAY, kinds, "metric").entry.what == "note"
    with pytest.raises(LineError):
        read_photographed("", TODAY, kinds, "metric")


@pytest.mark.parametrize(
    ("line", "taken", "day", "own", "said"),
    [
        ("first flower cosmos", TAKEN, None, TAKEN, DayOfPhoto(TAKEN)),
        ("", TAKEN, None, TAKEN, DayOfPhoto(TAKEN)),
        ("first flower cosmos 25 May", TAKEN, None, date(2026, 5, 25), None),
        ("first flower cosmos today", TAKEN, None, TODAY, None),
        ("frost last night", TAKEN, None, TODAY, None),
        ("bees on 25 May", TAKEN, None, date(2026, 5, 25), None),
        ("first flower cosmos", TODAY, None, TODAY, None),
        ("first flower cosmos", None, None, TODAY, None),
        ("first flower cosmos", TO_COME, None, TODAY, DayOfPhotoToCome(TO_COME)),
        ("first flower cosmos", TAKEN, OLD, OLD, DayKept(OLD)),
        ("first flower cosmos", None, OLD, OLD, DayKept(OLD)),
        ("first flower cosmos", None, TODAY, TODAY, None),
        ("first flower cosmos 25 May", None, OLD, date(2026, 5, 25), None),
    ],
)
def test_the_day_of_the_line_then_of_the_photograph_then_today(
    kinds: Kinds, line: str, taken: date | None, day: date | None, own: date, said: Fact | None
) -> None:
    found = read_photographed(line, TODAY, kinds, "metric", SUM, taken, day)
    assert found.entry.day == own
    days = [
        one for one in found.guesses if isinstance(one, DayOfPhoto | DayOfPhotoToCome | DayKept)
    ]
    assert days == ([] if said is None else [said])


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        (DayOfPhoto(TAKEN), "the day is the photograph's own date, 20 May 2026"),
        (DayOfPhotoToCome(TO_COME), "the photograph's own date, 1 January 2031, is to come; the"
         " present day was taken instead"),
        (DayKept(OLD), "the line says no day, and 2 April 2026 was kept"),
    ],
)  # fmt: skip
def test_what_is_said_of_the_day(fact: Fact, words: str) -> None:
    assert say(fact, "metric") == words


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        (Entry(TODAY, "photo", photo=SUM), "Photograph, on 1 June 2026"),
        (Entry(TODAY, "photo", kind="c", photo=SUM, text="bees"),
         "Photograph: cosmos, bees, on 1 June 2026"),
        (Entry(TODAY, "first_flower", kind="c", photo=SUM),
         "First flower: cosmos, on 1 June 2026, with a photograph"),
    ],
)  # fmt: skip
def test_an_entry_says_that_it_has_a_photograph(entry: Entry, words: str) -> None:
    assert entry_words(entry, {"c": "cosmos"}, "metric") == words


def test_the_same_with_another_photograph_is_the_same() -> None:
    one = Entry(TODAY, "first_flower", kind="c", photo=SUM)
    two = Entry(TODAY, "first_flower", kind="c", photo="cd" * 32)
    assert len(doubts_of(one, [two], [])) == 1
    photos = [Entry(TODAY, "photo", photo=sha) for sha in (SUM, "cd" * 32)]
    assert doubts_of(photos[0], photos[1:], []) == []
    assert len(doubts_of(photos[0], photos[:1], [])) == 1
