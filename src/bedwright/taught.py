"""What the journal of a bed teaches: its entries against the plans by which it was grown.

Rates of seed and plants, first flowers and how the forecasts came out (``journal.learn``), with the
priors that a plan is made from.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.catalogue import Catalogue
from bedwright.facts import Fact
from bedwright.journal import (
    Entry,
    Flowering,
    Forecast,
    Outcome,
    Rates,
    Score,
    WhatRate,
    learn_flowering,
    learn_germination,
    learn_survival,
    score,
)
from bedwright.work import FIELD_SHARE, SURVIVAL

SPREAD_SDS = 2.563
"""Standard deviations between the 10% and the 90% point of a normal distribution."""

LEAST_SD_DAYS = 3.0
"""The least by which a first flower may be off: gardeners look once in some days (estimate)."""

NEAR_DAYS = 60
"""A first flower within so many days of the forecast is that which was forecast."""


class Taught(NamedTuple):
    """What was learned, and the facts that are to be said of it."""

    germination: Rates
    survival: Rates
    flowering: Flowering
    score: Score

    @property
    def facts(self) -> tuple[Fact, ...]:
        """In the order in which they are said."""
        parts = (self.germination, self.survival, self.flowering, self.score)
        return tuple(fact for part in parts for fact in part.facts)


def taught(
    entries: Sequence[Entry], plans: Mapping[int, str], catalogue: Catalogue, today: date
) -> Taught:
    """What entries teach; ``plans``: by year the plan (as plan.json) by which the bed was grown."""
    read = [json.loads(plans[year]) for year in sorted(plans)]
    names = {kind.key: kind.name for kind in catalogue}
    usual = usual_rates(plans, catalogue)
    flowers = [flower for plan in read for flower in first_flowers(plan)]
    outcomes = [outcome_of(flower, entries, today) for flower in flowers]
    up = {kind.key: kind.sowing.germ_days_max for kind in catalogue}
    return Taught(
        learn_germination(entries, usual["germination"], names, up),
        learn_survival(entries, usual["survival"], names),
        learn_flowering(entries, [flower.forecast for flower in flowers], today, names),
        score(outcome for outcome in outcomes if outcome is not None),
    )


class FirstFlower(NamedTuple):
    """When a kind was to flower first, by a plan: the days by which it does with odds of 10, 50 and
    90%."""

    kind: str
    early: date
    median: date
    late: date

    @property
    def forecast(self) -> Forecast:
        """As a median and a standard deviation."""
        sd_days = (self.late - self.early).days / SPREAD_SDS
        return Forecast(self.kind, self.median, max(sd_days, LEAST_SD_DAYS))


def usual_rates(plans: Mapping[int, str], catalogue: Catalogue) -> dict[WhatRate, dict[str, float]]:
    """The catalogue's rates, by kind: of seed (of what a plan last sowed in place, those in the
    open), and of plants."""
    in_place = {
        item["kind"]: item["method"] == "in_place"
        for year in sorted(plans)
        for item in json.loads(plans[year])["items"]
    }
    seed = {
        kind.key: kind.sowing.germination * (FIELD_SHARE if in_place.get(kind.key) else 1.0)
        for kind in catalogue
    }
    return {"germination": seed, "survival": dict.fromkeys(seed, SURVIVAL)}


def first_flowers(plan: Mapping[str, Any]) -> list[FirstFlower]:
    """Of each kind of a plan (as plan.json), by the rise of its odds of being in bloom; of several
    colours the first.  A kind that flowers in fewer than half of all years has none."""
    start, found = date.fromisoformat(plan["season"]["start"]), dict[str, FirstFlower]()
    for item in plan["items"]:
        odds = np.asarray(item["bloom_odds_by_week"], float)
        if odds.size == 0 or odds.max() < 0.5:
            continue
        days = [start + timedelta(days=round(day)) for day in _rise(odds, (0.1, 0.5, 0.9))]
        flower = FirstFlower(item["kind"], days[0], days[1], days[2])
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
