"""calendar.ics: every task as an all-day event (RFC 5545), the same plan giving the same bytes."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta

from icalendar import Calendar, Event, vText

import bedwright
from bedwright.plan import Plan
from bedwright.report import certainty, task_reason, task_title

STAMP = datetime(2020, 1, 1, tzinfo=UTC)
"""Time stamp of all events: fixed, since the plan has no clock."""


def calendar_ics(plan: Plan) -> bytes:
    """All tasks on their best days; the window and the reason stand in the description."""
    calendar = Calendar()
    calendar.add("prodid", f"-//Bedwright//Bedwright {bedwright.__version__}//EN")
    calendar.add("version", "2.0")
    # Of properties outside the standard the library does not know that they are text to escape.
    calendar.add("x-wr-calname", vText(plan.brief.title))
    calendar.add("x-wr-caldesc", vText(certainty(plan.season, plan.brief.units)))
    units = plan.brief.units
    for task in plan.diary.tasks:
        event = Event()
        words = f"{plan.brief.title}|{plan.season.start}|{task.key}"
        event.add("uid", f"{hashlib.sha256(words.encode()).hexdigest()[:24]}@bedwright")
        event.add("dtstamp", STAMP)
        event.add("dtstart", task.best)
        event.add("dtend", task.best + timedelta(days=1))
        event.add("summary", task_title(task, units))
        if task.weekly_until is not None:
            event.add("rrule", {"freq": "weekly", "until": task.weekly_until})
        why = task_reason(task, units)
        event.add("description", f"{why} Earliest {task.earliest}, latest {task.latest}.")
        event.add("categories", [task.where])
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())
