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
    growing year: the day's minimum and mean, and the means over the fortnight before it of daily
    means and maxima."""

    tmin: Floats
    tmean: Floats
    recent_mean: Floats
    recent_max: Floats


class Ways(NamedTuple):
    """Every way of raising: ``may_open`` and ``pace`` (ways, LEAD_DAYS + DAYS), the rest (ways,).

    ``pace``: what a day's length makes of its warmth, 1 at 12 hours; ``out``: day it goes outside; ``kill_from``: day from which a killing night ends it; ``need``,
    ``full``: degree-days to first flower and to filling its room; ``start``: share of its room
    that it covers at first; ``base``, ``kill``, ``heat_max``: °C; ``span``: days that bloom lasts;
    ``ends_with_heat``: whether heat ends it; ``waits``: whether it waits for heat to pass.
    """

    may_open: NDArray[np.bool_]
    pace: Floats
    out: NDArray[np.int64]
    kill_from: NDArray[np.int64]
    need: Floats
    full: Floats
    start: Floats
    base: Floats
    kill: Floats
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
def flower(
    seasons: Seasons, ways: Ways, ceiling: float, chill_from: int, lead: int, out: Flowering
) -> None:
    """Fill ``out``; its sums begin at 0.

    ``lead``: days that the weather begins before the growing year; ``ceiling``: mean temperature, °C, above which a day counts as this; ``chill_from``: day from
    which chill ends bloom.
    """
    tmin, tmean = seasons.tmin, seasons.tmean
    recent_mean, recent_max = seasons.recent_mean, seasons.recent_max
    may_open, pace, first, last = ways.may_open, ways.pace, out.first, out.last
    blooming, cover = out.blooming, out.cover
    count, days = tmin.shape[0], tmin.shape[1] - lead
    for w in prange(len(ways.out)):
        need, full, start, base = ways.need[w], ways.full[w], ways.start[w], ways.base[w]
        kill, heat_max, span = ways.kill[w] + SLACK_C, ways.heat_max[w], ways.span[w]
        ends_with_heat, waits = ways.ends_with_heat[w], ways.waits[w]
        kill_from, set_out = ways.kill_from[w], ways.out[w]
        for s in range(count):
            warmth = 0.0
            begun, clock, end, hot = days, days, days, 0
            ready = False
            for t in range(set_out, days):
                d = t + lead
                warmth += max(min(tmean[s, d], ceiling) - base, 0.0) * pace[w, d]
                if t >= kill_from and tmin[s, d] <= kill:
                    end = t
                    break
                ready = ready or (warmth >= need and may_open[w, d])
                if t >= 0:
                    cover[w, t] += min(start + (1.0 - start) * warmth / full, 1.0)
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
