"""How many plants of each item stand or will stand, and a second sowing where they are too few."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

import numpy as np

from bedwright.brief import Learned, Room
from bedwright.climate import DAYS, Season
from bedwright.facts import Fact
from bedwright.growth import Way, blooms_of, room_warmth_c, weeks_indoors
from bedwright.underway.coming import Coming
from bedwright.underway.planned import PlannedBed, Planted
from bedwright.underway.stands import Stand
from bedwright.work import FIELD_SHARE, SURVIVAL, odds_enough, seeds_a_spot, seeds_needed

LEAST_AGAIN_WEEKS, LEAST_AGAIN_SHARE = 3.0, 0.8
"""Weeks in bloom, and share of seasons with any, that a second sowing must bring (estimates)."""

TRY_EVERY_DAYS, TRY_DAYS = 7, 112
"""Steps and reach, in days from today, in which the last day of a second sowing is sought."""

FEW_SHARE = 0.8
"""Share of the plants wanted below which an item has too few of them (estimate)."""


class Standing(NamedTuple):
    """Plants of an item that are expected to stand in the bed, of so many that it has room for, and
    the odds that it is full; ``counted``: whether any were counted."""

    expected: float
    wanted: int
    full_odds: float
    counted: bool


@dataclass(frozen=True)
class SowAgain(Fact):
    """So few stand of an item that it is worth sowing again: so many seeds, indoors or in place, by
    day ``until``; sown on ``day`` it flowers first about day ``first``, for so many weeks."""

    name: str
    standing: int
    wanted: int
    seeds: int
    in_place: bool
    day: date
    until: date
    first: date
    weeks: float


@dataclass(frozen=True)
class TooLateToSow(Fact):
    """So few stand of an item, and seed that is sown now hardly flowers before the year ends."""

    name: str
    standing: int
    wanted: int


def standing_of(item: Planted, stand: Stand, rates: Learned) -> Standing:
    """How many plants stand or will, by what was counted and at the garden's rates."""
    survival = rates.survival_of(item.kind.key, SURVIVAL)
    wanted = item.plants
    if stand.failed:
        return Standing(0.0, wanted, 0.0, True)
    if stand.out is not None and stand.set_out is not None:
        left = max(stand.set_out - stand.lost, 0)
        return Standing(float(min(left, wanted)), wanted, float(left >= wanted), True)
    if stand.up is not None and not item.in_place:
        alive = max(stand.up - stand.lost, 0)
        expected = min(alive * survival, float(wanted))
        return Standing(expected, wanted, odds_enough(alive, wanted, survival), True)
    if stand.up is not None:
        alive = max(stand.up - stand.lost, 0)
        return Standing(float(min(alive, wanted)), wanted, float(alive >= wanted), True)
    lost = max(wanted - stand.lost, 0) if stand.lost else wanted
    return Standing(float(lost), wanted, float(lost >= wanted), bool(stand.lost))


def second_sowings(
    bed: PlannedBed,
    stands: Mapping[str, Stand],
    coming: Mapping[str, Coming],
    season: Season,
    rates: Learned,
    today: date,
    room: Room = "window sill",
) -> Iterator[Fact]:
    """For each item of which too few stand: what to sow again and until when, or that it is too
    late."""
    now = season.index(today)
    if now >= DAYS:
        return
    for item in bed.items:
        stand = stands[item.letter]
        found = standing_of(item, stand, rates)
        over = stand.over is not None or (coming[item.letter].last or date.max) < today
        if not found.counted or over or found.expected >= FEW_SHARE * found.wanted:
            continue
        if stand.failed and stand.all_lost is None and _sown_since(stand, today):
            continue
        short = found.wanted - round(found.expected)
        tries = _tries(item, season, now, room)
        named = item.name, round(found.expected), found.wanted
        if not tries:
            yield TooLateToSow(*named)
            continue
        in_place, days = tries
        first, weeks = days[0].first, days[0].weeks
        yield SowAgain(
            *named,
            seeds=_seeds(item, short, rates, in_place),
            in_place=in_place,
            day=season.day(days[0].day),
            until=season.day(days[-1].day),
            first=season.day(first),
            weeks=weeks,
        )


def _sown_since(stand: Stand, today: date) -> bool:
    """Whether a sowing is so young that nothing is up yet."""
    return stand.sown is not None and stand.up is None and (today - stand.sown).days < 10


class Try(NamedTuple):
    """A second sowing on a day (index): its median first flower (index) and its weeks in bloom."""

    day: int
    first: int
    weeks: float


def _tries(item: Planted, season: Season, now: int, room: Room) -> tuple[bool, list[Try]] | None:
    """Whether to sow in place, and the days from now on on which that is still worth it, one after
    another; None where it no longer is."""
    kind = item.kind
    days = list(range(max(now, 0), min(now + TRY_DAYS, DAYS - 1), TRY_EVERY_DAYS))
    ways = {True: [Way(kind, day, day, in_place=True) for day in days]}
    raise_days = round(weeks_indoors(kind)[0] * 7)
    warm = room_warmth_c(room)
    ways[False] = [
        Way(kind, day, day + raise_days, in_place=False, indoor_c=warm)
        for day in days
        if day + raise_days < DAYS
    ]
    allowed = {
        True: kind.sowing.method != "indoors",
        False: kind.sowing.method != "in_place",
    }
    found = {}
    for in_place, some in ways.items():
        if not allowed[in_place] or not some:
            continue
        worth = list[Try]()
        for way, bloom in zip(some, blooms_of(some, season), strict=True):
            if bloom.share < LEAST_AGAIN_SHARE or bloom.weeks < LEAST_AGAIN_WEEKS:
                break
            first = int(np.median(bloom.first[bloom.first < DAYS]))
            worth.append(Try(way.sown, first, bloom.weeks))
        if worth:
            found[in_place] = worth
    if not found:
        return None
    best = max(found, key=lambda in_place: (found[in_place][0].weeks, in_place))
    return best, found[best]


def _seeds(item: Planted, plants: int, rates: Learned, in_place: bool) -> int:
    """Seeds for so many plants more, with odds of 95%."""
    rate = min(item.kind.sowing.germination * rates.germination_of(item.kind.key), 0.98)
    if in_place:
        return plants * seeds_a_spot(rate * FIELD_SHARE)
    survival = rates.survival_of(item.kind.key, SURVIVAL)
    return seeds_needed(plants, rate * survival)
