"""Length of the day against astral, a general library of sun and moon times."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from astral import Observer
from astral.sun import dawn, dusk, sunrise, sunset

from bedwright.climate.daylight import ALMANAC, CIVIL, day_length_h

YEAR = date(2026, 1, 1)


@pytest.mark.parametrize("latitude", [-50.0, -33.9, -5.0, 0.0, 20.0, 34.7, 45.0, 53.3, 60.0])
@pytest.mark.parametrize("below", [ALMANAC, CIVIL])
def test_every_tenth_day_agrees_to_minutes(latitude: float, below: float) -> None:
    rise, fall = (sunrise, sunset) if below == ALMANAC else (dawn, dusk)
    days = np.arange(0, 365, 10)
    ours = day_length_h(latitude, days, below)
    spot = Observer(latitude, 0.0, 0.0)
    for day, hours in zip(days.tolist(), ours, strict=True):
        when = YEAR + timedelta(days=day)
        try:
            begun, ended = rise(spot, when), fall(spot, when)
        except ValueError:
            # No night dark enough at midsummer.
            assert hours > 23.4
            continue
        span = (ended - begun).total_seconds() / 3600 % 24
        assert hours == pytest.approx(span, abs=0.05 if span < 20 else 0.1), when


def test_polar_day_and_night() -> None:
    assert day_length_h(75.0, np.array([171]))[0] == 24.0
    assert day_length_h(75.0, np.array([354]))[0] == 0.0
    assert day_length_h(90.0, np.array([171]))[0] == 24.0
    assert day_length_h(-90.0, np.array([171]))[0] == 0.0
