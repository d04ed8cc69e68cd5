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
    FieldError,
    Height,
    Length,
    Money,
    Offset,
    Point,
    Risk,
    Share,
    Skyline,
    Slope,
    Spot,
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
    """Where the bed lies; a town, or latitude and longitude, and what is known of the weather.

    ``horizon``: height of the far skyline at some bearings, degrees above level; straight between
    them, all round the compass.
    """

    town: str | None = None
    latitude: Annotated[float, number(-66.0, 72.0)] | None = None
    longitude: Annotated[float, number(-180.0, 180.0)] | None = None
    altitude: Altitude | None = None
    record: Record | None = None
    frost: KnownFrost | None = None
    horizon: tuple[tuple[Bearing, Skyline], ...] = ()

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

    @model_validator(mode="after")
    def _each_bearing_once(self) -> Place:
        bearings = [bearing for bearing, _ in self.horizon]
        for n, bearing in enumerate(bearings):
            if bearing in bearings[:n]:
                raise FieldError(
                    f"horizon[{n + 1}]", f"{bearing:g}° once more", "each bearing once"
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
    ``slope``: of the ground, rise over run, falling toward ``aspect``.
    """

    bearing: Bearing = 90.0
    slope: Slope = 0.0
    aspect: Bearing | None = None
    viewed_from: tuple[Side, ...] = Field(("all",), min_length=1)

    @model_validator(mode="before")
    @classmethod
    def _one_side(cls, given: Any) -> Any:
        if isinstance(given, dict) and isinstance(given.get("viewed_from"), str):
            return {**given, "viewed_from": [given["viewed_from"]]}
        return given

    @model_validator(mode="after")
    def _falls_somewhere(self) -> _Bed:
        if self.slope and self.aspect is None:
            raise FieldError("aspect", "nothing", "the direction in which the sloping bed falls")
        return self


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
    """Something that shades the bed, placed as one would pace it, or by coordinates.

    From the middle of the bed walk ``distance`` toward ``bearing``; or ``at`` says the same spot in
    the bed's own frame; ``corners`` (of buildings and barriers) stand instead of either.  It stands
    on the ground, sloping as the bed does, unless ``foot`` says how far above the bed's middle.
    """

    name: str = Field("", max_length=40)
    bearing: Bearing | None = None
    distance: Annotated[float, quantity(LENGTH, 0.0, 500.0, "0 to 500 m")] | None = None
    at: Point | None = None
    height: Height
    foot: Offset | None = None

    @model_validator(mode="after")
    def _placed_once(self) -> _Neighbour:
        corners = getattr(self, "corners", None) is not None
        paced = {"bearing": self.bearing, "distance": self.distance}
        ways = [self.at is not None, corners, any(v is not None for v in paced.values())]
        where = "bearing and distance from the bed's middle, or at = ['x', 'y'] from the base line"
        if "corners" in type(self).model_fields:
            where += ", or corners"
        if sum(ways) > 1:
            raise FieldError("at" if self.at is not None else "corners", "more than one place",
                             f"one of: {where}")  # fmt: skip
        missing = [name for name, value in paced.items() if value is None]
        if missing and not ways[0] and not ways[1]:
            raise FieldError(missing[0], "nothing", where)
        return self


Roof = Literal["flat", "gable", "hip"]


class Building(_Neighbour):
    """A house or shed: ``distance`` reaches the middle of its near face.

    ``width`` along the near face, ``depth`` away from it; the near face looks back at the bed
    unless ``faces`` says which way.  ``corners`` give any footprint instead.  ``height`` to the
    eaves; a ``ridge`` above them makes a gable roof (or a hip roof, if so stated) whose ridge runs
    along the longer side unless ``ridge_runs`` gives a direction.
    """

    kind: Literal["building"]
    width: Length | None = None
    depth: Length | None = None
    corners: tuple[Spot, ...] | None = Field(None, min_length=3, max_length=40)
    roof: Roof | None = None
    ridge: Height | None = None
    ridge_runs: Bearing | None = None
    faces: Bearing | None = None

    @property
    def roof_shape(self) -> Roof:
        """The roof stated, or a gable where there is a ridge."""
        return self.roof or ("flat" if self.ridge is None else "gable")

    @model_validator(mode="after")
    def _one_footprint(self) -> Building:
        sides = {"width": self.width, "depth": self.depth}
        for name, value in sides.items():
            if self.corners is None and value is None:
                raise FieldError(name, "nothing", "a length; or corners of any footprint")
            if self.corners is not None and value is not None:
                raise FieldError(name, f"{value:g} m beside corners", "one or the other")
        if self.corners is not None and self.faces is not None:
            raise FieldError("faces", f"{self.faces:g}° beside corners", "one or the other")
        return self

    @model_validator(mode="after")
    def _ridge_and_roof_agree(self) -> Building:
        if self.roof in ("gable", "hip") and self.ridge is None:
            raise FieldError("ridge", "nothing", f"the height of the {self.roof} roof's ridge")
        if self.ridge is not None and self.roof == "flat":
            raise FieldError("ridge", f"{self.ridge:g} m on a flat roof", "roof = 'gable' or 'hip'")
        if self.ridge is not None and self.ridge < self.height:
            raise FieldError("ridge", f"{self.ridge:g} m",
                             "at least as high as height, which is to the eaves")  # fmt: skip
        if self.ridge_runs is not None and self.roof_shape != "gable":
            raise FieldError("ridge_runs", f"{self.ridge_runs:g}°", "a direction, of gable roofs")
        return self


class Barrier(_Neighbour):
    """A wall, fence or hedge: ``distance`` reaches its middle; it runs square to that unless
    ``runs`` gives a direction; or through ``corners``.  ``openness``: the share of light that comes
    through."""

    kind: Literal["wall", "fence", "hedge"]
    length: Length | None = None
    corners: tuple[Spot, ...] | None = Field(None, min_length=2, max_length=40)
    thickness: Length | None = None
    runs: Bearing | None = None
    openness: Share | None = None

    @model_validator(mode="after")
    def _one_line(self) -> Barrier:
        if self.corners is None and self.length is None:
            raise FieldError("length", "nothing", "a length; or corners that it runs through")
        for name in ("length", "runs"):
            value = getattr(self, name)
            if self.corners is not None and value is not None:
                raise FieldError(name, f"{value:g} beside corners", "one or the other")
        return self


class Tree(_Neighbour):
    """A tree or shrub: ``distance`` reaches the trunk.

    ``crown_base``: height of the lowest branches; ``trunk``: its diameter; ``openness``,
    ``openness_bare``: the share of light that comes through the crown in leaf and bare;
    ``leaf_out``, ``leaf_fall``: days between which it is in leaf.
    """

    kind: Literal["tree", "shrub"]
    spread: Length
    crown: Literal["rounded", "conical", "columnar"] = "rounded"
    crown_base: Annotated[float, quantity(LENGTH, 0.0, 80.0, "0 to 80 m")] | None = None
    trunk: Annotated[float, quantity(LENGTH, 0.0, 5.0, "0 to 5 m")] | None = None
    evergreen: bool = False
    openness: Share | None = None
    openness_bare: Share | None = None
    leaf_out: Day | None = None
    leaf_fall: Day | None = None

    @model_validator(mode="after")
    def _crown_below_top(self) -> Tree:
        if self.crown_base is not None and self.crown_base >= self.height:
            raise FieldError("crown_base", f"{self.crown_base:g} m", "lower than height")
        if self.trunk is not None and self.trunk > self.spread:
            raise FieldError("trunk", f"{self.trunk:g} m", "no thicker than the crown's spread")
        return self

    @model_validator(mode="after")
    def _leaf_dates_in_pairs(self) -> Tree:
        days = {"leaf_out": self.leaf_out, "leaf_fall": self.leaf_fall}
        for name, day in days.items():
            if self.evergreen and day is not None:
                raise FieldError(name, f"{day} of an evergreen", "none, or evergreen = false")
            if day is None and any(days.values()):
                raise FieldError(name, "nothing", "a day; leaf_out and leaf_fall go together")
        if self.leaf_out is not None and self.leaf_out == self.leaf_fall:
            raise FieldError("leaf_fall", f"{self.leaf_fall}", "another day than leaf_out")
        if self.evergreen and self.openness_bare is not None:
            raise FieldError("openness_bare", f"{self.openness_bare:.0%} of an evergreen",
                             "none, or evergreen = false")  # fmt: skip
        return self


Neighbour = Building | Barrier | Tree
NEIGHBOURS: dict[str, type[Neighbour]] = {
    "building": Building,
    "wall": Barrier,
    "fence": Barrier,
    "hedge": Barrier,
    "tree": Tree,
    "shrub": Tree,
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
            raise FieldError("end", f"{self.end}", "not before start")
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
