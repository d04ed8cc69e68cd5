"""What to have and what to buy, what it costs, and how long the work takes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from bedwright.brief import Brief
from bedwright.ground import Dose, Ground, PhDose
from bedwright.planting import Planting
from bedwright.work import things
from bedwright.work.raising import POT_M, TRAY_M, IndoorRow, InPlaceRow, Raising
from bedwright.work.rates import rates
from bedwright.work.things import Note, Thing

Sort = Literal["soil", "feed", "seed", "plants", "raising", "bed"]
Unit = Literal["packs", "kg", "m3", "m", "packets", "pieces"]
Stage = Literal["mark_out", "lift_sod", "fill", "dig", "raise", "set_out", "thin", "maintain"]


@dataclass(frozen=True)
class Supply:
    """One line: quantity in SI or pieces, how much is at hand, cost of the rest if known.

    ``pack``: what one pack holds, as the brief says it; ``seeds``: that a packet must hold.
    """

    sort: Sort
    thing: Thing
    quantity: float
    unit: Unit
    from_hand: float
    to_buy: float
    cost: float | None
    note: Note
    pack: str = ""
    seeds: int | None = None


@dataclass(frozen=True)
class Labour:
    """Hours of one stage of the work."""

    stage: Stage
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
    """What a planting takes; ``weeks``: how long the bed is looked after."""
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
            things.Product(layer.label),
            float(layer.packs),
            "packs",
            float(layer.from_hand),
            float(layer.to_buy),
            layer.price,
            things.BarrowLoads(layer.barrows),
            layer.pack,
        )
        for layer in ground.refill.layers
    ]


def _feed(ground: Ground) -> list[Supply]:
    side = ground.feed.side_dress
    doses = list(ground.feed.doses)
    same = [n for n, d in enumerate(doses) if (d.label, d.pack) == (side.label, side.pack)]
    if same:
        doses[same[0]] = _together(doses[same[0]], side)
    lines = [
        _weighed(dose, dose.weight_kg, things.Grade(dose.grade, _use(dose, dose.weight_kg)))
        for dose in doses
    ]
    if not same:
        note = things.Grade(side.grade, _use(side, side.weight_kg), in_summer=True)
        lines.append(_weighed(side, side.weight_kg, note))
    lime = ground.ph.dose
    if lime is not None:
        spread = things.Spreadings(lime.doses, _use(lime, lime.total_kg))
        lines.append(_weighed(lime, lime.total_kg, spread))
    return lines


def _use(dose: Dose | PhDose, weight_kg: float) -> float | None:
    """How much of a pack the bed takes; None of what is bought by weight."""
    return weight_kg if dose.pack else None


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


def _weighed(dose: Dose | PhDose, weight_kg: float, note: Note) -> Supply:
    """A product weighed out for the bed: whole packs where the brief names one, else its weight."""
    product = things.Product(dose.label)
    if not dose.pack:
        return Supply("feed", product, weight_kg, "kg", 0.0, weight_kg, None, note)
    to_buy = float(dose.to_buy)
    return Supply(
        "feed", product, dose.packs, "packs", dose.from_hand, to_buy, dose.price, note, dose.pack
    )


def _seed(brief: Brief, planting: Planting, raising: Raising) -> list[Supply]:
    rows: list[IndoorRow | InPlaceRow] = [*raising.indoor, *raising.in_place]
    # What is sown twice is bought once.
    sums: dict[str, tuple[str, int, float]] = {}
    for row in rows:
        name, seeds, grams = sums.get(row.letter, (row.name, 0, 0.0))
        sums[row.letter] = name, seeds + row.seeds, grams + row.seed_g
    lines = [
        Supply(
            "seed",
            things.Product(name),
            1.0,
            "packets",
            0.0,
            1.0,
            brief.prices.seed_packet,
            things.SeedWeight(grams),
            seeds=seeds,
        )
        for name, seeds, grams in sums.values()
    ]
    each = brief.prices.plant
    for item in planting.items:
        if item.letter in raising.bought:
            count = float(item.plants + item.spares)
            cost = None if each is None else each * count
            thing, note = things.Product(item.label), things.YoungPlants()
            lines.append(Supply("plants", thing, count, "pieces", 0.0, count, cost, note))
    return lines


def _raising(brief: Brief, planting: Planting, raising: Raising) -> list[Supply]:
    if not raising.indoor:
        return []
    mix = sum(row.mix_m3 for row in raising.indoor)
    trays = max(math.ceil(max(w.area_m2 for w in raising.bench) / rates()["tray"]), 1)
    blocks = sum(row.containers for row in raising.indoor)
    pots = sum(row.wanted for row in raising.indoor if row.pot_on is not None)
    contents = things.MixFor(brief.indoors.container, blocks, pots)
    lines = [
        _needed("raising", things.PottingMix(), mix, "m3", contents),
        _needed("raising", things.Trays(TRAY_M), trays, "pieces", things.FullestWeek()),
    ]
    if pots:
        lines.append(_needed("raising", things.Pots(POT_M), pots, "pieces", things.ForPottingOn()))
    labels = trays + len(planting.drifts)
    lines.append(_needed("raising", things.Labels(), labels, "pieces", things.OnTraysAndDrifts()))
    return lines


def _bed(ground: Ground, planting: Planting) -> list[Supply]:
    out, rate = ground.markout, rates()
    string = out.edge_m * rate["string_spare"]
    mulch = planting.free_area_m2 * rate["mulch_depth"]
    lines = [
        _needed("bed", things.Stakes(), len(out.stakes), "pieces", things.NumberedOnThePlan()),
        _needed("bed", things.String(), string, "m", things.EdgeAndSpare()),
        _needed("bed", things.Mulch(), mulch, "m3", things.MulchSorts()),
    ]
    canes = sum(
        item.plants
        for item in planting.items
        if item.candidate.kind.growth.stake == "yes"
        or (
            item.candidate.kind.growth.stake == "tall_only"
            and item.candidate.kind.form.height_m >= rate["cane_height"]
        )
    )
    if canes:
        lines.append(_needed("bed", things.Canes(), canes, "pieces", things.ForTallKinds()))
    return lines


def _needed(sort: Sort, thing: Thing, quantity: float, unit: Unit, note: Note) -> Supply:
    """A thing the brief says nothing of: all of it to be found or bought, price unknown."""
    return Supply(sort, thing, float(quantity), unit, 0.0, float(quantity), None, note)


def _labour(
    ground: Ground, planting: Planting, raising: Raising, weeks: float
) -> tuple[Labour, ...]:
    spots = sum(row.spots for row in raising.in_place)
    blocks = sum(row.containers for row in raising.indoor)
    potted = sum(row.wanted for row in raising.indoor if row.pot_on is not None)
    set_out = sum(i.plants for i in planting.items) - spots
    rate = rates()
    parts: tuple[tuple[Stage, float], ...] = (
        ("mark_out", ground.markout.edge_m * rate["mark_out"]),
        ("lift_sod", ground.sod.minutes if ground.sod else 0.0),
        ("fill", ground.refill.minutes),
        ("dig", ground.dig_minutes),
        ("raise", blocks * rate["sow_block"] + potted * rate["pot_on"]),
        ("set_out", set_out * rate["set_out"] + spots * rate["sow_spot"]),
        ("thin", spots * rate["thin_spot"]),
        ("maintain", ground.markout.area_m2 * weeks * rate["maintain"]),
    )
    return tuple(Labour(stage, minutes / 60.0) for stage, minutes in parts if minutes > 0)
