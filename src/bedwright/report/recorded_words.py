"""What came of a weather record that was added to a journal, in words."""

from __future__ import annotations

from bedwright.dates import day_month_year
from bedwright.journal import DaysAdded, DaysRecorded, ReadingDiffers, ReadingsTaken
from bedwright.report.journal_words import READINGS, reading_words
from bedwright.report.say import say
from bedwright.report.text import counted, listed
from bedwright.units import System


@say.register
def _(fact: DaysAdded, units: System) -> str:
    parts = ["no day was added"]
    if fact.added and fact.first is not None and fact.last is not None:
        when = day_month_year(fact.first)
        if fact.last != fact.first:
            when = f"from {when} to {day_month_year(fact.last)}"
        parts = [f"{counted(fact.added, 'day')} added, {when}"]
    if fact.same:
        parts.append(f"{_days(fact.same)} there already")
    if fact.corrected:
        parts.append(f"{_days(fact.corrected)} corrected")
    if fact.left:
        parts.append(f"{_days(fact.left)} there with other readings, which were left")
    return "; ".join(parts)


@say.register
def _(fact: DaysRecorded, units: System) -> str:
    first, last = day_month_year(fact.first), day_month_year(fact.last)
    when = first if fact.days == 1 else f"{first} to {last}"
    return f"Weather of {counted(fact.days, 'day')} from records, {when}"


def _days(count: int) -> str:
    return f"{counted(count, 'day')} {'was' if count == 1 else 'were'}"


@say.register
def _(fact: ReadingDiffers, units: System) -> str:
    record, journal = (reading_words(fact.reading, value, units)
                       for value in (fact.record, fact.journal))  # fmt: skip
    title = READINGS[fact.reading]
    return f"{day_month_year(fact.day)}: {title} {record} in the record, {journal} in the journal"


@say.register
def _(fact: ReadingsTaken, units: System) -> str:
    words = [
        f"{title} {reading_words(name, value, units)}"
        for title, name, value in (
            ("coldest night", "tmin_c", fact.coldest_c),
            ("warmest day", "tmax_c", fact.warmest_c),
            ("wettest day", "rain_mm", fact.wettest_mm),
        )
        if value is not None
    ]
    return listed(words)
