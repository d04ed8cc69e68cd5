"""What is still to come of a bed under way, worked out from what has happened.

The model runs again over the same planting: with the weather so far as it was written down
(``weather.with_entries``), with what the garden has taught, and from the days on which things were
sown and set out in fact.  Each of these is put in by itself, one after another, so that what a date
moved by can be said of each.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Learned, Room
from bedwright.climate import DAYS, Season, soil_temperature
from bedwright.growth import (
    MULCH_DAYS,
    WATER_USE,
    Bloom,
    Outdoors,
    Way,
    blooms_of,
    crop_coefficient,
    room_warmth_c,
    weekly_water_mm,
    weeks_indoors,
)
from bedwright.underway.planned import PlannedBed, Planted
from bedwright.underway.stands import Stand
from bedwright.work import GAP, POT_M

Cause = Literal["weather", "garden", "work", "seen"]
"""What a date moved by: the weather so far; what the garden taught; the days on which things were
done in fact; a first flower, or an end, that was seen."""

MOVES_BY_WEATHER = ("frost", "soil", "nothing")
"""What decides the days of setting out that the weather moves."""

SEEN_ERROR = 0.02
"""Error that is left of a first flower that was seen, as a share of the model's."""


@dataclass(frozen=True)
class Coming:
    """One item from here: the day it is or was sown and goes or went out; its first flower, with
    odds of 10, 50 and 90%, and the end of its flowers, None where it seldom flowers this year;
    ``weekly``: (52,) odds of being in bloom; ``moved``: days by which the median first flower moved
    by each cause, and ``out_moved`` the day of setting out."""

    item: Planted
    sow: date
    out: date
    first: tuple[date, date, date] | None
    last: date | None
    weekly: NDArray[np.float64]
    cover: NDArray[np.float64]
    moved: Mapping[Cause, int]
    out_moved: Mapping[Cause, int]

    @property
    def weeks(self) -> float:
        """Expected weeks in bloom."""
        return float(self.weekly.sum())


class Days(NamedTuple):
    """Indices into the growing year of an item's sowing and of its way out into the bed."""

    sow: int
    out: int


def come(
    bed: PlannedBed,
    stands: Mapping[str, Stand],
    base: Season,
    here: Season,
    learned: Learned,
    today: date,
    room: Room = "window sill",
) -> dict[str, Coming]:
    """What is to come of each item, by letter.

    ``base``: the season as the plan had it; ``here``: with what the journal has of it; ``learned``:
    what the garden has taught by now; ``room``: where plants are raised.
    """
    items = bed.items
    planned = [Days(base.index(item.sow), base.index(item.out)) for item in items]
    by_weather = _by_weather(bed, planned, base, here)
    done = [
        _done(bed, item, days, stands[item.letter], here, here.index(today))
        for item, days in zip(items, by_weather, strict=True)
    ]
    warm = room_warmth_c(room)
    steps: list[tuple[Cause | None, list[Days], Learned, Season]] = [
        (None, planned, bed.learned, base),
        ("weather", by_weather, bed.learned, here),
        ("garden", by_weather, learned, here),
        ("work", done, learned, here),
    ]
    blooms = dict[Cause | None, list[Bloom]]()
    for cause, days, known, season in steps:
        ways = [_way(item, each, known, warm) for item, each in zip(items, days, strict=True)]
        blooms[cause] = blooms_of(ways, season)
    blooms["seen"] = _as_seen(items, done, stands, learned, warm, here, blooms["work"])
    out = dict[str, Coming]()
    for n, item in enumerate(items):
        own = {cause: each[n] for cause, each in blooms.items()}
        moves = _moves([planned[n], by_weather[n], by_weather[n], done[n], done[n]])
        out[item.letter] = _coming(item, stands[item.letter], done[n], own, moves, here)
    return out


def _by_weather(bed: PlannedBed, planned: Sequence[Days], base: Season, here: Season) -> list[Days]:
    """The days of the plan, moved where the weather so far moves the first safe and warm day."""
    was, now = (
        Outdoors(season, soil_temperature(season.tmean_c), bed.frost_risk)
        for season in (base, here)
    )
    out = []
    for item, days in zip(bed.items, planned, strict=True):
        if item.decided_by not in MOVES_BY_WEATHER:
            out.append(days)
            continue
        before, after = (_first_out(item, each) for each in (was, now))
        ready = base.index(bed.ready)
        moved = max(days.out + after - before, min(ready, days.out))
        out.append(Days(days.sow + moved - days.out, moved))
    return out


def _first_out(item: Planted, outdoors: Outdoors) -> int:
    find = outdoors.sowing_day if item.in_place else outdoors.plant_day
    return find(item.kind).day


def _done(
    bed: PlannedBed, item: Planted, days: Days, stand: Stand, season: Season, now: int
) -> Days:
    """The days on which an item was sown and went out in fact, or now can.

    Not everything is written down: what is not, and whose last day is past, counts as done on its
    day (and is listed as late); what is still within its days can be done from today on.
    """
    sow, out = days
    last = {work.code: work.latest for work in bed.work if item.letter in work.letters}

    def open_still(code: str, day: int) -> bool:
        latest = season.index(last[code]) if code in last else day
        return max(latest, day) >= now

    later = (stand.out, stand.first_flower, stand.thinned, stand.up)
    shown = any(one is not None for one in later)
    if item.in_place:
        if stand.sown is not None:
            out = season.index(stand.sown)
        elif not shown and open_still("sow_in_place", out):
            out = max(out, now)
        return Days(out, out)
    shown = shown or stand.pricked_out is not None or stand.potted_on is not None
    if stand.sown is not None:
        sow = season.index(stand.sown)
    elif not shown and item.method != "bought" and open_still("sow_indoors", sow):
        sow = max(sow, now)
    if stand.out is not None:
        return Days(sow, season.index(stand.out))
    if item.method == "indoors":
        out = max(out, sow + round(weeks_indoors(item.kind)[0] * 7))
    if stand.first_flower is None and open_still("set_out", out):
        out = max(out, now)
    return Days(sow, out)


def _way(item: Planted, days: Days, learned: Learned, warm_c: float) -> Way:
    key = item.kind.key
    return Way(
        item.kind,
        days.sow,
        days.out,
        in_place=item.in_place,
        indoor_c=warm_c,
        in_bud=item.method == "bought" and days.out >= 0,
        late_days=learned.late_days_of(key),
        error=learned.error_of(key),
    )


def _as_seen(
    items: Sequence[Planted],
    days: Sequence[Days],
    stands: Mapping[str, Stand],
    learned: Learned,
    warm_c: float,
    season: Season,
    blooms: Sequence[Bloom],
) -> list[Bloom]:
    """Blooms that begin on the day on which a first flower was seen."""
    out = list(blooms)
    again, ways = list[int](), list[Way]()
    for n, (item, each, bloom) in enumerate(zip(items, days, blooms, strict=True)):
        seen = stands[item.letter].first_flower
        if seen is None or not (bloom.first < DAYS).any():
            continue
        late = season.index(seen) - float(np.median(bloom.first[bloom.first < DAYS]))
        way = _way(item, each, learned, warm_c)
        again.append(n)
        ways.append(replace(way, late_days=way.late_days + late, error=SEEN_ERROR))
    for n, bloom in zip(again, blooms_of(ways, season), strict=True):
        out[n] = bloom
    return out


def _moves(days: Sequence[Days]) -> dict[Cause, int]:
    causes: tuple[Cause, ...] = ("weather", "garden", "work", "seen")
    return {
        cause: after.out - before.out
        for cause, before, after in zip(causes, days, days[1:], strict=False)
    }


def _coming(
    item: Planted,
    stand: Stand,
    days: Days,
    blooms: Mapping[Cause | None, Bloom],
    out_moved: Mapping[Cause, int],
    season: Season,
) -> Coming:
    bloom = blooms["seen"]
    order: tuple[Cause, ...] = ("weather", "garden", "work", "seen")
    before: tuple[Cause | None, ...] = (None, "weather", "garden", "work")
    moved = {
        cause: _median(blooms[cause]) - _median(blooms[was])
        for was, cause in zip(before, order, strict=True)
        if _median(blooms[cause]) < DAYS > _median(blooms[was])
    }
    first = last = None
    if bloom.typical is not None or stand.first_flower is not None:
        low, high = bloom.spread
        middle = _median(bloom)
        first = season.day(low), season.day(middle), season.day(min(high, DAYS - 1))
        last = season.day(bloom.typical[1]) if bloom.typical else None
    if stand.first_flower is not None:
        first = (stand.first_flower,) * 3
    return Coming(
        item=item,
        sow=season.day(days.sow),
        out=season.day(days.out),
        first=first,
        last=stand.over or last,
        weekly=bloom.weekly,
        cover=bloom.cover,
        moved=moved,
        out_moved=out_moved,
    )


def _median(bloom: Bloom) -> int:
    """Median first day over all seasons; DAYS where most do not bloom."""
    return int(np.median(np.asarray(bloom.first, int)))


def water_mm(coming: Mapping[str, Coming], season: Season) -> dict[date, float]:
    """Water wanted beyond rain in the usual season, mm, by the first day of each week."""
    items = list(coming.values())
    mulched = season.index(max(one.out for one in items)) + MULCH_DAYS
    parts = [
        crop_coefficient(one.cover, WATER_USE[one.item.kind.growth.water], mulched) for one in items
    ]
    thirst = np.average(parts, axis=0, weights=[one.item.area_m2 for one in items])
    weekly = np.median(weekly_water_mm(season, thirst), axis=0)
    return {season.day(7 * n): float(mm) for n, mm in enumerate(weekly)}


def bench_m2(
    bed: PlannedBed, coming: Mapping[str, Coming], stands: Mapping[str, Stand]
) -> dict[date, float]:
    """Bench room from here, m², by the first day of each week: the plan's, of each item from the
    day it is sown until it is out, moved with these.  An item that failed takes none."""
    rows = [
        (row, coming[letter])
        for letter, row in bed.indoor.items()
        if letter in coming and not stands[letter].failed
    ]
    if not rows:
        return {}
    room = room_of(bed)
    weeks = dict[date, float]()
    first = min(one.sow for _, one in rows)
    start = bed.start + timedelta(days=(first - bed.start).days // 7 * 7)
    last = max(one.out for _, one in rows)
    while start < last:
        week = [
            room.of(row, start + _shift(row, one, start))
            for row, one in rows
            if one.sow <= start + timedelta(days=6) and start < one.out
        ]
        weeks[start] = float(sum(week))
        start += timedelta(days=7)
    return weeks


def _shift(row: Mapping[str, object], one: Coming, day: date) -> timedelta:
    """Days from a day to that of the plan at which the item stood alike."""
    return date.fromisoformat(str(row["sow"])) - one.sow


class BenchRoom(NamedTuple):
    """Room of one container before and after potting on, m²."""

    small: float
    large: float

    def of(self, row: Mapping[str, object], planned: date) -> float:
        """Room of a row of the raising sheet on a day of the plan."""
        on = row["pot_on"]
        each = self.large if on and planned >= date.fromisoformat(str(on)) else self.small
        return int(str(row["containers"])) * each


def room_of(bed: PlannedBed) -> BenchRoom:
    """What one container takes on the plan's bench: by the first week, in which none is potted on
    yet."""
    first = min(bed.bench_m2, default=None)
    large = (POT_M * GAP) ** 2
    if first is None:
        return BenchRoom(large, large)
    rows = [
        int(row["containers"])
        for row in bed.indoor.values()
        if date.fromisoformat(row["sow"]) <= first + timedelta(days=6)
    ]
    count = sum(rows)
    return BenchRoom(bed.bench_m2[first] / count if count else large, large)
