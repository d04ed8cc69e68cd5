"""GHCN-Daily as NOAA writes it: lines of real station files, as public repositories quote them.

The first is the maxima of January 1926 at USC00011084 (Alabama), 20 days missing, the rest
with source flag 6.  The second is the shape of the by-station CSV since its heading was added.
"""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.season.ghcn import DLY_WIDTH, read_by_station, read_dly

REAL = (
    "USC00011084192601TMAX"
    + "-9999   " * 20
    + "  239  6  222  6   50  6   50  6  144  6  144  6  161  6  144  6  150  6  128  6  200  6"
)


def test_a_real_line_of_a_dly_file() -> None:
    assert len(REAL) == DLY_WIDTH
    days, _, high, _ = read_dly(REAL).arrays()
    assert str(days[0]) == "1926-01-21"
    assert len(days) == 11
    assert high.tolist() == pytest.approx(
        [23.9, 22.2, 5.0, 5.0, 14.4, 14.4, 16.1, 14.4, 15.0, 12.8, 20.0]
    )


def test_maxima_of_alabama_are_whole_fahrenheit_in_tenths() -> None:
    """What NOAA rounded through tenths of °C was read in whole °F."""
    high = read_dly(REAL).arrays()[2] * 1.8 + 32
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
    days, _, high, rain = columns.arrays()
    assert [str(d) for d in days] == ["2026-06-11", "2026-06-12", "2026-06-13"]
    assert high.tolist() == [25.6, 26.7, 27.8]
    assert rain[1] == 1.2
    assert columns.skipped == columns.failed == 0
