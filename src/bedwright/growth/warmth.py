"""How much warmth a kind needs to come up and to flower.

Thermal time: each day gives its mean temperature, up to the kind's optimum, less the kind's base
(the linear model of development used for bedding plants: M. G. Blanchard and E. S. Runkle, Scientia
Horticulturae 128, 2011), times its *pace*: 1 where a day has SHORTEST_H hours and fewer, and in
proportion up to that of the longest days for kinds that these hurry or hold back.

Seed sown in place comes up first, by the warmth of the soil above a base (the thermal
time of emergence, as for crops): it needs what the catalogue's days of germination at their
temperature give.  Its base is taken as that of growth (estimate; pot marigold's is published as
5.5 °C: Industrial Crops and Products 42, 2013).  Only then does growth count.

The catalogue's ``days_to_bloom`` are days in the field, from sowing, at the fitted reference
temperature and in the days of LONGEST_H and more of late spring and summer (estimate).  Biennials,
whose days hold a winter, are sown at midsummer and count only what comes after New Year (midsummer
in the south): what a mild temperate spring gives up to the day that their days end on.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Kind
from bedwright.climate import DAYS
from bedwright.growth.rates import rate_of, shared

SHORTEST_H, LONGEST_H = 10.0, 14.0
"""Day lengths between which the pace changes (of 10 to 14, 11 to 15 and 12 to 16 hours, those that
forecast gardens best)."""

CHECK_DAYS = 9
"""Days a transplant stands still after moving: a week to ten days (common practice, no source; of 5
and 9, 9 forecasts gardens better)."""

INDOORS_BELOW_C = 3.0
"""How far the warmth that indoor growth amounts to lies below that outdoors at most: no room is
colder than the garden, but it has less light (estimate)."""

SEED_SPAN_C = 5.0
"""How far the base of germination lies at least below the temperature that suits (estimate)."""

MOST_UNDERGROUND = 0.5
"""Share of the days to bloom that coming up takes at most (estimate)."""

MIDSUMMER_DAY = 166
"""Day of the year on which biennials are sown (common practice, no source)."""

SPRING_MEAN_C, SPRING_SWING_C, COLDEST_DAY = 11.0, 6.5, 20
"""The mild temperate year that the days of biennials are for: mean, half its range, coldest day
(about southern England's; from memory)."""

ROUNDING = 0.01
"""Degree-days off what a kind needs, so that sums in single precision come no day late."""


class Seed(NamedTuple):
    """Degree-days of soil that seed needs to come up, above a base, °C."""

    need: float
    base_c: float


def seed_of(kind: Kind) -> Seed:
    """What a kind's seed needs to come up."""
    sowing = kind.sowing
    suits = (sowing.germ_min_c + sowing.germ_max_c) / 2
    limit = min(suits, shared().reference_c) - SEED_SPAN_C
    base = min(kind.growth.base_c, limit)
    days = (sowing.germ_days_min + sowing.germ_days_max) / 2
    return Seed(days * (suits - base), base)


def pace_of(kind: Kind, hours: NDArray[np.floating]) -> NDArray[np.float64]:
    """What days of so many ``hours`` make of their warmth for a kind."""
    long = np.clip((hours - SHORTEST_H) / (LONGEST_H - SHORTEST_H), 0.0, 1.0)
    return np.asarray(1.0 + (pace_of_long_days(kind) - 1.0) * long)


def pace_of_long_days(kind: Kind) -> float:
    """What days of LONGEST_H and more make of their warmth for a kind."""
    daylength = kind.growth.daylength
    if daylength.startswith("long"):
        return shared().long_day
    return shared().short_day if daylength.startswith("short") else 1.0


def gain_at(kind: Kind, celsius: float) -> float:
    """Degree-days that a day at a mean temperature gives a kind, at a pace of 1."""
    return max(min(celsius, rate_of(kind.key).optimum_c) - kind.growth.base_c, 0.0)


def gains_at(kind: Kind, celsius: NDArray[np.floating]) -> NDArray[np.float64]:
    """Degree-days that days at mean temperatures give a kind, at a pace of 1."""
    capped = np.minimum(celsius, rate_of(kind.key).optimum_c)
    return np.asarray(np.maximum(capped - kind.growth.base_c, 0.0))


def daily_need(kind: Kind) -> float:
    """Degree-days of one of the catalogue's days."""
    return gain_at(kind, shared().reference_c) * pace_of_long_days(kind)


def degree_days_from_emergence(kind: Kind) -> float:
    """Degree-days from emergence to the first flower; of a biennial, from New Year on."""
    days = kind.growth.days_to_bloom * rate_of(kind.key).days
    if kind.needs_winter:
        return _spring_warmth(kind, MIDSUMMER_DAY + round(days) - DAYS)
    seed = seed_of(kind)
    underground = seed.need / (shared().reference_c - seed.base_c)
    return (days - min(underground, MOST_UNDERGROUND * days)) * daily_need(kind)


def degree_days_left(
    kind: Kind,
    sown: int,
    out: int,
    hours: NDArray[np.float64],
    outdoor_c: NDArray[np.floating],
    indoor_c: float | None = None,
) -> float:
    """Degree-days that a kind raised indoors still needs on the day ``out`` on which it is moved.

    ``hours``, ``outdoor_c``: (365,) day lengths and usual mean temperatures of the growing year;
    ``indoor_c``: what the warmth of where it is raised amounts to, until that outdoors is warmer by
    INDOORS_BELOW_C; the fitted figure where it is not stated.
    """
    need = degree_days_from_emergence(kind)
    if kind.needs_winter:
        return max(need - ROUNDING, 1e-6)
    room = shared().indoor_c if indoor_c is None else indoor_c
    sowing = kind.sowing
    up = sown + round((sowing.germ_days_min + sowing.germ_days_max) / 2)
    indoors = np.arange(up, max(out, up)) % DAYS
    warm = np.maximum(outdoor_c[indoors] - INDOORS_BELOW_C, room)
    need -= float((gains_at(kind, warm) * pace_of(kind, hours[indoors])).sum())
    need += CHECK_DAYS * gain_at(kind, shared().reference_c)
    return max(need - ROUNDING, 1e-6)


def days_to_emerge(kind: Kind, sown: int, outdoor_c: NDArray[np.floating]) -> int:
    """Days that seed sown outdoors takes to come up in a usual year, by the temperature of the air
    (the soil's is near it).  ``outdoor_c`` as in ``degree_days_left``."""
    seed, days = seed_of(kind), (sown + np.arange(DAYS)) % DAYS
    warmth = np.cumsum(np.maximum(outdoor_c[days] - seed.base_c, 0.0))
    return int(np.searchsorted(warmth, seed.need)) + 1


def days_later(
    kind: Kind,
    need: float,
    grows_from: int,
    later: float,
    hours: NDArray[np.float64],
    outdoor_c: NDArray[np.floating],
) -> float:
    """Degree-days to a first flower that comes so many days later (below 0: sooner) in a usual
    year than ``need`` has it.

    ``grows_from``: index of the day from which it grows outdoors; ``hours``, ``outdoor_c``: as in
    ``degree_days_left``.  A flower comes no sooner than growth begins; one that the usual year does
    not bring is moved by days of the catalogue.
    """
    days = (grows_from + np.arange(DAYS)) % DAYS
    grown = np.cumsum(gains_at(kind, outdoor_c[days]) * pace_of(kind, hours[days]))
    if grown[-1] <= need:
        return max(need + later * daily_need(kind), ROUNDING)
    at = float(np.interp(need, grown, np.arange(DAYS))) + later
    moved = float(np.interp(at, np.arange(DAYS), grown))
    return max(moved, ROUNDING)


def _spring_warmth(kind: Kind, until: int) -> float:
    """Degree-days from New Year to a day of the mild temperate year."""
    day = np.arange(max(until, 1))
    swing = SPRING_SWING_C * np.cos(2 * np.pi * (day - COLDEST_DAY) / DAYS)
    return sum(gain_at(kind, celsius) for celsius in SPRING_MEAN_C - swing)
