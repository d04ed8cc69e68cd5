"""From lawn to planting soil: mark out, clear, refill, feed, correct the pH, water in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import shapely

from bedwright.brief import Brief
from bedwright.geometry import Outline
from bedwright.ground.blend import Shortfall, say_shortfall
from bedwright.ground.clear import Sod, lift_sod, sod_kg_m3
from bedwright.ground.feed import SALT_LIMIT_G_M2, SIDE_DRESS_WEEKS, Dose, Feed, feed, measure_of
from bedwright.ground.markout import MarkOut, mark_out
from bedwright.ground.materials import Material, Pack, materials, packs_of
from bedwright.ground.ph import PhAdvice, PhDose, ph_advice
from bedwright.ground.refill import Layer, Refill, peat_thirst_m3, refill
from bedwright.ground.soiltest import level_of
from bedwright.ground.ways import Clearing, Way, clearing

SETTLE_DAYS = 14
"""Days between digging and planting: one or two soakings and a fortnight (common practice, no
source)."""

SOAK_MM = 25.0
"""One inch of water to settle the soil (common practice, no source)."""

DIG_MINUTES_M2 = {
    "sand": 12.0,
    "sandy loam": 14.0,
    "loam": 16.0,
    "silt loam": 18.0,
    "clay loam": 22.0,
    "clay": 28.0,
}
"""Digging a spit deep by hand (common practice, no source)."""


@dataclass(frozen=True)
class Ground:
    """Everything the soil sheet says; ``worked_m2``: the bed less what stands in it in spring."""

    worked_m2: float
    markout: MarkOut
    clearing: Clearing | None
    sod: Sod | None
    refill: Refill
    feed: Feed
    ph: PhAdvice
    settle_days: int
    soak_m3: float
    dig_minutes: float


def make_ground(
    outline: Outline, brief: Brief, packs: list[Pack], dig_on: date, begin: date | None = None
) -> Ground:
    """The soil work of a bed dug about a day; ``begin``: first day of work, where it is stated."""
    ground = brief.ground
    worked = outline.free_ground(
        [
            shapely.Point(*plant.at).buffer((plant.spread_now or plant.spread) / 2)
            for plant in brief.existing
        ]
    )
    area = float(worked.area)
    ways = clearing(area, brief, None if begin is None else (dig_on - begin).days)
    sod = None
    if ways is not None and ways.lifts:
        rolled = ways.chosen.key == "hired cutter"
        sod = lift_sod(worked, brief, ways.chosen.minutes, rolled)
    return Ground(
        area,
        mark_out(outline, brief.units),
        ways,
        sod,
        refill(area, ground, sod, packs),
        feed(area, ground, packs, brief.units),
        ph_advice(area, ground, packs, dig_on, measure_of(ground, brief.units)),
        SETTLE_DAYS,
        area * SOAK_MM / 1000.0,
        area * DIG_MINUTES_M2[ground.texture],
    )


__all__ = [
    "SALT_LIMIT_G_M2",
    "SETTLE_DAYS",
    "SIDE_DRESS_WEEKS",
    "Clearing",
    "Dose",
    "Feed",
    "Ground",
    "Layer",
    "MarkOut",
    "Material",
    "Pack",
    "PhAdvice",
    "PhDose",
    "Refill",
    "Shortfall",
    "Sod",
    "Way",
    "level_of",
    "make_ground",
    "materials",
    "packs_of",
    "peat_thirst_m3",
    "say_shortfall",
    "sod_kg_m3",
]
