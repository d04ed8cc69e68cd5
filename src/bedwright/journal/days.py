"""Days as people write them in a line: "12 April", "Apr 12 2027", "12/4", "on Monday", "3 days
ago".  A day without its year is the latest that is not in the future."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from bedwright.journal.typed import Typed
from bedwright.journal.verbs import NOT_PLANTS
from bedwright.units import System

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_WEEK = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_MONTH = (
    r"(?P<month>jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b\.?"
)
_NUMBER = r"(?<![0-9/.-])(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?"
_YEAR = r"(?:,? +(?P<year>[0-9]{4})(?![0-9/]))?"
_SHORT = r"mon|tues?|wed|thu(?:rs?)?|fri|sat|sun"
_FORMS = tuple(
    (sort, re.compile(pattern))
    for sort, pattern in (
        (
            "iso",
            r"(?<![0-9-])(?P<year>[0-9]{4})[-/.](?P<n>[0-9]{1,2})[-/.](?P<day>[0-9]{1,2})"
            r"(?![0-9])",
        ),
        (
            "slash",
            r"(?<![0-9/.-])(?P<a>[0-9]{1,2})([/.])(?P<b>[0-9]{1,2})\2(?P<year>[0-9]{4}"
            r"|[0-9]{2})(?![0-9])",
        ),
        ("month", rf"(?:the )?{_NUMBER} *(?:of )?{_MONTH}{_YEAR}"),
        (
            "month",
            rf"\b{_MONTH} *(?:the )?(?P<day>[0-9]{{1,2}})(?:st|nd|rd|th)?"
            rf"(?!:?[0-9]|[/%]|[.,][0-9]){_YEAR}",
        ),
        (
            "pair",
            r"(?<![0-9/.:-])(?P<a>[0-9]{1,2})/(?P<b>[0-9]{1,2})(?![0-9/.]|,[0-9])(?! *(?:in"
            r"|inch|inches|ft|foot|feet|cm|m|mm|h|hours?)\b| *[\"'])(?! (?:of )?(?:the|a|an"
            rf"|full|way)\b| *{NOT_PLANTS})",
        ),
        ("before", r"(?:the )?day before yesterday"),
        ("yesterday", r"\byesterday(?: (?:morning|afternoon|evening))?\b"),
        ("night", r"\b(?:(?:the )?last night|over ?night|yesterday night)\b"),
        ("today", r"\b(?:today|tonight|this (?:morning|afternoon|evening|lunchtime)|just now)\b"),
        ("ago", r"\b(?P<n>[0-9]{1,4}|an?) +(?P<of>day|week|wk)s? ago\b"),
        (
            "week",
            rf"\b(?P<last>last )?(?:on |this )?(?P<name>{'|'.join(_WEEK)})\b(?: (?:morning"
            rf"|afternoon|evening))?",
        ),
        ("week", rf"\b(?:(?P<last>last )|on |this )(?P<name>{_SHORT})\b\.?"),
    )
)


_ELSEWHERE = re.compile(
    r"(?:\b(?:since|till?|until|from|before|after|by|between)"
    r"|U_*(?: ?(?:to|and|-))?)[ -]*(?:the )?$"
)
"""Before a day that is not the one of the entry."""


@dataclass(frozen=True)
class FoundDay:
    """A day in a line: where it stands, None for one that no calendar has; ``given``: with its year
    or as counted from today; ``pair``: both numbers of one like "12/4", which may be so many of so
    many; ``night``: "last night"."""

    start: int
    end: int
    day: date | None
    given: bool = True
    pair: tuple[int, int] | None = None
    night: bool = False


def find_days(line: Typed, today: date, units: System) -> tuple[Typed, tuple[FoundDay, ...]]:
    """The line with its days marked by D, and those days in their order; "12/4" is 12 April, in US
    units December 4.  Days from or to which something lasts are marked by U and are not among
    them."""
    found: list[FoundDay] = []
    for sort, pattern in _FORMS:
        for match in list(pattern.finditer(line.left)):
            if _ELSEWHERE.search(line.left[: match.start()][-20:]):
                line = line.marked(match.start(), match.end(), "U")
                continue
            found.append(_day(sort, match, today, units))
            line = line.marked(match.start(), match.end(), "D")
    return line, tuple(sorted(found, key=lambda one: one.start))


def _day(sort: str, match: re.Match[str], today: date, units: System) -> FoundDay:
    at, part = match.span(), match.groupdict()
    if sort == "iso":
        return FoundDay(*at, _date(int(part["year"]), int(part["n"]), int(part["day"])))
    if sort == "month":
        month, day = _MONTHS.index(part["month"][:3]) + 1, int(part["day"])
        if part["year"]:
            return FoundDay(*at, _date(int(part["year"]), month, day))
        return FoundDay(*at, latest(month, day, today), given=False)
    if sort in ("slash", "pair"):
        first, second = int(part["a"]), int(part["b"])
        month, day = (first, second) if units == "us" else (second, first)
        if sort == "slash":
            year = int(part["year"])
            return FoundDay(*at, _date(year + 2000 if year < 100 else year, month, day))
        return FoundDay(*at, latest(month, day, today), given=False, pair=(first, second))
    if sort == "week":
        names = [name[:3] for name in _WEEK]
        back = (today.weekday() - names.index(part["name"][:3])) % 7
        back = 7 if part["last"] and not back else back
        return FoundDay(*at, _back(today, back), given=False)
    if sort == "ago":
        many = 1 if part["n"].startswith("a") else int(part["n"])
        return FoundDay(*at, _back(today, many * (1 if part["of"] == "day" else 7)))
    return FoundDay(
        *at,
        _back(today, {"before": 2, "yesterday": 1}.get(sort, 0)),
        night=sort == "night",
    )


def _back(today: date, days: int) -> date | None:
    return today - timedelta(days=days) if days < today.toordinal() else None


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def latest(month: int, day: int, today: date) -> date | None:
    """The latest day of that month and number that is not after ``today``; None where the month has
    no such day."""
    years: Iterator[int] = (today.year - n for n in range(9))  # two leap days are 8 years apart
    found = (_date(year, month, day) for year in years)
    return next((one for one in found if one and one <= today), None)
