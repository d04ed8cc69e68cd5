"""Days of a weather record beside a journal's: new, there already, or other than there."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.facts import Fact
from bedwright.journal import (
    DaysAdded,
    DaysRecorded,
    Entry,
    ReadingDiffers,
    ReadingsTaken,
    days_compared,
    readings_of,
)
from bedwright.report import say

DAY = date(2026, 5, 2)
NEXT = DAY + timedelta(days=1)
READINGS = ("tmin_c", "tmax_c", "rain_mm")


def weather(day: date = DAY, text: str = "", **given: float) -> Entry:
    return Entry(day, "weather", text=text, **given)  # type: ignore[arg-type]


FULL = weather(tmin_c=4.0, tmax_c=12.0, rain_mm=1.0)


@pytest.mark.parametrize(
    ("there", "new", "same", "differ"),
    [
        ([], [FULL], 0, []),
        ([FULL], [], 1, []),
        ([replace(FULL, tmin_c=4.04)], [], 1, []),
        ([replace(FULL, day=NEXT)], [FULL], 0, []),
        ([weather(rain_mm=1.0, text="rain 1 mm")], [weather(tmin_c=4.0, tmax_c=12.0)], 0, []),
        ([weather(rain_mm=1.0), weather(tmin_c=4.0, tmax_c=12.0)], [], 1, []),
        ([Entry(DAY, "frost", tmin_c=-1.0)], [FULL], 0, []),
        ([replace(FULL, tmin_c=5.0)], [], 0, [ReadingDiffers(DAY, "tmin_c", 4.0, 5.0)]),
        ([weather(rain_mm=9.0)], [], 0, [ReadingDiffers(DAY, "rain_mm", 1.0, 9.0)]),
    ],
)
def test_a_day_is_new_there_already_or_differs(
    there: list[Entry], new: list[Entry], same: int, differ: list[Fact]
) -> None:
    found = days_compared([FULL], there)
    assert (list(found.new), found.same, list(found.differ)) == (new, same, differ)


def test_a_correction_takes_the_record_s_readings_and_no_more() -> None:
    typed = weather(rain_mm=9.0, text="rain 9 mm")
    found = days_compared([FULL], [Entry(DAY, "frost"), typed])
    assert found.corrections == ((1, weather(rain_mm=1.0)),)
    assert found.beside == (weather(tmin_c=4.0, tmax_c=12.0),)
    kept = replace(typed, photo="ab" * 32, tmax_c=20.0)
    ((_, made),) = days_compared([weather(rain_mm=1.0)], [kept]).corrections
    assert (made.rain_mm, made.tmax_c, made.photo, made.text) == (1.0, 20.0, kept.photo, "")


readings = st.none() | st.integers(-30, 40).map(lambda tenths: tenths / 2)
values = st.fixed_dictionaries(dict.fromkeys(READINGS, readings)).filter(
    lambda one: any(value is not None for value in one.values())
)
entries = st.builds(
    lambda n, one: weather(DAY + timedelta(days=n), **one), st.integers(0, 4), values
)
records = st.lists(entries, max_size=5, unique_by=lambda one: one.day)


def standing(there: list[Entry], made: Any, replaced: bool) -> list[Entry]:
    """A journal after a record's days were written into it."""
    after = list(there)
    if replaced:
        for n, entry in made.corrections:
            after[n] = entry
        after += made.beside
    return [*after, *made.new]


@given(records, st.lists(entries, max_size=6))
def test_a_record_added_again_adds_nothing(record: list[Entry], there: list[Entry]) -> None:
    made = days_compared(record, there)
    assert len(made.new) + made.same + len({one.day for one in made.differ}) == len(record)
    again = days_compared(record, standing(there, made, replaced=False))
    assert (again.new, again.differ) == ((), made.differ)
    last = days_compared(record, standing(there, made, replaced=True))
    assert (last.new, last.corrections, last.beside, last.same) == ((), (), (), len(record))


@given(records, st.lists(entries, max_size=6))
def test_what_a_journal_has_stays_unless_it_is_replaced(
    record: list[Entry], there: list[Entry]
) -> None:
    made = days_compared(record, there)
    assert standing(there, made, replaced=False)[: len(there)] == there
    for n, entry in made.corrections:
        assert entry != there[n]
        others = [name for name in READINGS if getattr(there[n], name) is None]
        assert all(getattr(entry, name) is None for name in others)


def test_between_which_values_the_readings_lie() -> None:
    days = [FULL, weather(NEXT, tmin_c=-2.0), weather(NEXT, rain_mm=7.0)]
    assert readings_of(days) == ReadingsTaken(-2.0, 12.0, 7.0)
    assert readings_of([weather(rain_mm=7.0)]) == ReadingsTaken(None, None, 7.0)


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        (DaysAdded(214, date(2026, 1, 1), date(2026, 8, 2), 3, 0, 0),
         "214 days added, from 1 January 2026 to 2 August 2026; 3 days were there already"),
        (DaysAdded(1, DAY, DAY, 0, 0, 1),
         "1 day added, 2 May 2026; 1 day was there with other readings, which were left"),
        (DaysAdded(0, None, None, 1, 2, 0),
         "no day was added; 1 day was there already; 2 days were corrected"),
        (ReadingDiffers(DAY, "tmin_c", -1.0, 4.5),
         "2 May 2026: minimum −1 °C in the record, 4.5 °C in the journal"),
        (ReadingDiffers(DAY, "rain_mm", 0.0, 25.4),
         "2 May 2026: rain 0 mm in the record, 25.4 mm in the journal"),
        (ReadingsTaken(-2.0, 12.0, 7.0),
         "coldest night −2 °C, warmest day 12 °C and wettest day 7 mm"),
        (DaysRecorded(2, DAY, NEXT), "Weather of 2 days from records, 2 May 2026 to 3 May 2026"),
        (DaysRecorded(1, DAY, DAY), "Weather of 1 day from records, 2 May 2026"),
    ],
)  # fmt: skip
def test_what_is_said(fact: Fact, words: str) -> None:
    assert say(fact, "metric") == words


def test_it_is_said_in_us_units() -> None:
    fact = ReadingDiffers(DAY, "rain_mm", 0.0, 25.4)
    assert say(fact, "us").endswith("rain 0 in in the record, 1 in in the journal")
    assert say(ReadingsTaken(0.0, None, None), "us") == "coldest night 32 °F"
