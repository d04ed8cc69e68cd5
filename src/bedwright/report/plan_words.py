"""Words of what a plan as a whole has to say."""

from __future__ import annotations

from bedwright.dates import day_month_year
from bedwright.ground import Shortfall, say_shortfall
from bedwright.plan import ClearingBegunBy, FeedFallsShort
from bedwright.report.say import say
from bedwright.units import System

_LONG = {"herbicide": "a weedkiller takes some weeks"}


@say.register
def _(fact: ClearingBegunBy, units: System) -> str:
    takes = _LONG.get(fact.way, "smothering takes about a year")
    return f"{takes}: it must have been begun by {day_month_year(fact.by)}"


@say.register
def _(fact: FeedFallsShort, units: System) -> str:
    short = Shortfall(fact.nutrient, fact.short_g_m2, fact.target_g_m2)
    return f"feed: {say_shortfall(short, units)}"
