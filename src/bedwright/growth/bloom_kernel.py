"""The inner loop of ``bloom``: every way of raising, every season, every day, compiled.

Kept apart because numba, which compiles it, takes a second to import; what it does is written down
in ``bloom``.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.climate import SLACK_C
from bedwright.compiled import compiled, prange

Floats = NDArray[np.float32]
HEAT_DAYS = 7
"""Days of heat on end that finish a kind which heat ends."""


@compiled(parallel=True)
def flower(
    tmin: Floats,
    tmean: Floats,
    recent_mean: Floats,
    recent_max: Floats,
    open_days: NDArray[np.bool_],
    ways: Floats,
    ceiling: float,
    chill_from: int,
    first: NDArray[np.int16],
    last: NDArray[np.int16],
    blooming: Floats,
    cover: Floats,
) -> None:
    """Fill ``first``, ``last`` (ways, seasons), ``blooming`` and ``cover`` (ways, days; sums).

    ``tmin`` ... ``recent_max``: (seasons, days); ``open_days``: (ways, days); ``ways``: (ways, 11)
    of out, frost_from, need, full, start, base, kill, heat_max, span, ends_with_heat, waits.
    """
    seasons, days = tmin.shape
    for w in prange(len(ways)):
        out, frost_from = int(ways[w, 0]), int(ways[w, 1])
        need, full, start, base = ways[w, 2], ways[w, 3], ways[w, 4], ways[w, 5]
        kill, heat_max, span = ways[w, 6] + SLACK_C, ways[w, 7], int(ways[w, 8])
        ends_with_heat, waits = ways[w, 9] > 0, ways[w, 10] > 0
        for s in range(seasons):
            warmth = 0.0
            begun, clock, end, hot = days, days, days, 0
            ready = False
            for t in range(out, days):
                warmth += max(min(tmean[s, t], ceiling) - base, 0.0)
                if t >= frost_from and tmin[s, t] <= kill:
                    end = t
                    break
                ready = ready or (warmth >= need and open_days[w, t])
                cover[w, t] += min(start + (1.0 - start) * warmth / full, 1.0)
                if not ready:
                    continue
                chilled = recent_mean[s, t] < base
                heated = recent_max[s, t] > heat_max
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
                if not chilled and not heated:
                    blooming[w, t] += 1.0
            if begun < end:
                first[w, s], last[w, s] = begun, end
            else:
                first[w, s], last[w, s] = days, days
