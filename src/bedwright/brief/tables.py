"""The tables of a brief, frozen; an unknown field is a fault."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import Annotated, Any, ClassVar, Literal, Self, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from bedwright.brief.frost_words import (
    SAID,
    FreezeDays,
    freeze_days,
    parse_month,
    parse_nights,
    said_frost,
)
from bedwright.brief.synonyms import choice
from bedwright.brief.values import (
    FIRST_YEAR,
    LAST_YEAR,
    UNREADABLE,
    Altitude,
    Bearing,
    Clash,
    ClashError,
    Date,
    Day,
    Depth,
    FileName,
    Height,
    Key,
    Length,
    LooseWeight,
    Money,
    Name,
    Offset,
    Point,
    Reading,
    Risk,
    Share,
    Side,
    Skyline,
    Slope,
    Spot,
    TapePair,
    Title,
    TownName,
    Words,
    Year,
    at_most,
    number,
    parse_share,
    quantity,
    words,
)
from bedwright.units import LENGTH, VOLUME, System


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


# --- place and season --------------------------------------------------------------------------


class Record(Table):
    """A daily weather record: a CSV with date, tmin, and optional tmax and rain.

    ``altitude``: of where it is kept, if that is not the garden's.
    """

    file: FileName
    unit: Literal["C", "F"] | None = None
    altitude: Altitude | None = None
    from_year: Year | None = None
    to_year: Year | None = None

    def clashes(self) -> Iterator[Clash]:
        """A last year before the first."""
        first, last = self.from_year, self.to_year
        if first is not None and last is not None and last < first:
            yield Clash("to_year", f"{first} or later, which is from_year")


MOST_BEARINGS, MOST_FROST_MONTHS = 72, 10
"""Bearings of a skyline, and months with frost, at most."""


class KnownFrost(Table):
    """What is known of frost: dates that a local office gives, or what gardeners there say.

    ``last_spring``: odds that a freeze (0 °C, 32 °F, or colder) comes later than the day.
    ``first_autumn``: odds that one comes earlier than the day.  ``never``: it does not freeze;
    ``months``: the months that freezes keep to; ``light``: none is a hard one; ``share``: of years
    with a freeze.
    """

    last_spring: Annotated[FreezeDays, freeze_days(spring=True)] | None = None
    first_autumn: Annotated[FreezeDays, freeze_days(spring=False)] | None = None
    never: bool = False
    months: Annotated[
        tuple[Annotated[int, BeforeValidator(parse_month)], ...], at_most(MOST_FROST_MONTHS)
    ] = ()
    light: bool = False
    share: Annotated[float, BeforeValidator(parse_share)] | None = None
    source: Words = ""

    def clashes(self) -> Iterator[Clash]:
        """Nothing said, or things that cannot both hold."""
        dates = [n for n in ("last_spring", "first_autumn") if getattr(self, n) is not None]
        said = [n for n in ("never", "months", "light", "share") if getattr(self, n)]
        if not dates and not said:
            yield Clash("", SAID)
        if self.never and (dates or len(said) > 1):
            beside = "beside " + " and ".join(n for n in dates + said if n != "never")
            yield Clash("never", "false, or nothing else", beside)
        for name in ("months", "share"):
            if getattr(self, name) and dates:
                yield Clash(name, "one or the other", "beside " + " and ".join(dates))
        months: Any = self.months
        if months is not UNREADABLE and any(b != a % 12 + 1 for a, b in pairwise(months)):
            yield Clash("months", "months that follow each other, such as ['June', 'July']")


Situation = Literal["hollow", "slope", "town", "wall", "sea front"]
MOST_SITUATIONS = 5


def _several(given: object) -> object:
    """One side as a list of one."""
    return given if isinstance(given, list | tuple) else [given]


class Place(Table):
    """Where the bed lies; a town, or latitude and longitude, and what is known of the weather.

    ``situation``: what makes the garden's cold nights unlike those of the open country about it, or
    of where its record is kept; ``nights``: by how much, °C, where the gardener knows.
    ``horizon``: height of the far skyline at some bearings, degrees above level; straight between
    them, all round the compass.
    """

    town: TownName | None = None
    latitude: Annotated[float, number(-66.0, 72.0)] | None = None
    longitude: Annotated[float, number(-180.0, 180.0)] | None = None
    altitude: Altitude | None = None
    record: Record | None = None
    frost: Annotated[KnownFrost | None, said_frost()] = None
    situation: Annotated[
        tuple[Annotated[Situation, choice("situation", Situation)], ...],
        at_most(MOST_SITUATIONS),
        BeforeValidator(_several),
    ] = ()
    nights: Annotated[float, BeforeValidator(parse_nights)] | None = None
    horizon: Annotated[tuple[tuple[Bearing, Skyline], ...], at_most(MOST_BEARINGS)] = ()

    def clashes(self) -> Iterator[Clash]:
        """No spot on earth, or half of one; a bearing of the skyline given twice."""
        if (self.latitude is None) != (self.longitude is None):
            yield Clash("", "latitude and longitude go together")
        elif self.town is None and self.latitude is None:
            yield Clash(
                "",
                "town = 'Name, Country', or latitude and longitude in degrees"
                " (a record or frost dates refine it, but the sun needs a spot on earth)",
            )
        if self.nights is not None and self.situation:
            yield Clash("nights", "one or the other", "beside situation")
        places: Any = self.situation
        if places is not UNREADABLE and len({"hollow", "slope"} & set(places)) > 1:
            yield Clash("situation", "'hollow' or 'slope', not both")
        skyline: Any = self.horizon
        bearings = [] if skyline is UNREADABLE else [bearing for bearing, _ in skyline]
        for n, bearing in enumerate(bearings):
            if bearing in bearings[:n]:
                yield Clash(f"horizon[{n + 1}]", "each bearing once", f"{bearing:g}° once more")


class SeasonWish(Table):
    """Which growing year, and how much frost risk is accepted.

    South of the equator the growing year ``2027`` runs from July 2027 to June 2028.
    """

    year: Annotated[int, number(FIRST_YEAR, LAST_YEAR, whole=True)] | None = None
    frost_risk: Risk = 0.10


# --- the bed -----------------------------------------------------------------------------------

MOST_SIDES, MOST_CORNERS, MOST_OFFSETS = 16, 100, 200
"""Sides a bed is viewed from, corners and offsets of its outline, at most: a bed of a hundred
corners, every other one a deep notch, takes half a minute to plant, one of two hundred minutes."""


class _Bed(Table):
    """What every outline has: the base line's direction and who looks from where.

    The base line starts at the origin and runs toward ``bearing``; x is measured along it and y
    square to it, to the left.  ``viewed_from``: compass directions in which onlookers stand.
    ``slope``: of the ground, rise over run, falling toward ``aspect``.
    """

    bearing: Bearing = 90.0
    slope: Slope = 0.0
    aspect: Bearing | None = None
    viewed_from: Annotated[
        tuple[Side, ...],
        at_most(MOST_SIDES),
        BeforeValidator(_several),
        Field(min_length=1),
    ] = ("all",)

    def clashes(self) -> Iterator[Clash]:
        """A slope without its aspect."""
        if self.slope and self.aspect is None:
            yield Clash("aspect", "the direction in which the sloping bed falls")


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


Spots = Annotated[tuple[Point, ...], Field(min_length=3), at_most(MOST_CORNERS)]


class _SpotsBed(_Bed):
    """A bed by spots on its edge, in order once round: each [x, y] from the base line, or by two
    tapes.

    ``tapes``: of each spot, how far it is from the stakes A and B, on the left of the line from A
    to B unless it says "right".  A stands at the start of the base line and B on it, ``base`` from
    A, unless ``fixed`` says where the two stand.
    """

    spots_in: ClassVar[str]

    tapes: Annotated[tuple[TapePair, ...], Field(min_length=3), at_most(MOST_CORNERS)] | None = None
    base: Length | None = None
    fixed: tuple[Point, Point] | None = None

    def clashes(self) -> Iterator[Clash]:
        """Spots given twice or not at all; stakes to measure from without need, or none."""
        yield from super().clashes()
        name = self.spots_in
        spots = getattr(self, name)
        if spots is None and self.tapes is None:
            yield Clash(name, f"{name}, each ['x', 'y'] from the base line; or tapes")
        if spots is not None and self.tapes is not None:
            yield Clash("tapes", "one or the other", f"beside {name}")
        stakes = [n for n in ("base", "fixed") if getattr(self, n) is not None]
        if self.tapes is None:
            yield from (Clash(n, "left out, or tapes beside it") for n in stakes)
        elif not stakes:
            yield Clash(
                "base",
                "how far from A, at the start of the base line, B stands on it; or fixed, the"
                " places of both",
            )
        elif len(stakes) == 2:
            yield Clash("base", "one or the other", "beside fixed")


class PolygonBed(_SpotsBed):
    """A bed by its corners."""

    spots_in = "corners"

    shape: Literal["polygon"]
    corners: Spots | None = None


class CurveBed(_SpotsBed):
    """A bed with a free outline: a smooth line through pegs.

    ``sharp``: pegs, counted from 1, at which the line turns sharply; between two of them that
    follow each other it is straight.
    """

    spots_in = "pegs"

    shape: Literal["curve"]
    pegs: Spots | None = None
    sharp: Annotated[
        tuple[Annotated[int, number(1, MOST_CORNERS, True)], ...], at_most(MOST_CORNERS)
    ] = ()

    def clashes(self) -> Iterator[Clash]:
        """A peg that there is not, or one named twice."""
        yield from super().clashes()
        spots: Any = self.tapes if self.pegs is None else self.pegs
        sharp: Any = self.sharp
        if sharp is UNREADABLE:
            return
        for n, peg in enumerate(sharp):
            if spots is not None and spots is not UNREADABLE and peg > len(spots):
                yield Clash(f"sharp[{n + 1}]", f"the number of a peg, 1 to {len(spots)}", str(peg))
            elif peg in sharp[:n]:
                yield Clash(f"sharp[{n + 1}]", "each peg once", f"peg {peg} once more")


EdgeOffset = Annotated[tuple[Offset, ...], Field(min_length=2, max_length=3)]


class OffsetsBed(_Bed):
    """A bed with a curved edge: at each x along the base line, the edge's offset.

    ``offsets``: [x, y] to the curved edge, or [x, near y, far y] where both edges curve.
    The curve through the offsets is smooth (a monotone cubic).
    """

    shape: Literal["offsets"]
    offsets: Annotated[tuple[EdgeOffset, ...], Field(min_length=3), at_most(MOST_OFFSETS)]


Bed = RectangleBed | CircleBed | EllipseBed | PolygonBed | OffsetsBed | CurveBed
BEDS: dict[str, type[Bed]] = {
    "rectangle": RectangleBed,
    "circle": CircleBed,
    "ellipse": EllipseBed,
    "polygon": PolygonBed,
    "offsets": OffsetsBed,
    "curve": CurveBed,
}

# --- what stands around ------------------------------------------------------------------------


MOST_SPOTS = 40
"""Corners of one thing around the bed, at most."""


class _Neighbour(Table):
    """Something that shades the bed, placed as one would pace it, or by coordinates.

    From the middle of the bed walk ``distance`` toward ``bearing``; or ``at`` says the same spot in
    the bed's own frame; ``corners`` (of buildings and barriers) stand instead of either.  It stands
    on the ground, sloping as the bed does, unless ``base_height`` says how far above the bed's
    middle.
    """

    stand_ins = {"height": "3 m"}

    name: Annotated[str, words(40)] = ""
    bearing: Bearing | None = None
    distance: Annotated[float, quantity(LENGTH, 0.0, 500.0, "0 to 500 m")] | None = None
    at: Point | None = None
    height: Height
    base_height: Offset | None = None

    def clashes(self) -> Iterator[Clash]:
        """No place, or more than one."""
        paced = {"bearing": self.bearing, "distance": self.distance}
        ways = {"at": self.at, "corners": getattr(self, "corners", None), **paced}
        given = [name for name, value in ways.items() if value is not None]
        where = "bearing and distance from the bed's middle, or at = ['x', 'y'] from the base line"
        if "corners" in type(self).model_fields:
            where += ", or corners"
        if len(given) > 1 and given[:2] != ["bearing", "distance"]:
            yield Clash(given[0], f"one of: {where}", "beside " + " and ".join(given[1:]))
        if not {"at", "corners"} & set(given):
            missing = [name for name, value in paced.items() if value is None]
            yield from (Clash(name, where) for name in missing[:1])


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
    corners: Annotated[tuple[Spot, ...], Field(min_length=3), at_most(MOST_SPOTS)] | None = None
    roof: Annotated[Roof | None, choice("roof", Roof)] = None
    ridge: Height | None = None
    ridge_runs: Bearing | None = None
    faces: Bearing | None = None

    @property
    def roof_shape(self) -> Roof:
        """The roof stated, or a gable where there is a ridge."""
        return self.roof or ("flat" if self.ridge is None else "gable")

    def clashes(self) -> Iterator[Clash]:
        """A footprint given twice or not at all; a roof and a ridge at odds."""
        yield from super().clashes()
        for name, value in {"width": self.width, "depth": self.depth}.items():
            if self.corners is None and value is None:
                yield Clash(name, "a length; or corners of any footprint")
            if self.corners is not None and value is not None:
                yield Clash(name, "one or the other", "beside corners")
        if self.corners is not None and self.faces is not None:
            yield Clash("faces", "one or the other", "beside corners")
        if self.roof in ("gable", "hip") and self.ridge is None:
            yield Clash("ridge", f"the height of the {self.roof} roof's ridge")
        if self.ridge is not None and self.roof == "flat":
            yield Clash("ridge", "roof = 'gable' or 'hip'", "on a flat roof")
        if self.ridge is not None and self.ridge < self.height:
            yield Clash("ridge", "at least as high as height, which is to the eaves")
        if self.ridge_runs is not None and self.roof_shape in ("flat", "hip"):
            yield Clash("ridge_runs", "a direction, of gable roofs", f"on a {self.roof_shape} roof")


class Barrier(_Neighbour):
    """A wall, fence or hedge: ``distance`` reaches its middle; it runs square to that unless
    ``runs`` gives a direction; or through ``corners``.  ``openness``: the share of light that comes
    through."""

    kind: Literal["wall", "fence", "hedge"]
    length: Length | None = None
    corners: Annotated[tuple[Spot, ...], Field(min_length=2), at_most(MOST_SPOTS)] | None = None
    thickness: Length | None = None
    runs: Bearing | None = None
    openness: Share | None = None

    def clashes(self) -> Iterator[Clash]:
        """A line given twice or not at all."""
        yield from super().clashes()
        if self.corners is None and self.length is None:
            yield Clash("length", "a length; or corners that it runs through")
        for name in ("length", "runs"):
            if self.corners is not None and getattr(self, name) is not None:
                yield Clash(name, "one or the other", "beside corners")


Crown = Literal["rounded", "conical", "columnar"]


class Tree(_Neighbour):
    """A tree or shrub: ``distance`` reaches the trunk.

    ``crown_base``: height of the lowest branches; ``trunk``: its diameter; ``openness``,
    ``openness_bare``: the share of light that comes through the crown in leaf and bare;
    ``leaf_out``, ``leaf_fall``: days between which it is in leaf.
    """

    stand_ins = {"height": "3 m", "spread": "1 m"}

    kind: Literal["tree", "shrub"]
    spread: Length
    crown: Annotated[Crown, choice("crown", Crown)] = "rounded"
    crown_base: Annotated[float, quantity(LENGTH, 0.0, 80.0, "0 to 80 m")] | None = None
    trunk: Annotated[float, quantity(LENGTH, 0.0, 5.0, "0 to 5 m")] | None = None
    evergreen: bool = False
    openness: Share | None = None
    openness_bare: Share | None = None
    leaf_out: Day | None = None
    leaf_fall: Day | None = None

    def clashes(self) -> Iterator[Clash]:
        """Measures or leaf dates at odds."""
        yield from super().clashes()
        if self.crown_base is not None and self.crown_base >= self.height:
            yield Clash("crown_base", "lower than height")
        if self.trunk is not None and self.trunk > self.spread:
            yield Clash("trunk", "no thicker than the crown's spread")
        days = {"leaf_out": self.leaf_out, "leaf_fall": self.leaf_fall}
        if self.evergreen is True:
            bare = {**days, "openness_bare": self.openness_bare}
            stated = [name for name, value in bare.items() if value is not None]
            yield from (Clash(n, "none, or evergreen = false", "of an evergreen") for n in stated)
        elif any(days.values()):
            missing = [name for name, day in days.items() if day is None]
            yield from (Clash(n, "a day; leaf_out and leaf_fall go together") for n in missing)
            if len({str(day).replace("02-29", "02-28") for day in days.values()}) == 1:
                yield Clash("leaf_fall", "another day than leaf_out")


Neighbour = Building | Barrier | Tree
NEIGHBOURS: dict[str, type[Neighbour]] = {
    "building": Building,
    "wall": Barrier,
    "fence": Barrier,
    "hedge": Barrier,
    "tree": Tree,
    "shrub": Tree,
}

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

    stand_ins = {"pack": "1 L"}

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

    stand_ins = {"name": "a plant", "spread": "2,000 m"}

    name: Name
    at: Point
    spread: Length
    spread_now: Length | None = None

    def clashes(self) -> Iterator[Clash]:
        """A plant wider in spring than grown."""
        sizes = (self.spread, self.spread_now)
        if UNREADABLE not in sizes and (self.spread_now or 0.0) > self.spread:
            yield Clash("spread_now", "no more than its grown spread")


class Change(Table):
    """A change to the planting first drawn, for the drift at a spot: a kind to grow there, its
    size beside what it was, or another drift to change places with."""

    stand_ins = {"at": ["0 m", "0 m"]}

    at: Point
    grow: Key | None = None
    colour: Key | None = None
    size: Annotated[float, number(0.4, 2.5)] | None = None
    swap: Point | None = None

    def clashes(self) -> Iterator[Clash]:
        """Nothing to change, a colour of nothing, or a drift both planted and swapped."""
        if self.grow is None and self.size is None and self.swap is None:
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

    @property
    def paper_size(self) -> Paper:
        """The paper asked for, or the one usual with the units."""
        return self.paper or ("letter" if self.units == "us" else "a4")
