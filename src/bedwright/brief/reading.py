"""Reading a brief: TOML in, every fault found reported at once."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated, Any, get_args

from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from bedwright.brief.tables import BEDS, NEIGHBOURS, Brief, Goods, GroundFound, Table
from bedwright.brief.values import UNREADABLE, Clash, ClashError
from bedwright.units import UnitError


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
            faults.append(_unknown(key, given[key], key, tuple(known)))
    for key, field in known.items():
        if key not in given:
            if field.is_required():
                faults.append(Fault(key, "nothing", _REQUIRED[key]))
            continue
        value = _read_part(key, given[key], field, faults)
        if value is not None:
            values[key] = value
    faults += _ground_of_gaps(values)
    for check in also:
        faults += check(values)
    if faults:
        raise BriefError(faults)
    return Brief.model_construct(**values)


def _ground_of_gaps(values: dict[str, Any]) -> list[Fault]:
    """Where only gaps are planted the ground is an old bed, unless the brief says otherwise; it
    cannot be lawn."""
    wishes, ground = values.get("wishes"), values.get("ground", GroundFound())
    if wishes is None or not wishes.gaps_only:
        return []
    if "found" not in ground.model_fields_set:
        values["ground"] = ground.model_copy(update={"found": "old bed"})
    elif ground.found == "lawn":
        accepted = "'old bed' or 'bare', where only the gaps of a border are planted"
        return [Fault("ground.found", "'lawn'", accepted)]
    return []


_REQUIRED = {
    "place": "a table [place] with town, or latitude and longitude",
    "bed": "a table [bed] with shape = " + ", ".join(f"'{name}'" for name in BEDS),
}


def _read_part(key: str, given: Any, field: Any, faults: list[Fault]) -> Any:
    """One top-level entry, checked on its own so that faults elsewhere do not hide its own."""
    if key == "bed":
        return _read_tagged(key, given, "shape", BEDS, faults)
    if key == "surroundings":
        if not isinstance(given, list):
            said = "one table, headed [surroundings]" if isinstance(given, dict) else _show(given)
            faults.append(Fault(key, said, "tables headed [[surroundings]]"))
            return None
        read = [
            _read_tagged(label_of(n, item), item, "kind", NEIGHBOURS, faults)
            for n, item in enumerate(given)
        ]
        # A faulty one keeps its place as None, so that what is said of the others counts right.
        return tuple(read)
    if key == "goods" and isinstance(given, list):
        # One by one, so that a fault in one does not hide what is said of the others.
        return tuple(_read_typed(f"{key}[{n + 1}]", g, Goods, faults) for n, g in enumerate(given))
    annotation: Any = field.annotation
    if field.metadata:
        annotation = Annotated[(annotation, *field.metadata)]
    return _read_typed(key, given, annotation, faults)


def label_of(n: int, thing: Any) -> str:
    """What a fault calls the n-th thing around the bed: its place in the brief, and its name."""
    name = thing.get("name") if isinstance(thing, dict) else getattr(thing, "name", None)
    return f"surroundings[{n + 1}]" + (
        f" ({name})" if isinstance(name, str) and name and name.isprintable() else ""
    )


def _read_tagged(
    path: str, given: Any, tag: str, models: dict[str, Any], faults: list[Fault]
) -> Any:
    """A table whose ``tag`` says which model it is."""
    names = ", ".join(f"'{name}'" for name in models)
    if not isinstance(given, dict):
        faults.append(Fault(path, _show(given), f"a table with {tag} = {names}"))
        return None
    if not isinstance(given.get(tag), str) or given[tag] not in models:
        said = _show(given[tag]) if tag in given else "nothing"
        faults.append(
            Fault(f"{path}.{tag}", said, f"one of {names}{_near(given.get(tag), models)}")
        )
        return None
    return _read_typed(path, given, models[given[tag]], faults)


def _read_typed(path: str, given: Any, annotation: Any, faults: list[Fault]) -> Any:
    try:
        return TypeAdapter(annotation).validate_python(given)
    except ValidationError as error:
        details = error.errors()
    found: list[Fault] = []
    for detail in details:
        found += _faults_of(path, detail, annotation)
    if isinstance(given, dict) and isinstance(annotation, type) and issubclass(annotation, Table):
        found += _hidden_clashes(path, given, annotation, [detail["loc"] for detail in details])
    for fault in found:
        knock_on = fault.accepted.startswith(_TOO_FEW) and any(
            other.field.startswith(f"{fault.field}[") for other in found
        )
        if fault not in faults and not knock_on:
            faults.append(fault)
    return None


def _hidden_clashes(
    path: str, given: dict[str, Any], model: type[Table], steps: list[tuple[Any, ...]]
) -> list[Fault]:
    """Clashes among the fields of a table that read well, where others (at ``steps``) did not, and
    of the tables within it."""
    at_fault = {str(loc[0]) for loc in steps if loc}
    if not at_fault:
        return []
    values: dict[str, Any] = {}
    found: list[Fault] = []
    for name, field in model.model_fields.items():
        if name in at_fault:
            values[name] = UNREADABLE
            inner, within = field.annotation, given.get(name)
            if isinstance(inner, type) and issubclass(inner, Table) and isinstance(within, dict):
                deeper = [loc[1:] for loc in steps if loc and loc[0] == name]
                found += _hidden_clashes(f"{path}.{name}", within, inner, deeper)
        elif name in given:
            values[name] = _read_alone(field, given[name])
    partial = model.model_construct(**values)
    clashes = [clash for clash in partial.clashes() if clash.field not in at_fault]
    return found + [_clash(path, clash, given) for clash in clashes]


def _read_alone(field: FieldInfo, given: Any) -> Any:
    """One field's value, known to be sound."""
    annotation: Any = field.annotation
    if field.metadata:
        annotation = Annotated[(annotation, *field.metadata)]
    try:
        return TypeAdapter(annotation).validate_python(given)
    except ValidationError:
        return UNREADABLE


def _clash(path: str, clash: Clash, given: Any) -> Fault:
    """A clash with what the field was given, as it was written."""
    raw = given.get(clash.field) if isinstance(given, dict) else None
    said = " ".join(part for part in ("" if raw is None else _show(raw, 40), clash.beside) if part)
    return Fault(f"{path}.{clash.field}", said or "nothing", clash.accepted)


def _faults_of(path: str, detail: Any, annotation: Any) -> list[Fault]:
    """One of pydantic's errors, or all clashes of a table, in our words."""
    error = detail.get("ctx", {}).get("error")
    if isinstance(error, ClashError):
        return [_clash(_where(path, detail["loc"]), c, detail["input"]) for c in error.clashes]
    return [_fault(path, detail, annotation)]


def _where(path: str, steps: tuple[Any, ...]) -> str:
    """The path of a field as one would write it."""
    where = path
    for step in steps:
        if isinstance(step, int):
            where += f"[{step + 1}]"
        elif (isinstance(step, str) and step.isidentifier() and step not in _UNION_NOISE) or (
            isinstance(step, str) and step.endswith("%")
        ):
            where += f".{step}"
    return where


def _fault(path: str, detail: Any, annotation: Any) -> Fault:
    """Pydantic's error in our words: field, given, accepted."""
    where = _where(path, detail["loc"])
    kind, context = detail["type"], detail.get("ctx", {})
    given = detail["input"]
    if kind == "extra_forbidden":
        known = _fields_at(annotation, detail["loc"][:-1])
        return _unknown(where, given, detail["loc"][-1], known)
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


_TOO_FEW = "at least"
_UNION_NOISE = {"function-before", "tuple", "literal", "all"}
_PLAIN: dict[str, Any] = {
    "string_type": lambda c: "text in quotes",
    "bool_type": lambda c: "true or false",
    "bool_parsing": lambda c: "true or false",
    "model_type": lambda c: "a table",
    "dict_type": lambda c: 'a table of odds and days, such as { "50%" = "04-20" }',
    "tuple_type": lambda c: "a list in square brackets",
    "too_short": lambda c: f"{_TOO_FEW} {c['min_length']} entries",
    "too_long": lambda c: f"at most {c['max_length']} entries",
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


def _unknown(path: str, given: Any, name: object, known: tuple[str, ...]) -> Fault:
    fields = f"no such field; fields: {', '.join(known)}{_near(name, known)}"
    return Fault(path, _show(given), fields)


def _near(given: object, options: Any) -> str:
    hits = difflib.get_close_matches(str(given), [str(o) for o in options], n=1)
    return f" (did you mean '{hits[0]}'?)" if hits else ""


def _show(given: object, width: int = 80) -> str:
    text = f"'{given}'" if isinstance(given, str) else str(given)
    if isinstance(given, BaseModel | dict):
        text = "what the table holds"
    return text if len(text) <= width else text[: width - 1] + "…"


def with_kinds(brief: Brief, count: int) -> Brief:
    """The brief with so many colour forms wished."""
    return brief.model_copy(update={"wishes": brief.wishes.model_copy(update={"kinds": count})})


def with_year(brief: Brief, today: date, latitude: float) -> Brief:
    """The brief with its growing year settled: the one stated, else that of the first or fixed day
    the brief names, else the next that can be begun.

    A growing year begins on 1 January north of the equator and on 1 July south of it.  From June
    on (December in the south) the present one is too far gone, and the next is meant.
    """
    if brief.season.year is not None:
        return brief
    show, begin = brief.dates.show, brief.dates.begin or today
    if show is not None:
        year = show.year if latitude >= 0 or show.month >= 7 else show.year - 1
    elif latitude >= 0:
        year = begin.year + (begin.month >= 6)
    else:
        year = begin.year + (begin.month == 12)
    return brief.model_copy(update={"season": brief.season.model_copy(update={"year": year})})
