"""What the climate states, in words: where a season comes from, what a record was found to hold."""

from __future__ import annotations

from datetime import date

from bedwright import climate
from bedwright.brief import MONTH_NAMES
from bedwright.dates import day_month_year
from bedwright.report.say import say
from bedwright.report.stated import stated_words
from bedwright.report.text import counted, listed
from bedwright.units import System, say_difference, say_long

GRID = "monthly normals of a world grid (ERA5, 2000-2025)"


def _chance(p: float) -> str:
    """The odds of a trend by chance: ``p = 0.03``, ``p < 0.01``."""
    return "p < 0.01" if p < 0.005 else f"p = {p:.2f}"


def _years(first: int, last: int) -> str:
    return f"{first}" if first == last else f"{first}-{last}"


# --- what a season rests on


@say.register
def _(fact: climate.FromNormals, units: System) -> str:
    return f"{GRID} and a model of daily minima"


@say.register
def _(fact: climate.FromDates, units: System) -> str:
    whose = f"frost dates as stated (source: {fact.whose})" if fact.whose else "stated frost dates"
    return f"{whose}; heat and rain from {GRID}"


@say.register
def _(fact: climate.FromLightDates, units: System) -> str:
    whose = f" (source: {fact.whose})" if fact.whose else ""
    return f"dates of light frost, as stated{whose}; heat and rain from {GRID}"


@say.register
def _(fact: climate.FromSayings, units: System) -> str:
    light = "light frost" if fact.light else "frost"
    said = "no frost" if fact.never else light
    if fact.months:
        names = [MONTH_NAMES[month - 1] for month in fact.months]
        said += f" in {names[0]}" if len(names) == 1 else f" from {names[0]} to {names[-1]}"
    if fact.share is not None:
        said += f" in {fact.share:.0%} of years"
    source = f" (source: {fact.whose})" if fact.whose else ""
    return f"{said}, as stated{source}; heat and rain from {GRID}"


@say.register
def _(fact: climate.FromJoined, units: System) -> str:
    years = _years(fact.first_year, fact.last_year)
    return (
        f"{GRID}, a model of daily minima, and {counted(fact.years, 'growing year')} of the daily"
        f" record {fact.record}, {years}, which count for {fact.weight:.0%} in the cold nights of"
        " spring"
    )


@say.register
def _(fact: climate.FromRecord, units: System) -> str:
    return (
        f"the daily record {fact.record}, growing years {_years(fact.first_year, fact.last_year)}"
        f" ({fact.whole_years} of them whole)"
    )


# --- what was found in gathering the weather


@say.register
def _(fact: climate.Namesakes, units: System) -> str:
    more = f" and {fact.more} more" if fact.more else ""
    return f"{fact.taken} is taken; others of that name: {'; '.join(fact.others)}{more}"


@say.register
def _(fact: climate.YearPast, units: System) -> str:
    return (
        f"the growing year {fact.year} is past: it ended on {day_month_year(fact.ended)}, and"
        " everything here is dated as if it were still to come"
    )


@say.register
def _(fact: climate.NoLand, units: System) -> str:
    return (
        f"the climate grid has no land at latitude {fact.latitude:g}, longitude {fact.longitude:g}"
    )


@say.register
def _(fact: climate.NoSuchTown, units: System) -> str:
    near = f"; perhaps {'; '.join(fact.near)}" if fact.near else ""
    return f"no town called '{fact.name}' in the index (towns of 5,000 people and more){near}"


# --- seasons from normals and from stated dates


@say.register
def _(fact: climate.RoughDates, units: System) -> str:
    return (
        "frost dates calculated from normals can be weeks out: ask the local extension office or"
        " weather service for its dates and state them"
    )


@say.register
def _(fact: climate.RoughRain, units: System) -> str:
    return "rain is taken from the grid, which is often wrong near coasts and mountains"


@say.register
def _(fact: climate.UntriedTropics, units: System) -> str:
    return (
        "the model has no station in the tropics to go by: what it says about freezes here is a"
        " guess"
    )


@say.register
def _(fact: climate.UntriedHere, units: System) -> str:
    return (
        "no station that the frost dates were fitted to has surroundings like these: they are"
        " untried here"
    )


@say.register
def _(fact: climate.ColdHollows, units: System) -> str:
    return (
        "in hilly land cold air gathers in hollows and on valley floors, which freeze weeks later"
        " in spring and sooner in autumn than these dates"
    )


@say.register
def _(fact: climate.PerhapsTown, units: System) -> str:
    return (
        f"amid the houses of a city cold nights are some {say_difference(fact.milder_c, units, 1)}"
        " milder than these: if the garden lies there, say so (situation = 'town')"
    )


@say.register
def _(fact: climate.DatesMissed, units: System) -> str:
    days = counted(round(fact.miss_days), "day")
    return (
        f"the last freezes of the modelled weather are {days} from what is stated, which affects"
        " bloom and heat, not the frost dates"
    )


@say.register
def _(fact: climate.OddsTaken, units: System) -> str:
    name, way, edge = (
        ("last", "a later", "end") if fact.last else ("first", "an earlier", "first day")
    )
    if fact.taken == "month":
        return (
            f"the month of the {name} freeze is stated alone: its middle is taken as that of the"
            f" usual year, and one year in ten has {way} one than its {edge}"
        )
    return (
        f"the {name} freeze is stated without odds and taken as that of the usual year: half of all"
        f" years have {way} one; if it is the date thought safe, state it at 10%"
    )


@say.register
def _(fact: climate.SideModelled, units: System) -> str:
    name = "last" if fact.last else "first"
    return f"no {name} freeze is stated: it is calculated from world normals"


@say.register
def _(fact: climate.FrostUnlike, units: System) -> str:
    return (
        f"what is stated of frost gives a freeze in {fact.stated:.0%} of springs, the world's"
        f" normals give one in {fact.modelled:.0%}: check the place and what is stated"
    )


@say.register
def _(fact: climate.NightsMoved, units: System) -> str:
    way = "colder" if fact.celsius < 0 else "milder"
    by = f"cold nights are taken as {say_difference(abs(fact.celsius), units, 1)} {way}"
    if not fact.situation:
        return f"{by} than about the place, as stated"
    where = listed([SITUATIONS[word] for word in fact.situation])
    return (
        f"{by} than in open country, for {where}; that is a rough figure: a minimum thermometer in"
        " the bed, read beside the weather station's, gives yours"
    )


@say.register
def _(fact: climate.NightsLearned, units: System) -> str:
    error = fact.error_c
    give = "" if error is None else f", give or take {say_difference(error, units, 1)}"
    if not fact.celsius:
        return f"by the garden's journal its cold nights are as about the place{give}"
    way = "colder" if fact.celsius < 0 else "milder"
    by = say_difference(abs(fact.celsius), units, 1)
    return f"by the garden's journal its cold nights are {by} {way} than about the place{give}"


SITUATIONS = {
    "hollow": "a hollow",
    "slope": "a slope that cold air drains from",
    "town": "a town",
    "wall": "the wall of a house",
    "sea front": "the sea front",
}


@say.register
def _(fact: climate.HeightMoved, units: System) -> str:
    way = "warmer" if fact.celsius > 0 else "cooler"
    heights = " and ".join(say_long(metres, units) for metres in (fact.record_m, fact.garden_m))
    return (
        f"the record {fact.record} and the garden lie {heights} above the sea: its temperatures are"
        f" taken {say_difference(abs(fact.celsius), units, 1)} {way}"
    )


@say.register
def _(fact: climate.DatesUnused, units: System) -> str:
    return "frost dates are stated too, but the weather record is used"


@say.register
def _(fact: climate.SayingsUnused, units: System) -> str:
    return f"the weather record is used, not {stated_words(fact.stated)}"


@say.register
def _(fact: climate.SeenUntil, units: System) -> str:
    return (
        f"the weather up to {day_month_year(fact.day)} is as it was seen; the odds are of what"
        " follows"
    )


# --- seasons from a record


@say.register
def _(fact: climate.RecordUnused, units: System) -> str:
    instead = "world normals" if fact.instead == "normals" else stated_words(fact.instead)
    return f"{say(fact.reason, units)}; the odds come from {instead} instead"


@say.register
def _(fact: climate.TooFewYears, units: System) -> str:
    years = counted(fact.years, "whole growing year")
    asked = zip(("from_year", "to_year"), fact.asked, strict=True)
    within = listed([f"{field} = {year}" for field, year in asked if year is not None])
    return (
        f"the record {fact.record} has {years} in {_years(*fact.span)}; needed:"
        f" {fact.least_years} or more{' within ' if within else ''}{within}"
    )


@say.register
def _(fact: climate.TooFewAnswers, units: System) -> str:
    return (
        f"the record {fact.record} has {counted(fact.springs, 'spring')} and"
        f" {counted(fact.autumns, 'autumn')} whose missing days cannot hide a freeze; needed:"
        f" {fact.least_years} or more of each"
    )


@say.register
def _(fact: climate.TooManyGaps, units: System) -> str:
    return (
        f"the record {fact.record} has {counted(fact.years, 'growing year')} without a gap of more"
        f" than {fact.gap_days} days; needed: {fact.least_years} or more"
    )


@say.register
def _(fact: climate.OtherHemisphere, units: System) -> str:
    return (
        f"the record {fact.record}: its warm months are the cold ones of {fact.place}; accepted: a"
        " record kept on the same side of the equator"
    )


@say.register
def _(fact: climate.MonthsUnlike, units: System) -> str:
    differ = say_difference(fact.differ_c, units)
    return (
        f"the months of the record {fact.record} and of the world's normals at {fact.place} differ"
        f" by up to {differ}; check that the place is right"
    )


@say.register
def _(fact: climate.YearsLeftOut, units: System) -> str:
    years = ", ".join(str(year) for year in fact.years)
    return (
        f"growing years left out of heat and bloom for a gap of more than {fact.gap_days} days:"
        f" {years}"
    )


@say.register
def _(fact: climate.MaximaModelled, units: System) -> str:
    return (
        f"the record {fact.record} has too few daily maxima: those missing are worked out from its"
        " minima and the normals, which affects heat and bloom, not the frost dates"
    )


@say.register
def _(fact: climate.GridRain, units: System) -> str:
    had = {"none": "no rain", "too_little": "too few days of rain readings"}[fact.record_has]
    return f"{had} in the record, so the grid's rain is used"


@say.register
def _(fact: climate.RainFilled, units: System) -> str:
    return f"{counted(fact.days, 'day')} without a rain reading given the month's mean"


@say.register
def _(fact: climate.FreezeTrend, units: System) -> str:
    way = "later" if fact.days_a_decade > 0 else "earlier"
    days = f"{abs(fact.days_a_decade):.1f} days"
    return f"the {fact.freeze} freeze came {days} {way} each decade ({_chance(fact.p)})"


@say.register
def _(fact: climate.WarmthTrend, units: System) -> str:
    return f"the year became {_warming(fact, units)}"


@say.register
def _(fact: climate.NightsTrend, units: System) -> str:
    return f"the nights became {_warming(fact, units)}"


def _warming(fact: climate.WarmthTrend | climate.NightsTrend, units: System) -> str:
    way = "warmer" if fact.c_a_decade > 0 else "cooler"
    degrees = say_difference(abs(fact.c_a_decade), units, 1)
    return f"{degrees} {way} each decade ({_chance(fact.p)})"


@say.register
def _(fact: climate.NoTrend, units: System) -> str:
    span = _years(fact.first_year, fact.last_year)
    return f"no trend in freezes or warmth over {span}, so all its years are used"


@say.register
def _(fact: climate.RecentYearsUsed, units: System) -> str:
    trends = listed([say(trend, units) for trend in fact.trends])
    span = _years(fact.first_year, fact.last_year)
    return f"over {span} {trends}, so only the last {fact.years} years are used"


# --- what was found in a record's file


@say.register
def _(fact: climate.TakenAs, units: System) -> str:
    return f"temperatures taken as °{fact.unit}"


@say.register
def _(fact: climate.RainInInches, units: System) -> str:
    return "rain taken as inches"


@say.register
def _(fact: climate.ReadingsGivenTwice, units: System) -> str:
    readings = counted(fact.count, "reading")
    return f"{readings} passed over, of days that have such a reading earlier in the file"


@say.register
def _(fact: climate.ValuesPassedOver, units: System) -> str:
    first = f"in line {fact.first_line}"
    if fact.count > 1:
        first = f"the first {first}"
    return f"{counted(fact.count, 'unreadable value')} passed over ({first})"


@say.register
def _(fact: climate.ChecksFailed, units: System) -> str:
    return f"{counted(fact.count, 'value')} that failed GHCN-Daily's checks dropped"


@say.register
def _(fact: climate.LinesPassedOver, units: System) -> str:
    fault = {
        "undated": "without a readable date",
        "wide": "with more cells than the heading",
        "short": "without cells for both temperatures",
    }[fact.fault]
    return f"{counted(fact.count, 'line')} {fault} passed over"


@say.register
def _(fact: climate.CellsPassedOver, units: System) -> str:
    return (
        f"{counted(fact.count, 'cell')} of {fact.column} without a number passed over"
        f" (line {fact.first_line}: '{fact.first}')"
    )


# --- what was repaired in a record


@say.register
def _(fact: climate.DaysGivenTwice, units: System) -> str:
    return f"{counted(fact.days, 'row')} passed over, of days that have a row earlier in the file"


def _some_days(days: tuple[date, ...], count: int) -> str:
    return ", ".join(day.isoformat() for day in days) + (" …" if count > len(days) else "")


PLURAL = {"minimum": "minima", "maximum": "maxima"}


@say.register
def _(fact: climate.ImpossibleDropped, units: System) -> str:
    readings = counted(
        fact.count, f"impossible {fact.reading}", f"impossible {PLURAL[fact.reading]}"
    )
    return f"{readings} dropped ({_some_days(fact.first_days, fact.count)})"


@say.register
def _(fact: climate.ImpossibleRainDropped, units: System) -> str:
    return f"{counted(fact.count, 'impossible rain reading')} dropped"


@say.register
def _(fact: climate.CrossedDropped, units: System) -> str:
    return f"{counted(fact.days, 'day')} with the minimum above the maximum dropped"


@say.register
def _(fact: climate.LooseDays, units: System) -> str:
    return (
        "the days follow each other less closely than weather does; check that dates and columns"
        " are in order and all readings in one unit"
    )


@say.register
def _(fact: climate.FahrenheitRestored, units: System) -> str:
    return "whole °F restored from values rounded through °C"


@say.register
def _(fact: climate.MinimaMissing, units: System) -> str:
    absent = counted(fact.absent, "day")
    return f"{fact.missing} of {fact.days} minima missing ({absent} absent from the file)"


# --- why a record is refused


@say.register
def _(fact: climate.DaysTooFarApart, units: System) -> str:
    return (
        f"its days run from {fact.first} to {fact.last}; accepted: a record of up to"
        f" {fact.most_years} years"
    )


@say.register
def _(fact: climate.YearsOutOfRange, units: System) -> str:
    return (
        f"its days run from {fact.first} to {fact.last}; accepted: years of four digits, from"
        f" {fact.first_year} to {fact.last_year}"
    )


@say.register
def _(fact: climate.TooManyImpossible, units: System) -> str:
    return (
        f"{fact.count} of {fact.of} {PLURAL[fact.reading]} cannot be (the first on {fact.first});"
        " accepted: temperatures in one unit, and nothing or -9999 where there is none"
    )


@say.register
def _(fact: climate.MostlyCrossed, units: System) -> str:
    return f"its minima are above its maxima on {fact.days} days; are the columns swapped?"


@say.register
def _(fact: climate.MostlyMissing, units: System) -> str:
    return (
        f"{fact.missing} of {fact.days} days have no minimum; accepted: a record with at least"
        " half of them"
    )


@say.register
def _(fact: climate.GivenAgain, units: System) -> str:
    return (
        f"{fact.lines} lines have a day that an earlier line has with other readings (the first is"
        f" {fact.first});"
        " accepted: one line a day, of one place"
    )


@say.register
def _(fact: climate.RangeUnknown, units: System) -> str:
    return (
        f"on half its days minimum and maximum are {say_difference(fact.usual_c, units, 1)} apart"
        f" or {'less' if fact.too_near else 'more'}, which no place has; accepted: the day's lowest"
        " and highest temperature in degrees (of GHCN-Daily's own forms, tenths)"
    )


@say.register
def _(fact: climate.UnitChanges, units: System) -> str:
    return (
        f"from {fact.month.isoformat()[:7]} on, its months are more than"
        f" {say_difference(fact.jump_c, units)} from those of the year before; accepted: a record"
        " in one unit, and nothing or -9999 where there is no reading"
    )
