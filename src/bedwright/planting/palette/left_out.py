"""Why a kind is not grown: one fact for each reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bedwright.facts import Fact, FactError

Creature = Literal["people", "dogs", "cats"]


@dataclass(frozen=True)
class LeftOut(Fact):
    """Base of the reasons; ``sort`` is alike for kinds that are left out for one reason, whatever
    the figures."""

    @property
    def sort(self) -> str:
        """The code."""
        return self.code


@dataclass(frozen=True)
class LeftOutAsWished(LeftOut):
    """The brief names the kind or its family."""


@dataclass(frozen=True)
class NothingToClimb(LeftOut):
    """It is a climber."""


@dataclass(frozen=True)
class TooTall(LeftOut):
    """It grows higher than the bed's width or the brief allows."""

    height_m: float
    limit_m: float


@dataclass(frozen=True)
class TooMuchMaintenance(LeftOut):
    """It wants more of it (1 little, 2 some, 3 much) than is wished."""

    level: float
    most: float


@dataclass(frozen=True)
class Toxic(LeftOut):
    """To people; to pets, it may harm them."""

    to: Creature

    @property
    def sort(self) -> str:
        """By whom it harms."""
        return f"{self.code}_to_{self.to}"


@dataclass(frozen=True)
class IrritatesSkin(LeftOut):
    """Skin that touches it."""


@dataclass(frozen=True)
class Invasive(LeftOut):
    """Somewhere: ``where`` holds the catalogue's codes of countries."""

    where: tuple[str, ...]


@dataclass(frozen=True)
class SelfSowsFreely(LeftOut):
    """It comes up from its own seed."""


@dataclass(frozen=True)
class TooShortForLeaves(LeftOut):
    """Weeks that a foliage plant would stand, and the least that are enough."""

    weeks: float
    least_weeks: float


@dataclass(frozen=True)
class TooLittleBloom(LeftOut):
    """Weeks of bloom in this season, and the least that are enough."""

    weeks: float
    least_weeks: float


@dataclass(frozen=True)
class NoSafeDay(LeftOut):
    """Frost that kills it comes past midsummer: the odds of one after that, and the night, °C."""

    odds: float
    kill_c: float


@dataclass(frozen=True)
class SoilTooCold(LeftOut):
    """The soil is not warm enough for it before midsummer: the least warmth that its seed wants,
    °C."""

    least_c: float


@dataclass(frozen=True)
class TooShady(LeftOut):
    """Median hours of sun over its season, and the least that it likes."""

    sun_h: float
    least_h: float


@dataclass(frozen=True)
class TooSunny(LeftOut):
    """Median hours of sun over its season, and the most that it stands in such heat: mean daily
    maximum over its season, °C."""

    sun_h: float
    most_h: float
    day_c: float


@dataclass(frozen=True)
class NoColourThatSuits(LeftOut):
    """None of its colours is in the scheme or among those named."""

    scheme: str
    colours: tuple[str, ...]


@dataclass(frozen=True)
class HeightNotWanted(LeftOut):
    """No form of its height is wanted in this bed: edging, front, middle or back."""

    tier: str


@dataclass(frozen=True)
class OutScored(LeftOut):
    """Its score, the least of those chosen of its height, and the terms it lacks most, by name."""

    score: float
    chosen_score: float
    lacks: tuple[str, ...]


@dataclass(frozen=True)
class CrowdedOut(LeftOut):
    """It scores as well as those chosen of its height; they mix families and forms better."""

    score: float


@dataclass(frozen=True)
class CostsTooMuch(LeftOut):
    """Its seed or plants would take the bed so far over the budget."""

    over: float
    currency: str


@dataclass(frozen=True)
class NoRoom(LeftOut):
    """No drift had the sun and the room for it."""


@dataclass(frozen=True)
class ExchangedFor(LeftOut):
    """Another kind goes better with what stands beside it in this bed."""

    kind: str
    name: str


@dataclass(frozen=True)
class PlantedThough(Fact):
    """A kind planted because the brief asks for it, and what speaks against it."""

    kind: str
    name: str
    reason: LeftOut


@dataclass(frozen=True)
class Counted(Fact):
    """A reason's ``sort`` and how many kinds it rules out."""

    sort: str
    kinds: int


@dataclass(frozen=True)
class Relaxed(Fact):
    """A field of the brief, None for the bed's own width, and how many kinds would fit without
    it."""

    field: str | None
    kinds: int


@dataclass(frozen=True)
class NothingFits(Fact):
    """No kind fits: what rules them out, most first, and which one wish to relax, most first."""

    reasons: tuple[Counted, ...]
    relaxed: tuple[Relaxed, ...]


class NothingFitsError(FactError):
    """Nothing can be planted; the fact is ``NothingFits`` or says that there is no room."""
