"""When a kind flowers: thermal time to first bloom, then frost, heat or its own span.

Thermal time: each day gives its mean temperature less the kind's base, capped at CEILING_C (the
linear model of development used for bedding plants, M. G. Blanchard and E. S. Runkle, e.g. Scientia
Horticulturae 128, 2011; the ceiling is an estimate), times its *pace*: 1 where a day has 12 hours
and fewer, and in proportion up to LONG_DAY_PACE for kinds that long days hurry and SHORT_DAY_PACE
for those that they hold back, at 16 hours and more.  The ``days_to_bloom`` of the catalogue are
days in the field, from sowing: a kind needs what so many days at REFERENCE_C and REFERENCE_DAY_H
give.  REFERENCE_C, INDOOR_C and the two paces are fitted to dates of flowering in gardens
(``tools/fit_growth.py``) and judged on others (``tests/outside/test_outdoor_flowering.py``).

Obligate short-day and long-day kinds do not open before the day length that lets them.  By the same
model no flower opens while the fortnight's mean temperature is below the base.  What is outdoors
before the growing year begins grows in the last days of another season of the ensemble.

Nor does any while the fortnight's mean maximum is above the kind's limit.  Bloom ends on the first
of: a killing night; the kind's span, counted from its first flower; in autumn a fortnight colder
than the base; for kinds that heat ends, a week on end of heat.  Kinds that heat or their own span
ends do not wait for a hot summer to pass: both count from the day they could have flowered, so one
that comes ready in the heat is lost to it (S. A. Rose, Brevard County extension, 1988: cool-season
flowers "disappear" in it; the rule is common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Kind
from bedwright.climate import DAYS, FORTNIGHTS, WEEKS, Season, day_length_h, day_of_year

if TYPE_CHECKING:
    from bedwright.growth.bloom_kernel import Ways

REFERENCE_C = 15.5
"""Mean temperature that the catalogue's days to bloom are for (fitted)."""

REFERENCE_DAY_H = 14.0
"""Day length that they are for: of spring and early summer (estimate)."""

LONG_DAY_PACE, SHORT_DAY_PACE = 1.39, 0.88
"""Pace of kinds that long days hurry or hold back, at LONGEST_H and more (fitted)."""

SHORTEST_H, LONGEST_H = 12.0, 16.0
"""Day lengths between which the pace changes (estimate)."""

CEILING_C = 28.0
INDOOR_C = 12.3
"""Warmth that indoor growth amounts to, °C (fitted): less than a room's, for want of light and for
the cold greenhouses and sills that many plants are raised in."""

LEAD_DAYS = 184
"""Days before the growing year from which growth outdoors counts."""

SHORT_DAY_H, LONG_DAY_H = 12.5, 13.0
"""Critical day lengths of obligate kinds (common practice, no source)."""

SPRING_ENDS_DAYS = 60
"""Days before the split of spring and autumn from which a killing night ends the bloom; earlier
ones are the setting-out risk, which is worked out apart."""

CHECK_DAYS = 5
"""Days a transplant stands still after moving (common practice, no source)."""

SET_OUT_COVER = 0.1
"""Share of its room that a young plant covers when it is set out (estimate)."""

FILL_DAYS = 30
"""Days at REFERENCE_C after first bloom at which a plant has filled its room (estimate)."""

ROUNDING = 0.01
"""Degree-days off what a kind needs, so that sums in single precision come no day late."""


@dataclass(frozen=True)
class Way:
    """A kind sown on day ``sown`` and outdoors from day ``out`` (indices into the growing year).

    ``in_place``: sown where it flowers, so all its growth is outdoors.
    """

    kind: Kind
    sown: int
    out: int
    in_place: bool


@dataclass(frozen=True)
class Bloom:
    """A kind's flowering in each season of the ensemble.

    ``first``: (n,) index of the first flower, DAYS where there is none; ``last``: (n,) day it ends;
    ``weekly``: (52,) odds of being in bloom in each week of the growing year; ``cover``: (52,)
    expected share of its room that it covers.
    """

    first: NDArray[np.int16] = field(repr=False)
    last: NDArray[np.int16] = field(repr=False)
    weekly: NDArray[np.float64] = field(repr=False)
    cover: NDArray[np.float64] = field(repr=False)

    @cached_property
    def odds(self) -> NDArray[np.float64]:
        """(26,) odds of being in bloom in each fortnight."""
        return np.asarray(self.weekly.reshape(FORTNIGHTS, 2).mean(axis=1))

    @property
    def share(self) -> float:
        """Share of seasons in which it blooms at all."""
        return float((self.first < DAYS).mean())

    @cached_property
    def typical(self) -> tuple[int, int] | None:
        """Median first and last day of the seasons that bloom; None where most do not."""
        if self.share < 0.5:
            return None
        some = self.first < DAYS
        first, last = int(np.median(self.first[some])), int(np.median(self.last[some]))
        return (first, last) if first < last else None

    @property
    def spread(self) -> tuple[int, int]:
        """10% and 90% points of the first day, of the seasons that bloom."""
        some = self.first < DAYS
        if not some.any():
            return DAYS, DAYS
        low, high = np.quantile(self.first[some], [0.1, 0.9])
        return int(low), int(high)

    @property
    def weeks(self) -> float:
        """Expected weeks in bloom."""
        return float(self.weekly.sum())

    @cached_property
    def typical_weeks(self) -> float:
        """Weeks between the median first and last day."""
        return (self.typical[1] - self.typical[0]) / 7 if self.typical else 0.0


def blooms_of(ways: Sequence[Way], season: Season) -> list[Bloom]:
    """Flowering of every way of raising in every season at once."""
    from bedwright.growth.bloom_kernel import Flowering, Seasons, flower

    if not ways:
        return []
    shape = (len(ways), season.size)
    tmean = with_lead(season.tmean_c)
    seasons = Seasons(
        tmin=with_lead(season.tmin_c).astype(np.float32),
        tmean=tmean.astype(np.float32),
        recent_mean=fortnight_mean(tmean).astype(np.float32),
        recent_max=fortnight_mean(with_lead(season.tmax_c)).astype(np.float32),
    )
    found = Flowering(
        first=np.empty(shape, np.int16),
        last=np.empty(shape, np.int16),
        blooming=np.zeros((len(ways), DAYS), np.float32),
        cover=np.zeros((len(ways), DAYS), np.float32),
    )
    flower(seasons, _columns(ways, season), CEILING_C, season.split, LEAD_DAYS, found)

    def weekly(sums: NDArray[np.float32]) -> NDArray[np.float64]:
        share = sums[: WEEKS * 7].astype(float) / season.size
        return np.asarray(share.reshape(WEEKS, 7).mean(axis=1))

    return [
        Bloom(found.first[w], found.last[w], weekly(found.blooming[w]), weekly(found.cover[w]))
        for w in range(len(ways))
    ]


def bloom_of(way: Way, season: Season) -> Bloom:
    """Flowering of one way of raising."""
    return blooms_of([way], season)[0]


def pace_of(kind: Kind, hours: NDArray[np.floating]) -> NDArray[np.float64]:
    """What days of so many ``hours`` make of their warmth for a kind."""
    daylength = kind.growth.daylength
    most = 1.0
    if daylength.startswith("long"):
        most = LONG_DAY_PACE
    elif daylength.startswith("short"):
        most = SHORT_DAY_PACE
    long = np.clip((hours - SHORTEST_H) / (LONGEST_H - SHORTEST_H), 0.0, 1.0)
    return np.asarray(1.0 + (most - 1.0) * long)


def degree_days_to_bloom(way: Way, hours: NDArray[np.float64]) -> float:
    """Degree-days that a kind still needs to flower on the day it goes out; ``hours``: (365,) day
    lengths of the growing year."""
    kind, base = way.kind, way.kind.growth.base_c
    usual = float(pace_of(kind, np.array([REFERENCE_DAY_H]))[0])
    need = kind.growth.days_to_bloom * (REFERENCE_C - base) * usual
    if not way.in_place:
        indoors = np.arange(way.sown, max(way.out, way.sown)) % DAYS
        need -= (INDOOR_C - base) * float(pace_of(kind, hours[indoors]).sum())
        need += CHECK_DAYS * (REFERENCE_C - base)
    return max(need - ROUNDING, 1e-6)


def with_lead(values: NDArray[np.floating]) -> NDArray[np.floating]:
    """(n, LEAD_DAYS + DAYS) days of each season after the last of the one before it in the
    ensemble, whose order means nothing."""
    before = np.roll(values, 1, axis=0)[:, -LEAD_DAYS:]
    return np.asarray(np.concatenate([before, values], axis=1))


def fortnight_mean(values: NDArray[np.floating]) -> NDArray[np.float64]:
    """(n, days) mean of each day and the 13 before it (of fewer at the start)."""
    total = np.cumsum(values, axis=1, dtype=float)
    total[:, 14:] -= total[:, :-14].copy()
    return np.asarray(total / np.minimum(np.arange(values.shape[1]) + 1, 14))


def _columns(ways: Sequence[Way], season: Season) -> Ways:
    """Ways of raising as the compiled loop takes them."""
    from bedwright.growth.bloom_kernel import Ways

    growth = [way.kind.growth for way in ways]
    hours = day_length_h(season.site.latitude, day_of_year(season.site))
    out = np.array([max(way.out, -LEAD_DAYS) for way in ways])
    need = np.array([degree_days_to_bloom(way, hours) for way in ways])
    days = np.concatenate([hours[-LEAD_DAYS:], hours])
    filling = np.array([FILL_DAYS * (REFERENCE_C - g.base_c) for g in growth])
    single = np.float32
    return Ways(
        may_open=np.array([_open_days(way, days) for way in ways]),
        pace=np.array([pace_of(way.kind, days) for way in ways], single),
        out=out,
        kill_from=np.maximum(out, season.split - SPRING_ENDS_DAYS),
        need=need.astype(single),
        full=(need + filling).astype(single),
        start=np.array([0.0 if way.in_place else SET_OUT_COVER for way in ways], single),
        base=np.array([g.base_c for g in growth], single),
        kill=np.array([way.kind.kill_c for way in ways], single),
        heat_max=np.array([way.kind.liking.heat_max_c for way in ways], single),
        span=np.array([round(g.bloom_weeks * 7) for g in growth]),
        ends_with_heat=np.array([g.bloom_end == "heat" for g in growth]),
        waits=np.array([g.bloom_end == "frost" for g in growth]),
    )


def _open_days(way: Way, hours: NDArray[np.float64]) -> NDArray[np.bool_]:
    """(LEAD_DAYS + DAYS,) days whose length lets the kind open."""
    daylength = way.kind.growth.daylength
    if daylength == "short_obligate":
        return np.asarray(hours <= SHORT_DAY_H)
    if daylength == "long_obligate":
        # A plant that has lived through long days goes on: only the start waits for them.
        lived = np.where(np.arange(len(hours)) >= way.sown + LEAD_DAYS, hours, 0.0)
        return np.asarray(np.maximum.accumulate(lived) >= LONG_DAY_H)
    return np.ones(len(hours), bool)
