"""What every table of a brief is: frozen, and without unknown fields."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar, Self

from pydantic import BaseModel, ConfigDict, model_validator

from bedwright.brief.values import (
    Clash,
    ClashError,
)


class Table(BaseModel):
    """A frozen table of the brief; an unknown field is a fault.

    ``stand_ins``: what takes the place of a field at fault that must be stated, so that the others
    can be held against what lies outside the brief.
    """

    model_config = ConfigDict(
        extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True
    )
    stand_ins: ClassVar[dict[str, Any]] = {}

    def clashes(self) -> Iterator[Clash]:
        """Fields at odds with one another; one whose own value was at fault is ``UNREADABLE``."""
        yield from ()

    @model_validator(mode="after")
    def _fields_agree(self) -> Self:
        found = list(self.clashes())
        if found:
            raise ClashError(found)
        return self


def several(given: object) -> object:
    """A value given alone as a list of one."""
    return given if isinstance(given, list | tuple) else [given]
