"""Entries of the journal in words, and what is said of lines that were typed for it."""

from __future__ import annotations

import re
from collections.abc import Mapping

from bedwright.dates import day_month, day_month_year
from bedwright.journal import (
    CannotBe,
    CauseTaken,
    DayKept,
    DayOfPhoto,
    DayOfPhotoToCome,
    DayOrShare,
    DayTaken,
    Entry,
    KeptAsNote,
    KindMissing,
    KindTaken,
    NightTaken,
    NoKindOfThatName,
    NoSuchDay,
    NothingTyped,
    NotOfThatColour,
    OnlyKindTaken,
    OtherKindMissing,
    SeveralColours,
    SeveralCounts,
    SeveralDays,
    SeveralKinds,
    SeveralOfThatName,
    SeveralVerbs,
    ShareTaken,
    UnitTaken,
    VerbOfSeveral,
    VerbTaken,
    What,
)
from bedwright.report.say import say
from bedwright.report.text import listed
from bedwright.units import FOOT_M, INCH_MM, System, c_to_fahrenheit, trim

TITLES: Mapping[What, str] = {
    "sown": "Sown",
    "came_up": "Came up",
    "pricked_out": "Pricked out",
    "potted_on": "Potted on",
    "set_out": "Set out",
    "thinned": "Thinned",
    "lost": "Lost",
    "first_flower": "First flower",
    "full_flower": "In full flower",
    "over": "Over",
    "picked": "Picked",
    "height": "Height",
    "colours": "Colours that quarrel",
    "frost": "Frost",
    "weather": "Weather",
    "work": "Work",
    "photo": "Photograph",
    "note": "Note",
}
"""What each sort of entry is called, in words that a line is read by, too."""

CAUSES = {
    "slugs": "slugs",
    "frost": "frost",
    "drought": "drought",
    "heat": "heat",
    "wet": "wet",
    "disease": "disease",
    "insects": "insects",
    "animals": "animals",
    "wind": "wind",
    "other": "something else",
}

FIELDS = {
    "day": "the day",
    "count": "the count",
    "of": "the number that it is of",
    "length_m": "the height",
    "tmin_c": "the minimum",
    "tmax_c": "the maximum",
    "rain_mm": "the rain",
    "minutes": "the time that it took",
    "photo": "the photograph",
    "text": "the line",
}
"""What the fields of an entry are called that a line can get wrong."""


_HOW_LONG = re.compile(r"[0-9½] ?(?:h|min)|hour")
"""How long a piece of work took, in the words of a gardener."""


def entry_words(entry: Entry, kind_names: Mapping[str, str], units: System) -> str:
    """An entry as one plain sentence without its full stop: "Sown: 24 tall garden cosmos, on 12
    April 2027".

    ``kind_names``: own names of kinds by key; a kind that has none stands by its key.  Temperatures
    and rain to a tenth, heights to a centimetre or an inch.  A task and a picture's sum are left
    out, and so is the text but of work, a note and a photograph.
    """
    parts = [part for part in _parts(entry, kind_names, units) if part]
    said = f": {', '.join(parts)}" if parts else ""
    photo = ", with a photograph" if entry.photo and entry.what != "photo" else ""
    return f"{TITLES[entry.what]}{said}, on {day_month_year(entry.day)}{photo}"


def _parts(entry: Entry, kind_names: Mapping[str, str], units: System) -> list[str]:
    """What stands between an entry's title and its day, by commas."""
    plants = _plants(entry, kind_names)
    if entry.what == "colours":
        other = entry.other or ""
        return [f"{plants} and {kind_names.get(other, other)}"]
    if entry.what == "height":
        return [f"{plants} {_high(entry.length_m or 0.0, units)}"]
    if entry.what == "frost":
        return [] if entry.tmin_c is None else [_degrees(entry.tmin_c, units)]
    if entry.what == "weather":
        return _weather(entry, units)
    if entry.what == "note":
        return [entry.text.strip()]
    if entry.what == "work":
        text, time = entry.text.strip(), _time(entry.minutes)
        return [text or plants, "" if _HOW_LONG.search(text) else time]
    if entry.what == "photo":
        return [plants, entry.text.strip()]
    cause = f"to {CAUSES[entry.cause]}" if entry.cause else ""
    return [plants, cause, _time(entry.minutes)]


def _plants(entry: Entry, kind_names: Mapping[str, str]) -> str:
    """18 of 24 white tall garden cosmos; 12 stems of tall zinnia."""
    kind = kind_names.get(entry.kind, entry.kind) if entry.kind else ""
    count = "" if entry.count is None else str(entry.count)
    if count and entry.of is not None:
        count = f"{count} of {entry.of}"
    elif count and entry.what == "picked":
        count = f"{count} {'stem' if entry.count == 1 else 'stems'} of"
    return " ".join(part for part in (count, entry.colour, kind) if part)


READINGS = {"tmin_c": "minimum", "tmax_c": "maximum", "rain_mm": "rain"}
"""What the readings of a day's weather are called."""


def _weather(entry: Entry, units: System) -> list[str]:
    found = ((title, name, getattr(entry, name)) for name, title in READINGS.items())
    return [f"{title} {reading_words(name, value, units)}"
            for title, name, value in found if value is not None]  # fmt: skip


def reading_words(name: str, value: float, units: System) -> str:
    """A reading of one of READINGS (°C, mm), to a tenth or, in inches, a hundredth."""
    if name != "rain_mm":
        return _degrees(value, units)
    return f"{trim(value / INCH_MM, 2)} in" if units == "us" else f"{trim(value)} mm"


def _degrees(celsius: float, units: System) -> str:
    """To a tenth of a degree, as a thermometer is read."""
    degrees = c_to_fahrenheit(celsius) if units == "us" else celsius
    text = trim(abs(degrees))
    sign = "−" if degrees < 0 and text != "0" else ""
    return f"{sign}{text} °{'F' if units == 'us' else 'C'}"


def _high(metres: float, units: System) -> str:
    """Centimetres, or feet and inches."""
    if units == "metric":
        return f"{trim(100 * metres, 0 if metres >= 0.095 else 1)} cm"
    inches = round(metres / FOOT_M * 12)
    if inches < 36:
        return f"{trim(metres / FOOT_M * 12, 0 if inches > 3 else 1)} in"
    feet, rest = divmod(inches, 12)
    return f"{feet} ft {rest} in" if rest else f"{feet} ft"


def _time(minutes: int | None) -> str:
    """1 h 20 min."""
    hours, rest = divmod(minutes or 0, 60)
    return " ".join(
        part for part in (f"{hours} h" * (hours > 0), f"{rest} min" * (rest > 0)) if part
    )


# Why a line cannot be read

_NOTE = "to keep the line as a note, begin it with 'note:'"


def _titles(whats: tuple[What, ...]) -> list[str]:
    return [f"'{TITLES[what].lower()}'" for what in whats]


def _quoted(words: tuple[str, ...]) -> list[str]:
    return [f"'{word}'" for word in words]


@say.register
def _(fact: NothingTyped, units: System) -> str:
    return "nothing was typed; write what happened, such as 'sowed 24 cosmos yesterday'"


@say.register
def _(fact: NoKindOfThatName, units: System) -> str:
    like = f"those like it are {listed(fact.like)}; " if fact.like else ""
    return f"no kind is called '{fact.typed}'; {like}{_NOTE}"


@say.register
def _(fact: KindMissing, units: System) -> str:
    return f"the line names no kind, which '{TITLES[fact.what].lower()}' needs; {_NOTE}"


@say.register
def _(fact: SeveralOfThatName, units: System) -> str:
    where = "in this bed" if fact.planted else "in the catalogue"
    last = [f"{fact.more} more"] if fact.more else []
    names = listed([*fact.names, *last])
    return f"several kinds {where} are called '{fact.typed}': {names}; write the whole name"


@say.register
def _(fact: SeveralKinds, units: System) -> str:
    most = "one kind" if fact.most == 1 else "two kinds"
    return (
        f"the line names {listed(_quoted(fact.typed))}, and an entry of the sort"
        f" '{TITLES[fact.what].lower()}' is of {most}; write a line for each"
    )


@say.register
def _(fact: OtherKindMissing, units: System) -> str:
    named = f"names {fact.names[0]} alone" if fact.names else "names none"
    return f"colours quarrel between two kinds, and the line {named}; write both"


@say.register
def _(fact: SeveralVerbs, units: System) -> str:
    return (
        f"the line tells of several things: {listed(_titles(fact.whats))}; write a line for each,"
        f" or, {_NOTE}"
    )


@say.register
def _(fact: VerbOfSeveral, units: System) -> str:
    return f"'{fact.typed}' can mean {listed(_titles(fact.whats), 'or')}; write which"


@say.register
def _(fact: NoSuchDay, units: System) -> str:
    slash = "4/12 (April 12)" if fact.month_first else "12/4 (12 April)"
    return (
        f"'{fact.typed}' is no day; write one as 12 April, April 12, 2027-04-12, {slash},"
        " yesterday, on Monday or 3 days ago"
    )


@say.register
def _(fact: SeveralDays, units: System) -> str:
    return f"the line names several days, {listed(_quoted(fact.typed))}; write a line for each"


@say.register
def _(fact: DayOrShare, units: System) -> str:
    return (
        f"'{fact.typed}' can be a day or a share; write '{day_month(fact.day)}' or"
        f" '{fact.count} of {fact.of}'"
    )


@say.register
def _(fact: SeveralCounts, units: System) -> str:
    counts = listed([str(count) for count in fact.counts])
    return f"the line counts {counts}, and an entry holds one number; write a line for each"


@say.register
def _(fact: CannotBe, units: System) -> str:
    return f"{FIELDS.get(fact.field, fact.field)} is {fact.given}; accepted: {fact.accepted}"


# What was guessed


@say.register
def _(fact: KindTaken, units: System) -> str:
    reason = "which grows in this bed" if fact.planted else "which does not grow in this bed"
    others = f"; so are {listed(fact.others)} called" if fact.others else ""
    return f"'{fact.typed}' was taken for {fact.name}, {reason}{others}"


@say.register
def _(fact: OnlyKindTaken, units: System) -> str:
    return f"no kind was named; {fact.name}, the only one in this bed, was taken"


@say.register
def _(fact: UnitTaken, units: System) -> str:
    return f"{fact.number.replace('-', '−')} was taken as {fact.unit}"


@say.register
def _(fact: DayTaken, units: System) -> str:
    return f"'{fact.typed}' was taken for {day_month_year(fact.day)}, the latest that has been"


@say.register
def _(fact: NightTaken, units: System) -> str:
    return f"the night was counted to {day_month_year(fact.day)}"


@say.register
def _(fact: DayOfPhoto, units: System) -> str:
    return f"the day is the photograph's own date, {day_month_year(fact.day)}"


@say.register
def _(fact: DayOfPhotoToCome, units: System) -> str:
    own = day_month_year(fact.day)
    return f"the photograph's own date, {own}, is to come; the present day was taken instead"


@say.register
def _(fact: DayKept, units: System) -> str:
    return f"the line says no day, and {day_month_year(fact.day)} was kept"


KEPT = {
    "no_verb": "kept as a note: it has no verb that the journal knows, such as sowed or picked",
    "no_kind": "kept as a note: it names no kind",
    "not_done": "kept as a note: it tells of something that has not happened",
    "asked": "kept as a note: it is a question",
}


@say.register
def _(fact: KeptAsNote, units: System) -> str:
    return KEPT[fact.why]


@say.register
def _(fact: VerbTaken, units: System) -> str:
    return f"'{fact.typed}' was taken for '{TITLES[fact.what].lower()}'"


@say.register
def _(fact: ShareTaken, units: System) -> str:
    return f"'{fact.typed}' was taken for {fact.count} of {fact.of}, not for a day"


@say.register
def _(fact: NotOfThatColour, units: System) -> str:
    return f"{fact.name} is not grown in {fact.typed}; its colours are {listed(fact.colours)}"


@say.register
def _(fact: SeveralColours, units: System) -> str:
    return f"the line names {listed(fact.colours)}; an entry holds one colour, so none was taken"


@say.register
def _(fact: CauseTaken, units: System) -> str:
    others = listed([CAUSES[cause] for cause in fact.others])
    return f"{CAUSES[fact.cause]} was taken as the cause; {others} named, too"
