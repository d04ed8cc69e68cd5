"""Sowing where the plants will flower: stations, seeds to a station, thinning in one or two
passes."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.planting import Item
from bedwright.raising.seeds import ASSURANCE, seeds_a_station
from bedwright.season import Course

FIELD_SHARE = 0.6
"""Seed that comes up in the open, as a share of the germination rate (estimate)."""

FIRST_THIN_DAYS, SECOND_THIN_DAYS = 14, 28
"""Days from the last sprouting to each thinning (common practice, no source)."""


@dataclass(frozen=True)
class InPlaceRow:
    """One item sown in place; days are indices into the growing year."""

    letter: str
    name: str
    stations: int
    seeds_each: int
    seeds: int
    seed_g: float
    station_odds: float
    depth_mm: float
    spacing_m: float
    sow: int
    up_first: int
    up_last: int
    thin_first: int
    thin_last: int | None


def sow_in_place(item: Item, course: Course) -> InPlaceRow:
    """Stations at the plan's places; each gets seeds enough for one plant at 95%."""
    kind, sow = course.kind, course.kind.sowing
    rate = sow.germination * FIELD_SHARE
    each = seeds_a_station(rate, ASSURANCE)
    up_last = course.out + round(sow.germ_days_max)
    return InPlaceRow(
        letter=item.letter,
        name=item.label,
        stations=item.plants,
        seeds_each=each,
        seeds=item.plants * each,
        seed_g=item.plants * each / sow.seeds_per_g,
        station_odds=1.0 - (1.0 - rate) ** each,
        depth_mm=sow.depth_mm,
        spacing_m=kind.form.spacing_m,
        sow=course.out,
        up_first=course.out + round(sow.germ_days_min),
        up_last=up_last,
        thin_first=up_last + FIRST_THIN_DAYS,
        thin_last=up_last + SECOND_THIN_DAYS if each > 3 else None,
    )
