"""From lawn to planting soil: mark out, clear, refill, feed, correct the pH, water in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import shapely

from bedwright.brief import Brief
from bedwright.geometry import Outline
from bedwright.ground.blend import Grams, Shortfall
from bedwright.ground.clear import Sod, lift_sod, sod_kg_m3
from bedwright.ground.feed import SALT_LIMIT_G_M2, SIDE_DRESS_WEEKS, Dose, Feed, feed, measure_of
from bedwright.ground.markout import PART_M, MarkOut, mark_out
from bedwright.ground.materials import (
    AnalysisForName,
    AnalysisOfNoFertiliser,
    Material,
    NoAnalysis,
    NoPackSize,
    NoSuchMaterial,
    Pack,
    PackOutOfBounds,
    Unread,
    materials,
    packs_of,
)
from bedwright.ground.ph import (
    AcidButNoLime,
    ByBuffer,
    ByTexture,
    LimedLately,
    LimeRaisesPh,
    MuchLime,
    NoneToBeHad,
    OnlyPartToBeHad,
    PackNamed,
    PhAdvice,
    PhDose,
    PhSuits,
    PhUnknown,
    SulfurLowersPh,
    ph_advice,
)
from bedwright.ground.rates import dig_minutes_m2, rates
from bedwright.ground.refill import (
    USUAL_BAGS,
    USUAL_BAGS_CU_FT,
    DryPeat,
    FillRotsAway,
    Layer,
    NotEnoughToFill,
    NotRichEnough,
    Refill,
    RicherThanWanted,
    SaltyAndAlkaline,
    TakesUpNitrogen,
    TooRich,
    WantsRetainingEdge,
    peat_soak_m3,
    refill,
)
from bedwright.ground.soiltest import level_of
from bedwright.ground.ways import (
    Clearing,
    LargeForSpade,
    SmallForCutter,
    TimeToSmother,
    Way,
    clearing,
)

FOOT_PART_M = 0.1524
"""Half a foot: of which the sides of a 3-4-5 triangle are whole multiples where feet are used."""


def settle_days() -> int:
    """Days between digging and planting."""
    return int(rates()["settle_wait"])


@dataclass(frozen=True)
class Ground:
    """Everything on the soil sheet; ``worked_m2``: the bed less what stands in it in spring."""

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
    ground, in_feet = brief.ground, brief.units == "us"
    measure = measure_of(ground, in_cups=in_feet)
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
        mark_out(outline, FOOT_PART_M if in_feet else PART_M),
        ways,
        sod,
        refill(area, ground, sod, packs, USUAL_BAGS_CU_FT if in_feet else USUAL_BAGS),
        feed(area, ground, packs, measure),
        ph_advice(area, ground, packs, dig_on, measure),
        settle_days(),
        area * rates()["soak"] / 1000.0,
        area * dig_minutes_m2(ground.texture),
    )


__all__ = [
    "SALT_LIMIT_G_M2",
    "SIDE_DRESS_WEEKS",
    "AcidButNoLime",
    "AnalysisForName",
    "AnalysisOfNoFertiliser",
    "ByBuffer",
    "ByTexture",
    "Clearing",
    "Dose",
    "DryPeat",
    "Feed",
    "FillRotsAway",
    "Grams",
    "Ground",
    "LargeForSpade",
    "Layer",
    "LimeRaisesPh",
    "LimedLately",
    "MarkOut",
    "Material",
    "MuchLime",
    "NoAnalysis",
    "NoPackSize",
    "NoSuchMaterial",
    "NoneToBeHad",
    "NotEnoughToFill",
    "NotRichEnough",
    "OnlyPartToBeHad",
    "Pack",
    "PackNamed",
    "PackOutOfBounds",
    "PhAdvice",
    "PhDose",
    "PhSuits",
    "PhUnknown",
    "Refill",
    "RicherThanWanted",
    "SaltyAndAlkaline",
    "Shortfall",
    "SmallForCutter",
    "Sod",
    "SulfurLowersPh",
    "TakesUpNitrogen",
    "TimeToSmother",
    "TooRich",
    "Unread",
    "WantsRetainingEdge",
    "Way",
    "level_of",
    "make_ground",
    "materials",
    "packs_of",
    "peat_soak_m3",
    "rates",
    "settle_days",
    "sod_kg_m3",
]
