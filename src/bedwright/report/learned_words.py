"""Words of what a garden's own observations say."""

from __future__ import annotations

from bedwright import journal
from bedwright.dates import day_month_year
from bedwright.report.say import say
from bedwright.report.text import counted
from bedwright.units import System, say_difference

RATES = {"germination": "germination of {}", "survival": "survival of {} once moved"}
PLANTS = {"germination": "seed", "survival": "plant"}
"""What a rate is of, and of what it is counted."""

UP = {"up": "came up", "of": "are said to have been sown"}

FEWEST = 5
"""Outcomes from which a share is given in per cent."""


def days_words(days: float) -> str:
    """1 day, 6 days."""
    return counted(round(abs(days)), "day")


def shifted(days: float) -> str:
    """6 days later than by the model; as by the model: plans may have been made with what was
    learned before."""
    if round(days) == 0:
        return "as by the model"
    return f"{days_words(days)} {'later' if days > 0 else 'sooner'} than by the model"


def give_or_take(days: float) -> str:
    """Two times in three within so many days."""
    return f"give or take {days_words(max(days, 1.0))}"


@say.register
def _(fact: journal.RateHere, units: System) -> str:
    same = f"{fact.rate:.0%}" == f"{fact.catalogue:.0%}"
    usual = "as the catalogue has it" if same else f"not {fact.catalogue:.0%}"
    plants = counted(fact.seen, PLANTS[fact.what])
    return (
        f"{RATES[fact.what].format(fact.name)} here {fact.rate:.0%}, {usual}, from"
        f" {counted(fact.sowings, 'sowing')} ({plants}; between {fact.low:.0%} and {fact.high:.0%}"
        " with odds of 80%)"
    )


@say.register
def _(fact: journal.MoreThanSown, units: System) -> str:
    return (
        f"{fact.name}, {day_month_year(fact.day)}: {fact.count} {UP[fact.what]} where {fact.sown}"
        " were sown, so this count is not used"
    )


@say.register
def _(fact: journal.SownUnknown, units: System) -> str:
    return (
        f"{fact.name}, {day_month_year(fact.day)}: {fact.count} came up, but no entry says of how"
        " many seeds, so this count is not used"
    )


@say.register
def _(fact: journal.CountedEarly, units: System) -> str:
    return (
        f"{fact.name}, {day_month_year(fact.day)}: counted before the last seed is usually up"
        f" (about {day_month_year(fact.until)}), so this count is not used; count once more"
    )


@say.register
def _(fact: journal.MoreLostThanStood, units: System) -> str:
    return (
        f"{fact.name}: {fact.lost} lost since {day_month_year(fact.since)}, of {fact.stood} that"
        " stood there, so these losses are not used"
    )


@say.register
def _(fact: journal.LossUncounted, units: System) -> str:
    return (
        f"{fact.name}: of {counted(fact.stood, 'plant')} moved on {day_month_year(fact.since)} some"
        " were lost, but no entry says how many, so they are not used"
    )


@say.register
def _(fact: journal.FlowersHere, units: System) -> str:
    return (
        f"{fact.name} flowers {shifted(fact.days)} here, {give_or_take(fact.sd_days)}, from"
        f" {counted(fact.seen, 'first flower')}"
    )


@say.register
def _(fact: journal.GardenFlowers, units: System) -> str:
    return (
        f"this garden flowers {shifted(fact.days)}, {give_or_take(fact.sd_days)}, from"
        f" {counted(fact.seen, 'first flower')} of {counted(fact.kinds, 'kind')}"
    )


@say.register
def _(fact: journal.FlowerDue, units: System) -> str:
    return (
        f"{fact.name} was to flower about {day_month_year(fact.day)}, {days_words(fact.days)} ago;"
        " no entry says that it has"
    )


@say.register
def _(fact: journal.NightsHere, units: System) -> str:
    low, high = (_warmer(each, units) for each in (fact.low_c, fact.high_c))
    found = f"nights in this garden are {_warmer(fact.offset_c, units)} than expected"
    seen = [counted(fact.seen, "night") + " with a minimum"] if fact.seen else []
    seen += [f"{counted(fact.frosts, 'frost')} without one"] if fact.frosts else []
    return f"{found} (from {low} to {high} with odds of 80%), from {' and '.join(seen)}"


def _warmer(celsius: float, units: System) -> str:
    return f"{say_difference(abs(celsius), units, 1)} {'warmer' if celsius >= 0.0 else 'colder'}"


@say.register
def _(fact: journal.ForecastsKept, units: System) -> str:
    dates = {"by": f"by the date for {fact.promised:.0%}", "within": "from the 10% to the 90% date"}
    found = f"of {counted(fact.of, 'forecast')} {fact.happened} came true {dates[fact.when]}"
    if fact.of < FEWEST:
        return f"{found}, too few to judge by"
    return (
        f"{found} ({fact.promised:.0%} is due; the share in the long run lies between"
        f" {fact.low:.0%} and {fact.high:.0%} with odds of 80%)"
    )
