"""Words of how kinds grow: what was assumed of a sowing, and what to mind of it."""

from __future__ import annotations

from datetime import timedelta

from bedwright import growth
from bedwright.dates import day_month, day_month_year
from bedwright.report.say import say
from bedwright.report.text import counted
from bedwright.units import System, say_temperature


def weeks_words(weeks: float) -> str:
    """1 week, 6 weeks."""
    return counted(round(weeks), "week")


def percent(share: float) -> str:
    """A share in per cent; of what is seldom or nearly always so, that it is."""
    if 0.0 < share < 0.01:
        return "under 1%"
    if 0.99 < share < 1.0:
        return "over 99%"
    return f"{share:.0%}"


@say.register
def _(fact: growth.InPlaceAssumed, units: System) -> str:
    return "taken as sown where it is to flower, as this kind always is"


_WAITS = {
    "nothing": "",
    "frost": ", when no more than one season in ten still brings a night that kills it",
    "soil": ", when the soil is warm enough",
    "midsummer": ", since no earlier day is safe here",
    "cold_soil": ", since the soil is not warm sooner",
}


@say.register
def _(fact: growth.IndoorsAssumed, units: System) -> str:
    usual = weeks_words(fact.usual_weeks)
    after = f"its usual {usual} after sowing"
    if fact.waits_for != "nothing":
        after = f"{weeks_words(fact.weeks)} after sowing (usual: {usual})"
    other = "; it can be sown where it is to flower, too (--in-place)" if fact.or_in_place else ""
    return (
        f"taken as raised indoors and set out on {day_month_year(fact.out)}, {after}"
        f"{_WAITS.get(fact.waits_for, '')}{other}"
    )


@say.register
def _(fact: growth.LongIndoors, units: System) -> str:
    late = weeks_words(fact.weeks - fact.usual_most)
    return (
        f"{weeks_words(fact.weeks)} indoors is too long: a plant usually has"
        f" {weeks_words(fact.usual_most)} at most, and grows lanky and fills its pot with roots"
        f" after that. Sow about {late} later"
    )


@say.register
def _(fact: growth.OtherWay, units: System) -> str:
    if fact.way == "in_place":
        return "this kind is usually raised indoors; outdoors its seed often fails"
    moved = ""
    if fact.resents_moving:
        moved = ", and resents being moved: sow in small pots and plant it with all its soil"
    return f"this kind is usually sown where it is to flower{moved}"


@say.register
def _(fact: growth.NextYear, units: System) -> str:
    never = "it does not flower in the growing year in which it is sown"
    if fact.share >= 0.005:
        never = never.replace("does not flower", "seldom flowers")
        never += f" ({percent(fact.share)} of seasons)"
    return f"{never}; these are its flowers from {day_month_year(fact.begins)} on"


@say.register
def _(fact: growth.ForLeaves, units: System) -> str:
    return "this kind is grown for its leaves: for “flowers” read “looks its best”"


@say.register
def _(fact: growth.SoilCold, units: System) -> str:
    warmth = say_temperature(fact.soil_c, units)
    if fact.warm is None:
        return (
            f"its seed wants soil of {warmth}, which this place seldom has before midsummer; in"
            " colder soil it comes up slowly, or rots"
        )
    return (
        f"its seed wants soil of {warmth}, which is usual here from about {day_month(fact.warm)};"
        " in colder soil it comes up slowly, or rots"
    )


@say.register
def _(fact: growth.FrostRisk, units: System) -> str:
    night = f"a night of {say_temperature(fact.night_c, units)} or colder"
    begun = "coming up (about " if fact.in_place else "setting out ("
    span = f"from {begun}{day_month(fact.since)}) until it flowers"
    if fact.odds == 0.0:
        return f"in none of these seasons does {night} come {span}"
    if fact.deadly:
        return f"risk of a frost that kills it {span}: {percent(fact.odds)} ({night})"
    return (
        f"risk of {night} {span}: {percent(fact.odds)}. Small plants often live through it, above"
        " all under snow, fleece or dry leaves"
    )


@say.register
def _(fact: growth.SaferFrom, units: System) -> str:
    return (
        f"set out after {day_month(fact.day - timedelta(days=1))}, that risk is"
        f" {percent(fact.risk)} or less"
    )
