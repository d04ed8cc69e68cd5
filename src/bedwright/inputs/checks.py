"""Checks of a brief against what lies outside it: geometry, the catalogue, the materials."""

from __future__ import annotations

from typing import Any, overload

import shapely

from bedwright.brief import (
    OTHERS,
    Brief,
    Change,
    Check,
    Fault,
    Neighbour,
    Wishes,
    kind_and_colour,
    label_of,
)
from bedwright.catalogue import Catalogue
from bedwright.geometry import GeometryError, Outline, outline_of, tapes_at_fault
from bedwright.ground import packs_of
from bedwright.planting import COLOUR_WORDS
from bedwright.report import fault_of
from bedwright.units import System, say_length

SPOT_SLACK_M = 0.05
"""How far outside the bed a spot may lie and still mean its edge (as ``planting.changes``)."""


def checks(catalogue: Catalogue | None) -> tuple[Check, ...]:
    """All of them, for ``brief.read_brief``; without a catalogue, those that need none."""
    if catalogue is None:
        return check_outline, check_materials
    return (
        check_outline,
        check_materials,
        check_wishes(catalogue),
        check_changes(catalogue),
        check_learned(catalogue),
    )


def check_outline(values: dict[str, Any]) -> list[Fault]:
    """Faults of the outline, and of what stands in it or about it."""
    bed = values.get("bed")
    if bed is None:
        return []
    units: System = values.get("units") or "metric"
    try:
        outline = outline_of(bed)
    except GeometryError as error:
        wrong = tapes_at_fault(bed) or [error.fact]
        return [fault_of(fact, units, "bed") for fact in wrong]
    faults = []
    for n, plant in enumerate(values.get("existing", ())):
        if plant is None:
            continue
        x, y = plant.at
        if not outline.holds(x, y, slack_m=plant.spread / 2):
            faults.append(
                Fault(
                    f"existing[{n + 1}].at",
                    f"{plant.name} at {x:g} m, {y:g} m",
                    "a place in the bed, or within half its spread of the edge",
                )
            )
    stays = [
        shapely.Point(*plant.at).buffer(plant.spread / 2)
        for plant in values.get("existing", ())
        if plant is not None
    ]
    try:
        outline.free_ground(stays)
    except GeometryError as error:
        faults.append(fault_of(error.fact, units))
    faults += _changes_outside(outline, values.get("changes", ()))
    for n, thing in enumerate(values.get("surroundings", ())):
        if thing is not None:
            faults += _faults_about(outline, thing, label_of(n, thing), units)
    return faults


def _changes_outside(outline: Outline, changes: tuple[Change | None, ...]) -> list[Fault]:
    """Faults of spots for changes that lie outside the bed."""
    return [
        Fault(f"changes[{n}].{field}", f"{spot[0]:g} m, {spot[1]:g} m", "a spot in the bed")
        for n, change in enumerate(changes, start=1)
        if change is not None
        for field, spot in (("at", change.at), ("swap", change.swap))
        if spot is not None and not outline.holds(*spot, slack_m=SPOT_SLACK_M)
    ]


def _faults_about(outline: Outline, thing: Neighbour, label: str, units: System) -> list[Fault]:
    """Faults of one thing around the bed: corners that make no footprint, or its standing in it."""
    try:
        reach = outline.reach_of(thing)
        if reach == 0.0:
            return []
    except GeometryError as error:
        return [fault_of(error.fact, units, label)]
    name, inside = thing.name or thing.kind, f"{say_length(reach, units)} inside the bed's edge"
    if thing.distance is not None:
        said = f"{say_length(thing.distance, units)}, which puts it up to {inside}"
        accepted = f"a distance that keeps {name} out of the bed, measured from the bed's middle"
        return [Fault(f"{label}.distance", said, accepted)]
    field = "corners" if thing.at is None else "at"
    accepted = f"a place that keeps {name} out of it"
    return [Fault(f"{label}.{field}", f"a place up to {inside}", accepted)]


def check_materials(values: dict[str, Any]) -> list[Fault]:
    """Faults among a brief's materials."""
    units: System = values.get("units") or "metric"
    return [fault_of(fact, units) for fact in packs_of(values.get("materials", ()))[1]]


def check_wishes(catalogue: Catalogue) -> Check:
    """Faults among a brief's wishes, looked up in a catalogue."""
    families = {kind.family for kind in catalogue}

    def unknown(field: str, n: int, name: str) -> Fault:
        return unknown_kind(f"wishes.{field}[{n}]", name, catalogue)

    def check(values: dict[str, Any]) -> list[Fault]:
        wishes = values.get("wishes")
        if wishes is None:
            return []
        faults = [
            unknown(field, n, name)
            for field in ("grow", "last_year")
            for n, name in enumerate(getattr(wishes, field), start=1)
            if catalogue.one_named(name) is None
        ]
        faults += [
            unknown("leave_out", n, name)
            for n, name in enumerate(wishes.leave_out, start=1)
            if name not in families and catalogue.one_named(name) is None
        ]
        faults += [
            Fault(f"wishes.colours[{n}]", f"'{word}'", "one of " + ", ".join(COLOUR_WORDS))
            for n, word in enumerate(wishes.colours, start=1)
            if word not in COLOUR_WORDS
        ]
        for n, words in enumerate(wishes.edge_with, start=1):
            faults += _edge_faults(f"wishes.edge_with[{n}]", words, catalogue)
        settled = wishes_by_key(wishes, catalogue)
        both = sorted(set(settled.grow) & set(settled.leave_out))
        faults += [
            Fault("wishes.grow", f"'{name}', which is also left out", "a kind in one list only")
            for name in both
        ]
        return faults

    return check


def _edge_faults(field: str, words: str, catalogue: Catalogue) -> list[Fault]:
    """Faults of a kind, with or without its colour, for the edging."""
    name, colour = kind_and_colour(words)
    kind = catalogue.one_named(name)
    if kind is None:
        return [unknown_kind(field, name, catalogue)]
    forms = [form.name for form in kind.colours]
    if colour is None or colour in forms:
        return []
    return [Fault(field, f"'{words}'", f"'{name}' or '{name}: ' and one of {', '.join(forms)}")]


def check_learned(catalogue: Catalogue) -> Check:
    """Figures of kinds that the catalogue does not have."""

    def check(values: dict[str, Any]) -> list[Fault]:
        learned = values.get("learned")
        names = () if learned is None else learned.kinds
        return [
            unknown_kind(f"learned.{name}", name, catalogue)
            for name in names
            if name not in catalogue.kinds and name != OTHERS
        ]

    return check


def check_changes(catalogue: Catalogue) -> Check:
    """Faults among the changes a brief asks for, looked up in a catalogue."""

    def check(values: dict[str, Any]) -> list[Fault]:
        faults = []
        wishes = values.get("wishes")
        in_gaps = wishes is not None and wishes.gaps_only and values.get("existing")
        if in_gaps and values.get("changes"):
            accepted = "none where only gaps are planted (wishes.gaps_only)"
            faults.append(Fault("changes", "changes of drifts", accepted))
        changes = list(enumerate(values.get("changes", ()), start=1))
        never = {_key(change.never, catalogue) for _, change in changes if change is not None}
        named = () if wishes is None else wishes.grow
        for n, change in changes:
            field, name = _kind_of(change)
            if name is None:
                continue
            kind = catalogue.one_named(name)
            if kind is None:
                faults.append(unknown_kind(f"changes[{n}].{field}", name, catalogue))
                continue
            if field == "never" and kind.key in {_key(one, catalogue) for one in named}:
                accepted = "a kind that wishes.grow does not name"
                faults.append(Fault(f"changes[{n}].never", f"'{name}'", accepted))
            if field == "grow" and kind.key in never:
                accepted = "a kind that no other change says is never to grow here"
                faults.append(Fault(f"changes[{n}].grow", f"'{name}'", accepted))
            forms = [form.name for form in kind.colours]
            if change.colour not in (None, *forms):
                accepted = "one of " + ", ".join(forms)
                faults.append(Fault(f"changes[{n}].colour", f"'{change.colour}'", accepted))
        return faults

    return check


def _kind_of(change: Change | None) -> tuple[str, str | None]:
    """The field of a change that names a kind, and the name; None where none does."""
    if change is None:
        return "grow", None
    return ("never", change.never) if change.never is not None else ("grow", change.grow)


def unknown_kind(
    field: str,
    name: str,
    catalogue: Catalogue,
    accepted: str = "a key of the catalogue, or a name that only one kind has",
) -> Fault:
    """The fault of a name that is none of the catalogue's or that several kinds have: these, or
    keys like it."""
    near = [kind.key for kind in catalogue.named(name)] or catalogue.like(name)
    hint = f"; near it: {', '.join(near)}" if near else "; 'bedwright kinds' lists them"
    return Fault(field, f"'{name}'", f"{accepted}{hint}")


def brief_by_key(brief: Brief, catalogue: Catalogue) -> Brief:
    """A brief that calls every kind by its key in the catalogue, whatever name it was given."""
    changes = tuple(
        change.model_copy(
            update={name: _key(getattr(change, name), catalogue) for name in ("grow", "never")}
        )
        for change in brief.changes
    )
    wishes = wishes_by_key(brief.wishes, catalogue)
    return brief.model_copy(update={"wishes": wishes, "changes": changes})


def wishes_by_key(wishes: Wishes, catalogue: Catalogue) -> Wishes:
    """Wishes that call every kind by its key; what is no kind's name stays."""
    names = {
        field: tuple(dict.fromkeys(_key(name, catalogue) for name in getattr(wishes, field)))
        for field in ("grow", "last_year", "leave_out")
    }
    edging = tuple(_edge_by_key(words, catalogue) for words in wishes.edge_with)
    return wishes.model_copy(update={**names, "edge_with": edging})


def _edge_by_key(words: str, catalogue: Catalogue) -> str:
    name, colour = kind_and_colour(words)
    return _key(name, catalogue) if colour is None else f"{_key(name, catalogue)}: {colour}"


@overload
def _key(name: str, catalogue: Catalogue) -> str: ...
@overload
def _key(name: None, catalogue: Catalogue) -> None: ...
def _key(name: str | None, catalogue: Catalogue) -> str | None:
    """The key of the only kind of a name; the name where there is none, or several."""
    kind = None if name is None else catalogue.one_named(name)
    return name if kind is None else kind.key
