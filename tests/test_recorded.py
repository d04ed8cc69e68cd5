"""A weather record in the journal: from any form of file, all of it or nothing, nothing lost."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import bedwright
from bedwright.inputs import RecordError
from bedwright.noted import Notebook
from bedwright.recorded import MOST_DAYS, add_record
from bedwright.store import entries as module
from bedwright.store import entries_of, entry_of, history_of, recorded_in
from conftest import CLEMSON

TODAY = date(2026, 8, 10)
HEAD = "date,tmin,tmax,rain\n"
FEW = f"{HEAD}2026-05-01,4,12,0\n2026-05-02,5,13,2.5\n2026-05-03,,14,\n"


def book_in(folder: Path, units: str = "metric") -> Notebook:
    path = folder / "oval.toml"
    path.write_text(f'units = "{units}"\n[place]\ntown = "Galway, Ireland"\n[bed]\n'
                    'shape = "circle"\ndiameter = "2 m"\n')  # fmt: skip
    return bedwright.journal_of(path, TODAY)


@pytest.fixture
def book(tmp_path: Path) -> Notebook:
    return book_in(tmp_path)


def record(folder: Path, text: str, name: str = "record.csv") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_the_days_of_a_record_become_entries_once(book: Notebook, tmp_path: Path) -> None:
    path = record(tmp_path, FEW)
    made = book.add_record(path)
    assert (made.added, made.first, made.last, made.same) == (
        3, date(2026, 5, 1), date(2026, 5, 3), 0)  # fmt: skip
    assert made.understood == "3 days added, from 1 May 2026 to 3 May 2026"
    assert "temperatures taken as °C" in made.remarks
    found = [one.entry for one in entries_of(book.bed.store, book.bed.key)]
    assert [(one.what, one.tmin_c, one.tmax_c, one.rain_mm) for one in found] == [
        ("weather", 4.0, 12.0, 0.0), ("weather", 5.0, 13.0, 2.5), ("weather", None, 14.0, None)
    ]  # fmt: skip
    again = book.add_record(path)
    assert (again.added, again.same, len(history_of(book.bed.store, book.bed.key))) == (0, 3, 3)
    assert again.understood == "no day was added; 3 days were there already"


def test_days_that_differ_are_told_and_corrected_only_when_asked(
    book: Notebook, tmp_path: Path
) -> None:
    book.add_record(record(tmp_path, FEW))
    typed = book.note("rain 9 mm on 4 May 2026").written
    other = record(tmp_path, FEW.replace("2026-05-02,5,", "2026-05-02,-1,") + "2026-05-04,6,15,3\n")
    made = book.add_record(other)
    assert (made.added, made.same, made.days_differ, made.corrected) == (0, 2, 2, False)
    assert made.differences == (
        "2 May 2026: minimum −1 °C in the record, 5 °C in the journal",
        "4 May 2026: rain 3 mm in the record, 9 mm in the journal",
    )
    assert len(history_of(book.bed.store, book.bed.key)) == 4
    made = book.add_record(other, replace=True)
    assert (made.days_differ, made.corrected) == (2, True)
    assert made.understood == "no day was added; 2 days were there already; 2 days were corrected"
    stand = entries_of(book.bed.store, book.bed.key)
    two = [(one.entry.tmin_c, one.entry.rain_mm) for one in stand if one.entry.day.day in (2, 4)]
    assert two == [(-1.0, 2.5), (None, 3.0), (6.0, None)]
    assert entry_of(book.bed.store, book.bed.key, typed.id) == typed, "it is in the history"
    assert book.add_record(other, replace=True).same == 4


def test_a_record_is_in_the_journal_as_pandas_reads_it(book: Notebook) -> None:
    """Two years of a real record (Clemson), whole °F as they were before they passed through °C."""
    since, until = date(2019, 1, 1), date(2020, 12, 31)
    made = book.add_record(CLEMSON, since=since)
    table = pd.read_csv(CLEMSON, parse_dates=["date"])
    table = table[table["date"].dt.date >= since]
    table = table.dropna(how="all", subset=[name for name in table.columns if name != "date"])
    assert (made.added, made.first, made.last) == (len(table), since, until)
    names = {name.partition("_")[0]: name for name in table.columns}
    stand = entries_of(book.bed.store, book.bed.key)
    assert [one.entry.day for one in stand] == list(table["date"].dt.date)
    for given, own in (("tmin", "tmin_c"), ("tmax", "tmax_c")):
        there = np.array([getattr(one.entry, own) for one in stand], float)  # None is nan
        celsius = (table[names[given]].to_numpy() - 32) / 1.8
        assert np.nanmax(np.abs(there - celsius)) < 0.28  # half a °F


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "it is empty"),
        ("day,light\n1,2\n", "needed: date, tmin, tmax"),
        (f"{HEAD}2026-05-01,x,12,0\n2026-05-02,y,12,0\n2026-05-03,z,12,0\n2026-05-04,w,12,0\n",
         "cells of minima are no numbers"),
        (f"{HEAD}2026-08-10,4,12,0\n2026-08-11,4,12,0\n2026-08-12,4,12,0\n",
         "2 of its days are to come, the first 2026-08-11; accepted: days up to today, 2026-08-10"),
        (f"{HEAD}2026-05-01,,,\n", "it has no day with a reading"),
        (f"{HEAD}2026-05-01,-75,12,0\n", "tmin_c of 2026-05-01: given -75; accepted: -70 to 60"),
    ],
)  # fmt: skip
def test_a_record_at_fault_is_told_and_adds_nothing(
    book: Notebook, tmp_path: Path, text: str, said: str
) -> None:
    with pytest.raises(RecordError) as raised:
        book.add_record(record(tmp_path, text))
    assert "record.csv" in str(raised.value)
    assert said in str(raised.value)
    assert history_of(book.bed.store, book.bed.key) == []


def test_a_record_of_a_lifetime_belongs_in_the_brief(book: Notebook) -> None:
    with pytest.raises(RecordError, match=rf"accepted: up to {MOST_DAYS:,} at once"):
        book.add_record(CLEMSON)
    with pytest.raises(RecordError, match="no day from 2025-01-01 on"):
        book.add_record(CLEMSON, since=date(2025, 1, 1))
    assert history_of(book.bed.store, book.bed.key) == []


def test_all_of_it_or_nothing(
    book: Notebook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, had = module.row_of, []

    def stops(made: module.Written) -> dict[str, object]:
        had.append(made)
        if len(had) == 3:
            raise OSError("the machine stopped")
        return real(made)

    with monkeypatch.context() as patched:
        patched.setattr(module, "row_of", stops)
        with pytest.raises(OSError, match="machine"):
            book.add_record(record(tmp_path, FEW))
    assert history_of(book.bed.store, book.bed.key) == []
    assert book.add_record(record(tmp_path, FEW)).added == 3


@pytest.mark.parametrize(
    ("units", "heading", "day", "celsius"),
    [
        ("metric", "tmin,tmax", "-12,-5", (-12.0, -5.0)),  # a week of hard winter
        ("metric", "tmin_f,tmax_f", "23,41", (-5.0, 5.0)),
        ("us", "tmin,tmax", "23,41", (-5.0, 5.0)),
        ("us", "tmin_c,tmax_c", "-5,5", (-5.0, 5.0)),
        ("metric", "tmin,tmax", "59,86", (15.0, 30.0)),  # no day has 86 °C
        ("us", "tmin,tmax", "59,86", (15.0, 30.0)),
    ],
)
def test_a_few_days_without_a_summer_are_read_in_the_bed_s_units(
    tmp_path: Path, units: str, heading: str, day: str, celsius: tuple[float, float]
) -> None:
    book = book_in(tmp_path, units)
    book.add_record(record(tmp_path, f"date,{heading}\n2026-01-05,{day}\n2026-01-06,{day}\n"))
    one = entries_of(book.bed.store, book.bed.key)[0].entry
    assert (one.tmin_c, one.tmax_c) == pytest.approx(celsius)


def test_a_unit_that_cannot_be_is_refused(book: Notebook, tmp_path: Path) -> None:
    text = "date,tmin_c,tmax_c\n2026-06-05,59,86\n2026-06-06,60,88\n"
    with pytest.raises(RecordError, match="cannot be °C; they look like °F"):
        book.add_record(record(tmp_path, text))


def test_single_days_far_apart_are_taken(book: Notebook, tmp_path: Path) -> None:
    days = [date(2026, 1, 1) + timedelta(days=20 * n) for n in range(10)]
    text = HEAD + "".join(f"{day},{n},{n + 9},0\n" for n, day in enumerate(days))
    assert book.add_record(record(tmp_path, text)).added == 10
    assert recorded_in(book.bed.store, book.bed.key) == (10, days[0], days[-1])


def test_the_days_of_records_are_summed_up_beside_what_was_typed(
    book: Notebook, tmp_path: Path
) -> None:
    assert book.recorded() == ""
    book.note("min 3 max 11 on 4 May 2026")
    assert book.recorded() == ""
    book.add_record(record(tmp_path, FEW))
    assert book.recorded() == "Weather of 3 days from records, 1 May 2026 to 3 May 2026"
    assert [one.entry.day.day for one in book.entries(typed=True)] == [4]
    assert len(book.entries()) == 4


def test_a_record_s_text_is_taken_as_its_file(book: Notebook) -> None:
    text = FEW.replace("\n", "\r\n")
    made = add_record(book.bed, (text, "typed.csv"), "metric", TODAY)
    assert made.added == 3


def test_ghcn_daily_is_read_too(book: Notebook, tmp_path: Path) -> None:
    """A station's by-station CSV, tenths of °C and mm, after NOAA's readme."""
    rows = "".join(
        f"EI000003980,202605{n:02},{element},{value},,,E,\n"
        for n in (1, 2)
        for element, value in (("TMIN", 43), ("TMAX", 121), ("PRCP", 25))
    )
    assert book.add_record(record(tmp_path, rows)).added == 2
    one = entries_of(book.bed.store, book.bed.key)[0].entry
    assert (one.tmin_c, one.tmax_c, one.rain_mm) == (4.3, 12.1, 2.5)


def test_a_correction_that_no_day_can_have_is_refused(book: Notebook, tmp_path: Path) -> None:
    book.note("min 3 max 6 on 4 May 2026")
    path = record(tmp_path, f"{HEAD}2026-05-04,8,,0\n2026-05-05,8,12,0\n")
    with pytest.raises(RecordError, match="tmin_c of 2026-05-04: given 8 °C"):
        book.add_record(path, replace=True)
    assert len(history_of(book.bed.store, book.bed.key)) == 1
