"""How much water the bed wants, week by week: FAO-56's crop coefficients by the share of the ground
that leaves cover (FAO Irrigation and Drainage Paper 56, Rome 1998)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.climate import DAYS, Season, day_of_year, penman_monteith_mm, radiation_mj

Floats = NDArray[np.float64]


EFFECTIVE_RAIN = 0.75
"""Share of rain that the roots get; FAO's rule of thumb is 0.6 to 0.8 (from memory)."""

BARE_SOIL = 0.3
"""Crop coefficient of bare or just planted soil wetted now and then (FAO-56, table 12 gives 0.15
for dry bare soil and about 0.3 to 0.4 for an initial stage; from memory)."""

WATER_USE = {"low": 0.6, "medium": 0.85, "high": 1.05}
"""Crop coefficient of bedding in full leaf by thirst (estimate, within FAO-56's 0.4 to 1.15)."""

MULCH_SAVES = 0.5
"""Share of the bare soil's evaporation that a mulch over all of it saves (FAO-56, chapter 10: 5%
for each 10% of the surface under organic mulch; from memory)."""

MULCH_DAYS = 21
"""Days after the last planting at which the bed is mulched: the soil has warmed and the plants
stand clear of it (common practice, no source)."""


def crop_coefficient(cover: Floats, full: float, mulched: int) -> Floats:
    """(365,) coefficient of one planting from the share of the ground that it covers.

    ``cover``: (52,) by week; ``full``: coefficient in full leaf; ``mulched``: day from which the
    soil between the plants is mulched.  Bare soil and leaf are weighted by cover: FAO-56's dual
    coefficient (chapter 7) without its daily account of the wet surface.
    """
    days = np.arange(DAYS)
    share = np.interp(days, np.arange(len(cover)) * 7 + 3, cover)
    bare = np.where(days >= mulched, BARE_SOIL * (1.0 - MULCH_SAVES), BARE_SOIL)
    return np.asarray(bare * (1.0 - share) + full * share)


def weekly_water_mm(season: Season, coefficient: Floats) -> Floats:
    """(n, 52) water wanted beyond effective rain, mm a week, for each season.

    ``coefficient``: (365,) of the whole bed.
    """
    ra = radiation_mj(season.site.latitude, day_of_year(season.site))
    et0 = penman_monteith_mm(season.tmin_c, season.tmax_c, ra, season.site.altitude_m)
    need = coefficient * et0 - EFFECTIVE_RAIN * season.rain_mm
    weeks = need[:, :364].reshape(len(need), 52, 7).sum(axis=2)
    return np.asarray(np.maximum(weeks, 0.0))
