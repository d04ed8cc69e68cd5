"""A garden's beds together: what their journals teach, and a bed of it under way."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from uuid import uuid4

import pytest

from bedwright.brief import read_brief
from bedwright.garden import beds_about, under_way
from bedwright.journal import Entry
from bedwright.noted import EntryError, notebook
from bedwright.plan import Plan
from bedwright.store import Bed, Beds, entries_of, grow, write_entry
from bedwright.underway import MovedBy
from grown import brief_in_year, in_year

TODAY = date(2027, 5, 20)


@pytest.fixture
def beds(tmp_path: Path) -> Iterator[Beds]:
    beds = Beds(tmp_path)
    yield beds
    beds.close()


@pytest.fixture
def bed(beds: Beds, oval: Plan) -> Bed:
    made = beds.new(brief_in_year(2027), "begun", "oval-1")
    grow(made, 2027, 1, in_year(oval, 2027))
    return made


def sown_in_place(oval: Plan) -> str:
    """A kind that is sown where it flowers, in one colour."""
    kinds = [item.candidate.kind.key for item in oval.planting.items]
    return next(
        item.candidate.kind.key
        for item in oval.planting.items
        if item.candidate.course.method == "in_place"
        and item.candidate.course.out > 0
        and kinds.count(item.candidate.kind.key) == 1
    )


def test_the_list_of_a_week_and_a_tap_on_it(bed: Bed) -> None:
    book = notebook(bed, TODAY)
    found = book.week()
    assert found is not None
    first = found.due[0].work
    own = uuid4()
    made = book.done(first.key, own)
    assert made
    assert book.done(first.key, own) == []  # sent again: written once
    assert len(book.entries()) == len(made)
    after = book.week()
    assert after is not None
    assert first.key not in {one.work.key for one in after.due}
    with pytest.raises(EntryError, match="one of this week's list"):
        book.done("no-such-work")
    left = after.due[0].work.key
    book.done(left, needed=False)
    (entry,) = [one.entry for one in book.entries() if one.entry.task == left]
    assert (entry.what, entry.text.startswith("left: ")) == ("work", True)


def test_a_bed_that_no_plan_is_kept_of_has_no_list(beds: Beds) -> None:
    book = notebook(beds.new(brief_in_year(2027), "begun"), TODAY)
    assert book.week() is None
    assert book.tonight("minus 1") is None
    assert "once a plan is kept" in str(book.answer("minus 1 tonight"))


def test_a_plan_of_another_form_gives_no_list(beds: Beds) -> None:
    bed = beds.new(brief_in_year(2027), "begun")
    grow(bed, 2027, 1, json.dumps({"season": {"start": "2027-01-01"}, "items": []}))
    assert under_way(bed, TODAY) is None


def test_a_forecast_is_answered_and_not_written(bed: Bed) -> None:
    book = notebook(bed, date(2027, 6, 20))
    answer = book.answer("minus 1 tonight")
    assert answer is not None
    assert "cover" in answer
    assert book.answer("frost last night -1") is None
    assert book.entries() == []
    with pytest.raises(EntryError, match="one temperature"):
        book.tonight("cold")


def test_what_one_bed_teaches_holds_in_the_other_and_not_elsewhere(
    beds: Beds, bed: Bed, oval: Plan
) -> None:
    """So few of a kind came up in one bed that another bed in the same garden is planned with
    it; a bed in another town is not."""
    kind = sown_in_place(oval)
    for entry in (
        Entry(date(2027, 3, 1), "sown", kind, count=60),
        Entry(date(2027, 4, 25), "came_up", kind, count=6),
    ):
        write_entry(beds.store, bed.key, entry)
    other = beds.new(brief_in_year(2028), "begun", "oval-2")
    away = beds.new({**brief_in_year(2028), "place": {"town": "Galway, Ireland"}}, "begun", "far")
    assert {one.key for one in beds_about(other)} == {"oval-1", "oval-2"}
    figures = notebook(other, TODAY).figures()
    assert figures["germination"][kind] < 0.6
    assert 0.6 < figures["germination"]["others"] < 1.0
    assert notebook(away, TODAY).figures() == {}
    learned = read_brief({**brief_in_year(2028), "learned": figures}).learned
    assert learned.germination_of(kind) == figures["germination"][kind]


def test_frosts_of_the_journal_move_what_is_to_come(bed: Bed, beds: Beds) -> None:
    """Three weeks of nights far colder than usual: the plan's dates move for the weather."""
    day = date(2027, 4, 10)
    for n in range(21):
        night = Entry(day - timedelta(days=n), "weather", tmin_c=-4.0, tmax_c=6.0)
        write_entry(beds.store, bed.key, night)
    found = under_way(bed, day)
    assert found is not None
    causes = {fact.cause for fact in found.moved if isinstance(fact, MovedBy)}
    assert "weather" in causes
    assert under_way(bed, day) is found  # kept until something is written
    write_entry(beds.store, bed.key, Entry(day, "frost"))
    assert under_way(bed, day) is not found


def test_next_year_s_brief_holds_the_figures(bed: Bed, beds: Beds, oval: Plan) -> None:
    kind = sown_in_place(oval)
    write_entry(beds.store, bed.key, Entry(date(2027, 7, 30), "first_flower", kind))
    write_entry(beds.store, bed.key, Entry(date(2027, 3, 20), "frost", tmin_c=-3.0))
    made = notebook(bed, date(2027, 11, 20)).next_year()
    learned = read_brief(made.values).learned
    assert learned.until == date(2027, 11, 20)
    assert learned.late_days_of(kind) != 0.0
    assert learned.nights is not None
    assert any("this garden's own figures" in remark for remark in made.remarks)
    assert len(entries_of(beds.store, bed.key)) == 2
