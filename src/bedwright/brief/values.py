"""The sorts of value a brief holds, each with what an error offers instead.

Every length comes in with its unit and leaves in metres; bearings in degrees clockwise from north;
shares from 0 to 1.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from bedwright.units import LENGTH, MASS, VOLUME, Dimension, UnitError, parse


def quantity(dimension: Dimension, low: float, high: float, say: str) -> Any:
    """Validator of a quantity between ``low`` and ``high`` (SI), whose error names the range."""

    def read(given: object) -> float:
        if isinstance(given, Si):
            return given
        value = parse(given, dimension)
        if (
            not low * (1 - 1e-9) <= value <= high * (1 + 1e-9)
            if low >= 0
            else not low <= value <= high
        ):
            raise UnitError(given, f"{dimension.name} from {say}")
        return value

    return BeforeValidator(read)


class Si(float):
    """A number already in SI, for defaults and for briefs built in Python."""


UNREADABLE = math.nan
"""Stands for a value at fault while others are held against each other: it is there, and no
comparison with it holds."""


@dataclass(frozen=True, slots=True)
class Clash:
    """A field at odds with another: its name, what is accepted, and what else was given."""

    field: str
    accepted: str
    beside: str = ""


class ClashError(ValueError):
    """The clashes among the fields of one table."""

    def __init__(self, clashes: list[Clash]) -> None:
        self.clashes = tuple(clashes)
        super().__init__("; ".join(f"{c.field}: accepted: {c.accepted}" for c in clashes))


Length = Annotated[float, quantity(LENGTH, 0.001, 2000.0, "1 mm to 2,000 m")]
Offset = Annotated[float, quantity(LENGTH, -500.0, 500.0, "-500 m to 500 m")]
Height = Annotated[float, quantity(LENGTH, 0.05, 120.0, "5 cm to 120 m")]
Depth = Annotated[float, quantity(LENGTH, 0.0, 1.0, "0 to 1 m (3 ft 3 in)")]
Altitude = Annotated[float, quantity(LENGTH, -430.0, 5500.0, "-430 m to 5,500 m")]

COMPASS = (
    "N",
    "NNE",
    "NE",
    "ENE",
    "E",
    "ESE",
    "SE",
    "SSE",
    "S",
    "SSW",
    "SW",
    "WSW",
    "W",
    "WNW",
    "NW",
    "NNW",
)
_COMPASS_WORDS = {
    "north": "N",
    "northeast": "NE",
    "east": "E",
    "southeast": "SE",
    "south": "S",
    "southwest": "SW",
    "west": "W",
    "northwest": "NW",
}
_BEARING = "a compass point such as 'N', 'ESE' or 'southwest', or degrees from 0 to 360"


def number(low: float, high: float, whole: bool = False, counts: str = "") -> Any:
    """Validator of a bare number in a range; ``counts``: what it counts, for its errors."""
    accepted = f"a {'whole ' if whole else ''}number from {low:,.10g} to {high:,.10g}"
    accepted = accepted.replace(",", "") if whole and low > 1000 else accepted
    accepted += f" of {counts}" if counts else ""

    def read(given: object) -> float | int:
        if isinstance(given, int | float) and not isinstance(given, bool):
            fits = low <= given <= high and (not whole or isinstance(given, int))
            if fits:
                return given
        raise UnitError(given, accepted)

    return BeforeValidator(read)


def parse_bearing(given: object) -> float:
    """Compass direction in degrees clockwise from north.  Raises UnitError."""
    if isinstance(given, int | float) and not isinstance(given, bool) and 0 <= given <= 360:
        return float(given) % 360.0
    if isinstance(given, str):
        word = given.strip().lower().replace(" ", "").replace("-", "")
        point = _COMPASS_WORDS.get(word, word.upper())
        if point in COMPASS:
            return COMPASS.index(point) * 22.5
        turn = re.fullmatch(f"{_NUMBER}{_DEGREES}?", given.strip().lower())
        if turn and 0 <= (degrees := float(turn[1].replace(",", "."))) <= 360:
            return degrees % 360.0
    raise UnitError(given, _BEARING)


def parse_share(given: object) -> float:
    """``"10%"`` or 0.1 to 0.1.  Raises UnitError."""
    value: float | None = None
    if isinstance(given, str):
        found = re.fullmatch(_NUMBER + "%", given.strip())
        value = float(found[1].replace(",", ".")) / 100.0 if found else None
    elif isinstance(given, float | int) and not isinstance(given, bool):
        value = given
    if value is None or not 0.0 <= value <= 1.0:
        raise UnitError(given, "a share from '0%' to '100%', or from 0 to 1")
    return float(value)


def _parse_risk(given: object) -> float:
    try:
        share = parse_share(given)
    except UnitError:
        share = math.nan
    if not 0.01 <= share <= 0.5:
        raise UnitError(given, "a risk from '1%' to '50%', or from 0.01 to 0.5")
    return share


@dataclass(frozen=True, order=True, slots=True)
class MonthDay:
    """A day of any year."""

    month: int
    day: int

    def __str__(self) -> str:
        return f"{self.month:02}-{self.day:02}"

    def in_year(self, year: int) -> date:
        """That day in ``year``; 29 February becomes the 28th where there is none."""
        try:
            return date(year, self.month, self.day)
        except ValueError:
            return date(year, self.month, 28)


def parse_month_day(given: object) -> MonthDay:
    """``"04-20"`` (month-day) to a MonthDay.  Raises UnitError."""
    if isinstance(given, MonthDay):
        return given
    found = re.fullmatch(r"([0-9]{1,2})-([0-9]{1,2})", given) if isinstance(given, str) else None
    try:
        month, day = (int(part) for part in found.groups()) if found else (0, 0)
        date(2024, month, day)
    except ValueError:
        raise UnitError(given, "a day as month-day, such as '04-20' for 20 April") from None
    return MonthDay(month, day)


FIRST_YEAR, LAST_YEAR = 1990, 2200
"""Years that a brief's dates and its growing year may lie in."""


def parse_date(given: object) -> date:
    """A TOML date or ``"2027-04-20"``, without a time.  Raises UnitError."""
    accepted = "a date as year-month-day without a time, such as 2027-04-20"
    try:
        read = date.fromisoformat(given) if isinstance(given, str) else given
    except ValueError:
        raise UnitError(given, accepted) from None
    if not isinstance(read, date) or isinstance(read, datetime):
        raise UnitError(given, accepted)
    if not FIRST_YEAR <= read.year <= LAST_YEAR:
        raise UnitError(given, f"{accepted}, of the years {FIRST_YEAR} to {LAST_YEAR}")
    return read


@dataclass(frozen=True, slots=True)
class Paced:
    """A spot reached from the bed's middle: degrees from north, metres."""

    bearing: float
    distance: float


_SPOT = (
    "['x', 'y'] from the start of the base line, such as ['3 m', '-1.2 m'], or a bearing and a"
    " distance from the bed's middle, such as ['SE', '6 m']"
)


def parse_spot(given: object) -> tuple[float, float] | Paced:
    """``["3 m", "-1.2 m"]`` or ``["SE", "6 m"]``.  Raises UnitError."""
    if not isinstance(given, list | tuple) or len(given) != 2:
        raise UnitError(given, _SPOT)
    try:
        away = parse(given[1], LENGTH)
        bearing, along = _bearing_or_none(given[0]), 0.0
        if bearing is None:
            along = parse(given[0], LENGTH)
    except UnitError:
        raise UnitError(given, _SPOT) from None
    if max(abs(away), abs(along)) > 500.0 or (bearing is not None and away < 0.0):
        raise UnitError(given, f"{_SPOT}, within 500 m")
    return (along, away) if bearing is None else Paced(bearing, away)


def _bearing_or_none(given: object) -> float | None:
    try:
        return parse_bearing(given)
    except UnitError:
        return None


@dataclass(frozen=True, slots=True)
class Tapes:
    """A spot by its distances from the stakes A and B, metres; ``left`` of the line from A to B."""

    from_a: float
    from_b: float
    left: bool = True


_TAPES = (
    "['from A', 'from B'], two lengths such as ['3.2 m', '4.1 m'], and 'right' after them where the"
    " spot lies on the right of the line from A to B"
)


def parse_tapes(given: object) -> Tapes:
    """``["3.2 m", "4.1 m"]``, with ``"left"`` or ``"right"`` after them.  Raises UnitError."""
    if isinstance(given, Tapes):
        return given
    if not isinstance(given, list | tuple) or not 2 <= len(given) <= 3:
        raise UnitError(given, _TAPES)
    side = given[2].strip().lower() if len(given) == 3 and isinstance(given[2], str) else "left"
    try:
        from_a, from_b = (parse(length, LENGTH) for length in given[:2])
    except UnitError:
        raise UnitError(given, _TAPES) from None
    if side not in ("left", "right") or (len(given) == 3 and not isinstance(given[2], str)):
        raise UnitError(given, _TAPES)
    if not (0.0 <= from_a <= 500.0 and 0.0 <= from_b <= 500.0):
        raise UnitError(given, f"{_TAPES}, of 500 m at most")
    return Tapes(from_a, from_b, side == "left")


_SLOPE = "a slope up to '100%', such as '8%', '5°' or '1 in 12'"


def parse_slope(given: object) -> float:
    """``"8%"``, ``"5°"`` or ``"1 in 12"`` to rise over run, 0 to 1.  Raises UnitError."""
    if not isinstance(given, str):
        raise UnitError(given, _SLOPE)
    for mark, rise in _SLOPES:
        found = re.fullmatch(mark, given.strip().lower())
        if found:
            value = rise(*(float(part.replace(",", ".")) for part in found.groups()))
            if 0.0 <= value <= 1.0 + 1e-9:
                return min(value, 1.0)
    raise UnitError(given, _SLOPE)


_NUMBER = r"(\d*[.,]?\d+)\s*"
_DEGREES = r"(?:°|deg|degrees?)"
_SLOPES: tuple[tuple[str, Callable[..., float]], ...] = (
    (_NUMBER + "%", lambda share: share / 100.0),
    (_NUMBER + _DEGREES, lambda angle: math.tan(math.radians(min(angle, 89.0)))),
    (_NUMBER + r"in\s*" + _NUMBER, lambda up, run: up / run if run else math.inf),
)


def parse_skyline(given: object) -> float:
    """Height of the skyline, degrees above level: 8, ``"8°"`` or ``"8 deg"``.  Raises UnitError."""
    if isinstance(given, str):
        found = re.fullmatch(_NUMBER + _DEGREES, given.strip().lower())
        given = float(found[1].replace(",", ".")) if found else given
    if isinstance(given, int | float) and not isinstance(given, bool) and 0.0 <= given <= 60.0:
        return float(given)
    raise UnitError(given, "a height in degrees above level, 0 to 60, such as 8 or '8°'")


_READING = (
    "'low', 'medium' or 'high', or what the laboratory measured, such as '34 ppm', '34 mg/kg' or"
    " '68 lb/acre'"
)
_PPM = {
    "ppm": 1.0,
    "mg/kg": 1.0,
    "mg/l": 1.0,
    "lb/acre": 0.5,
    "lb/a": 0.5,
    "lb/ac": 0.5,
    "kg/ha": 0.446,
}
"""Parts per million in a unit; a plough layer of two million pounds an acre makes a pound an acre
half a part per million (Ohio State University, agbmps.osu.edu, read)."""


def parse_reading(given: object) -> str | float:
    """A soil test's level, or parts per million of the element.  Raises UnitError."""
    if isinstance(given, str):
        words = given.strip().lower()
        if words in ("low", "medium", "high"):
            return words
        found = re.fullmatch(r"(\d[\d,]*(?:\.\d+)?)\s*([a-z/ ]+)", words)
        unit = found[2].replace(" per ", "/").replace("lbs", "lb").strip() if found else ""
        if found and unit in _PPM and not re.search(r",\d{0,2}(\D|$)", found[1]):
            value = float(found[1].replace(",", "")) * _PPM[unit]
            if value <= 3000.0:
                return value
    raise UnitError(given, f"{_READING}, 3,000 ppm at most")


_WEIGHS = "a weight in a measure, such as '8 oz/cup', '950 g/L' or '1,000 lb/cu yd'"


def parse_loose_weight(given: object) -> float:
    """``"8 oz/cup"`` or ``"950 g per L"`` to kg/m³, 50 to 3,000.  Raises UnitError."""
    parts = re.split(r"\s*/\s*|\s+per\s+", given) if isinstance(given, str) else []
    if len(parts) == 2:
        try:
            value = parse(parts[0], MASS) / parse(f"1 {parts[1]}", VOLUME)
        except UnitError:
            raise UnitError(given, _WEIGHS) from None
        if 49.999 <= value <= 3000.001:
            return value
    raise UnitError(given, f"{_WEIGHS}, 50 g/L to 3 kg/L")


def at_most(count: int) -> Any:
    """Validator of how many entries a list or a table of values has, before any of them is read."""

    def read(given: object) -> object:
        if isinstance(given, list | tuple | dict) and len(given) > count:
            raise ValueError(f"at most {count} entries, not {len(given):,}")
        return given

    return BeforeValidator(read)


def parse_side(given: object) -> float | Literal["all"]:
    """A compass direction, or ``"all"``.  Raises UnitError."""
    if given == "all":
        return "all"
    try:
        return parse_bearing(given)
    except UnitError:
        raise UnitError(given, f"{_BEARING}; or 'all'") from None


_UNSAFE = {"Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp"}
_JOINERS = "\u00ad\u200c\u200d"
"""Soft hyphens, and the marks that keep letters apart or join them in some scripts and signs."""


def unprintable(letter: str) -> bool:
    """Whether a character has no place in a printed line: a control or line break, a mark that
    turns the direction of writing, half of a pair, or a code that stands for nothing."""
    return unicodedata.category(letter) in _UNSAFE and letter not in _JOINERS


def printable(text: str) -> str:
    """A text with what cannot be printed written as its code, such as ``\\u202e``."""
    if text.isprintable():
        return text
    return "".join(c.encode("unicode_escape").decode() if unprintable(c) else c for c in text)


def words(most: int, least: int = 0) -> Any:
    """Validator of text of ``least`` to ``most`` letters on one line, all of which can be
    printed."""
    size = f"{least} to {most}" if least else f"up to {most}"

    def read(given: object) -> str:
        if not isinstance(given, str):
            raise UnitError(given, "text in quotes")
        if not least <= len(given) <= most:
            raise UnitError(given, f"text of {size} letters")
        if any(map(unprintable, given)):
            raise UnitError(
                given,
                "text in quotes, on one line, without control characters or others that cannot be"
                " printed",
            )
        return given

    return BeforeValidator(read)


Title = Annotated[str, words(120)]
Name = Annotated[str, words(60)]
Key = Annotated[str, words(60, 1)]
"""A name to look up: of a kind, a material."""

TownName = Annotated[str, words(120, 1)]

Words = Annotated[str, words(200)]
"""A remark, or a sentence."""

FileName = Annotated[str, words(500, 1)]
Side = Annotated[float | Literal["all"], BeforeValidator(parse_side)]
Year = Annotated[int, number(1700, 2200, whole=True)]
Money = Annotated[float, number(0.0, 1e6)]
Bearing = Annotated[float, BeforeValidator(parse_bearing)]
Share = Annotated[float, BeforeValidator(parse_share)]
Risk = Annotated[float, BeforeValidator(_parse_risk)]
Day = Annotated[MonthDay, BeforeValidator(parse_month_day)]
Date = Annotated[date, BeforeValidator(parse_date)]
Point = tuple[Offset, Offset]
Spot = Annotated[tuple[float, float] | Paced, BeforeValidator(parse_spot)]
TapePair = Annotated[Tapes, BeforeValidator(parse_tapes)]
Slope = Annotated[float, BeforeValidator(parse_slope)]
Reading = Annotated[Literal["low", "medium", "high"] | float, BeforeValidator(parse_reading)]
LooseWeight = Annotated[float, BeforeValidator(parse_loose_weight)]
Skyline = Annotated[float, BeforeValidator(parse_skyline)]
