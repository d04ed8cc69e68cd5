"""Lifting the sod: how many pieces, how heavy, how much soil goes with them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from bedwright.brief import GroundFound
from bedwright.geometry import Outline

SOD_KG_M3 = 1350.0
"""Moist sod, soil and roots together (estimate: sods of 4 cm then weigh 54 kg/m², 11 lb/sq ft; a
sod farm's thin-cut rolls, 5 to 6 lb/sq ft, are half as thick)."""

SOIL_SHARE = 0.85
"""Share of a sod's volume that is soil (estimate)."""

ROUND_UP_M2 = 1e-6

SPADE_MINUTES_M2 = 22.0
"""Lifting and stacking sod with a spade, a fit adult (common practice, no source)."""


@dataclass(frozen=True)
class Sod:
    """What lifting the sod takes.

    ``whole`` and ``part``: pieces of ``piece_m`` square laid out from the base line; ``cuts_m``:
    length of all cuts, edge included; ``weight_kg``: of all the sod, moist; ``soil_m3``: soil that
    goes with it; ``patch_m2``: lawn it would cover.
    """

    piece_m: float
    thickness_m: float
    whole: int
    part: int
    cuts_m: float
    weight_kg: float
    piece_kg: float
    soil_m3: float
    patch_m2: float
    minutes: float


def lift_sod(outline: Outline, ground: GroundFound) -> Sod | None:
    """The cutting plan, or None where there is no lawn to lift."""
    if ground.found != "lawn" or ground.clear_by != "lift":
        return None
    area, side, thick = outline.area_m2, ground.sod_piece, ground.sod_thickness
    whole, part = _pieces(outline, side)
    volume = area * thick
    return Sod(
        piece_m=side,
        thickness_m=thick,
        whole=whole,
        part=part,
        cuts_m=outline.perimeter_m + _inner_cuts(outline, side),
        weight_kg=volume * SOD_KG_M3,
        piece_kg=side * side * thick * SOD_KG_M3,
        soil_m3=volume * SOIL_SHARE,
        patch_m2=area,
        minutes=area * SPADE_MINUTES_M2,
    )


def _pieces(outline: Outline, side: float) -> tuple[int, int]:
    """Whole and part squares of a grid laid from the outline's lower left corner."""
    x0, y0, x1, y1 = outline.polygon.bounds
    columns = np.arange(math.ceil((x1 - x0) / side - 1e-9))
    rows = np.arange(math.ceil((y1 - y0) / side - 1e-9))
    grid_x, grid_y = np.meshgrid(x0 + columns * side, y0 + rows * side)
    squares = shapely.box(grid_x, grid_y, grid_x + side, grid_y + side).ravel()
    covered = shapely.area(shapely.intersection(squares, outline.polygon))
    whole = covered >= side * side - ROUND_UP_M2
    return int(whole.sum()), int(((covered > ROUND_UP_M2) & ~whole).sum())


def _inner_cuts(outline: Outline, side: float) -> float:
    """Length of the straight cuts between pieces."""
    x0, y0, x1, y1 = outline.polygon.bounds
    lines = [
        shapely.LineString([(x, y0), (x, y1)]) for x in np.arange(x0 + side, x1 - 1e-9, side)
    ] + [shapely.LineString([(x0, y), (x1, y)]) for y in np.arange(y0 + side, y1 - 1e-9, side)]
    inside = [line.intersection(outline.polygon) for line in lines]
    return float(sum(part.length for part in inside))
