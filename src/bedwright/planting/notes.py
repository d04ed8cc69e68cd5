"""What a planting has to say of wishes that it does not keep, or does not weigh."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bedwright.facts import Fact
from bedwright.planting.palette import LeftOut


@dataclass(frozen=True)
class AskedButNotPlanted(Fact):
    """A kind that the brief asks for and that got no place."""

    kind: str
    name: str
    reason: LeftOut


@dataclass(frozen=True)
class NoPlantStays(Fact):
    """Only gaps are to be planted, and no plant is named that stays: the whole bed is planted."""


@dataclass(frozen=True)
class TooNarrowForEdging(Fact):
    """The bed has no room for the edging that is asked for."""


@dataclass(frozen=True)
class ShowDayNotWeighed(Fact):
    """Kinds are chosen for bloom all season, not for the day of a show."""

    day: date


@dataclass(frozen=True)
class GapsFilled(Fact):
    """Plants that take up the room that lasts; plants that one would set by the gaps of spring, and
    those of them that would be smothered."""

    plants: int
    by_spring_gaps: int
    smothered: int


@dataclass(frozen=True)
class FewerForBudget(Fact):
    """Colour forms planted, and those that the bed would have without a budget."""

    planted: int
    usual: int


@dataclass(frozen=True)
class BudgetNotKept(Fact):
    """What is to be bought costs more than the budget; ``over`` by how much."""

    over: float
    budget: float
    currency: str


@dataclass(frozen=True)
class OtherNumberOfForms(Fact):
    """Colour forms that the brief asks for, those planted, and why they differ."""

    asked: int
    planted: int
    reasons: tuple[Fact, ...]


@dataclass(frozen=True)
class MoreAreNamed(Fact):
    """The kinds named for the bed and its edging come to more."""


@dataclass(frozen=True)
class OneOfEachHeight(Fact):
    """The bed's heights want at least one form of each."""


@dataclass(frozen=True)
class RoomForDrifts(Fact):
    """Drifts that the bed has room for, one form to each, and whether it has an edging besides."""

    drifts: int
    edging: bool


@dataclass(frozen=True)
class FewKindsSuit(Fact):
    """Kinds that suit the light, the season, the height and the wishes."""

    kinds: int


@dataclass(frozen=True)
class NoMoreGoTogether(Fact):
    """By height, family, form of flower and colour."""


@dataclass(frozen=True)
class OthersFoundNoPlace(Fact):
    """No drift, or no gap of a border, with the sun and the room that they need."""

    in_gaps: bool


@dataclass(frozen=True)
class NoneBetter(Fact):
    """Those left were no better than what is planted."""
