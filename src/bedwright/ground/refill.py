"""Filling the bed again: how many packs of what, settled depth, organic matter by mass balance.

A whole number of each pack, and the opened ones at hand, are chosen by integer programming (HiGHS
through scipy): fill the volume wanted, bring the dug layer's organic matter to what is wanted, or
as near as can be, and not over a ceiling; then spend the least money; then move the least.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

import numpy as np
import scipy

from bedwright.brief import GroundFound
from bedwright.facts import Fact
from bedwright.ground.clear import SOIL_KG_M3, Sod
from bedwright.ground.materials import Pack, by_the_bag, materials
from bedwright.ground.rates import rates

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

USUAL_BAGS = (("compost", "50 L"), ("topsoil", "25 L"))
USUAL_BAGS_CU_FT = (("compost", "2 cu ft"), ("topsoil", "0.75 cu ft"))
"""What the bed is filled with when the brief names nothing, in bags as shops have them (common
practice, no source)."""

RICHER = 0.03
"""Organic matter over what is wanted from which the sheet says so."""

HIGH_M = 0.15
"""Fill from which a bed without a wall slumps (common practice, no source)."""

PEAT_MOIST = 0.70
"""Share of moist peat's weight that is water (estimate; dry peat sheds water until worked wet)."""

SALTY = ("mushroom compost", "rotted manure")
"""Materials that can hold much salt and lime (extension advice, from memory)."""

MOSTLY_ORGANIC, DEEP_FILL_M = 0.6, 0.04
"""A fill deeper than this, and more of it organic than that, sinks visibly (estimate)."""

RICH_LAYER = 0.3
"""Share of organic matter from which a layer counts as organic (estimate)."""

SINKS_BY = 1 / 3
"""Share of its height that an organic fill loses in a year (common practice, no source)."""

MOST_OVER = 1.35
"""Overfilling that whole packs may bring, as a share of what is wanted."""


@dataclass(frozen=True)
class Layer:
    """One material as it goes on: packs, a part of one where only a part is at hand, loose volume,
    depth as spread, weight, barrow loads."""

    label: str
    material: str
    pack: str
    packs: float
    from_hand: float
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

    ``short_m``: how far the finished bed stays below what was wanted; ``warnings``: what to mind.
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
    warnings: tuple[Fact, ...]


@dataclass(frozen=True)
class NotRichEnough(Fact):
    """The organic matter wanted cannot be reached, shares of the weight."""

    reached: float
    wanted: float


@dataclass(frozen=True)
class TooRich(Fact):
    """A fill over the most organic matter that lasts: it sinks within the year."""

    reached: float
    most: float


@dataclass(frozen=True)
class NotEnoughToFill(Fact):
    """The bed stays below the height wanted."""

    short_m: float


@dataclass(frozen=True)
class TakesUpNitrogen(Fact):
    """Materials, by label, so rich in carbon that they take nitrogen from the soil as they rot."""

    labels: tuple[str, ...]


@dataclass(frozen=True)
class SaltyAndAlkaline(Fact):
    """Materials, by label, that can hold much salt and lime."""

    labels: tuple[str, ...]


@dataclass(frozen=True)
class DryPeat(Fact):
    """Peat as packed sheds water: what it takes up first."""

    soak_m3: float


@dataclass(frozen=True)
class RicherThanWanted(Fact):
    """More organic matter than was wanted, shares of the weight."""

    reached: float
    wanted: float


@dataclass(frozen=True)
class WantsRetainingEdge(Fact):
    """A fill so high that it slumps without an edge that holds it."""

    fill_m: float


@dataclass(frozen=True)
class FillRotsAway(Fact):
    """A fill mostly organic: the share that is, and by what share of its height it sinks in a
    year."""

    organic_share: float
    sinks_by: float


class _Soil(NamedTuple):
    """The bed before it is filled: its area, the volume wanted, the dry weight of the soil that is
    dug and its organic matter, found and wanted, as shares of that."""

    area_m2: float
    wanted_m3: float
    soil_kg: float
    organic_found: float
    organic_wanted: float


def refill(
    area_m2: float,
    ground: GroundFound,
    sod: Sod | None,
    packs: list[Pack],
    usual: Sequence[tuple[str, str]] = USUAL_BAGS,
) -> Refill:
    """Choose the packs and work out what they make of the soil; ``usual``: materials and bags
    where the brief names none to fill with."""
    named = [p for p in packs if p.material.sort == "bulk"]
    bulk = named or [by_the_bag(*bag) for bag in usual]
    lost = sod.soil_m3 / area_m2 if sod else 0.0
    test = ground.test.organic_matter
    soil = _Soil(
        area_m2,
        area_m2 * (lost + ground.raise_by),
        area_m2 * ground.dig_depth * SOIL_KG_M3[ground.texture],
        ORGANIC_FOUND[ground.found] if test is None else test,
        ground.organic_matter_wanted,
    )
    loads, unmet = _choose(bulk, soil, bool(named))
    layers = tuple(_layer(p, a, area_m2) for p, a in zip(bulk, loads, strict=True) if a.packs > 0)
    made = _balance(soil, ground.dig_depth, bulk, loads, layers)
    return replace(made, warnings=(*_unmet(made, unmet), *_mind(made, area_m2)))


class _Load(NamedTuple):
    """Packs of one material: how many of those at hand, a part counted as such, and how many more
    to buy."""

    from_hand: float
    to_buy: int

    @property
    def packs(self) -> float:
        """All of them."""
        return self.from_hand + self.to_buy


_Unmet = Literal["not full", "too rich", "not rich"]


def _choose(bulk: list[Pack], soil: _Soil, named: bool) -> tuple[list[_Load], list[_Unmet]]:
    """Packs of each material, and what could not be met."""
    wanted, soil_kg = soil.wanted_m3, soil.soil_kg
    found, target = soil.organic_found, soil.organic_wanted
    settled = np.array([p.settled_m3 for p in bulk])
    dry = np.array([p.dry_kg for p in bulk])
    organic = np.array([p.material.organic_share for p in bulk])
    at_hand = np.array([p.at_hand for p in bulk])
    opened = at_hand - np.floor(at_hand)
    buyable = np.array([p.price is not None or not named for p in bulk])
    price = np.array([p.price or 0.0 for p in bulk])
    n = len(bulk)
    # Where little or no volume is wanted, richness alone may raise the bed.
    lacking = max(target - found, 0.0) * soil_kg
    best = float((dry * np.maximum(organic - target, 0.0) / settled).max())
    enrich = 1.2 * lacking / best + settled.max() if best > 0.0 else 0.0
    highest = max(MOST_OVER * wanted, wanted + settled.max(), enrich)
    # Variables: whole packs from hand, the opened one or not, packs bought; and, last, what
    # richness is short of.
    upper = np.concatenate(
        [np.floor(at_hand), opened > 0.0, np.where(buyable, np.ceil(highest / settled), 0.0)]
    )

    def row(each: np.ndarray, short: float) -> np.ndarray:
        return np.concatenate([each, each * opened, each, [short]])

    # Organic matter counts in steps that make no difference: figures of one size solve well.
    step = LITTLE * soil_kg
    fill = scipy.optimize.LinearConstraint(row(settled / highest, 0.0), wanted / highest, 1.0)
    rich = scipy.optimize.LinearConstraint(
        row(dry * (organic - target) / step, 1.0), (target - found) / LITTLE
    )
    not_too_rich = scipy.optimize.LinearConstraint(
        row(dry * (organic - MOST_ORGANIC) / step, 0.0),
        -np.inf,
        max(MOST_ORGANIC - found, 0.0) / LITTLE,
    )
    # What is bought without a price costs a typical one; all is barrowed, what is bought fetched.
    per_m3 = price / settled
    typical = per_m3[price > 0].mean() if (price > 0).any() else 100.0
    money = np.where(price > 0, price, 0.0 if named else typical * settled)
    costs = np.concatenate([np.zeros(2 * n), money, [0.0]])
    work = row(settled / highest, 0.0)
    work[2 * n : 3 * n] *= FETCHED

    def poor(counts: np.ndarray) -> bool:
        return float((dry * (organic - target)) @ counts) < soil_kg * (target - found - LITTLE)

    tries: list[tuple[list[scipy.optimize.LinearConstraint], list[_Unmet]]] = [
        ([fill, rich, not_too_rich], []),
        ([fill, rich], ["too rich"]),
    ]
    for rules, unmet in tries:
        short = _least_short(rules, upper)
        if short is None:
            continue
        got = _least((costs, work), rules, upper, short)
        if got is None:
            continue
        whole = np.round(got[: 3 * n]).reshape(3, n)
        from_hand, to_buy = whole[0] + whole[1] * opened, whole[2]
        loads = [_Load(float(h), int(b)) for h, b in zip(from_hand, to_buy, strict=True)]
        return loads, ["not rich", *unmet] if poor(from_hand + to_buy) else unmet
    # Not enough to fill: use all there is.
    loads = [_Load(p.at_hand, 0) for p in bulk]
    return loads, ["not full", "not rich"] if poor(at_hand) else ["not full"]


def _least_short(rules: list[scipy.optimize.LinearConstraint], upper: np.ndarray) -> float | None:
    """The least that richness is short of within some rules, in steps of LITTLE, to about one of
    them; None where nothing keeps the rules."""
    if _solve(np.zeros(len(upper) + 1), rules, upper, 0.0) is not None:
        return 0.0
    short = np.concatenate([np.zeros(len(upper)), [1.0]])
    loosest = _solve(short, rules, upper, np.inf, whole=False)
    if loosest is None:
        return None
    floor = max(float(loosest[-1]), 1.0)
    got = _solve(short, rules, upper, np.inf, gap=1.0 / (floor + 1.0), floor=1.0)
    return None if got is None else float(got[-1]) + 1.0


def _least(
    costs: Sequence[np.ndarray],
    rules: list[scipy.optimize.LinearConstraint],
    upper: np.ndarray,
    short: float,
) -> np.ndarray | None:
    """The packs of which all costs in turn are least, no shorter of richness than that."""
    rules, found = list(rules), None
    for cost in costs:
        got = _solve(cost, rules, upper, short)
        if got is None:  # what was found before stands: the solver lost its figures
            break
        found, least = got, float(cost @ got)
        rules.append(
            scipy.optimize.LinearConstraint(cost, -np.inf, least + CLOSE * max(least, 1.0))
        )
    return found


def _solve(
    cost: np.ndarray,
    rules: list[scipy.optimize.LinearConstraint],
    upper: np.ndarray,
    short: float,
    whole: bool = True,
    gap: float = 1e-4,
    floor: float = 0.0,
) -> np.ndarray | None:
    """One programme; None where nothing keeps the rules.  ``short``: of richness at most, and
    ``floor`` at least."""
    packs = len(upper)
    got = scipy.optimize.milp(
        cost,
        constraints=rules,
        integrality=np.concatenate([np.full(packs, whole), [0.0]]),
        bounds=scipy.optimize.Bounds(
            np.concatenate([np.zeros(packs), [floor]]), np.concatenate([upper, [short]])
        ),
        options={"mip_rel_gap": gap, "node_limit": MOST_NODES},
    )
    return None if got.x is None else np.asarray(got.x)


LITTLE = 5e-4
"""Organic matter that makes no difference, as a share of the soil: half of what the sheet shows."""

FETCHED = 1.01
"""Work of a pack that is bought beside one at hand: of equals, what is there goes first."""

CLOSE = 1e-5
"""By how much, as a share, a later programme may fall behind what an earlier one reached."""

MOST_NODES = 2000
"""Branches tried at most; the best packs found by then are taken."""


def _layer(pack: Pack, load: _Load, area_m2: float) -> Layer:
    loose = pack.loose_m3 * load.packs
    return Layer(
        label=pack.label,
        material=pack.material.name,
        pack=pack.as_written,
        packs=load.packs,
        from_hand=load.from_hand,
        to_buy=load.to_buy,
        loose_m3=loose,
        settled_m3=pack.settled_m3 * load.packs,
        depth_m=loose / area_m2,
        weight_kg=pack.weight_kg * load.packs,
        barrows=int(np.ceil(loose / rates()["barrow"])),
        price=None if pack.price is None else pack.price * load.to_buy,
        raw_wood=pack.material.carbon_nitrogen > RAW_WOOD_RATIO and pack.material.name != "peat",
        organic_share=pack.material.organic_share,
    )


def _balance(
    soil: _Soil, dig_m: float, bulk: list[Pack], loads: list[_Load], layers: tuple[Layer, ...]
) -> Refill:
    """What the loads make of the soil."""
    each = list(zip(bulk, (load.packs for load in loads), strict=True))
    dry = sum(p.dry_kg * n for p, n in each)
    organic = sum(p.dry_kg * n * p.material.organic_share for p, n in each)
    reached = float(sum(p.settled_m3 * n for p, n in each))
    after = float((soil.soil_kg * soil.organic_found + organic) / (soil.soil_kg + dry))
    volume = soil.area_m2 * dig_m
    density = soil.soil_kg / volume if volume else 0.0
    density_after = float((soil.soil_kg + dry) / max(volume + reached, 1e-9))
    return Refill(
        wanted_m3=soil.wanted_m3,
        reached_m3=reached,
        short_m=max(soil.wanted_m3 - reached, 0.0) / soil.area_m2,
        # Deepest first: mineral layers below, the richest on top, so that one digging mixes all.
        layers=tuple(sorted(layers, key=lambda a: (a.organic_share, a.label))),
        organic_before=soil.organic_found,
        organic_after=after,
        organic_wanted=soil.organic_wanted,
        density_before_kg_m3=density,
        density_after_kg_m3=density_after,
        pores_before=_pores(density, soil.organic_found),
        pores_after=_pores(density_after, after),
        dig_depth_m=dig_m,
        minutes=sum(a.loose_m3 for a in layers) * rates()["fill"],
        warnings=(),
    )


def _unmet(made: Refill, unmet: Sequence[_Unmet]) -> Iterator[Fact]:
    """What could not be met, as facts."""
    facts: dict[_Unmet, Fact] = {
        "not full": NotEnoughToFill(made.short_m),
        "too rich": TooRich(made.organic_after, MOST_ORGANIC),
        "not rich": NotRichEnough(made.organic_after, made.organic_wanted),
    }
    return (facts[one] for one in unmet)


def _mind(made: Refill, area_m2: float) -> Iterator[Fact]:
    """What to mind of the materials and of the height."""
    layers, fill_m = made.layers, made.reached_m3 / area_m2
    if woody := tuple(a.label for a in layers if a.raw_wood):
        yield TakesUpNitrogen(woody)
    if salty := tuple(a.label for a in layers if a.material in SALTY):
        yield SaltyAndAlkaline(salty)
    if (soak := peat_soak_m3(layers)) > 0.0:
        yield DryPeat(soak)
    if made.organic_after > made.organic_wanted + RICHER and made.reached_m3 > made.wanted_m3:
        yield RicherThanWanted(made.organic_after, made.organic_wanted)
    if fill_m > HIGH_M:
        yield WantsRetainingEdge(fill_m)
    rich = sum(a.settled_m3 for a in layers if a.organic_share > RICH_LAYER)
    if fill_m > DEEP_FILL_M and rich / made.reached_m3 > MOSTLY_ORGANIC:
        yield FillRotsAway(rich / made.reached_m3, SINKS_BY)


def peat_soak_m3(layers: tuple[Layer, ...]) -> float:
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
