"""Other words of the trade for what a brief's fields take, from one table (``data/synonyms.csv``).

A word with one meaning is taken for it; one with several is a fault that names them.  Case and
doubled blanks do not count.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from functools import cache
from importlib.resources import files
from typing import Any, get_args

from pydantic import BeforeValidator

from bedwright.units import LONGEST, UnitError


@cache
def synonyms() -> dict[tuple[str, str], tuple[str, ...]]:
    """What is meant by each word of each sort: (sort, word) to one or more accepted words."""
    text = (files("bedwright.brief") / "data/synonyms.csv").read_text(encoding="utf-8")
    return {
        (row["of"], row["word"]): tuple(part.strip() for part in row["means"].split(";"))
        for row in csv.DictReader(text.splitlines())
    }


def meanings(of: str, word: str) -> tuple[str, ...]:
    """What a word of a sort may mean; nothing for one that is not in the table."""
    return synonyms().get((of, " ".join(word.split()).casefold()), ())


def taken(of: str, given: object, options: Iterable[str] = ()) -> object:
    """The accepted word that is meant by what is given; what is given where that is not known.

    Raises UnitError that names the words which it may mean, where they are several.
    """
    if not isinstance(given, str) or len(given) > LONGEST or given in options:
        return given
    plain = given.strip().casefold()
    cased = next((option for option in options if option.casefold() == plain), None)
    if cased is not None:
        return cased
    found = meanings(of, given)
    if len(found) > 1:
        words = ", ".join(f"'{word}'" for word in found)
        raise UnitError(given, f"one of {words}; the word can mean any of them")
    return found[0] if found else given


def choice(of: str, literal: Any = None) -> Any:
    """Validator that takes the words of a ``Literal`` and their synonyms; without one, synonyms
    alone, of a text that is checked elsewhere."""
    options = get_args(literal)
    return BeforeValidator(lambda given: taken(of, given, options))
