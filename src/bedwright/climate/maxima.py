"""Maxima for a record that has minima alone, from the normals of its place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.ensemble import Weather, month_of_day
from bedwright.climate.exposure import LEAST_SD_C
from bedwright.climate.modelled import climate_at
from bedwright.facts import Fact

Floats = NDArray[np.floating]


@dataclass(frozen=True)
class MaximaModelled(Fact):
    """A record with few maxima or none: those missing are worked out from the normals."""

    record: str


DAY_WITH_NIGHT = 0.5
"""By how much a place's usual maximum differs from the normals' for each °C that its usual minimum
does (at 71 stations, month by month, 1.6 °C rms are left; 1.7 with none of it, 1.8 with all).  Days
move by the same share where their nights were seen, and where seasons are moved to stated freezes
(common practice, no source)."""

LEAST_DAYS = 60
"""Days of a month with both readings from which their own mean range is taken (estimate: two
years)."""


def with_maxima(weather: Weather, low: Floats, high: Floats, seed: int) -> NDArray[np.float64]:
    """(n, 365) maxima of growing years, those missing filled in.

    ``low``: (n, 365) minima without gaps; ``high``: maxima, nan where there are none.  The usual
    maximum is its month's mean range above the usual minimum where the record has that, else the
    normals' moved by DAY_WITH_NIGHT; days depart from it as the model's do: tied to the departure
    of the minimum, the rest a first-order autoregression.
    """
    climate = climate_at(weather)
    month = month_of_day(weather.site)
    usual = low.mean(axis=0)
    colder = usual - (climate.mean - climate.half)
    warmest = climate.mean + climate.half + DAY_WITH_NIGHT * colder
    for m in range(12):
        days = month == m
        apart = (high - low)[:, days]
        if (~np.isnan(apart)).sum() >= LEAST_DAYS:
            warmest[days] = usual[days] + np.nanmean(apart)
    fresh = np.random.default_rng([seed, 105]).standard_normal(low.shape)
    fresh[:, 1:] *= np.sqrt(1.0 - climate.lag**2)
    for day in range(1, fresh.shape[1]):
        fresh[:, day] += climate.lag * fresh[:, day - 1]
    tied = (low - usual) / np.maximum(low.std(axis=0), LEAST_SD_C)
    departure = climate.cross * tied + np.sqrt(1.0 - climate.cross**2) * fresh
    worked = warmest + climate.spread * departure
    return np.asarray(np.where(np.isnan(high), np.maximum(worked, low + 0.3), high))
