"""GHCN-Daily as NOAA writes it: lines of real station files, as public repositories quote them.

The first is the maxima of January 1926 at USC00011084 (Alabama), 20 days missing, the rest
with source flag 6.  The second is the shape of the by-station CSV since its heading was added.

The layout and the flags are those of NOAA's readme of GHCN-Daily, section III
(https://www.ncei.noaa.gov/pub/data/ghcn/daily/readme.txt), read in November 2026 as several public
repositories quote it.
"""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.inputs import RecordError
from bedwright.inputs.ghcn import DLY_WIDTH, read_by_station, read_dly

REAL = (
    "USC00011084192601TMAX"
    + "-9999   " * 20
    + "  239  6  222  6   50  6   50  6  144  6  144  6  161  6  144  6  150  6  128  6  200  6"
)


def test_a_real_line_of_a_dly_file() -> None:
    assert len(REAL) == DLY_WIDTH
    days, _, high, _ = read_dly(REAL).in_order()
    assert str(days[0]) == "1926-01-21"
    assert len(days) == 11
    assert high.tolist() == pytest.approx(
        [23.9, 22.2, 5.0, 5.0, 14.4, 14.4, 16.1, 14.4, 15.0, 12.8, 20.0]
    )


def test_maxima_of_alabama_are_whole_fahrenheit_in_tenths() -> None:
    """What NOAA rounded through tenths of °C was read in whole °F."""
    high = read_dly(REAL).in_order()[2] * 1.8 + 32
    assert np.abs(high - np.round(high)).max() <= 0.0901


def test_real_lines_of_the_by_station_csv() -> None:
    text = (
        "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n"
        "USW00094728,20260611,TMAX,256,,,Z,\n"
        "USW00094728,20260612,TMAX,267,,,Z,\n"
        "USW00094728,20260612,PRCP,12,,,Z,\n"
        "USW00094728,20260613,TMAX,278,,,Z,\n"
    )
    columns = read_by_station(text)
    days, _, high, rain = columns.in_order()
    assert [str(d) for d in days] == ["2026-06-11", "2026-06-12", "2026-06-13"]
    assert high.tolist() == [25.6, 26.7, 27.8]
    assert rain[1] == 1.2
    assert columns.skipped == columns.failed == 0


COLUMNS = {"ID": (1, 11), "YEAR": (12, 15), "MONTH": (16, 17), "ELEMENT": (18, 21)}
"""First and last column of a .dly line's parts; then for each day, of which the last stands at
262-266, 267, 268 and 269: its value and three flags."""

MFLAGS = "BDHKLOPTW"
QFLAGS = "DGIKLMNORSTWXZ"
SFLAGS = "0126 7ABCDEFGHIKMNQRSTUWXZabdfmrsuz"


def put(line: str, columns: tuple[int, int], text: str) -> str:
    first, last = columns
    assert len(text) == last - first + 1
    return line[: first - 1] + text + line[last:]


def test_the_parts_of_a_line_stand_where_the_readme_has_them() -> None:
    line = " " * 269
    for columns, text in zip(COLUMNS.values(), ("USC00011084", "1926", "01", "TMIN"), strict=True):
        line = put(line, columns, text)
    for day in range(1, 32):
        line = put(line, (14 + 8 * day, 18 + 8 * day), f"{day:>5}")
    line = put(line, (269, 269), "6")
    columns = read_dly(line)
    days, low, *_ = columns.in_order()
    assert [str(days[0]), str(days[30])] == ["1926-01-01", "1926-01-31"]
    assert low.tolist() == pytest.approx([day / 10 for day in range(1, 32)])


@pytest.mark.parametrize(
    ("column", "flags"), [(267, MFLAGS), (268, QFLAGS), (269, SFLAGS)], ids=["M", "Q", "S"]
)
def test_every_published_flag_is_known(column: int, flags: str) -> None:
    for flag in flags:
        columns = read_dly(put(REAL, (column, column), flag))
        assert columns.failed == (column == 268)
        rows = [" "] * 3
        rows[column - 267] = flag
        row = f"USC00011084,19260131,TMAX,200,{','.join(rows)},"
        assert read_by_station(row).failed == (column == 268)
        assert read_by_station(row).skipped == 0


def test_a_real_line_shifted_is_refused() -> None:
    for shifted in (" " + REAL, REAL[1:], REAL[:21] + REAL[22:], REAL[:21] + " " + REAL[21:]):
        with pytest.raises(RecordError, match="line 1: "):
            read_dly(shifted)


def test_a_real_line_whose_last_blanks_were_lost() -> None:
    """January 1955 at AO000066422, without a reading, as several repositories quote it."""
    line = "AO000066422195501TMAX" + "   ".join(["-9999"] * 31)
    assert len(line) == DLY_WIDTH - 3
    assert read_dly(line).readings == {}
