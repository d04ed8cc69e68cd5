"""Seasons from a few years of a record, against the whole of it.

The record is Clemson's of GHCN-Daily (``examples/weather``), which no weight was set by; what 38
others gave stands in docs/method.md.
"""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.climate import Site, Weather, normals_at
from bedwright.inputs.records import read_record
from conftest import CLEMSON
from judge_few_years import misses

LATITUDE, LONGITUDE, HEIGHT_M = 34.68, -82.84, 251.0


@pytest.mark.parametrize("count", [3, 8])
def test_joined_they_are_nearer_than_either_alone(count: int) -> None:
    site = Site("Clemson", LATITUDE, LONGITUDE, HEIGHT_M)
    weather = Weather(site, normals_at(LATITUDE, LONGITUDE, HEIGHT_M))
    found = np.array(list(misses(read_record(CLEMSON), weather, count)))
    assert len(found) >= 10
    rms = np.sqrt((found[:, :, :4] ** 2).mean(axis=0))
    normals, alone, joined = rms
    assert joined[0] < min(normals[0], alone[0]), "days of the even date"
    assert joined[2] < min(normals[2], alone[2]), "odds at it"
    assert joined[1] < 1.2 * alone[1], "days of the 10% date"
    within = np.abs(found[:, 2, 0]) <= found[:, 2, 4]
    assert within.mean() >= 0.6, "two places in three lie within the doubt"
