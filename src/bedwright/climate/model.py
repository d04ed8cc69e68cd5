"""Monthly normals to daily minima and maxima.

A day's minimum is the monthly mean, less the half range of the day, plus a departure that follows
a first-order autoregression (AR(1)); the maximum likewise, its departures tied to the minimum's.
Below the tenth coldest night the departures are stretched or shortened: minima of mild places have
short cold tails, those of places that cold waves reach long ones.  Half range, spread, tail and
persistence are regressed on what the world grid gives; the coefficients and the errors of regions
left out come from ``tools/fit_minimum_model.py``.

What matters most, when the freezes fall, is then set right by itself: at some thousand stations
whose freezes are published or on record, the degrees by which the modelled minima must move in
spring and in autumn for their odds to agree were regressed on the surroundings of the place.

No predictor acts beyond the range that it was fitted on.  How far a place lies outside, and how
wrong regions left out came, is the doubt about the dates; it is stated beside the odds and is not
part of them.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.climate.ensemble import MONTH_DAYS
from bedwright.climate.normals import Normals

MID_MONTH = np.array([15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5])
"""Day of the year, counted from 0, at the middle of each month."""

MID_CONTRAST = (-4.0, 14.0)
"""Temperature contrasts beyond this count as this: seas and ice caps reach any figure."""

MOST_ROUGH_M = 600.0
"""Roughness, and height above the land about or below it, beyond which there are few stations."""

WARM_C = 9.0
"""Mean temperature whose crossing marks where in the year the shoulder of the season lies."""


class Regression(NamedTuple):
    """A linear regression on named predictors, each held within the range that it was fitted on.

    ``low``, ``high``: that range; ``error``: standard error at regions left out.
    """

    predictors: tuple[str, ...]
    coefficients: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    error: tuple[float, ...]

    def at(self, values: Mapping[str, NDArray[np.float64] | float]) -> NDArray[np.float64]:
        """What it gives; ``values``: numbers or arrays of one shape by the predictor's name."""
        columns = np.broadcast_arrays(*(values[name] for name in self.predictors))
        inside = np.clip(np.stack(columns, axis=-1), self.low, self.high)
        return np.asarray(inside @ self.coefficients)

    def outside(self, values: Mapping[str, NDArray[np.float64] | float]) -> float:
        """How far the predictors lie outside their ranges, in widths of them, added up."""
        x = np.array([float(values[name]) for name in self.predictors])
        beyond = np.maximum(np.maximum(self.low - x, x - self.high), 0.0)
        return float((beyond / np.maximum(self.high - self.low, 1e-9)).sum())


@cache
def fitted() -> dict[str, Regression]:
    """Every regression by name: ``half_range_c``, ``sd_c``, ``tail``, ``lag``, ``cross``,
    ``spring_c`` and ``autumn_c``."""
    text = files("bedwright.climate").joinpath("data/minimum_model.json").read_text()
    return {
        name: Regression(
            predictors=tuple(found["predictors"]),
            coefficients=np.array(found["coefficients"], float),
            low=np.array(found["low"], float),
            high=np.array(found["high"], float),
            error=tuple(found["error"]),
        )
        for name, found in json.loads(text).items()
        if isinstance(found, dict)
    }


def forget() -> None:
    """Read the coefficients anew at the next call (for the fitting script)."""
    fitted.cache_clear()


def monthly_predictors(latitude: float, normals: Normals) -> dict[str, NDArray[np.float64] | float]:
    """Predictors of the daily range, spread, tail and persistence: numbers, or (12,), January
    first.

    Months are turned half a year in the south, so that the seasons agree.
    """
    land = normals.terrain
    angle = 2 * np.pi * (np.arange(12) - (0 if latitude >= 0 else 6)) / 12
    cos, sin = np.cos(angle), np.sin(angle)
    mean, rain = np.array(normals.mean_c) / 10.0 - 1.0, np.array(normals.rain_mm)
    poleward, swing = abs(latitude) / 45.0 - 1.0, normals.swing_c / 20.0 - 1.0
    dry, wet = np.log((rain + 10.0) / 80.0), float(np.log((rain.sum() + 100.0) / 900.0))
    height = max(normals.altitude_m, 0.0) / 1000.0
    contrast = np.clip(np.array(normals.contrast_c), *MID_CONTRAST) / 8.0
    cold_land = np.array(normals.cold_land_c) / 15.0
    return {
        "one": 1.0,
        "poleward": poleward,
        "poleward2": poleward**2,
        "swing": swing,
        "dry": dry,
        "dry2": dry**2,
        "wet": wet,
        "height": height,
        "mean": mean,
        "mean2": mean**2,
        "freezing": np.minimum(mean + 1.0, 0.0),
        "cos": cos,
        "sin": sin,
        "contrast": contrast,
        "contrast2": contrast**2,
        "cold_land": cold_land,
        "near": land.near,
        "near_root": float(np.sqrt(land.near)),
        "wide": land.wide,
        "west": land.west,
        "east": land.east,
        "rough": min(land.rough_m, MOST_ROUGH_M) / 1000.0,
        "relief": float(np.clip(land.relief_m, -MOST_ROUGH_M, MOST_ROUGH_M)) / 1000.0,
        "swing_cos": swing * cos,
        "swing_sin": swing * sin,
        "dry_cos": dry * cos,
        "dry_sin": dry * sin,
        "dry_mean": dry * mean,
        "wet_mean": wet * mean,
        "mean_cos": mean * cos,
        "mean_sin": mean * sin,
        "height_mean": height * mean,
        "height_dry": height * dry,
        "near_cos": land.near * cos,
        "near_sin": land.near * sin,
        "near_swing": land.near * swing,
        "near_cold_land": land.near * cold_land,
    }


def shoulder_predictors(latitude: float, normals: Normals, spring: bool) -> dict[str, float]:
    """Predictors of the correction at the frosty end of spring or autumn."""
    mean, rain, land = np.array(normals.mean_c), np.array(normals.rain_mm), normals.terrain
    through = through_year(mean, np.arange(365))
    start = int(np.argmin(through) if spring else np.argmax(through))
    days = (start + np.arange(200)) % 365
    past = through[days] >= WARM_C if spring else through[days] <= WARM_C
    at = int(days[np.argmax(past)]) if past.any() else int(np.argmin(through))
    here = np.array([at])

    def then(values: NDArray[np.float64]) -> float:
        return float(through_year(values, here)[0])

    wet = float(np.log((rain.sum() + 100.0) / 900.0))
    cold = float(mean.min()) / 10.0 - 0.5
    cold_land = np.array(normals.cold_land_c) / 15.0
    in_winter = float(cold_land[int(np.argmin(mean))])
    return {
        "one": 1.0,
        "poleward": abs(latitude) / 45.0 - 1.0,
        "swing": normals.swing_c / 20.0 - 1.0,
        "height": max(normals.altitude_m, 0.0) / 1000.0,
        "wet": wet,
        "dry_then": float(np.log((max(then(rain), 0.0) + 10.0) / 80.0)),
        "pace": float(through[(at + 15) % 365] - through[(at - 15) % 365]) / 3.0,
        "contrast": then(np.clip(np.array(normals.contrast_c), *MID_CONTRAST)) / 8.0,
        "cold": cold,
        "freezing": min(cold, 0.0),
        "cold_land": in_winter,
        "cold_land2": in_winter**2,
        "cold_land_then": then(cold_land),
        "shore": min(land.shore, 0.2) / 0.2,
        "near": land.near,
        "wide": land.wide,
        "west": land.west,
        "east": land.east,
        "rough": min(land.rough_m, MOST_ROUGH_M) / 1000.0,
        "relief": float(np.clip(land.relief_m, -MOST_ROUGH_M, MOST_ROUGH_M)) / 1000.0,
        "near_wet": land.near * wet,
        "near_cold_land": land.near * in_winter,
    }


def monthly(name: str, latitude: float, normals: Normals) -> NDArray[np.float64]:
    """(12,) regressed ``half_range_c``, ``sd_c``, ``tail``, ``lag`` or ``cross``."""
    low, high = LIMITS[name]
    found = fitted()[name].at(monthly_predictors(latitude, normals))
    return np.clip(np.broadcast_to(found, (12,)), low, high)


LIMITS = {
    "half_range_c": (1.2, 15.0),
    "sd_c": (1.2, 8.0),
    "tail": (0.55, 1.4),
    "lag": (0.3, 0.85),
    "cross": (0.0, 0.95),
}
"""What each is held within: about the extremes of the stations fitted."""


OFFSET_RANGE_C = (-5.0, 4.0)
"""The range of the corrections at all but a few of the stations fitted."""

FROSTLESS_C = (17.0, 21.0)
"""Mean of the coldest month between which the correction fades: 99% of the stations with a freeze
in most years lie below the first, all below the second."""

TROPICS_DEG = (15.0, 25.0)
"""Latitudes between which the correction fades: no station nearer the equator was fitted but
frostless ones."""


@dataclass(frozen=True, slots=True)
class Correction:
    """Degrees C by which cold nights move so that freezes fall as at stations like this.

    ``error_c``: standard error of it; ``untried``: how far its surroundings lie outside those of
    the stations, in widths of their range.
    """

    offset_c: float
    error_c: float
    untried: float


NO_CORRECTION = Correction(0.0, 0.0, 0.0)


def correction_of(latitude: float, normals: Normals, spring: bool) -> Correction:
    """The correction in spring or autumn, fading to nothing in places warmer than any station with
    freezes."""
    found = fitted()["spring_c" if spring else "autumn_c"]
    values = shoulder_predictors(latitude, normals, spring)
    raw = float(np.clip(found.at(values), *OFFSET_RANGE_C))
    level, rough = found.error
    untried = found.outside(values)
    return Correction(
        raw * frosty(latitude, normals),
        (level + rough * values["rough"]) * (1.0 + untried),
        untried,
    )


def frosty(latitude: float, normals: Normals) -> float:
    """1 where the correction holds, 0 where the coldest month is too warm for any freeze, or in the
    tropics, whose mountains no fitted station is like."""
    (warm, hot), (near, far) = FROSTLESS_C, TROPICS_DEG
    cold = np.clip((hot - min(normals.mean_c)) / (hot - warm), 0.0, 1.0)
    return float(cold * np.clip((abs(latitude) - near) / (far - near), 0.0, 1.0))


def through_year(values: NDArray[np.float64], day: NDArray[np.int64]) -> NDArray[np.float64]:
    """Monthly values (12,) at days of the year ``day`` (counted from 0), by periodic lines.

    The monthly means are first stretched so that the mean of the line over a month returns them
    (one step of the usual correction).
    """
    year = np.arange(365)
    ends = list(accumulate(MONTH_DAYS, initial=0))

    def line(knots: NDArray[np.float64], at: NDArray[np.int64]) -> NDArray[np.float64]:
        return np.asarray(np.interp(at, MID_MONTH, knots, period=365))

    knots = values.astype(float)
    for _ in range(3):
        got = line(knots, year)
        averages = np.array([got[first:end].mean() for first, end in pairwise(ends)])
        knots = knots + (values - averages)
    return line(knots, day % 365)


@dataclass(frozen=True)
class Climate:
    """The model of one place: arrays through the days of its growing year, degrees C.

    ``mean``, ``half``, ``spread``: (days,) mean, half range and spread of minima; ``tail``: (days,)
    length of the coldest tenth's departures, 1 as in a normal law; ``lag``, ``cross``: correlations
    from day to day and of minimum with maximum; ``shoulder``: (days,) 1 in spring falling to 0 in
    autumn; ``spring``, ``autumn``: corrections of cold nights.
    """

    mean: NDArray[np.float64]
    half: NDArray[np.float64]
    spread: NDArray[np.float64]
    tail: NDArray[np.float64]
    lag: float
    cross: float
    shoulder: NDArray[np.float64]
    spring: Correction
    autumn: Correction

    @property
    def cold_night(self) -> NDArray[np.float64]:
        """(days,) minimum of a cold night, LEAN_SDS below the mean one."""
        low = self.mean - self.half - LEAN_SDS * self.spread
        return np.asarray(low + self.blend(self.spring.offset_c, self.autumn.offset_c))

    def uncorrected(self, low: NDArray[np.float64]) -> NDArray[np.float64]:
        """(n, days) minima from standardised departures ``low``, before any correction."""
        out = low - TAIL_SDS  # worked on in place: new memory costs as much as the sums
        out *= self.tail
        out += TAIL_SDS
        np.copyto(out, low, where=low >= TAIL_SDS)
        out *= self.spread
        out += self.mean - self.half
        return out

    def minima(self, low: NDArray[np.float64]) -> NDArray[np.float64]:
        """(n, days) minima from standardised departures ``low``."""
        out = lean_of(low)
        out *= self.blend(self.spring.offset_c, self.autumn.offset_c)
        out += self.uncorrected(low)
        return out

    def blend(self, spring: float, autumn: float) -> NDArray[np.float64]:
        """A figure of spring turning into one of autumn through the summer."""
        return np.asarray(spring * self.shoulder + autumn * (1.0 - self.shoulder))


TAIL_SDS = -1.2816
"""Departure of the tenth coldest night of a hundred, below which the tail begins."""

LEAN_SDS = 1.0
"""Standard deviations below the mean from which a night is cold in full (estimate; last freezes lie
about there and below)."""

LEAST_LEAN = 0.05
"""What the mildest nights move of a correction."""


def lean_of(low: NDArray[np.float64]) -> NDArray[np.float64]:
    """What nights move of a correction: those of LEAN_SDS and more below the mean all of it, warmer
    ones in proportion: clear calm nights fall farther than cloudy ones keep warm."""
    out = low / -LEAN_SDS
    return np.clip(out, LEAST_LEAN, 1.0, out=out)


def climate_of(
    latitude: float,
    normals: Normals,
    day: NDArray[np.int64],
    split: int,
    correct: bool = True,
    turn: int = 0,
) -> Climate:
    """The fitted model at a place.

    ``day``: consecutive days of the year, counted from 0 and running past 364 where a season does;
    ``split``: index at which spring turns to autumn; ``correct``: whether minima are moved to where
    freezes fall at the stations fitted (False only while fitting); ``turn``: as in
    ``spring_share``.
    """

    def daily(name: str) -> NDArray[np.float64]:
        return through_year(monthly(name, latitude, normals), day)

    corrections = [
        correction_of(latitude, normals, side) if correct else NO_CORRECTION
        for side in (True, False)
    ]
    return Climate(
        mean=through_year(np.array(normals.mean_c), day),
        half=daily("half_range_c"),
        spread=daily("sd_c"),
        tail=daily("tail"),
        lag=float(monthly("lag", latitude, normals).mean()),
        cross=float(monthly("cross", latitude, normals).mean()),
        shoulder=spring_share(len(day), split, turn),
        spring=corrections[0],
        autumn=corrections[1],
    )


def spring_share(days: int, split: int, turn: int = 0) -> NDArray[np.float64]:
    """(days,) 1 in spring, 0 in autumn; lines between of 90 days about midsummer, and of 30 about
    midwinter.

    ``turn``: day of midwinter, from which ``split`` counts.
    """
    at = (np.arange(days) - turn) % days
    summer = np.clip((at - (split - 45)) / 90.0, 0.0, 1.0)
    winter = np.minimum(at, days - at)  # days from midwinter, on either side
    over = np.clip((15.0 - winter) / 30.0, 0.0, 0.5)
    return np.asarray(np.where(at < split, 1.0 - summer - over, 1.0 - summer + over))


def departures(
    climate: Climate, count: int, rng: np.random.Generator
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Standardised departures of minima and maxima, each (count, days): AR(1), tied by cross."""
    days = len(climate.mean)
    shocks = rng.standard_normal((2, days, count))
    fresh = np.sqrt(1.0 - climate.lag**2)
    shocks[:, 1:] *= fresh
    for t in range(1, days):
        shocks[:, t] += climate.lag * shocks[:, t - 1]
    low, other = shocks[0].T, shocks[1].T
    other *= np.sqrt(1.0 - climate.cross**2)
    other += climate.cross * low
    return low, other


def simulate(
    climate: Climate, count: int, seed: int
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Daily minima and maxima, each (count, days), degrees C, at the best estimate of the model."""
    low, high = departures(climate, count, np.random.default_rng([seed, 101]))
    tmin = climate.minima(low)
    high *= climate.spread
    high += climate.mean + climate.half
    np.maximum(high, tmin + 0.3, out=high)
    return tmin.astype(np.float32), high.astype(np.float32)
