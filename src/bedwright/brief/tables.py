"""The tables of a brief, frozen; an unknown field is a fault."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from bedwright.brief.values import (
    Altitude,
    Bearing,
    Date,
    Day,
    Depth,
    Height,
    Length,
    Money,
    Offset,
    Point,
    Risk,
    Share,
    Year,
    number,
    quantity,
)
from bedwright.units import LENGTH, System


class Table(BaseModel):
    """A frozen table of the brief; an unknown field is a fault."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


# --- place and season --------------------------------------------------------------------------


class Record(Table):
    """A daily weather record: a CSV with date, tmin, tmax and optional rain."""

    file: str
    unit: Literal["C", "F"] | None = None
    from_year: Year | None = None
    to_year: Year | None = None


class KnownFrost(Table):
    """Dates that a local extension office gives, each with its odds.

    ``last_spring``: odds that a freeze (0 °C, 32 °F, or colder) comes later than the day.
    ``first_autumn``: odds that one comes earlier than the day.
    """

    last_spring: dict[Risk, Day] = Field(min_length=1)
    first_autumn: dict[Risk, Day] = Field(min_length=1)
    source: str = "as stated in the brief"


class Place(Table):
    """Where the bed lies; a town, or latitude and longitude, and what is known of the weather."""

    town: str | None = None
    latitude: Annotated[float, number(-66.0, 72.0)] | None = None
    longitude: Annotated[float, number(-180.0, 180.0)] | None = None
    altitude: Altitude | None = None
    record: Record | None = None
    frost: KnownFrost | None = None

    @model_validator(mode="after")
    def _somewhere(self) -> Place:
        if (self.latitude is None) != (self.longitude is None):
            raise ValueError("latitude and longitude go together")
        if self.town is None and self.latitude is None:
            raise ValueError(
                "town = 'Name, Country', or latitude and longitude in degrees"
                " (a record or frost dates refine it, but the sun needs a spot on earth)"
            )
        return self


class SeasonWish(Table):
    """Which growing year, and how much frost risk is accepted.

    South of the equator the growing year ``2027`` runs from July 2027 to June 2028.
    """

    year: Annotated[int, number(1990, 2200, whole=True)] | None = None
    frost_risk: Risk = 0.10


# --- the bed -----------------------------------------------------------------------------------

Side = Bearing | Literal["all"]


class _Bed(Table):
    """What every outline has: the base line's direction and who looks from where.

    The base line starts at the origin and runs toward ``bearing``; x is measured along it and y
    square to it, to the left.  ``viewed_from``: compass directions in which onlookers stand.
    """

    bearing: Bearing = 90.0
    viewed_from: tuple[Side, ...] = Field(("all",), min_length=1)

    @model_validator(mode="before")
    @classmethod
    def _one_side(cls, given: Any) -> Any:
        if isinstance(given, dict) and isinstance(given.get("viewed_from"), str):
            return {**given, "viewed_from": [given["viewed_from"]]}
        return given


class RectangleBed(_Bed):
    """Length along the base line, width to its left."""

    shape: Literal["rectangle"]
    length: Length
    width: Length


class CircleBed(_Bed):
    """A round bed; the base line is its diameter."""

    shape: Literal["circle"]
    diameter: Length


class EllipseBed(_Bed):
    """An oval bed; the base line is its long axis."""

    shape: Literal["ellipse"]
    length: Length
    width: Length


class PolygonBed(_Bed):
    """A bed by its corners, each [x, y] from the base line."""

    shape: Literal["polygon"]
    corners: tuple[Point, ...] = Field(min_length=3)


class OffsetsBed(_Bed):
    """A bed with a curved edge: at each x along the base line, the edge's offset.

    ``stations``: [x, y] to the curved edge, or [x, near y, far y] where both edges curve.
    The curve through the stations is smooth (a monotone cubic).
    """

    shape: Literal["offsets"]
    stations: tuple[tuple[Offset, Offset] | tuple[Offset, Offset, Offset], ...] = Field(
        min_length=3
    )


Bed = RectangleBed | CircleBed | EllipseBed | PolygonBed | OffsetsBed
BEDS: dict[str, type[Bed]] = {
    "rectangle": RectangleBed,
    "circle": CircleBed,
    "ellipse": EllipseBed,
    "polygon": PolygonBed,
    "offsets": OffsetsBed,
}

# --- what stands around ------------------------------------------------------------------------


class _Neighbour(Table):
    """Something that shades the bed, placed as one would pace it.

    From the middle of the bed walk ``distance`` toward ``bearing``.
    """

    name: str = ""
    bearing: Bearing
    distance: Annotated[float, quantity(LENGTH, 0.0, 500.0, "0 to 500 m")]
    height: Height


class Building(_Neighbour):
    """A house or shed: ``distance`` reaches the middle of its near face.

    ``width`` along the near face, ``depth`` away from it; the near face looks back at the bed
    unless ``faces`` says which way.  ``height`` to the eaves; a ``ridge`` makes a gable roof
    whose ridge runs along the longer side.
    """

    kind: Literal["building"]
    width: Length
    depth: Length
    ridge: Height | None = None
    faces: Bearing | None = None

    @model_validator(mode="after")
    def _ridge_above(self) -> Building:
        if self.ridge is not None and self.ridge < self.height:
            raise ValueError("ridge: at least as high as height, which is to the eaves")
        return self


class Barrier(_Neighbour):
    """A wall, fence or hedge: ``distance`` reaches its middle; it runs square to that unless
    ``runs`` gives a direction.  ``openness``: the share of light that comes through."""

    kind: Literal["wall", "fence", "hedge"]
    length: Length
    thickness: Length | None = None
    runs: Bearing | None = None
    openness: Share | None = None


class Tree(_Neighbour):
    """A tree or shrub: ``distance`` reaches the trunk; the crown is an ellipsoid.

    ``openness``: the share of light that comes through the crown in leaf.
    """

    kind: Literal["tree"]
    spread: Length
    crown_base: Annotated[float, quantity(LENGTH, 0.0, 80.0, "0 to 80 m")] | None = None
    evergreen: bool = False
    openness: Share | None = None

    @model_validator(mode="after")
    def _crown_below_top(self) -> Tree:
        if self.crown_base is not None and self.crown_base >= self.height:
            raise ValueError("crown_base: lower than height")
        return self


Neighbour = Building | Barrier | Tree
NEIGHBOURS: dict[str, type[Neighbour]] = {
    "building": Building,
    "wall": Barrier,
    "fence": Barrier,
    "hedge": Barrier,
    "tree": Tree,
}

# --- ground and goods --------------------------------------------------------------------------

Level = Literal["low", "medium", "high"]
Texture = Literal["sand", "sandy loam", "loam", "silt loam", "clay loam", "clay"]


class SoilTest(Table):
    """What a soil test said; leave out what it did not."""

    ph: Annotated[float, number(3.0, 10.0)] | None = None
    phosphorus: Level | None = None
    potassium: Level | None = None
    organic_matter: Share | None = None
    laboratory: str = ""


class GroundFound(Table):
    """The ground as found and what is wanted of it."""

    found: Literal["lawn", "old bed", "bare"] = "lawn"
    clear_by: Literal["lift", "smother"] = "lift"
    sod_to: Literal["compost", "lawn patch"] = "compost"
    sod_thickness: Annotated[float, quantity(LENGTH, 0.01, 0.15, "1 cm to 15 cm")] = 0.04
    sod_piece: Annotated[float, quantity(LENGTH, 0.1, 1.0, "10 cm to 1 m")] = 0.3048
    texture: Texture = "loam"
    dig_depth: Annotated[float, quantity(LENGTH, 0.05, 0.6, "5 cm to 60 cm")] = 0.20
    raise_by: Depth = 0.0
    organic_matter_wanted: Share = 0.06
    limed: Date | None = None
    test: SoilTest = SoilTest()


class Goods(Table):
    """A material at hand or to be bought.

    ``material``: a name from Bedwright's list of materials.  ``pack``: volume or weight of one
    bag, bale or load.  ``count``: how many are at hand already.  ``price``: of one more; leave it
    out where no more can be had.
    """

    material: str
    name: str = ""
    pack: str
    count: Annotated[float, number(0.0, 10000.0)] = 0.0
    price: Money | None = None
    analysis: str | None = None
    compressed: Annotated[float, number(1.0, 4.0)] | None = None

    @property
    def label(self) -> str:
        """The gardener's own name for it, or the material's."""
        return self.name or self.material


# --- wishes ------------------------------------------------------------------------------------

Scheme = Literal["any", "hot", "cool", "pastel", "white", "one hue", "opposites"]
Use = Literal["vase", "drying", "scent", "table", "pollinators"]
Avoid = Literal[
    "toxic to people",
    "toxic to dogs",
    "toxic to cats",
    "skin irritants",
    "invasive anywhere",
    "freely self-sowing",
]


class Wishes(Table):
    """What the bed should be like."""

    scheme: Scheme = "any"
    colours: tuple[str, ...] = ()
    uses: tuple[Use, ...] = ()
    height: Length | None = None
    tending: Literal["little", "some", "much"] = "some"
    budget: Money | None = None
    kinds: Annotated[int, number(1, 30, whole=True)] | None = None
    grow: tuple[str, ...] = ()
    leave_out: tuple[str, ...] = ()
    avoid: tuple[Avoid, ...] = ()
    edging: bool = True


class Existing(Table):
    """A plant that stays: its place from the base line and its grown spread."""

    name: str
    at: Point
    spread: Length


class Span(Table):
    """Days that the gardener is away."""

    start: Date
    end: Date

    @model_validator(mode="after")
    def _forward(self) -> Span:
        if self.end < self.start:
            raise ValueError("end: not before start")
        return self


class Dates(Table):
    """Dates already fixed."""

    begin: Date | None = None
    show: Date | None = None
    away: tuple[Span, ...] = ()


class Indoors(Table):
    """What there is to raise plants with."""

    possible: bool = True
    container: Literal["soil block", "tray"] = "soil block"
    block: Annotated[float, quantity(LENGTH, 0.015, 0.15, "1.5 cm to 15 cm")] = 0.05
    warmth: bool = True


class Prices(Table):
    """What things cost that are no ground goods; leave out what is not known."""

    seed_packet: Money | None = None
    plant: Money | None = None


class Brief(Table):
    """The whole brief."""

    title: str = "A bed of annuals"
    units: System = "metric"
    paper: Literal["a4", "letter"] | None = None
    currency: str = Field("", max_length=4)
    place: Place
    season: SeasonWish = SeasonWish()
    bed: Bed
    surroundings: tuple[Neighbour, ...] = ()
    ground: GroundFound = GroundFound()
    goods: tuple[Goods, ...] = ()
    wishes: Wishes = Wishes()
    existing: tuple[Existing, ...] = ()
    dates: Dates = Dates()
    indoors: Indoors = Indoors()
    prices: Prices = Prices()

    @property
    def paper_size(self) -> Literal["a4", "letter"]:
        """The paper asked for, or the one usual with the units."""
        return self.paper or ("letter" if self.units == "us" else "a4")
