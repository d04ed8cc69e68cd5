"""Words of a bed under way: what moved, this week's list, a second sowing, tonight."""

from __future__ import annotations

from bedwright import underway
from bedwright.dates import day_month
from bedwright.report.say import say
from bedwright.report.text import counted, listed
from bedwright.units import System, say_difference, say_liquid, say_rain, say_temperature

CAUSES: dict[underway.Cause, str] = {
    "weather": "for the weather so far",
    "garden": "for what this garden has taught",
    "work": "for the days on which it was sown or set out",
    "seen": "for what was seen in flower",
}

MOVES = {"out": "goes out", "flower": "flowers first"}


@say.register
def _(fact: underway.Move, units: System) -> str:
    way = "later" if fact.days > 0 else "sooner"
    days = counted(abs(fact.days), "day")
    return f"{fact.name} {MOVES[fact.what]} {days} {way}, {day_month(fact.to)}"


@say.register
def _(fact: underway.MovedBy, units: System) -> str:
    moves = "; ".join(say(move, units) for move in fact.moves)
    if fact.cause == "seen":
        moves = moves.replace(" flowers first ", " flowered ")
    more = f"; and {fact.more} more" if fact.more else ""
    return f"{CAUSES[fact.cause]}: {moves}{more}"


@say.register
def _(fact: underway.NothingMoved, units: System) -> str:
    return "no date that is still to come has moved by more than two days"


@say.register
def _(fact: underway.WeatherSoFar, units: System) -> str:
    nights = counted(fact.nights, "night")
    if abs(fact.warmer_c) < 0.3:
        return f"{nights} written down: as warm as usual for the time of year"
    way = "warmer" if fact.warmer_c > 0 else "colder"
    by = say_difference(abs(fact.warmer_c), units, 1)
    return f"{nights} written down: on average {by} {way} than usual for the time of year"


@say.register
def _(fact: underway.FrostAhead, units: System) -> str:
    return (
        f"wait: {fact.odds:.0%} odds of {say_temperature(fact.celsius, units)} or colder, which"
        f" kills {listed(fact.names)}, in the next {counted(fact.days, 'day')}"
    )


@say.register
def _(fact: underway.SoilWet, units: System) -> str:
    rain = say_rain(fact.rain_mm, units)
    return (
        f"wait: {rain} of rain in {counted(fact.days, 'day')}; wet soil that is dug or trodden"
        " packs hard (it is dry enough when a handful falls apart)"
    )


@say.register
def _(fact: underway.SoilTooCold, units: System) -> str:
    return (
        f"wait: the soil is usually at {say_temperature(fact.celsius, units)} now; this seed wants"
        f" {say_temperature(fact.wants_c, units)}"
    )


@say.register
def _(fact: underway.WaterThisWeek, units: System) -> str:
    rain = ""
    if fact.rain_mm is not None:
        rain = f" ({say_rain(fact.rain_mm, units)} fell in the last week)"
    if fact.mm < 1.0:
        return f"usually rain is enough this week{rain}"
    return (
        f"usually {say_rain(fact.mm, units)} beyond rain this week,"
        f" {say_liquid(fact.litres / 1000.0, units)} for the bed{rain}"
    )


@say.register
def _(fact: underway.SowAgain, units: System) -> str:
    where = "in place" if fact.in_place else "indoors"
    return (
        f"{fact.name}: {_few(fact.standing, fact.wanted)}; sow {counted(fact.seeds, 'seed')}"
        f" again {where}, until {day_month(fact.until)} at the latest; sown now they flower about"
        f" {day_month(fact.first)}, for some {round(fact.weeks)} weeks"
    )


@say.register
def _(fact: underway.TooLateToSow, units: System) -> str:
    return (
        f"{fact.name}: {_few(fact.standing, fact.wanted)}; it is too late to sow it again: buy"
        " young plants, or let its neighbours close the gap"
    )


def _few(standing: int, wanted: int) -> str:
    return f"{standing or 'none'} of {wanted} {'stands' if standing == 1 else 'stand'}"


@say.register
def _(fact: underway.ForecastUnanswered, units: System) -> str:
    return (
        f"{say_temperature(fact.forecast_c, units)} forecast: what to cover is said once a plan is"
        " kept as the one by which the bed is grown"
    )


TONIGHT = (
    ("lost", "too cold for {}, even covered: pick what is in flower"),
    ("cover", "cover {} before dusk, and uncover in the morning"),
    ("perhaps", "cover {} too, if you can: they stand it only if it gets no colder than forecast"),
    ("bring_in", "bring in {}, which are being hardened off"),
    ("hold_back", "set out no {} before it is over"),
)


@say.register
def _(fact: underway.TonightsWork, units: System) -> str:
    said = [f"{say_temperature(fact.forecast_c, units)} forecast"]
    here = say_temperature(fact.here_c, units)
    if here != say_temperature(fact.forecast_c, units):
        said[0] += f", {here} in this garden by its journal"
    for name, words in TONIGHT:
        names = getattr(fact, name)
        if names:
            said.append(words.format(listed(names)))
    if len(said) == 1:
        said.append("nothing that stands outdoors needs a cover")
    return "; ".join(said)
