"""The tables of a brief, frozen; an unknown field is a fault."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Annotated, Any, ClassVar, Literal, get_args

from bedwright.brief.learned import Learned
from bedwright.brief.neighbours import Neighbour
from bedwright.brief.outlines import (
    Bed,
)
from bedwright.brief.place import Place, SeasonWish
from bedwright.brief.synonyms import choice
from bedwright.brief.table import Table
from bedwright.brief.values import (
    UNREADABLE,
    Clash,
    Date,
    Depth,
    FileName,
    Key,
    Length,
    LooseWeight,
    Money,
    Name,
    Point,
    Reading,
    Share,
    Title,
    Words,
    at_most,
    number,
    quantity,
    words,
)
from bedwright.units import LENGTH, VOLUME, System

# --- ground and materials ----------------------------------------------------------------------

Texture = Literal["sand", "sandy loam", "loam", "silt loam", "clay loam", "clay"]
Found = Literal["lawn", "old bed", "bare"]
Extraction = Literal["Mehlich-3", "Bray P1", "Olsen", "modified Morgan"]
ClearBy = Literal["lift", "hired cutter", "smother", "black plastic", "herbicide"]


class SoilTest(Table):
    """What a soil test said; leave out what it did not.

    ``phosphorus``, ``potassium``: a level, or parts per million of the element by a ``method`` of
    extraction; ``buffer_ph``: the pH of the soil in a buffer, by a ``buffer_method``.
    """

    ph: Annotated[float, number(3.0, 10.0)] | None = None
    buffer_ph: Annotated[float, number(4.5, 8.0)] | None = None
    buffer_method: Literal["Mehlich", "SMP"] | None = None
    phosphorus: Reading | None = None
    potassium: Reading | None = None
    method: Annotated[Extraction | None, choice("extraction", Extraction)] = None
    organic_matter: Share | None = None
    laboratory: Words = ""

    def clashes(self) -> Iterator[Clash]:
        """Figures that say nothing without the method they were had by."""
        if self.method is None and any(
            isinstance(value, float) and value is not UNREADABLE
            for value in (self.phosphorus, self.potassium)
        ):
            methods = ", ".join(f"'{name}'" for name in get_args(Extraction))
            yield Clash("method", f"the laboratory's extraction: {methods}")
        if self.buffer_ph is not None and self.buffer_method is None:
            yield Clash("buffer_method", "the laboratory's buffer: 'Mehlich', 'SMP'")
        if self.buffer_ph is not None and self.ph is None:
            yield Clash("ph", "the soil's own pH, beside its pH in a buffer")


class GroundFound(Table):
    """The ground as found and what is wanted of it.

    ``clear_by``: how the lawn goes; without it, the way that suits best (``ground.ways``).
    ``sod_piece``: width of the pieces; ``sod_length``: their length, where they are strips;
    ``scoop``: the measure at hand, for whole scoops of fertiliser.
    """

    found: Annotated[Found, choice("found", Found)] = "lawn"
    clear_by: Annotated[ClearBy | None, choice("clearing", ClearBy)] = None
    sod_to: Literal["compost", "lawn patch"] = "compost"
    sod_thickness: Annotated[float, quantity(LENGTH, 0.01, 0.15, "1 cm to 15 cm")] | None = None
    sod_piece: Annotated[float, quantity(LENGTH, 0.1, 1.0, "10 cm to 1 m")] | None = None
    sod_length: Annotated[float, quantity(LENGTH, 0.1, 3.0, "10 cm to 3 m")] | None = None
    texture: Annotated[Texture, choice("texture", Texture)] = "loam"
    dig_depth: Annotated[float, quantity(LENGTH, 0.05, 0.6, "5 cm to 60 cm")] = 0.20
    raise_by: Depth = 0.0
    organic_matter_wanted: Share = 0.06
    limed: Date | None = None
    scoop: Annotated[float, quantity(VOLUME, 5e-6, 5e-3, "5 mL to 5 L")] | None = None
    test: SoilTest = SoilTest()

    def clashes(self) -> Iterator[Clash]:
        """More organic matter than a bed keeps."""
        if self.organic_matter_wanted > 0.15:
            yield Clash("organic_matter_wanted", "15% at most: richer soil sinks year by year")


class Stock(Table):
    """A material at hand or to be bought.

    ``material``: a name from Bedwright's list of materials.  ``pack``: volume or weight of one
    bag, bale or load.  ``count``: how many are at hand already.  ``price``: of one more; leave it
    out where no more can be had.  ``release``: share of its nitrogen freed in the first season;
    ``weighs``: its loose weight, kg/m³.
    """

    stand_ins: ClassVar[dict[str, Any]] = {"pack": "1 L"}

    material: Annotated[Key, choice("material")]
    name: Name = ""
    pack: Key
    count: Annotated[float, number(0.0, 10000.0)] = 0.0
    price: Money | None = None
    analysis: Key | None = None
    release: Share | None = None
    weighs: LooseWeight | None = None
    compressed: Annotated[float, number(1.0, 4.0)] | None = None

    @property
    def label(self) -> str:
        """The gardener's own name for it, or the material's."""
        return self.name or self.material


# --- wishes ------------------------------------------------------------------------------------

ColourScheme = Literal[
    "any",
    "hot",
    "cool",
    "pastel",
    "white",
    "single colour",
    "analogous",
    "complementary",
    "triadic",
]
Maintenance = Literal["little", "some", "much"]
Use = Literal["cutting", "drying", "scent", "edible flowers", "pollinators"]
Avoid = Literal[
    "toxic to people",
    "toxic to dogs",
    "toxic to cats",
    "skin irritants",
    "invasive anywhere",
    "freely self-sowing",
]


def kind_and_colour(words: str) -> tuple[str, str | None]:
    """The kind's key and its colour, if any, of "kind" or "kind: colour"."""
    key, _, colour = (part.strip() for part in words.partition(":"))
    return key, colour or None


MOST_WISHES, MOST_EDGE_KINDS = 250, 12
"""Entries in a list of wishes, and kinds for an edging, at most."""

Keys = Annotated[tuple[Key, ...], at_most(MOST_WISHES)]
EdgeKind = Annotated[str, words(120, 1)]
KIND_COUNT = "plants with their colour (each colour of a kind counts as one)"


class Wishes(Table):
    """What the bed should be like."""

    colour_scheme: Annotated[ColourScheme, choice("colour scheme", ColourScheme)] = "any"
    colours: Annotated[tuple[Annotated[Key, choice("colour")], ...], at_most(MOST_WISHES)] = ()
    uses: Annotated[tuple[Annotated[Use, choice("use", Use)], ...], at_most(MOST_WISHES)] = ()
    height: Length | None = None
    maintenance: Annotated[Maintenance, choice("maintenance", Maintenance)] | None = None
    budget: Money | None = None
    kinds: Annotated[int, number(1, 30, True, KIND_COUNT)] | None = None
    grow: Keys = ()
    last_year: Keys = ()
    leave_out: Keys = ()
    avoid: Annotated[
        tuple[Annotated[Avoid, choice("avoid", Avoid)], ...], at_most(MOST_WISHES)
    ] = ()
    edging: bool = True
    edge_with: Annotated[tuple[EdgeKind, ...], at_most(MOST_EDGE_KINDS)] = ()
    gaps_only: bool = False
    variant: Annotated[int, number(1, 9, whole=True)] = 1

    def without(self, keys: Iterable[str]) -> Wishes:
        """The same wishes, with some kinds left out."""
        return self.model_copy(update={"leave_out": (*self.leave_out, *keys)})

    def clashes(self) -> Iterator[Clash]:
        """Kinds for an edging that is not wanted."""
        if self.edging is False and self.edge_with:
            yield Clash("edge_with", "left out where edging is false")


class Existing(Table):
    """A plant that stays: its place from the base line, its grown spread and, where it has yet to
    grow, its spread in spring."""

    stand_ins: ClassVar[dict[str, Any]] = {"name": "a plant", "spread": "2,000 m"}

    name: Name
    at: Point
    spread: Length
    spread_now: Length | None = None

    def clashes(self) -> Iterator[Clash]:
        """A plant wider in spring than grown."""
        sizes = (self.spread, self.spread_now)
        if UNREADABLE not in sizes and (self.spread_now or 0.0) > self.spread:
            yield Clash("spread_now", "no more than its grown spread")


LEAST_SIZE, MOST_SIZE = 0.4, 2.5
"""Of a drift, beside what it was at first."""


class Change(Table):
    """A change to the planting first drawn.

    For the drift ``at`` a spot: a kind to grow there, its size beside what it was, or another drift
    to change places with.  For the whole bed: a kind that is ``never`` to grow in it.
    """

    stand_ins: ClassVar[dict[str, Any]] = {"at": ["0 m", "0 m"]}

    at: Point | None = None
    grow: Key | None = None
    colour: Key | None = None
    size: Annotated[float, number(LEAST_SIZE, MOST_SIZE)] | None = None
    swap: Point | None = None
    never: Key | None = None

    def clashes(self) -> Iterator[Clash]:
        """Nothing to change, a colour of nothing, a drift both planted and swapped, or something
        of one drift beside what is for all."""
        of_drift = {name: getattr(self, name) for name in ("at", "grow", "colour", "size", "swap")}
        if self.never is not None:
            given = [name for name, value in of_drift.items() if value is not None]
            if given:
                yield Clash(
                    "never", "by itself: it is for the whole bed", "beside " + " and ".join(given)
                )
            return
        if self.at is None:
            yield Clash("at", "a spot in a drift; or never, with a kind")
        elif self.grow is None and self.size is None and self.swap is None:
            yield Clash("at", "a spot with grow, size or swap beside it")
        if self.colour is not None and self.grow is None:
            yield Clash("colour", "a colour of the kind named by grow")
        if self.grow is not None and self.swap is not None:
            yield Clash("swap", "left out where grow is given")


class Span(Table):
    """Days that the gardener is away."""

    start: Date
    end: Date

    def clashes(self) -> Iterator[Clash]:
        """An end before the start."""
        if UNREADABLE not in (self.start, self.end) and self.end < self.start:
            yield Clash("end", "not before start")


MOST_SPANS = 50
"""Times away, at most."""


class Dates(Table):
    """Dates already fixed."""

    begin: Date | None = None
    show: Date | None = None
    away: Annotated[tuple[Span, ...], at_most(MOST_SPANS)] = ()


Room = Literal["window sill", "cold greenhouse", "heated greenhouse", "lit shelf"]
"""Where plants are raised: how warm and how light it is."""

Container = Literal["soil block", "tray"]
Paper = Literal["a4", "letter"]


class Indoors(Table):
    """What there is to raise plants with."""

    possible: bool = True
    room: Annotated[Room, choice("room", Room)] = "window sill"
    container: Annotated[Container, choice("container", Container)] = "soil block"
    block: Annotated[float, quantity(LENGTH, 0.015, 0.15, "1.5 cm to 15 cm")] = 0.05
    warmth: bool = True


class Prices(Table):
    """What things cost that are no ground materials; leave out what is not known."""

    seed_packet: Money | None = None
    plant: Money | None = None
    cutter_hire: Money | None = None


MOST_TABLES: dict[str, int] = {
    "surroundings": 100,
    "materials": 100,
    "existing": 100,
    "changes": 50,
}
"""Tables of a sort that a brief holds at most."""


class Brief(Table):
    """The whole brief."""

    title: Title = "A bed of annuals"
    units: Annotated[System, choice("units", System)] = "metric"
    paper: Annotated[Paper | None, choice("paper", Paper)] = None
    currency: Annotated[str, words(4)] = ""
    own_kinds: FileName | None = None
    place: Place
    season: SeasonWish = SeasonWish()
    bed: Bed
    surroundings: tuple[Neighbour, ...] = ()
    ground: GroundFound = GroundFound()
    materials: tuple[Stock, ...] = ()
    wishes: Wishes = Wishes()
    existing: tuple[Existing, ...] = ()
    changes: tuple[Change, ...] = ()
    dates: Dates = Dates()
    indoors: Indoors = Indoors()
    prices: Prices = Prices()
    learned: Learned = Learned()

    @property
    def paper_size(self) -> Paper:
        """The paper asked for, or the one usual with the units."""
        return self.paper or ("letter" if self.units == "us" else "a4")
