"""The same loop as ``bloom_kernel``, day by day over all seasons at once, in numpy.

It takes some fifty times as long for each way of raising, but none of the second in which numba is
loaded: so it answers where a command asks for a single kind.
"""

from __future__ import annotations

import numpy as np

from bedwright.climate import SLACK_C
from bedwright.growth.bloom_kernel import (
    ABREAST,
    HEAT_DAYS,
    LEAST_AGE,
    RECENT_MAX,
    RECENT_MEAN,
    SOIL,
    TMEAN,
    TMIN,
    Flowering,
    Seasons,
    Ways,
)

MOST_WAYS = 4
"""Ways of raising up to which this is the sooner of the two."""


def flower_by_day(seasons: Seasons, ways: Ways, chill_from: int, lead: int, out: Flowering) -> None:
    """As ``bloom_kernel.flower``."""
    for w in range(len(ways.out)):
        _flower(seasons, ways, w, chill_from, lead, out)


def _flower(
    seasons: Seasons, ways: Ways, w: int, chill_from: int, lead: int, out: Flowering
) -> None:
    """One way of raising in every season."""
    count, days = seasons.size, seasons.weather.shape[1] - lead
    base, optimum, start = ways.base[w], ways.optimum[w], ways.start[w]
    kill, winter_kill = ways.kill[w] + SLACK_C, ways.winter_kill[w] + SLACK_C
    need, full = ways.need[w] * ways.error[w], ways.full[w] * ways.error[w]
    warmth, seed_left = np.zeros(count, np.float32), np.full(count, ways.seed_need[w])
    begun, end = np.full(count, days), np.full(count, days)
    spent = np.zeros(count, np.float32)
    hot = np.zeros(count, np.int64)
    ready = np.zeros(count, bool)
    going = np.ones(count, bool)
    for t in range(int(ways.out[w]), days):
        d = t + lead
        tmin, tmean, soil, recent_mean, recent_max = (
            seasons.weather[:, d, n : n + ABREAST].reshape(-1)[:count]
            for n in (TMIN, TMEAN, SOIL, RECENT_MEAN, RECENT_MAX)
        )
        under = going & (seed_left > 0.0)
        gained = np.maximum(soil - ways.seed_base[w], 0.0)
        seed_left[under] -= gained[under]
        up = going & ~under
        killed = up & (tmin <= (kill if t >= ways.kill_from[w] else winter_kill))
        end[killed] = t
        going &= ~killed
        up &= ~killed
        if not going.any():
            break
        pace = ways.pace[w, d] if t >= ways.count_from[w] else np.float32(0.0)
        gain = np.maximum(np.minimum(tmean, optimum) - base, 0.0) * pace
        warmth[up] += gain[up]
        if ways.may_open[w, d]:
            ready |= up & (warmth >= need)
        if t >= 0:
            share = np.minimum(start + (1.0 - start) * warmth / full, 1.0)
            out.cover[w, t] = share[up].sum()
        live = up & ready
        if not live.any():
            continue
        chilled = recent_mean < base
        heated = recent_max > ways.heat_max[w]
        begun[live & (begun == days) & ~chilled & ~heated] = t
        waiting = (begun == days) if ways.waits[w] else np.zeros(count, bool)
        live &= (spent > 0.0) | (~chilled & ~waiting)
        spent[live] += np.clip(gain / ways.day_need[w], np.float32(LEAST_AGE), 1.0)[live]
        over = live & ((spent > ways.span[w]) | (chilled & (t > chill_from)))
        end[over] = t
        live &= ~over
        hot[live] = np.where(heated[live], hot[live] + 1, 0)
        if ways.ends_with_heat[w]:
            stalled = live & (hot == HEAT_DAYS)
            end[stalled] = t
            live &= ~stalled
            over |= stalled
        going &= ~over
        if t >= 0:
            out.blooming[w, t] = (live & ~chilled & ~heated).sum()
    some = begun < end
    out.first[w] = np.where(some, begun, days)
    out.last[w] = np.where(some, end, days)
