"""The jobs of a year as facts: what is done, to which items, and why on that day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from bedwright.facts import Fact
from bedwright.growth import DecidedBy


class Named(NamedTuple):
    """An item of the plan: its letter, its kind and colour."""

    letter: str
    name: str


@dataclass(frozen=True)
class Job(Fact):
    """Base of all jobs."""


@dataclass(frozen=True)
class SoilTest(Job):
    """Send a sample to a laboratory."""


@dataclass(frozen=True)
class OrderMaterials(Job):
    """Order what the soil sheet names."""


@dataclass(frozen=True)
class MarkServices(Job):
    """Have buried services marked."""


@dataclass(frozen=True)
class SprayGrass(Job):
    """Kill the grass with a weedkiller."""


@dataclass(frozen=True)
class CoverGrass(Job):
    """Let the grass die under a cover."""

    cover: Literal["smother", "black plastic"]


@dataclass(frozen=True)
class MarkOut(Job):
    """Stake, string and edge."""


@dataclass(frozen=True)
class Dig(Job):
    """Fill, feed and dig: after lifting the sod, as it is, or in the gaps of a border alone."""

    ground: Literal["sod", "open", "gaps"]


@dataclass(frozen=True)
class WaterIn(Job):
    """Soak the bed and let it settle."""

    settle_days: int


@dataclass(frozen=True)
class SpreadAgain(Job):
    """A later spreading of lime or sulfur."""

    label: str
    number: int
    of: int


@dataclass(frozen=True)
class OrderSeed(Job):
    """Order the seed."""


@dataclass(frozen=True)
class SowIndoors(Job):
    """Sow under cover, so many weeks before setting out."""

    item: Named
    weeks: float


@dataclass(frozen=True)
class PrickOut(Job):
    """Move seedlings apart."""

    item: Named


@dataclass(frozen=True)
class PotOn(Job):
    """Move to pots from blocks, or from a tray's cells."""

    item: Named
    container: Literal["soil block", "tray"]


@dataclass(frozen=True)
class HardenOff(Job):
    """Get plants used to the open."""

    items: tuple[Named, ...]


@dataclass(frozen=True)
class FrostRisk(Fact):
    """What decided a day, and the odds of a night at or below ``kill_c`` after it."""

    decided_by: DecidedBy
    kill_c: float
    odds: float


@dataclass(frozen=True)
class HeatRisk(FrostRisk):
    """The same where the winter lies in the middle of the growing year, with the odds of a
    fortnight after it, before the coolest, whose mean maximum is above ``heat_max_c``."""

    heat_max_c: float
    heat_odds: float


@dataclass(frozen=True)
class SowInPlace(Job):
    """Sow where the plants will flower."""

    item: Named
    risk: FrostRisk


@dataclass(frozen=True)
class SowAgain(Job):
    """Clear what is over and sow the same kind in its place."""

    item: Named


@dataclass(frozen=True)
class SowOnceMore(SowAgain):
    """The same where no frost is near."""


@dataclass(frozen=True)
class Thin(Job):
    """Leave the strongest one or two seedlings."""

    item: Named


@dataclass(frozen=True)
class ThinToOne(Job):
    """Leave one seedling."""

    item: Named


@dataclass(frozen=True)
class SetOut(Job):
    """Plant out; ``bought``: as young plants from a nursery."""

    items: tuple[Named, ...]
    bought: bool
    risk: FrostRisk


@dataclass(frozen=True)
class PinchOut(Job):
    """Take the tips out."""

    item: Named


@dataclass(frozen=True)
class Stake(Job):
    """Stake what would lean."""

    items: tuple[Named, ...]


@dataclass(frozen=True)
class FeedAgain(Job):
    """Side-dress the heavy feeders; ``weight_kg`` of a product for the whole bed at most."""

    items: tuple[Named, ...]
    label: str
    weight_kg: float
    weeks: tuple[int, int]


@dataclass(frozen=True)
class WaterBed(Job):
    """Water by need."""


@dataclass(frozen=True)
class Mulch(Job):
    """Weed, then mulch."""


@dataclass(frozen=True)
class FirstFlowers(Job):
    """Watch for an item's first flowers."""

    item: Named


@dataclass(frozen=True)
class Deadhead(Job):
    """Pick or deadhead."""


@dataclass(frozen=True)
class WatchForFrost(Job):
    """Watch for the first frost."""


@dataclass(frozen=True)
class ClearBed(Job):
    """Clear the bed."""


@dataclass(frozen=True)
class Review(Job):
    """Look back, and plan the next bed."""


@dataclass(frozen=True)
class ShowDay(Job):
    """The brief's show day: ``open`` of ``items`` are likely in flower."""

    open: int
    items: int


@dataclass(frozen=True)
class NoDayAtHome(Fact):
    """The whole window of a job falls while the gardener is away."""

    job: Job
