"""Fit the model that turns monthly normals into daily minima and maxima.

Usage: ``python tools/fit_minimum_model.py FOLDER [--keep]``

FOLDER holds what may not be passed on with the project:

- ``daily/`` (``stations.csv`` with station, lat, lon, elev_m; a ``STATION.csv[.gz]`` of date,
  tmin_c, tmax_c each; maxima may be missing): series of daily readings;
- ``monthly-range.csv`` (station, lat, lon, elev_m, month, daily_range_long_term_c,
  min_of_month_c, max_of_month_c);
- ``world-range.csv.gz`` (lon, lat, tmin_1 ... tmin_12, tmax_1 ... tmax_12): mean daily minima and
  maxima at points of the world.

``tests/outside/data`` holds what may: ``freeze_dates_us.csv`` (NCEI), ``uk_air_frost.csv`` (Met
Office) and ``frost_world.csv`` (nights of frost and mean dates elsewhere), each with its terms.
Coefficients and errors alone are written, to ``src/bedwright/climate/data/minimum_model.json``, and
only with ``--keep``; what the new fit moves at towns of the world is printed either way.

First, by ridge regression on what the world grid gives (``monthly_predictors``): the half range of
the day at world points and stations, and from the stations the standard deviation of minima, the
length of their cold tail, and the correlations from day to day and of minima with maxima.  Then, at
each station with freezes, the degrees by which the modelled minima must move for the odds of a
freeze to be those on record, regressed on ``shoulder_predictors``, spring and autumn apart; a
station where few years freeze bounds them.  Errors are those of regions left out whole (boxes of 6
by 8 degrees, in eight parts), all steps fitted without them; their freeze dates are held against
the published ones last.

The fit shipped was made on 75 daily series (Trentino, Klein-Altendorf, William Head, Australia, the
Netherlands, eight European cities, Algiers, Temuco), 45 stations' monthly ranges, 7,200 points of
the world, 1,133 stations of NCEI's, 11 of the Met Office's and 34 places of other services.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from itertools import accumulate
from pathlib import Path

import numpy as np
from scipy.spatial import cKDTree
from scipy.special import ndtri

from bedwright.climate import MONTH_DAYS, all_towns, model
from bedwright.climate.frost import HALVES, NEVER, SPLIT, first_autumn, last_spring, usable
from bedwright.climate.model import climate_of, lean_of, monthly_predictors, shoulder_predictors
from bedwright.climate.normals import NoClimateError, Normals, normals_at
from bedwright.climate.record import month_of
from stations import read_table, series_of

ROOT = Path(__file__).resolve().parents[1]
OUT = ROOT / "src/bedwright/climate/data/minimum_model.json"
KEPT = ROOT / "tests/outside/data"

PARTS, SEASONS, RECENT_YEARS = 8, 400, 30
"""Parts of the regions left out in turn; seasons simulated; years of a series that are used."""

LEAST_DAYS = 60
"""Days of a calendar month from which its moments are taken."""

CROWD, WORLD_SHARE, OUTSIDE_US = 0.8, 20.0, 4.0
"""Power of a region's crowd by which its stations count less; weight of a station beside a point of
the world; of a station outside the United States beside one within."""

DOUBTFUL_DAYS = 330
"""Season from which NCEI's freeze dates seem to be of the years that freeze alone: left out."""

PREDICTORS = {
    "half_range_c": tuple(monthly_predictors(40.0, normals_at(40.0, -100.0))),
    "sd_c": ("one", "poleward", "swing", "dry", "wet", "height", "mean", "cos", "sin", "swing_cos",
             "contrast", "near", "wide", "west", "rough", "cold_land"),
    "tail": ("one", "swing", "dry", "mean", "cos", "sin", "near", "cold_land"),
    "lag": ("one", "swing", "cos", "near", "cold_land"),
    "cross": ("one", "swing", "cos", "near", "cold_land"),
    "spring_c": tuple(shoulder_predictors(40.0, normals_at(40.0, -100.0), True)),
    "autumn_c": tuple(shoulder_predictors(40.0, normals_at(40.0, -100.0), False)),
}  # fmt: skip
RIDGE = {"half_range_c": 20.0, "sd_c": 5.0, "tail": 5.0, "lag": 5.0, "cross": 5.0, "spring_c": 50.0,
         "autumn_c": 50.0}  # fmt: skip
BOUNDS = (0.01, 0.99)
"""Quantiles of the fitted predictors beyond which none acts."""


@dataclass
class Place:
    """A place with normals and what is known of its minima.

    ``moments``: (12,) by name of the monthly regressions, nan where unknown; ``spring``,
    ``autumn``: (day of the growing year, odds of a freeze on or after it; on or before it);
    ``most``: share of years with a freeze that it has at most, where that is all that is known;
    ``nights``: mean nights with a freeze a year;
    ``median``, ``tenth``: the day of the last freeze at odds of a half and a tenth; ``share``: of
    years with a freeze in spring.
    """

    name: str
    latitude: float
    longitude: float
    normals: Normals
    group: str
    moments: dict[str, np.ndarray] = field(default_factory=dict)
    spring: list[tuple[float, float]] = field(default_factory=list)
    autumn: list[tuple[float, float]] = field(default_factory=list)
    most: float | None = None
    nights: float | None = None
    median: float | None = None
    tenth: float | None = None
    share: float | None = None

    @property
    def region(self) -> tuple[int, int]:
        """Box of 6 by 8 degrees."""
        return int(self.latitude // 6), int(self.longitude // 8)

    @property
    def north(self) -> bool:
        """Whether it lies on or north of the equator."""
        return self.latitude >= 0


MOST_KM = 10.0
"""How far off a town may lie whose height stands for a station's."""


@cache
def _towns() -> tuple[cKDTree, np.ndarray]:
    """Towns of known height on a ball of the earth's size, km; their heights, m."""
    known = [town for town in all_towns() if town.altitude_m is not None]
    spots = [_on_ball(town.latitude, town.longitude) for town in known]
    return cKDTree(spots), np.array([town.altitude_m for town in known])


def _on_ball(latitude: float, longitude: float) -> tuple[float, float, float]:
    lat, lon = np.radians([latitude, longitude])
    km = 6371.0
    return km * np.cos(lat) * np.cos(lon), km * np.cos(lat) * np.sin(lon), km * np.sin(lat)


def town_height(latitude: float, longitude: float) -> float | None:
    """Height of the nearest town, m; None where none is near."""
    tree, heights = _towns()
    far, at = tree.query(_on_ball(latitude, longitude))
    return float(heights[at]) if far <= MOST_KM else None


def place(name: str, group: str, lat: str, lon: str, height: str = "") -> Place | None:
    """A place, or None where the grid has no land; a station whose height is not given has that of
    the next town."""
    known = float(height) if height else None
    if known is None and group != "point":
        known = town_height(float(lat), float(lon))
    try:
        normals = normals_at(float(lat), float(lon), known)
    except NoClimateError:
        return None
    return Place(name, float(lat), float(lon), normals, group)


def world_points(folder: Path) -> Iterator[Place]:
    """Points of the world with the half range of their days."""
    for row in read_table(folder / "world-range.csv.gz"):
        at = place("", "point", row["lat"], row["lon"])
        if at is not None and at.latitude > -60:
            low, high = (
                np.array([float(row[f"{name}_{month}"]) for month in range(1, 13)])
                for name in ("tmin", "tmax")
            )
            at.moments["half_range_c"] = (high - low) / 2
            yield at


def us_stations() -> Iterator[Place]:
    """NCEI's stations."""
    for row in read_table(KEPT / "freeze_dates_us.csv"):
        at = place(row["station"], "us", row["lat"], row["lon"], row["elev_m"])
        if at is None or row["last_spring"] == "all-year":
            continue
        if row["last_spring"] in ("none", "") or row["season_days"] in ("365", ""):
            at.most = 0.5
            yield at
            continue
        spring = growing_day(row["last_spring"])
        if int(row["season_days"]) >= DOUBTFUL_DAYS or spring < 5:
            continue
        at.median, at.spring = spring, [(spring, 0.5)]
        if row["first_autumn"] not in ("", "none"):
            autumn = growing_day(row["first_autumn"])
            at.autumn = [(autumn, 0.5)] if autumn > 150 else []
        yield at


def growing_day(text: str) -> float:
    """Day of the year of a month and day; before its start where it lies in December."""
    month, day = (int(part) for part in text.split("-"))
    found = (date(2001, month, min(day, 28) if month == 2 else day) - date(2001, 1, 1)).days
    return found - 365 if found > 355 else found


MONTH_STARTS = np.array([0, *accumulate(MONTH_DAYS)])


def uk_stations(use: str) -> Iterator[Place]:
    """The Met Office's stations of one use, with odds by month."""
    rows = [row for row in read_table(KEPT / "uk_air_frost.csv") if row["use"] == use]
    for name in dict.fromkeys(row["station"] for row in rows):
        own = sorted((r for r in rows if r["station"] == name), key=lambda r: int(r["month"]))
        at = place(name, "uk", own[0]["lat"], own[0]["lon"], own[0]["elev_m"])
        assert at is not None, name
        low, frosts, share = (
            np.array([float(r[key]) for r in own])
            for key in ("tmin_c", "frost_days", "share_from_or_to")
        )
        odds = frosts / np.diff(MONTH_STARTS)
        with np.errstate(divide="ignore"):
            sd = np.where((odds > 0.03) & (odds < 0.35), low / -ndtri(odds), np.nan)
        at.moments = {"half_range_c": np.array(at.normals.mean_c) - low, "sd_c": sd}
        days, springs = MONTH_STARTS[:7], np.clip(share[:7], 0.01, 0.99)
        at.spring = [(d, o) for d, o in zip(days, share[:7], strict=True) if 0.03 < o < 0.97]
        at.autumn = [
            (d - 1, o) for d, o in zip(MONTH_STARTS[8:], share[7:], strict=True) if 0.03 < o < 0.97
        ]
        at.share = float(share[0])
        at.median, at.tenth = (
            float(np.interp(-ndtri(odds), -ndtri(springs), days))
            if springs.min() < odds < springs.max()
            else None
            for odds in (0.5, 0.1)
        )
        yield at


def world_stations(use: str) -> Iterator[Place]:
    """Places of the world with nights of frost or mean dates."""
    rows = [row for row in read_table(KEPT / "frost_world.csv") if row["use"] == use]
    for name in dict.fromkeys(row["place"] for row in rows):
        own = {row["measure"]: row for row in rows if row["place"] == name}
        first = next(iter(own.values()))
        at = place(name, "world", first["lat"], first["lon"], first["elev_m"])
        if at is None:
            continue
        if "days_frost_year" in own:
            at.nights = max(float(own["days_frost_year"]["value"]), 0.05)
        if "mean_last" in own:
            at.median = growing_day(own["mean_last"]["value"])
            at.spring = [(at.median, 0.5)]
        if "mean_first" in own:
            at.autumn = [(growing_day(own["mean_first"]["value"]), 0.5)]
        yield at


def daily_stations(folder: Path) -> Iterator[Place]:
    """Places with series of daily readings: their moments and freezes."""
    for row in read_table(folder / "stations.csv"):
        at = place(row["station"], "daily", row["lat"], row["lon"], row["elev_m"])
        assert at is not None, row["station"]
        lines = read_table(series_of(folder, row["station"]))
        kept = [(r["date"], r["tmin_c"], r.get("tmax_c") or "nan") for r in lines if r["tmin_c"]]
        dates = np.array([d for d, _, _ in kept], "datetime64[D]")
        low, high = (np.array([float(r[n]) for r in kept]) for n in (1, 2))
        recent = dates > dates[-1] - np.timedelta64(RECENT_YEARS * 365, "D")
        at.moments = moments(at, dates[recent], low[recent], high[recent])
        set_freezes(at, growing_years(dates[recent], low[recent], at.north))
        yield at


def moments(at: Place, dates, low, high) -> dict[str, np.ndarray]:
    """Half range, spread, cold tail and correlations of each calendar month."""
    month = month_of(dates)
    found = {name: np.full(12, np.nan) for name in model.LIMITS}
    for m in range(12):
        here = month == m
        if here.sum() < LEAST_DAYS:
            continue
        cold = low[here] - low[here].mean()
        sd = float(cold.std())
        quantiles = np.quantile(cold / sd, [0.01, 0.02, 0.1])
        normal = ndtri([0.01, 0.02, 0.1])
        found["half_range_c"][m] = at.normals.mean_c[m] - low[here].mean()
        found["sd_c"][m] = sd
        found["tail"][m] = np.mean((quantiles[:2] - quantiles[2]) / (normal[:2] - normal[2]))
        follow = np.diff(dates[here]).astype(int) == 1
        found["lag"][m] = (cold[1:] * cold[:-1])[follow].mean() / sd**2
        both = ~np.isnan(high[here])
        if both.sum() >= LEAST_DAYS:
            found["cross"][m] = np.corrcoef(cold[both], high[here][both])[0, 1]
    return found


def growing_years(dates, low, north: bool) -> np.ndarray:
    """(years, 365) minima of growing years, nan where missing; 29 February left out."""
    kept = np.array([not str(day).endswith("02-29") for day in dates])
    dates, low = dates[kept], low[kept]
    year = dates.astype("datetime64[Y]").astype(int) + 1970
    month = month_of(dates)
    day = (dates - dates.astype("datetime64[M]")).astype(int)
    index = MONTH_STARTS[month] + np.minimum(day, np.diff(MONTH_STARTS)[month] - 1)
    label = year if north else year - (month < 6)
    rows = np.full((label.max() - label.min() + 1, 365), np.nan)
    rows[label - label.min(), index if north else (index - 181) % 365] = low
    return rows


def set_freezes(at: Place, years: np.ndarray) -> None:
    """What a record says of the freezes of a place."""
    halves = HALVES[at.north]
    last = last_spring(years[usable(years, 0.0, True, halves)], 0.0, halves)
    first = first_autumn(years[usable(years, 0.0, False, halves)], 0.0, halves)
    if len(last) < 4:
        return
    at.share = float((last != NEVER).mean())
    if at.share > 0.2:
        at.tenth = float(np.quantile(last, 0.9, method="median_unbiased"))
    if at.share > 0.6:
        at.median = float(np.median(last))
        at.spring = [(at.median, 0.5)]
    elif at.share >= max(0.1, 1.5 / len(last)):
        at.spring = [(0.0, at.share)]
    else:
        at.most = max(at.share, 0.5 / len(last))
    autumn = np.median(np.where(first == NEVER, 999, first)) if len(first) >= 4 else 999
    if autumn < 365:
        at.autumn = [(float(autumn), 0.5)]


@cache
def extreme_sds(days: int = 31, lag: float = 0.65, count: int = 200_000) -> float:
    """Standard deviations by which a month's coldest minimum falls below the mean minimum, and its
    hottest maximum rises above the mean maximum, to two places.

    The mean largest value of ``count`` simulated months of a first-order autoregression; ``lag``:
    correlation from day to day (estimate).
    """
    z = np.random.default_rng(0).standard_normal((days, count))
    for day in range(1, days):
        z[day] = lag * z[day - 1] + np.sqrt(1.0 - lag**2) * z[day]
    return round(float(z.max(axis=0).mean()), 2)


def range_stations(folder: Path) -> Iterator[Place]:
    """Stations with monthly ranges and extremes."""
    rows = read_table(folder / "monthly-range.csv")
    for name in dict.fromkeys(row["station"] for row in rows):
        own = [row for row in rows if row["station"] == name]
        at = place(name, "range", own[0]["lat"], own[0]["lon"], own[0]["elev_m"])
        if at is None:
            continue
        half, sd = np.full(12, np.nan), np.full(12, np.nan)
        for row in own:
            if row["daily_range_long_term_c"]:
                m = int(row["month"]) - 1
                half[m] = float(row["daily_range_long_term_c"]) / 2
                spread = (float(row["max_of_month_c"]) - float(row["min_of_month_c"])) / 2 - half[m]
                sd[m] = max(spread, 0.5) / extreme_sds()
        at.moments = {"half_range_c": half, "sd_c": sd}
        yield at


def ridge(x, y, w, penalty: float) -> np.ndarray:
    """Coefficients by ridge regression on standardised predictors, in their own scale; the first, a
    constant, is not shrunk."""
    middle, scale = np.average(x, axis=0, weights=w), x.std(axis=0)
    middle[0], scale[0] = 0.0, 1.0
    scale[scale == 0] = 1.0
    z = (x - middle) / scale
    shrink = penalty * np.eye(x.shape[1])
    shrink[0, 0] = 0.0
    beta = np.linalg.solve(z.T @ (w[:, None] * z) + shrink, z.T @ (w * y)) / scale
    beta[0] -= (middle * beta).sum()
    return beta


def crowd_weights(places: Sequence[Place]) -> np.ndarray:
    """Weights by which crowded regions count less, of mean 1."""
    crowd = Counter(at.region for at in places)
    w = np.array([crowd[at.region] ** -CROWD for at in places])
    return w / w.mean()


def record(name: str, x, y, w, error: tuple[float, ...]) -> dict[str, object]:
    """A regression as it is written, fitted to rows of its predictors."""
    low, high = (np.quantile(x, level, axis=0) for level in BOUNDS)
    inside = np.clip(x, low, high)
    return {
        "predictors": list(PREDICTORS[name]),
        "coefficients": [round(float(b), 5) for b in ridge(inside, y, w, RIDGE[name])],
        "low": [round(float(v), 5) for v in low],
        "high": [round(float(v), 5) for v in high],
        "error": [round(float(v), 3) for v in error],
    }


class Rows:
    """Rows of the monthly regressions: one for each place and month."""

    def __init__(self, world: Sequence[Place], stations: Sequence[Place]) -> None:
        self.places = [*world, *stations]
        self.weight = np.concatenate(
            [
                [np.cos(np.radians(at.latitude)) for at in world],
                WORLD_SHARE * crowd_weights(stations),
            ]
        )
        self.x = {}
        found = [monthly_predictors(at.latitude, at.normals) for at in self.places]
        for name in PREDICTORS["half_range_c"]:
            self.x[name] = np.array([np.broadcast_to(each[name], (12,)) for each in found])

    def fit(self, name: str, kept: np.ndarray, error: tuple[float, ...] = (0.0,)) -> dict:
        """A monthly regression on the places kept."""
        nan = np.full(12, np.nan)
        y = np.array([at.moments.get(name, nan) for at in self.places])
        used = ~np.isnan(y) & kept[:, None]
        x = np.stack([self.x[p][used] for p in PREDICTORS[name]], axis=-1)
        weight = np.broadcast_to(self.weight[:, None], y.shape)[used]
        return record(name, x, y[used], weight, error)


NOISE = np.random.default_rng(5).standard_normal((SEASONS, 365))


def departures(lag: float) -> np.ndarray:
    """(SEASONS, 365) standardised departures, the same shocks everywhere."""
    z, fresh = NOISE.copy(), np.sqrt(1.0 - lag**2)
    for t in range(1, 365):
        z[:, t] = lag * z[:, t - 1] + fresh * z[:, t]
    return z


class Freezes:
    """The degrees by which nights must move for a freeze on or after each day of spring (on or
    before each of autumn): (SEASONS, days) the most by which they may move and still bring one."""

    def __init__(self, at: Place, cache: dict[float, np.ndarray]) -> None:
        split = SPLIT[at.north]
        days = (np.arange(365) + (0 if at.north else 181)) % 365
        climate = climate_of(at.latitude, at.normals, days, split, correct=False)
        lag = round(climate.lag, 2)
        if lag not in cache:
            cache[lag] = departures(lag)
        low = cache[lag]
        most = -climate.uncorrected(low) / lean_of(low)
        self.split, self.every = split, most
        self.spring = np.maximum.accumulate(most[:, :split][:, ::-1], axis=1)[:, ::-1]
        self.autumn = np.maximum.accumulate(most[:, split:], axis=1)

    def needed(self, points: Sequence[tuple[float, float]], spring: bool) -> float:
        """The offset at which the odds are those of the points, on average; nan without any."""
        if not points:
            return float("nan")
        most = self.spring if spring else self.autumn
        at = [
            int(np.clip(day if spring else day - self.split, 0, most.shape[1] - 1))
            for day, _ in points
        ]
        found = [np.quantile(most[:, d], 1.0 - o) for d, (_, o) in zip(at, points, strict=True)]
        return float(np.mean(found))

    def with_nights(self, nights: float) -> float:
        """The offset at which so many nights a year freeze, on average."""
        return float(np.quantile(self.every, 1.0 - nights / 365))

    def least(self, share: float) -> float:
        """The smallest offset at which no more than a share of years freezes in spring."""
        return float(np.quantile(self.spring[:, 0], 1.0 - share))

    def last(self, offset: float) -> np.ndarray:
        """(SEASONS,) day of the last freeze, -1 for none."""
        return (self.spring >= offset).sum(axis=1) - 1

    def first(self, offset: float) -> np.ndarray:
        """(SEASONS,) day of the first freeze of autumn, past the year's end for none."""
        return self.split + (self.autumn < offset).sum(axis=1)


def fit_correction(name: str, places, freezes, kept, error=(0.0, 0.0)) -> dict:
    """The regression of offsets on the surroundings; bounded where only a bound is known."""
    spring = name == "spring_c"
    x = shoulder_rows(places, spring)
    y = offsets(places, freezes, spring)
    bound = np.array(
        [
            f.least(at.most) if spring and at.most is not None else np.nan
            for at, f in zip(places, freezes, strict=True)
        ]
    )
    used = kept & (~np.isnan(y) | ~np.isnan(bound))
    weight = crowd_weights(places) * [
        1.0 if at.group == "us" or at.nights is not None else OUTSIDE_US for at in places
    ]
    low, high = (np.quantile(x[used], level, axis=0) for level in BOUNDS)
    inside = np.clip(x, low, high)
    open_still = np.isnan(y) & ~np.isnan(bound)
    y[open_still] = np.maximum(bound[open_still], 0.0)
    for _ in range(12):
        beta = ridge(inside[used], y[used], weight[used], RIDGE[name])
        y[open_still] = np.maximum(inside[open_still] @ beta, bound[open_still])
    return record(name, x[used], y[used], weight[used], error)


def shoulder_rows(places: Sequence[Place], spring: bool) -> np.ndarray:
    """(places, predictors)."""
    return np.array(
        [list(shoulder_predictors(at.latitude, at.normals, spring).values()) for at in places]
    )


def offsets(places, freezes, spring: bool) -> np.ndarray:
    """(places,) degrees needed, nan where unknown."""
    return np.array(
        [
            f.needed(at.spring if spring else at.autumn, spring)
            if at.nights is None
            else f.with_nights(at.nights)
            for at, f in zip(places, freezes, strict=True)
        ]
    )


def install(found: dict[str, object]) -> None:
    """Write coefficients to where the model reads them."""
    OUT.write_text(json.dumps(found, indent=1) + "\n", "utf-8")
    model.forget()


def correction(name: str, found: dict, places) -> np.ndarray:
    """(places,) corrections by a regression just fitted."""
    x = np.clip(shoulder_rows(places, name == "spring_c"), found["low"], found["high"])
    raw = np.clip(x @ np.array(found["coefficients"]), *model.OFFSET_RANGE_C)
    return raw * [model.frosty(at.latitude, at.normals) for at in places]


def fit(rows: Rows, stations, kept_rows, kept, errors=None):
    """All regressions without the places left out; the freezes of every station by them."""
    errors = errors or {}
    found: dict[str, object] = {"script": "tools/fit_minimum_model.py"}
    for name in model.LIMITS:
        found[name] = rows.fit(name, kept_rows, errors.get(name, (0.0,)))
    for name in ("spring_c", "autumn_c"):
        zero = [0.0] * len(PREDICTORS[name])
        found[name] = {"predictors": list(PREDICTORS[name]), "coefficients": zero, "low": zero,
                       "high": zero, "error": [0.0, 0.0]}  # fmt: skip
    install(found)
    cache: dict[float, np.ndarray] = {}
    freezes = [Freezes(at, cache) for at in stations]
    for name in ("spring_c", "autumn_c"):
        found[name] = fit_correction(name, stations, freezes, kept, errors.get(name, (0.0, 0.0)))
    return found, freezes


def judge_monthly(rows: Rows, kept, squares) -> None:
    """Add the squared errors of the rows left out, by regression."""
    for name in model.LIMITS:
        for at, used in zip(rows.places, kept, strict=True):
            if not used and at.group != "point" and name in at.moments:
                off = model.monthly(name, at.latitude, at.normals) - at.moments[name]
                squares[name] += [float(v) for v in off[~np.isnan(off)] ** 2]


def report(places, offset, need, lasts, firsts) -> None:
    """Print how regions left out came, by group and winter."""
    for group in ("us", "daily", "uk", "world"):
        for title, mild in (("sharp winters", False), ("mild winters", True)):
            some = [
                i
                for i, at in enumerate(places)
                if at.group == group and at.median is not None and is_mild(at) is mild
            ]
            if not some:
                continue
            off = np.array([np.median(lasts[i]) - places[i].median for i in some])
            tenth = np.array(
                [
                    np.quantile(lasts[i], 0.9) - places[i].tenth
                    for i in some
                    if places[i].tenth is not None
                ]
            )
            autumn = np.array(
                [
                    np.median(firsts[i]) - places[i].autumn[0][0]
                    for i in some
                    if len(places[i].autumn) == 1
                ]
            )
            words = f"{group}, {title}: {len(some)} stations, last freeze rms {rms(off):.1f} days"
            words += f", bias {off.mean():+.1f}, {(off > 25).mean():.0%} over 25 late"
            words += f", {(off < -20).mean():.0%} over 20 early"
            if len(tenth):
                words += f"; one in ten rms {rms(tenth):.1f}, bias {tenth.mean():+.1f}"
            if len(autumn):
                words += f"; first freeze rms {rms(autumn):.1f}, bias {autumn.mean():+.1f}"
            print(words)
    some = [i for i, at in enumerate(places) if at.nights is not None]
    off = np.array([offset[i] - need[i] for i in some])
    print(f"{len(some)} places with nights of frost: {off.mean():+.1f} degrees, rms {rms(off):.1f}")
    for i in some:
        print(
            f"   {places[i].name:20} {places[i].nights:.1f} nights,"
            f" needs {need[i]:+.1f}, {offset[i]:+.1f}"
        )
    rare = [i for i, at in enumerate(places) if at.share is not None and at.share < 0.2]
    told = [(lasts[i] >= 0).mean() < 0.2 for i in rare]
    print(f"a freeze in fewer than one year of five: {len(rare)} records, {np.mean(told):.0%} told")
    for i in rare:
        print(f"   {places[i].name:20} {places[i].share:.2f} modelled {(lasts[i] >= 0).mean():.2f}")


def is_mild(at: Place) -> bool:
    """Whether the mean of the coldest month is above 5 °C."""
    return min(at.normals.mean_c) > 5.0


def rms(values: np.ndarray) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(values**2)))


def doubt_of(places, offset, need, spring: bool) -> tuple[float, float]:
    """Standard error as a level and what it gains with rough land, from regions left out: each
    scaled so that eight stations in ten lie within 1.28 of it."""
    ok = ~np.isnan(need)
    rough = shoulder_rows(places, spring)[:, list(PREDICTORS["spring_c"]).index("rough")][ok]
    off = np.abs(offset - need)[ok]
    weight = crowd_weights(places)[ok]
    slope, level = np.polyfit(rough, off / 0.798, 1, w=weight**0.5)
    slope, level = max(slope, 0.0), max(level, 0.5)
    ratio = np.sort(off / (level + slope * rough))
    scale = float(ratio[int(0.8 * len(ratio))]) / 1.2816
    return level * scale, slope * scale


def main() -> None:
    """Fit, judge by regions left out, print, and keep what was found if told to."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--keep", action="store_true")
    given = parser.parse_args()
    before = OUT.read_text("utf-8")
    towns = list(TOWNS)
    try:
        was = town_dates(towns)
        found = fit_and_judge(given.folder)
        install(found)
        for name, old, new in zip(towns, was, town_dates(towns), strict=True):
            print(f"   {name:16} last freeze at odds of a half, a tenth: {old} -> {new}")
    finally:
        if not given.keep:
            install(json.loads(before))


def fit_and_judge(folder: Path) -> dict[str, object]:
    """The fit to all, with the errors of regions left out."""
    world = list(world_points(folder))
    daily, uk = list(daily_stations(folder / "daily")), list(uk_stations("fit"))
    rows = Rows(world, [*daily, *uk, *range_stations(folder)])
    places = [*us_stations(), *daily, *uk, *world_stations("fit")]
    print(f"{len(world)} points of the world, {len(places)} stations with freezes")
    regions = sorted({at.region for at in places})
    order = np.random.default_rng(1).permutation(len(regions))
    part = {region: int(order[i]) % PARTS for i, region in enumerate(regions)}
    own = np.array([part[at.region] for at in places])
    rows_part = np.array([part.get(at.region, -1) for at in rows.places])
    squares: dict[str, list[float]] = {name: [] for name in model.LIMITS}
    guess = {name: np.full(len(places), np.nan) for name in ("spring_c", "autumn_c")}
    need = {name: np.full(len(places), np.nan) for name in guess}
    lasts, firsts = [np.empty(0)] * len(places), [np.empty(0)] * len(places)
    for n in range(PARTS):
        found, freezes = fit(rows, places, rows_part != n, own != n)
        judge_monthly(rows, rows_part != n, squares)
        for name in guess:
            out = own == n
            guess[name][out] = correction(name, found[name], places)[out]
            need[name][out] = offsets(places, freezes, name == "spring_c")[out]
        for i in np.flatnonzero(own == n):
            lasts[i] = freezes[i].last(guess["spring_c"][i])
            firsts[i] = freezes[i].first(guess["autumn_c"][i])
    report(places, guess["spring_c"], need["spring_c"], lasts, firsts)
    errors: dict[str, tuple[float, ...]] = {
        name: (float(np.sqrt(np.mean(v))),) for name, v in squares.items()
    }
    for name in guess:
        errors[name] = doubt_of(places, guess[name], need[name], name == "spring_c")
        off = (guess[name] - need[name])[~np.isnan(need[name])]
        print(f"{name}: rms {rms(off):.2f} degrees over {len(off)} stations, doubt {errors[name]}")
    print({name: round(errors[name][0], 2) for name in model.LIMITS})
    every = np.ones(len(places), bool)
    found, _ = fit(rows, places, np.ones(len(rows.places), bool), every, errors)
    return found


TOWNS = {
    "Melbourne": (-37.81, 144.96, 31.0), "Sydney": (-33.87, 151.21, 39.0),
    "Cape Town": (-33.92, 18.42, 25.0), "Auckland": (-36.85, 174.76, 26.0),
    "Lisbon": (38.72, -9.14, 77.0), "San Francisco": (37.77, -122.42, 52.0),
    "Seattle": (47.61, -122.33, 53.0), "Galway": (53.27, -9.05, 20.0),
    "Edinburgh": (55.95, -3.19, 47.0), "Nagasaki": (32.74, 129.87, 27.0),
    "Houston": (29.76, -95.37, 15.0), "Athens": (37.98, 23.73, 70.0),
    "Albany": (42.65, -73.75, 45.0), "Fort Collins": (40.59, -105.08, 1525.0),
}  # fmt: skip
"""Places at which what a fit moves is printed: latitude, longitude, height."""


def town_dates(names: Sequence[str]) -> list[str]:
    """The model's last freezes at towns, and the share of years with one."""
    from bedwright.climate import Site, Weather, make_season

    found = []
    for name in names:
        lat, lon, height = TOWNS[name]
        weather = Weather(Site(name, lat, lon, height), normals_at(lat, lon, height))
        season = make_season(weather, 2027, None, 0)
        odds = season.freeze(True)
        days = [odds.day_at(level) for level in (0.5, 0.1)]
        words = ["none" if day is None else f"{season.day(day):%d %b}" for day in days]
        found.append(f"{', '.join(words)} ({odds.share:.0%}, doubt {season.doubt_days:.0f})")
    return found


if __name__ == "__main__":
    main()
