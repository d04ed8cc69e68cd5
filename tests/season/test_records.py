from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Literal

import numpy as np
import pytest

from bedwright.season import RecordError, parse_record, read_record


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
    assert "whole °F restored from values rounded through °C" in record.notes


def test_tenths_of_celsius_are_left_alone() -> None:
    rng = np.random.default_rng(2)
    low = np.round(rng.normal(5, 4, 500), 1)
    lines = [f"{np.datetime64('2001-01-01') + n},{t},{t + 9:.1f}" for n, t in enumerate(low)]
    record = parse_record("date,tmin_c,tmax_c\n" + "\n".join(lines), "r.csv", "C")
    assert np.allclose(record.tmin_c, low)
    assert not any("restored" in note for note in record.notes)


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
    text = " ".join(record.notes)
    assert "1 impossible minimum dropped (2001-01-11)" in text
    assert "1 day with minimum above maximum dropped" in text
    assert "1 day given twice; the first row kept" in text
    assert "1 line without a readable date passed over" in text
    assert "6 of 60 minima missing (4 days absent from the file)" in text


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
    with pytest.raises(RecordError, match="not text"):
        read_record(path)
    monkeypatch.setattr("bedwright.season.records.MOST_BYTES", 10)
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
    assert "temperatures taken as °C" in record.notes
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
    assert any("1 impossible minimum dropped (2001-05-08)" in note for note in record.notes)


def test_rain_that_cannot_be_is_dropped_and_a_heading_names_its_unit() -> None:
    lines = [f"{np.datetime64('2001-01-01') + n},50,70,0.2" for n in range(400)]
    lines[3] = "2001-01-04,50,70,-5"
    lines[4] = "2001-01-05,50,70,3000"
    record = parse_record("date,tmin_f,tmax_f,rain_mm\n" + "\n".join(lines), "r.csv")
    assert record.rain_mm is not None
    assert np.isnan(record.rain_mm[[3, 4]]).all()
    assert record.rain_mm[5] == 0.2
    assert "2 impossible rain readings dropped" in record.notes


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
