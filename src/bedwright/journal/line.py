"""A line as a gardener types it beside the bed, read as an entry of the journal.

"sowed 24 cosmos yesterday", "18 of 24 cosmos came up", "lost 3 zinnias to slugs", "frost last
night -2", "weeded 40 min".  Verb, kind, number and day stand in any order that is natural.  A line
without a verb of the trade is a note, and so is one that begins with "note:".
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from bedwright.facts import Fact
from bedwright.journal.amounts import (
    Reading,
    degrees,
    find_lengths,
    find_minutes,
    find_temperatures,
    find_weather,
    frost_depth,
    measure_beside_day,
    plain_numbers,
    without_clock,
)
from bedwright.journal.counts import (
    SHARES,
    find_cause,
    find_colour,
    find_count,
    find_share,
    share_or_day,
    without_long_colours,
)
from bedwright.journal.days import FoundDay, find_days
from bedwright.journal.entry import MOST_TEXT, OF, Entry, What, entry_faults
from bedwright.journal.line_facts import (
    CannotBe,
    DayTaken,
    KeptAsNote,
    LineError,
    NightTaken,
    NoSuchDay,
    NothingTyped,
    SeveralDays,
    SeveralVerbs,
    UnitTaken,
    VerbOfSeveral,
    VerbTaken,
)
from bedwright.journal.names import Kinds, Mention, find_kinds
from bedwright.journal.typed import READ, Typed, typed
from bedwright.journal.verbs import (
    CLAUSE,
    HEDGED,
    NOISE,
    NOT_PLANTS,
    QUARREL,
    TWO_MEANINGS,
    VERBS,
)
from bedwright.journal.which import kind_of, kinds_that_quarrel, planted_kind
from bedwright.units import System

_NOTE = re.compile(r"\s*notes?\s*[:\-–—]", re.IGNORECASE)
_TALL = re.compile(r"\b(?:tall|high|height|measured|measures|grown to|reached)\b")
_NOT_TALL = re.compile(
    r"L_*(?: [a-z]+)? (?:apart|deep|wide|across|thick|long|between|from)\b"
    r"|\b(?:apart|spacing|depth|mulch)\b"
)
_BARE_HEIGHT = re.compile(
    rf"(?<![0-9.,/-])([0-9]{{1,4}}(?:[.,][0-9])?)(?![0-9.,/:]*[0-9])(?! *{NOT_PLANTS})"
)
_BARE_FROST = re.compile(
    rf"(?<![0-9a-z.,/])(-? ?[0-9]{{1,3}}(?:[.,][0-9])?)(?![0-9])(?! *{NOT_PLANTS})(?! *"
    rf"(?:[a-z]+ )?K)"
)
_MEASURED_FROST = re.compile(r"(?:of|[,:D_V]) *- ?[0-9]")
_PLAIN_QUARREL = re.compile(r"quarrel|clash")
_ASKED = re.compile(r"\?[\s!?.]*$")
_EVERYDAY: frozenset[What] = frozenset(
    ("came_up", "lost", "first_flower", "full_flower", "over", "picked")
)
"""Sorts whose verbs people use of other things, too."""


@dataclass(frozen=True)
class Understood:
    """What was read of a line: the entry, the words that were not understood, what was guessed, and
    whether the line says the entry's day.  The words of a note are all kept and none counted as not
    understood."""

    entry: Entry
    rest: str
    guesses: tuple[Fact, ...]
    dated: bool


@dataclass
class _Line:
    """A line while it is read: what is left of it and what was found in it; ``named``: all kinds
    that it names, also where it tells of what is not done."""

    text: str
    today: date
    kinds: Kinds
    units: System
    line: Typed
    named: tuple[Typed, tuple[Mention, ...]]
    mentions: tuple[Mention, ...] = ()
    days: tuple[FoundDay, ...] = ()
    minutes: int | None = None
    lengths: tuple[float, ...] = ()
    weather: dict[str, Reading] = field(default_factory=dict)
    temperatures: tuple[Reading, ...] = ()
    hedged: bool = False
    guesses: list[Fact] = field(default_factory=list)


def read_line(text: str, today: date, kinds: Kinds, units: System) -> Understood:
    """The entry that a line tells of, with the whole line as its text.

    ``today``: the day on which it is typed; ``kinds``: of ``kinds_of``; ``units``: those of a
    number without any, and whether "4/12" is 4 December (metric) or April 12 (us).  The entry has
    no ``entry_faults``.

    Raises LineError with a fact that says what is missing, ambiguous or out of bounds.
    """
    if not text.strip():
        raise LineError(NothingTyped())
    if len(text) > MOST_TEXT:
        raise LineError(CannotBe("text", f"{len(text)} letters", f"{MOST_TEXT} letters at most"))
    at = _taken_apart(text, today, kinds, units)
    if _NOTE.match(text):
        return _note(at)
    if _ASKED.search(at.line.plain):
        return _note(at, KeptAsNote("asked"))
    what = _what(at)
    if what is None:
        return _note(at, KeptAsNote("not_done" if at.hedged else "no_verb"))
    if what in _EVERYDAY and not at.mentions and not _may_be_of_a_kind(at):
        return _note(at, KeptAsNote("no_kind"))
    given, used = _given(at, what)
    entry = Entry(_day(at, what), what, text=text, **given)
    for fault in entry_faults(entry, today):
        raise LineError(CannotBe(fault.field, fault.given, fault.accepted))
    rest, guesses = _rest(at, what, used), tuple(dict.fromkeys(at.guesses))
    return Understood(entry, rest, guesses, bool(at.days))


def _taken_apart(text: str, today: date, kinds: Kinds, units: System) -> _Line:
    """Kinds, days and measures of a line, without the clauses of what is not done."""
    line, mentions = find_kinds(without_clock(typed(text)), kinds)
    line, days = find_days(plain_numbers(line), today, units)
    quarrel = QUARREL.search(line.left)
    if quarrel and (len(mentions) > 1 or _PLAIN_QUARREL.match(quarrel[0])):
        line = line.marked(quarrel.start(), quarrel.end(), "Y")
    named = (line, mentions)
    line, hidden = _without_hedged(line)
    at = _Line(text, today, kinds, units, line, named, hedged=bool(hidden))
    at.mentions = tuple(one for one in mentions if line.left[one.start] == "K")
    at.days = tuple(one for one in days if line.left[one.start] == "D")
    line, depth = frost_depth(line, units)
    line, at.weather = find_weather(line, units)
    if at.days and not at.weather:
        line, at.weather = measure_beside_day(line, any(one.night for one in at.days), units)
        at.guesses += [VerbTaken(text.strip(), "weather")] if at.weather else []
    line, at.minutes = find_minutes(line)
    line, found = find_temperatures(line, units)
    at.temperatures = (depth, *found) if depth else found
    at.line, at.lengths = find_lengths(line)
    return at


def _without_hedged(line: Typed) -> tuple[Typed, list[tuple[int, int]]]:
    """The line without its clauses about what did not happen, or has not yet."""
    ends = [match.span() for match in CLAUSE.finditer(line.left)]
    starts = [0, *(end for _, end in ends)]
    stops = [*(start for start, _ in ends), len(line.left)]
    hidden = [
        (start, stop)
        for start, stop in zip(starts, stops, strict=True)
        if HEDGED.search(line.left[start:stop])
    ]
    for start, stop in hidden:
        line = line.marked(start, stop, "H")
    return line, hidden


# What happened


def _what(at: _Line) -> What | None:
    """The sort of the entry, None for a note.  Raises LineError for several sorts."""
    found: dict[What, int] = {}
    unsure: dict[What, VerbTaken] = {}
    if "Y" in at.line.left:
        found["colours"] = at.line.left.index("Y")
    line, spans = without_long_colours(at.line, at.kinds), []
    for verb in VERBS:
        for match in list(verb.pattern.finditer(line.left)):
            found.setdefault(verb.what, match.start())
            spans.append((verb.what, *match.span()))
            if not verb.sure:
                words = READ.sub(" ", match[0]).split()
                unsure[verb.what] = VerbTaken(" ".join(words), verb.what)
            line = line.letters_marked(match.start(), match.end())
    if at.weather and ("frost" not in found or set(at.weather) - {"tmin_c"}):
        found["weather"] = 0
    measured = at.weather or at.temperatures or _MEASURED_FROST.search(line.left)
    if "lost" in found and "frost" in found and not measured:
        del found["frost"]
    if len(found) > 1:
        found.pop("work", None)
    if not found:
        return _without_verb(at)
    if len(found) > 1:
        raise LineError(SeveralVerbs(tuple(sorted(found, key=lambda one: found[one]))))
    (what,) = found
    for one, start, end in spans:
        at.line = at.line.letters_marked(start, end) if one == what else at.line
    at.guesses += [unsure[what]] if what in unsure else []
    return what


def _without_verb(at: _Line) -> What | None:
    """A height, told by a length, or a name of a kind that begins with a verb."""
    if at.mentions:
        for pattern, whats in TWO_MEANINGS.items():
            if match := re.search(pattern, at.line.left):
                raise LineError(VerbOfSeveral(match[0], whats))
        if any(at.line.plain[one.start :].startswith("cut ") for one in at.mentions):
            return "picked"
    tall = bool(_TALL.search(at.line.left))
    bare = at.mentions and tall and _BARE_HEIGHT.search(at.line.left)
    if _NOT_TALL.search(at.line.left):
        return None
    return "height" if bare or (at.lengths and (at.mentions or tall)) else None


def _may_be_of_a_kind(at: _Line) -> bool:
    """Whether a line that names no kind may mean one: it counts, or has a word like a kind's."""
    words = [word for _, word in at.line.unread_words(NOISE)]
    return (
        not words
        or any(letter.isdigit() for letter in at.line.left)
        or any(at.kinds.like(word) for word in words[:4])
    )


# Its fields


def _given(at: _Line, what: What) -> tuple[dict[str, Any], set[Mention]]:
    """The entry's fields but for day, sort and text, and the names of kinds that were used."""
    allowed = OF[what].must | OF[what].may | OF[what].one_of
    given: dict[str, Any] = {}
    used: set[Mention] = set()
    if what == "weather":
        given |= {name: _plain(at, reading) for name, reading in at.weather.items()}
    if what == "frost":
        given |= _frost(at)
    if what == "lost":
        at.line, given["cause"], said = find_cause(at.line)
        at.guesses += said
    if "minutes" in allowed and at.minutes is not None:
        given["minutes"] = at.minutes
    if "kind" in allowed:
        mention = _kinds(at, what, given, used)
        if mention and given.get("kind"):
            at.line, given["colour"], said = find_colour(
                at.line,
                mention,
                given["kind"],
                at.kinds,
                alone=len({one.keys for one in at.mentions}) == 1,
            )
            at.guesses += said
        if "count" in allowed:
            _counted(at, what, given, mention)
    if what == "height":
        given["length_m"] = _height(at)
    return given, used


def _kinds(at: _Line, what: What, given: dict[str, Any], used: set[Mention]) -> Mention | None:
    """Sets the entry's kind, and the other one of two that quarrel."""
    if what == "colours":
        (mention, given["kind"]), (second, given["other"]) = kinds_that_quarrel(
            at.line, at.mentions, at.kinds, at.guesses
        )
        used.update((mention, second))
        return mention
    if "kind" not in OF[what].must:
        found = planted_kind(at.line, at.mentions, at.kinds, at.guesses)
    else:
        found = kind_of(what, at.line, at.mentions, at.kinds, at.guesses)
    mention_of, given["kind"] = found
    used.update({mention_of} if mention_of else ())
    return mention_of


def _counted(at: _Line, what: What, given: dict[str, Any], mention: Mention | None) -> None:
    """Sets how many, and of how many."""
    at.days, share, said = share_or_day(at.line, what, at.days)
    at.guesses += said
    if share is None and what in SHARES:
        at.line, share = find_share(at.line, what)
    if share is not None:
        given["count"], given["of"] = share
        return
    same = (one for one in at.mentions if mention and one.keys == mention.keys)
    places = frozenset(one.start for one in same)
    at.line, given["count"] = find_count(at.line, places, 1 if what == "work" else 4)


def _frost(at: _Line) -> dict[str, float]:
    """The night's minimum (°C), if the line tells it."""
    readings = [*at.weather.values(), *at.temperatures]
    if not readings and (match := _BARE_FROST.search(at.line.left)):
        readings.append(degrees(match[1], None, at.units))
        at.line = at.line.marked(*match.span(1), "T")
    return {"tmin_c": _plain(at, readings[0])} if readings else {}


def _height(at: _Line) -> float:
    """A height (m); a bare number is centimetres, in US units inches."""
    if at.lengths:
        return at.lengths[0]
    match = _BARE_HEIGHT.search(at.line.left)
    assert match is not None  # ``_without_verb`` has found it
    at.line = at.line.marked(*match.span(1), "L")
    at.guesses.append(UnitTaken(match[1], "in" if at.units == "us" else "cm"))
    return float(match[1].replace(",", ".")) * (0.0254 if at.units == "us" else 0.01)


def _plain(at: _Line, reading: Reading) -> float:
    """A reading's value; notes its unit where that was guessed."""
    if reading.unit:
        at.guesses.append(UnitTaken(reading.bare, reading.unit))
    return reading.value


def _day(at: _Line, what: What) -> date:
    """The day of the entry.  Raises LineError for several, and for one that is none.

    The minimum of a night belongs to the day on which it ends, and so does what was lost in it.
    """
    days = at.days
    for one in days:
        if one.day is None:
            raise LineError(NoSuchDay(at.line.spelling(one.start, one.end), at.units == "us"))
    nights = [one for one in days if one.night]
    if nights and len(nights) == len(days):
        morning = what in ("frost", "weather", "lost", "note")
        back = 0 if morning or at.today.toordinal() == 1 else 1
        day = date.fromordinal(at.today.toordinal() - back)
        at.guesses.append(NightTaken(day))
        return day
    named = dict.fromkeys(one.day for one in days if one.day and not one.night)
    if len(named) > 1:
        words = tuple(at.line.spelling(one.start, one.end) for one in days)
        raise LineError(SeveralDays(words))
    at.guesses += [
        DayTaken(at.line.spelling(one.start, one.end), one.day)
        for one in days
        if one.day and not one.given
    ]
    return next((day for day in named if day), at.today)


# Notes, and what is left


def _note(at: _Line, why: KeptAsNote | None = None) -> Understood:
    """A line kept as it is: of the day that it names, if it has come, and of a kind of the bed."""
    guesses: list[Fact] = [why] if why else []
    days = {one.day for one in at.days if one.day and one.day <= at.today}
    at.days = at.days if len(days) == 1 and len(at.days) == 1 else ()
    at.guesses = guesses
    line, mentions = at.named
    mention, key = planted_kind(line, mentions, at.kinds, guesses)
    colour = None
    if mention and key:
        colour = find_colour(line, mention, key, at.kinds, alone=len(mentions) == 1)[1]
    entry = Entry(_day(at, "note"), "note", kind=key, colour=colour, text=at.text)
    return Understood(entry, "", tuple(at.guesses), bool(at.days))


_MARKS: dict[str, str] = {"frost": "TWD", "weather": "WD", "height": "LD", "colours": "YQD"}


def _rest(at: _Line, what: What, used: set[Mention]) -> str:
    """The words that say something and were not understood."""
    allowed = OF[what].must | OF[what].may
    marks = "V" + _MARKS.get(what, "DPNQC" + ("M" if "minutes" in allowed else ""))
    line, kinds = at.line, {one.start for one in used}
    for match in list(READ.finditer(line.left)):
        kept = match.start() in kinds if match[0][0] == "K" else match[0][0] in marks
        if not kept:
            line = line.unread(match.start(), match.end())
    return " ".join(word for _, word in line.unread_words(NOISE))
