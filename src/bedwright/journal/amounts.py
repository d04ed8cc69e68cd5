"""Numbers with units in a line: minutes of work, lengths, temperatures and rain."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from bedwright.journal.typed import Typed
from bedwright.units import LENGTH, System, UnitError, fahrenheit_to_c, parse

_NUMBERS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
            "eleven", "twelve")  # fmt: skip
_WORDS = {
    **{word: str(n) for n, word in enumerate(_NUMBERS)},
    "none": "0", "a couple of": "2", "a pair of": "2", "half a dozen": "6", "half dozen": "6",
    "a dozen": "12", "dozen": "12",
}  # fmt: skip
_IN_WORDS = re.compile(
    r"\b(" + "|".join(sorted(_WORDS, key=len, reverse=True)) + r")\b(?: of(?= the| K))?"
)
_DOZENS = re.compile(r"(?<![0-9.,/⁄])([0-9]{1,2}) dozen\b")
_MINUS = re.compile(r"\bminus (?=[0-9])")
_BELOW = re.compile(r"(?<![0-9.,/-])([0-9]{1,2}(?:[.,][0-9])?) *(?:°|degrees?)? *below(?: zero)?\b")

_N = r"[0-9]{1,6}(?:[.,][0-9]{1,4})?"
_MIXED = rf"(?:[0-9]{{1,3}} [0-9]{{1,2}}[/⁄][0-9]{{1,2}}|[0-9]{{1,2}}[/⁄][0-9]{{1,2}}|{_N})"
_HOUR, _MINUTE = r"(?:hours?|hrs?|h)\b", r"(?:minutes?|mins?|min)\b'?"
_CLOCK = re.compile(
    r"\b(?:at )?[0-9]{1,2}[:.][0-9]{2}(?: ?[ap]\.?m\b\.?|(?= ?h\b)| ?uhr\b|(?<=:[0-9]{2}))"
    r"|\b(?:at )?[0-9]{1,2} ?[ap]m\b|\bat [a-z0-9]+ o'?clock\b"
)
_SPELL = re.compile(
        rf"(?<![0-9.,/⁄])(?P<h>{_MIXED}) *(?:{_HOUR}(?: *(?:and )?(?P<hm>[0-9]{{1,2}})"
        rf" *{_MINUTE})?|h(?P<hhmm>[0-9]{{2}})\b)"
    rf"|(?<![0-9.,/⁄])(?<!max )(?<!high )(?P<m>{_N}) *{_MINUTE}"
    r"|\b(?P<half>half an hour)\b|\b(?P<three>three quarters of an hour)\b"
    r"|\b(?P<quarter>(?:a )?quarter of an hour)\b|\b(?P<hour>an hour(?P<more> and a half)?)\b"
)  # fmt: skip

_IN = r"(?:inch(?:es)?\b|in\b\.?(?=\s*(?:$|[,;.)DKV]|tall\b|high\b|(?:of )?rain|or\b|and\b))|\"|'')"
_FT = r"(?:ft\b\.?|foot\b|feet\b|'(?!'))"
_LENGTH = re.compile(
    rf"(?<![0-9.,/⁄])(?:{_MIXED} *{_FT}(?: *{_MIXED} *(?:{_IN}|in\b))?|{_MIXED} *{_IN}"
    rf"|{_N} *(?:cm|mm|m|centimet(?:re|er)s?|millimet(?:re|er)s?|met(?:re|er)s?)\b)"
)

_DEGREE = r"(?: *(?:°|deg(?:rees?)?\b))"
_NAMED = r"(?: *(?P<scale>(?:c|f|celsius|centigrade|fahrenheit)\b)°?)"
_DEGREES = rf"(?P<value>(?:- ?)?{_N}){_DEGREE}?{_NAMED}?"
_MAX = r"(?:max(?:imum)?|tmax|t max|high(?:est)?)"
_MIN = r"(?:min(?:imum)?|tmin|t min|low(?:est)?)"
_LINK = r"(?: temp(?:erature)?)?(?:[ :=]|of\b|was\b|is\b|at\b)*"
_RANGE = re.compile(
    r"(?<![0-9a-z.,/-])(?P<low>-? ?[0-9]{1,3}(?:[.,][0-9])?) *(?:°|[cf]\b|°[cf])? *(?:to|\.\.|/) *"
    r"(?P<high>-? ?[0-9]{1,3}(?:[.,][0-9])?) *(?:° ?(?P<s1>[cf])?|(?P<s2>[cf]))(?![a-z])"
)
_LABELS = {"tmax_c": _MAX, "tmin_c": _MIN}
_LABEL = re.compile(rf"\b(?:{_MAX}|{_MIN})\b")
_AFTER = {
    "tmax_c": re.compile(rf"(?<![0-9a-z]){_MAX}\b\.?{_LINK}{_DEGREES}"),
    "tmin_c": re.compile(rf"(?<![0-9] )(?<![0-9a-z]){_MIN}\b\.?{_LINK}{_DEGREES}"),
}
"""The day's extremes, as in "max 14"; "40 min" are minutes."""

_BEFORE = {
    name: re.compile(
        rf"(?<![0-9a-z.,/-])(?P<value>- ?{_N}|{_N}(?= *(?:°|[cf]\b{bare})))"
        rf"{_DEGREE}?{_NAMED}? *{_LABELS[name]}\b"
    )
    for name, bare in (("tmax_c", "|max"), ("tmin_c", ""))
}
"""As in "14 max"."""

_TEMPERATURE = re.compile(
    rf"(?<![0-9a-z.,/⁄])(?P<value>(?:-? ?){_N})(?:{_DEGREE}{_NAMED}?| *(?P<bare>[cf]\b))"
)
_OF_FROST = re.compile(
    rf"(?<![0-9.,/-])(?P<value>{_N}) *(?:°|deg(?:rees?)?) *(?P<scale>[cf]\b)?°? *(?:of )?frost"
)
_RAIN_UNIT = rf"(?P<unit>mm\b|cm\b|{_IN}|in\b)"
_RAIN = (
    re.compile(
        rf"(?<![0-9.,/⁄])(?P<value>{_MIXED}) *{_RAIN_UNIT}(?: of)?(?: (?:heavy|light|good"
        rf"|fine|much needed))?"
        r" (?:rain(?:fall|ed)?|precipitation|showers?|drizzle)\b"
    ),
    re.compile(
        r"\b(?:rain(?:fall|ed)?|precipitation|showers?|drizzle)\b"
        r"(?:[ :=,]|of\b|was\b|only\b|about\b|gauge\b|D_*)*"
        rf"(?P<value>{_MIXED})(?![0-9/:%])(?: *{_RAIN_UNIT}|(?= *(?:$|[,;.)]|D_)))"
    ),
)

_DAYS = r"(?:[ ,.:;!]|D_*)*"
_RAIN_ALONE = re.compile(rf"{_DAYS}(?P<all>(?P<value>{_MIXED}) *{_RAIN_UNIT}){_DAYS}")
_MINIMUM_ALONE = re.compile(
    rf"{_DAYS}(?P<all>(?P<value>- ?{_N}|{_N}(?= *(?:°|deg|[cf]\b))){_DEGREE}?{_NAMED}?){_DAYS}"
)
"""A measure and days, and no other word."""


@dataclass(frozen=True)
class Reading:
    """A number that was read: its value in the unit of its field, and, where no unit was typed, the
    number (``bare``) and the unit that it was given (``unit``)."""

    value: float
    bare: str = ""
    unit: str = ""


def plain_numbers(line: Typed) -> Typed:
    """Numbers up to twelve, dozens and signs in figures."""
    line = _rewritten(line, _DOZENS, lambda m: str(12 * int(m[1])))
    line = _rewritten(line, _IN_WORDS, lambda m: _WORDS[m[1]])
    line = _rewritten(line, _MINUS, lambda m: "-".rjust(len(m[0])))
    return _rewritten(line, _BELOW, lambda m: f"-{m[1]}")


def _rewritten(
    line: Typed, pattern: re.Pattern[str], words: Callable[[re.Match[str]], str]
) -> Typed:
    for match in list(pattern.finditer(line.left)):
        line = line.with_text(match.start(), match.end(), words(match))
    return line


def without_clock(line: Typed) -> Typed:
    """Times of day do not count."""
    for match in list(_CLOCK.finditer(line.left)):
        line = line.marked(match.start(), match.end(), "X")
    return line


def find_minutes(line: Typed) -> tuple[Typed, int | None]:
    """Minutes of work: the sum of those in the line."""
    total: float | None = None
    for match in list(_SPELL.finditer(line.left)):
        total = (total or 0.0) + _minutes(match)
        line = line.marked(match.start(), match.end(), "M")
    return line, None if total is None else round(total)


def _minutes(match: re.Match[str]) -> float:
    part = match.groupdict()
    if part["h"]:
        return 60 * _number(part["h"]) + float(part["hm"] or part["hhmm"] or 0)
    if part["m"]:
        return _number(part["m"])
    if part["hour"]:
        return 90.0 if part["more"] else 60.0
    return 30.0 if part["half"] else 45.0 if part["three"] else 15.0


def find_lengths(line: Typed) -> tuple[Typed, tuple[float, ...]]:
    """Lengths (m), marked by L."""
    found = []
    for match in list(_LENGTH.finditer(line.left)):
        try:
            found.append(round(parse(_in_units(match[0]), LENGTH), 6))
        except UnitError:
            continue
        line = line.marked(match.start(), match.end(), "L")
    return line, tuple(found)


def _extremes(text: str) -> list[tuple[str, re.Pattern[str]]]:
    """Patterns of the extremes: those with the number before its label first where the first label
    has one before it."""
    first = _LABEL.search(text)
    ends = {found.end() for pattern in _BEFORE.values() if (found := pattern.search(text))}
    both = [_BEFORE, _AFTER] if first and first.end() in ends else [_AFTER, _BEFORE]
    return [pair for patterns in both for pair in patterns.items()]


def _in_units(length: str) -> str:
    return re.sub(r"(?<=[a-z])\.", "", length.replace("''", '"').replace("⁄", "/"))


def find_weather(line: Typed, units: System) -> tuple[Typed, dict[str, Reading]]:
    """A day's minimum and maximum (°C) and rain (mm), by field, marked by W."""
    taken: list[tuple[str, str, str | None]] = []
    for both in list(_RANGE.finditer(line.left))[:1]:
        scale = both["s1"] or both["s2"]
        taken += [("tmin_c", both["low"], scale), ("tmax_c", both["high"], scale)]
        line = line.marked(both.start(), both.end(), "W")
    for name, pattern in _extremes(line.left):
        known = name in {one for one, _, _ in taken}
        if not known and (match := pattern.search(line.left)):
            taken.append((name, match["value"], match["scale"]))
            line = line.marked(match.start(), match.end(), "W")
    scales = {scale[0] for _, _, scale in taken if scale}
    one = scales.pop() if len(scales) == 1 else None
    found = {name: degrees(value, scale or one, units) for name, value, scale in taken}
    for pattern in _RAIN:
        if "rain_mm" not in found and (match := pattern.search(line.left)):
            reading = _rain(match["value"], match["unit"], units)
            if reading is not None:
                found["rain_mm"] = reading
                line = line.marked(match.start(), match.end(), "W")
    return line, found


def measure_beside_day(line: Typed, night: bool, units: System) -> tuple[Typed, dict[str, Reading]]:
    """Rain (mm) or, of a ``night``, its minimum (°C), marked by W, of a line that says a day and a
    measure alone: "10 mm overnight", "-1 last night"."""
    if match := _RAIN_ALONE.fullmatch(line.left):
        name, reading = "rain_mm", _rain(match["value"], match["unit"], units)
    elif night and (match := _MINIMUM_ALONE.fullmatch(line.left)):
        name, reading = "tmin_c", degrees(match["value"], match["scale"], units)
    else:
        return line, {}
    return (line.marked(*match.span("all"), "W"), {name: reading}) if reading else (line, {})


def _rain(value: str, unit: str | None, units: System) -> Reading | None:
    usual = "in" if units == "us" else "mm"
    try:
        millimetres = 1000 * parse(_in_units(f"{value} {_plain(unit) if unit else usual}"), LENGTH)
    except UnitError:
        return None
    millimetres = round(millimetres, 9)
    return Reading(millimetres) if unit else Reading(millimetres, value, usual)


def _plain(unit: str) -> str:
    return "in" if unit[0] in "i\"'" else unit


def frost_depth(line: Typed, units: System) -> tuple[Typed, Reading | None]:
    """The temperature (°C) of so many "degrees of frost": below freezing."""
    match = _OF_FROST.search(line.left)
    if not match:
        return line, None
    end = line.left.index("frost", match.start())
    line = line.marked(match.start(), end, "T")
    below, scale = _number(match["value"]), match["scale"] or ("f" if units == "us" else "c")
    return line, Reading(-below if scale == "c" else -below / 1.8)


def find_temperatures(line: Typed, units: System) -> tuple[Typed, tuple[Reading, ...]]:
    """Temperatures (°C), marked by T."""
    found = []
    for match in list(_TEMPERATURE.finditer(line.left)):
        found.append(degrees(match["value"], match["scale"] or match["bare"], units))
        line = line.marked(match.start(), match.end(), "T")
    return line, tuple(found)


def degrees(value: str, scale: str | None, units: System) -> Reading:
    """A temperature (°C); one without its scale is of the gardener's."""
    taken = scale[0] if scale else "f" if units == "us" else "c"
    taken = "c" if taken == "c" else "f"
    number = _number(value)
    celsius = fahrenheit_to_c(number) if taken == "f" else number
    plain = value.replace(" ", "")
    return Reading(celsius) if scale else Reading(celsius, plain, "°F" if taken == "f" else "°C")


def _number(text: str) -> float:
    """``-2``, ``- 2``, ``2,5``, ``1 1/2``."""
    text = text.replace(",", ".").replace("⁄", "/")
    sign = -1.0 if text.strip().startswith("-") else 1.0
    total = 0.0
    for part in text.replace("-", " ").split():
        top, _, bottom = part.partition("/")
        total += float(top) / (float(bottom) or 1.0) if bottom else float(top)
    return sign * total
