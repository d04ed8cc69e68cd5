"""What stands around the bed, as solids in the bed's frame.

A building, wall, fence or hedge is a convex solid given by its corners (a gable roof's ridge ends
among them); a footprint that is not convex is cut into convex pieces.  A tree is an ellipsoid crown
on a trunk.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Building, Neighbour, Tree
from bedwright.geometry import Outline, footprint

OPENNESS = {"building": 0.0, "wall": 0.0, "fence": 0.15, "hedge": 0.05}
"""Share of light let through when the brief does not say (estimate)."""

CROWN_IN_LEAF, CROWN_BARE = 0.15, 0.60
"""Share of the sun let through a deciduous crown in leaf and bare (from memory: published means for
street trees lie about 0.1-0.25 and 0.5-0.8)."""

CROWN_BASE_SHARE = 0.3
"""Height of the lowest branches as a share of the tree's, when not stated (estimate)."""


@dataclass(frozen=True)
class Solid:
    """A convex solid: (n, 3) corners in metres, ground ones included; share of light through."""

    name: str
    corners: NDArray[np.float64]
    openness: float


@dataclass(frozen=True)
class Crown:
    """A tree's crown: centre and half axes in metres; light through in leaf and bare."""

    name: str
    centre: tuple[float, float, float]
    radius: float
    half_height: float
    in_leaf: float
    bare: float


def solids_of(outline: Outline, things: tuple[Neighbour, ...]) -> list[Solid | Crown]:
    """Solids of everything that stands around a bed."""
    return [_crown(outline, t) if t.kind == "tree" else _solid(outline, t) for t in things]


def _solid(outline: Outline, thing: Neighbour) -> Solid:
    ring = np.array(footprint(outline, thing).exterior.coords)[:-1]
    base = np.column_stack([ring, np.zeros(len(ring))])
    top = np.column_stack([ring, np.full(len(ring), thing.height)])
    parts = [base, top]
    if isinstance(thing, Building) and thing.ridge:
        parts.append(_ridge(ring, thing.ridge))
    openness = getattr(thing, "openness", None)
    share = OPENNESS[thing.kind] if openness is None else openness
    return Solid(thing.name or thing.kind, np.concatenate(parts), share)


def _ridge(ring: NDArray[np.float64], height: float) -> NDArray[np.float64]:
    """Both ends of a ridge along the longer side of a rectangle, above the middle."""
    a, b, c, d = ring
    if np.linalg.norm(b - a) >= np.linalg.norm(c - b):
        ends = [(a + d) / 2, (b + c) / 2]
    else:
        ends = [(a + b) / 2, (c + d) / 2]
    return np.column_stack([np.array(ends), [height, height]])


def _crown(outline: Outline, tree: Tree) -> Crown:
    x, y = outline.paced(tree.bearing, tree.distance)
    base = CROWN_BASE_SHARE * tree.height if tree.crown_base is None else tree.crown_base
    in_leaf = CROWN_IN_LEAF if tree.openness is None else tree.openness
    bare = in_leaf if tree.evergreen else max(CROWN_BARE, in_leaf)
    return Crown(
        tree.name or "tree",
        (x, y, (tree.height + base) / 2),
        tree.spread / 2,
        (tree.height - base) / 2,
        in_leaf,
        bare,
    )
