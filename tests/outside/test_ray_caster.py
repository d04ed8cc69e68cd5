"""Shadows against an independent ray caster, cell by cell: trimesh, a general mesh library.

A box, a long thin wall, a house with a ridge and a sphere, each under suns all about the sky; a ray
from each cell toward the sun meets the mesh or it does not.
"""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from bedwright.light.kernel import Shading, sunlight

SUNS = 120
RNG = np.random.default_rng(11)
AZIMUTH = RNG.uniform(0, 2 * np.pi, SUNS)
ELEVATION = np.radians(RNG.uniform(3, 80, SUNS))
TOWARD = np.column_stack([np.cos(AZIMUTH), np.sin(AZIMUTH), np.tan(ELEVATION)])
CELLS = np.array(np.meshgrid(np.arange(-2, 3, 0.25) + 0.013, np.arange(-2, 3, 0.25) + 0.017))
CELLS = CELLS.reshape(2, -1).T


def prism(x: float, y: float, width: float, depth: float, height: float, ridge: float = 0.0):  # type: ignore[no-untyped-def]
    """Corners of a box at a place, with a ridge along x if it has one."""
    at = [(x, y), (x + width, y), (x + width, y + depth), (x, y + depth)]
    corners = [(*p, 0.0) for p in at] + [(*p, height) for p in at]
    if ridge:
        corners += [(x, y + depth / 2, ridge), (x + width, y + depth / 2, ridge)]
    return np.array(corners, float)


FEW = 25
"""Suns for round bodies, whose meshes have thousands of faces."""


def ours(corners: np.ndarray, crowns: np.ndarray, suns: int = SUNS) -> np.ndarray:
    """(suns, cells) whether each cell is shaded."""
    starts = np.array([0, len(corners)]) if len(corners) else np.array([0])
    clear = np.zeros(len(starts) - 1), crowns, np.zeros((1, len(crowns))), np.zeros(2)
    lit = [
        sunlight(
            CELLS,
            sun[None],
            np.ones((1, 1)),
            Shading(corners, starts, *clear),
        )[0]
        for sun in TOWARD[:suns]
    ]
    return np.array(lit) == 0.0


def theirs(mesh: trimesh.Trimesh, suns: int = SUNS) -> np.ndarray:
    """The same by casting rays at a mesh."""
    origins = np.tile(np.column_stack([CELLS, np.zeros(len(CELLS))]), (suns, 1))
    hit = mesh.ray.intersects_any(origins, np.repeat(TOWARD[:suns], len(CELLS), axis=0))
    return np.asarray(hit).reshape(suns, len(CELLS))


@pytest.mark.parametrize(
    "corners",
    [
        prism(1.5, 3.5, 3.0, 2.0, 4.0),
        prism(-6.0, -3.0, 14.0, 0.1, 1.8),
        prism(-5.0, 3.2, 6.0, 4.0, 2.5, ridge=4.5),
        prism(-9.0, -1.0, 4.0, 0.8, 0.6),
    ],
    ids=["box", "wall", "house", "low hedge"],
)
def test_solids(corners: np.ndarray) -> None:
    shaded, cast = ours(corners, np.empty((0, 5))), theirs(trimesh.convex.convex_hull(corners))
    assert 0.001 < cast.mean() < 0.95
    # A ray that grazes an edge may fall to either side.
    assert (shaded != cast).mean() < 2e-4


def test_a_sphere() -> None:
    """A mesh of a sphere lies a little within it: only rays near its rim may differ."""
    mesh = trimesh.creation.icosphere(subdivisions=4, radius=2.0)
    mesh.apply_translation([3.0, 2.0, 3.5])
    shaded = ours(np.empty((0, 3)), np.array([[3.0, 2.0, 3.5, 2.0, 2.0]]), FEW)
    cast = theirs(mesh, FEW)
    assert cast.mean() > 0.01
    assert (shaded != cast).mean() < 2e-3
    assert not (cast & ~shaded).any()


def test_a_tall_crown() -> None:
    mesh = trimesh.creation.icosphere(subdivisions=4, radius=1.0)
    mesh.apply_scale([1.5, 1.5, 4.0])
    mesh.apply_translation([-3.0, 1.0, 5.0])
    shaded = ours(np.empty((0, 3)), np.array([[-3.0, 1.0, 5.0, 1.5, 4.0]]), FEW)
    cast = theirs(mesh, FEW)
    assert cast.mean() > 0.005
    assert (shaded != cast).mean() < 2e-3
