"""Why a brief cannot be carried out, in words."""

from __future__ import annotations

from bedwright.facts import FactError
from bedwright.geometry import GeometryError
from bedwright.report.ground_words import fault_of
from bedwright.report.say import say
from bedwright.units import System


def words_of_mistake(error: FactError, units: System = "metric") -> str:
    """What an error's fact says: of an outline, with what is accepted in its place."""
    if isinstance(error, GeometryError):
        return str(fault_of(error.fact, units))
    return say(error.fact, units)
