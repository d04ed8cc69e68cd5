"""A gardener's own kinds: a TOML file that adds kinds to the catalogue or changes what it says.

Each table ``[kind.KEY]`` names columns of the catalogue's tables; of a kind that the catalogue
has, only what differs; of a new one, everything, or ``like`` another and what differs.  ``colours``
lists its colour forms as [name, sRGB].
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import Any

from bedwright.brief import BriefError, Fault
from bedwright.catalogue.kind import ColourForm, Kind
from bedwright.catalogue.load import OWN, Catalogue, disagreements
from bedwright.catalogue.tables import KINDS, TABLES, Cell, srgb

HEAD = {name: cell for name, cell in KINDS.items() if name != "key"}
COLUMNS: dict[str, Cell] = HEAD | {
    c: cell for _, part in TABLES.values() for c, cell in part.items()
}
PART_OF = {column: name for name, (_, part) in TABLES.items() for column in part}
FIELD_OF = {"site": "liking"}
"""Field of a Kind that holds a table, where their names differ."""


def with_own(catalogue: Catalogue, text: str) -> Catalogue:
    """The catalogue with a gardener's own kinds, from the text of a TOML file.

    Raises BriefError with every fault.
    """
    faults: list[Fault] = []
    try:
        given = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BriefError([Fault("file", str(error), "a TOML file in UTF-8")]) from None
    faults += [Fault(key, "an entry", "tables headed [kind.KEY]") for key in given if key != "kind"]
    entries = given.get("kind", {})
    if not isinstance(entries, dict):
        raise BriefError([*faults, Fault("kind", "no table", "tables headed [kind.KEY]")])
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
    if not key.isidentifier():
        faults.append(Fault(where, f"'{key}'", "a key of letters, digits and underscores"))
    if not isinstance(entry, dict):
        faults.append(Fault(where, str(entry), "a table"))
        return None
    cells = {
        column: _cell(f"{where}.{column}", column, value, faults)
        for column, value in entry.items()
        if column not in ("like", "colours")
    }
    base = catalogue.kinds.get(key)
    if "like" in entry:
        base = catalogue.find(str(entry["like"]))
        if base is None:
            near = ", ".join(catalogue.like(str(entry["like"]))) or "a key of the catalogue"
            faults.append(Fault(f"{where}.like", f"'{entry['like']}'", near))
            return None
    colours = _colours(f"{where}.colours", entry.get("colours"), faults)
    if base is None:
        missing = [c for c in COLUMNS if c not in cells] + ([] if colours else ["colours"])
        faults += [
            Fault(f"{where}.{column}", "nothing", "a value, or like = a kind to take it from")
            for column in missing
        ]
    if len(faults) > before:
        return None
    return _made(key, base, cells, colours)


def _cell(where: str, column: str, value: Any, faults: list[Fault]) -> Any:
    """A value read as the catalogue's tables read it."""
    if column not in COLUMNS:
        near = ", ".join(c for c in COLUMNS if column[:4] and c.startswith(column[:4]))
        accepted = f"a column of the catalogue{f', such as {near}' if near else ''}"
        faults.append(Fault(where, "an unknown column", accepted))
        return None
    try:
        return COLUMNS[column](_as_text(value))
    except ValueError as error:
        faults.append(Fault(where, repr(value), str(error)))
        return None


def _as_text(value: Any) -> str:
    """A TOML value as a cell of the tables would write it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ";".join(str(part) for part in value)
    return str(value)


def _colours(where: str, given: Any, faults: list[Fault]) -> tuple[ColourForm, ...]:
    """Colour forms of ``[["pale blue", "#aabbdd"], ...]``; none where none are given."""
    if given is None:
        return ()
    found = []
    for n, pair in enumerate(given if isinstance(given, list) else [given], start=1):
        try:
            name, colour = pair
            found.append(ColourForm(str(name), srgb(str(colour))))
        except ValueError:
            faults.append(
                Fault(f"{where}[{n}]", repr(pair), "a name and a colour: ['lime', '#d8e070']")
            )
    return tuple(found)


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
