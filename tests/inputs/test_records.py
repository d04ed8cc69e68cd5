from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Literal

import numpy as np
import pytest

from bedwright.climate import (
    CellsPassedOver,
    CrossedDropped,
    DaysGivenTwice,
    FahrenheitRestored,
    ImpossibleDropped,
    ImpossibleRainDropped,
    LinesPassedOver,
    LooseDays,
    MinimaMissing,
    TakenAs,
)
from bedwright.inputs import RecordError, parse_record, read_record
from bedwright.report import say


def csv_of(days: int, start: str = "2001-01-01", low: float = 5.0, high: float = 15.0) -> list[str]:
    first = np.datetime64(start)
    return [f"{first + n},{low},{high}" for n in range(days)]


def test_whole_fahrenheit_kept_as_tenths_of_celsius_comes_back_whole() -> None:
    # 28 °F is -2.2 °C to the tenth, which reads 28.04 °F again.
    rng = np.random.default_rng(1)
    low = rng.integers(20, 60, 400)
    tenths = np.round((low - 32) / 1.8, 1)
    lines = [
        f"{np.datetime64('2001-01-01') + n},{t * 1.8 + 32:.2f},{t * 1.8 + 52:.2f}"
        for n, t in enumerate(tenths)
    ]
    record = parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "F")
    assert np.allclose(record.tmin_c * 1.8 + 32, low, atol=1e-9)
    assert FahrenheitRestored() in record.notes


def test_tenths_of_celsius_are_left_alone() -> None:
    rng = np.random.default_rng(2)
    low = np.round(rng.normal(5, 4, 500), 1)
    lines = [f"{np.datetime64('2001-01-01') + n},{t},{t + 9:.1f}" for n, t in enumerate(low)]
    record = parse_record("date,tmin_c,tmax_c\n" + "\n".join(lines), "r.csv", "C")
    assert np.allclose(record.tmin_c, low)
    assert FahrenheitRestored() not in record.notes


def test_gaps_duplicates_spikes_and_crossed_days_are_counted() -> None:
    lines = csv_of(60)
    lines[10] = "2001-01-11,-57.8,15"
    lines[20] = "2001-01-21,16,15"
    lines[30] = "not a day,1,2"
    del lines[40:43]
    lines.append("2001-01-02,9,9")
    record = parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")
    assert len(record.tmin_c) == 60
    assert np.isnan(record.tmin_c[[10, 20, 30, 40, 41, 42]]).all()
    assert record.tmin_c[1] == 5.0
    assert record.notes == (
        LinesPassedOver(1, "undated"),
        DaysGivenTwice(1),
        ImpossibleDropped("minimum", 1, (date(2001, 1, 11),)),
        CrossedDropped(1),
        MinimaMissing(6, 60, 4),
    )


def test_a_cold_snap_is_not_a_spike() -> None:
    lines = csv_of(60)
    for n in (10, 11, 12):
        lines[n] = f"2001-01-{n + 1},-14,2"
    record = parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")
    assert record.tmin_c[11] == -14


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "it is empty"),
        ("  \n\n", "it is empty"),
        ("a,b,c\n1,2,3\n", "its columns are 'a,b,c'; needed: date, tmin, tmax"),
        ("date,tmin,tmax\nx,1,2\n", "no day with a date"),
        ("date,tmin,tmax\n" + "\n".join(f"2001-01-{d:02d},," for d in range(1, 20)), "no minimum"),
    ],
)
def test_files_that_are_no_records(text: str, words: str) -> None:
    with pytest.raises(RecordError, match=words):
        parse_record(text, "r.csv")


def test_binary_and_huge_files_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "r.csv"
    path.write_bytes(bytes(range(256)))
    with pytest.raises(RecordError, match="no UTF-8 in line 2"):
        read_record(path)
    monkeypatch.setattr("bedwright.inputs.records.MOST_BYTES", 10)
    with pytest.raises(RecordError, match="up to 40 MB"):
        read_record(path)


def lines_of(warm: float, days: int = 60) -> str:
    return "\n".join(f"{np.datetime64('2001-01-01') + n},{warm / 2},{warm}" for n in range(days))


@pytest.mark.parametrize(
    ("head", "warm", "unit", "words"),
    [
        ("date,tmin,tmax", 86.0, "C", "warm days reach 86, which cannot be °C; they look like °F"),
        ("date,tmin_c,tmax_c", 86.0, None, "cannot be °C"),
        ("date,tmin,tmax", 24.0, "F", "warm days reach 24, which cannot be °F; they look like °C"),
        ("date,tmin,tmax", 289.0, None, "289, which is neither °C nor °F"),
        ("date,tmin,tmax", 295.0, "C", "cannot be °C"),
    ],
)
def test_temperatures_in_the_wrong_unit_are_refused(
    head: str, warm: float, unit: Literal["C", "F"] | None, words: str
) -> None:
    with pytest.raises(RecordError, match=words):
        parse_record(head + "\n" + lines_of(warm), "r.csv", unit)


def test_one_mad_reading_does_not_turn_celsius_into_fahrenheit() -> None:
    lines = lines_of(30.0).split("\n")
    lines[7] = "2001-01-08,12,99"
    record = parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv")
    assert TakenAs("C") in record.notes
    assert record.tmax_c[0] == 30.0
    assert np.isnan(record.tmax_c[7])


def test_a_sparse_file_of_many_bytes_is_not_opened(tmp_path: Path) -> None:
    path = tmp_path / "two-gigabytes.csv"
    with open(path, "wb") as file:
        file.truncate(2_000_000_000)
    with pytest.raises(RecordError, match="2,000,000,000 bytes"):
        read_record(path)


def test_dates_far_apart_do_not_fill_memory() -> None:
    text = "date,tmin,tmax\n0001-01-01,1,9\n9999-12-31,1,9\n"
    with pytest.raises(RecordError, match="from 0001-01-01 to 9999-12-31"):
        parse_record(text, "r.csv")


def test_the_heading_may_name_the_scale_and_the_rain() -> None:
    record = parse_record("date,tmin_f,tmax_f,rain\n2001-01-01,32,50,2.5\n", "r.csv")
    assert record.tmin_c[0] == 0.0
    assert record.rain_mm is not None
    assert record.rain_mm[0] == 2.5


def test_one_hour_of_frost_among_mild_nights_is_no_freeze() -> None:
    """An hour of 13 °F between two of 57 on 8 May gives a day's minimum that no neighbour knows."""
    rng = np.random.default_rng(4)
    mean = 9.0 - 11.0 * np.cos(2 * np.pi * np.arange(365) / 365)
    low = np.round(mean + rng.normal(0, 3, 365), 1)
    low[124:131] = [9.1, 10.3, 9.8, -10.5, 11.2, 10.0, 9.4]
    lines = [f"{np.datetime64('2001-01-01') + n},{v},{v + 9:.1f}" for n, v in enumerate(low)]
    record = parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")
    assert np.isnan(record.tmin_c[127])
    assert int(np.isnan(record.tmin_c).sum()) == 1
    assert ImpossibleDropped("minimum", 1, (date(2001, 5, 8),)) in record.notes


def test_rain_that_cannot_be_is_dropped_and_a_heading_names_its_unit() -> None:
    lines = [f"{np.datetime64('2001-01-01') + n},50,70,0.2" for n in range(400)]
    lines[3] = "2001-01-04,50,70,-5"
    lines[4] = "2001-01-05,50,70,3000"
    record = parse_record("date,tmin_f,tmax_f,rain_mm\n" + "\n".join(lines), "r.csv")
    assert record.rain_mm is not None
    assert np.isnan(record.rain_mm[[3, 4]]).all()
    assert record.rain_mm[5] == 0.2
    assert ImpossibleRainDropped(2) in record.notes


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("style", ["%Y-%m-%d", "%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y"])
def test_spreadsheets_of_many_countries_are_read(mark: str, style: str) -> None:
    first = date(2001, 1, 1)
    rows = [
        mark.join([(first + timedelta(days=n)).strftime(style), "4.5", "21.5"]) for n in range(60)
    ]
    if mark == ";":
        rows = [row.replace("4.5", "4,5").replace("21.5", "21,5") for row in rows]
    record = parse_record(mark.join(["Date", "TMIN (C)", "TMAX (C)"]) + "\n" + "\n".join(rows), "r")
    assert str(record.first) == "2001-01-01"
    assert len(record.tmin_c) == 60
    assert record.tmin_c[0] == 4.5
    assert record.tmax_c[59] == 21.5


def test_dates_that_could_be_read_either_way_are_refused() -> None:
    rows = "\n".join(f"0{d}/0{m}/2001,1,9" for m in (1, 2, 3) for d in range(1, 10))
    with pytest.raises(RecordError, match="day first or month first"):
        parse_record("date,tmin,tmax\n" + rows, "r.csv")


def test_swapped_columns_are_told() -> None:
    with pytest.raises(RecordError, match="are the columns swapped"):
        parse_record("date,tmax,tmin\n" + lines_of(20.0), "r.csv", "C")


def test_utf_16_of_spreadsheets_is_read(tmp_path: Path) -> None:
    path = tmp_path / "r.csv"
    path.write_text("date,tmin,tmax\n" + lines_of(20.0), encoding="utf-16")
    assert len(read_record(path).tmin_c) == 60


def test_what_is_no_regular_file_is_refused(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    for path, words in (
        (Path("/dev/zero"), "zero: a device or a pipe; accepted: a daily record of up to 40 MB"),
        (tmp_path / "pipe.csv", "pipe.csv: a device or a pipe"),
        (tmp_path, "a folder; accepted: a daily record"),
    ):
        with pytest.raises(RecordError, match=words):
            read_record(path)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_codings_and_line_ends_of_many_programs(tmp_path: Path, coding: str, end: str) -> None:
    path = tmp_path / "r.csv"
    text = "date,tmin (°F),tmax (°F)\n" + lines_of(70.0)
    path.write_bytes(text.replace("\n", end).encode(coding))
    record = read_record(path)
    assert len(record.tmin_c) == 60
    assert record.tmin_c[0] == pytest.approx((35 - 32) / 1.8)


HEADS = {
    "table": "date,tmin,tmax\n2001-01-01,5,15\n",
    "summaries": '"STATION","DATE","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"\n',
    "by-station": "USC00012345,20010101,TMAX,150,,,7,0700\n",
    "dly": "USC00012345200101TMAX" + "  150  7" * 31 + "\n",
}


@pytest.mark.parametrize("head", HEADS.values(), ids=HEADS)
@pytest.mark.parametrize(
    ("rest", "words"),
    [
        ("\n" * 39_000_000, "lines; accepted: up to"),
        ("x,y\n" * 2_000_000, "lines; accepted: up to"),
        ("," * 39_000_000, "line . has 39,000,0.. characters"),
        ("7" * 39_000_000, "line . has 39,000,0.. characters"),
        ('"' + "7" * 39_000_000 + '"', "line . has 39,000,0.. characters"),
    ],
    ids=["line-ends", "short-lines", "commas", "digits", "quoted"],
)
def test_files_larger_than_any_record_are_refused(head: str, rest: str, words: str) -> None:
    with pytest.raises(RecordError, match=words):
        parse_record(head + rest, "r.csv")


@pytest.mark.parametrize(
    ("head", "line"),
    [
        ("date,tmin,tmax", "{day},5,15"),
        ('"STATION","DATE","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"',
         '"X","{day}","250",",,7","100",",,7"'),
        ("ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME",
         "USC00012345,{compact},TMIN,50,,,7,0700"),
    ],
    ids=["table", "summaries", "by-station"],
)  # fmt: skip
@pytest.mark.parametrize("days", [60, 15_000])
@pytest.mark.parametrize("closed", [False, True])
def test_a_quotation_mark_that_does_not_close_names_its_line(
    head: str, line: str, days: int, closed: bool
) -> None:
    """Closed forty lines on, or never: the days between would be gone."""
    first = np.datetime64("1971-01-01")
    lines = [
        line.format(day=first + n, compact=str(first + n).replace("-", "")) for n in range(days)
    ]
    lines[9] = lines[9].replace('X"', "X") if '"' in line else '"' + lines[9]
    if closed:
        lines[49] += '"'
    with pytest.raises(RecordError, match="line 11: quotation marks that do not stand in pairs"):
        parse_record("\n".join([head, *lines]), "r.csv")


@pytest.mark.parametrize("cell", ['"{day}"x', '"{day}'])
def test_quotation_marks_amid_a_cell_are_not_called_open(cell: str) -> None:
    lines = [cell.format(day=date(2001, 1, 1) + timedelta(days=n)) + ",5,15" for n in range(90)]
    with pytest.raises(RecordError, match="line 2: quotation marks that do not stand in pairs"):
        parse_record("\n".join(["date,tmin,tmax", *lines]), "r.csv")


@pytest.mark.parametrize("hour", ["12:00:00Z", "12:00:00+00:00"])
def test_days_of_another_zone_are_refused_by_hour_and_zone(hour: str) -> None:
    lines = dated(f"%Y-%m-%dT{hour}")
    for few in (lines, [*dated("%Y-%m-%d"), *lines]):
        with pytest.raises(RecordError, match=r"12:00:00 (Z|\+00:00) is an hour of a time zone"):
            parse_record("\n".join(["date,tmin,tmax", *few]), "r.csv")


def dated(style: str, days: int = 400, start: date = date(2001, 1, 1)) -> list[str]:
    """A day's lines with dates written in a style of ``strftime``."""
    return [f"{(start + timedelta(days=n)).strftime(style)},5,15" for n in range(days)]


@pytest.mark.parametrize("mark", [".", "/", "-"])
def test_the_files_own_days_tell_the_order_of_dates(mark: str) -> None:
    for style in (f"%d{mark}%m{mark}%Y", f"%m{mark}%d{mark}%Y"):
        record = parse_record("date,tmin,tmax\n" + "\n".join(dated(style)), "r.csv", "C")
        assert str(record.first) == "2001-01-01"
        assert len(record.tmin_c) == 400
        assert not any(isinstance(note, LinesPassedOver) for note in record.notes)


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (dated("%d.%m.%Y") + dated("%m.%d.%Y", 400, date(2003, 1, 1)),
         "day first .line 14: '13.01.2001'., others the month .line 414: '01.13.2003'."),
        (dated("%d.%m.%Y", 9), "read day first or month first .line 2: '01.01.2001'."),
        (dated("%Y-%m-%d") + dated("%d/%m/%Y", 400, date(2003, 1, 1)), "more than one way"),
        (dated("%d.%m.%Y") + dated("%d/%m/%Y", 400, date(2003, 1, 1)), "more than one way"),
        (dated("%d.%m.%y"), "no day with a date such as 1994-07-31 .it has '01.01.01'."),
        (dated("%Y-%m-%d") + dated("%d.%m.%y", 40, date(2003, 1, 1)), "40 of 440 lines"),
        (dated("%a %d %b %Y"), "with the year in four digits"),
        (dated("00%y-%m-%d"), "years of four digits, from 1600 to 2200"),
        (dated("%m/%d/%Y5"), "no day with a date"),
        (dated("%Y-%m-%dT23:00Z"), "no day with a date"),
        (dated("%Y-W%V-%u"), "no day with a date"),
        ([f"{line[:10]} {h:02}:00,{h},{h}" for line in dated("%Y-%m-%d") for h in (0, 8, 16)],
         "a day that an earlier line has with other readings"),
    ],
)  # fmt: skip
def test_dates_that_would_move_are_refused(lines: list[str], words: str) -> None:
    with pytest.raises(RecordError, match=words) as caught:
        parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")
    assert "1994-07-31" in str(caught.value) or "accepted" in str(caught.value)


def test_midnight_beside_a_date_is_no_harm() -> None:
    for style in ("%Y-%m-%dT00:00:00Z", "%Y-%m-%d 00:00", "%d/%m/%Y 09:00", "%Y/%m/%d", "%Y%m%d"):
        record = parse_record("date,tmin,tmax\n" + "\n".join(dated(style)), "r.csv", "C")
        assert len(record.tmin_c) == 400


def test_months_totals_may_be_passed_over_but_not_a_share_of_the_days() -> None:
    lines = dated("%Y-%m-%d")
    totals = [line for n, day in enumerate(lines) for line in [day] + ["mean,4,14"] * (n % 30 == 0)]
    record = parse_record("date,tmin,tmax\n" + "\n".join(totals), "r.csv", "C")
    assert LinesPassedOver(14, "undated") in record.notes
    for n in range(0, 400, 15):
        lines[n] = lines[n].replace("2001", "'01")
    with pytest.raises(RecordError, match="25 of 400 lines cannot be read"):
        parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")


@pytest.mark.parametrize("given", ["1e400", "nan", "inf", "9" * 5000, "1_0", "1e99", "-" * 5000])
def test_numbers_of_any_size_are_missing_or_faults(given: str) -> None:
    lines = dated("%Y-%m-%d")
    lines[50] = lines[50].replace(",5,", f",{given},")
    record = parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")
    assert np.isnan(record.tmin_c[50])
    assert np.isfinite(record.tmin_c[51:]).all()
    assert len(" ".join(say(note, "metric") for note in record.notes)) < 500


@pytest.mark.parametrize("minus", ["\u2212", "\u2013"])
def test_minus_signs_of_word_processors_are_read(minus: str) -> None:
    lines = [line.replace(",5,", f",{minus}5,") for line in dated("%Y-%m-%d")]
    record = parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")
    assert (record.tmin_c == -5).all()


def test_readings_that_are_no_numbers_are_counted_and_refused_where_many() -> None:
    lines = dated("%Y-%m-%d")
    for n in range(10):
        lines[n] = lines[n].replace(",5,", ",5*,")
    record = parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")
    assert CellsPassedOver("minima", 10, 2, "5*") in record.notes
    for n in range(40):
        lines[n] = lines[n].replace(",5,", ",5*,")
    with pytest.raises(RecordError, match="40 of 400 cells of minima are no numbers"):
        parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")


def test_decimal_commas_between_commas_are_refused() -> None:
    lines = [line.replace(",5,15", ",5,5,15,5") for line in dated("%Y-%m-%d")]
    with pytest.raises(RecordError, match="line 2: 5 cells beneath a heading of 3"):
        parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")
    quoted = [line.replace(",5,15", ',"5,5","15,5"') for line in dated("%Y-%m-%d")]
    assert parse_record("date,tmin,tmax\n" + "\n".join(quoted), "r.csv", "C").tmin_c[0] == 5.5


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ("date,tmin,tmin,tmax", "name tmin more than once"),
        ("date,date,tmin,tmax", "name date more than once"),
        ("date,tmin_f,tmax_c", "both °C and °F"),
        ("date,tmin_mm,tmax", "needed: date, tmin, tmax"),
        ("date,tmin (0.1 C),tmax (0.1 C)", "needed: date, tmin, tmax"),
    ],
)
def test_headings_that_name_a_column_twice_or_in_two_units(head: str, words: str) -> None:
    with pytest.raises(RecordError, match=words):
        parse_record(head + "\n2001-01-01,5,15,16\n", "r.csv")


def test_both_units_side_by_side_are_read_in_celsius() -> None:
    text = "date,tmin_f,tmin_c,tmax_f,tmax_c\n" + "\n".join(
        f"{date(2001, 1, 1) + timedelta(days=n)},41,5,59,15" for n in range(60)
    )
    assert parse_record(text, "r.csv").tmax_c[0] == 15


def test_lines_of_two_stations_are_refused() -> None:
    lines = ["A," + line for line in dated("%Y-%m-%d")] + ["B," + dated("%Y-%m-%d")[0]]
    with pytest.raises(RecordError, match="line 402 is of station 'B', those above of 'A'"):
        parse_record("station,date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")


def warm_and_cold(days: int, start: date = date(2001, 1, 1)) -> list[tuple[date, float, float]]:
    """Days of a temperate place: minima and maxima in °C."""
    mean = 12 - 12 * np.cos(2 * np.pi * (np.arange(days) - 15) / 365.25)
    return [(start + timedelta(days=n), round(m - 5, 1), round(m + 5, 1)) for n, m in
            enumerate(mean.tolist())]  # fmt: skip


@pytest.mark.parametrize("first_years", [1, 5, 8, 9])
@pytest.mark.parametrize("celsius_first", [True, False])
def test_a_change_of_unit_within_a_record_is_refused(first_years: int, celsius_first: bool) -> None:
    lines = []
    for n, (day, low, high) in enumerate(warm_and_cold(3650)):
        if (n < 365 * first_years + 40) != celsius_first:
            low, high = low * 1.8 + 32, high * 1.8 + 32
        lines.append(f"{day},{low:.1f},{high:.1f}")
    with pytest.raises(RecordError, match="one unit"):
        parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv")


def test_a_tenth_of_every_reading_is_refused() -> None:
    lines = [f"{day},{low / 10:.2f},{high / 10:.2f}" for day, low, high in warm_and_cold(800)]
    with pytest.raises(RecordError, match="apart or less, which no place has"):
        parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")


def test_a_trace_of_rain_is_none_to_speak_of() -> None:
    lines = [line + (",T" if n % 2 else ",2.0") for n, line in enumerate(dated("%Y-%m-%d"))]
    record = parse_record("date,tmin,tmax,rain\n" + "\n".join(lines), "r.csv", "C")
    assert record.rain_mm is not None
    assert record.rain_mm[:4].tolist() == [2.0, 0.0, 2.0, 0.0]


def test_what_a_file_says_is_shown_without_control_characters() -> None:
    nasty = "\x1b[2J\x07\u202e\x00" + "x" * 500
    for text in (
        f"date,tmin{nasty}\n",
        f"date,tmin,tmax\n{nasty},1,2\n",
        f"station,date,tmin,tmax\nA,2001-01-01,5,15\n{nasty},2001-01-02,5,15\n",
        f'date,tmin,tmax\n"{nasty},5,15\n',
        f"{nasty[:4]}12345200101TMAX" + "  150  7" * 31,
        "USC00012345,20010101,TMAX,150,,,7,0700\n" * 9 + f"U,{nasty},TMAX,1,,,7,\n" * 9,
    ):
        with pytest.raises(RecordError) as caught:
            parse_record(text, f"r{nasty}.csv")
        assert str(caught.value).isprintable()
        assert len(str(caught.value)) < 500
    lines = dated("%Y-%m-%d")
    lines[3] = f"2001-01-04,{nasty},15"
    record = parse_record("date,tmin,tmax\n" + "\n".join(lines), f"r{nasty}.csv", "C")
    words = [say(note, "metric") for note in record.notes]
    assert all(text.isprintable() and len(text) < 200 for text in (record.name, *words))


def test_dates_turned_by_a_spreadsheet_are_noticed() -> None:
    """Day and month change places where both could be either; the others stay."""
    lines = [f"{day:%d/%m/%Y},{low},{high}" for day, low, high in warm_and_cold(1461)]
    for n in range(150, 1100):
        day, month, rest = lines[n].split("/", 2)
        if int(day) <= 12:
            lines[n] = f"{month}/{day}/{rest}"
    with pytest.raises(RecordError, match="a day that an earlier line has with other readings"):
        parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda n, line: line[:12] if n % 30 == 0 else line,
         "14 of 400 lines cannot be read .line 2: 2 cells beneath a heading of 3"),
        (lambda n, line: line[:7] if n % 4 == 0 else line, "100 lines have no date, 300 have one"),
        (lambda n, line: line.replace(",5,", ",45,") if n % 30 == 0 else line,
         "14 of 400 minima cannot be .the first on 2001-01-01"),
        (lambda n, line: line[:11] + "15,5" if n % 100 < 20 else line,
         "above its maxima on 80 days; are the columns swapped"),
        (lambda n, line: line[:11] + "5,99.9" if n > 380 else line, "19 of 400 maxima cannot be"),
    ],
    ids=["cut", "dateless", "spikes", "swapped in part", "codes"],
)  # fmt: skip
def test_too_much_that_is_wrong_is_refused(change: Callable[[int, str], str], words: str) -> None:
    lines = [change(n, line) for n, line in enumerate(dated("%Y-%m-%d"))]
    with pytest.raises(RecordError, match=words):
        parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv", "C")


def test_days_that_do_not_follow_each_other_are_doubted() -> None:
    """Every other line is in a tenth of the unit: no reading alone is out of the way."""
    days = warm_and_cold(1461)
    for every, doubted in ((2, True), (5000, False)):
        text = "date,tmin,tmax\n" + "\n".join(
            f"{day},{low / 10:.1f},{high / 10:.1f}" if n % every == 1 else f"{day},{low},{high}"
            for n, (day, low, high) in enumerate(days)
        )
        notes = parse_record(text, "r.csv", "C").notes
        assert (LooseDays() in notes) == doubted


@pytest.mark.parametrize(
    ("date_cell", "low"),
    [("2001-03-05", "4.5"), ("2001-02-30", "4.5"), ("0000-01-01", "4.5"), ("2001-03-05", "-99.9"),
     ("2001-03-05", ""), ("2001-03-05", "4."), ("2001-03-05", "4-5"), ("2001-03-05", "1234567890"),
     ("2001-3-05", "4.5"), ("-001-03-05", "4.5"), ("2001-03-05", "4e1"), ("2001-03-05", "nan")],
)  # fmt: skip
def test_a_table_read_by_columns_is_as_one_read_by_lines(date_cell: str, low: str) -> None:
    rng = np.random.default_rng(3)
    lows = np.round(rng.normal(5, 4, 500), 1)
    lines = [f"{np.datetime64('2000-01-01') + n},{v},{v + 9:.1f}" for n, v in enumerate(lows)]
    lines.append(f"{date_cell},{low},15.0")

    def read(lines: list[str]) -> object:
        try:
            found = parse_record("date,tmin,tmax\n" + "\n".join(lines), "r.csv")
        except RecordError as error:
            return str(error)
        return (found.first, found.tmin_c.tobytes(), found.tmax_c.tobytes(), found.notes)

    by_lines = [f" {lines[0]}", *lines[1:]]  # a blank before a date is not as plain as can be
    assert read(lines) == read(by_lines)


def test_a_table_of_minima_alone() -> None:
    record = parse_record("date,tmin\n" + "".join(
        f"2001-{m:02d}-{d:02d},{m + d / 10:.1f}\n" for m in range(1, 13) for d in range(1, 29)
    ), "r.csv")  # fmt: skip
    assert np.isnan(record.tmax_c).all()
    assert record.tmin_c[0] == 1.1
    warm = "date;tmin_f\n" + "".join(
        f"2001-{m:02d}-{d:02d};{58 + d / 10:.1f}\n" for m in range(5, 9) for d in range(1, 29)
    )
    assert parse_record(warm, "r.csv").tmin_c[0] == pytest.approx((58.1 - 32) / 1.8)
    assert parse_record(warm.replace("_f", ""), "r.csv").tmin_c[0] == pytest.approx(
        (58.1 - 32) / 1.8
    )
    with pytest.raises(RecordError, match="cannot be °C"):
        parse_record(warm.replace("_f", ""), "r.csv", "C")


@pytest.mark.parametrize("heading", ["date,tmin,tmax (0.1 C)", "date,tmin,daily high temp"])
def test_maxima_that_are_not_understood_are_not_passed_over(heading: str) -> None:
    with pytest.raises(RecordError, match="needed: date, tmin, tmax"):
        parse_record(f"{heading}\n2001-01-01,1,20\n", "r.csv")
