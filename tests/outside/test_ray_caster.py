"""Shadows against an independent ray caster, cell by cell: trimesh, a general mesh library.

Boxes, walls, houses under gable and hip roofs, spheres, cones and cylinders, on level ground and on
a slope, each under suns all about the sky; a ray from each cell toward the sun meets the mesh or it
does not.
"""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray
from shapely.geometry import Polygon

from bedwright.brief import Brief
from bedwright.geometry import outline_of
from bedwright.light import Solid, bodies_of
from bedwright.light.roofs import roofed
from conftest import brief_of
from shadows import light_through

Floats = NDArray[np.float64]
SUNS = 120
FEW = 25
"""Suns for round bodies, whose meshes have thousands of faces."""
RNG = np.random.default_rng(11)
AZIMUTH = RNG.uniform(0, 2 * np.pi, SUNS)
ELEVATION = np.radians(RNG.uniform(3, 80, SUNS))
TOWARD = np.column_stack([np.cos(AZIMUTH), np.sin(AZIMUTH), np.tan(ELEVATION)])
CELLS = np.array(np.meshgrid(np.arange(-2, 3, 0.25) + 0.013, np.arange(-2, 3, 0.25) + 0.017))
CELLS = CELLS.reshape(2, -1).T
SLOPE = (0.12, -0.2)


def prism(
    x: float, y: float, width: float, depth: float, height: float, ridge: float = 0.0
) -> Floats:
    """Corners of a box at a place, with a ridge along x if it has one."""
    at = [(x, y), (x + width, y), (x + width, y + depth), (x, y + depth)]
    corners = [(*p, 0.0) for p in at] + [(*p, height) for p in at]
    if ridge:
        corners += [(x, y + depth / 2, ridge), (x + width, y + depth / 2, ridge)]
    return np.array(corners, float)


def cast(
    mesh: trimesh.Trimesh, suns: int, tilt: tuple[float, float] = (0.0, 0.0)
) -> NDArray[np.bool_]:
    """(suns, cells) whether a ray from each cell toward each sun meets a mesh."""
    ground = np.column_stack([CELLS, CELLS @ np.array(tilt) + 1e-9])
    hit = mesh.ray.intersects_any(
        np.tile(ground, (suns, 1)), np.repeat(TOWARD[:suns], len(CELLS), axis=0)
    )
    return np.asarray(hit).reshape(suns, len(CELLS))


def above_ground(suns: int, tilt: tuple[float, float]) -> NDArray[np.bool_]:
    """(suns,) whether each stands above the bed's plane; behind it all is dark."""
    return TOWARD[:suns, 2] > TOWARD[:suns, :2] @ np.array(tilt)


def disagreement(
    mesh: trimesh.Trimesh,
    suns: int = SUNS,
    tilt: tuple[float, float] = (0.0, 0.0),
    **bodies: object,
) -> float:
    """Share of cells and suns on which the kernel and the ray caster differ."""
    up = above_ground(suns, tilt)
    shaded = np.array(
        [light_through(CELLS, sun, tilt=tilt, **bodies) == 0.0 for sun in TOWARD[:suns]]  # type: ignore[arg-type]
    )[up]
    theirs = cast(mesh, suns, tilt)[up]
    assert 0.001 < theirs.mean() < 0.95
    return float((shaded != theirs).mean())


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
def test_solids(corners: Floats) -> None:
    # A ray that grazes an edge may fall to either side.
    assert disagreement(trimesh.convex.convex_hull(corners), solids=[corners]) < 2e-4


ELL = Polygon([(-6, 3.4), (4, 3.4), (4, 7), (-1, 7), (-1, 11), (-6, 11)])


@pytest.mark.parametrize("hipped", [False, True], ids=["gable", "hip"])
def test_a_house_with_two_wings(hipped: bool) -> None:
    """The wings' bodies together against one mesh of both."""
    tops = roofed(ELL, 2.6, 4.8, hipped)
    solids = [np.vstack([top, np.column_stack([top[:, :2], np.zeros(len(top))])]) for top in tops]
    meshes = [trimesh.convex.convex_hull(solid) for solid in solids]
    assert disagreement(trimesh.util.concatenate(meshes), solids=solids) < 2e-4


def test_a_sphere() -> None:
    """A mesh of a sphere lies a little within it: only rays near its rim may differ."""
    mesh = trimesh.creation.icosphere(subdivisions=4, radius=2.0)
    mesh.apply_translation([3.0, 2.0, 3.5])
    assert disagreement(mesh, FEW, crowns=[(3.0, 2.0, 3.5, 2.0, 2.0)]) < 2e-3


def test_a_tall_crown() -> None:
    mesh = trimesh.creation.icosphere(subdivisions=4, radius=1.0)
    mesh.apply_scale([1.5, 1.5, 4.0])
    mesh.apply_translation([-3.0, 1.0, 5.0])
    assert disagreement(mesh, FEW, crowns=[(-3.0, 1.0, 5.0, 1.5, 4.0)]) < 2e-3


def test_a_crown_that_reaches_to_the_ground_over_the_bed() -> None:
    """Cells within the crown look out through its far side."""
    mesh = trimesh.creation.icosphere(subdivisions=4, radius=1.5)
    mesh.apply_translation([1.0, 0.5, 1.2])
    assert disagreement(mesh, FEW, crowns=[(1.0, 0.5, 1.2, 1.5, 1.5)]) < 2e-3


ROUND = 200
"""Facets round a mesh of a cone or cylinder, which lie within it by 1 - cos(pi / 200): 0.01%."""


def upright(taper: tuple[float, ...]) -> trimesh.Trimesh:
    """A cylinder or cone as a mesh, from the corners of its ends."""
    x, y, base, top, wide, narrow = taper
    angle = np.linspace(0, 2 * np.pi, ROUND, endpoint=False)
    ring = np.column_stack([np.cos(angle), np.sin(angle)])
    ends = [
        np.column_stack([(x, y) + r * ring, np.full(ROUND, z)])
        for r, z in ((wide, base), (narrow, top))
    ]
    return trimesh.convex.convex_hull(np.vstack(ends))


TAPERS = {
    "cone": (-3.0, 2.5, 0.8, 7.0, 2.2, 0.0),
    "flat cone": (2.5, 2.5, 0.3, 1.1, 2.5, 0.0),
    "cylinder": (3.0, -3.0, 1.5, 6.0, 1.4, 1.4),
    "cone cut short": (-2.5, -3.5, 0.0, 5.0, 1.8, 0.6),
    "over the bed": (0.5, 0.5, 0.0, 2.5, 1.2, 0.0),
}


@pytest.mark.parametrize("taper", TAPERS.values(), ids=TAPERS.keys())
@pytest.mark.parametrize("tilt", [(0.0, 0.0), SLOPE], ids=["level", "slope"])
def test_cones_and_cylinders(taper: tuple[float, ...], tilt: tuple[float, float]) -> None:
    assert disagreement(upright(taper), FEW, tilt, tapers=[taper]) < 2e-3


def on_a_slope(*things: dict[str, object]) -> Brief:
    """A bed of which the ground rises 12% along x and falls 20% along y."""
    rise = float(np.hypot(*SLOPE))
    # x is east and y north: it falls toward the west and the north.
    aspect = float(np.degrees(np.arctan2(-SLOPE[0], -SLOPE[1])) % 360)
    corners = [["-2 m", "-2 m"], ["3 m", "-2 m"], ["3 m", "3 m"], ["-2 m", "3 m"]]
    bed = {"shape": "polygon", "bearing": "E", "corners": corners,
           "slope": f"{100 * rise}%", "aspect": aspect}  # fmt: skip
    return brief_of(bed=bed, surroundings=list(things))


def test_houses_and_fences_on_a_slope() -> None:
    """From the brief to the bodies to the shadows, against the bodies' own meshes."""
    brief = on_a_slope(
        {"kind": "building", "bearing": "N", "distance": "6 m", "width": "5 m", "depth": "4 m",
         "height": "2.4 m", "roof": "hip", "ridge": "4 m"},
        {"kind": "fence", "height": "1.6 m", "openness": 0.0,
         "corners": [["-4 m", "-3 m"], ["4 m", "-3 m"], ["5 m", "4 m"]]},
    )  # fmt: skip
    outline = outline_of(brief.bed)
    assert outline.rise == pytest.approx(SLOPE)
    bodies = [b for b in bodies_of(outline, brief.surroundings) if isinstance(b, Solid)]
    solids = [piece for body in bodies for piece in body.pieces]
    assert [len(body.pieces) for body in bodies] == [1, 3]
    mesh = trimesh.util.concatenate([trimesh.convex.convex_hull(solid) for solid in solids])
    assert disagreement(mesh, SUNS, SLOPE, solids=solids) < 1e-3
