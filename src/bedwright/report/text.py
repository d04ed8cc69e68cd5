"""Small words that every subject's sentences need."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bedwright.facts import Fact
from bedwright.report.say import say
from bedwright.units import System

SHEET_TITLES = {
    "site": "Site",
    "ground": "Ground",
    "planting": "Planting",
    "year": "Through the year",
    "raising": "Raising",
    "work": "Work",
    "materials": "Materials and cost",
    "journal": "Journal",
}
"""What the sheets are called, printed and on the page."""


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun: 1 drift, 2 drifts."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def listed(words: Sequence[str], last: str = "and") -> str:
    """One; one and two; one, two and three; nothing of nothing."""
    *first, end = words or ("",)
    return f"{', '.join(first)} {last} {end}" if first else end


def first_up(words: str) -> str:
    """With a capital first, the rest as it was written; pH as it is."""
    return words if words.startswith("pH ") else words[:1].upper() + words[1:]


def sentence(words: str) -> str:
    """The words of one fact as a sentence of its own."""
    return f"{first_up(words)}."


def sentences(facts: Iterable[Fact], units: System) -> str:
    """Facts as sentences, one after the other."""
    return " ".join(sentence(say(fact, units)) for fact in facts)
