"""Day length, extraterrestrial radiation and Hargreaves evapotranspiration against FAO-56.

R. G. Allen, L. S. Pereira, D. Raes and M. Smith, Crop Evapotranspiration, FAO Irrigation and
Drainage Paper 56, Rome 1998.  Examples 8 and 9: state copy (expected values in the tests of pyet, a
general library).  Example 20: from memory, and agreeing when recomputed from the published
equations.
"""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.season import day_length_h
from bedwright.season.water import hargreaves_mm, radiation_mj


def day(number: int) -> np.ndarray:
    """FAO counts days from 1, we from 0."""
    return np.array([number - 1])


def test_example_8_radiation_on_3_september_at_20_south() -> None:
    assert radiation_mj(-20.0, day(246))[0] == pytest.approx(32.2, abs=0.05)


def test_example_9_daylight_on_3_september_at_20_south() -> None:
    assert day_length_h(-20.0, day(246))[0] == pytest.approx(11.7, abs=0.05)


def test_example_18_radiation_and_daylight_at_uccle_on_6_july() -> None:
    latitude = 50 + 48 / 60
    assert radiation_mj(latitude, day(187))[0] == pytest.approx(41.09, abs=0.02)
    assert day_length_h(latitude, day(187))[0] == pytest.approx(16.1, abs=0.05)


def test_example_20_hargreaves_at_lyon_in_july() -> None:
    latitude = 45 + 43 / 60
    ra = radiation_mj(latitude, day(196))
    assert ra[0] == pytest.approx(40.55, abs=0.05)
    assert hargreaves_mm(np.array(14.8), np.array(26.6), ra)[0] == pytest.approx(5.0, abs=0.05)
