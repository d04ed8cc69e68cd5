"""What a garden's journal has taught, as figures of a brief.

``bedwright next-year`` writes them; a gardener reads and may change them.  The plan is made from
the brief alone, so that the same brief gives the same plan wherever it is read.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import BeforeValidator, Field

from bedwright.brief.frost_words import parse_nights
from bedwright.brief.table import Table
from bedwright.brief.values import Date, Key, at_most, number

OTHERS = "others"
"""What a table of kinds says of all that it does not name."""

LEAST_RATE, MOST_RATE = 0.05, 2.0
"""Between which a rate lies that is given beside the catalogue's."""

LEAST_SHARE = 0.02

MOST_LATE_DAYS = 45.0
"""Days by which first flowers may be later or sooner than the model has them."""

LEAST_ERROR_C, MOST_ERROR_C = 0.05, 5.0

Rates = Annotated[dict[Key, Annotated[float, number(LEAST_RATE, MOST_RATE)]], at_most(400)]
Shares = Annotated[dict[Key, Annotated[float, number(LEAST_SHARE, 1.0)]], at_most(400)]
Days = Annotated[dict[Key, Annotated[float, number(-MOST_LATE_DAYS, MOST_LATE_DAYS)]], at_most(400)]


class Learned(Table):
    """Figures of this garden, by kind (a key of the catalogue, or ``others``).

    ``until``: the day up to which the journal was read; ``nights``: by how much its nights are
    warmer than the weather's source has them, °C (in a brief in words, as ``place.nights``), with
    the standard error ``nights_error``; ``germination``: the share of seed that comes up, beside
    the catalogue's, 1 for the same; ``survival``: the share of plants that live until they flower;
    ``flowering``: days by which first flowers come later than the model has them, below 0 sooner;
    ``flowering_error``: what is left of the error of the model's days to bloom, 1 for all of it.
    """

    until: Date | None = None
    nights: Annotated[float, BeforeValidator(parse_nights)] | None = None
    nights_error: Annotated[float, number(LEAST_ERROR_C, MOST_ERROR_C)] | None = None
    germination: Rates = Field(default_factory=dict)
    survival: Shares = Field(default_factory=dict)
    flowering: Days = Field(default_factory=dict)
    flowering_error: Shares = Field(default_factory=dict)

    def germination_of(self, kind: str) -> float:
        """A kind's rate of germination here, beside the catalogue's."""
        return _of(self.germination, kind, 1.0)

    def survival_of(self, kind: str, usual: float) -> float:
        """The share of a kind's plants that live here; ``usual`` where nothing was learned."""
        return _of(self.survival, kind, usual)

    def late_days_of(self, kind: str) -> float:
        """Days by which a kind's first flower comes later here than the model has it."""
        return _of(self.flowering, kind, 0.0)

    def error_of(self, kind: str) -> float:
        """What is left of the model's error in a kind's days to bloom, as a share of it."""
        return _of(self.flowering_error, kind, 1.0)

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds that are named, in order."""
        tables = (self.germination, self.survival, self.flowering, self.flowering_error)
        return tuple(sorted({key for table in tables for key in table} - {OTHERS}))

    @property
    def anything(self) -> bool:
        """Whether there is a figure at all."""
        return (
            any((self.germination, self.survival, self.flowering, self.flowering_error))
            or self.nights is not None
        )


def _of(table: Mapping[str, float], kind: str, otherwise: float) -> float:
    return table.get(kind, table.get(OTHERS, otherwise))
