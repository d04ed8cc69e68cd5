"""What of a brief can be changed on the sheets, where, and how what is typed becomes a value."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Literal, get_args

from bedwright.brief import place, tables
from bedwright.store import Values

Sort = Literal["text", "number", "list", "choice", "choices", "yes_no"]


@dataclass(frozen=True)
class Field:
    """A field of the brief on a sheet: its path in the brief, what it is called there, what is
    taken where nothing is given, and what may be given."""

    path: str
    label: str
    assumed: str
    sort: Sort = "text"
    options: tuple[str, ...] = ()
    help: str = ""


PLACE = (
    Field("place.town", "Town", "", help="Name, Country; in the US Name, State"),
    Field("place.altitude", "Height above the sea", "the town's", help="240 m, or 800 ft"),
    Field("place.frost", "Frost", "calculated from the climate", help="none, light frost in April"
          " and May, frost from November to March, frost one year in five"),
    Field("place.situation", "The garden lies", "in the open", "choices",
          get_args(place.Situation),
          help="what keeps its nights colder or milder than open country"),
    Field("season.year", "Growing year", "the next that can be begun", "number"),
    Field("season.frost_risk", "Risk of frost accepted", "10%", help="1% to 50%"),
)  # fmt: skip

BED = {
    "rectangle": (
        Field("bed.length", "Length", "", help="4.5 m, or 12 ft 6 in"),
        Field("bed.width", "Width", ""),
    ),
    "ellipse": (
        Field("bed.length", "Length", "", help="4.5 m, or 12 ft 6 in"),
        Field("bed.width", "Width", ""),
    ),
    "circle": (Field("bed.diameter", "Diameter", ""),),
    "polygon": (),
    "curve": (),
    "offsets": (),
}
PEGS = {"curve": "pegs", "polygon": "corners"}
"""The field in which a shape has its pegs."""

TOWARD = "a compass point, or degrees from north"
ALL_BEDS = (
    Field("bed.bearing", "The base line runs toward", "E", help=TOWARD),
    Field("bed.viewed_from", "Looked at from", "all sides", "choices",
          ("all", "N", "NE", "E", "SE", "S", "SW", "W", "NW")),
    Field("bed.slope", "Slope", "level", help="8%, 5° or 1 in 12"),
    Field("bed.aspect", "Slopes down toward", "nowhere", help=TOWARD),
)  # fmt: skip
STAKES = (
    Field("bed.base", "Stake B, on the base line from A", "given otherwise", help="4 m, or 12 ft"),
)
"""Of a bed whose spots are measured by two tapes."""

GROUND = (
    Field("ground.found", "The ground now", "lawn", "choice", get_args(tables.Found)),
    Field("ground.clear_by", "The lawn is cleared by", "the way that suits best", "choice",
          get_args(tables.ClearBy)),
    Field("ground.texture", "Soil", "loam", "choice", get_args(tables.Texture)),
    Field("ground.dig_depth", "Dug to", "20 cm", help="25 cm, or 10 in"),
    Field("ground.raise_by", "Raised by", "nothing", help="10 cm, or 4 in"),
    Field("ground.test.ph", "pH of the soil test", "none made", "number"),
    Field("ground.test.phosphorus", "Phosphorus", "none made", help="low, medium, high, or 34 ppm"),
    Field("ground.test.potassium", "Potassium", "none made", help="low, medium, high, or 34 ppm"),
    Field("ground.test.method", "The laboratory's extraction", "not stated", "choice",
          get_args(tables.Extraction)),
    Field("ground.test.organic_matter", "Organic matter", "none made", help="3%"),
)  # fmt: skip

WISHES = (
    Field("wishes.colour_scheme", "Colours", "any", "choice", get_args(tables.ColourScheme)),
    Field("wishes.colours", "Colours named", "none named", "list", help="blue, white"),
    Field("wishes.uses", "Grown for", "to look at", "choices", get_args(tables.Use)),
    Field("wishes.height", "No taller than", "what the bed can bear", help="60 cm, or 2 ft"),
    Field("wishes.maintenance", "Work it may take", "not asked", "choice",
          get_args(tables.Maintenance)),
    Field("wishes.kinds", "How many kinds", "as the bed has room", "number"),
    Field("wishes.grow", "Kinds to grow", "none named", "list", help="tall zinnia, larkspur"),
    Field("wishes.leave_out", "Kinds not to grow", "none named", "list"),
    Field("wishes.last_year", "Kinds here last year", "none named", "list"),
    Field("wishes.avoid", "Plants to avoid", "nothing", "choices", get_args(tables.Avoid)),
    Field("wishes.edging", "An edging", "yes", "yes_no"),
    Field("wishes.budget", "Budget", "not counted", "number"),
)  # fmt: skip

RAISING = (
    Field("indoors.possible", "Plants can be raised indoors", "yes", "yes_no"),
    Field("indoors.room", "Seedlings stand in", "window sill", "choice", get_args(tables.Room)),
    Field("indoors.container", "Seedlings grow in", "soil block", "choice",
          get_args(tables.Container)),
    Field("indoors.warmth", "A warm place for seed", "yes", "yes_no"),
)  # fmt: skip

WORK = (
    Field("dates.begin", "Work can begin on", "the next day", help="2027-03-20"),
    Field("dates.show", "To be at its best on", "no one day", help="2027-07-24"),
)

PRICES = (
    Field("currency", "Money in", "no sign", help="€, $ or £"),
    Field("prices.seed_packet", "A packet of seed", "not known", "number"),
    Field("prices.plant", "A young plant", "not known", "number"),
    Field("prices.cutter_hire", "The hire of a sod cutter", "not known", "number"),
)

TITLE = (
    Field("title", "Name of the bed", "A bed of annuals"),
    Field("units", "Units", "metric", "choice", ("metric", "us")),
)

EVERY = (*TITLE, *PLACE, *(f for fields in BED.values() for f in fields), *ALL_BEDS, *STAKES,
         *GROUND, *WISHES, *RAISING, *WORK, *PRICES)  # fmt: skip
BY_PATH = {field.path: field for field in EVERY}


@dataclass(frozen=True)
class Rows:
    """A list of a brief's tables on a sheet: its path, heading, what one of them is called, what is
    asked of each (the first ``must`` of it of a new one), and what stands where there is none."""

    path: str
    heading: str
    one: str
    columns: tuple[Field, ...]
    must: int
    none: str


MATERIALS = Rows("materials", "At hand, and what can be bought", "material", (
    Field("material", "Material", "", help="compost, topsoil, ground limestone, 10-10-10"),
    Field("pack", "In packs of", "", help="40 L, 2 cu ft, 25 kg"),
    Field("count", "At hand", "none", "number"),
    Field("price", "Price of one more", "not sold", "number"),
), 2, "Nothing yet: what is needed is told by volume and weight, not what it costs.")  # fmt: skip
EXISTING = Rows("existing", "What grows here and stays", "plant", (
    Field("name", "Plant", "", help="rose"),
    Field("at", "Along the base line, and left of it", "", "list", help="1 m, 0.8 m"),
    Field("spread", "Grown spread", "", help="60 cm"),
    Field("spread_now", "Spread in spring", "as grown", help="20 cm"),
), 3, "Nothing: the whole bed is planted.")  # fmt: skip
AWAY = Rows("dates.away", "Days away", "time away", (
    Field("start", "From", "", help="2027-06-03"),
    Field("end", "To", "", help="2027-06-14"),
), 2, "None: the calendar uses every day.")  # fmt: skip
EVERY_ROWS = {rows.path: rows for rows in (MATERIALS, EXISTING, AWAY)}

_NAME = Field("name", "Called", "no name", help="the garage")
_PACED = (
    Field("bearing", "From the bed's middle toward", "", help=TOWARD),
    Field("distance", "as far as", "", help="6 m, or 20 ft"),
)
_HEIGHT = Field("height", "Height", "", help="2 m, or 6 ft")
_LINE = (
    _NAME,
    *_PACED,
    Field("length", "Length", "", help="8 m, or 26 ft"),
    _HEIGHT,
    Field("runs", "Runs toward", "square to the way there", help=TOWARD),
    Field("openness", "Light that comes through", "as is usual", help="30%"),
)
_CROWN = (
    _NAME,
    *_PACED,
    Field("spread", "Spread of its crown", "", help="5 m, or 16 ft"),
    _HEIGHT,
    Field("crown_base", "Lowest branches at", "as is usual", help="2 m, or 6 ft"),
    Field("evergreen", "Evergreen", "no", "yes_no"),
)
NEIGHBOURS: dict[str, tuple[Field, ...]] = {
    "building": (
        _NAME,
        *_PACED,
        Field("width", "Width of the side near the bed", "", help="10 m, or 32 ft"),
        Field("depth", "Depth behind that side", "", help="7 m, or 23 ft"),
        Field("height", "Height of the eaves", "", help="3 m, or 10 ft"),
        Field("ridge", "Height of the ridge", "a flat roof", help="6 m, or 20 ft"),
        Field("faces", "The near side looks toward", "the bed", help=TOWARD),
    ),
    "wall": _LINE,
    "fence": _LINE,
    "hedge": _LINE,
    "tree": _CROWN,
    "shrub": _CROWN,
}
"""What is asked of each sort of thing that stands around the bed."""

AT = Field("at", "Along the base line, and left of it", "", "list", help="4 m, 2 m")
"""Where something stands that is set by measures along the base line."""


@dataclass(frozen=True)
class Measures:
    """A list of measures on the site sheet, beside the drawing: its path in the brief, caption,
    what one row and its columns are called, and the least rows it may have."""

    path: str
    caption: str
    one: str
    columns: tuple[str, ...]
    least: int

    @property
    def fixed(self) -> bool:
        """Whether there are so many rows, no more and no fewer."""
        return self.path == "bed.fixed"


def corners_of(number: int, thing: Values) -> Measures:
    """The corners of one of what stands around, counted from 0."""
    least = 3 if thing["kind"] == "building" else 2
    caption = ("Corners: along the base line, and to its left; or toward which point, and how far,"
               " from the bed's middle")  # fmt: skip
    return Measures(f"surroundings.{number}.corners", caption, "corner", ("along", "left"), least)


MEASURES = {
    one.path: one
    for one in (
        Measures("bed.pegs", "Pegs, from the start of the base line: along it, and to its left",
                 "peg", ("along", "left"), 3),
        Measures("bed.corners", "Pegs, from the start of the base line: along it, and to its left",
                 "peg", ("along", "left"), 3),
        Measures("bed.tapes", "Spots by two tapes, from stakes A and B; seen from A toward B they"
                 " lie on the left, or the right", "spot", ("from A", "from B", "side"), 3),
        Measures("bed.fixed", "Stakes A and B: along the base line, and to its left", "stake",
                 ("along", "left"), 2),
        Measures("bed.offsets", "The edge: along the base line, and how far to its left (first the"
                 " near edge, where both curve)", "offset", ("along", "left", "far"), 3),
        Measures("place.horizon", "Hills and roofs far off: toward which point, and how many"
                 " degrees above level (a fist at arm's length is about ten)", "bearing",
                 ("toward", "degrees"), 0),
    )
}  # fmt: skip
"""By path."""


def field_of(path: str) -> Field | None:
    """What a path means on the sheets: a field of its own, a column of some rows, or one of what
    stands around (of whichever sort: the names mean the same)."""
    if path in BY_PATH:
        return BY_PATH[path]
    rows, _, column = path.rpartition(".")
    rows, _, number = rows.rpartition(".")
    if not number.isdigit():
        return None
    columns = EVERY_ROWS[rows].columns if rows in EVERY_ROWS else ()
    if rows == "surroundings":
        columns = (AT, *(field for fields in NEIGHBOURS.values() for field in fields))
    return next((one for one in columns if one.path == column), None)


def label_of(brief: Values, path: str) -> str:
    """What a path of a brief is called: ``the garage: Height of the eaves``, ``Peg 3``."""
    if path in BY_PATH:
        return BY_PATH[path].label
    parts = path.split(".")
    for measures in MEASURES.values():
        if path == measures.path or path.startswith(f"{measures.path}."):
            row = parts[2] if len(parts) > 2 else ""
            one = f"{measures.one[0].upper()}{measures.one[1:]}"
            return f"{one} {int(row) + 1}" if row.isdigit() else f"{one}s"
    if parts[0] == "surroundings":
        thing = at_path(brief, ".".join(parts[:2])) if len(parts) > 1 else None
        if not isinstance(thing, dict):
            return "What stands around"
        name = str(thing.get("name") or thing.get("kind") or "thing")
        if parts[2:3] == ["corners"] and len(parts) > 3:
            return f"{name}: corner {int(parts[3]) + 1}"
        fields = {field.path: field.label for field in NEIGHBOURS.get(str(thing.get("kind")), ())}
        return (
            f"{name}: {fields.get(parts[-1], parts[-1].replace('_', ' '))}"
            if len(parts) > 2
            else name
        )
    for rows in EVERY_ROWS.values():
        if path == rows.path or path.startswith(f"{rows.path}."):
            rest = path[len(rows.path) + 1 :].split(".")
            if not rest[0].isdigit():
                return rows.heading
            column = next((one.label for one in rows.columns if one.path == rest[-1]), "")
            return f"{rows.one} {int(rest[0]) + 1}" + (f": {column}" if column else "")
    return WHOLE.get(path, path.replace(".", ": ").replace("_", " "))


WHOLE = {
    "bed": "The bed's outline",
    "changes": "Changes to drifts",
    "place": "Place",
    "wishes": "Wishes",
    "place.record": "Weather record",
}
"""What parts of a brief are called that no field of a sheet stands for."""


def named(brief: Values, field: str) -> str:
    """What a fault's field is called on the sheets; its own name where it is on none."""
    try:
        return label_of(brief, page_path(field))
    except (NotAFieldError, ValueError):
        return field


def page_path(field: str) -> str:
    """The path on the page of a fault's field: ``materials[2].pack`` is ``materials.1.pack``."""
    return re.sub(r"\[(\d+)\](?: \([^)]*\))?", lambda found: f".{int(found[1]) - 1}", field)


class NotAFieldError(ValueError):
    """A path that no brief can have."""


_PART = re.compile(r"[a-z_]{1,30}|[0-9]{1,3}")
MOST_PARTS = 6


def parts_of(path: str) -> list[str | int]:
    """``surroundings.0.height`` as its parts.  Raises NotAFieldError."""
    parts = path.split(".")
    if len(parts) > MOST_PARTS or not all(_PART.fullmatch(part) for part in parts):
        raise NotAFieldError(path)
    return [int(part) if part.isdigit() else part for part in parts]


def at_path(values: Any, path: str) -> Any:
    """What a brief has at a path, else None."""
    for part in parts_of(path):
        if isinstance(part, int):
            there = isinstance(values, list) and part < len(values)
        else:
            there = isinstance(values, dict) and part in values
        if not there:
            return None
        values = values[part]
    return values


def put_at(values: Values, path: str, value: Any) -> None:
    """Put a value at a path of a brief, in place; None takes it out.

    A number one beyond the end of a list of tables adds one.  Raises NotAFieldError where the path
    leads through what is no table.
    """
    *way, last = parts_of(path)
    table: Any = values
    for n, part in enumerate(way):
        after = [*way, last][n + 1]
        if isinstance(table, dict) and isinstance(part, str):
            table = table.setdefault(part, [] if isinstance(after, int) else {})
        elif isinstance(table, list) and isinstance(part, int) and part <= len(table):
            if part == len(table):
                table.append({})
            table = table[part]
        else:
            raise NotAFieldError(path)
    if isinstance(table, dict) and isinstance(last, str):
        if value is None:
            table.pop(last, None)
        else:
            table[last] = value
    elif isinstance(table, list) and isinstance(last, int) and last <= len(table):
        if value is None:
            del table[last : last + 1]
        elif last == len(table):
            table.append(value)
        else:
            table[last] = value
    else:
        raise NotAFieldError(path)
    _tidy(values, way)


def _tidy(values: Values, way: list[str | int]) -> None:
    """Take out tables and lists that nothing is left in, from the innermost of a way."""
    while way:
        table: Any = values
        for part in way[:-1]:
            table = table[part]
        last = way[-1]
        if table[last] not in ({}, []) or (isinstance(table, list) and way[0] == "surroundings"):
            return
        del table[last]
        way = way[:-1]


def typed(field: Field, text: str) -> Any:
    """What is typed into a field as a brief's value; None where it is left empty."""
    text = text.strip()
    if not text:
        return None
    if field.sort in ("list", "choices"):
        listed = [part.strip() for part in text.split(",") if part.strip()]
        return listed or None
    if field.sort == "yes_no":
        return yes_or_no(text)
    if field.sort == "number":
        return number(text)
    return text


def yes_or_no(text: str) -> bool | str:
    """``yes`` and ``no``; anything else as it was, for the brief to refuse."""
    return {"yes": True, "no": False}.get(text.lower(), text)


PACED = {"length", "width", "diameter", "distance", "ridge", "spread", "spread_now", "altitude",
         "base"}  # fmt: skip
"""What a brief measures in metres or feet, besides what stands by and the spots of an outline."""

AROUND = {"height", "depth", "crown_base"}
"""What is measured in metres or feet of what stands around the bed."""


def with_unit(path: str, text: str, units: str) -> str:
    """A bare number with the unit that anyone means: ``6`` for the bed's length is 6 m or 6 ft.

    A depth of digging or a plant's height stays bare, and is refused: 25 may be cm or inches.
    """
    part = path.rpartition(".")[2]
    spot = part.isdigit() and path.startswith(tuple(f"{bed}." for bed in MEASURES if "bed." in bed))
    spot = spot or re.fullmatch(r"surroundings\.\d+\.corners\.\d+\.[01]", path) is not None
    paced = part in PACED or (part in AROUND and path.startswith("surroundings."))
    if (paced or spot) and re.fullmatch(r"-?[0-9]{1,4}(?:[.,][0-9]{1,3})?", text):
        return f"{text} {'ft' if units == 'us' else 'm'}"
    return text


def value_at(path: str, text: str, units: str) -> Any:
    """What is typed at a path as a brief's value; None where it is left empty."""
    field, text = field_of(path), with_unit(path, text.strip(), units)
    if field is not None:
        return typed(field, text)
    if path.startswith("place.horizon.") and path.endswith(".1"):
        return number(text)
    return text or None


def number(text: str) -> int | float | str:
    """``6.5`` or ``6,5`` as a number; what is none stays a text, for the brief to refuse."""
    if re.fullmatch(r"-?[0-9]{1,9}", text):
        return int(text)
    if re.fullmatch(r"-?[0-9]{1,9}[.,][0-9]{1,6}", text):
        return float(text.replace(",", "."))
    return text


def shown(value: Any) -> str:
    """A brief's value as the gardener wrote it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(shown, value))
    if isinstance(value, dict):
        return "; ".join(f"{key.replace('_', ' ')} {shown(v)}" for key, v in value.items())
    return str(value)
