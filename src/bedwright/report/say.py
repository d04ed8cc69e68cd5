"""Facts in words: one function, to which each subject adds the words of its own facts."""

from __future__ import annotations

from functools import singledispatch

from bedwright.facts import Fact
from bedwright.units import System


@singledispatch
def say(fact: Fact | str, units: System) -> str:
    """A fact as a sentence or a part of one, without a full stop at its end unless it holds several
    sentences.  Raises TypeError for a fact that has no words yet."""
    raise TypeError(f"no words for {type(fact).__name__}")


@say.register
def _(fact: str, units: System) -> str:
    return fact
