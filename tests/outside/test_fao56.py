"""Day length, radiation and reference evapotranspiration against FAO-56's worked examples.

R. G. Allen, L. S. Pereira, D. Raes and M. Smith, Crop Evapotranspiration, FAO Irrigation and
Drainage Paper 56, Rome 1998.  Examples 8 and 9: state copy (expected values in the tests of pyet, a
general library).  Example 20: from memory, and agreeing when recomputed from the published
equations.
"""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.climate.daylight import FLAT, day_length_h
from bedwright.climate.evaporation import (
    hargreaves_mm,
    net_radiation_mj,
    penman_monteith_mm,
    psychrometric_kpa,
    radiation_mj,
    saturation_kpa,
    solar_mj,
)


def day(number: int) -> np.ndarray:
    """FAO counts days from 1, we from 0."""
    return np.array([number - 1])


def test_example_8_radiation_on_3_september_at_20_south() -> None:
    assert radiation_mj(-20.0, day(246))[0] == pytest.approx(32.2, abs=0.05)


def test_example_9_daylight_on_3_september_at_20_south() -> None:
    assert day_length_h(-20.0, day(246), FLAT)[0] == pytest.approx(11.67, abs=0.06)


def test_example_18_radiation_and_daylight_at_uccle_on_6_july() -> None:
    latitude = 50 + 48 / 60
    assert radiation_mj(latitude, day(187))[0] == pytest.approx(41.09, abs=0.02)
    assert day_length_h(latitude, day(187), FLAT)[0] == pytest.approx(16.1, abs=0.05)


def test_example_20_hargreaves_at_lyon_in_july() -> None:
    latitude = 45 + 43 / 60
    ra = radiation_mj(latitude, day(196))
    assert ra[0] == pytest.approx(40.55, abs=0.05)
    assert hargreaves_mm(np.array(14.8), np.array(26.6), ra)[0] == pytest.approx(5.0, abs=0.05)


def test_examples_2_and_3_pressure_and_vapour() -> None:
    # At 1,800 m the pressure is 81.8 kPa and the psychrometric constant 0.054 kPa per degree.
    assert psychrometric_kpa(1800) / 0.000665 == pytest.approx(81.8, abs=0.1)
    assert psychrometric_kpa(1800) == pytest.approx(0.054, abs=0.0005)
    assert saturation_kpa(np.array([24.5, 15.0])) == pytest.approx([3.075, 1.705], abs=0.001)


def test_example_17_bangkok_in_april() -> None:
    latitude = 13 + 44 / 60
    ra = radiation_mj(latitude, day(105))
    assert ra[0] == pytest.approx(38.06, abs=0.05)
    hours = day_length_h(latitude, day(105), FLAT)[0]
    assert hours == pytest.approx(12.31, abs=0.02)
    rs = (0.25 + 0.50 * 8.5 / hours) * ra  # equation 35, from 8.5 hours of sunshine
    assert rs[0] == pytest.approx(22.65, abs=0.05)
    low, high, ea = np.array([25.6]), np.array([34.8]), np.array([2.85])
    rn = net_radiation_mj(low, high, rs, ra, ea, 2.0)
    assert rn[0] == pytest.approx(14.33, abs=0.05)
    et0 = penman_monteith_mm(low, high, ra, 2.0, rs_mj=rs, ea_kpa=ea, wind_m_s=2.0,
                             soil_heat_mj=0.14)  # fmt: skip
    assert et0[0] == pytest.approx(5.72, abs=0.02)


def test_example_18_uccle_on_6_july() -> None:
    latitude = 50 + 48 / 60
    ra = radiation_mj(latitude, day(187))
    low, high, ea = np.array([12.3]), np.array([21.5]), np.array([1.409])
    rs = np.array([22.07])
    rn = net_radiation_mj(low, high, rs, ra, ea, 100.0)
    assert rn[0] == pytest.approx(13.28, abs=0.03)
    et0 = penman_monteith_mm(low, high, ra, 100.0, rs_mj=rs, ea_kpa=ea, wind_m_s=2.078)
    assert et0[0] == pytest.approx(3.88, abs=0.02)


def test_example_20_lyon_in_july_with_data_missing() -> None:
    latitude = 45 + 43 / 60
    ra = radiation_mj(latitude, day(196))
    low, high = np.array([14.8]), np.array([26.6])
    assert solar_mj(low, high, ra)[0] == pytest.approx(22.29, abs=0.05)
    assert penman_monteith_mm(low, high, ra, 200.0)[0] == pytest.approx(4.56, abs=0.02)


@pytest.mark.parametrize("latitude", [-43.5, 0.0, 34.7, 53.3])
def test_daylight_is_the_limit_of_hours_of_sun_without_obstacles(latitude: float) -> None:
    """FAO-56 equation 34 against the steps of the day with the sun up, refraction taken off."""
    from datetime import date

    from bedwright.climate import DAYS, Season, Site, day_of_year
    from bedwright.light.hours import STEP_MINUTES, STEPS, suns_of
    from bedwright.light.sun import refraction_deg

    site = Site("here", latitude, 0.0, 0.0)
    start = date(2027, 1, 1) if site.north else date(2027, 7, 1)
    still = np.zeros((1, DAYS))
    season = Season(site, start, still, still, still, "normals", "", (), 0.0, ())  # type: ignore[arg-type]
    elevation, _ = suns_of(season)
    up = (elevation - refraction_deg(elevation) > 0).reshape(DAYS, STEPS)
    hours = up.sum(axis=1) * STEP_MINUTES / 60
    expected = day_length_h(latitude, day_of_year(site), FLAT)
    assert np.abs(hours - expected).max() < 0.25
    assert abs((hours - expected).mean()) < 0.05
