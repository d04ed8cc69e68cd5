"""Sowing where the plants will flower: spots or rows, seeds to each, thinning in one or two
passes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bedwright.brief import Learned
from bedwright.growth import Course
from bedwright.planting import Drift, Item
from bedwright.work.raising.seeds import ASSURANCE, germination_here, seeds_a_spot

FIELD_SHARE = 0.6
"""Seed that comes up in the open, as a share of the germination rate (estimate)."""

FIRST_THIN_DAYS, SECOND_THIN_DAYS = 14, 28
"""Days from the last sprouting to each thinning (common practice, no source)."""


@dataclass(frozen=True)
class InPlaceRow:
    """One item sown in place; days are indices into the growing year.

    The same seed goes into spots, ``seeds_each``, or along ``rows`` of ``row_m`` in all, one
    every ``seed_every_m``.  ``again``: on ground that the same kind has just flowered on.
    """

    letter: str
    name: str
    spots: int
    seeds_each: int
    rows: int
    row_m: float
    row_apart_m: float
    seed_every_m: float
    seeds: int
    seed_g: float
    spot_odds: float
    depth_mm: float
    spacing_m: float
    sow: int
    up_first: int
    up_last: int
    thin_first: int
    thin_last: int | None
    again: bool = False


def sow_in_place(
    item: Item, drifts: Sequence[Drift], course: Course, learned: Learned, again: bool = False
) -> InPlaceRow:
    """Spots at the plan's places, each with seeds enough for one plant at 95%; or the same seed
    along the rows of the item's ``drifts``; ``again``: the course's second sowing."""
    day = course.again if again and course.again is not None else course.out
    kind, sow = course.kind, course.kind.sowing
    rate = germination_here(kind, learned) * FIELD_SHARE
    each = seeds_a_spot(rate, ASSURANCE)
    lines = [line for drift in drifts for line in drift.rows]
    long = float(sum(np.linalg.norm(np.diff(line, axis=0), axis=1).sum() for line in lines))
    up_last = day + round(sow.germ_days_max)
    return InPlaceRow(
        letter=item.letter,
        name=item.label,
        spots=item.plants,
        seeds_each=each,
        rows=len(lines),
        row_m=long,
        row_apart_m=kind.form.row_m,
        seed_every_m=long / (item.plants * each),
        seeds=item.plants * each,
        seed_g=item.plants * each / sow.seeds_per_g,
        spot_odds=1.0 - (1.0 - rate) ** each,
        depth_mm=sow.depth_mm,
        spacing_m=kind.form.spacing_m,
        sow=day,
        up_first=day + round(sow.germ_days_min),
        up_last=up_last,
        thin_first=up_last + FIRST_THIN_DAYS,
        thin_last=up_last + SECOND_THIN_DAYS if each > 3 else None,
        again=again,
    )
