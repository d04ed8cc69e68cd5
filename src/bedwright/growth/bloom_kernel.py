"""The inner loop of ``bloom``: every way of raising, every season, every day, compiled.

Kept apart because numba, which compiles it, takes a second to import; what it does is written down
in ``bloom``.
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


class Seasons(NamedTuple):
    """Weather of every season, °C, each (seasons, LEAD_DAYS + DAYS), from LEAD_DAYS before the
    growing year: the day's minimum and mean, the soil, and the means over the fortnight before it
    of daily means and maxima."""

    tmin: Floats
    tmean: Floats
    soil: Floats
    recent_mean: Floats
    recent_max: Floats


class Ways(NamedTuple):
    """Every way of raising: ``may_open`` and ``pace`` (ways, LEAD_DAYS + DAYS), ``error`` (ways,
    seasons), the rest (ways,).

    ``pace``: what a day's length makes of its warmth; ``error``: a season's need as a multiple of
    the usual; ``out``: day it goes outside; ``count_from``: day from which warmth counts;
    ``kill_from``: day from which a night at ``kill`` ends it, and before which one at
    ``winter_kill`` does; ``seed_need``, ``seed_base``: degree-days of soil to emergence, 0 for a
    plant, and their base; ``need``, ``full``: degree-days to first flower and to filling its room;
    ``start``: share of its room that it covers at first; ``base``, ``optimum``, ``kill``,
    ``winter_kill``, ``heat_max``: °C; ``span``: days that bloom lasts; ``ends_with_heat``: whether
    heat ends it; ``waits``: whether it waits for heat to pass.
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
    ends_with_heat: NDArray[np.bool_]
    waits: NDArray[np.bool_]


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
    tmin, tmean, soil = seasons.tmin, seasons.tmean, seasons.soil
    recent_mean, recent_max = seasons.recent_mean, seasons.recent_max
    may_open, pace, first, last = ways.may_open, ways.pace, out.first, out.last
    blooming, cover = out.blooming, out.cover
    count, days = tmin.shape[0], tmin.shape[1] - lead
    for w in prange(len(ways.out)):
        start, base, optimum = ways.start[w], ways.base[w], ways.optimum[w]
        kill, winter_kill = ways.kill[w] + SLACK_C, ways.winter_kill[w] + SLACK_C
        heat_max, span = ways.heat_max[w], ways.span[w]
        ends_with_heat, waits = ways.ends_with_heat[w], ways.waits[w]
        kill_from, count_from, set_out = ways.kill_from[w], ways.count_from[w], ways.out[w]
        seed_base, seed_need = ways.seed_base[w], ways.seed_need[w]
        for s in range(count):
            need = ways.need[w] * ways.error[w, s]
            filling = (1.0 - start) / (ways.full[w] * ways.error[w, s])
            warmth, seed_left = 0.0, seed_need
            begun, clock, end, hot = days, days, days, 0
            ready = False
            for t in range(set_out, days):
                d = t + lead
                if seed_left > 0.0:
                    seed_left -= max(soil[s, d] - seed_base, 0.0)
                    continue
                if tmin[s, d] <= (kill if t >= kill_from else winter_kill):
                    end = t
                    break
                if t >= count_from:
                    warmth += max(min(tmean[s, d], optimum) - base, 0.0) * pace[w, d]
                ready = ready or (warmth >= need and may_open[w, d])
                if t >= 0:
                    cover[w, t] += min(start + filling * warmth, 1.0)
                if not ready:
                    continue
                chilled = recent_mean[s, d] < base
                heated = recent_max[s, d] > heat_max
                if begun == days and not chilled and not heated:
                    begun = t
                if clock == days and not chilled and (begun < days or not waits):
                    clock = t
                if clock == days:
                    continue
                if t >= clock + span or (chilled and t > chill_from):
                    end = t
                    break
                hot = hot + 1 if heated else 0
                if ends_with_heat and hot == HEAT_DAYS:
                    end = t
                    break
                if t >= 0 and not chilled and not heated:
                    blooming[w, t] += 1.0
            if begun < end:
                first[w, s], last[w, s] = begun, end
            else:
                first[w, s], last[w, s] = days, days
