"""First flowers by the plans a bed was grown by, and what came of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Learned
from bedwright.journal import Entry, Forecast, Outcome

SPREAD_SDS = 2.563
"""Standard deviations between the 10% and the 90% point of a normal distribution."""

LEAST_SD_DAYS = 3.0
"""The least by which a first flower may be off: gardeners look once in some days (estimate)."""

OPEN_BEFORE = 0.1
"""Share of its highest odds from which a kind that flowers in the first week of the growing year
has begun to before it, nobody can say when."""

NEAR_DAYS = 60
"""A first flower within so many days of the forecast is that which was forecast."""


class FirstFlower(NamedTuple):
    """When a kind was to flower first, by a plan: the days by which it does with odds of 10, 50 and
    90%; ``late_days``, ``error``: what the plan had learned of it (``brief.Learned``)."""

    kind: str
    early: date
    median: date
    late: date
    late_days: float = 0.0
    error: float = 1.0

    @property
    def forecast(self) -> Forecast:
        """As a median and a standard deviation, by the model alone: what the plan had learned of
        the garden is taken off again, so that it is not learned twice."""
        sd_days = (self.late - self.early).days / SPREAD_SDS / self.error
        median = self.median - timedelta(days=round(self.late_days))
        return Forecast(self.kind, median, max(sd_days, LEAST_SD_DAYS))


def first_flowers(plan: Mapping[str, Any]) -> list[FirstFlower]:
    """Of each kind of a plan (as plan.json), by the rise of its odds of being in bloom; of several
    colours the first.  A kind that flowers in fewer than half of all years has none, nor has one
    that is in flower before the growing year begins."""
    start, found = date.fromisoformat(plan["season"]["start"]), dict[str, FirstFlower]()
    given = plan.get("learned") or {}
    learned = Learned(
        flowering=given.get("flowering", {}), flowering_error=given.get("flowering_error", {})
    )
    for item in plan["items"]:
        odds = np.asarray(item["bloom_odds_by_week"], float)
        if odds.size == 0 or odds.max() < 0.5 or odds[0] > OPEN_BEFORE * odds.max():
            continue
        days = [start + timedelta(days=round(day)) for day in _rise(odds, (0.1, 0.5, 0.9))]
        kind = item["kind"]
        known = learned.late_days_of(kind), learned.error_of(kind)
        flower = FirstFlower(kind, days[0], days[1], days[2], *known)
        had = found.get(flower.kind)
        if had is None or flower.median < had.median:
            found[flower.kind] = flower
    return list(found.values())


def _rise(odds: NDArray[np.float64], shares: Sequence[float]) -> list[float]:
    """The days of the growing year by which shares of all that will flower have begun to: of odds
    by the week until they first reach their most, or nine in ten of it."""
    top = int(np.argmax(odds >= 0.9 * odds.max()))
    rising = np.maximum.accumulate(odds[: top + 1]) / (0.9 * odds.max()) * 0.9
    middles = np.arange(top + 1) * 7.0 + 3.5
    out = []
    for share in shares:
        after = int(np.argmax(rising >= share)) if rising[-1] >= share else top
        low = rising[after - 1] if after else 0.0
        part = 1.0 if rising[after] <= low else (share - low) / (rising[after] - low)
        out.append(float(middles[after] - 7.0 * (1.0 - min(max(part, 0.0), 1.0))))
    return out


def outcome_of(flower: FirstFlower, entries: Sequence[Entry], today: date) -> Outcome | None:
    """A forecast and what came of it, as of a day; None where it is too early to say, or nobody
    wrote it down."""
    near = [
        entry.day
        for entry in entries
        if entry.what == "first_flower"
        and entry.kind == flower.kind
        and abs((entry.day - flower.median).days) <= NEAR_DAYS
        and entry.day <= today
    ]
    if not near:
        return None
    return Outcome(flower.early, flower.median, flower.late, min(near), today)
