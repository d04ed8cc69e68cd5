"""What to have and what to buy, what it costs, and how long the work takes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bedwright.brief import Brief
from bedwright.ground import Ground
from bedwright.planting import Planting
from bedwright.raising import IndoorRow, InPlaceRow, Raising

Sort = Literal["soil", "feed", "seed", "plants", "raising", "marking"]

MINUTES = {
    "sow a block": 0.4,
    "pot on": 0.8,
    "set out": 2.0,
    "sow a station": 0.7,
    "thin a station": 0.4,
    "tend a square metre a week": 3.0,
    "mark out a metre of edge": 2.0,
}
"""Minutes of work (common practice, no source)."""


@dataclass(frozen=True)
class Supply:
    """One line: quantity in SI or pieces, how much is at hand, cost of the rest if known.

    ``unit``: ``packs``, ``kg``, ``m3``, ``m``, ``seeds`` or ``pieces``.
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


def reckon_supplies(
    brief: Brief, ground: Ground, planting: Planting, raising: Raising, weeks: float
) -> Supplies:
    """``weeks``: how long the bed is tended."""
    lines = (
        *_soil(ground),
        *_feed(ground),
        *_seed(brief, planting, raising),
        *_raising(brief, raising),
        *_marking(ground),
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
    lines = [
        Supply(
            "feed",
            dose.label,
            dose.weight_kg,
            "kg",
            dose.grade,
            dose.weight_kg if dose.at_hand else 0.0,
            0.0 if dose.at_hand else dose.weight_kg,
            0.0 if dose.at_hand else dose.price,
            "weighed out for this bed; packs hold more",
        )
        for dose in ground.feed.doses
    ]
    dose = ground.ph.dose
    if dose is not None:
        lines.append(
            Supply(
                "feed",
                dose.label,
                dose.total_kg,
                "kg",
                "",
                0.0,
                dose.total_kg,
                None,
                f"in {dose.doses} spreadings" if dose.doses > 1 else "in one spreading",
            )
        )
    return lines


def _seed(brief: Brief, planting: Planting, raising: Raising) -> list[Supply]:
    price = brief.prices.seed_packet
    rows: list[IndoorRow | InPlaceRow] = [*raising.indoor, *raising.in_place]
    lines = [
        Supply(
            "seed",
            row.name,
            float(row.seeds),
            "seeds",
            f"{row.seed_g:.2g} g",
            0.0,
            float(row.seeds),
            price,
            "one packet, unless the packet holds fewer seeds",
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
                    f"{item.candidate.kind.name}, {item.candidate.colour.name}",
                    float(count),
                    "pieces",
                    "young plants",
                    0.0,
                    float(count),
                    None if each is None else each * count,
                    "from a nursery",
                )
            )
    return lines


def _raising(brief: Brief, raising: Raising) -> list[Supply]:
    if not raising.indoor:
        return []
    mix = sum(row.mix_m3 for row in raising.indoor)
    most = max((week.area_m2 for week in raising.bench), default=0.0)
    trays = max(math.ceil(most / 0.125), 1)
    blocks = sum(row.containers for row in raising.indoor)
    what = "soil blocks" if brief.indoors.container == "soil block" else "cells"
    return [
        Supply(
            "raising",
            "seed and potting mix",
            mix,
            "m3",
            "loose",
            0.0,
            mix,
            None,
            f"for {blocks} {what} and the potting on",
        ),
        Supply(
            "raising",
            "flat trays, 25 by 50 cm",
            float(trays),
            "pieces",
            "",
            0.0,
            float(trays),
            None,
            "at the fullest week",
        ),
        Supply(
            "raising",
            "plant labels",
            float(len(raising.indoor) * 2),
            "pieces",
            "",
            0.0,
            float(len(raising.indoor) * 2),
            None,
            "one to a tray, one to a drift",
        ),
    ]


def _marking(ground: Ground) -> list[Supply]:
    out = ground.markout
    return [
        Supply(
            "marking",
            "stakes",
            float(len(out.stakes)),
            "pieces",
            "",
            0.0,
            float(len(out.stakes)),
            None,
            "one at each corner or along the curve",
        ),
        Supply(
            "marking",
            "string",
            out.edge_m * 1.1,
            "m",
            "",
            0.0,
            out.edge_m * 1.1,
            None,
            "the edge and a tenth over",
        ),
    ]


def _labour(
    ground: Ground, planting: Planting, raising: Raising, weeks: float
) -> tuple[Labour, ...]:
    stations = sum(row.stations for row in raising.in_place)
    blocks = sum(row.containers for row in raising.indoor)
    potted = sum(row.wanted for row in raising.indoor if row.pot_on is not None)
    set_out = sum(i.plants for i in planting.items) - stations
    parts = (
        ("mark out", ground.markout.edge_m * MINUTES["mark out a metre of edge"]),
        ("lift the sod", ground.sod.minutes if ground.sod else 0.0),
        ("fill and spread", ground.refill.minutes),
        ("dig", ground.dig_minutes),
        ("sow and raise", blocks * MINUTES["sow a block"] + potted * MINUTES["pot on"]),
        (
            "set out and sow in place",
            set_out * MINUTES["set out"] + stations * MINUTES["sow a station"],
        ),
        ("thin", stations * MINUTES["thin a station"]),
        (
            "tend through the season",
            ground.markout.area_m2 * weeks * MINUTES["tend a square metre a week"],
        ),
    )
    return tuple(Labour(stage, minutes / 60.0) for stage, minutes in parts if minutes > 0)
