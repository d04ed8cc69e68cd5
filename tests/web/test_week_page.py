"""This week's list on the page's API."""

from __future__ import annotations

import time
from datetime import date, timedelta
from uuid import uuid4

import pytest

from bedwright.plan import Plan
from bedwright.store import Bed, Beds, entries_of, grow
from grown import brief_in_year, in_year
from page import Page


class InMay(date):
    """A calendar on which today is 10 May, when every bed has work to do."""

    @classmethod
    def today(cls) -> InMay:
        return cls(date.today().year, 5, 10)


@pytest.fixture
def may(monkeypatch: pytest.MonkeyPatch) -> date:
    for module in ("week", "entries"):
        monkeypatch.setattr(f"bedwright.web.{module}.date", InMay)
    return InMay.today()


@pytest.fixture
def bed(page: Page, oval: Plan) -> Bed:
    year = date.today().year
    beds: Beds = page.beds
    made = beds.new(brief_in_year(year), "begun")
    grow(made, year, 1, in_year(oval, year))
    return made


@pytest.mark.usefixtures("may")
def test_the_list_and_a_tap(page: Page, bed: Bed) -> None:
    address = f"/api/beds/{bed.key}/week"
    found = page.ask.get(address).json()
    assert (found["grown"], found["fresh"]) == (True, True)
    assert found["moved"]
    rows = [row for part in found["parts"] for row in part["rows"]]
    own = str(uuid4())
    asked = {"work": rows[0]["key"], "id": own}
    made = page.ask.post(address, json=asked)
    assert made.status_code == 201, made.text
    assert len(entries_of(bed.store, bed.key)) == len(made.json()) >= 1
    assert page.ask.post(address, json=asked).json() == []
    after = page.ask.get(address).json()
    assert rows[0]["key"] not in [r["key"] for part in after["parts"] for r in part["rows"]]
    for _ in range(100):  # worked out again behind it
        if page.ask.get(address).json()["fresh"]:
            break
        time.sleep(0.1)
    else:
        raise AssertionError("it is never worked out again")
    wrong = page.ask.post(address, json={"work": "no-such-work"})
    assert wrong.status_code == 422
    assert "one of this week's list" in wrong.text


def test_a_tap_sent_late_is_written_on_the_day_of_the_tap(page: Page, bed: Bed, may: date) -> None:
    address = f"/api/beds/{bed.key}/week"
    parts = page.ask.get(address).json()["parts"]
    first, second = [row["key"] for part in parts for row in part["rows"]][:2]
    before = may - timedelta(days=3)
    page.ask.post(address, json={"work": first, "typed": before.isoformat()})
    page.ask.post(address, json={"work": second, "typed": (may + timedelta(days=3)).isoformat()})
    found = {one.entry.day for one in entries_of(bed.store, bed.key)}
    assert found == {before, may}  # a tablet whose clock is ahead writes no day to come
    wrong = page.ask.post(address, json={"work": first, "typed": "soon"})
    assert wrong.status_code == 422
    assert "typed" in wrong.text


def test_a_forecast_is_answered_and_not_written(page: Page, bed: Bed) -> None:
    said = page.ask.get(f"/api/beds/{bed.key}/tonight", params={"forecast": "28 F"}).json()
    assert "28 °F forecast" in said["words"]
    typed = page.ask.post(f"/api/beds/{bed.key}/entries", json={"line": "28 F tonight"})
    assert typed.json() == {"answer": said["words"]}
    assert entries_of(bed.store, bed.key) == []
    wrong = page.ask.get(f"/api/beds/{bed.key}/tonight", params={"forecast": "cold"})
    assert wrong.status_code == 422


def test_a_bed_that_is_not_grown_has_no_list(page: Page) -> None:
    bed = page.new()
    found = page.ask.get(f"/api/beds/{bed.key}/week").json()
    assert (found["grown"], found["parts"]) == (False, [])
    refused = page.ask.post(f"/api/beds/{bed.key}/learned", json={"on": 1})
    assert (refused.status_code, "Nothing can be said" in refused.text) == (409, True)


def test_the_garden_s_figures_go_into_the_brief(page: Page, bed: Bed) -> None:
    address = f"/api/beds/{bed.key}"
    page.ask.post(f"{address}/entries", json={"line": "frost last night 24 F"})
    made = page.ask.post(f"{address}/learned", json={"on": 1})
    assert made.json() == {"on": 2}
    assert "°C" in bed.values()["learned"]["nights"]
    late = page.ask.post(f"{address}/learned", json={"on": 1})
    assert late.status_code == 409
