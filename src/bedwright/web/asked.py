"""What the page's API is asked with, and how that becomes a changed brief or a fault."""

from __future__ import annotations

from copy import deepcopy
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field

from bedwright.store import MOST_REVISIONS, Values, plain
from bedwright.web import fields
from bedwright.web.argue import Act

Number = Annotated[int, Field(ge=1, le=MOST_REVISIONS)]
Month = Annotated[int, Field(ge=1, le=12)]
Units = Literal["metric", "us"]
Length = Annotated[str, Field(min_length=1, max_length=40)]


class Begin(BaseModel):
    """A new bed: where it lies, and a shape to begin with."""

    town: Annotated[str, Field(min_length=1, max_length=120)]
    shape: Annotated[str, Field(max_length=20)] = "oval island"
    title: Annotated[str, Field(max_length=120)] = ""
    units: Units = "metric"


class Import(BaseModel):
    """A brief's TOML."""

    toml: Annotated[str, Field(max_length=250_000)]


class Setting(BaseModel):
    """A field of the brief and what is to stand in it: ``text`` as typed, or a ``value`` as TOML
    has it; neither takes it out."""

    path: Annotated[str, Field(max_length=120)]
    text: Annotated[str, Field(max_length=2000)] | None = None
    value: Any = None


Settings = Annotated[list[Setting], Field(min_length=1, max_length=200)]


class Changes(BaseModel):
    """Fields to change, the revision they are changed on, and what is to be said of it."""

    on: Number
    settings: Settings
    said: Annotated[str, Field(max_length=300)] = ""


class On(BaseModel):
    """The revision that an action is meant for."""

    on: Number


class Tapes(BaseModel):
    """Two tapes held at two pegs (counted from 1), how long they are, and on which side they meet,
    looking from the first peg to the second."""

    pegs: tuple[Annotated[int, Field(ge=1, le=100)], Annotated[int, Field(ge=1, le=100)]]
    lengths: tuple[Length, Length]
    left: bool = True


class NewPeg(On):
    """One more peg, where two tapes meet; without tapes, in the longest gap of the line."""

    tapes: Tapes | None = None


class Apart(On):
    """How far the next peg is to stand from one."""

    length: Length


class ByPegs(On):
    """The bed set out by pegs: a smooth line through them, or straight lines between them."""

    smooth: bool


class NewThing(On):
    """Something that stands around the bed, as it is taken for until it is measured."""

    kind: Literal["building", "wall", "fence", "hedge", "tree", "shrub"]


class Argue(On):
    """What is asked of a drift of the plan of revision ``on``: to ``keep`` what stands there, to
    ``plant`` a kind (in a colour), to have its kind in another ``colour``, ``more`` or ``less`` of
    it, to ``swap`` it with the drift of a ``number``, to leave it ``free`` of what was asked
    before, or ``never`` to have its kind."""

    act: Act
    kind: Annotated[str, Field(min_length=1, max_length=60)] | None = None
    colour: Annotated[str, Field(min_length=1, max_length=60)] | None = None
    number: Annotated[int, Field(ge=0, le=999)] | None = None


class Sketch(BaseModel):
    """Fields as they would be changed, and the month whose sun is asked for; without one, that of
    the longest days."""

    settings: Annotated[list[Setting], Field(max_length=200)] = []
    month: Month | None = None


def changed(values: Values, settings: list[Setting]) -> Values:
    """A brief with settings made.  Raises NotAFieldError."""
    values = deepcopy(values)
    for setting in settings:
        fields.put_at(values, setting.path, value_of(setting, values))
    return values


def value_of(setting: Setting, brief: Values) -> Any:
    """The value that a setting puts into a brief."""
    if setting.text is None:
        return setting.value
    return fields.value_at(setting.path, setting.text, str(brief.get("units", "metric")))


def said_of(before: Values, settings: list[Setting]) -> str:
    """A change in words: ``Dug to: 25 cm, not 20 cm``."""
    words = []
    for setting in settings[:3]:
        had, given = fields.at_path(before, setting.path), value_of(setting, before)
        now = "taken out" if given is None else fields.shown(given)
        was = "" if had is None else f", not {fields.shown(had)}"
        words.append(f"{fields.label_of(before, setting.path)}: {now}{was}")
    more = len(settings) - 3
    return "; ".join(words) + (f"; and {more} more" if more > 0 else "")


FILES_NAMED = ("place.record.file", "own_kinds")
"""Where a brief names files."""


def faults_of(values: Values, folder: Path) -> list[dict[str, str]]:
    """What is wrong with a brief whose files are in a folder."""
    from bedwright.api import read_brief
    from bedwright.brief import BriefError

    away = files_away(values, folder)
    if away:
        return away
    try:
        read_brief(values, folder=folder)
    except BriefError as error:
        return listed(error, values)
    return []


def files_away(values: Values, folder: Path) -> list[dict[str, str]]:
    """The faults of a brief that names files outside its folder, or hidden ones in it, which are
    the page's own (``private.py``)."""
    accepted = "the name of a file in the folder of your beds"
    faults = []
    for path in FILES_NAMED:
        named = fields.at_path(values, path)
        try:
            inside = named is None or not any(
                part.startswith(".")
                for part in (folder / str(named)).resolve().relative_to(folder).parts
            )
        except (OSError, ValueError):
            inside = False
        if not inside:
            faults.append(fault_at(path, repr(named)[:200], accepted, values))
    return faults


def listed(error: Any, values: Values) -> list[dict[str, str]]:
    """Faults as the page takes them: each with its path on the page, and what that is called."""
    return [fault_at(f.field, f.given, f.accepted, values) for f in error.faults]


def fault_at(field: str, given: str, accepted: str, values: Values) -> dict[str, str]:
    """One fault."""
    return {"field": field, "given": given, "accepted": accepted,
            "path": fields.page_path(field), "label": fields.named(values, field)}  # fmt: skip


def brief_in(toml: str) -> Values:
    """A brief's tables from its TOML.  Raises BriefError."""
    from bedwright.brief import parse_toml

    found: Values = plain(parse_toml(toml, "brief"))
    return found
