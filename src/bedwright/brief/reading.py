"""Reading a brief: TOML in, every fault found reported at once."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from dataclasses import field as dataclass_field
from datetime import date
from pathlib import Path
from typing import Annotated, Any, get_args

from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from bedwright.brief.neighbours import (
    NEIGHBOURS,
)
from bedwright.brief.outlines import (
    BEDS,
)
from bedwright.brief.synonyms import meanings, taken
from bedwright.brief.table import (
    Table,
)
from bedwright.brief.tables import (
    MOST_TABLES,
    Brief,
    Change,
    Existing,
    GroundFound,
    Stock,
)
from bedwright.brief.values import UNREADABLE, Clash, ClashError, printable
from bedwright.textfile import TextFileError, read_text_file
from bedwright.units import UnitError

LONGEST_GIVEN, LONGEST_ACCEPTED = 200, 2000
"""Letters of a fault's field and given value, and of what it accepts, at most."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a brief: the field's path, the value given, what is accepted.

    Whatever was given, a fault can be printed: it is cut to a length, and what cannot be printed
    stands as its code.  ``sort``: faults of one sort differ in no more than where they stand.
    """

    field: str
    given: str
    accepted: str
    sort: str = dataclass_field(default="", compare=False, repr=False)

    def __post_init__(self) -> None:
        most = {"field": LONGEST_GIVEN, "given": LONGEST_GIVEN, "accepted": LONGEST_ACCEPTED}
        for name, letters in most.items():
            text = getattr(self, name)
            # Cut before the codes are written, so that a huge text costs nothing.
            safe = printable(text[: letters + 1])
            if len(safe) > letters:
                safe = safe[: letters - 1] + "…"
            object.__setattr__(self, name, safe)
        if not self.sort:
            place = re.sub(r"\[\d+\]( \([^)]*\))?", "[]", self.field)
            object.__setattr__(self, "sort", f"{place}: {self.accepted}")

    def __str__(self) -> str:
        return f"{self.field}: given {self.given}; accepted: {self.accepted}"


class BriefError(ValueError):
    """A brief at fault; ``faults`` holds every one of them, many of one sort cut short."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(_readable(faults))
        super().__init__("\n".join(str(fault) for fault in self.faults))


MOST_OF_A_SORT, MOST_FAULTS = 5, 60
"""Faults listed of one sort and of all; the others are counted."""


def _readable(faults: Sequence[Fault]) -> list[Fault]:
    """Each fault once; the first few of each sort, then how many more there are of it."""
    by_sort: dict[str, list[Fault]] = {}
    for fault in dict.fromkeys(faults):
        by_sort.setdefault(fault.sort, []).append(fault)
    listed: list[Fault] = []
    for same in by_sort.values():
        listed += same[:MOST_OF_A_SORT]
        more = len(same) - MOST_OF_A_SORT
        if more == 1:
            listed.append(same[-1])
        elif more > 1:
            last = same[-1]
            said = f"{last.given}, and {more - 1:,} more of the same sort before it"
            listed.append(Fault(last.field, said, last.accepted))
    if len(listed) > MOST_FAULTS:
        rest = len(listed) - MOST_FAULTS
        accepted = "none of the faults above; the others show once those are mended"
        listed = [*listed[:MOST_FAULTS], Fault("and so on", f"{rest:,} more faults", accepted)]
    return listed


Check = Callable[[dict[str, Any]], list[Fault]]
"""Looks over the parts of a brief that read well (by name of the table) and returns faults."""

MOST_BYTES = 250_000
"""Size of a brief, and of a file of own kinds, at most: the longest sound brief is half of it."""

MOST_LETTERS_A_LINE, MOST_PARTS = 10_000, 50
"""Letters of a line, and parts of a dotted key, at most."""

_LONG_KEY = re.compile(rf"""(?<![\w"'-])(?:[\w"'-]+\s*\.\s*){{{MOST_PARTS}}}""")


def toml_of(path: Path, field: str) -> dict[str, Any]:
    """What a TOML file says.  Raises BriefError, with its one fault under ``field``, where it is no
    such file; OSError where it cannot be opened."""
    try:
        text = read_text_file(path, MOST_BYTES)
    except TextFileError as error:
        accepted = f"a TOML file in UTF-8: {error.accepted}"
        raise BriefError([Fault(field, error.given, accepted)]) from None
    return parse_toml(text, field)


def parse_toml(text: str, field: str) -> dict[str, Any]:
    """What a text in TOML says.  Raises BriefError with its one fault."""
    for n, line in enumerate(text.split("\n"), start=1):
        if len(line) > MOST_LETTERS_A_LINE:
            said = f"{len(line):,} letters in line {n}"
            accepted = f"lines of up to {MOST_LETTERS_A_LINE:,} letters"
            raise BriefError([Fault(field, said, accepted)])
        if line.count(".") >= MOST_PARTS and _LONG_KEY.search(line):
            accepted = f"keys of fewer than {MOST_PARTS} parts"
            raise BriefError([Fault(field, f"a long dotted key in line {n}", accepted)])
    accepted = "a TOML file in UTF-8"
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        said = str(error)
    except RecursionError:
        said, accepted = "brackets within brackets, too deep to read", f"{accepted}, as documented"
    except ValueError:  # Python reads no more than 4,300 digits
        said, accepted = "a number of thousands of digits", f"{accepted}, with numbers of a garden"
    raise BriefError([Fault(field, said, accepted)])


def load_brief(path: Path, also: tuple[Check, ...] = ()) -> Brief:
    """Read a brief from a TOML file.  Raises BriefError with every fault, OSError if unreadable.

    ``also``: further checks, against what the caller knows (its catalogue, its materials).
    """
    return read_brief(toml_of(path, path.name), also)


def read_brief(given: dict[str, Any], also: tuple[Check, ...] = ()) -> Brief:
    """Check a brief given as plain values.  Raises BriefError with every fault."""
    faults: list[Fault] = []
    values: dict[str, Any] = {}
    known = Brief.model_fields
    unknown = [(str(key), given[key]) for key in given if key not in known]
    faults += _unknown("", unknown, tuple(known))
    for key, field in known.items():
        if key not in given:
            if field.is_required():
                faults.append(Fault(key, "nothing", _REQUIRED[key]))
            continue
        value = _read_part(key, given[key], field, faults)
        if value is not None:
            values[key] = value
    if any(fault.field == "bed.bearing" for fault in faults):
        values.pop("surroundings", None)  # nobody knows on which side of the bed they stand
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
        return _read_tagged(key, given, ("shape", "shape"), BEDS, faults)
    if key in MOST_TABLES:
        return _read_tables(key, given, faults)
    annotation: Any = field.annotation
    if field.metadata:
        annotation = Annotated[(annotation, *field.metadata)]
    return _read_typed(key, given, annotation, faults)


_TABLES: dict[str, type[Table]] = {"materials": Stock, "existing": Existing, "changes": Change}


def _read_tables(key: str, given: Any, faults: list[Fault]) -> tuple[Any, ...] | None:
    """Tables of a sort, one by one, so that a fault in one does not hide what is said of the
    others.  A faulty one keeps its place as None, so that the others count right."""
    if not isinstance(given, list | tuple):
        said = f"one table, headed [{key}]" if isinstance(given, dict) else show(given)
        faults.append(Fault(key, said, f"tables headed [[{key}]]"))
        return None
    most = MOST_TABLES[key]
    if len(given) > most:
        faults.append(Fault(key, f"{len(given):,} tables", f"at most {most} tables [[{key}]]"))
        return None
    if key == "surroundings":
        return tuple(
            _read_tagged(label_of(n, item), item, ("kind", "thing"), NEIGHBOURS, faults)
            for n, item in enumerate(given)
        )
    model = _TABLES[key]
    return tuple(
        _read_typed(f"{key}[{n}]", item, model, faults) for n, item in enumerate(given, start=1)
    )


def label_of(n: int, thing: Any) -> str:
    """What a fault calls the n-th thing around the bed: its place in the brief, and its name."""
    name = thing.get("name") if isinstance(thing, dict) else getattr(thing, "name", None)
    plain = isinstance(name, str) and 0 < len(name) <= 40 and name.isprintable()
    return f"surroundings[{n + 1}]" + (f" ({name})" if plain else "")


def _read_tagged(
    path: str, given: Any, tagged: tuple[str, str], models: dict[str, Any], faults: list[Fault]
) -> Any:
    """A table of which one field (with the sort of its synonyms) says which model it is."""
    tag, sort = tagged
    names = ", ".join(f"'{name}'" for name in models)
    if not isinstance(given, dict):
        faults.append(Fault(path, show(given), f"a table with {tag} = {names}"))
        return None
    try:
        name = taken(sort, given.get(tag), models)
    except UnitError as error:
        faults.append(Fault(f"{path}.{tag}", show(given[tag]), error.accepted))
        return None
    if not isinstance(name, str) or name not in models:
        shown = show(given[tag]) if tag in given else "nothing"
        faults.append(Fault(f"{path}.{tag}", shown, f"one of {names}{_near(name, models)}"))
        return None
    return _read_typed(path, {**given, tag: name}, models[name], faults)


def _read_typed(path: str, given: Any, annotation: Any, faults: list[Fault]) -> Any:
    """A value as its annotation reads it.  Where it is at fault: of a table what is sound of it,
    for the checks to come; of anything else None."""
    try:
        return TypeAdapter(annotation).validate_python(given)
    except ValidationError as error:
        details = error.errors()
    unknown: dict[tuple[Any, ...], list[tuple[str, Any]]] = {}
    found: list[Fault] = []
    for detail in details:
        if detail["type"] == "extra_forbidden":
            *steps, name = detail["loc"]
            unknown.setdefault(tuple(steps), []).append((str(name), detail["input"]))
        else:
            found += _faults_of(path, detail)
    for table_at, fields in unknown.items():
        found += _unknown(_where(path, table_at) + ".", fields, _fields_at(annotation, table_at))
    table = isinstance(annotation, type) and issubclass(annotation, Table)
    if isinstance(given, dict) and table:
        found += _hidden_clashes(path, given, annotation, [detail["loc"] for detail in details])
    lists = {f.field[: m.start()] for f in found for m in re.finditer(r"\[", f.field)}
    seen = set(faults)
    for fault in found:
        knock_on = fault.accepted.startswith(_TOO_FEW) and fault.field in lists
        if fault not in seen and not knock_on:
            faults.append(fault)
            seen.add(fault)
    return _sound_part(given, annotation) if isinstance(given, dict) and table else None


_ROUNDS = 6
"""Rounds in which faulty fields are taken out of a table; more would be a fault of this module."""


def _sound_part(given: dict[str, Any], model: type[Table]) -> Table | None:
    """A table without its faulty fields: what must be stated has a stand-in, or there is none."""
    kept: dict[str, Any] = given
    for _ in range(_ROUNDS):
        try:
            return model.model_validate(kept)
        except ValidationError as error:
            details = error.errors()
        kept = _copy(kept)
        for detail in details:
            for steps in _steps_at_fault(detail):
                if not steps:
                    return _nowhere(kept, model)
                if not _take_out(kept, steps, model):
                    return None
    return None


def _copy(given: Any) -> Any:
    """A copy of tables within tables, for taking things out of."""
    return {k: _copy(v) for k, v in given.items()} if isinstance(given, dict) else given


def _steps_at_fault(detail: Any) -> list[tuple[Any, ...]]:
    """Where pydantic's error, or each clash of a table, has its fault."""
    error = detail.get("ctx", {}).get("error")
    if not isinstance(error, ClashError):
        return [detail["loc"]]
    fields = [clash.field.partition("[")[0] for clash in error.clashes]
    return [(*detail["loc"], field) if field else detail["loc"] for field in fields]


def _take_out(kept: dict[str, Any], steps: tuple[Any, ...], model: type[Table]) -> bool:
    """Take the field that ``steps`` lead to out of a table, or put its stand-in there; False where
    the table cannot do without."""
    stand_in = model.stand_ins.get(str(steps[0]))
    if stand_in is not None and kept.get(str(steps[0])) != stand_in:
        kept[str(steps[0])] = stand_in
        return True
    table, depth = kept, 0
    while depth + 1 < len(steps) and isinstance(table.get(steps[depth]), dict):
        inner = table[steps[depth]]
        if steps[depth + 1] not in inner:
            break
        table, depth = inner, depth + 1
    return table.pop(steps[depth], None) is not None


def _nowhere(kept: dict[str, Any], model: type[Table]) -> Table:
    """A table that is at fault as a whole: its fields are sound, each by itself."""
    read = {
        name: _read_alone(field, kept[name])
        for name, field in model.model_fields.items()
        if name in kept
    }
    return model.model_construct(**read)


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
    clashes = [c for c in partial.clashes() if c.field.partition("[")[0] not in at_fault]
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
    if not clash.field:
        return Fault(path, show(given), clash.accepted)
    raw = given.get(clash.field) if isinstance(given, dict) else None
    said = " ".join(part for part in ("" if raw is None else show(raw, 40), clash.beside) if part)
    return Fault(f"{path}.{clash.field}", said or "nothing", clash.accepted)


def _faults_of(path: str, detail: Any) -> list[Fault]:
    """One of pydantic's errors, or all clashes of a table, in our words."""
    error = detail.get("ctx", {}).get("error")
    if isinstance(error, ClashError):
        return [_clash(_where(path, detail["loc"]), c, detail["input"]) for c in error.clashes]
    return [_fault(path, detail)]


def _where(path: str, steps: tuple[Any, ...]) -> str:
    """The path of a field as one would write it."""
    where = path
    for step in steps:
        if isinstance(step, int):
            where += f"[{step + 1}]"
        elif step != "[key]":
            where += f".{step}"
    return where


def _fault(path: str, detail: Any) -> Fault:
    """Pydantic's error in our words: field, given, accepted."""
    where = _where(path, detail["loc"])
    kind, context = detail["type"], detail.get("ctx", {})
    given = detail["input"]
    if kind == "missing":
        return Fault(where, "nothing", "a value; this field must be stated")
    error = context.get("error")
    if isinstance(error, UnitError):
        return Fault(where, show(error.given), error.accepted)
    if kind == "value_error":
        return Fault(where, show(given, 60), str(error))
    if kind == "literal_error":
        names = context["expected"].replace(" or ", ", ")
        options = [name.strip().strip("'") for name in names.split(",")]
        return Fault(where, show(given), f"one of {names}{_near(given, options)}")
    if kind == "dict_type" and where.startswith("learned."):
        return Fault(where, show(given), "a table of kinds and numbers, such as { cosmos = 0.9 }")
    return Fault(where, show(given), _PLAIN.get(kind, lambda c: detail["msg"])(context))


_TOO_FEW = "at least"
_PLAIN: dict[str, Any] = {
    "string_type": lambda c: "text in quotes",
    "bool_type": lambda c: "true or false",
    "bool_parsing": lambda c: "true or false",
    "model_type": lambda c: "a table",
    "dict_type": lambda c: 'a table of odds and days, such as { "50%" = "04-20" }',
    "tuple_type": lambda c: "a list in square brackets",
    "too_short": lambda c: f"{_TOO_FEW} {c['min_length']} entries",
    "too_long": lambda c: f"at most {c['max_length']} entries",
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


def _unknown(at: str, given: list[tuple[str, Any]], known: tuple[str, ...]) -> list[Fault]:
    """Faults of fields that a table does not have, with those most like them; where there are too
    many to list, the last one says how many."""
    accepted = f"no such field; fields: {', '.join(known)}"
    faults = [
        Fault(at + name, show(value), _instead(name, known, accepted), f"{at} {accepted}")
        for name, value in given[:MOST_OF_A_SORT]
    ]
    rest = len(given) - MOST_OF_A_SORT
    if rest > 0:
        name, value = given[-1]
        more = f", and {rest - 1:,} more of the same sort before it" if rest > 1 else ""
        faults.append(Fault(at + name, show(value) + more, accepted, f"{at} {accepted}"))
    return faults


def _instead(name: str, known: tuple[str, ...], accepted: str) -> str:
    """What is accepted instead of a field that a table does not have: what it is called now, or
    the fields with the one spelled like it."""
    here = [now for now in meanings("field", name) if now in known or now.startswith("--")]
    return (
        f"{' or '.join(here)} in its place; {accepted}" if here else accepted + _near(name, known)
    )


def _near(given: object, options: Any) -> str:
    if not isinstance(given, str) or len(given) > LONGEST_GIVEN:
        return ""
    hits = difflib.get_close_matches(given, [str(o) for o in options], n=1)
    return f" (did you mean '{hits[0]}'?)" if hits else ""


def show(given: object, width: int = 80) -> str:
    """A value as a fault shows it, cut to a width."""
    if isinstance(given, BaseModel | dict):
        return "what the table holds"
    try:
        text = f"'{given}'" if isinstance(given, str) else str(given)
    except ValueError:  # Python writes no more than 4,300 digits
        text = "a number of thousands of digits"
    except RecursionError:
        text = "brackets within brackets"
    return text if len(text) <= width else text[: width - 1] + "…"


GONE_MONTHS, HEAT_GONE_MONTHS = 5, 7
"""Months of a growing year after which it is too late to begin work for it: spring is over; where
it turns over in the hot season, so is most of the cool one."""


def with_year(brief: Brief, today: date, latitude: float, heat_turn: int | None = None) -> Brief:
    """The brief with its growing year settled: the one stated, else that of the first or fixed day
    the brief names, else the next that can be begun; where it names neither year nor day, work
    begins today.

    A growing year begins on 1 January north of the equator and on 1 July south of it, or with the
    month ``heat_turn`` where it turns over in the hot season.  After GONE_MONTHS of it, or of one
    of the latter kind HEAT_GONE_MONTHS, the present one is too far gone and the next is meant.
    """
    if brief.season.year is not None:
        return brief
    show, begin = brief.dates.show, brief.dates.begin or today
    start = heat_turn or (1 if latitude >= 0 else 7)
    if show is not None:
        year = show.year - (show.month < start)
    else:
        gone = HEAT_GONE_MONTHS if heat_turn is not None else GONE_MONTHS
        year = begin.year - (begin.month < start) + ((begin.month - start) % 12 >= gone)
    update: dict[str, object] = {"season": brief.season.model_copy(update={"year": year})}
    if show is None:
        # Nothing is planned for days that are past.
        update["dates"] = brief.dates.model_copy(update={"begin": begin})
    return brief.model_copy(update=update)
