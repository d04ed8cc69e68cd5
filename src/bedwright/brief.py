"""The brief: what the gardener states, read from TOML and checked all at once.

A brief is a tree of frozen values in SI units.  Every table is checked, then what ties tables to
one another; every fault found is reported together, each with its field, the value given and what
is accepted.  Only the place and the bed's outline must be stated; all else has a default.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    TypeAdapter,
    ValidationError,
    model_validator,
)

from bedwright.units import (
    LENGTH,
    MASS,
    VOLUME,
    Dimension,
    System,
    UnitError,
    parse,
    parse_temperature,
)

# --- faults ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a brief: the field's path, the value given, what is accepted."""

    field: str
    given: str
    accepted: str

    def __str__(self) -> str:
        return f"{self.field}: given {self.given}; accepted: {self.accepted}"


class BriefError(ValueError):
    """A brief at fault; ``faults`` holds every one of them."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in faults))


# --- the sorts of value ------------------------------------------------------------------------


def _quantity(dimension: Dimension, low: float, high: float, say: str) -> Any:
    """Validator of a quantity between ``low`` and ``high`` (SI), whose error names the range."""

    def read(given: object) -> float:
        if isinstance(given, Si):
            return given
        value = parse(given, dimension)
        if not low <= value <= high:
            raise UnitError(given, f"{dimension.name} from {say}")
        return value

    return BeforeValidator(read)


class Si(float):
    """A number already in SI, for defaults and for briefs built in Python."""


Length = Annotated[float, _quantity(LENGTH, 0.001, 2000.0, "1 mm to 2 km")]
Offset = Annotated[float, _quantity(LENGTH, -500.0, 500.0, "-500 m to 500 m")]
Height = Annotated[float, _quantity(LENGTH, 0.05, 120.0, "5 cm to 120 m")]
Depth = Annotated[float, _quantity(LENGTH, 0.0, 1.0, "0 to 1 m (3 ft 3 in)")]
Volume = Annotated[float, _quantity(VOLUME, 1e-6, 1000.0, "a teaspoon to 1,000 m³")]
Mass = Annotated[float, _quantity(MASS, 1e-4, 50000.0, "0.1 g to 50 t")]
Altitude = Annotated[float, _quantity(LENGTH, -430.0, 5500.0, "-430 m to 5,500 m")]
Temperature = Annotated[float, BeforeValidator(parse_temperature)]

COMPASS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
           "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")  # fmt: skip
_COMPASS_WORDS = {
    "north": "N", "northeast": "NE", "east": "E", "southeast": "SE",
    "south": "S", "southwest": "SW", "west": "W", "northwest": "NW",
}  # fmt: skip
_BEARING = "a compass point such as 'N', 'ESE' or 'southwest', or degrees from 0 to 360"


def _number(low: float, high: float, whole: bool = False) -> Any:
    """Validator of a bare number in a range."""
    accepted = f"a {'whole ' if whole else ''}number from {low:,.10g} to {high:,.10g}"
    accepted = accepted.replace(",", "") if whole and low > 1000 else accepted

    def read(given: object) -> float | int:
        sort: Any = int if whole else (int, float)
        if isinstance(given, bool) or not isinstance(given, sort) or not low <= given <= high:
            raise UnitError(given, accepted)
        return given

    return BeforeValidator(read)


def parse_bearing(given: object) -> float:
    """Compass direction in degrees clockwise from north.  Raises UnitError."""
    if isinstance(given, int | float) and not isinstance(given, bool) and 0 <= given <= 360:
        return float(given) % 360.0
    if isinstance(given, str):
        word = given.strip().lower().replace(" ", "").replace("-", "")
        point = _COMPASS_WORDS.get(word, word.upper())
        if point in COMPASS:
            return COMPASS.index(point) * 22.5
    raise UnitError(given, _BEARING)


def parse_share(given: object) -> float:
    """``"10%"`` or 0.1 to 0.1.  Raises UnitError."""
    value: float | None = None
    if isinstance(given, str) and given.strip().endswith("%"):
        try:
            value = float(given.strip()[:-1]) / 100.0
        except ValueError:
            value = None
    elif isinstance(given, float | int) and not isinstance(given, bool):
        value = float(given)
    if value is None or not 0.0 <= value <= 1.0:
        raise UnitError(given, "a share from '0%' to '100%', or from 0 to 1")
    return value


def _parse_risk(given: object) -> float:
    share = parse_share(given)
    if not 0.01 <= share <= 0.5:
        raise UnitError(given, "a risk from '1%' to '50%'")
    return share


@dataclass(frozen=True, order=True, slots=True)
class MonthDay:
    """A day of any year."""

    month: int
    day: int

    def in_year(self, year: int) -> date:
        """That day in ``year``; 29 February becomes the 28th where there is none."""
        try:
            return date(year, self.month, self.day)
        except ValueError:
            return date(year, self.month, 28)


def parse_month_day(given: object) -> MonthDay:
    """``"04-20"`` (month-day) to a MonthDay.  Raises UnitError."""
    if isinstance(given, MonthDay):
        return given
    parts = given.split("-") if isinstance(given, str) else []
    try:
        month, day = (int(part) for part in parts[-2:])
        date(2024, month, day)
    except ValueError:
        raise UnitError(given, "a day as month-day, such as '04-20' for 20 April") from None
    return MonthDay(month, day)


def parse_date(given: object) -> date:
    """A TOML date or ``"2027-04-20"``.  Raises UnitError."""
    if isinstance(given, date):
        return given
    try:
        return date.fromisoformat(given if isinstance(given, str) else "")
    except ValueError:
        raise UnitError(given, "a date as year-month-day, such as 2027-04-20") from None


Year = Annotated[int, _number(1700, 2200, whole=True)]
Money = Annotated[float, _number(0.0, 1e6)]
Bearing = Annotated[float, BeforeValidator(parse_bearing)]
Share = Annotated[float, BeforeValidator(parse_share)]
Risk = Annotated[float, BeforeValidator(_parse_risk)]
Day = Annotated[MonthDay, BeforeValidator(parse_month_day)]
Date = Annotated[date, BeforeValidator(parse_date)]
Point = tuple[Offset, Offset]


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

    @model_validator(mode="after")
    def _in_order(self) -> KnownFrost:
        for name, dates, later in (
            ("last_spring", self.last_spring, "later"),
            ("first_autumn", self.first_autumn, "earlier"),
        ):
            days = [day for _, day in sorted(dates.items(), reverse=later == "later")]
            if days != sorted(set(days)):
                raise ValueError(f"{name}: days on which a smaller risk stands at the {later} day")
        return self


class Place(Table):
    """Where the bed lies; a town, or latitude and longitude, and what is known of the weather."""

    town: str | None = None
    latitude: Annotated[float, _number(-66.0, 70.0)] | None = None
    longitude: Annotated[float, _number(-180.0, 180.0)] | None = None
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

    year: Annotated[int, _number(1990, 2200, whole=True)] | None = None
    frost_risk: Risk = 0.10


# --- the bed -----------------------------------------------------------------------------------

Side = Bearing | Literal["all"]


class _Bed(Table):
    """What every outline has: the base line's direction and who looks from where.

    The base line starts at the origin and runs toward ``bearing``; x is measured along it and y
    square to it, to the left.  ``viewed_from``: compass directions in which onlookers stand.
    """

    bearing: Bearing = 90.0
    viewed_from: tuple[Side, ...] = ("all",)

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
_BEDS: dict[str, type[Bed]] = {
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
    distance: Annotated[float, _quantity(LENGTH, 0.0, 500.0, "0 to 500 m")]
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
    crown_base: Annotated[float, _quantity(LENGTH, 0.0, 80.0, "0 to 80 m")] | None = None
    evergreen: bool = False
    openness: Share | None = None

    @model_validator(mode="after")
    def _crown_below_top(self) -> Tree:
        if self.crown_base is not None and self.crown_base >= self.height:
            raise ValueError("crown_base: lower than height")
        return self


Neighbour = Building | Barrier | Tree
_NEIGHBOURS: dict[str, type[Neighbour]] = {
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

    ph: Annotated[float, _number(3.0, 10.0)] | None = None
    phosphorus: Level | None = None
    potassium: Level | None = None
    organic_matter: Share | None = None
    laboratory: str = ""


class GroundFound(Table):
    """The ground as found and what is wanted of it."""

    found: Literal["lawn", "old bed", "bare"] = "lawn"
    clear_by: Literal["lift", "smother"] = "lift"
    sod_to: Literal["compost", "lawn patch"] = "compost"
    sod_thickness: Depth = 0.04
    sod_piece: Length = 0.3048
    texture: Texture = "loam"
    dig_depth: Depth = 0.20
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
    count: Annotated[float, _number(0.0, 10000.0)] = 0.0
    price: Money | None = None
    analysis: str | None = None
    compressed: Annotated[float, _number(1.0, 4.0)] | None = None

    @property
    def label(self) -> str:
        """The gardener's own name for it, or the material's."""
        return self.name or self.material


# --- wishes ------------------------------------------------------------------------------------

Scheme = Literal["any", "hot", "cool", "pastel", "white", "one hue", "opposites"]
Use = Literal["vase", "drying", "scent", "table", "pollinators"]
Avoid = Literal["toxic to people", "toxic to dogs", "toxic to cats", "skin irritants",
                "invasive anywhere", "freely self-sowing"]  # fmt: skip


class Wishes(Table):
    """What the bed should be like."""

    scheme: Scheme = "any"
    colours: tuple[str, ...] = ()
    uses: tuple[Use, ...] = ()
    height: Length | None = None
    tending: Literal["little", "some", "much"] = "some"
    budget: Money | None = None
    kinds: Annotated[int, _number(1, 30, whole=True)] | None = None
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
    block: Length = 0.05
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


# --- reading -----------------------------------------------------------------------------------


Check = Callable[[dict[str, Any]], list[Fault]]
"""Looks over the parts of a brief that read well (by name of the table) and returns faults."""


def load_brief(path: Path, also: tuple[Check, ...] = ()) -> Brief:
    """Read a brief from a TOML file.  Raises BriefError with every fault, OSError if unreadable.

    ``also``: further checks, against what the caller knows (its catalogue, its materials).
    """
    try:
        given = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BriefError([Fault(path.name, str(error), "a TOML file in UTF-8")]) from None
    return read_brief(given, also)


def read_brief(given: dict[str, Any], also: tuple[Check, ...] = ()) -> Brief:
    """Check a brief given as plain values.  Raises BriefError with every fault."""
    faults: list[Fault] = []
    values: dict[str, Any] = {}
    known = Brief.model_fields
    for key in given:
        if key not in known:
            faults.append(_unknown(key, key, tuple(known)))
    for key, field in known.items():
        if key not in given:
            if field.is_required():
                faults.append(Fault(key, "nothing", _REQUIRED[key]))
            continue
        value = _read_part(key, given[key], field, faults)
        if value is not None:
            values[key] = value
    for check in (_across, *also):
        faults += check(values)
    if faults:
        raise BriefError(faults)
    return Brief.model_construct(**values)


_REQUIRED = {
    "place": "a table [place] with town, or latitude and longitude",
    "bed": "a table [bed] with shape = " + ", ".join(f"'{name}'" for name in _BEDS),
}


def _read_part(key: str, given: Any, field: Any, faults: list[Fault]) -> Any:
    """One top-level entry, checked on its own so that faults elsewhere do not hide its own."""
    if key == "bed":
        return _read_tagged(key, given, "shape", _BEDS, faults)
    if key == "surroundings":
        if not isinstance(given, list):
            faults.append(Fault(key, _show(given), "tables headed [[surroundings]]"))
            return None
        read = [
            _read_tagged(f"{key}[{n + 1}]", item, "kind", _NEIGHBOURS, faults)
            for n, item in enumerate(given)
        ]
        return tuple(item for item in read if item is not None)
    annotation = Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
    return _read_typed(key, given, annotation, faults)


def _read_tagged(
    path: str, given: Any, tag: str, models: dict[str, Any], faults: list[Fault]
) -> Any:
    """A table whose ``tag`` says which model it is."""
    names = ", ".join(f"'{name}'" for name in models)
    if not isinstance(given, dict):
        faults.append(Fault(path, _show(given), f"a table with {tag} = {names}"))
        return None
    if given.get(tag) not in models:
        said = _show(given[tag]) if tag in given else "nothing"
        faults.append(Fault(f"{path}.{tag}", said, f"one of {names}{_near(given.get(tag), models)}"))
        return None
    return _read_typed(path, given, models[given[tag]], faults)


def _read_typed(path: str, given: Any, annotation: Any, faults: list[Fault]) -> Any:
    try:
        return TypeAdapter(annotation).validate_python(given)
    except ValidationError as error:
        for detail in error.errors():
            fault = _fault(path, detail, annotation)
            if fault not in faults:
                faults.append(fault)
        return None


def _fault(path: str, detail: Any, annotation: Any) -> Fault:
    """Pydantic's error in our words: field, given, accepted."""
    where = path
    for step in detail["loc"]:
        if isinstance(step, int):
            where += f"[{step + 1}]"
        elif isinstance(step, str) and step.isidentifier() and step not in _UNION_NOISE:
            where += f".{step}"
        elif isinstance(step, str) and step.endswith("%"):
            where += f".{step}"
    kind, context = detail["type"], detail.get("ctx", {})
    given = detail["input"]
    if kind == "extra_forbidden":
        return _unknown(where, detail["loc"][-1], _fields_at(annotation, detail["loc"][:-1]))
    if kind == "missing":
        return Fault(where, "nothing", "a value; this field must be stated")
    error = context.get("error")
    if isinstance(error, UnitError):
        return Fault(where, _show(error.given), error.accepted)
    if kind == "value_error":
        return Fault(where, _show(given, 60), str(error))
    if kind == "literal_error":
        names = context["expected"].replace(" or ", ", ")
        options = [name.strip().strip("'") for name in names.split(",")]
        return Fault(where, _show(given), f"one of {names}{_near(given, options)}")
    return Fault(where, _show(given), _PLAIN.get(kind, lambda c: detail["msg"])(context))


_UNION_NOISE = {"function-before", "tuple", "literal", "all"}
_PLAIN: dict[str, Any] = {
    "string_type": lambda c: "text in quotes",
    "bool_type": lambda c: "true or false",
    "bool_parsing": lambda c: "true or false",
    "model_type": lambda c: "a table",
    "dict_type": lambda c: "a table of odds and days, such as { \"50%\" = \"04-20\" }",
    "tuple_type": lambda c: "a list in square brackets",
    "too_short": lambda c: f"at least {c['min_length']} entries",
    "string_too_long": lambda c: f"at most {c['max_length']} letters",
}


def _fields_at(annotation: Any, loc: tuple[Any, ...]) -> tuple[str, ...]:
    """Names of the fields of the model that ``loc`` leads to."""
    for step in loc:
        fields = getattr(annotation, "model_fields", {})
        if step in fields:
            annotation = fields[step].annotation
        options = [a for a in get_args(annotation) if hasattr(a, "model_fields")]
        annotation = options[0] if options else annotation
    options = [a for a in get_args(annotation) if hasattr(a, "model_fields")]
    annotation = options[0] if options else annotation
    return tuple(getattr(annotation, "model_fields", {}))


def _unknown(path: str, name: object, known: tuple[str, ...]) -> Fault:
    near = _near(name, known)
    return Fault(path, "a field that a brief does not have", f"{', '.join(known)}{near}")


def _near(given: object, options: Any) -> str:
    hits = difflib.get_close_matches(str(given), [str(o) for o in options], n=1)
    return f" (did you mean '{hits[0]}'?)" if hits else ""


def _show(given: object, width: int = 80) -> str:
    text = f"'{given}'" if isinstance(given, str) else str(given)
    if isinstance(given, BaseModel | dict):
        text = "what the table holds"
    return text if len(text) <= width else text[: width - 1] + "…"


def _across(values: dict[str, Any]) -> list[Fault]:
    """Faults between tables, looked for wherever the tables in question are sound."""
    from bedwright.geometry import GeometryError, outline_of

    faults: list[Fault] = []
    bed = values.get("bed")
    if bed is None:
        return faults
    try:
        outline = outline_of(bed)
    except GeometryError as error:
        return [Fault(f"bed.{error.field}", error.given, error.accepted)]
    for n, plant in enumerate(values.get("existing", ())):
        x, y = plant.at
        if not outline.holds(x, y, slack_m=plant.spread / 2):
            faults.append(
                Fault(f"existing[{n + 1}].at", f"{plant.name} at {x:g} m, {y:g} m",
                      "a place in the bed, or within its spread of the edge")
            )  # fmt: skip
    for n, thing in enumerate(values.get("surroundings", ())):
        if outline.is_struck_by(thing):
            faults.append(
                Fault(f"surroundings[{n + 1}].distance", f"{thing.distance:g} m",
                      f"a distance that keeps {thing.name or thing.kind} out of the bed,"
                      " measured from the bed's middle")
            )  # fmt: skip
    return faults


def with_year(brief: Brief, today: date, latitude: float) -> Brief:
    """The brief with its growing year settled: the one stated, else the next that can be begun.

    A growing year begins on 1 January north of the equator and on 1 July south of it.  From June
    on (December in the south) the present one is too far gone, and the next is meant.
    """
    if brief.season.year is not None:
        return brief
    if latitude >= 0:
        year = today.year + (today.month >= 6)
    else:
        year = today.year - (today.month < 6) + (today.month >= 12 or today.month < 6)
    return brief.model_copy(update={"season": brief.season.model_copy(update={"year": year})})
