"""A gardener's own kinds: a TOML file that adds kinds to the catalogue or changes what it says.

Each table ``[kind.KEY]`` names columns of the catalogue's tables; of a kind that the catalogue
has, only what differs; of a new one, everything, or ``like`` another, a ``name`` of its own and
what differs.  ``colours``
lists its colour forms as [name, sRGB].
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from bedwright.brief import BriefError, Fault, parse_toml, show, unprintable
from bedwright.catalogue.kind import ColourForm, Kind
from bedwright.catalogue.load import OWN, Catalogue, disagreements
from bedwright.catalogue.tables import KINDS, TABLES, Cell, srgb, stated

HEAD = {name: cell for name, cell in KINDS.items() if name != "key"}
COLUMNS: dict[str, Cell] = HEAD | {
    c: cell for _, part in TABLES.values() for c, cell in part.items()
}
PART_OF = {column: name for name, (_, part) in TABLES.items() for column in part}
FIELD_OF = {"site": "liking"}
"""Field of a Kind that holds a table, where their names differ."""


MOST_KINDS, MOST_COLOURS, MOST_LETTERS, MOST_WORDS = 200, 40, 200, 40
"""Kinds in a file, colours of a kind, letters of a cell's text and entries of its list, at most."""


def with_own(catalogue: Catalogue, text: str) -> Catalogue:
    """The catalogue with a gardener's own kinds, from the text of a TOML file.

    Raises BriefError with every fault.
    """
    given = parse_toml(text, "file")
    faults = [Fault(key, "an entry", "tables headed [kind.KEY]") for key in given if key != "kind"]
    entries = given.get("kind", {})
    if not isinstance(entries, dict):
        raise BriefError([*faults, Fault("kind", "no table", "tables headed [kind.KEY]")])
    if len(entries) > MOST_KINDS:
        accepted = f"at most {MOST_KINDS} kinds in a file"
        raise BriefError([*faults, Fault("kind", f"{len(entries):,} tables", accepted)])
    kinds = dict(catalogue.kinds)
    for key, entry in entries.items():
        kind = _kind(catalogue, key, entry, faults)
        if kind is not None:
            faults += [
                Fault(f"kind.{key}", fault, "figures that can all be true")
                for fault in disagreements(kind)
            ]
            kinds[key] = kind
    if faults:
        raise BriefError(faults)
    return Catalogue(kinds, catalogue.bibliography)


def _kind(catalogue: Catalogue, key: str, entry: Any, faults: list[Fault]) -> Kind | None:
    """One kind of the file, None where it is at fault."""
    where, before = f"kind.{key}", len(faults)
    if not key.isidentifier() or len(key) > LONGEST_KEY:
        accepted = f"a key of letters, digits and underscores, {LONGEST_KEY} at most"
        faults.append(Fault(where, f"'{key[:LONGEST_KEY]}'", accepted))
    if not isinstance(entry, dict):
        faults.append(Fault(where, show(entry), "a table"))
        return None
    cells = {
        column: _cell(f"{where}.{column}", column, value, faults)
        for column, value in entry.items()
        if column not in ("like", "colours")
    }
    base = catalogue.kinds.get(key)
    if "like" in entry:
        base = _liked(f"{where}.like", entry["like"], catalogue, faults)
    colours = _colours(f"{where}.colours", entry["colours"], faults) if "colours" in entry else ()
    if base is None and "like" not in entry:
        missing = [c for c in COLUMNS if c not in cells]
        missing += ["colours"] if "colours" not in entry else []
        accepted = "a value, or like = a kind to take it from"
        sort = f"{where}: missing columns"
        faults += [Fault(f"{where}.{column}", "nothing", accepted, sort) for column in missing]
    if base is not None and key not in catalogue.kinds and "name" not in entry:
        accepted = f"a name of its own, since {base.name} is the catalogue's"
        faults.append(Fault(f"{where}.name", "nothing", accepted))
    if len(faults) > before:
        return None
    return _made(key, base, cells, colours)


LONGEST_KEY = 60
NAMES = ("name", "botanical", "family", "rotation")
"""Columns that hold a name, no longer than a key."""


def _liked(where: str, given: Any, catalogue: Catalogue, faults: list[Fault]) -> Kind | None:
    """The kind that another is like, None where there is none of that name."""
    short = isinstance(given, str) and len(given) <= LONGEST_KEY
    base = catalogue.find(given) if short else None
    if base is None:
        near = ", ".join(catalogue.like(given)) if short else ""
        faults.append(Fault(where, show(given), near or "a key of the catalogue"))
    return base


def _cell(where: str, column: str, value: Any, faults: list[Fault]) -> Any:
    """A value read as the catalogue's tables read it."""
    if column not in COLUMNS:
        near = ", ".join(c for c in COLUMNS if column[:4] and c.startswith(column[:4]))
        accepted = f"a column of the catalogue{f', such as {near}' if near else ''}"
        sort = where.removesuffix(column) + "unknown column"
        faults.append(Fault(where, "an unknown column", accepted, sort))
        return None
    try:
        most = LONGEST_KEY if column in NAMES else MOST_LETTERS
        return COLUMNS[column](_as_text(value, most))
    except ValueError as error:
        faults.append(Fault(where, show(value), str(error)))
        return None


def _as_text(value: Any, most: int) -> str:
    """A TOML value as a cell of the tables would write it.  Raises ValueError for what has no place
    there."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        if len(value) > MOST_WORDS or not all(isinstance(part, str) for part in value):
            raise ValueError(f"a list of up to {MOST_WORDS} words in quotes")
        return _one_line(";".join(value), MOST_WORDS * LONGEST_KEY)
    if isinstance(value, int | float):
        return repr(value) if abs(value) < 1e9 else "too much"
    if isinstance(value, str):
        return _one_line(value, most)
    raise ValueError("a number, text in quotes, true or false, or a list of words in quotes")


def _two_words(given: Any) -> tuple[str, str]:
    """A list of two texts.  Raises ValueError."""
    if isinstance(given, list) and len(given) == 2 and all(isinstance(w, str) for w in given):
        return given[0], given[1]
    raise ValueError("two words in quotes")


def _one_line(text: str, most: int) -> str:
    """Text that can be printed on a sheet.  Raises ValueError."""
    if len(text) > most or any(map(unprintable, text)):
        raise ValueError(
            f"text of up to {most:,} letters on one line, without control characters or others that"
            " cannot be printed"
        )
    return text


def _colours(where: str, given: Any, faults: list[Fault]) -> tuple[ColourForm, ...]:
    """Colour forms of ``[["pale blue", "#aabbdd"], ...]``; none where they are at fault."""
    if not isinstance(given, list) or not 1 <= len(given) <= MOST_COLOURS:
        accepted = f"a list of 1 to {MOST_COLOURS} names and colours: [['lime', '#d8e070']]"
        faults.append(Fault(where, show(given), accepted))
        return ()
    found: dict[str, ColourForm] = {}
    for n, pair in enumerate(given, start=1):
        try:
            name, colour = _two_words(pair)
            form = ColourForm(stated(_one_line(name, LONGEST_KEY)), srgb(colour))
        except ValueError:
            accepted = "a name and a colour: ['lime', '#d8e070']"
            faults.append(Fault(f"{where}[{n}]", show(pair), accepted))
            continue
        if form.name in found:
            faults.append(Fault(f"{where}[{n}]", show(pair), "each name once"))
        found[form.name] = form
    return tuple(found.values())


def _made(
    key: str, base: Kind | None, cells: dict[str, Any], colours: tuple[ColourForm, ...]
) -> Kind:
    """A kind from another and what differs; every stated figure's source is the gardener."""
    head = {column: value for column, value in cells.items() if column in HEAD}
    parts = {}
    for name, (record, _) in TABLES.items():
        own = {column: value for column, value in cells.items() if PART_OF.get(column) == name}
        field = FIELD_OF.get(name, name)
        parts[field] = record(**own) if base is None else replace(getattr(base, field), **own)
    stated = {f"{PART_OF.get(column, 'kinds')}.{column}" for column in cells}
    if colours:
        stated.add("colours.name")
    known = dict(base.sources) if base is not None else {"kinds.key": OWN}
    sources = tuple((known | dict.fromkeys(stated, OWN)).items())
    if base is None:
        return Kind(key=key, **head, **parts, colours=colours, sources=sources)
    return replace(base, key=key, **head, **parts, colours=colours or base.colours, sources=sources)
