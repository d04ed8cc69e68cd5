"""What gardeners say of frost, read: ``"light frost in June and July"``, ``"mid-May"``, ``"2 °C
colder"``."""

from __future__ import annotations

import calendar
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, GetPydanticSchema
from pydantic_core.core_schema import no_info_wrap_validator_function

from bedwright.brief.values import Day, MonthDay, Risk, at_most, parse_month_day
from bedwright.units import UnitError

MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
"""In English, whatever language the system is set to."""

_MONTHS = {word.lower(): n for n, name in enumerate(MONTH_NAMES, 1) for word in (name, name[:3])}
_MONTHS |= {"sept": 9}
_MONTH = "(" + "|".join(sorted(_MONTHS, key=len, reverse=True)) + r")\.?"

Taken = Literal["odds", "day", "month"]


@dataclass(frozen=True, slots=True)
class FreezeDays:
    """Days of a last or first freeze by the odds of a later or an earlier one.

    ``taken``: whether the odds were stated, or follow from a lone ``day`` or a ``month``.
    """

    odds: Mapping[float, MonthDay]
    taken: Taken = "odds"


USUAL, SELDOM = 0.5, 0.1
"""Odds at which a lone day is taken: that of the usual year; and those at which the end of a month
is that holds the freeze (common practice, no source)."""

_PARTS = {"early": 5, "mid": 15, "late": 25, "start of": 5, "middle of": 15, "end of": 25}

_LONE = (
    "a table of odds and days, such as { '50%' = '04-21', '10%' = '05-14' }, or the usual day"
    " alone: '05-14', '14 May', 'mid-May', or its month, 'May'"
)


def parse_freeze(given: object, spring: bool) -> FreezeDays:
    """``"05-14"``, ``"14 May"``, ``"mid-May"`` or ``"May"``.  Raises UnitError.

    A lone day is that of the usual year; a month holds it in its middle, and seldom sees its end
    (in autumn its first day) pass with a freeze still to come (come by then).
    """
    if not isinstance(given, str):
        raise UnitError(given, _LONE)
    text = " ".join(given.lower().replace("-", " ").split())
    found = re.fullmatch(_MONTH, text)
    if found:
        month = _MONTHS[found[1]]
        edge = calendar.monthrange(2023, month)[1] if spring else 1
        days = {USUAL: MonthDay(month, 15), SELDOM: MonthDay(month, edge)}
        return FreezeDays(days, "month")
    found = re.fullmatch(rf"({'|'.join(_PARTS)}) {_MONTH}", text)
    if found:
        return FreezeDays({USUAL: MonthDay(_MONTHS[found[2]], _PARTS[found[1]])}, "day")
    for pattern, day, month_at in (
        (rf"(\d{{1,2}})(?:st|nd|rd|th)? {_MONTH}", 1, 2),
        (rf"{_MONTH} (\d{{1,2}})(?:st|nd|rd|th)?", 2, 1),
    ):
        found = re.fullmatch(pattern, text)
        if found:
            given = f"{_MONTHS[found[month_at]]}-{found[day]}"
    try:
        return FreezeDays({USUAL: parse_month_day(given)}, "day")
    except UnitError:
        raise UnitError(given, _LONE) from None


MOST_ODDS = 20
"""Stated odds of a freeze in a season, at most."""

_Odds = Annotated[dict[Risk, Day], Field(min_length=1), at_most(MOST_ODDS)]


def freeze_days(spring: bool) -> Any:
    """Validator of FreezeDays: words as ``parse_freeze`` reads them; anything else as a table of
    odds and days."""

    def read(given: object, table: Callable[[object], Mapping[float, MonthDay]]) -> FreezeDays:
        if isinstance(given, FreezeDays):
            return given
        if isinstance(given, str):
            return parse_freeze(given, spring)
        return FreezeDays(table(given))

    return GetPydanticSchema(
        lambda _, handler: no_info_wrap_validator_function(read, handler.generate_schema(_Odds))
    )


_COUNTS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_NUMBERS = {word: n for n, word in enumerate(_COUNTS, 1)} | {"twenty": 20, "thirty": 30}
_COUNT = rf"(\d{{1,3}}|{'|'.join(_NUMBERS)})"
_SHARE = re.compile(rf"\b(?:in )?{_COUNT} (?:years?|winters?) (?:in|of|out of) {_COUNT}\b")
_FILL = {"frost", "frosts", "freeze", "freezes", "in", "and", "from", "during", "a", "only"}
_UNTIL = {"to", "until", "till", "through"}
_NEVER = {"none", "never", "no frost", "no frosts", "no freeze", "frost free"}

SAID = (
    "a table [place.frost], or words such as 'none', 'light frost in June and July', 'frost from"
    " November to March' or 'frost one year in five'"
)


def parse_frost(given: str) -> dict[str, Any]:
    """What is said of frost, as the fields of ``[place.frost]``.  Raises UnitError."""
    if " ".join(given.lower().replace("-", " ").split()) in _NEVER:
        return {"never": True}
    text = " ".join(re.sub("[-–]", " to ", given.lower().replace(",", " ")).split())
    fields: dict[str, Any] = {}
    found = _SHARE.search(text)
    if found:
        some, all_ = (_NUMBERS.get(word) or int(word) for word in found.groups())
        if not 0 < some < all_:
            raise UnitError(given, SAID)
        fields["share"] = some / all_
        text = text[: found.start()] + text[found.end() :]
    words = text.split()
    if not {"frost", "frosts", "freeze", "freezes"} & set(words):
        raise UnitError(given, SAID)
    if "light" in words:
        words.remove("light")
        fields["light"] = True
    months: list[int] = []
    through = False
    for word in words:
        month = _MONTHS.get(word.rstrip("."))
        if month is not None:
            while through and months and months[-1] != month:
                months.append(months[-1] % 12 + 1)
            if not through:
                months.append(month)
            through = False
        elif word in _UNTIL and months:
            through = True
        elif word not in _FILL:
            raise UnitError(given, SAID)
    if through or not (fields or months):
        raise UnitError(given, SAID)
    if months:
        fields["months"] = months
    return fields


def said_frost() -> Any:
    """Validator that turns what is said of frost into a table, for the table's own to check."""
    return BeforeValidator(lambda given: parse_frost(given) if isinstance(given, str) else given)


_MONTH_SAID = "a month by name or number, such as 'June' or 6"


def parse_month(given: object) -> int:
    """``"June"`` or 6 to 6.  Raises UnitError."""
    if isinstance(given, str) and given.strip().lower() in _MONTHS:
        return _MONTHS[given.strip().lower()]
    if isinstance(given, int) and not isinstance(given, bool) and 1 <= given <= 12:
        return given
    raise UnitError(given, _MONTH_SAID)


MOST_NIGHTS_C = 8.0
_NIGHTS = "a difference of up to 8 °C (14 °F), such as '2 °C colder', '3 °F milder' or '-2 °C'"
_WAYS = {"": 1, "colder": -1, "cooler": -1, "milder": 1, "warmer": 1}


def parse_nights(given: object) -> float:
    """``"2 °C colder"`` or ``"-2 °C"`` to -2.0 °C.  Raises UnitError."""
    text = given.strip().lower().replace("−", "-") if isinstance(given, str) else ""
    found = re.fullmatch(r"([+-]?)(\d+(?:[.,]\d+)?) ?(?:°|deg(?:rees?)?)? ?([cf])( [a-z]+)?", text)
    way = (found[4] or "").strip() if found else ""
    if found and way in _WAYS and not (found[1] and way):
        size = float(found[2].replace(",", ".")) / (1.8 if found[3] == "f" else 1.0)
        celsius = size * (-1 if found[1] == "-" else _WAYS[way])
        if abs(celsius) <= MOST_NIGHTS_C:
            return celsius
    raise UnitError(given, _NIGHTS)
