"""A forecast of the night that is typed in, such as "minus 1 tonight"."""

from __future__ import annotations

import re

from bedwright.units import System

_NIGHT = re.compile(
    r"\b(?:tonight|to-night|this night|coming night|next night|tomorrow (?:night|morning)"
    r"|forecast(?:ed)?)\b"
)
_SEEN = re.compile(r"\b(?:last night|was|were|had|measured|seen|yesterday)\b")
_NUMBER = re.compile(
    r"(?P<below>minus |\- ?|− ?|– ?)?(?P<size>\d{1,3}(?:[.,]\d+)?)"
    r" ?(?:(?:°|deg(?:rees?)?)? ?(?P<unit>[cf])\b|°|deg(?:rees?)?\b)?"
    r"(?P<under> ?(?:of frost|below(?: zero)?)\b)?"
)

LEAST_C, MOST_C = -70.0, 40.0


def forecast_in(line: str, units: System) -> float | None:
    """The minimum, °C, that a line says is forecast for the night; None where it says none.

    ``minus 1 tonight``, ``tonight -2 °C``, ``28 F tonight``; degrees without a scale are those of
    the ``units``.
    """
    text = line.casefold().strip()
    if not _NIGHT.search(text) or _SEEN.search(text):
        return None
    rest = _NIGHT.sub(" ", text)
    found = list(_NUMBER.finditer(rest))
    if len(found) != 1:
        return None
    one = found[0]
    size = float(one["size"].replace(",", "."))
    fahrenheit = one["unit"] == "f" or (one["unit"] is None and units == "us")
    if one["under"] and not one["below"]:
        size = 32.0 - size if fahrenheit and "frost" in one["under"] else -size
    elif one["below"]:
        size = -size
    celsius = (size - 32.0) / 1.8 if fahrenheit else size
    return celsius if LEAST_C <= celsius <= MOST_C else None
