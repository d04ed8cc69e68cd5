"""Raising plants indoors: blocks or cells, mix, bench room week by week, the steps and their
days."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bedwright.brief import Indoors, Learned
from bedwright.growth import HARDENING_DAYS, Course, weeks_indoors
from bedwright.planting import Item
from bedwright.work.raising.seeds import germination_here, odds_enough, seeds_needed

SURVIVAL = 0.90
"""Seedlings that live to be set out (estimate)."""

TRAY_M = (0.25, 0.50)
"""Inside of a nursery flat, 10 by 20 in (common practice, no source)."""

GAP = 1.05
"""Bench side of a block with the gap beside it, as a share of the block."""

MIX_PER_BLOCK = 1.4
"""Loose mix in a pressed block, by volume (estimate)."""

LEAST_POT_DAYS = 21
"""Days a plant must have in a larger pot before hardening off to be worth the move (common
practice, no source)."""

POT_ON_AFTER_DAYS = 30
"""Days from sprouting to potting on (common practice, no source)."""

POT_M = 0.09
"""Width of the pot, a 3½ in square one (common practice)."""

PRICK_OUT_AFTER_DAYS = 12
"""Days from sprouting to pricking out, at the first true leaves (common practice, no source)."""

FINE_SEED_PER_G = 4000
"""Seed finer than this is sown thinly in a tray and pricked out, not set singly in blocks."""


@dataclass(frozen=True)
class IndoorRow:
    """One item raised indoors; days are indices into the growing year.

    ``stand_odds``: odds that the plants wanted stand; ``warm_c``: germination range.
    """

    letter: str
    name: str
    wanted: int
    seeds: int
    seed_g: float
    containers: int
    seeds_each: int
    pricked_out: bool
    trays: int
    mix_m3: float
    stand_odds: float
    sow: int
    sow_first: int
    sow_last: int
    up_first: int
    up_last: int
    prick_out: int | None
    pot_on: int | None
    harden: int
    out: int
    depth_mm: float
    light: str
    warm_c: tuple[float, float]
    resents_moving: bool


@dataclass(frozen=True)
class BenchWeek:
    """Bench room taken in the week that begins on day ``start`` (index), square metres."""

    start: int
    area_m2: float
    plants: int


def raise_indoors(item: Item, course: Course, indoors: Indoors, learned: Learned) -> IndoorRow:
    """The raising of one item in blocks or trays."""
    sow, key = course.kind.sowing, course.kind.key
    germination = germination_here(course.kind, learned)
    survival = learned.survival_of(key, SURVIVAL)
    wanted = item.plants + item.spares
    fine = sow.seeds_per_g >= FINE_SEED_PER_G and not sow.resents_moving
    if fine:
        each = 1
        seeds = seeds_needed(wanted, germination * survival)
        containers = wanted
        odds = odds_enough(seeds, wanted, germination * survival)
    else:
        each = 1 if germination >= 0.85 else 2 if germination >= 0.6 else 3
        rate = (1.0 - (1.0 - germination) ** each) * survival
        containers = seeds_needed(wanted, rate)
        seeds = containers * each
        odds = odds_enough(containers, wanted, rate)
    side = indoors.block
    fewest, most = weeks_indoors(course.kind)
    per_tray = max(int(TRAY_M[0] // (side * GAP)) * int(TRAY_M[1] // (side * GAP)), 1)
    pot_on = course.sow + round(sow.germ_days_max) + POT_ON_AFTER_DAYS
    harden = course.out - HARDENING_DAYS
    long_stay = pot_on + LEAST_POT_DAYS <= harden and not sow.resents_moving
    mix = containers * side**3 * MIX_PER_BLOCK + (wanted * POT_M**3 if long_stay else 0.0)
    up_last = course.sow + round(sow.germ_days_max)
    return IndoorRow(
        letter=item.letter,
        name=item.label,
        wanted=wanted,
        seeds=seeds,
        seed_g=seeds / sow.seeds_per_g,
        containers=containers,
        seeds_each=each,
        pricked_out=fine,
        trays=math.ceil(containers / per_tray),
        mix_m3=mix,
        stand_odds=odds,
        sow=course.sow,
        sow_first=course.out - round(most * 7),
        sow_last=course.out - round(fewest * 7),
        up_first=course.sow + round(sow.germ_days_min),
        up_last=up_last,
        prick_out=min(up_last + PRICK_OUT_AFTER_DAYS, harden) if fine else None,
        pot_on=pot_on if long_stay else None,
        harden=harden,
        out=course.out,
        depth_mm=sow.depth_mm,
        light=sow.light,
        warm_c=(sow.germ_min_c, sow.germ_max_c),
        resents_moving=sow.resents_moving,
    )


def bench_weeks(rows: list[IndoorRow], block_m: float) -> list[BenchWeek]:
    """Bench room week by week, from the first sowing to the last setting out.

    Plants being hardened off still count: they stand in a frame of the same size.
    """
    if not rows:
        return []
    first = min(r.sow for r in rows) // 7 * 7
    last = max(r.out for r in rows)
    weeks = []
    for start in range(first, last, 7):
        area, plants = 0.0, 0
        for row in rows:
            if not row.sow <= start + 6 < row.out + 7 or start >= row.out:
                continue
            side = block_m
            if row.pot_on is not None and start >= row.pot_on:
                side = POT_M
            area += row.containers * (side * GAP) ** 2
            plants += row.containers
        weeks.append(BenchWeek(start, area, plants))
    return weeks
