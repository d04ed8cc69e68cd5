"""The lag of the soil behind the air against measured soils.

A. F. G. Jacobs, B. G. Heusinkveld and A. A. M. Holtslag, Long-term record and analysis of soil
temperatures and soil heat fluxes in a grassland area, The Netherlands, 2011 (27 years, five
depths): damping depths of 1.80 m for the wave of the year and 0.10 m for that of the day; read in a
copy of the abstract.
"""

from __future__ import annotations

import numpy as np

from bedwright.climate import DAYS, soil_temperature

YEAR_M, DAY_M, DEPTH_M = 1.80, 0.10, 0.10


def lag_and_share(period_days: float) -> tuple[float, float]:
    """Days by which our soil follows a wave, and the share of its height that is left."""
    days = np.arange(3 * DAYS)
    air = np.sin(2 * np.pi * days / period_days)[None]
    soil = soil_temperature(air)[0, DAYS:]
    left = soil @ np.exp(-2j * np.pi * days[DAYS:] / period_days)
    kept = air[0, DAYS:] @ np.exp(-2j * np.pi * days[DAYS:] / period_days)
    ratio = left / kept
    return -float(np.angle(ratio)) * period_days / (2 * np.pi), float(abs(ratio))


def test_the_year_reaches_our_soil_later_than_by_conduction_alone() -> None:
    """Late by some days: sowing then errs toward warm soil, never toward cold."""
    lag, share = lag_and_share(365.0)
    conducted = DEPTH_M / YEAR_M * 365 / (2 * np.pi)  # 3.2 days
    assert conducted < lag < conducted + 6
    assert share > 0.97


def test_a_week_of_weather_reaches_it_calmed() -> None:
    lag, share = lag_and_share(14.0)
    by_conduction = np.exp(-DEPTH_M / (DAY_M * np.sqrt(14.0)))
    assert share < by_conduction
    assert 0 < lag < 7
