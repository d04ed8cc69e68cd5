"""The inner loop of ``bloom``: every way of raising, every season, every day, compiled.

Kept apart because numba, which compiles it, takes a second to import; what it does is written down
in ``bloom``.

ABREAST seasons go through the days of a way together.  Each step of a day is a short loop over
their numbers side by side, in single precision and without a branch, so that the processor takes
eight of them at a time.  Conditions are counted, 1 or 0, and numbers that change are added to, if
only 0: a choice between a new value and the old one would be compiled to a store of some of the
eight, which is slow.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.climate import SLACK_C
from bedwright.compiled import compiled, prange

Floats = NDArray[np.float32]
HEAT_DAYS = 7
"""Days of heat on end that finish a kind which heat ends."""

LEAST_AGE = 0.1
"""What the coldest day takes from the span of bloom, where one of the catalogue's days takes 1
(estimate)."""

ABREAST = 64
"""Seasons that go through the days together."""

TMIN, TMEAN, SOIL, RECENT_MEAN, RECENT_MAX = range(0, 5 * ABREAST, ABREAST)
"""Where each value of a day's weather begins: its minimum and mean, the soil, and the means over
the fortnight before it of daily means and maxima, °C."""

ALIVE, LEFT, WARMTH, NEED, FILLING, READY, BEGUN, CLOCK, HOT, END = range(0, 10 * ABREAST, ABREAST)
"""Where each number of the plants begins: whether they live; degree-days of soil still to
emergence; degree-days since; those to the first flower; share of the room that a degree-day fills;
days on which they could have opened; day of the first flower; what is spent of the span; days of
heat on end; day of the end.  Both days are counted back from the end of the year, 0 for never."""

NEVER = np.float32(np.inf)
ZERO, ONE, AGE = np.float32(0.0), np.float32(1.0), np.float32(LEAST_AGE)
counted = np.float32
"""1 where a condition holds, 0 where it does not."""

ANY_ORDER = {"reassoc"}
"""Lets sums over the seasons be taken in any order."""


class Seasons(NamedTuple):
    """Weather of every season from LEAD_DAYS before the growing year.

    ``weather``: (blocks, LEAD_DAYS + DAYS, 5 * ABREAST) the values of ABREAST seasons side by side,
    the last season's again where there are no more; ``coldest``: (blocks, LEAD_DAYS + DAYS) lowest
    minimum among them; ``size``: how many seasons there are.
    """

    weather: Floats
    coldest: Floats
    size: int


def abreast(values: list[NDArray[np.floating]]) -> Seasons:
    """Seasons as the loops take them, from (seasons, LEAD_DAYS + DAYS) of each value, in the order
    of TMIN and the rest."""
    size, days = values[0].shape
    blocks = -(-size // ABREAST)
    weather = np.empty((blocks, days, len(values), ABREAST), np.float32)
    for block in range(blocks):
        rows = np.minimum(block * ABREAST + np.arange(ABREAST), size - 1)
        for n, each in enumerate(values):
            weather[block, :, n] = each[rows].T
    coldest = weather[:, :, 0].min(axis=2)
    return Seasons(weather.reshape(blocks, days, -1), coldest, size)


class Ways(NamedTuple):
    """Every way of raising: ``may_open`` and ``pace`` (ways, LEAD_DAYS + DAYS), ``error`` (ways,
    seasons), the rest (ways,).

    ``pace``: what a day's length makes of its warmth; ``error``: a season's need as a multiple of
    the usual; ``out``: day it goes outside; ``count_from``: day from which warmth counts;
    ``kill_from``: day from which a night at ``kill`` ends it, and before which one at
    ``winter_kill`` does; ``seed_need``, ``seed_base``: degree-days of soil to emergence, 0 for a
    plant, and their base; ``need``, ``full``: degree-days to first flower and to filling its room;
    ``start``: share of its room that it covers at first; ``base``, ``optimum``, ``kill``,
    ``winter_kill``, ``heat_max``: °C; ``span``: days that bloom lasts, each of ``day_need``
    degree-days or more; ``ends_with_heat``: whether heat ends it; ``waits``: whether it waits for
    heat to pass.
    """

    may_open: NDArray[np.bool_]
    pace: Floats
    error: Floats
    out: NDArray[np.int64]
    count_from: NDArray[np.int64]
    kill_from: NDArray[np.int64]
    seed_need: Floats
    seed_base: Floats
    need: Floats
    full: Floats
    start: Floats
    base: Floats
    optimum: Floats
    kill: Floats
    winter_kill: Floats
    heat_max: Floats
    span: NDArray[np.int64]
    day_need: Floats
    ends_with_heat: NDArray[np.bool_]
    waits: NDArray[np.bool_]


class Limits(NamedTuple):
    """One way's figures as the steps of a day take them: as in ``Ways``, but NEVER where a limit
    does not hold for it.

    ``wait_above``: heat that it waits out before its span begins; ``day_share``: what a degree-day
    takes from its span; ``hot_days``: days of heat on end
    that finish it.
    """

    seed_base: np.float32
    base: np.float32
    optimum: np.float32
    start: np.float32
    heat_max: np.float32
    wait_above: np.float32
    span: np.float32
    day_share: np.float32
    hot_days: np.float32


class Flowering(NamedTuple):
    """What is found: first and last day of bloom (ways, seasons), and the sums over the seasons of
    days in bloom and of cover (ways, DAYS)."""

    first: NDArray[np.int16]
    last: NDArray[np.int16]
    blooming: Floats
    cover: Floats


@compiled(parallel=True)
def flower(seasons: Seasons, ways: Ways, chill_from: int, lead: int, out: Flowering) -> None:
    """Fill ``out``; its sums begin at 0.

    ``chill_from``: day from which chill ends bloom; ``lead``: days that the weather begins before
    the growing year.
    """
    for w in prange(len(ways.out)):
        _flower(seasons, ways, np.int64(w), chill_from, lead, out)


@compiled()
def _flower(
    seasons: Seasons, ways: Ways, w: int, chill_from: int, lead: int, out: Flowering
) -> None:
    """One way of raising in every season."""
    days = seasons.weather.shape[1] - lead
    slack = np.float32(SLACK_C)
    kill, winter_kill = ways.kill[w] + slack, ways.winter_kill[w] + slack
    limits = Limits(
        seed_base=ways.seed_base[w],
        base=ways.base[w],
        optimum=ways.optimum[w],
        start=ways.start[w],
        heat_max=ways.heat_max[w],
        wait_above=ways.heat_max[w] if ways.waits[w] else NEVER,
        span=np.float32(ways.span[w]),
        day_share=ONE / ways.day_need[w],
        hot_days=np.float32(HEAT_DAYS) if ways.ends_with_heat[w] else NEVER,
    )
    state = np.empty(10 * ABREAST, np.float32)
    for block in range(len(seasons.weather)):
        first = block * ABREAST
        count = min(ABREAST, seasons.size - first)
        _begin(state, ways, w, first, count)
        under = count if ways.seed_need[w] > ZERO else 0
        live = ready = ZERO
        for t in range(ways.out[w], days):
            d = t + lead
            sky, to_end = seasons.weather[block, d], np.float32(t - days)
            deadly = kill if t >= ways.kill_from[w] else winter_kill
            if seasons.coldest[block, d] <= deadly:
                _freeze(sky, state, deadly, to_end)
            pace = ways.pace[w, d] if t >= ways.count_from[w] else ZERO
            if under < count:
                shut = ZERO if ways.may_open[w, d] else NEVER
                live, ready, cover = _grow(sky, state, limits, pace, shut)
                if t >= 0:
                    out.cover[w, t] += cover
            if live + under == 0:
                break
            if under > 0:
                under = _come_up(sky, state, limits)
            if ready > 0:
                chill = limits.base if t > chill_from else -NEVER
                blooming = _bloom(sky, state, limits, pace, chill, to_end)
                if t >= 0:
                    out.blooming[w, t] += blooming
        for s in range(count):
            begun, end = days + state[BEGUN + s], days + state[END + s]
            some = begun < end
            out.first[w, first + s] = begun if some else days
            out.last[w, first + s] = end if some else days


@compiled()
def _begin(state: Floats, ways: Ways, w: int, first: int, count: int) -> None:
    """Set the plants on the day they go out, in so many seasons from ``first`` on."""
    state[:] = ZERO
    for s in range(count):
        error = ways.error[w, first + s]
        state[ALIVE + s] = ONE
        state[LEFT + s] = ways.seed_need[w]
        state[NEED + s] = ways.need[w] * error
        state[FILLING + s] = (ONE - ways.start[w]) / (ways.full[w] * error)


@compiled()
def _freeze(sky: Floats, state: Floats, deadly: np.float32, to_end: np.float32) -> None:
    """A night that kills where it is as cold as ``deadly``."""
    for s in range(ABREAST):
        up = counted(state[LEFT + s] <= ZERO) * state[ALIVE + s]
        killed = counted(sky[TMIN + s] <= deadly) * up
        state[ALIVE + s] -= killed
        state[END + s] += to_end * killed


@compiled(fastmath=ANY_ORDER)
def _grow(
    sky: Floats, state: Floats, limits: Limits, pace: np.float32, shut: np.float32
) -> tuple[np.float32, np.float32, np.float32]:
    """A day's growth of what is up; ``shut``: NEVER where the day's length lets none open, else 0.

    Returns how many are up, on how many days they could have opened, and the sum of the shares of
    their room that they cover.
    """
    live, ready, cover = ZERO, ZERO, ZERO
    for s in range(ABREAST):
        up = counted(state[LEFT + s] <= ZERO) * state[ALIVE + s]
        gain = max(min(sky[TMEAN + s], limits.optimum) - limits.base, ZERO) * pace
        warmth = state[WARMTH + s] + gain * up
        days_ready = state[READY + s] + counted(warmth >= state[NEED + s] + shut) * up
        state[WARMTH + s] = warmth
        state[READY + s] = days_ready
        live += up
        ready += days_ready
        cover += min(limits.start + state[FILLING + s] * warmth, ONE) * up
    return live, ready, cover


@compiled(fastmath=ANY_ORDER)
def _come_up(sky: Floats, state: Floats, limits: Limits) -> np.float32:
    """A day of seed in the soil; returns how many are still under it."""
    under = ZERO
    for s in range(ABREAST):
        left = state[LEFT + s] - max(sky[SOIL + s] - limits.seed_base, ZERO)
        state[LEFT + s] = left
        under += counted(left > ZERO) * state[ALIVE + s]
    return under


@compiled(fastmath=ANY_ORDER)
def _bloom(
    sky: Floats,
    state: Floats,
    limits: Limits,
    pace: np.float32,
    chill: np.float32,
    to_end: np.float32,
) -> np.float32:
    """A day of what could have opened; ``chill``: mean of a fortnight below which bloom ends.

    Returns how many are in bloom.
    """
    blooming = ZERO
    for s in range(ABREAST):
        mean, hottest, alive = sky[RECENT_MEAN + s], sky[RECENT_MAX + s], state[ALIVE + s]
        warm = counted((state[READY + s] > ZERO) & (mean >= limits.base)) * alive
        opens = counted(hottest <= limits.heat_max) * warm
        begins = (warm > ZERO) & (hottest <= limits.wait_above)
        gain = max(min(sky[TMEAN + s], limits.optimum) - limits.base, ZERO) * pace
        age = min(max(gain * limits.day_share, AGE), ONE)
        clock = state[CLOCK + s] + age * counted((state[CLOCK + s] > ZERO) | begins)
        runs = clock > ZERO
        hot = (state[HOT + s] + ONE) * counted(runs & (hottest > limits.heat_max))
        spent = (clock > limits.span) | (hot >= limits.hot_days)
        over = counted(spent | (runs & (mean < chill))) * alive
        state[BEGUN + s] += to_end * counted(state[BEGUN + s] == ZERO) * opens
        state[CLOCK + s] = clock
        state[HOT + s] = hot
        state[ALIVE + s] = alive - over
        state[END + s] += to_end * over
        blooming += opens * (ONE - over)
    return blooming
