"""What a stage has to say: facts, each a code and its values in SI units.

A stage makes no sentences.  ``report.say`` puts a fact into words, in the units of the brief, and
every output prints those words.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, fields
from typing import Any


@dataclass(frozen=True)
class Fact:
    """Base of every fact.

    Subclasses are frozen dataclasses of plain values: text that names something (a kind, a
    material), numbers in SI units with the unit in the field's name, dates, shares from 0 to 1,
    tuples of such, or further facts.
    """

    @property
    def code(self) -> str:
        """The class's name in lower case with underscores: ``too_little_bloom``."""
        return re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "_", type(self).__name__).lower()

    @property
    def values(self) -> dict[str, Any]:
        """The fields by name."""
        return {field.name: getattr(self, field.name) for field in fields(self)}


class FactError(ValueError):
    """A stage cannot go on; ``fact`` says why."""

    def __init__(self, fact: Fact) -> None:
        self.fact = fact
        super().__init__(f"{fact.code} {fact.values}")
