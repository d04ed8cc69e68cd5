"""Words of what a plan as a whole has to say."""

from __future__ import annotations

from bedwright.dates import day_month_year
from bedwright.plan import ClearingBegunBy, FromTheJournal
from bedwright.report.say import say
from bedwright.report.text import counted, listed
from bedwright.units import System

_LONG = {"herbicide": "a weedkiller takes some weeks"}


@say.register
def _(fact: ClearingBegunBy, units: System) -> str:
    takes = _LONG.get(fact.way, "smothering takes about a year")
    return f"{takes}: it must have been begun by {day_month_year(fact.by)}"


@say.register
def _(fact: FromTheJournal, units: System) -> str:
    until = "" if fact.until is None else f", kept until {day_month_year(fact.until)}"
    of = [f"of {counted(fact.kinds, 'kind')}"] if fact.kinds else []
    of += ["of all others"] if fact.others and fact.kinds else ["of all kinds"] * fact.others
    whose = listed(of) or "of its nights"
    late = ""
    if fact.flowering_days is not None and round(fact.flowering_days):
        way = "later" if fact.flowering_days > 0 else "sooner"
        days = counted(round(abs(fact.flowering_days)), "day")
        late = f"; first flowers come {days} {way} here than by the model"
    return f"figures {whose} are those of the garden's own journal{until}{late}"
