"""What there is to do this week: what is due, what may wait, what is late, and what the weather
forbids."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

import numpy as np

from bedwright.climate import DAYS, SLACK_C, Season, soil_temperature
from bedwright.facts import Fact
from bedwright.underway.coming import Coming
from bedwright.underway.planned import PlannedBed, Work
from bedwright.underway.stands import Stand, letters_of, still_wanted

WEEK_DAYS = 7

LATE_DAYS = 42
"""Days after its last day for which work that is not written down is still listed as late: after
that it was done and not written down, or it no longer matters (estimate)."""

NIGHTS_AHEAD = 14
"""Nights that young plants in the open are weighed against."""

WET_MM, WET_DAYS = 15.0, 3
"""Rain in the last days from which soil is too wet to dig or tread: it would be pressed together
(common practice, no source: a handful that stays in a ball)."""

COLD_SLACK_C = 1.0
"""How far the soil may lie below what seed needs and still do (estimate)."""

Due = Literal["late", "now", "may wait", "watch"]


@dataclass(frozen=True)
class FrostAhead(Fact):
    """Odds of a night as cold as kills some of it, within so many days."""

    celsius: float
    odds: float
    days: int
    names: tuple[str, ...]


@dataclass(frozen=True)
class SoilWet(Fact):
    """So much rain has fallen in the last days, mm, that the soil is too wet to dig or tread."""

    rain_mm: float
    days: int


@dataclass(frozen=True)
class SoilTooCold(Fact):
    """The soil is usually so warm by now, °C, colder than what is sown needs."""

    celsius: float
    wants_c: float


@dataclass(frozen=True)
class WaterThisWeek(Fact):
    """Water that the bed wants beyond the usual rain this week, mm, and in litres for all of it;
    ``rain_mm``: that has fallen in the last week, where it was written down."""

    mm: float
    litres: float
    rain_mm: float | None


@dataclass(frozen=True)
class DueWork:
    """A piece of work as it is due: its days as they now are, and by how many they ``moved``;
    ``after``: what has to be done first and is not; ``against``: what the weather says."""

    work: Work
    due: Due
    moved: int
    after: tuple[str, ...]
    against: tuple[Fact, ...]
    says: tuple[Fact, ...] = ()

    @property
    def forbidden(self) -> bool:
        """Whether the weather forbids it."""
        return bool(self.against)


@dataclass(frozen=True)
class Ahead:
    """What of the weather to come the list is made with: odds of a night at or below each killing
    temperature within NIGHTS_AHEAD, °C; the soil's usual warmth; rain that was written down, by
    day; water by week, mm; days by which autumn's watch for frost has moved."""

    frost_odds: Mapping[float, float]
    soil_c: float
    rain_mm: Mapping[date, float]
    water_mm: Mapping[date, float]
    frost_watch_moved: int


def ahead_of(
    bed: PlannedBed,
    base: Season,
    here: Season,
    water: Mapping[date, float],
    rain: Mapping[date, float],
    today: date,
) -> Ahead:
    """What of a season bears on the work of the week that begins today."""
    now = min(max(here.index(today), 0), DAYS - 1)
    nights = here.tmin_c[:, now : now + NIGHTS_AHEAD]
    coldest = nights.min(axis=1)
    kills = {item.kind.kill_c for item in bed.items}
    odds = {kill: float((coldest <= kill + SLACK_C).mean()) for kill in kills}
    soil = float(np.mean(soil_temperature(here.tmean_c)[:, now : now + WEEK_DAYS]))
    before, after = (season.freeze(False).day_at(0.1) for season in (base, here))
    moved = 0 if before is None or after is None else round(after - before)
    return Ahead(odds, soil, rain, water, moved)


def moved_work(
    bed: PlannedBed, coming: Mapping[str, Coming], stands: Mapping[str, Stand], ahead: Ahead
) -> list[Work]:
    """The work of the plan on the days that it now falls on; that of items that failed left out."""
    out = list[Work]()
    for work in bed.work:
        left = tuple(letter for letter in work.letters if still_wanted(work, stands[letter]))
        if work.letters and not left:
            continue
        own = work if left == work.letters else _of_some(work, left, bed)
        out.append(_shifted(own, _moved(own, bed, coming, ahead)))
    return out


def _of_some(work: Work, letters: tuple[str, ...], bed: PlannedBed) -> Work:
    """Work of which only some items are left."""
    head = work.words.partition(":")[0]
    names = "; ".join(bed.item(letter).name for letter in letters)
    return replace(work, letters=letters, words=f"{head}: {names}")


def _shifted(work: Work, days: int) -> Work:
    by = timedelta(days=days)
    return replace(
        work,
        earliest=work.earliest + by,
        best=work.best + by,
        latest=work.latest + by,
        weekly_until=None if work.weekly_until is None else work.weekly_until + by,
    )


_BY_SOWING = ("sow_indoors", "prick_out", "pot_on")
_BY_OUT = (
    "harden_off",
    "sow_in_place",
    "thin",
    "thin_to_one",
    "set_out",
    "pinch_out",
    "stake",
    "feed_again",
    "mulch",
)
_BY_FLOWER = ("first_flowers", "deadhead")
_BY_END = ("clear_bed", "review")


def _moved(work: Work, bed: PlannedBed, coming: Mapping[str, Coming], ahead: Ahead) -> int:
    """Days by which a piece of work has moved: with the sowing, the way out, the flowers or the end
    of its items; the farthest of them."""
    items = [coming[letter] for letter in letters_of(work, bed) if letter in coming]
    if not items:
        return 0
    if work.code in _BY_SOWING:
        return max((one.sow - one.item.sow).days for one in items)
    if work.code in _BY_OUT:
        return max((one.out - one.item.out).days for one in items)
    flowers = [one for one in items if one.first is not None and one.item.first is not None]
    if work.code in _BY_FLOWER and flowers:
        return min(
            (one.first[1] - one.item.first).days
            for one in flowers
            if one.first is not None and one.item.first is not None
        )
    if work.code in _BY_END:
        ends = [(one.last, one.item.last) for one in items if one.last and one.item.last]
        if ends:
            return (max(now for now, _ in ends) - max(was for _, was in ends)).days
    return ahead.frost_watch_moved if work.code == "watch_for_frost" else 0


def week_of(
    bed: PlannedBed,
    works: Iterable[Work],
    done: Collection[str],
    stands: Mapping[str, Stand],
    ahead: Ahead,
    today: date,
) -> list[DueWork]:
    """The list of the week that begins today, what is late first; work that is ``done`` is left
    out.  ``works``: those of ``moved_work``."""
    every = list(works)
    planned = {work.key: work for work in bed.work}
    found = list[DueWork]()
    for work in every:
        if work.key in done:
            continue
        due = _due(work, today)
        if due is None:
            continue
        after = tuple(
            each.words
            for each in every
            if each.key in work.waits_for and each.key not in done and _about_same(each, work)
        )
        found.append(
            DueWork(
                work=work,
                due=due,
                moved=(work.best - planned[work.key].best).days,
                after=after,
                against=tuple(_against(work, bed, stands, ahead, today)),
                says=tuple(_says(work, bed, ahead, today)),
            )
        )
    order: dict[Due, int] = {"late": 0, "now": 1, "may wait": 2, "watch": 3}
    return sorted(found, key=lambda one: (order[one.due], one.work.best, one.work.key))


def _about_same(one: Work, other: Work) -> bool:
    """Whether two pieces of work are about an item in common, or one of them about the whole
    bed."""
    return not one.letters or not other.letters or bool({*one.letters} & {*other.letters})


def _due(work: Work, today: date) -> Due | None:
    """How a piece of work stands to the week that begins today; None where it does not."""
    end = today + timedelta(days=WEEK_DAYS - 1)
    if work.weekly_until is not None:
        within = work.best <= end and today <= work.weekly_until
        return "now" if within else None
    if work.watch:
        return "watch" if work.earliest <= end and today <= work.latest else None
    if work.latest < today:
        return "late" if (today - work.latest).days <= LATE_DAYS else None
    if work.best <= end:
        return "now"
    return "may wait" if work.earliest <= end else None


def _against(
    work: Work, bed: PlannedBed, stands: Mapping[str, Stand], ahead: Ahead, today: date
) -> Iterable[Fact]:
    """What the weather says against a piece of work."""
    if work.code == "set_out" and work.letters:
        items = [bed.item(letter) for letter in work.letters if stands[letter].out is None]
        risky = [i for i in items if ahead.frost_odds[i.kind.kill_c] > bed.frost_risk]
        if risky:
            worst = max(risky, key=lambda item: item.kind.kill_c)
            odds = ahead.frost_odds[worst.kind.kill_c]
            names = tuple(dict.fromkeys(item.name for item in risky))
            yield FrostAhead(worst.kind.kill_c, odds, NIGHTS_AHEAD, names)
    if work.code in ("dig", "sow_in_place", "sow_again", "sow_once_more", "set_out"):
        rain = _rain(ahead, today, WET_DAYS)
        if rain is not None and rain >= WET_MM:
            yield SoilWet(rain, WET_DAYS)
    if work.code == "sow_in_place" and work.letters:
        wants = max(bed.item(letter).kind.sowing.soil_min_c for letter in work.letters)
        if ahead.soil_c < wants - COLD_SLACK_C:
            yield SoilTooCold(ahead.soil_c, wants)


def _says(work: Work, bed: PlannedBed, ahead: Ahead, today: date) -> Iterable[Fact]:
    """What is said beside a piece of work this week."""
    if work.code != "water_bed":
        return
    week = max((day for day in ahead.water_mm if day <= today), default=None)
    if week is None:
        return
    area = sum(item.area_m2 for item in bed.items)
    mm = ahead.water_mm[week]
    yield WaterThisWeek(mm, mm * area, _rain(ahead, today, WEEK_DAYS))


def _rain(ahead: Ahead, today: date, days: int) -> float | None:
    """Rain of the last days, mm, where any was written down."""
    lately = [today - timedelta(days=n) for n in range(days)]
    known = [ahead.rain_mm[day] for day in lately if day in ahead.rain_mm]
    return float(sum(known)) if known else None
