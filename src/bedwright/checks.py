"""Checks of a brief against what lies outside it: geometry, the catalogue, the materials."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

from bedwright.brief import Check, Fault, Neighbour, kind_and_colour, label_of
from bedwright.catalogue import Catalogue
from bedwright.geometry import GeometryError, Outline, outline_of
from bedwright.ground import packs_of
from bedwright.planting import COLOUR_WORDS
from bedwright.units import System, say_length


def checks(catalogue: Catalogue | None) -> tuple[Check, ...]:
    """All of them, for ``brief.read_brief``; without a catalogue, those that need none."""
    if catalogue is None:
        return check_outline, check_goods
    return check_outline, check_goods, check_wishes(catalogue), check_changes(catalogue)


def check_outline(values: dict[str, Any]) -> list[Fault]:
    """Faults of the outline, and of what stands in it or about it."""
    bed = values.get("bed")
    if bed is None:
        return []
    try:
        outline = outline_of(bed)
    except GeometryError as error:
        return [Fault(f"bed.{error.field}", error.given, error.accepted)]
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
    for n, thing in enumerate(values.get("surroundings", ())):
        if thing is not None:
            faults += _faults_about(
                outline, thing, label_of(n, thing), values.get("units", "metric")
            )
    return faults


def _faults_about(outline: Outline, thing: Neighbour, label: str, units: System) -> list[Fault]:
    """Faults of one thing around the bed: corners that make no footprint, or its standing in it."""
    try:
        reach = outline.reach_of(thing)
        if reach == 0.0:
            return []
    except GeometryError as error:
        return [Fault(f"{label}.{error.field}", error.given, error.accepted)]
    name, inside = thing.name or thing.kind, f"{say_length(reach, units)} inside the bed's edge"
    if thing.distance is not None:
        said = f"{say_length(thing.distance, units)}, which puts it up to {inside}"
        accepted = f"a distance that keeps {name} out of the bed, measured from the bed's middle"
        return [Fault(f"{label}.distance", said, accepted)]
    field = "corners" if thing.at is None else "at"
    accepted = f"a place that keeps {name} out of it"
    return [Fault(f"{label}.{field}", f"a place up to {inside}", accepted)]


def check_goods(values: dict[str, Any]) -> list[Fault]:
    """Faults among a brief's goods."""
    return packs_of(values.get("goods", ()))[1]


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
            if name not in catalogue.kinds
        ]
        faults += [
            unknown("leave_out", n, name)
            for n, name in enumerate(wishes.leave_out, start=1)
            if name not in catalogue.kinds and name not in families
        ]
        faults += [
            Fault(f"wishes.colours[{n}]", f"'{word}'", "one of " + ", ".join(COLOUR_WORDS))
            for n, word in enumerate(wishes.colours, start=1)
            if word not in COLOUR_WORDS
        ]
        for n, words in enumerate(wishes.edge_with, start=1):
            faults += _edge_faults(f"wishes.edge_with[{n}]", words, catalogue)
        both = sorted(set(wishes.grow) & set(wishes.leave_out))
        faults += [
            Fault("wishes.grow", f"'{name}', which is also left out", "a kind in one list only")
            for name in both
        ]
        return faults

    return check


def _edge_faults(field: str, words: str, catalogue: Catalogue) -> list[Fault]:
    """Faults of a kind, with or without its colour, for the edging."""
    key, colour = kind_and_colour(words)
    if key not in catalogue.kinds:
        return [unknown_kind(field, key, catalogue)]
    forms = [form.name for form in catalogue.kinds[key].colours]
    if colour is None or colour in forms:
        return []
    return [Fault(field, f"'{words}'", f"'{key}' or '{key}: ' and one of {', '.join(forms)}")]


def check_changes(catalogue: Catalogue) -> Check:
    """Faults among the changes a brief asks for, looked up in a catalogue."""

    def check(values: dict[str, Any]) -> list[Fault]:
        faults = []
        for n, change in enumerate(values.get("changes", ()), start=1):
            if change is None or change.grow is None:
                continue
            if change.grow not in catalogue.kinds:
                faults.append(unknown_kind(f"changes[{n}].grow", change.grow, catalogue))
                continue
            forms = [form.name for form in catalogue.kinds[change.grow].colours]
            if change.colour not in (None, *forms):
                accepted = "one of " + ", ".join(forms)
                faults.append(Fault(f"changes[{n}].colour", f"'{change.colour}'", accepted))
        return faults

    return check


MOST_NEAR = 6
"""Kinds named beside one that is unknown, at most."""

MEANT_FIRST = {"marigold": ("french_marigold", "african_marigold", "signet_marigold")}
"""Kinds that the trade sells under a bare name, those most sold first (common practice, no
source)."""


def unknown_kind(
    field: str, name: str, catalogue: Catalogue, accepted: str = "a key of the catalogue"
) -> Fault:
    """The fault of a name that is none of the catalogue's, with keys like it."""
    near = kinds_near(name, catalogue)
    hint = f"; near it: {', '.join(near)}" if near else ""
    return Fault(field, f"'{name}'", f"{accepted}{hint}")


def kinds_near(name: str, catalogue: Catalogue) -> list[str]:
    """Keys of the kinds that a name may mean, likeliest first.

    The kind of that very name; those that the trade sells under it; those whose own name holds it
    as a word, the genus with the most of them first, since it is the one that a bare name means;
    those with another name that holds it; and last those that are spelt alike.
    """
    if len(name) > LONGEST_NAME:
        return []
    word = " ".join(name.lower().replace("_", " ").split())
    known = catalogue.find(word)
    found = [known.key] if known else []
    one = word.removesuffix("s")
    found += [key for key in MEANT_FIRST.get(one, ()) if key in catalogue.kinds]
    named = [kind for kind in catalogue if _holds(kind.name, one)]
    genera = Counter(kind.genus for kind in named)
    found += [kind.key for kind in sorted(named, key=lambda kind: -genera[kind.genus])]
    found += [k.key for k in catalogue if any(_holds(other, one) for other in k.other_names)]
    found += catalogue.like(name)
    return list(dict.fromkeys(found))[:MOST_NEAR]


LONGEST_NAME = 60


def _holds(name: str, word: str) -> bool:
    """Whether a name holds a word, in the singular or the plural."""
    parts = name.lower().replace("-", " ")
    return bool(word) and re.search(rf"\b{re.escape(word)}s?\b", parts) is not None
