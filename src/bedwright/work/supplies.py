"""What to have and what to buy, what it costs, and how long the work takes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from bedwright.brief import Brief
from bedwright.ground import Dose, Ground, PhDose
from bedwright.planting import Planting
from bedwright.work.raising import IndoorRow, InPlaceRow, Raising

Sort = Literal["soil", "feed", "seed", "plants", "raising", "bed"]

MULCH_M = 0.04
"""Depth of mulch between annuals (common practice: 1 to 2 in, no source)."""

CANE_HEIGHT_M = 0.9
"""Kinds that want staking only when tall get a cane from this height."""

MINUTES = {
    "sow a block": 0.4,
    "pot on": 0.8,
    "set out": 2.0,
    "sow a spot": 0.7,
    "thin a spot": 0.4,
    "tend a square metre a week": 3.0,
    "mark out a metre of edge": 2.0,
}
"""Minutes of work (common practice, no source)."""


@dataclass(frozen=True)
class Supply:
    """One line: quantity in SI or pieces, how much is at hand, cost of the rest if known.

    ``unit``: ``packs``, ``kg``, ``m3``, ``m``, ``packets`` or ``pieces``; ``pack``: what one pack
    holds, as the brief says it.
    """

    sort: Sort
    name: str
    quantity: float
    unit: str
    pack: str
    from_hand: float
    to_buy: float
    cost: float | None
    note: str


@dataclass(frozen=True)
class Labour:
    """Hours of one stage of the work."""

    stage: str
    hours: float


@dataclass(frozen=True)
class Supplies:
    """All lines; ``cost``: of those whose price is known; ``unpriced``: how many are not."""

    lines: tuple[Supply, ...]
    cost: float
    unpriced: int
    over_budget: float | None
    labour: tuple[Labour, ...]


def make_supplies(
    brief: Brief, ground: Ground, planting: Planting, raising: Raising, weeks: float
) -> Supplies:
    """``weeks``: how long the bed is tended."""
    lines = (
        *_soil(ground),
        *_feed(ground),
        *_seed(brief, planting, raising),
        *_raising(brief, planting, raising),
        *_bed(ground, planting),
    )
    to_pay = [line for line in lines if line.to_buy > 0]
    cost = sum(line.cost for line in to_pay if line.cost is not None)
    budget = brief.wishes.budget
    over = None if budget is None else max(cost - budget, 0.0)
    unpriced = sum(line.cost is None for line in to_pay)
    return Supplies(lines, cost, unpriced, over, _labour(ground, planting, raising, weeks))


def _soil(ground: Ground) -> list[Supply]:
    return [
        Supply(
            "soil",
            layer.label,
            float(layer.packs),
            "packs",
            layer.pack,
            float(layer.from_hand),
            float(layer.to_buy),
            layer.price,
            f"{layer.barrows} barrow loads" if layer.barrows > 1 else "one barrow load",
        )
        for layer in ground.refill.layers
    ]


def _feed(ground: Ground) -> list[Supply]:
    side = ground.feed.side_dress
    doses = list(ground.feed.doses)
    same = [n for n, d in enumerate(doses) if (d.label, d.pack) == (side.label, side.pack)]
    if same:
        doses[same[0]] = _together(doses[same[0]], side)
    lines = [_weighed(dose, f"grade {dose.grade}") for dose in doses]
    if not same:
        lines.append(_weighed(side, f"grade {side.grade}, to feed with in summer"))
    if ground.ph.dose is not None:
        times = ground.ph.dose.doses
        spread = f"in {times} spreadings" if times > 1 else "in one spreading"
        lines.append(_weighed(ground.ph.dose, spread, ground.ph.dose.total_kg))
    return lines


def _together(dose: Dose, later: Dose) -> Dose:
    """A product's dose and what is fed of it later on, which go by the same packs."""
    price = None if None in (dose.price, later.price) else (dose.price or 0) + (later.price or 0)
    return replace(
        dose,
        weight_kg=dose.weight_kg + later.weight_kg,
        packs=dose.packs + later.packs,
        from_hand=dose.from_hand + later.from_hand,
        price=price,
    )


def _weighed(dose: Dose | PhDose, note: str, weight_kg: float | None = None) -> Supply:
    """A product weighed out for the bed: whole packs where the brief names one, else its weight."""
    weight = dose.weight_kg if isinstance(dose, Dose) else weight_kg or dose.total_kg
    if not dose.pack:
        return Supply("feed", dose.label, weight, "kg", "", 0.0, weight, None, note)
    uses = f"{note}; this bed takes {weight:.3g} kg"
    return Supply(
        "feed",
        dose.label,
        dose.packs,
        "packs",
        dose.pack,
        dose.from_hand,
        float(dose.to_buy),
        dose.price,
        uses,
    )


def _seed(brief: Brief, planting: Planting, raising: Raising) -> list[Supply]:
    price = brief.prices.seed_packet
    rows: list[IndoorRow | InPlaceRow] = [*raising.indoor, *raising.in_place]
    lines = [
        Supply(
            "seed",
            row.name,
            1.0,
            "packets",
            f"{row.seeds} seeds or more",
            0.0,
            1.0,
            price,
            f"about {_grams(row.seed_g)}",
        )
        for row in rows
    ]
    for item in planting.items:
        if item.letter in raising.bought:
            count = item.plants + item.spares
            each = brief.prices.plant
            lines.append(
                Supply(
                    "plants",
                    item.label,
                    float(count),
                    "pieces",
                    "",
                    0.0,
                    float(count),
                    None if each is None else each * count,
                    "young plants from a nursery",
                )
            )
    return lines


def _grams(grams: float) -> str:
    return f"{grams:.2g} g" if grams >= 0.1 else f"{grams * 1000:.2g} mg"


def _raising(brief: Brief, planting: Planting, raising: Raising) -> list[Supply]:
    if not raising.indoor:
        return []
    mix = sum(row.mix_m3 for row in raising.indoor)
    trays = max(math.ceil(max(w.area_m2 for w in raising.bench) / 0.125), 1)
    blocks = sum(row.containers for row in raising.indoor)
    pots = sum(row.wanted for row in raising.indoor if row.pot_on is not None)
    what = "soil blocks" if brief.indoors.container == "soil block" else "cells"
    size = "10 by 20 in" if brief.units == "us" else "25 by 50 cm"
    pot = "3½ in" if brief.units == "us" else "9 cm"
    labels = trays + len(planting.drifts)
    lines = [
        _needed(
            "raising",
            "seed and potting mix",
            mix,
            "m3",
            f"for {blocks} {what}" + (f" and {pots} pots" if pots else ""),
        ),
        _needed("raising", f"flat trays, {size}", float(trays), "pieces", "at the fullest week"),
    ]
    if pots:
        lines.append(_needed("raising", f"pots, {pot}", float(pots), "pieces", "for potting on"))
    lines.append(
        _needed("raising", "labels", float(labels), "pieces", "one to a tray, one to a drift")
    )
    return lines


def _bed(ground: Ground, planting: Planting) -> list[Supply]:
    out = ground.markout
    lines = [
        _needed("bed", "stakes", float(len(out.stakes)), "pieces", "as numbered on the plan"),
        _needed("bed", "string", out.edge_m * 1.1, "m", "the edge and a tenth over"),
        _needed(
            "bed",
            "mulch",
            planting.free_area_m2 * MULCH_M,
            "m3",
            "fine bark, leaf mould or straw, once the soil is warm",
        ),
    ]
    canes = sum(
        item.plants
        for item in planting.items
        if item.candidate.kind.growth.stake == "yes"
        or (
            item.candidate.kind.growth.stake == "tall_only"
            and item.candidate.kind.form.height_m >= CANE_HEIGHT_M
        )
    )
    if canes:
        lines.append(_needed("bed", "canes or brushwood", float(canes), "pieces", "for tall kinds"))
    return lines


def _needed(sort: Sort, name: str, quantity: float, unit: str, note: str) -> Supply:
    """A thing the brief says nothing of: all of it to be found or bought, price unknown."""
    return Supply(sort, name, quantity, unit, "", 0.0, quantity, None, note)


def _labour(
    ground: Ground, planting: Planting, raising: Raising, weeks: float
) -> tuple[Labour, ...]:
    spots = sum(row.spots for row in raising.in_place)
    blocks = sum(row.containers for row in raising.indoor)
    potted = sum(row.wanted for row in raising.indoor if row.pot_on is not None)
    set_out = sum(i.plants for i in planting.items) - spots
    parts = (
        ("mark out", ground.markout.edge_m * MINUTES["mark out a metre of edge"]),
        ("lift the sod", ground.sod.minutes if ground.sod else 0.0),
        ("fill and spread", ground.refill.minutes),
        ("dig", ground.dig_minutes),
        ("sow and raise", blocks * MINUTES["sow a block"] + potted * MINUTES["pot on"]),
        (
            "set out and sow in place",
            set_out * MINUTES["set out"] + spots * MINUTES["sow a spot"],
        ),
        ("thin", spots * MINUTES["thin a spot"]),
        (
            "tend through the season",
            ground.markout.area_m2 * weeks * MINUTES["tend a square metre a week"],
        ),
    )
    return tuple(Labour(stage, minutes / 60.0) for stage, minutes in parts if minutes > 0)
