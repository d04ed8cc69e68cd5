"""What the journals of a garden teach: its entries against the plans by which its beds were
grown."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from bedwright.catalogue import Catalogue
from bedwright.facts import Fact
from bedwright.journal import (
    Entry,
    Flowering,
    GardenFlowers,
    Minima,
    Rates,
    Score,
    WhatRate,
    learn_flowering,
    learn_germination,
    learn_survival,
    score,
)
from bedwright.taught.flowers import first_flowers, outcome_of
from bedwright.taught.nights import ExpectedNights, garden_nights
from bedwright.work import FIELD_SHARE, SURVIVAL


class BedYears(NamedTuple):
    """A bed's entries that stand, and by year the plan (as plan.json) by which it was grown."""

    entries: Sequence[Entry]
    plans: Mapping[int, str]


class Taught(NamedTuple):
    """What was learned, and the facts that are to be said of it; ``usual``: the catalogue's rates
    beside which it was learned."""

    germination: Rates
    survival: Rates
    flowering: Flowering
    nights: Minima
    score: Score
    usual: Mapping[WhatRate, Mapping[str, float]]

    @property
    def facts(self) -> tuple[Fact, ...]:
        """In the order in which they are said: what holds for the whole garden first."""
        flowers = self.flowering.facts
        whole = [fact for fact in flowers if isinstance(fact, GardenFlowers)]
        kinds = [fact for fact in flowers if not isinstance(fact, GardenFlowers)]
        rates = (*self.germination.facts, *self.survival.facts)
        return (*whole, *self.nights.facts, *self.score.facts, *kinds, *rates)


def learn_garden(
    beds: Sequence[BedYears],
    catalogue: Catalogue,
    today: date,
    nights: ExpectedNights | None = None,
) -> Taught:
    """What the journals of a garden's beds teach together; ``nights``: what was to be expected of
    its nights, where that is known."""
    entries = [entry for bed in beds for entry in bed.entries]
    read = [[json.loads(bed.plans[year]) for year in sorted(bed.plans)] for bed in beds]
    names = {kind.key: kind.name for kind in catalogue}
    usual = usual_rates(beds, catalogue)
    flowers = [[one for plan in plans for one in first_flowers(plan)] for plans in read]
    outcomes = [
        outcome_of(flower, bed.entries, today)
        for bed, own in zip(beds, flowers, strict=True)
        for flower in own
    ]
    forecasts = [flower.forecast for own in flowers for flower in own]
    up = {kind.key: kind.sowing.germ_days_max for kind in catalogue}
    return Taught(
        learn_germination(entries, usual["germination"], names, up),
        learn_survival(entries, usual["survival"], names),
        learn_flowering(entries, forecasts, today, names),
        garden_nights(entries, nights),
        score(outcome for outcome in outcomes if outcome is not None),
        usual,
    )


def usual_rates(beds: Sequence[BedYears], catalogue: Catalogue) -> dict[WhatRate, dict[str, float]]:
    """The catalogue's rates, by kind: of seed (of what a plan last sowed in place, those in the
    open), and of plants."""
    plans = [(year, plan) for bed in beds for year, plan in bed.plans.items()]
    in_place = {
        item["kind"]: item["method"] == "in_place"
        for _, plan in sorted(plans)
        for item in json.loads(plan)["items"]
    }
    seed = {
        kind.key: kind.sowing.germination * (FIELD_SHARE if in_place.get(kind.key) else 1.0)
        for kind in catalogue
    }
    return {"germination": seed, "survival": dict.fromkeys(seed, SURVIVAL)}
