"""Facts in words: one function, to which each subject adds the words of its own facts."""

from __future__ import annotations

import pkgutil
from functools import singledispatch
from importlib import import_module

from bedwright.facts import Fact
from bedwright.units import System

_PACKAGE = "bedwright.report"


@singledispatch
def say(fact: Fact, units: System) -> str:
    """A fact as a sentence or a part of one, without a full stop at its end unless it holds several
    sentences.  Raises TypeError for a fact that has no words."""
    for subject in _subjects(fact):
        import_module(f"{_PACKAGE}.{subject}")
        words = say.dispatch(type(fact))
        if words is not _unknown:
            return words(fact, units)
    raise TypeError(f"no words for {type(fact).__name__}")


_unknown = say.dispatch(object)


def _subjects(fact: Fact) -> list[str]:
    """Modules with words, which are loaded when they are wanted: first that of the fact's stage."""
    found = import_module(_PACKAGE).__path__
    names = [module.name for module in pkgutil.iter_modules(found)]
    stage = type(fact).__module__.split(".")[1:2]
    return sorted(
        (name for name in names if name.endswith("_words")),
        key=lambda name: name.removesuffix("_words") not in stage,
    )
