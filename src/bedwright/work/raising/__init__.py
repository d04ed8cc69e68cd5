"""Raising the plants: seeds, blocks and trays, bench room, sowing in place and thinning."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.brief import Indoors, Learned
from bedwright.planting import Planting
from bedwright.work.raising.in_place import FIELD_SHARE, InPlaceRow, sow_in_place
from bedwright.work.raising.indoors import (
    GAP,
    POT_M,
    SURVIVAL,
    TRAY_M,
    BenchWeek,
    IndoorRow,
    bench_weeks,
    raise_indoors,
)
from bedwright.work.raising.seeds import ASSURANCE, odds_enough, seeds_a_spot, seeds_needed


@dataclass(frozen=True)
class Raising:
    """Everything the raising sheet says; ``bought``: letters of items to buy as plants."""

    indoor: tuple[IndoorRow, ...]
    in_place: tuple[InPlaceRow, ...]
    bought: tuple[str, ...]
    bench: tuple[BenchWeek, ...]
    assurance: float


def make_raising(planting: Planting, indoors: Indoors, learned: Learned) -> Raising:
    """How each item of a planting is raised, at the rates that the garden has taught."""
    indoor, in_place, bought = [], [], []
    for number, item in enumerate(planting.items):
        course = item.candidate.course
        own = [drift for drift in planting.drifts if drift.item == number]
        if course.again is not None:
            in_place.append(sow_in_place(item, own, course, learned, again=True))
        if course.method == "in_place":
            in_place.append(sow_in_place(item, own, course, learned))
        elif course.method == "bought":
            bought.append(item.letter)
        else:
            indoor.append(raise_indoors(item, course, indoors, learned))
    indoor.sort(key=lambda row: (row.sow, row.letter))
    in_place.sort(key=lambda row: (row.sow, row.letter))
    return Raising(
        tuple(indoor),
        tuple(in_place),
        tuple(bought),
        tuple(bench_weeks(indoor, indoors.block)),
        ASSURANCE,
    )


__all__ = [
    "FIELD_SHARE",
    "GAP",
    "POT_M",
    "SURVIVAL",
    "TRAY_M",
    "BenchWeek",
    "InPlaceRow",
    "IndoorRow",
    "Raising",
    "make_raising",
    "odds_enough",
    "seeds_a_spot",
    "seeds_needed",
]
