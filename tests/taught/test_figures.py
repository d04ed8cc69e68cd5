"""What was learned as a table of a brief, and a plan that is made with it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.stats import binom

from bedwright.brief import BriefError, Learned, read_brief
from bedwright.catalogue import Catalogue
from bedwright.climate import NightsLearned, Season, make_season, soil_temperature, workable_day
from bedwright.growth import Course, courses_of
from bedwright.inputs import gather_values
from bedwright.journal import Entry, Shift
from bedwright.taught import BedYears, error_left, figures_of, first_flowers, learn_garden
from bedwright.work.raising.indoors import raise_indoors
from conftest import brief_of
from taught_plans import item, plan, written

TODAY = date(2027, 11, 1)
BASE = {
    "place": {"town": "Galway, Ireland"},
    "season": {"year": 2027},
    "bed": {"shape": "rectangle", "length": "4 m", "width": "2 m"},
}


def test_figures_are_of_what_was_seen_and_a_brief_takes_them(catalogue: Catalogue) -> None:
    entries = [
        Entry(date(2027, 4, 1), "sown", kind="tall_zinnia", count=24),
        Entry(date(2027, 4, 20), "came_up", kind="tall_zinnia", count=6),
        Entry(date(2027, 7, 11), "first_flower", kind="tall_zinnia"),
    ]
    plans = written(plan(item("tall_zinnia", 171, 9), item("garden_cosmos", 174, 9)))
    figures = figures_of(learn_garden([BedYears(entries, plans)], catalogue, TODAY), TODAY)
    learned = read_brief({**BASE, "learned": figures}).learned
    assert learned.until == TODAY
    assert learned.kinds == ("tall_zinnia",)
    assert learned.germination_of("tall_zinnia") < learned.germination_of("coleus") < 1.0
    assert learned.late_days_of("tall_zinnia") > learned.late_days_of("coleus") > 1.0
    assert learned.error_of("tall_zinnia") < learned.error_of("coleus") <= 1.0
    assert learned.survival_of("coleus", 0.9) == 0.9
    assert learned.nights is None


def test_nothing_seen_gives_no_figures(catalogue: Catalogue) -> None:
    assert figures_of(learn_garden([BedYears([], {})], catalogue, TODAY), TODAY) == {}
    assert not Learned().anything


def test_what_a_plan_had_learned_is_not_learned_twice(catalogue: Catalogue) -> None:
    """The same garden, always ten days late: by a plan that knew nothing of it, and by one that had
    learned six of them and forecast later flowers."""
    blind = plan(item("tall_zinnia", 171, 9))
    knows = {**plan(item("tall_zinnia", 177, 9)), "learned": {"flowering": {"tall_zinnia": 6.0}}}
    seen = [Entry(date(2027, 6, 30), "first_flower", kind="tall_zinnia")]  # day 181
    days = [
        learn_garden([BedYears(seen, written(each))], catalogue, TODAY).flowering
        for each in (blind, knows)
    ]
    one, other = (found.of("tall_zinnia").days for found in days)
    assert one == pytest.approx(other, abs=0.6)
    assert first_flowers(knows)[0].median > first_flowers(blind)[0].median


def test_of_an_error_one_seasons_weather_is_left() -> None:
    assert error_left(Shift(0.0, 1e-9, 9)) == pytest.approx(0.3**0.5)
    assert error_left(Shift(0.0, 99.0, 0)) == 1.0


def test_first_flowers_move_by_the_days_that_were_learned(
    catalogue: Catalogue, galway: Season, courses: dict[str, Course]
) -> None:
    """Of every kind that goes out on the same day by the same way, and that no day length holds
    back; its spread shrinks."""
    soil = soil_temperature(galway.tmean_c)
    ready = workable_day(galway, soil) + 14
    learned = Learned(flowering={"others": 6.0}, flowering_error={"others": 0.6})
    moved = courses_of(catalogue, galway, soil, ready, 0.1, True, -120, learned=learned)
    days, spreads = [], []
    for key, before in courses.items():
        after = moved[key]
        same = (after.method, after.out) == (before.method, before.out)
        free = "obligate" not in before.kind.growth.daylength
        if same and free and before.bloom.typical and after.bloom.typical:
            days.append(after.bloom.typical[0] - before.bloom.typical[0])
            low, high = before.bloom.spread
            late = after.bloom.spread
            spreads.append((late[1] - late[0]) / max(high - low, 1))
    assert len(days) > 150
    assert np.median(days) == pytest.approx(6.0, abs=0.5)
    assert np.quantile(days, 0.05) >= 4.0
    assert np.quantile(days, 0.95) <= 8.0
    assert np.median(spreads) < 0.9


def test_seed_that_comes_up_badly_here_is_sown_in_greater_number(
    courses: dict[str, Course],
) -> None:
    """Enough with odds of 95%, by scipy's binomial distribution."""
    course = next(c for c in courses.values()
                  if c.method == "indoors" and c.kind.sowing.seeds_per_g < 1000)  # fmt: skip
    one: Any = SimpleNamespace(letter="A", label="some", plants=20, spares=2)
    indoors = brief_of().indoors
    usual = raise_indoors(one, course, indoors, Learned())
    key = course.kind.key
    worse = Learned(germination={key: 0.5}, survival={key: 0.7})
    here = raise_indoors(one, course, indoors, worse)
    assert here.seeds > usual.seeds
    rate = (1 - (1 - course.kind.sowing.germination * 0.5) ** here.seeds_each) * 0.7
    assert binom.sf(21, here.containers, rate) >= 0.95
    assert binom.sf(21, here.containers - 1, rate) < 0.95
    assert here.stand_odds == pytest.approx(binom.sf(21, here.containers, rate))


def test_nights_of_the_journal_are_said_and_move_the_season(catalogue: Catalogue) -> None:
    given = {**BASE, "learned": {"nights": "1 °C colder", "nights_error": 0.5}}
    _, weather = gather_values(given, Path(), catalogue, TODAY)
    assert (weather.learned_nights_c, weather.learned_error_c) == (-1.0, 0.5)
    season = make_season(weather, 2027, None, 0)
    assert NightsLearned(-1.0, 0.5) in season.notes
    assert season.doubt_c == 0.5


@pytest.mark.parametrize(
    ("table", "field"),
    [
        ({"germination": {"tall_zinnia": 3.0}}, "learned.germination.tall_zinnia"),
        ({"germination": 0.8}, "learned.germination"),
        ({"flowering": {"no_such_kind": 3}}, "learned.no_such_kind"),
        ({"nights": "cold"}, "learned.nights"),
        ({"survival": {"coleus": 1.2}}, "learned.survival.coleus"),
        ({"mood": 1}, "learned.mood"),
    ],
)
def test_figures_at_fault_are_named(table: object, field: str) -> None:
    with pytest.raises(BriefError) as error:
        brief_of(learned=table)
    assert [fault.field for fault in error.value.faults] == [field]
