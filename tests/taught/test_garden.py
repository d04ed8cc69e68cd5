"""What the journal teaches beside the plans by which a bed was grown."""

from __future__ import annotations

import json
from datetime import date, timedelta

import numpy as np
import pytest
from scipy.stats import norm

from bedwright.catalogue import Catalogue
from bedwright.export import plan_json
from bedwright.journal import Entry
from bedwright.plan import Plan
from bedwright.report import say
from bedwright.taught import BedYears, first_flowers, learn_garden, outcome_of
from bedwright.work import SURVIVAL
from taught_plans import item, plan

TODAY = date(2027, 11, 1)


@pytest.mark.parametrize("sd_days", [4.0, 9.0, 20.0])
@pytest.mark.parametrize("median", [130.0, 171.0, 200.0])
def test_first_flowers_by_the_rise_of_the_odds(median: float, sd_days: float) -> None:
    """By scipy's normal distribution, within the week that odds are kept by."""
    (found,) = first_flowers(plan(item("larkspur", median, sd_days)))
    start = date(2027, 1, 1)
    for day, share in ((found.early, 0.1), (found.median, 0.5), (found.late, 0.9)):
        wanted = float(norm.ppf(share, median, sd_days))
        assert (day - start).days == pytest.approx(wanted, abs=4.0)
    assert found.forecast.sd_days == pytest.approx(max(sd_days, 3.0), abs=2.0)


def test_of_several_colours_the_first_and_of_what_seldom_flowers_none() -> None:
    found = first_flowers(plan(item("larkspur", 180, 9), item("larkspur", 150, 9),
                               item("coleus", 180, 9, most=0.3)))  # fmt: skip
    assert [flower.kind for flower in found] == ["larkspur"]
    assert found[0].median < date(2027, 6, 10)


def test_the_median_is_near_the_first_flower_that_the_plan_states(example: Plan) -> None:
    stated = {
        one["kind"]: date.fromisoformat(one["bloom_first"])
        for one in json.loads(plan_json(example))["items"]
        if one["bloom_first"]
    }
    flowers = first_flowers(json.loads(plan_json(example)))
    assert flowers
    for flower in flowers:
        assert flower.early <= flower.median <= flower.late
    off = [abs((flower.median - stated[flower.kind]).days) for flower in flowers
           if flower.kind in stated]  # fmt: skip
    assert np.median(off) <= 7


def test_what_came_of_a_forecast() -> None:
    (flower,) = first_flowers(plan(item("larkspur", 171, 9)))
    seen = Entry(date(2027, 6, 25), "first_flower", kind="larkspur")
    far = Entry(date(2027, 10, 25), "first_flower", kind="larkspur")
    other = Entry(date(2027, 6, 20), "first_flower", kind="coleus")
    made = outcome_of(flower, [far, other, seen], TODAY)
    assert made is not None
    assert made.happened == seen.day
    assert outcome_of(flower, [far, other], TODAY) is None
    assert outcome_of(flower, [seen], seen.day - timedelta(days=1)) is None


def test_a_garden_in_which_seed_comes_up_badly_and_flowers_late(catalogue: Catalogue) -> None:
    """Invented entries: 6 of 24 up, flowers three weeks late; what was not seen is the
    catalogue's."""
    entries = [
        Entry(date(2027, 4, 1), "sown", kind="tall_zinnia", count=24),
        Entry(date(2027, 4, 20), "came_up", kind="tall_zinnia", count=6),
        Entry(date(2027, 7, 11), "first_flower", kind="tall_zinnia"),
        Entry(date(2027, 7, 14), "first_flower", kind="garden_cosmos"),
    ]
    plans = {2027: json.dumps(plan(item("tall_zinnia", 171, 9), item("garden_cosmos", 174, 9)))}
    found = learn_garden([BedYears(entries, plans)], catalogue, TODAY)
    usual = catalogue.kinds["tall_zinnia"].sowing.germination
    assert found.germination.by_kind["tall_zinnia"].mean < usual - 0.1
    assert found.flowering.of("tall_zinnia").days > 7.0
    assert found.score.band.of == 2
    words = [say(fact, "metric") for fact in found.facts]
    assert any("germination of tall zinnia here" in line for line in words)
    nothing = learn_garden([BedYears([], plans)], catalogue, date(2027, 3, 1))
    assert nothing.germination.by_kind["tall_zinnia"].mean == pytest.approx(usual)
    assert nothing.survival.by_kind["tall_zinnia"].mean == pytest.approx(SURVIVAL)
    assert nothing.flowering.of("tall_zinnia").days == pytest.approx(0.0, abs=1e-9)
    assert nothing.facts == ()
