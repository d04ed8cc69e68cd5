"""When a kind flowers that is sown on a given day: its first and last flower, with the odds.

``bloom`` gives the flowering of every season.  It leaves the nights that kill young plants to
whoever sets them out; here the gardener names the day, so they count: where such a night comes
before the first flower, a tender or half-hardy kind has none that season.  A hardy one may: its
limit is of plants in growth, and seedlings low on the ground outlive colder nights (common
practice, no source), so that the odds of such a night are told and no more.  Seed in the ground is
safe until it is up, which takes a sum of the soil's warmth (thermal time of germination: J.
Garcia-Huidobro, J. L. Monteith and G. R. Squire, Journal of Experimental Botany 33, 1982, from
memory) that the catalogue's days and temperatures of germination give; seed of tender kinds that
lies longer than ROT_DAYS rots.

What goes outdoors in the last LEAD_DAYS of a growing year may flower in that one or in the next:
the first in which at least half of the seasons flower counts, else the one with more of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import USUAL_RISK, MonthDay
from bedwright.catalogue import Kind
from bedwright.climate import DAYS, SLACK_C, Season, soil_temperature
from bedwright.facts import Fact
from bedwright.growth.bloom import (
    LEAD_DAYS,
    Bloom,
    Way,
    bloom_of,
    kills_from,
    winter_kill_c,
    with_lead,
)
from bedwright.growth.outdoors import DecidedBy, Outdoors
from bedwright.growth.warmth import seed_of

AUTUMN_RISK = {"hardy": 0.5, "half_hardy": USUAL_RISK, "tender": USUAL_RISK}
"""The same for plants that are ready in autumn, else they wait for spring: hardy ones may go out at
even odds, for they often live through such a night (estimate)."""

YOUNG_DAYS = 28
"""Days for which a plant counts as just set out or sprouted (estimate)."""

ROT_DAYS = 56
"""Days for which seed of tender kinds lies in cold ground at most (estimate)."""

LONG_INDOORS_WEEKS = 4
"""Weeks beyond the longest usual stay indoors from which a plant is drawn and pot-bound (common
practice, no source)."""

EARLY_SOIL_DAYS = 7
"""Days before the soil is usually warm enough at which a sowing in place counts as early
(estimate)."""

SHIFT_MONTH = 7
"""Month from which on a sowing may be set out in the next calendar year."""

MOST, FEWEST = 0.5, 0.1
"""Share of seasons that must flower for a usual day; and points of the first flower's range."""


class Sowing(NamedTuple):
    """What the gardener means to do: the day of sowing, and of setting out where it is named;
    ``in_place``: sown where it is to flower."""

    sown: MonthDay
    set_out: MonthDay | None = None
    in_place: bool = False


@dataclass(frozen=True)
class InPlaceAssumed(Fact):
    """No way was named, and the kind is sown in place only."""


@dataclass(frozen=True)
class IndoorsAssumed(Fact):
    """No way was named, and the kind is raised indoors: set out on a day, so many weeks after
    sowing.

    ``waits_for``: what held it back beyond its ``usual_weeks``, if anything; ``or_in_place``:
    whether it can be sown in place, too.
    """

    out: date
    weeks: float
    usual_weeks: float
    waits_for: DecidedBy
    or_in_place: bool


@dataclass(frozen=True)
class LongIndoors(Fact):
    """It stays indoors far longer than it should."""

    weeks: float
    usual_most: float


@dataclass(frozen=True)
class OtherWay(Fact):
    """It is raised in a way in which the kind is not usually raised."""

    way: Literal["indoors", "in_place"]
    resents_moving: bool


@dataclass(frozen=True)
class NextYear(Fact):
    """Little or nothing flowers in the growing year of the sowing, so that the next one is told,
    which ``begins`` on a day.  ``share``: of the seasons that flower before."""

    begins: date
    share: float


@dataclass(frozen=True)
class ForLeaves(Fact):
    """The kind is grown for its leaves: its days are those on which it looks its best."""


@dataclass(frozen=True)
class SoilCold(Fact):
    """Sown in place before the soil is usually warm enough, which it is from a day on; None where
    it seldom is by midsummer."""

    soil_c: float
    warm: date | None


@dataclass(frozen=True)
class FrostRisk(Fact):
    """Odds of a night that young plants may not outlive before they flower, from a day on which
    they are outdoors (where ``in_place``, up); ``deadly``: whether none does."""

    odds: float
    night_c: float
    since: date
    in_place: bool
    deadly: bool


@dataclass(frozen=True)
class SaferFrom(Fact):
    """The day from which the odds of such a night are down to a ``risk`` that plans accept."""

    day: date
    risk: float


@dataclass(frozen=True)
class FirstFlower:
    """The day of the first flower: 10%, 50% and 90% points over the seasons that flower."""

    early: date
    median: date
    late: date


class Lack(NamedTuple):
    """Shares of the seasons without a flower, by what is in the way: seed that does not come up, a
    night that kills young plants, the frost of autumn, or none of these (too little warmth, too
    much heat, or days of the wrong length)."""

    seed: float
    young: float
    autumn: float
    other: float


@dataclass(frozen=True)
class When:
    """The answer: how the kind is raised, and its flowering in the growing year of ``season``.

    ``bloom``: as if all seed came up and no night killed young plants; ``up``: (n,) first day on
    which the plants stand outdoors, DAYS where they do not come up; ``cold``: (n,) first day with a
    night that they may not outlive, DAYS where there is none.  ``notes``: what was assumed, and
    what to mind.
    """

    kind: Kind
    way: Way
    season: Season
    bloom: Bloom
    up: NDArray[np.int64] = field(repr=False)
    cold: NDArray[np.int64] = field(repr=False)
    notes: tuple[Fact, ...] = ()

    @property
    def risky(self) -> NDArray[np.bool_]:
        """(n,) seasons with a night before their first flower, and before autumn, that young plants
        may not outlive."""
        first = self.bloom.first
        return np.asarray((self.cold < first) & ((first < DAYS) | (self.cold < self.season.split)))

    @cached_property
    def flowers(self) -> NDArray[np.bool_]:
        """(n,) seasons with a flower."""
        some = (self.bloom.first < DAYS) & (self.up < DAYS)
        return some if self.kind.hardiness == "hardy" else some & ~self.risky

    @property
    def share_of_seasons(self) -> float:
        """Share of seasons in which it flowers."""
        return float(self.flowers.mean())

    @property
    def sown(self) -> date:
        """The day of sowing."""
        return self.season.day(self.way.sown)

    @property
    def set_out(self) -> date | None:
        """The day of setting out; None where it is sown in place."""
        return None if self.way.in_place else self.season.day(self.way.out)

    @cached_property
    def range_of_first(self) -> FirstFlower | None:
        """The first flower over the seasons that have one, however few; None where none has."""
        if not self.flowers.any():
            return None
        points = (FEWEST, 0.5, 1.0 - FEWEST)
        days = np.quantile(self.bloom.first[self.flowers], points)
        return FirstFlower(*(self.season.day(float(day)) for day in days))

    @property
    def first_flower(self) -> FirstFlower | None:
        """The first flower; None where fewer than half of the seasons have one."""
        return self.range_of_first if self.share_of_seasons >= MOST else None

    @cached_property
    def _ends(self) -> int:
        return int(np.median(self.bloom.last[self.flowers]))

    @property
    def last_flower(self) -> date | None:
        """Median day on which its flowering ends; None where fewer than half of the seasons
        flower."""
        if self.share_of_seasons < MOST:
            return None
        return self.season.day(min(self._ends, DAYS - 1))

    @property
    def goes_on(self) -> bool:
        """Whether it usually still flowers when the growing year ends."""
        return bool(self.flowers.any()) and self._ends >= DAYS

    @property
    def weekly(self) -> NDArray[np.float64]:
        """(52,) odds of being in flower in each week of the growing year.

        Those of ``bloom`` less the seasons in which young plants die, as if these were like the
        others.
        """
        if self.bloom.share == 0.0:
            return self.bloom.weekly
        return np.asarray(self.bloom.weekly * (self.share_of_seasons / self.bloom.share))

    @property
    def lack(self) -> Lack:
        """What is in the way in the seasons without a flower."""
        none = ~self.flowers
        seed = none & (self.up == DAYS)
        young = none & self.risky
        autumn = none & ~young & (self.cold < DAYS)
        other = none & ~seed & ~young & ~autumn
        return Lack(*(float(each.mean()) for each in (seed, young, autumn, other)))


def when_of(kind: Kind, sowing: Sowing, year: int, season_in: Callable[[int], Season]) -> When:
    """When a kind flowers that is sown so in a growing year.

    ``season_in``: the season of a growing year; it is asked for that of ``year``, and for the next
    where plants go outdoors late in it or after it.  Raises ValueError for a day of setting out
    that is not after the sowing, or beside ``in_place``.
    """
    if sowing.set_out is not None and sowing.in_place:
        raise ValueError("plants sown in place are not set out")
    in_place = sowing.in_place or (sowing.set_out is None and kind.sowing.method == "in_place")
    best: When | None = None
    for way, season, notes in _ways(kind, sowing, in_place, year, season_in):
        found = _answer(way, season, notes)
        if best is None:
            best = found
        elif found.share_of_seasons > best.share_of_seasons:
            best = replace(
                found, notes=(NextYear(found.season.start, best.share_of_seasons), *found.notes)
            )
        if best.share_of_seasons >= MOST:
            break
    assert best is not None  # there is a way at least in the next growing year
    return best


def first_on(day: MonthDay, start: date) -> date:
    """The first such day on or after another."""
    found = (day.in_year(start.year + n) for n in (0, 1))
    return next(one for one in found if one >= start)


def set_out_on(sowing: Sowing, sown: date) -> date | None:
    """The day of setting out that is named, in the year of sowing or, for a sowing of the second
    half of the year, the next; None where there is none, or it is not after the sowing."""
    if sowing.set_out is None:
        return None
    day = sowing.set_out.in_year(sown.year)
    if sowing.set_out < sowing.sown and sowing.sown.month >= SHIFT_MONTH:
        day = sowing.set_out.in_year(sown.year + 1)
    return day if day > sown else None


def _ways(
    kind: Kind, sowing: Sowing, in_place: bool, year: int, season_in: Callable[[int], Season]
) -> Iterator[tuple[Way, Season, tuple[Fact, ...]]]:
    """The ways of raising to look at: as the growing year in which it goes out sees it, then, if
    that is late in the year and little flowers, as the next one does."""
    season = season_in(year)
    sown = first_on(sowing.sown, season.start)
    assumed: tuple[Fact, ...] = ()
    if in_place:
        out = sown
        if not sowing.in_place:
            assumed = (InPlaceAssumed(),)
    elif sowing.set_out is not None:
        named = set_out_on(sowing, sown)
        if named is None:
            raise ValueError(f"set out on {sowing.set_out}, which is not after {sowing.sown}")
        out = named
    else:
        fact = _usual_out(kind, sown, season, lambda: season_in(year + 1))
        out, assumed = fact.out, (fact,)
    index = season.index(out)
    if index < DAYS:
        yield Way(kind, season.index(sown), index, in_place), season, assumed
    if index >= DAYS - LEAD_DAYS:
        season = season_in(year + 1)
        yield Way(kind, season.index(sown), season.index(out), in_place), season, assumed


def _usual_out(
    kind: Kind, sown: date, season: Season, following: Callable[[], Season]
) -> IndoorsAssumed:
    """The day on which a kind is set out that was sown indoors: after its usual weeks, but not
    before it is safe."""
    usual = (kind.sowing.weeks_min + kind.sowing.weeks_max) / 2
    index = season.index(sown)
    grown = index + round(usual * 7)
    decided: DecidedBy = "nothing"
    kill_c = kind.kill_c
    most = AUTUMN_RISK[kind.hardiness]
    late = grown >= season.split
    if late and (grown >= DAYS or season.odds_of_night(kill_c, grown, YOUNG_DAYS) > most):
        season = following()
        index = season.index(sown)
        grown = index + round(usual * 7)
    if grown < season.split:
        outdoors = Outdoors(season, soil_temperature(season.tmean_c), USUAL_RISK)
        safe = outdoors.plant_day(kind)
        if safe.day > grown:
            grown, decided = safe.day, safe.decided_by
    return IndoorsAssumed(
        out=season.day(grown),
        weeks=(grown - index) / 7,
        usual_weeks=usual,
        waits_for=decided,
        or_in_place=kind.sowing.method == "both",
    )


def _answer(way: Way, season: Season, assumed: tuple[Fact, ...]) -> When:
    """The flowering of one way of raising, with what there is to say of it."""
    up = _up(way, season)
    cold = _cold(way, season, up)
    found = When(way.kind, way, season, bloom_of(way, season), up, cold)
    return replace(found, notes=(*assumed, *_notes(found)))


def _up(way: Way, season: Season) -> NDArray[np.int64]:
    """(n,) first day on which its plants stand outdoors: set out, or up from seed; DAYS where they
    do not come up."""
    out = max(way.out, -LEAD_DAYS)
    if not way.in_place:
        return np.full(season.size, out)
    seed = seed_of(way.kind)
    soil = soil_temperature(with_lead(season.tmean_c))[:, out + LEAD_DAYS :]
    enough = np.cumsum(np.maximum(soil - seed.base_c, 0.0), axis=1) >= seed.need
    days = enough.argmax(axis=1)
    rots = (days > ROT_DAYS) & (way.kind.hardiness == "tender")
    return np.where(enough.any(axis=1) & ~rots, out + days, DAYS)


def _cold(way: Way, season: Season, up: NDArray[np.int64]) -> NDArray[np.int64]:
    """(n,) first day with a night that plants may not outlive which are ``up`` from a day on; DAYS
    where there is none.  What is up before the growing year is a hardened rosette until spring."""
    days, kill_c = np.arange(-LEAD_DAYS, DAYS), way.kind.kill_c
    winter = (way.out < 0) & (days < kills_from(season))
    limit = np.where(winter, winter_kill_c(way.kind), kill_c) + SLACK_C
    deadly = (days >= up[:, None]) & (with_lead(season.tmin_c) <= limit)
    return np.where(deadly.any(axis=1), days[deadly.argmax(axis=1)], DAYS)


def _notes(found: When) -> Iterator[Fact]:
    """What to mind of an answer."""
    if found.kind.is_foliage:
        yield ForLeaves()
    way, season, sow = found.way, found.season, found.kind.sowing
    usual = "indoors" if sow.method == "indoors" else "in_place"
    if sow.method != "both" and way.in_place != (usual == "in_place"):
        yield OtherWay("in_place" if way.in_place else "indoors", sow.resents_moving)
    weeks = (way.out - way.sown) / 7
    if not way.in_place and weeks > sow.weeks_max + LONG_INDOORS_WEEKS:
        yield LongIndoors(weeks, sow.weeks_max)
    if way.in_place and 0 <= way.out < season.split:
        warm = Outdoors(season, soil_temperature(season.tmean_c), USUAL_RISK).warm_day(
            sow.soil_min_c
        )
        if way.out + EARLY_SOIL_DAYS < warm:
            yield SoilCold(sow.soil_min_c, season.day(warm) if warm < season.split else None)
    up = found.up[found.up < DAYS]
    if up.size and (found.flowers.any() or found.risky.any()):
        since = season.day(float(np.median(up)))
        hardy = found.kind.hardiness == "hardy"
        night_c = winter_kill_c(found.kind) if way.out < 0 else found.kind.kill_c
        risk = float(found.risky.mean())
        yield FrostRisk(risk, night_c, since, way.in_place, not hardy)
        last = season.freeze(True, night_c).day_at(USUAL_RISK)
        in_spring = not way.in_place and last is not None and way.out <= last
        if risk > USUAL_RISK and in_spring and last is not None:
            yield SaferFrom(season.day(math.ceil(last) + 1), USUAL_RISK)
