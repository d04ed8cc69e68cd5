"""Seasons bent to what is stated of frost: an office's dates, or what gardeners there say.

The model's seasons are each warmed or cooled until their freezes fall as stated; where it never
freezes, or never hard, only the coldest nights move.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import FreezeDays, KnownFrost, MonthDay, Taken
from bedwright.climate.ensemble import DAYS, Season, Weather, month_of_day, spring_of
from bedwright.climate.exposure import lean_in, renewed
from bedwright.climate.frost import (
    FREEZE_C,
    HARD_FREEZE_C,
    NEVER,
    NORMAL,
    SLACK_C,
    Halves,
    first_autumn,
    last_spring,
    odds_of_days,
)
from bedwright.climate.maxima import DAY_WITH_NIGHT
from bedwright.climate.model import spring_share
from bedwright.climate.modelled import season_from_normals
from bedwright.facts import Fact

Floats = NDArray[np.floating]


Stated = Literal["dates", "light_dates", "none", "months", "odds", "months_and_odds", "light"]
"""What is stated of frost: ``dates`` of a last or first freeze; such dates, and that no freeze is a
hard one (``light_dates``); that there is ``none``; the ``months`` that it keeps to, the ``odds`` of
a year with it, or both; that it is ``light`` alone."""


@dataclass(frozen=True)
class FromDates(Fact):
    """A season rests on stated frost dates, heat and rain on the grid's normals.

    ``whose``: where the dates come from, as stated; empty where nothing is.
    """

    whose: str

    @property
    def stated(self) -> Stated:
        """What is stated of frost."""
        return "dates"


@dataclass(frozen=True)
class FromLightDates(FromDates):
    """A season rests on such dates, and on its being said that no freeze is a hard one."""

    @property
    def stated(self) -> Stated:
        """What is stated of frost."""
        return "light_dates"


@dataclass(frozen=True)
class FromSayings(Fact):
    """A season rests on what is said of frost, heat and rain on the grid's normals.

    ``never``: no freeze; ``months``: those that freezes keep to; ``light``: no hard one; ``share``:
    of years with a freeze, None where it is not stated; ``whose``: as in FromDates.
    """

    never: bool
    months: tuple[int, ...]
    light: bool
    share: float | None
    whose: str

    @property
    def stated(self) -> Stated:
        """What is stated of frost."""
        if self.never:
            return "none"
        if self.share is not None:
            return "months_and_odds" if self.months else "odds"
        return "months" if self.months else "light"


@dataclass(frozen=True)
class OddsTaken(Fact):
    """A last (else first) freeze stated without odds was taken as the usual year's.

    ``taken``: from what it was stated by.
    """

    last: bool
    taken: Taken


@dataclass(frozen=True)
class SideModelled(Fact):
    """Only one side of the frost dates is stated: the last (else first) freeze is the model's."""

    last: bool


@dataclass(frozen=True)
class FrostUnlike(Fact):
    """What is stated of frost and what the world's normals give differ widely: shares of springs
    with a freeze."""

    stated: float
    modelled: float


@dataclass(frozen=True)
class DatesMissed(Fact):
    """The last freezes of the modelled weather are so many days (median) from those stated."""

    miss_days: float


class Goals(NamedTuple):
    """Last and first freeze (n,) that each season is to have; None where that is left open."""

    spring: NDArray[np.int64] | None
    autumn: NDArray[np.int64] | None


def season_from_stated(weather: Weather, year: int, known: KnownFrost, seed: int) -> Season:
    """The model's seasons, moved until their freezes fall as stated."""
    base = season_from_normals(weather, year, seed)
    if known.share is not None and not known.months:
        made = _with_share(base, known.share)
    elif known.never:
        made = _without_freeze(base)
    elif known.months or known.last_spring or known.first_autumn:
        made = _with_dates(base, _goals(base, known, np.random.default_rng([seed, 103])))
    else:
        made = replace(base, notes=())
    if known.light:
        made = _without_hard_freeze(made)
    return replace(
        made,
        source="dates",
        basis=basis_of(known),
        notes=(*made.notes, *_unlike(base, made), *_taken(known)),
        doubt_days=0.0,
        doubt_c=0.0,
    )


def basis_of(known: KnownFrost) -> FromDates | FromSayings:
    """What a season rests on that is made from what is stated of frost."""
    whose = known.source.strip()
    if known.last_spring or known.first_autumn:
        return FromLightDates(whose) if known.light else FromDates(whose)
    return FromSayings(known.never, known.months, known.light, known.share, whose)


UNLIKE_SHARE = 0.8
"""Difference of the shares of springs with a freeze from which a statement and the normals are said
to differ widely (estimate)."""


def _unlike(base: Season, made: Season) -> tuple[Fact, ...]:
    """What to say where a statement is far from all that the place's normals allow."""
    stated = made.freeze(True).share
    nearest = base.share_if(-base.doubt_c if stated < base.freeze(True).share else base.doubt_c)
    if abs(stated - nearest) < UNLIKE_SHARE:
        return ()
    return (FrostUnlike(stated, base.freeze(True).share),)


def _taken(known: KnownFrost) -> tuple[Fact, ...]:
    """How dates without odds were taken, and what was left to the model."""
    notes: list[Fact] = []
    sides = ((True, known.last_spring), (False, known.first_autumn))
    for last, days in sides:
        if days is not None and days.taken != "odds":
            notes.append(OddsTaken(last, days.taken))
    if any(days is not None for _, days in sides):
        notes += [SideModelled(last) for last, days in sides if days is None]
    return tuple(notes)


# --- dates ---------------------------------------------------------------------------------------


def _goals(base: Season, known: KnownFrost, rng: np.random.Generator) -> Goals:
    """Freeze days that follow from dates or months, dealt to the seasons."""
    n = base.size
    if known.months:
        some = rng.permutation(n) < round((1.0 if known.share is None else known.share) * n)
        spring, autumn = (
            _within_months(known.months, base, side, rng.permutation(n)) for side in (True, False)
        )
        return Goals(np.where(some, spring, NEVER), np.where(some, autumn, NEVER))
    spring_order, autumn_order = rng.permutation(n), rng.permutation(n)
    last, first = known.last_spring, known.first_autumn
    return Goals(
        None if last is None else _target_days(last, base, True, spring_order),
        None if first is None else _target_days(first, base, False, autumn_order),
    )


def _with_dates(base: Season, goals: Goals) -> Season:
    """Each season warmed or cooled, in spring and in autumn, until its freezes fall as they are
    to."""
    n, halves = base.size, base.site.halves
    shifts = [
        np.zeros(n) if goal is None else _shift_to(base.tmin_c, goal, halves, side)
        for side, goal in ((True, goals.spring), (False, goals.autumn))
    ]
    spring = spring_share(DAYS, *spring_of(base.site))
    shift = shifts[0][:, None] * spring + shifts[1][:, None] * (1 - spring)
    low = (base.tmin_c + shift).astype(np.float32)
    high = np.maximum(
        (base.tmax_c + DAY_WITH_NIGHT * shift).astype(np.float32), low + np.float32(0.3)
    )
    stated = (
        last_spring(low, FREEZE_C, halves) if goals.spring is None else goals.spring,
        first_autumn(low, FREEZE_C, halves) if goals.autumn is None else goals.autumn,
    )
    missed = 0.0 if goals.spring is None else _missed(low, goals.spring, halves)
    return replace(
        base,
        tmin_c=low,
        tmax_c=high,
        notes=() if missed <= FAIR_MISS_DAYS else (DatesMissed(missed),),
        odds_dates=odds_of_days(*stated),
        stated=stated,
    )


FAIR_MISS_DAYS = 5.0
"""Days by which the seasons' own freezes may miss the stated ones without a note (estimate)."""


def _missed(tmin: Floats, goal: NDArray[np.int64], halves: Halves) -> float:
    """Median days by which the seasons' own last freezes miss the stated ones."""
    day = last_spring(tmin, FREEZE_C, halves)
    both = (day != NEVER) & (goal != NEVER)
    return float(np.median(np.abs(day - goal)[both])) if both.any() else 0.0


def _target_days(
    stated: FreezeDays, base: Season, spring: bool, order: NDArray[np.int64]
) -> NDArray[np.int64]:
    """(n,) freeze days that follow the stated odds, dealt to the seasons.

    A normal curve through the stated points (least squares in the curve's own scale); where one
    point is stated its spread is the model's.
    """
    points = [
        (1.0 - risk if spring else risk, _index_of(day, base)) for risk, day in stated.odds.items()
    ]
    z = np.array([NORMAL.inv_cdf(p) for p, _ in points])
    days = np.array([d for _, d in points], float)
    spread = _own_spread(base, spring)
    if len(points) > 1:
        spread, centre = np.polyfit(z, days, 1)
    else:
        centre = float(days[0] - spread * z[0])
    return _dealt(base, spring, float(centre), float(spread), order)


def _own_spread(base: Season, spring: bool) -> float:
    """Standard deviation, days, of the model's own freezes; a usual one where they are few."""
    dates = base.freeze(spring).dates
    return float(np.std(dates)) if len(dates) > base.size / 10 else USUAL_SPREAD_DAYS


USUAL_SPREAD_DAYS = 12.0
"""Standard deviation of a place's last freezes (NCEI's normals: ten to fourteen days at most
stations, from memory)."""


def _dealt(
    base: Season,
    spring: bool,
    centre: float,
    spread: float,
    order: NDArray[np.int64],
    ends: bool = True,
) -> NDArray[np.int64]:
    """(n,) days of a normal curve, dealt to the seasons.

    Beyond the year's end there is no freeze, or it is on the last day where not ``ends``; past
    midsummer it is one of the other half.
    """
    levels = np.array([NORMAL.inv_cdf((k + 0.5) / len(order)) for k in range(len(order))])
    goal = np.round(centre + spread * levels).astype(int)
    if not ends:
        goal = np.clip(goal, 0, DAYS - 1)
    if spring:
        goal = np.where(goal < 0, NEVER, np.minimum(goal, base.site.halves.spring_until - 1))
    else:
        goal = np.where(goal >= DAYS, NEVER, np.maximum(goal, base.site.halves.autumn_from))
    return np.asarray(goal[order])


def _index_of(day: MonthDay, base: Season) -> int:
    """Index of a MonthDay within the growing year."""
    index = base.index(day.in_year(base.start.year))
    return index if index >= 0 else base.index(day.in_year(base.start.year + 1))


def _shift_to(
    tmin: Floats, goal: NDArray[np.int64], halves: Halves, spring: bool
) -> NDArray[np.float64]:
    """(n,) degrees added to each season so that its freeze falls as near its goal as can be."""
    shifts = np.arange(-12.0, 12.01, 0.1)
    shifts = shifts[np.argsort(np.abs(shifts), kind="stable")]
    day = _days_moved(tmin, shifts, halves, spring)
    both = (day != NEVER) & (goal != NEVER)
    neither = (day == NEVER) & (goal == NEVER)
    miss = np.where(both, np.abs(day - goal), np.where(neither, 0, 400))
    return np.asarray(shifts[np.argmin(miss, axis=0)])  # of moves as good the least


def _days_moved(tmin: Floats, by: Floats, halves: Halves, spring: bool) -> NDArray[np.int64]:
    """(moves, n) last or first freezes were all minima so many degrees warmer.

    The minimum that is just a freeze then is sought among the lowest minima so far, counted from
    midsummer: those fall in order, so that a search does for all moves at once.
    """
    until, start = halves.spring_until, halves.autumn_from
    from_summer = tmin[:, until - 1 :: -1] if spring else tmin[:, start:]
    lowest = np.minimum.accumulate(from_summer, axis=1)
    limit = FREEZE_C + SLACK_C
    near = (limit - by).astype(tmin.dtype)
    tried = [np.nextafter(near, np.array(-np.inf, near.dtype)), near]
    tried.append(np.nextafter(near, np.array(np.inf, near.dtype)))
    # Of numbers of the minima's precision the highest that, moved, is not above the limit.
    just = np.max([np.where(value + by <= limit, value, -np.inf) for value in tried], axis=0)
    first = np.array([np.searchsorted(-row, -just) for row in lowest]).T
    day = until - 1 - first if spring else start + first
    return np.where(first == lowest.shape[1], NEVER, day)


# --- what gardeners say --------------------------------------------------------------------------

MONTH_ODDS = 0.1
"""Odds of a freeze outside the months that are said to have frost (common practice, no source: what
is said of a place forgets the odd year)."""


def _within_months(
    months: tuple[int, ...], base: Season, spring: bool, order: NDArray[np.int64]
) -> NDArray[np.int64]:
    """(n,) freezes of one side that keep to months but for MONTH_ODDS, dealt to the seasons; never
    where none of the months lies on that side."""
    inside = np.flatnonzero(np.isin(month_of_day(base.site) + 1, months))
    side = inside[inside < base.split] if spring else inside[inside >= base.split]
    if not len(side):
        return np.full(len(order), NEVER)
    first, last = int(side[0]), int(side[-1])
    z = NORMAL.inv_cdf(1.0 - MONTH_ODDS)
    spread = min(_own_spread(base, spring), (last - first + 1) / (2.0 * z))
    centre = last - z * spread if spring else first + z * spread
    return _dealt(base, spring, centre, spread, order, ends=False)


LEAST_ABOVE_C = 0.2
"""How far above a threshold the coldest night is put that is to stay above it."""

MILD_NIGHT_C = 4.0
"""How far above freezing nights are left as they are where it never freezes (estimate)."""


def _without_freeze(base: Season) -> Season:
    """Seasons whose cold nights are all above freezing."""
    never = np.full(base.size, NEVER)
    low = raised(base.tmin_c, FREEZE_C + LEAST_ABOVE_C, MILD_NIGHT_C)
    return renewed(replace(base, notes=()), low, (never, never))


def _without_hard_freeze(base: Season) -> Season:
    """Seasons whose freezing nights all stay above a hard freeze; which nights freeze stays."""
    return renewed(base, raised(base.tmin_c, HARD_FREEZE_C + LEAST_ABOVE_C, FREEZE_C), base.stated)


def raised(tmin_c: Floats, floor_c: float, knee_c: float) -> Floats:
    """Seasons (n, days) whose lowest minimum is at least ``floor_c``.

    Where one goes lower its minima below ``knee_c`` are drawn together between the two; their order
    stays.
    """
    lowest = tmin_c.min(axis=1, keepdims=True)
    scale = (knee_c - floor_c) / np.maximum(knee_c - lowest, knee_c - floor_c)
    drawn = knee_c - (knee_c - tmin_c) * scale
    return np.asarray(np.where(tmin_c < knee_c, drawn, tmin_c), tmin_c.dtype)


def _with_share(base: Season, share: float) -> Season:
    """Seasons whose nights are moved alike, the cold ones in full, until so many of them freeze.

    Where that is not enough the mildest of the others are drawn above freezing.
    """
    lean = lean_in(base.tmin_c)

    def freeze(by: float) -> float:
        return float(((base.tmin_c + by * lean).min(axis=1) <= FREEZE_C).mean())

    warmest, coldest = MOST_MOVED_C, -MOST_MOVED_C
    for _ in range(STEPS):
        middle = (warmest + coldest) / 2
        if freeze(middle) > share:
            coldest = middle
        else:
            warmest = middle
    low = (base.tmin_c + warmest * lean).astype(base.tmin_c.dtype)
    spared = np.argsort(low.min(axis=1))[round(share * base.size) :]
    low[spared] = raised(low[spared], FREEZE_C + LEAST_ABOVE_C, MILD_NIGHT_C)
    return renewed(replace(base, notes=()), low, None)


MOST_MOVED_C, STEPS = 8.0, 14
"""Degrees C within which nights are moved to a stated share of years, and halvings of them: to a
few thousandths."""
