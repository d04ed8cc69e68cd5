"""How soon the journal answers: a line read, an entry written, what stands of a hundred thousand,
and this week's list beside them.

Usage: ``python benchmarks/journal.py`` (in the development environment)
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from uuid import uuid4

from sqlalchemy import insert

from bedwright import garden
from bedwright.catalogue import load_catalogue
from bedwright.export import plan_json
from bedwright.garden import under_way
from bedwright.inputs import gather_values
from bedwright.journal import Entry, kinds_of, read_line
from bedwright.plan import make_plan
from bedwright.store import (
    Beds,
    entries_of,
    grow,
    last_number,
    mark_of,
    tasks_done,
    write_entry,
    written_since,
)
from bedwright.store.entries import Written, row_of
from bedwright.store.schema import ENTRY
from bedwright.taught import BedYears, learn_garden
from bedwright.underway import Underway
from timing import SHORT, Row, best, show

MANY = 1_000 if SHORT else 100_000
BEGIN, TODAY = date(2020, 1, 1), date(2029, 12, 31)
BED = ("garden_cosmos", "tall_zinnia", "larkspur", "petunia")
PLANNED = {
    "title": "Invented",
    "place": {"town": "Galway, Ireland"},
    "bed": {"shape": "rectangle", "length": "3 m", "width": "1.5 m"},
}
LINE = "18 of 24 cosmos came up on 25 April"


def invented(number: int) -> Entry:
    """One of many invented entries, spread over ten years."""
    day, kind = BEGIN + timedelta(days=number % 3650), BED[number % len(BED)]
    match number % 5:
        case 0:
            return Entry(day, "sown", kind=kind, count=24)
        case 1:
            return Entry(day, "came_up", kind=kind, count=number % 20, of=24)
        case 2:
            return Entry(day, "weather", tmin_c=float(number % 20))
        case 3:
            return Entry(day, "picked", kind=kind, count=12)
    return Entry(day, "work", text="weeded", minutes=30)


def rows() -> Iterator[Row]:
    catalogue = load_catalogue()
    kinds = kinds_of(catalogue, BED)
    spent = best(lambda: read_line(LINE, TODAY, kinds, "metric"), 50)
    yield Row("a line understood", "1 line", spent * 1e3, "ms")
    with tempfile.TemporaryDirectory() as folder:
        beds = Beds(Path(folder))
        bed = beds.new({"title": "Invented"}, "begun").key
        spent = best(lambda: write_entry(beds.store, bed, Entry(TODAY, "frost")), 20)
        yield Row("an entry written and on the disk", "1 entry", spent * 1e3, "ms")
        made = [Written(uuid4(), bed, 1000 + n, "2029-12-31T00:00:00.000+00:00", invented(n))
                for n in range(MANY)]  # fmt: skip
        with beds.store.writing() as connection:
            connection.execute(insert(ENTRY), [row_of(one) for one in made])
        size = f"{MANY:,} entries"
        week = TODAY - timedelta(days=6)
        spent = best(lambda: entries_of(beds.store, bed, week, TODAY))
        yield Row("the entries of a week", size, spent * 1e3, "ms")
        spent = best(lambda: entries_of(beds.store, bed), 2)
        yield Row("every entry that stands", size, spent, "s")
        every = [one.entry for one in made]
        spent = best(lambda: learn_garden([BedYears(every, {})], catalogue, TODAY), 2)
        yield Row("what they teach", size, spent, "s")
        yield from under_way_rows(beds, bed, size)
        beds.close()


def under_way_rows(beds: Beds, key: str, size: str) -> Iterator[Row]:
    """This week's list of the bed, grown by a plan of the last of the ten years."""
    values = {**PLANNED, "season": {"year": TODAY.year}}
    bed, day = beds.one(key), date(TODAY.year, 5, 20)
    revision = bed.change(bed.now, values, "planned")
    brief, weather = gather_values(bed.values(), beds.folder, load_catalogue(), BEGIN)
    plan = make_plan(brief, catalogue=load_catalogue(), weather=weather)
    grow(bed, TODAY.year, revision, plan_json(plan))

    def worked_out() -> Underway:
        garden._under_way.cache_clear()
        garden._garden_taught.cache_clear()
        found = under_way(bed, day)
        assert found is not None
        return found

    found = worked_out()
    spent = best(worked_out, 2)
    yield Row("a bed under way, worked out again", size, spent, "s")

    last = last_number(bed.store, key)
    write_entry(bed.store, key, Entry(day, "sown", kind=BED[0], count=24))

    def listed() -> None:
        new = [one.entry for one in written_since(bed.store, key, last)]
        now = found.after((*found.entries, *new))
        assert now.week(tasks_done(bed.store, key, *found.days))

    yield Row("this week's list after an entry", size, best(listed, 3) * 1e3, "ms")

    def again() -> None:
        mark_of(bed.store)
        assert found.week(tasks_done(bed.store, key, *found.days))

    yield Row("this week's list", size, best(again, 5) * 1e3, "ms")


if __name__ == "__main__":
    show(rows())
