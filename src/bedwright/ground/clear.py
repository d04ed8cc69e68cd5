"""Lifting the sod: how many pieces, how heavy, how much soil goes with them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Brief
from bedwright.ground.rates import rates
from bedwright.units import FOOT_M


class Water(NamedTuple):
    """Shares of a soil's volume that are water."""

    dry: float
    moist: float


WATER_SHARE = {
    "sand": Water(0.045, 0.12),
    "sandy loam": Water(0.11, 0.23),
    "loam": Water(0.12, 0.25),
    "silt loam": Water(0.15, 0.29),
    "clay loam": Water(0.205, 0.335),
    "clay": Water(0.22, 0.36),
}
"""Share of a soil's volume that is water when it feels dry and when it is moist after rain: wilting
point and field capacity, middles of the ranges of FAO Irrigation and Drainage Paper 56, table 19
(from memory; clay loam by its silty clay loam)."""

WATER_KG_M3 = 1000.0

SOIL_KG_M3 = {
    "sand": 1550.0,
    "sandy loam": 1450.0,
    "loam": 1300.0,
    "silt loam": 1300.0,
    "clay loam": 1250.0,
    "clay": 1200.0,
}
"""Dry bulk density of garden topsoil by texture (from memory; a plough layer of 2.4 million lb an
acre over 8 in is 1,320 kg/m³, UC Davis Analytical Lab)."""

ROUND_UP_M2 = 1e-6
"""Ground of less than this is none."""


@dataclass(frozen=True)
class Sod:
    """What lifting the sod takes.

    ``whole`` and ``part``: pieces of ``piece_m`` by ``length_m`` laid out from the base line, long
    sides along it; ``cuts_m``: length of all cuts, edges too; ``dry_kg``, ``wet_kg``: weight of all
    the sod when its soil feels dry and when it is moist; ``piece_kg``: of a whole piece, moist;
    ``soil_m3``: soil that goes with it; ``patch_m2``: lawn it would cover; ``heap_m3``: room that
    it takes stacked.
    """

    piece_m: float
    length_m: float
    thickness_m: float
    whole: int
    part: int
    cuts_m: float
    dry_kg: float
    wet_kg: float
    piece_kg: float
    soil_m3: float
    patch_m2: float
    heap_m3: float
    minutes: float


def thickness_of(brief: Brief) -> float:
    """How thick the sod is cut, metres: as stated, else 4 cm or 1½ in."""
    return brief.ground.sod_thickness or (0.0381 if brief.units == "us" else 0.04)


def lift_sod(worked: BaseGeometry, brief: Brief, minutes: float, rolled: bool = False) -> Sod:
    """The cutting plan of the ground worked; ``minutes``: how long the lifting takes (see
    ``ways``); ``rolled``: whether a cutter makes strips of it."""
    ground, us = brief.ground, brief.units == "us"
    area, thick = float(worked.area), thickness_of(brief)
    side = ground.sod_piece or (FOOT_M if us else 0.3)
    length = ground.sod_length or ((0.9144 if us else 0.9) if rolled else side)
    whole, part = _pieces(worked, length, side)
    volume = area * thick
    dry, wet = sod_kg_m3(ground.texture)
    return Sod(
        piece_m=side,
        length_m=length,
        thickness_m=thick,
        whole=whole,
        part=part,
        cuts_m=float(worked.boundary.length) + _inner_cuts(worked, length, side),
        dry_kg=volume * dry,
        wet_kg=volume * wet,
        piece_kg=side * length * thick * wet,
        soil_m3=volume * rates()["sod_soil"],
        patch_m2=area,
        heap_m3=volume * rates()["sod_stacked"],
        minutes=minutes,
    )


def sod_kg_m3(texture: str) -> tuple[float, float]:
    """Weight of sod when it feels dry and when it is moist: its soil's dry weight and the water."""
    water = WATER_SHARE[texture]
    soil = SOIL_KG_M3[texture] * rates()["sod_soil"]
    return soil + WATER_KG_M3 * water.dry, soil + WATER_KG_M3 * water.moist


def _pieces(worked: BaseGeometry, length: float, width: float) -> tuple[int, int]:
    """Whole and part pieces of a grid laid from the ground's lower left corner."""
    x0, y0, x1, y1 = worked.bounds
    columns = np.arange(math.ceil((x1 - x0) / length - 1e-9))
    rows = np.arange(math.ceil((y1 - y0) / width - 1e-9))
    grid_x, grid_y = np.meshgrid(x0 + columns * length, y0 + rows * width)
    pieces = shapely.box(grid_x, grid_y, grid_x + length, grid_y + width).ravel()
    shapely.prepare(worked)
    covered = np.where(shapely.contains(worked, pieces), length * width, 0.0)
    crossed = shapely.intersects(worked, pieces) & (covered == 0.0)
    covered[crossed] = shapely.area(shapely.intersection(pieces[crossed], worked))
    whole = covered >= length * width - ROUND_UP_M2
    return int(whole.sum()), int(((covered > ROUND_UP_M2) & ~whole).sum())


def _inner_cuts(worked: BaseGeometry, length: float, width: float) -> float:
    """Length of the straight cuts between pieces."""
    x0, y0, x1, y1 = worked.bounds
    lines = [
        shapely.LineString([(x, y0), (x, y1)]) for x in np.arange(x0 + length, x1 - 1e-9, length)
    ] + [shapely.LineString([(x0, y), (x1, y)]) for y in np.arange(y0 + width, y1 - 1e-9, width)]
    edge = worked.boundary
    inside = [line.intersection(worked).difference(edge) for line in lines]
    return float(sum(part.length for part in inside))
