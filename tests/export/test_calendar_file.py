"""calendar.ics against the standard: RFC 5545, sections 3.1 (content lines) and 3.3.11 (text)."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from icalendar import Calendar

from bedwright.export.ics import calendar_ics
from bedwright.plan import Plan
from bedwright.report.words import certainty
from bedwright.work.jobs import Named, PrickOut

TITLES = (
    "Beds, borders; and \\ more",
    "one line\nBEGIN:VEVENT\r\nthe next",
    'a colon: and "quotes" and \\n that is no line\'s end',
    "庭の花 " * 40,
    "Пышный цветник, " * 30,
)


def plain_text(value: str) -> str:
    """A TEXT value without its escapes."""
    return re.sub(r"\\(.)", lambda found: {"n": "\n"}.get(found[1], found[1]), value)


@pytest.mark.parametrize("title", TITLES)
def test_any_title_is_read_back(oval: Plan, title: str) -> None:
    job = PrickOut(Named("A", title))
    task = replace(oval.diary.tasks[0], job=job, where=title)
    diary = replace(oval.diary, tasks=(task, *oval.diary.tasks[1:]))
    named = replace(oval, brief=oval.brief.model_copy(update={"title": title}), diary=diary)
    raw = calendar_ics(named)
    plain = title.replace("\r\n", "\n")

    calendar = Calendar.from_ical(raw)
    # The library leaves the text of properties that it does not know as it stands in the file.
    assert plain_text(str(calendar["x-wr-calname"])) == plain
    assert plain_text(str(calendar["x-wr-caldesc"])) == certainty(oval.season, oval.brief.units)
    events = list(calendar.walk("VEVENT"))
    assert len(events) == len(oval.diary.tasks)
    first = next(
        e for e in events if str(e["summary"]) == f"Prick out (transplant the seedlings): {plain}"
    )
    assert first.decoded("dtstart") == task.best
    assert [str(c) for c in first["categories"].cats] == [plain]
    assert str(first["description"]).startswith("When the first true leaves show. Earliest ")
    assert Calendar.from_ical(calendar.to_ical()).to_ical() == calendar.to_ical()


@pytest.mark.parametrize("title", TITLES)
def test_lines_are_folded_by_octets_and_ended_as_the_standard_says(oval: Plan, title: str) -> None:
    named = replace(oval, brief=oval.brief.model_copy(update={"title": title}))
    raw = calendar_ics(named)
    lines = raw.split(b"\r\n")
    assert lines.pop() == b""
    assert all(len(line) <= 75 for line in lines)
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    for line in lines:
        line.decode("utf-8")
    unfolded = b"\r\n".join(lines).replace(b"\r\n ", b"").split(b"\r\n")
    names = [line.split(b":")[0].split(b";")[0] for line in unfolded]
    assert all(name.replace(b"-", b"").isalpha() and name.isupper() for name in names)
    assert names.count(b"BEGIN") == len(oval.diary.tasks) + 1
