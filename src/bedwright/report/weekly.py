"""This week's list in words, as the page and the command line show it."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.dates import day_month
from bedwright.report.say import say
from bedwright.report.text import counted, listed
from bedwright.underway import Due, DueWork, Underway
from bedwright.units import System

HEADINGS: dict[Due, str] = {
    "late": "Late, or not written down",
    "now": "Due now",
    "may wait": "May wait",
    "watch": "To watch for",
}
"""What the parts of the list are called, in their order."""


@dataclass(frozen=True)
class WeekRow:
    """One line of the list: the ``key`` of its work, what is done and when, and what is said
    beside it; ``wait``: whether the weather forbids it."""

    key: str
    what: str
    when: str
    notes: tuple[str, ...]
    wait: bool


@dataclass(frozen=True)
class WeekSheet:
    """The list, part by part in their order, what moved and why, and second sowings; a sentence
    each without its full stop."""

    moved: tuple[str, ...]
    second: tuple[str, ...]
    parts: tuple[tuple[str, tuple[WeekRow, ...]], ...]


def week_sheet(found: Underway, listed: tuple[DueWork, ...], units: System) -> WeekSheet:
    """The list of a week in words."""
    rows = {due: tuple(_row(one, units) for one in listed if one.due == due) for due in HEADINGS}
    return WeekSheet(
        tuple(say(fact, units) for fact in found.moved),
        tuple(say(fact, units) for fact in found.second),
        tuple((HEADINGS[due], rows[due]) for due in HEADINGS if rows[due]),
    )


def _row(one: DueWork, units: System) -> WeekRow:
    notes = [say(fact, units) for fact in (*one.against, *one.says)]
    if one.after:
        first = listed([f"“{words}”" for words in one.after])
        notes.append(f"first {first}")
    if one.moved:
        way = "later" if one.moved > 0 else "sooner"
        notes.append(f"{counted(abs(one.moved), 'day')} {way} than planned")
    return WeekRow(one.work.key, one.work.words, _when(one), tuple(notes), one.forbidden)


def _when(one: DueWork) -> str:
    work = one.work
    if work.weekly_until is not None:
        return f"every week until {day_month(work.weekly_until)}"
    if one.due == "late":
        return f"until {day_month(work.latest)}"
    if work.latest == work.best:
        return day_month(work.best)
    return f"best {day_month(work.best)}, until {day_month(work.latest)}"
