"""When a kind flowers: thermal time to first bloom, then frost, heat or its own span.

What warmth it takes to come up and to flower is in ``warmth``; this is how it is gathered, day by
day, in every season of the ensemble.  The catalogue's days are not exact for a garden and a strain,
so each season draws its own error of them, with the spread that the fit left over.

Obligate short-day and long-day kinds do not open before the day length that lets them.  By the same
model no flower opens while the fortnight's mean temperature is below the base.  What is outdoors
before the growing year begins grows in the last days of another season of the ensemble; there and
until spring it is a low rosette, hardened by the cold, and only a night colder by ROSETTE_C than
its killing temperature ends it.

Nor does any flower open while the fortnight's mean maximum is above the kind's limit.  Bloom ends
on the first of: a killing night; the kind's span, counted from its first flower; in autumn a
fortnight colder than the base (where the winter lies in the middle of the growing year it only
waits); for kinds that heat ends, a week on end of heat.  The span is of
days as warm as the catalogue's days to bloom are for; a colder one takes less of it, in proportion
to what it gives of growth, so that pansies set out in autumn last into spring (estimate).  Kinds
that heat or their own span ends do not wait for a hot summer to pass: both count from the day they
could have flowered, so one that comes ready in the heat is lost to it (S. A. Rose, Brevard County
extension, 1988: cool-season flowers "disappear" in it; the rule is common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Hardiness, Kind
from bedwright.climate import (
    DAYS,
    FORTNIGHTS,
    WEEKS,
    Season,
    day_length_h,
    day_of_year,
    kept_with_season,
    soil_temperature,
)
from bedwright.growth.rates import rate_of
from bedwright.growth.warmth import (
    ROUNDING,
    Seed,
    daily_need,
    days_later,
    days_to_emerge,
    degree_days_from_emergence,
    degree_days_left,
    pace_of,
    seed_of,
)

if TYPE_CHECKING:
    from bedwright.growth.bloom_kernel import Seasons, Ways

LEAD_DAYS = 184
"""Days before the growing year from which growth outdoors counts."""

SHORT_DAY_H, LONG_DAY_H = 12.5, 12.0
"""Critical day lengths of obligate kinds (estimates; of 11, 12 and 13 hours, 12 fits cornflowers
sown in autumn in the American South best)."""

ROSETTE_C: dict[Hardiness, float] = {"hardy": 8.0, "half_hardy": 3.0, "tender": 0.0}
"""How much colder a night a rosette of each class stands, hardened by autumn, than a plant in
growth (estimates)."""

ROSETTE_LEAST_C = -18.0
"""Night that none stands for being a rosette; biennials whose own figure is lower do (estimate)."""

NEVER_C, NEVER = -99.0, 1e9
"""Colder than any night, and more degree-days than any year has."""

SPRING_ENDS_DAYS = 60
"""Days before the split of spring and autumn from which a killing night ends the bloom; earlier
ones are the setting-out risk, which is worked out apart."""

UNFROSTED_WEEKS = 26.0
"""Weeks for which kinds that frost ends flower where none comes: bedding is replaced every three to
six months in South Florida, even such as stand both of its seasons (S. H. Brown and B. Mason,
Colorful Plant Beds for South Florida, Lee County Extension)."""

SET_OUT_COVER = 0.1
"""Share of its room that a young plant covers when it is set out (estimate)."""

FILL_DAYS = 30
"""Days of the catalogue after first bloom at which a plant has filled its room (estimate)."""


@dataclass(frozen=True)
class Way:
    """A kind sown on day ``sown`` and outdoors from day ``out`` (indices into the growing year).

    ``in_place``: sown where it flowers, so all its growth is outdoors; ``indoor_c``: what the
    warmth of where it is raised amounts to, °C, the usual one where it is not stated; ``in_bud``:
    bought as a plant about to flower, so it is ready on the day it goes out; ``late_days``: days by
    which its first flower comes later than by the model, in this garden; ``error``: what is left of
    the model's error, as a share of it.
    """

    kind: Kind
    sown: int
    out: int
    in_place: bool
    indoor_c: float | None = None
    in_bud: bool = False
    late_days: float = 0.0
    error: float = 1.0


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

    @cached_property
    def weeks(self) -> float:
        """Expected weeks in bloom."""
        return float(self.weekly.sum())

    @cached_property
    def weeks_before(self) -> float:
        """Expected weeks from the first flower to the beginning of the growing year, where it opens
        before that."""
        return float(np.maximum(-self.first.astype(float), 0.0).mean() / 7.0)

    @cached_property
    def typical_weeks(self) -> float:
        """Weeks between the median first and last day."""
        return (self.typical[1] - self.typical[0]) / 7 if self.typical else 0.0


def kills_from(season: Season) -> int:
    """Day (index) from which a killing night ends the bloom of what stands outdoors: late spring;
    any day where the winter lies in the middle of the growing year."""
    return 0 if season.winter_amid else season.split - SPRING_ENDS_DAYS


def blooms_of(ways: Sequence[Way], season: Season) -> list[Bloom]:
    """Flowering of every way of raising in every season at once."""
    from bedwright.growth.bloom_days import MOST_WAYS, flower_by_day
    from bedwright.growth.bloom_kernel import Flowering, flower

    if not ways:
        return []
    shape = (len(ways), season.size)
    found = Flowering(
        first=np.empty(shape, np.int16),
        last=np.empty(shape, np.int16),
        blooming=np.zeros((len(ways), DAYS), np.float32),
        cover=np.zeros((len(ways), DAYS), np.float32),
    )
    run = flower_by_day if len(ways) <= MOST_WAYS else flower
    run(_weather(season), _columns(ways, season), season.split, LEAD_DAYS, found)

    blooming, cover = (
        sums[:, : WEEKS * 7].reshape(len(ways), WEEKS, 7).mean(axis=2, dtype=float) / season.size
        for sums in (found.blooming, found.cover)
    )
    return [Bloom(*each) for each in zip(found.first, found.last, blooming, cover, strict=True)]


@kept_with_season
def _weather(season: Season) -> Seasons:
    """The weather of a season as the loops take it."""
    from bedwright.growth.bloom_kernel import abreast

    tmean = with_lead(season.tmean_c)
    return abreast(
        [
            with_lead(season.tmin_c),
            tmean,
            soil_temperature(tmean),
            fortnight_mean(tmean),
            fortnight_mean(with_lead(season.tmax_c)),
        ]
    )


def bloom_of(way: Way, season: Season) -> Bloom:
    """Flowering of one way of raising."""
    return blooms_of([way], season)[0]


def followed_by(first: Bloom, second: Bloom, sown: int) -> Bloom:
    """One bloom and then another on the same ground, cleared and sown again on day ``sown``."""
    before = np.arange(WEEKS) * 7 < sown
    either = first.first < DAYS
    return Bloom(
        first=np.where(either, first.first, second.first),
        last=np.where(second.first < DAYS, second.last, np.minimum(first.last, sown * either)),
        weekly=np.where(before, first.weekly, second.weekly),
        cover=np.where(before, first.cover, second.cover),
    )


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


def winter_kill_c(kind: Kind) -> float:
    """Night temperature that kills a kind in winter which is outdoors from autumn on."""
    return min(kind.kill_c, max(kind.kill_c - ROSETTE_C[kind.hardiness], ROSETTE_LEAST_C))


@kept_with_season
def usual_mean_c(season: Season) -> NDArray[np.floating]:
    """(365,) mean temperature of each day over all seasons."""
    return np.asarray(season.tmean_c.mean(axis=0))


def need_of(way: Way, hours: NDArray[np.float64], outdoor_c: NDArray[np.floating]) -> float:
    """Degree-days to the first flower, from emergence or from the day it goes out; ``hours``,
    ``outdoor_c``: (365,) day lengths and usual mean temperatures of the growing year.  A biennial
    that goes out in it has none before the next."""
    if way.in_bud:
        return ROUNDING
    if way.kind.needs_winter and way.out >= 0:
        return NEVER
    if way.in_place:
        need = max(degree_days_from_emergence(way.kind) - ROUNDING, ROUNDING)
    else:
        need = degree_days_left(way.kind, way.sown, way.out, hours, outdoor_c, way.indoor_c)
    if not way.late_days:
        return need
    grows_from = way.out
    if way.in_place:
        grows_from += days_to_emerge(way.kind, way.sown, outdoor_c)
    return days_later(way.kind, need, grows_from, way.late_days, hours, outdoor_c)


def span_of(kind: Kind, season: Season) -> int:
    """Days that a kind's bloom lasts.  Of kinds that frost ends the catalogue's weeks are those
    before it comes; where the winter lies in the middle of the growing year none does."""
    weeks = kind.growth.bloom_weeks
    if season.winter_amid and kind.growth.bloom_end == "frost" and not kind.is_foliage:
        weeks = max(weeks, UNFROSTED_WEEKS)
    return round(weeks * 7)


def errors_of(ways: Sequence[Way], seasons: int) -> NDArray[np.float32]:
    """(ways, seasons) error of each season's days to bloom, as a multiple of them.

    Every way has the same well-spread normal errors in an order of its own kind's, so that kinds
    err apart and two ways of raising one kind err alike.
    """
    return np.array(
        [_errors(way.kind.key, rate_of(way.kind.key).error * way.error, seasons) for way in ways]
    )


@lru_cache(maxsize=512)
def _errors(key: str, spread: float, seasons: int) -> NDArray[np.float32]:
    """One kind's, in its own order."""
    order = np.random.default_rng(crc32(key.encode())).permutation(seasons)
    return np.exp(spread * _normal_points(seasons)[order]).astype(np.float32)


@lru_cache(maxsize=8)
def _normal_points(count: int) -> NDArray[np.float64]:
    """(count,) normal deviates at even odds apart; 0 for a season or two."""
    if count <= 2:
        return np.zeros(count)
    normal = NormalDist()
    return np.array([normal.inv_cdf((n + 0.5) / count) for n in range(count)])


def _columns(ways: Sequence[Way], season: Season) -> Ways:
    """Ways of raising as the compiled loop takes them."""
    from bedwright.growth.bloom_kernel import Ways

    growth = [way.kind.growth for way in ways]
    hours = day_length_h(season.site.latitude, day_of_year(season.site))
    out = np.array([max(way.out, -LEAD_DAYS) for way in ways])
    need = np.array([need_of(way, hours, usual_mean_c(season)) for way in ways])
    days = np.concatenate([hours[-LEAD_DAYS:], hours])
    one_of_each = {way.kind.growth.daylength: way.kind for way in ways}
    paces = {daylength: pace_of(kind, days) for daylength, kind in one_of_each.items()}
    day_need = np.array([daily_need(way.kind) for way in ways])
    kill = np.array([way.kind.kill_c for way in ways])
    winter = np.array([winter_kill_c(way.kind) for way in ways])
    seeds = [seed_of(way.kind) if way.in_place else Seed(0.0, 0.0) for way in ways]
    single = np.float32
    return Ways(
        may_open=np.array([_open_days(way, days) for way in ways]),
        pace=np.array([paces[g.daylength] for g in growth], single),
        error=errors_of(ways, season.size),
        out=out,
        count_from=np.array([0 if way.kind.needs_winter else -LEAD_DAYS for way in ways]),
        kill_from=np.maximum(out, kills_from(season)),
        seed_need=np.array([seed.need for seed in seeds], single),
        seed_base=np.array([seed.base_c for seed in seeds], single),
        need=need.astype(single),
        full=(need + FILL_DAYS * day_need).astype(single),
        start=np.array([0.0 if way.in_place else SET_OUT_COVER for way in ways], single),
        base=np.array([g.base_c for g in growth], single),
        optimum=np.array([rate_of(way.kind.key).optimum_c for way in ways], single),
        kill=kill.astype(single),
        winter_kill=np.where(out < 0, winter, NEVER_C).astype(single),
        heat_max=np.array([way.kind.liking.heat_max_c for way in ways], single),
        span=np.array([span_of(way.kind, season) for way in ways]),
        day_need=day_need.astype(single),
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
