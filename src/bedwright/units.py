"""Quantities as people write them: in with any usual unit, out in metric or US customary.

Inside the package every number is SI with its unit in the name (``_m``, ``_m2``, ``_m3``, ``_kg``,
``_c``).  This module is the door: ``"4 ft 6 in"``, ``"40 lb"``, ``"3 cu ft"``, ``"1 1/2 cups"``,
``"28 °F"``.  The plain units are in a table; what is rarer pint converts, which takes a second to
import.  US gallons, quarts, pints and cups are the liquid ones.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any, Literal

System = Literal["metric", "us"]


class UnitError(ValueError):
    """A quantity that cannot be read; ``accepted`` says what can."""

    def __init__(self, given: object, accepted: str) -> None:
        self.given, self.accepted = given, accepted
        try:
            what = repr(given)
        except ValueError:  # Python writes no more than 4,300 digits
            what = "a number of thousands of digits"
        super().__init__(f"{what} is not {accepted}")


@dataclass(frozen=True, slots=True)
class Dimension:
    """One sort of quantity: its SI unit, the words people use, and what an error offers."""

    name: str
    si: str
    words: dict[str, str]
    accepted: str


def _words(**groups: str) -> dict[str, str]:
    """Pint unit = words separated by ``|``; returns word to pint unit."""
    return {w: unit.replace("__", "**") for unit, text in groups.items() for w in text.split("|")}


LENGTH = Dimension(
    "length",
    "meter",
    _words(
        meter="m|metre|metres|meter|meters",
        centimeter="cm|centimetre|centimetres|centimeter|centimeters",
        millimeter="mm|millimetre|millimetres|millimeter|millimeters",
        foot="ft|foot|feet|'",
        inch='in|inch|inches|"',
        yard="yd|yard|yards",
    ),
    "a length with its unit, such as '4 ft 6 in', '1.4 m' or '30 cm'",
)
AREA = Dimension(
    "area",
    "meter**2",
    _words(
        meter__2="m²|sq m|square metre|square metres|square meter|square meters",
        foot__2="ft²|sq ft|square foot|square feet",
        yard__2="yd²|sq yd|square yard|square yards",
    ),
    "an area with its unit, such as '48 sq ft' or '4.5 m²'",
)
VOLUME = Dimension(
    "volume",
    "meter**3",
    _words(
        liter="l|litre|litres|liter|liters",
        milliliter="ml|millilitre|millilitres|milliliter|milliliters",
        meter__3="m³|cu m|cubic metre|cubic metres|cubic meter|cubic meters",
        foot__3="ft³|cu ft|cubic foot|cubic feet",
        yard__3="yd³|cu yd|cubic yard|cubic yards",
        gallon="gal|gallon|gallons",
        quart="qt|quart|quarts",
        pint="pt|pint|pints",
        cup="cup|cups",
        tablespoon="tbsp|tablespoon|tablespoons",
        teaspoon="tsp|teaspoon|teaspoons",
    ),
    "a volume with its unit, such as '40 L', '3 cu ft' or '1 1/2 cups'",
)
MASS = Dimension(
    "weight",
    "kilogram",
    _words(
        kilogram="kg|kilo|kilos|kilogram|kilograms",
        gram="g|gram|grams",
        pound="lb|lbs|pound|pounds",
        ounce="oz|ounce|ounces",
        tonne="t|tonne|tonnes",
        short_ton="ton|tons",
    ),
    "a weight with its unit, such as '40 lb', '12 oz' or '25 kg'",
)

_VULGAR = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3", "⅛": " 1/8"}
_JOIN = re.compile(r"(?<=[^\d\s])\s*-\s*(?=\d)")
"""The draughtsman's hyphen between feet and inches, ``4'-6"``."""

_POWER = re.compile(r"(m|ft|yd)([23])(?![\d.])")
_GROUPED = r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?"
_NUMBER = rf"(?:\d+[\s-]+\d+/\d+|\d+/\d+|{_GROUPED}|\d+(?:[.,]\d+)?|[.,]\d+)"
_PAIR = re.compile(rf"\s*({_NUMBER})\s*([^\d\s,;+\-−/.][^\d,;+−]*?)\s*(?=$|[-+−,;\d])\s*,?")


_PLAIN = {
    "meter": 1.0,
    "centimeter": 0.01,
    "millimeter": 0.001,
    "foot": 0.30479999999999996,
    "inch": 0.0254,
    "yard": 0.9144,
    "meter**2": 1.0,
    "foot**2": 0.09290303999999999,
    "yard**2": 0.83612736,
    "meter**3": 1.0,
    "liter": 0.0010000000000000002,
    "milliliter": 1.0000000000000002e-06,
    "foot**3": 0.028316846591999994,
    "yard**3": 0.764554857984,
    "kilogram": 1.0,
    "gram": 0.001,
    "pound": 0.4535923700000001,
    "ounce": 0.028349523125000005,
}
"""SI units in one of each plain unit, as pint has them to the last bit: a layout can turn on it."""


@cache
def _registry() -> Any:
    import pint

    # Without pint's cache on disk: it is shared by every installation of a user and holds absolute
    # paths into the one that wrote it, so that it breaks the others once that one is removed.
    return pint.UnitRegistry()


@cache
def _factor(unit: str, si: str) -> float:
    """How many of the SI unit one of a unit is."""
    if unit in _PLAIN:
        return _PLAIN[unit]
    return float(_registry().Quantity(1.0, unit).to(si).magnitude)


def _number(text: str) -> float:
    """``1 1/2``, ``1-1/2``, ``1,500``, ``2.5`` or ``2,5``."""
    text = text.replace(",", "") if re.fullmatch(_GROUPED, text) else text.replace(",", ".")
    return float(sum(Fraction(part) for part in text.replace("-", " ").split()))


LONGEST = 60
"""Letters of a quantity, at most; what is longer is no measure of anything in a garden."""


def parse(given: object, dimension: Dimension) -> float:
    """Read a quantity such as ``"4 ft 6 in"`` and return it in SI.

    Several numbers with units are added, and a sign in front counts for all of them.  A bare
    number is refused, since its unit would be a guess.  Raises UnitError.
    """
    if not isinstance(given, str) or not given.strip():
        raise UnitError(given, dimension.accepted)
    if len(given) > LONGEST:
        raise UnitError(given, f"{dimension.accepted}, in {LONGEST} letters at most")
    text = given.strip()
    for mark, plain in _VULGAR.items():
        text = text.replace(mark, plain)
    sign = -1.0 if text[0] in "-−" else 1.0
    text = text[1:] if text[0] in "-−+" else text
    text = _JOIN.sub(" ", text)
    text = _POWER.sub(lambda m: m[1] + "²³"[int(m[2]) - 2], text)
    total, at = 0.0, 0
    if not text:
        raise UnitError(given, dimension.accepted)
    while at < len(text):
        pair = _PAIR.match(text, at)
        word = " ".join(pair[2].split()).rstrip(".").lower() if pair else ""
        unit = dimension.words.get(word)
        if pair is None or unit is None:
            raise UnitError(given, dimension.accepted)
        try:
            total += _number(pair[1]) * _factor(unit, dimension.si)
        except (ValueError, ZeroDivisionError):
            raise UnitError(given, dimension.accepted) from None
        at = pair.end()
    return sign * total


_TEMPERATURE = re.compile(r"\s*([-+−]?\d+(?:[.,]\d+)?)\s*(?:°|deg(?:rees)?)?\s*([CFcf])\s*")
TEMPERATURE_ACCEPTED = "a temperature with its scale, such as '28 °F' or '-2 °C'"


def parse_temperature(given: object) -> float:
    """Read a temperature and return degrees Celsius.  Raises UnitError."""
    short = isinstance(given, str) and len(given) <= LONGEST
    match = _TEMPERATURE.fullmatch(str(given)) if short else None
    if match is None:
        raise UnitError(given, TEMPERATURE_ACCEPTED)
    value = float(match[1].replace("−", "-").replace(",", "."))
    return value if match[2] in "Cc" else fahrenheit_to_c(value)


def fahrenheit_to_c(fahrenheit: float) -> float:
    """Degrees Fahrenheit to Celsius."""
    return (fahrenheit - 32.0) / 1.8


def c_to_fahrenheit(celsius: float) -> float:
    """Degrees Celsius to Fahrenheit."""
    return celsius * 1.8 + 32.0


# --- out ---------------------------------------------------------------------------------------


def trim(value: float, digits: int = 1) -> str:
    """A number with at most ``digits`` decimals and no trailing zeros; thousands grouped."""
    text = f"{value:,.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


FOOT_M, INCH_MM, SQUARE_FOOT_M2 = 0.3048, 25.4, 0.09290304
"""The international foot in metres, its inch in millimetres, and its square in square metres."""


def long_measure(metres: float, system: System) -> tuple[float, str]:
    """A length in metres or feet, and the sign of its unit."""
    return (metres / FOOT_M, "ft") if system == "us" else (metres, "m")


def area_measure(square_metres: float, system: System) -> tuple[float, str]:
    """An area in square metres or square feet, and the sign of its unit."""
    if system == "us":
        return square_metres / SQUARE_FOOT_M2, "sq ft"
    return square_metres, "m²"


def say_long(metres: float, system: System, form: str = ",.0f") -> str:
    """A height or a distance in metres or feet alone: ``1,240 m``, ``4,068 ft``; ``form``: how its
    number is written."""
    value, unit = long_measure(metres, system)
    return f"{value:{form}} {unit}"


def say_difference(celsius: float, system: System, digits: int = 0) -> str:
    """A difference of temperature: ``4 °C``, ``7 °F``."""
    value, unit = (celsius * 1.8, "°F") if system == "us" else (celsius, "°C")
    return f"{value:.{digits}f} {unit}"


def say_length(metres: float, system: System) -> str:
    """``1.35 m``, ``35 cm``; or ``4 ft 5 in``, ``14½ in``, ``1¾ in`` (finer the shorter)."""
    if metres < 0:
        said = say_length(-metres, system)
        return said if said.startswith("0") else f"−{said}"
    if system == "metric":
        if metres < 0.995:
            return f"{trim(metres * 100, 0 if metres >= 0.095 else 1)} cm"
        return f"{metres:.2f} m"
    inches = metres / 0.0254
    if inches < 35.75:
        return f"{_mixed(inches, 4 if inches < 6 else 2)} in"
    feet, rest = divmod(round(inches), 12)
    return f"{feet} ft {rest} in" if rest else f"{feet} ft"


_FRACTIONS = {0.125: "⅛", 0.25: "¼", 0.375: "⅜", 0.5: "½", 0.625: "⅝", 0.75: "¾", 0.875: "⅞"}


def _mixed(value: float, parts: int) -> str:
    """A number to the nearest of so many parts, as a mixed fraction."""
    whole, part = divmod(round(value * parts), parts)
    fraction = _FRACTIONS.get(part / parts, "")
    return f"{whole or ''}{fraction}" or "0"


def say_depth(metres: float, system: System) -> str:
    """A sowing depth: millimetres, or inches to the eighth."""
    if system == "metric":
        return f"{trim(metres * 1000, 0)} mm"
    return f"{_mixed(max(metres / 0.0254, 0.125), 8)} in"


def say_area(square_metres: float, system: System) -> str:
    """Square metres or square feet, one decimal under 100."""
    value, unit = area_measure(square_metres, system)
    return f"{trim(value, 1 if value < 100 else 0)} {unit}"


def say_volume(cubic_metres: float, system: System) -> str:
    """Litres and cubic metres; or quarts, cubic feet and cubic yards."""
    if system == "metric":
        litres = cubic_metres * 1000.0
        return (
            f"{trim(litres, 1 if litres < 10 else 0)} L"
            if litres < 1000
            else f"{cubic_metres:.2f} m³"
        )
    feet = cubic_metres / 0.028316846592
    if feet < 0.5:
        return f"{trim(cubic_metres / 0.000946352946)} qt"
    return f"{trim(feet)} cu ft" if feet < 54 else f"{trim(feet / 27.0)} cu yd"


def say_weight(kilograms: float, system: System) -> str:
    """Grams and kilograms; or ounces and pounds."""
    if system == "metric":
        if kilograms < 0.9995:
            return f"{trim(kilograms * 1000, 0 if kilograms >= 0.00095 else 1)} g"
        return f"{trim(kilograms, 1 if kilograms < 100 else 0)} kg"
    pounds = kilograms / 0.45359237
    if pounds < 2:
        return f"{trim(pounds * 16)} oz"
    return f"{trim(pounds, 1 if pounds < 100 else 0)} lb"


def say_measure(cubic_metres: float, system: System) -> str:
    """A dry measure: litres and millilitres, or cups, tablespoons and teaspoons (US)."""
    if system == "metric":
        millilitres = cubic_metres * 1e6
        if millilitres >= 1000:
            return f"{trim(millilitres / 1000)} L"
        return f"{trim(5 * max(round(millilitres / 5), 1), 0)} mL"
    cups = cubic_metres / 0.0002365882365
    if cups >= 0.25:
        plural = "s" if round(cups * 4) > 4 else ""
        return f"{_mixed(cups, 4)} cup{plural}"
    spoons = cups * 16.0
    if spoons >= 1:
        return f"{_mixed(spoons, 4)} tbsp"
    return f"{_mixed(max(spoons * 3.0, 0.25), 4)} tsp"


CUP_M3, SPOON_M3, TEASPOON_M3 = 0.0002365882365, 1.478676478125e-5, 4.92892159375e-6
"""US cup, tablespoon and teaspoon."""


def say_whole_measures(count: int, measure_m3: float, system: System) -> str:
    """So many whole measures: '2½ cups', '5 tbsp', '¾ tsp', '650 mL', '6 scoops of 100 mL'."""
    if abs(measure_m3 - SPOON_M3) < 1e-9:
        return f"{count} tbsp" if system == "us" else f"{count} tbsp (15 mL)"
    if abs(measure_m3 - TEASPOON_M3 / 4) < 1e-9:
        return f"{_mixed(count / 4, 4)} tsp" + ("" if system == "us" else " (5 mL)")
    if abs(measure_m3 - CUP_M3 / 4) < 1e-9:
        return f"{_mixed(count / 4, 4)} cup{'s' if count > 4 else ''}"
    if abs(measure_m3 - 5e-5) < 1e-9:
        return f"{50 * count} mL" if count < 20 else f"{trim(count / 20, 2)} L"
    return f"{count} scoop{'s' if count != 1 else ''} of {say_scoop(measure_m3)}"


def say_scoop(cubic_metres: float) -> str:
    """A scoop as it is marked: in quarter cups where it holds such, else in millilitres."""
    quarters = cubic_metres / CUP_M3 * 4
    if round(quarters) >= 1 and abs(quarters - round(quarters)) < 0.02:
        return f"{_mixed(quarters / 4, 4)} cup{'s' if quarters > 4.1 else ''}"
    return f"{trim(cubic_metres * 1e6)} mL"


def say_rate(grams_m2: float, system: System) -> str:
    """A spread rate: g/m², or pounds to 100 square feet."""
    if system != "us":
        return f"{trim(grams_m2)} g/m²"
    pounds = grams_m2 / 1000 / 0.45359237 * 9.290304
    return f"{pounds:.{2 if pounds < 1 else 1}f} lb/100 sq ft"


def say_liquid(cubic_metres: float, system: System) -> str:
    """Water: litres, or US gallons, to two figures."""
    value = cubic_metres * 1000 if system == "metric" else cubic_metres / 0.003785411784
    rounded = round(value / 5) * 5 if value >= 20 else round(value)
    return f"{rounded:,.0f} {'L' if system == 'metric' else 'gal'}"


def say_rain(millimetres: float, system: System) -> str:
    """Rain, or water over a bed: whole millimetres, or tenths of an inch."""
    if system == "metric":
        return f"{round(millimetres)} mm"
    return f"{trim(millimetres / 25.4, 1)} in"


def say_temperature(celsius: float, system: System) -> str:
    """Whole degrees Celsius or Fahrenheit."""
    degrees = celsius if system == "metric" else c_to_fahrenheit(celsius)
    # The sum makes a 0 of what is rounded to -0.
    return f"{round(degrees) + 0.0:.0f} °{'C' if system == 'metric' else 'F'}"
