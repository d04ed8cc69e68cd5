"""Where the growing year of a place turns over: in midwinter, or in the middle of the hot season.

In most places winter parts one growing year from the next.  Where winter is a season of flowers
and summer's heat ends many of them, a year that turned over in midwinter would cut their season in
two; there it turns over at midsummer, so that the cool season lies whole in one growing year.
Gardeners there see it so: in Florida cool-season annuals go out in autumn and end as summer begins
(S. P. Brown, Gardening with Annuals in Florida, CIR1134, University of Florida, read in an
excerpt).

It is settled by the normals alone, once, before any weather is simulated.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from bedwright.climate.frost import HARD_FREEZE_C, SPLIT
from bedwright.climate.model import climate_of, monthly
from bedwright.climate.normals import Normals

RARE_NIGHTS = 0.25
"""Nights of a hard freeze in a usual winter below which flowers go on through it: cool-season kinds
stand lighter frosts (estimate: fewer than one such night in four winters)."""

HOT_C = 28.0
"""Usual daily maximum of the hottest month from which the heat stops cool-season flowers: the limit
of most kinds of the catalogue that heat ends (a test holds the two together)."""

MILD_C = 14.0
"""Mean of the coldest month from which beds flower on through it, and not in spring and summer
alone (estimate: Brisbane and Hong Kong have more, Perth and Lisbon less)."""

LEAST_SWING_C = 3.0
"""Warmest month less coldest below which there is no cool season (estimate; Köppen calls places
with less than 5 °C isothermal, from memory)."""

NOVEMBER_TO_APRIL = np.array([10, 11, 0, 1, 2, 3])
MAY_TO_OCTOBER = np.arange(4, 10)


@lru_cache(maxsize=256)
def turn_in_heat(latitude: float, normals: Normals, mild: bool = False) -> int | None:
    """Month, 1 or 7, on whose first day the growing year of a place begins that turns over in the
    hot season; None where it turns over in midwinter.

    ``mild``: hard freezes are known to be rare.
    """
    hottest = np.array(normals.mean_c) + monthly("half_range_c", latitude, normals)
    if hottest.max() < HOT_C or min(normals.mean_c) < MILD_C or normals.swing_c < LEAST_SWING_C:
        return None
    if not mild and nights_at(HARD_FREEZE_C, latitude, normals) >= RARE_NIGHTS:
        return None
    mean = np.array(normals.mean_c)
    return 7 if mean[NOVEMBER_TO_APRIL].mean() < mean[MAY_TO_OCTOBER].mean() else 1


def nights_at(celsius: float, latitude: float, normals: Normals) -> float:
    """Expected nights a year with a minimum at or below a temperature, by the model itself."""
    north = latitude >= 0
    days = np.arange(365)
    climate = climate_of(latitude, normals, days + (0 if north else 181), SPLIT[north])
    departure = np.linspace(-6.0, 6.0, 1201)
    weight = np.exp(-(departure**2) / 2.0)
    minima = climate.minima(np.broadcast_to(departure[:, None], (len(departure), len(days))))
    return float((weight / weight.sum()) @ (minima <= celsius).sum(axis=1))
