"""What stands around the bed, as bodies in the bed's frame, heights above the bed's origin.

A building is a convex piece for each wing of its footprint, under its roof; a wall, fence or hedge
one for each straight stretch and joint.  A tree or shrub is a crown, rounded (an ellipsoid),
conical or columnar, on a trunk.  Everything stands on the ground as it slopes at the bed, unless
the brief says how high its foot is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Barrier, Building, MonthDay, Neighbour, Tree
from bedwright.geometry import TRUNK_SHARE, Outline, foot_of, legs_of, walls_of
from bedwright.light.roofs import pieces_of, roofed

Floats = NDArray[np.float64]

OPENNESS = {"wall": 0.0, "fence": 0.15, "hedge": 0.05}
"""Share of light let through when the brief does not say (estimate)."""

CROWN_IN_LEAF, CROWN_BARE, CROWN_EVERGREEN = 0.19, 0.51, 0.27
"""Share of the sky seen through single grown crowns: means of ten deciduous trees in summer (0.11
lime to 0.24 birch and alder) and winter (0.44 hawthorn to 0.54), and Scots pine in summer.
D. M. Wilkinson, thesis, Manchester Metropolitan University, 1992, as tabled in P. Tregenza and
S. Sharples, Daylighting Algorithms, 1993, algorithm 1.44 (naturalfrequency.com, read)."""

CROWN_BASE_SHARE = {"tree": 0.3, "shrub": 0.0}
"""Height of the lowest branches as a share of the height, when not stated (estimate)."""


@dataclass(frozen=True)
class Foliage:
    """Share of light through a crown in leaf and bare; days between which it is in leaf.

    ``leaf``: None where the season says (``season.leaf_days``).
    """

    in_leaf: float
    bare: float
    leaf: tuple[MonthDay, MonthDay] | None = None


WOOD = Foliage(0.0, 0.0)


@dataclass(frozen=True)
class Solid:
    """Convex pieces, (n, 3) corners each in metres, ground ones included, which together take light
    once; share of it that comes through."""

    pieces: tuple[Floats, ...]
    openness: float


@dataclass(frozen=True)
class Crown:
    """An ellipsoid about a vertical axis: centre and half axes in metres."""

    centre: tuple[float, float, float]
    radius: float
    half_height: float
    foliage: Foliage


@dataclass(frozen=True)
class Taper:
    """A cylinder, a cone or a cone cut short, upright: axis, heights and radii of both ends."""

    axis: tuple[float, float]
    base: float
    top: float
    base_radius: float
    top_radius: float
    foliage: Foliage


Body = Solid | Crown | Taper


def bodies_of(outline: Outline, things: tuple[Neighbour, ...]) -> list[Body]:
    """Bodies of everything that stands around a bed.

    Raises GeometryError where corners make no footprint.
    """
    bodies: list[Body] = []
    for thing in things:
        if isinstance(thing, Tree):
            bodies += _tree(outline, thing)
        elif isinstance(thing, Building):
            bodies.append(_standing(outline, _building(outline, thing), 0.0))
        else:
            share = OPENNESS[thing.kind] if thing.openness is None else thing.openness
            bodies.append(_standing(outline, _barrier(outline, thing), share))
    return bodies


def _level(outline: Outline, spots: Floats) -> Floats:
    """Height of the ground at (n, 2) spots above that at the frame's origin."""
    return np.asarray(spots @ np.array(outline.rise))


def _foot(outline: Outline, thing: Neighbour, spot: tuple[float, float]) -> float:
    """Height of a thing's foot above the ground at the frame's origin: as stated, or the ground's
    at a spot."""
    if thing.base_height is not None:
        return float(_level(outline, np.array(outline.middle))) + thing.base_height
    return float(_level(outline, np.array(spot)))


def _standing(outline: Outline, tops: list[Floats], share: float) -> Solid:
    """What stands between the ground and each of some (n, 3) tops."""
    pieces = [_above_ground(outline, top) for top in tops]
    return Solid(tuple(piece for piece in pieces if piece is not None), share)


def _above_ground(outline: Outline, top: Floats) -> Floats | None:
    """Corners of the convex piece below (n, 3) corners of its top and above the ground; None where
    nothing is."""
    ground = _level(outline, top[:, :2])
    if (top[:, 2] >= ground - 1e-9).all():
        return np.concatenate([np.column_stack([top[:, :2], ground]), top])
    if (top[:, 2] <= ground + 1e-9).all():
        return None
    from scipy.spatial import ConvexHull  # only where something sinks into a slope

    # The same piece reaching underground, cut by the ground: what of its corners lies above, and
    # where the lines from those to the ones below pass through it.
    foot = np.column_stack([top[:, :2], np.minimum(ground, top[:, 2]) - 1.0])
    corners = np.concatenate([top, foot])
    height = corners[:, 2] - np.tile(ground, 2)
    above, below = corners[height > 0.0], corners[height <= 0.0]
    up, down = height[height > 0.0], height[height <= 0.0]
    share = up[:, None] / (up[:, None] - down[None, :])
    through = above[:, None] + share[:, :, None] * (below[None] - above[:, None])
    spots = np.concatenate([above, through.reshape(-1, 3)])
    return np.asarray(spots[ConvexHull(spots).vertices])


def _building(outline: Outline, house: Building) -> list[Floats]:
    """Tops of its wings: corners of the roof, eaves included."""
    walls = walls_of(outline, house)
    foot = _foot(outline, house, (walls.centroid.x, walls.centroid.y))
    eaves = foot + house.height
    if house.roof_shape == "flat" or house.ridge is None or house.ridge <= house.height:
        rings = [np.array(piece.exterior.coords)[:-1] for piece in pieces_of(walls)]
        return [np.column_stack([ring, np.full(len(ring), eaves)]) for ring in rings]
    along = house.ridge_runs
    toward = None if along is None else np.array(outline.toward(along))
    return roofed(walls, eaves, foot + house.ridge, house.roof_shape == "hip", toward)


def _barrier(outline: Outline, barrier: Barrier) -> list[Floats]:
    """Tops of its stretches and joints, which follow the ground unless its foot is stated."""
    tops = []
    for leg in legs_of(outline, barrier):
        foot = _level(outline, leg)
        if barrier.base_height is not None:
            foot = np.full(len(leg), _foot(outline, barrier, outline.middle))
        tops.append(np.column_stack([leg, foot + barrier.height]))
    return tops


def _tree(outline: Outline, tree: Tree) -> list[Body]:
    x, y = foot_of(outline, tree)
    foot = _foot(outline, tree, (x, y))
    share = CROWN_BASE_SHARE[tree.kind]
    base = share * tree.height if tree.crown_base is None else tree.crown_base
    usual = CROWN_EVERGREEN if tree.evergreen else CROWN_IN_LEAF
    in_leaf = usual if tree.openness is None else tree.openness
    bare = max(CROWN_BARE, in_leaf) if tree.openness_bare is None else tree.openness_bare
    leaf = None
    if tree.leaf_out is not None and tree.leaf_fall is not None:
        leaf = tree.leaf_out, tree.leaf_fall
    foliage = Foliage(in_leaf, in_leaf if tree.evergreen else bare, leaf)
    radius = tree.spread / 2
    low, high = foot + base, foot + tree.height
    bodies: list[Body] = []
    if tree.crown == "rounded":
        centre = (x, y, (low + high) / 2)
        bodies.append(Crown(centre, radius, (high - low) / 2, foliage))
    else:
        tip = radius if tree.crown == "columnar" else 0.0
        bodies.append(Taper((x, y), low, high, radius, tip, foliage))
    trunk = TRUNK_SHARE * radius if tree.trunk is None else tree.trunk / 2
    if base > 0.0 and trunk > 0.0:
        bodies.append(Taper((x, y), foot, low, trunk, trunk, WOOD))
    return bodies
