"""Sun position against pvlib's implementation of NREL's SPA, 1950 to 2100, 20 places."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pvlib
import pytest

from bedwright.geometry import outline_of
from bedwright.light import sun_position
from bedwright.light.hours import beam_w_m2, square_on
from conftest import brief_of

TOLERANCE_DEG = 0.05
RNG = np.random.default_rng(20270401)
PLACES = list(zip(RNG.uniform(-66, 70, 20), RNG.uniform(-180, 180, 20), strict=True))


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_a_century_and_a_half(latitude: float, longitude: float) -> None:
    seconds = np.sort(RNG.uniform(-631152000, 4102444800, 1500))
    times = pd.to_datetime(seconds, unit="s", utc=True)
    theirs = pvlib.solarposition.spa_python(
        times, latitude, longitude, altitude=0, pressure=101000, temperature=10
    )
    elevation, azimuth = sun_position(seconds, latitude, longitude)
    up = theirs.apparent_elevation.to_numpy() > 1.0
    high = np.abs(elevation - theirs.apparent_elevation.to_numpy())[up]
    across = np.abs((azimuth - theirs.azimuth.to_numpy() + 180) % 360 - 180)
    across = (across * np.cos(np.radians(elevation)))[up]
    worst = int(np.argmax(np.maximum(high, across)))
    assert high.max() < TOLERANCE_DEG, (times[up][worst], high.max())
    assert across.max() < TOLERANCE_DEG, (times[up][worst], across.max())


@pytest.mark.parametrize(("slope", "aspect"), [(0.0, 0.0), (0.2, 180.0), (0.5, 75.0), (1.0, 310.0)])
def test_the_sun_on_a_slope(slope: float, aspect: float) -> None:
    """Cosine of the angle of incidence against pvlib's, in a frame that lies askew."""
    azimuth, elevation = RNG.uniform(0, 360, 500), RNG.uniform(3, 85, 500)
    bed = {"shape": "circle", "diameter": "2 m", "bearing": 37, "slope": f"{slope:.0%}"}
    outline = outline_of(brief_of(bed={**bed, "aspect": aspect}).bed)
    turn = np.radians(azimuth - outline.bearing_deg)
    suns = np.column_stack([np.cos(turn), -np.sin(turn), np.tan(np.radians(elevation))])
    theirs = pvlib.irradiance.aoi_projection(
        np.degrees(np.arctan(slope)), aspect, 90 - elevation, azimuth
    )
    ours = square_on(elevation, suns, outline.rise)
    np.testing.assert_allclose(ours, np.maximum(theirs, 0.0), atol=1e-9)


def test_the_beam_of_a_clear_sky_is_near_pvlibs() -> None:
    """Against pvlib's Haurwitz and Ineichen-Perez skies (Linke turbidity 3, sea level)."""
    for elevation in (10.0, 20.0, 35.0, 50.0, 70.0):
        air = pvlib.atmosphere.get_relative_airmass(90 - elevation)
        sky = pvlib.clearsky.ineichen(90 - elevation, air, 3.0, altitude=0, dni_extra=1361.0)
        assert float(beam_w_m2(np.array([elevation]))[0]) == pytest.approx(sky["dni"], rel=0.12)
    assert beam_w_m2(np.array([-1.0, 0.0])).tolist() == [0.0, 0.0]
