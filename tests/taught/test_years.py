"""The years of a garden side by side, and the demo's invented garden, kept through the page."""

from __future__ import annotations

import json
from datetime import date, timedelta

import numpy as np
import pytest
from sklearn.metrics import brier_score_loss

from bedwright.brief import read_brief
from bedwright.demo import (
    COLDER_C,
    FIRST,
    LATER_DAYS,
    NotEmptyError,
    demo_garden,
    demo_years,
)
from bedwright.export import plan_json
from bedwright.journal import Entry
from bedwright.noted import notebook
from bedwright.plan import Plan
from bedwright.report import KEPT_HEADS, YEAR_HEADS, kept_rows, year_rows
from bedwright.store import Bed, Beds
from bedwright.taught import BedYears, bed_years, first_flowers, forecasts_kept
from page import Page

TODAY = date(2026, 11, 20)


def test_a_year_by_its_plan_and_by_what_was_written(oval: Plan) -> None:
    plan = json.loads(plan_json(oval))
    flower = first_flowers(plan)[0]
    entries = [
        Entry(flower.median, "first_flower", flower.kind),
        Entry(flower.median + timedelta(weeks=9), "over", flower.kind),
        Entry(date(2027, 5, 1), "set_out", flower.kind, count=9),
        Entry(date(2027, 5, 9), "lost", flower.kind, count=2),
        Entry(date(2027, 7, 1), "picked", flower.kind, count=12, minutes=15),
        Entry(date(2027, 7, 2), "work", minutes=45, text="weeded"),
        Entry(date(2027, 4, 2), "frost"),
        Entry(date(2025, 4, 2), "frost"),
    ]
    (found,) = bed_years([BedYears(entries, {2027: json.dumps(plan)})])
    assert found.year == 2027
    raised = [item["plants"] for item in plan["items"] if item["method"] != "in_place"]
    assert found.plants == (sum(raised), 9.0)
    assert (found.lost, found.stems, found.frosts, found.entries) == (2, 12, 1, 7)
    assert found.hours.seen == 1.0
    assert found.weeks.seen == 9.0
    assert found.cost == plan["supplies"]["cost"]
    assert len(year_rows([found])[0]) == len(YEAR_HEADS)
    assert bed_years([BedYears(entries, {2027: json.dumps({"season": {}, "items": []})})]) == []


def test_forecasts_that_came_true_are_counted_as_scikit_learn_has_it(oval: Plan) -> None:
    plan = json.loads(plan_json(oval))
    flowers = first_flowers(plan)
    days = [flower.median + timedelta(days=n % 7 - 2) for n, flower in enumerate(flowers)]
    entries = [
        Entry(day, "first_flower", flower.kind) for day, flower in zip(days, flowers, strict=True)
    ]
    frost = date(2027, 4, 10)
    kept = forecasts_kept([BedYears([*entries, Entry(frost, "frost")], {2027: json.dumps(plan)})],
                          date(2027, 11, 20))  # fmt: skip
    odds, came = [], []
    for day, flower in zip(days, flowers, strict=True):
        odds += [0.1, 0.5, 0.9]
        came += [day <= flower.early, day <= flower.median, day <= flower.late]
    (row,) = [row for row in plan["season"]["frost"] if row["threshold_c"] == 0.0]
    for share, text in row["spring"].items():
        if text is not None:
            odds.append(float(share.rstrip("%")) / 100.0)
            came.append(frost > date.fromisoformat(text))
    assert kept.count == len(odds)
    assert kept.brier == pytest.approx(brier_score_loss(np.array(came), np.array(odds)))
    assert all(len(row) == len(KEPT_HEADS) for row in kept_rows(kept))


def test_the_invented_garden_is_found_out_and_the_fourth_year_is_wiser(page: Page) -> None:
    """Kept through the page, line by line; what was invented of it comes out: colder nights, later
    flowers, a sowing that failed."""
    folder = page.beds.folder
    said: list[str] = []

    def write(bed: Bed, line: str) -> None:
        answer = page.ask.post(f"/api/beds/{bed.key}/entries", json={"line": line})
        assert answer.status_code == 201, (line, answer.text)

    made = demo_garden(folder, TODAY, said.append, write)
    listed = page.ask.get(f"/api/beds/{made.kept[0]}/entries").json()
    assert len(listed) > 50
    assert len(made.kept) == len(demo_years(TODAY)) == 3
    beds = Beds(folder)
    brief = read_brief(beds.one(made.next).values())
    learned = brief.learned
    assert learned.nights == pytest.approx(-COLDER_C, abs=2 * (learned.nights_error or 0.0))
    assert learned.nights < -0.5
    assert learned.late_days_of("others") == pytest.approx(LATER_DAYS, abs=4.0)
    assert brief.wishes.last_year
    assert brief.wishes.colour_scheme != FIRST["wishes"]["colour_scheme"]
    book = notebook(beds.one(made.next), TODAY)
    years = book.years()
    assert [one.year for one in years.years] == list(demo_years(TODAY))
    assert sum(one.frosts for one in years.years) == 2
    assert years.kept.count > 20
    zeros = [
        entry
        for key in made.kept
        for entry in (one.entry for one in notebook(beds.one(key), TODAY).entries())
        if entry.what == "came_up" and entry.count == 0
    ]
    assert len(zeros) == 1
    assert any("figures" in words for words in said)
    beds.close()
    with pytest.raises(NotEmptyError):
        demo_garden(folder, TODAY)
