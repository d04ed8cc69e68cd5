"""Words of what a plan as a whole has to say."""

from __future__ import annotations

from bedwright.dates import day_month_year
from bedwright.plan import ClearingBegunBy
from bedwright.report.say import say
from bedwright.units import System

_LONG = {"herbicide": "a weedkiller takes some weeks"}


@say.register
def _(fact: ClearingBegunBy, units: System) -> str:
    takes = _LONG.get(fact.way, "smothering takes about a year")
    return f"{takes}: it must have been begun by {day_month_year(fact.by)}"
