"""Beds to begin with, by shape, in the gardener's units."""

from __future__ import annotations

from copy import deepcopy
from math import ceil
from typing import Any

from bedwright.store import Values

Shape = dict[str, Any]

STARTERS: dict[str, tuple[Shape, Shape]] = {
    "oval island": (
        {"shape": "ellipse", "length": "4 m", "width": "2.4 m"},
        {"shape": "ellipse", "length": "13 ft", "width": "8 ft"},
    ),
    "border by a wall": (
        {"shape": "rectangle", "length": "6 m", "width": "1.5 m", "viewed_from": ["S"]},
        {"shape": "rectangle", "length": "20 ft", "width": "5 ft", "viewed_from": ["S"]},
    ),
    "strip along a path": (
        {"shape": "rectangle", "length": "5 m", "width": "0.8 m", "viewed_from": ["N", "S"]},
        {"shape": "rectangle", "length": "16 ft", "width": "2 ft 6 in", "viewed_from": ["N", "S"]},
    ),
    "corner": (
        {
            "shape": "polygon",
            "corners": [["0 m", "0 m"], ["3 m", "0 m"], ["0 m", "3 m"]],
            "viewed_from": ["NE"],
        },
        {
            "shape": "polygon",
            "corners": [["0 ft", "0 ft"], ["10 ft", "0 ft"], ["0 ft", "10 ft"]],
            "viewed_from": ["NE"],
        },
    ),
    "kidney": (
        {
            "shape": "curve",
            "pegs": [["0 m", "1.2 m"], ["0.8 m", "2.4 m"], ["2.5 m", "2.6 m"], ["4.3 m", "2.3 m"],
                     ["5 m", "1.1 m"], ["4 m", "0.2 m"], ["2.5 m", "0.9 m"], ["1 m", "0.2 m"]],
        },
        {
            "shape": "curve",
            "pegs": [["0 ft", "4 ft"], ["2 ft 6 in", "8 ft"], ["8 ft", "8 ft 6 in"],
                     ["14 ft", "7 ft 6 in"], ["16 ft 6 in", "3 ft 6 in"], ["13 ft", "6 in"],
                     ["8 ft", "3 ft"], ["3 ft 6 in", "6 in"]],
        },
    ),
}  # fmt: skip
"""Outlines in metres and in feet."""


def starter(shape: str, town: str, title: str, units: str) -> Values:
    """The brief of a new bed."""
    values: Values = {
        "title": title.strip() or f"{shape[0].upper()}{shape[1:]}",
        "units": units,
        "place": {"town": town.strip()},
        "bed": deepcopy(STARTERS[shape][units == "us"]),
    }
    if shape == "border by a wall":
        far, high, long = ("1.6 m", "1.8 m", "8 m") if units == "metric" else ("5 ft 3 in", "6 ft",
                                                                               "26 ft")  # fmt: skip
        values["surroundings"] = [
            {"kind": "wall", "name": "wall", "bearing": "N", "distance": far, "length": long,
             "height": high}
        ]  # fmt: skip
    return values


THINGS: dict[str, tuple[Shape, Shape]] = {
    "building": (
        {"width": "10 m", "depth": "7 m", "height": "3 m", "distance": "8 m"},
        {"width": "32 ft", "depth": "23 ft", "height": "10 ft", "distance": "26 ft"},
    ),
    "wall": (
        {"length": "8 m", "height": "1.8 m", "distance": "3 m"},
        {"length": "26 ft", "height": "6 ft", "distance": "10 ft"},
    ),
    "fence": (
        {"length": "8 m", "height": "1.5 m", "distance": "3 m"},
        {"length": "26 ft", "height": "5 ft", "distance": "10 ft"},
    ),
    "hedge": (
        {"length": "8 m", "height": "1.5 m", "distance": "3 m"},
        {"length": "26 ft", "height": "5 ft", "distance": "10 ft"},
    ),
    "tree": (
        {"spread": "5 m", "height": "8 m", "distance": "8 m"},
        {"spread": "16 ft", "height": "26 ft", "distance": "26 ft"},
    ),
    "shrub": (
        {"spread": "1.5 m", "height": "1.5 m", "distance": "3 m"},
        {"spread": "5 ft", "height": "5 ft", "distance": "10 ft"},
    ),
}
"""What a thing that stands around is taken for until it is measured, in metres and in feet."""

SIDES = ("N", "E", "W", "S")


def thing(kind: str, units: str, before: int, reach_m: float = 0.0) -> Values:
    """A thing that stands around the bed, until it is measured; ``before``: how many stand there
    already, so that the next is put on another side; ``reach_m``: how far the bed reaches from its
    middle, so that it stands clear of it.  Raises KeyError."""
    made = {"kind": kind, "bearing": SIDES[before % 4], **THINGS[kind][units == "us"]}
    far, unit = (0.3048, "ft") if units == "us" else (1.0, "m")
    paces = ceil(reach_m / far) + (3 if units == "us" else 1)
    if paces > int(made["distance"].split()[0]):
        made["distance"] = f"{paces} {unit}"
    return made
