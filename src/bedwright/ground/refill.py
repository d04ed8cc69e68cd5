"""Filling the bed again: how many packs of what, settled depth, organic matter by mass balance.

A whole number of each pack is chosen by integer programming (HiGHS through scipy): fill the volume
wanted, bring the dug layer's organic matter to what is wanted and not over a ceiling, first from
what is at hand, then at least cost.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from bedwright.brief import GroundFound
from bedwright.ground.clear import SOIL_KG_M3, Sod
from bedwright.ground.materials import Pack, by_the_bag, materials

ORGANIC_FOUND = {"lawn": 0.04, "old bed": 0.04, "bare": 0.025}
"""Organic matter of the ground as found, when no test says (estimate)."""

MOST_ORGANIC = 0.15
"""More organic matter than this settles and sinks year by year (common practice, no source)."""

PARTICLE_KG_M3, ORGANIC_PARTICLE_KG_M3 = 2650.0, 1300.0
"""Density of mineral grains and of organic matter, for pore space (soil physics texts, from
memory)."""

RAW_WOOD_RATIO = 40.0
"""Carbon to nitrogen above which a material takes nitrogen from the soil as it rots (common
practice; texts give 25 to 30 as the balance, from memory)."""

BARROW_M3 = 0.085
"""A builder's barrow, 3 cu ft (common practice, no source)."""

RICHER = 0.03
"""Organic matter over what is wanted from which it is told."""

HIGH_M = 0.15
"""Fill from which a bed without a wall slumps (common practice, no source)."""

PEAT_MOIST = 0.70
"""Share of moist peat's weight that is water (estimate; dry peat sheds water until worked wet)."""

SALTY = ("mushroom compost", "rotted manure")
"""Materials that can hold much salt and lime (extension advice, from memory)."""

MOSTLY_ORGANIC, DEEP_FILL_M = 0.6, 0.04
"""A fill deeper than this, and more of it organic than that, sinks visibly (estimate)."""

MOST_OVER = 1.35
"""Overfilling that whole packs may bring, as a share of what is wanted."""

WORK_MINUTES_M3 = 75.0
"""Barrowing, spreading and raking a loose cubic metre (common practice, no source)."""


@dataclass(frozen=True)
class Layer:
    """One material as it goes on: packs, loose volume, depth as spread, weight, barrow loads."""

    label: str
    material: str
    pack: str
    packs: int
    from_hand: int
    to_buy: int
    loose_m3: float
    settled_m3: float
    depth_m: float
    weight_kg: float
    barrows: int
    price: float | None
    raw_wood: bool
    organic_share: float


@dataclass(frozen=True)
class Refill:
    """The refilling: wanted and reached volume, layers in digging order, the balance of matter.

    ``short_m``: how far the finished bed stays below what was wanted.
    """

    wanted_m3: float
    reached_m3: float
    short_m: float
    layers: tuple[Layer, ...]
    organic_before: float
    organic_after: float
    organic_wanted: float
    density_before_kg_m3: float
    density_after_kg_m3: float
    pores_before: float
    pores_after: float
    dig_depth_m: float
    minutes: float
    warnings: tuple[str, ...]


def refill(area_m2: float, ground: GroundFound, sod: Sod | None, packs: list[Pack]) -> Refill:
    """Choose the packs and reckon what they make of the soil."""
    bulk = [p for p in packs if p.material.sort == "bulk"]
    named = bool(bulk)
    if not named:
        bulk = [by_the_bag("compost", 0.05), by_the_bag("topsoil", 0.025)]
    lost = sod.soil_m3 / area_m2 if sod else 0.0
    wanted = area_m2 * (lost + ground.raise_by)
    test = ground.test.organic_matter
    found = ORGANIC_FOUND[ground.found] if test is None else test
    soil_kg = area_m2 * ground.dig_depth * SOIL_KG_M3[ground.texture]
    counts, warnings = _choose(bulk, wanted, soil_kg, found, ground.organic_matter_wanted, named)
    layers = tuple(_layer(p, int(n), area_m2) for p, n in zip(bulk, counts, strict=True) if n > 0)
    return _balance(area_m2, ground, wanted, soil_kg, found, bulk, counts, layers, warnings)


def _choose(
    bulk: list[Pack], wanted: float, soil_kg: float, found: float, target: float, named: bool
) -> tuple[np.ndarray, list[str]]:
    """Packs of each material, and what could not be met."""
    settled = np.array([p.settled_m3 for p in bulk])
    dry = np.array([p.dry_kg for p in bulk])
    organic = np.array([p.material.organic_share for p in bulk])
    at_hand = np.array([np.floor(p.at_hand) for p in bulk])
    buyable = np.array([p.price is not None or not named for p in bulk])
    price = np.array([p.price or 0.0 for p in bulk])
    n = len(bulk)
    # Variables: packs from hand, packs bought.
    most = np.ceil(np.maximum(MOST_OVER * wanted, 1e-9) / settled) + np.ceil(
        np.maximum(soil_kg * target, 1.0)
        / np.maximum(dry * np.maximum(organic - target, 1e-3), 1e-6)
    ).clip(max=500)
    upper = np.concatenate([at_hand, np.where(buyable, most, 0.0)])
    per_m3 = price / settled
    typical = per_m3[price > 0].mean() if (price > 0).any() else 100.0
    # What is at hand costs its labour only; bought goods without a price cost a typical one.
    hand_cost = 0.05 * typical * settled
    buy_cost = np.where(price > 0, price, typical * settled) + 0.05 * typical * settled
    # The last variable is what richness is short of.
    cost = np.concatenate([hand_cost, buy_cost, [0.0]])
    volume = np.concatenate([settled, settled, [0.0]])
    richness = np.concatenate([np.tile(dry * (organic - target), 2), [1.0]])
    ceiling = np.concatenate([np.tile(dry * (organic - MOST_ORGANIC), 2), [0.0]])
    # Where little or no volume is wanted, richness alone may raise the bed.
    lacking = max(target - found, 0.0) * soil_kg
    best = float((dry * np.maximum(organic - target, 0.0) / settled).max())
    enrich = 1.2 * lacking / best + settled.max() if best > 0.0 else 0.0
    highest = max(MOST_OVER * wanted, wanted + settled.max(), enrich)
    rules = {
        "fill": LinearConstraint(volume, wanted, highest),
        "rich": LinearConstraint(richness, soil_kg * (target - found), np.inf),
        "not too rich": LinearConstraint(ceiling, -np.inf, soil_kg * max(MOST_ORGANIC - found, 0)),
    }
    short = np.concatenate([np.zeros(2 * n), [1.0]])
    for kept in (tuple(rules), ("fill", "rich")):
        kept_rules = [rules[k] for k in kept]
        # As rich as can be; then, no poorer than that, for the least money.
        poorest = _least(short, kept_rules, upper)
        if poorest is None:
            continue
        no_poorer = LinearConstraint(short, -np.inf, poorest[-1] * (1 + 1e-6) + LITTLE_KG)
        got = _least(cost, [*kept_rules, no_poorer], upper)
        whole = np.round(poorest if got is None else got)[: 2 * n]
        unmet = [words for name, words in _UNMET.items() if name not in kept]
        if poorest[-1] > LITTLE_KG:
            unmet.insert(0, NOT_RICH)
        return whole[:n] + whole[n:], unmet
    # Not enough to fill: use all there is.
    return at_hand, ["there is not enough to fill the bed to the height wanted"]


def _least(cost: np.ndarray, rules: list[LinearConstraint], upper: np.ndarray) -> np.ndarray | None:
    """Whole packs, from hand and bought, at the least cost within some rules; None where none are.
    The last value is what richness is short of, kg of organic matter."""
    packs = len(upper)
    got = milp(
        cost,
        constraints=rules,
        integrality=np.concatenate([np.ones(packs), [0.0]]),
        bounds=Bounds(0.0, np.concatenate([upper, [np.inf]])),
        options={"mip_rel_gap": 1e-4},
    )
    return None if got.x is None else np.asarray(got.x)


LITTLE_KG = 1e-3
"""Organic matter that makes no difference."""

NOT_RICH = "the organic matter wanted cannot be reached with these materials"

_UNMET = {
    "not too rich": "the fill is so rich in organic matter that it will sink within the year",
}


def _layer(pack: Pack, count: int, area_m2: float) -> Layer:
    loose = pack.loose_m3 * count
    from_hand = int(min(count, np.floor(pack.at_hand)))
    return Layer(
        label=pack.label,
        material=pack.material.name,
        pack=pack.said,
        packs=count,
        from_hand=from_hand,
        to_buy=count - from_hand,
        loose_m3=loose,
        settled_m3=pack.settled_m3 * count,
        depth_m=loose / area_m2,
        weight_kg=pack.weight_kg * count,
        barrows=int(np.ceil(loose / BARROW_M3)),
        price=None if pack.price is None else pack.price * (count - from_hand),
        raw_wood=pack.material.carbon_nitrogen > RAW_WOOD_RATIO and pack.material.name != "peat",
        organic_share=pack.material.organic_share,
    )


def _balance(
    area: float,
    ground: GroundFound,
    wanted: float,
    soil_kg: float,
    found: float,
    bulk: list[Pack],
    counts: np.ndarray,
    layers: tuple[Layer, ...],
    warnings: list[str],
) -> Refill:
    dry = sum(p.dry_kg * n for p, n in zip(bulk, counts, strict=True))
    organic = sum(
        p.dry_kg * n * p.material.organic_share for p, n in zip(bulk, counts, strict=True)
    )
    reached = float(sum(p.settled_m3 * n for p, n in zip(bulk, counts, strict=True)))
    after = float((soil_kg * found + organic) / (soil_kg + dry))
    volume_before = area * ground.dig_depth
    before_density = soil_kg / volume_before if volume_before else 0.0
    after_density = float((soil_kg + dry) / max(volume_before + reached, 1e-9))
    # Deepest first: mineral layers below, the richest on top, so that one digging mixes all.
    ordered = tuple(sorted(layers, key=lambda a: (a.organic_share, a.label)))
    woody = [a.label for a in layers if a.raw_wood]
    if woody:
        warnings = [
            *warnings,
            f"{', '.join(woody)}: rich in carbon; it takes up nitrogen as it"
            " rots, so feed a little more or let it rot first",
        ]
    salty = [a.label for a in layers if a.material in SALTY]
    if salty:
        warnings = [
            *warnings,
            f"{', '.join(salty)}: can be salty and limy; use it well rotted, soak it through before"
            " planting, and test the pH again before any more lime",
        ]
    if peat_thirst_m3(layers) > 0.0:
        warnings = [
            *warnings,
            "peat is packed too dry and sheds water: wet it through before it goes on; compost,"
            " leaf mould, composted bark and coir do the same work and spare bogs",
        ]
    if after > ground.organic_matter_wanted + RICHER and reached > wanted:
        warnings = [
            *warnings,
            "with these materials the bed grows richer than wanted; more topsoil among them would"
            " keep it leaner",
        ]
    if reached / area > HIGH_M:
        warnings = [*warnings, "a bed raised so high wants an edge that holds it"]
    rich = sum(a.settled_m3 for a in layers if a.organic_share > 0.3)
    if reached / area > DEEP_FILL_M and rich / reached > MOSTLY_ORGANIC:
        warnings = [
            *warnings,
            "the fill is mostly organic and rots away: expect the bed to sink by a third of it in a"
            " year, and top it up",
        ]
    return Refill(
        wanted_m3=wanted,
        reached_m3=reached,
        short_m=max(wanted - reached, 0.0) / area,
        layers=ordered,
        organic_before=found,
        organic_after=after,
        organic_wanted=ground.organic_matter_wanted,
        density_before_kg_m3=before_density,
        density_after_kg_m3=after_density,
        pores_before=_pores(before_density, found),
        pores_after=_pores(after_density, after),
        dig_depth_m=ground.dig_depth,
        minutes=sum(a.loose_m3 for a in layers) * WORK_MINUTES_M3,
        warnings=tuple(warnings),
    )


def peat_thirst_m3(layers: tuple[Layer, ...]) -> float:
    """Water that the peat among some layers takes up from packed dry to moist."""
    water = 0.0
    for layer in layers:
        if layer.material == "peat":
            moisture = materials()["peat"].moisture
            dry = layer.weight_kg * (1.0 - moisture)
            water += dry * PEAT_MOIST / (1.0 - PEAT_MOIST) - layer.weight_kg * moisture
    return max(water, 0.0) / 1000.0


def _pores(bulk_kg_m3: float, organic: float) -> float:
    """Pore space: one less the solids' share of the volume."""
    solid = (1 - organic) / PARTICLE_KG_M3 + organic / ORGANIC_PARTICLE_KG_M3
    return max(1.0 - bulk_kg_m3 * solid, 0.0)
