"""What is to be had for a bed, and notes on it, as facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bedwright.facts import Fact


@dataclass(frozen=True)
class Thing(Fact):
    """Base of what a line of the supplies is about."""


@dataclass(frozen=True)
class Product(Thing):
    """What has a name of its own: a material, a kind in its colour."""

    name: str


@dataclass(frozen=True)
class PottingMix(Thing):
    """Seed and potting mix."""


@dataclass(frozen=True)
class Trays(Thing):
    """Flat trays of a size inside, m."""

    size_m: tuple[float, float]


@dataclass(frozen=True)
class Pots(Thing):
    """Pots of a width, m."""

    width_m: float


@dataclass(frozen=True)
class Labels(Thing):
    """Labels."""


@dataclass(frozen=True)
class Stakes(Thing):
    """Stakes to mark the bed out."""


@dataclass(frozen=True)
class String(Thing):
    """String between the stakes."""


@dataclass(frozen=True)
class Mulch(Thing):
    """Mulch between the plants."""


@dataclass(frozen=True)
class Canes(Thing):
    """Canes, or brushwood."""


@dataclass(frozen=True)
class Note(Fact):
    """Base of the notes on lines."""


@dataclass(frozen=True)
class BarrowLoads(Note):
    """How many times the barrow is wheeled."""

    loads: int


@dataclass(frozen=True)
class Grade(Note):
    """A fertiliser's grade; ``use_kg``: how much of the packs this bed takes."""

    grade: str
    use_kg: float | None
    in_summer: bool = False


@dataclass(frozen=True)
class Spreadings(Note):
    """In how many spreadings; ``use_kg``: how much of the packs this bed takes."""

    times: int
    use_kg: float | None


@dataclass(frozen=True)
class SeedWeight(Note):
    """About how much the seed weighs."""

    seed_g: float


@dataclass(frozen=True)
class YoungPlants(Note):
    """Bought from a nursery."""


@dataclass(frozen=True)
class MixFor(Note):
    """What the mix fills."""

    container: Literal["soil block", "tray"]
    containers: int
    pots: int


@dataclass(frozen=True)
class FullestWeek(Note):
    """As many as the fullest week needs."""


@dataclass(frozen=True)
class ForPottingOn(Note):
    """To move plants into."""


@dataclass(frozen=True)
class OnTraysAndDrifts(Note):
    """One for each tray and each drift."""


@dataclass(frozen=True)
class NumberedOnThePlan(Note):
    """As the plan numbers them."""


@dataclass(frozen=True)
class EdgeAndSpare(Note):
    """The length of the edge and some to spare."""


@dataclass(frozen=True)
class MulchSorts(Note):
    """What serves as mulch."""


@dataclass(frozen=True)
class ForTallKinds(Note):
    """For kinds that would lean."""
