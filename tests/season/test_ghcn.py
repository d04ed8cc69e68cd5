from __future__ import annotations

import numpy as np
import pytest

from bedwright.season import RecordError, parse_record
from bedwright.season.ghcn import DLY_WIDTH


def dly_line(month: int, element: str, values: dict[int, tuple[int, str]]) -> str:
    """One line of a .dly file; days not named are missing."""
    cells = "".join(
        f"{values.get(d, (-9999, ' '))[0]:>5} {values.get(d, (0, ' '))[1]}7" for d in range(1, 32)
    )
    return f"USC00012345{1999:04d}{month:02d}{element}{cells}"


def test_dly() -> None:
    lines = [
        dly_line(2, "TMAX", {d: (100 + d, " ") for d in range(1, 29)}),
        dly_line(2, "TMIN", {**dict.fromkeys(range(1, 29), (-22, " ")), 5: (-999, "I")}),
        dly_line(2, "PRCP", {3: (254, " ")}),
        dly_line(2, "SNWD", {3: (99, " ")}),
    ]
    assert all(len(line) == DLY_WIDTH for line in lines)
    record = parse_record("\n".join(lines) + "\n", "s.dly")
    assert str(record.first) == "1999-02-01"
    assert len(record.tmin_c) == 28
    assert record.tmin_c[0] == pytest.approx((28 - 32) / 1.8, abs=0.06)
    assert np.isnan(record.tmin_c[4])
    assert record.rain_mm is not None
    assert record.rain_mm[2] == pytest.approx(25.4)
    assert "1 values that failed GHCN-Daily's checks dropped" in record.notes


def test_by_station_csv_and_dly_agree() -> None:
    days = range(1, 29)
    dly = "\n".join(
        [
            dly_line(2, "TMAX", {d: (100 + d, " ") for d in days}),
            dly_line(2, "TMIN", {d: (d, " ") for d in days}),
        ]
    )
    rows = [f"USC00012345,199902{d:02d},TMAX,{100 + d},,,7,0700" for d in days]
    rows += [f"USC00012345,199902{d:02d},TMIN,{d},,,7,0700" for d in days]
    rows.append("USC00012345,19990203,TMIN,999,,D,7,0700")
    one, two = parse_record(dly, "s.dly"), parse_record("\n".join(rows), "s.csv")
    assert np.array_equal(one.tmin_c, two.tmin_c)
    assert np.array_equal(one.tmax_c, two.tmax_c)
    assert two.notes[0].startswith("1 values that failed")


HEAD = '"STATION","DATE","LATITUDE","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"\n'


def test_daily_summaries_in_tenths() -> None:
    rows = [
        f'"X","1999-07-{d:02d}","40.0","  {250 + d}",",,7","  {100 + d}",",{flag},7"'
        for d in range(1, 29)
        for flag in ["G" if d == 4 else ""]
    ]
    record = parse_record(HEAD + "\n".join(rows), "s.csv")
    assert record.tmax_c[0] == pytest.approx(25.1)
    assert np.isnan(record.tmin_c[3])


def test_daily_summaries_in_whole_fahrenheit_are_not_taken_for_tenths() -> None:
    rows = [f'"X","1999-07-{d:02d}","40.0","{80 + d % 9}",",,7","{55 + d % 7}",",,7"'
            for d in range(1, 29)]  # fmt: skip
    record = parse_record(HEAD + "\n".join(rows), "s.csv")
    assert record.tmax_c[0] == pytest.approx((81 - 32) / 1.8)
    assert "temperatures taken as °F" in record.notes


def test_a_file_without_temperatures_is_refused() -> None:
    with pytest.raises(RecordError, match="without TMIN"):
        parse_record(dly_line(2, "SNWD", {3: (1, " ")}), "s.dly")


def test_the_by_station_csv_may_have_a_heading() -> None:
    head = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME"
    rows = [f"USC00012345,199902{d:02d},TMAX,{100 + d},,,7,0700" for d in range(1, 29)]
    rows += [f"USC00012345,199902{d:02d},TMIN,{d},,,7,0700" for d in range(1, 29)]
    with_head = parse_record("\n".join([head, *rows]), "s.csv")
    without = parse_record("\n".join(rows), "s.csv")
    assert np.array_equal(with_head.tmin_c, without.tmin_c)
    assert with_head.notes == without.notes


def test_a_cold_month_in_tenths_is_not_taken_for_fahrenheit() -> None:
    rows = [
        f'"X","2027-01-{d:02d}","60.0","{40 + d}",",,7","{-50 - d}",",,7"' for d in range(1, 29)
    ]
    record = parse_record(HEAD + "\n".join(rows), "s.csv")
    assert record.tmin_c[0] == pytest.approx(-5.1)
    assert record.tmax_c[0] == pytest.approx(4.1)


def test_flags_count_in_daily_summaries_in_degrees_too() -> None:
    rows = [
        f'"X","1999-05-{d:02d}","40.0","{80 + d % 9}",",,7",'
        f'"{31 if d == 20 else 55 + d % 7}",",{"I" if d == 20 else ""},7"'
        for d in range(1, 29)
    ]
    record = parse_record(HEAD + "\n".join(rows), "s.csv")
    assert np.isnan(record.tmin_c[19])
    assert "1 values that failed GHCN-Daily's checks dropped" in record.notes


def test_a_reading_given_twice_keeps_the_first() -> None:
    rows = [f"USC00012345,199902{d:02d},TMAX,{100 + d},,,7,0700" for d in range(1, 29)]
    rows += [f"USC00012345,199902{d:02d},TMIN,{d},,,7,0700" for d in range(1, 29)]
    rows.append("USC00012345,19990203,TMIN,55,,,7,0700")
    record = parse_record("\n".join(rows), "s.csv")
    assert record.tmin_c[2] == pytest.approx(0.3, abs=0.3)
    assert "1 reading given twice; the first kept" in record.notes
