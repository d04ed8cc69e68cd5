"""Fit the model that turns monthly normals into daily minima and maxima.

Usage: ``python tools/fit_minimum_model.py FOLDER``

FOLDER holds ``daily/`` and ``typical-years/`` (each ``stations.csv`` with station, lat, lon, elev_m
and a ``STATION.csv[.gz]`` of date, tmin_c, tmax_c), ``monthly-range.csv`` (lat, lon, elev_m, month,
daily_range_long_term_c) and ``freeze-dates.csv`` (station, lat, lon, elev_m, and as month/day:
last_spring and first_autumn, the median dates of a minimum at or below 0 C, and early_spring, after
which 90% of springs still freeze; the latter two may be empty; ``none`` where fewer than half of
all years freeze).  The data stay where they are; only the coefficients and their errors are
written, to ``src/bedwright/climate/data/minimum_model.json``.

First, by ridge regression on what the world grid gives (``predictors``): the monthly half range of
the day, the standard deviation of daily minima about their monthly mean, the day-to-day
correlation, and the correlation of minima with maxima.  Then, at each station with freeze dates,
the degrees by which the modelled minima must move for the median freeze to fall on its date,
regressed on ``shoulder_predictors``, spring and autumn apart.  Errors are those of regions left out
whole (boxes of 6 by 8 degrees).  Last, the freeze dates themselves, reckoned with each region left
out, are held against the published ones.

The fit shipped was made on 25 daily series (provincial services of Trentino, Klein-Altendorf,
William Head BC, Brussels, Champion NE, Tunis), 24 typical years, 45 stations' monthly ranges, and
1,045 stations' freeze dates: NCEI's normals of 1981-2010 (airports and cooperative stations)
and published dates of Canadian, European and Argentine stations.  Clemson and the
stations of HELD_OUT, held against the model in the tests, are not among them.  Places where most
years have no freeze bound the correction from below: 32 US stations of the same normals, and 11
cities of the world known for it (from memory).
"""

from __future__ import annotations

import csv
import gzip
import json
import sys
from collections import Counter, defaultdict
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "src"))
from bedwright.climate import model
from bedwright.climate.frost import NEVER, SPLIT, first_autumn, last_spring, usable
from bedwright.climate.model import predictors, shoulder_predictors
from bedwright.climate.normals import NoClimateError, Normals, normals_at

OUT = Path(__file__).parents[1] / "src/bedwright/climate/data/minimum_model.json"
HELD_OUT = Path(__file__).parents[1] / "tests/outside/data/freeze_dates_ncei.csv"
"""Stations that the tests hold against the model; the fit never sees them."""

RIDGE = 2.0
LEAST_DAYS = 20
EXTREME_SDS = 1.86
"""Standard deviations by which the month's coldest minimum falls below the mean minimum, and its
hottest maximum above the mean maximum, in a month whose days are correlated by 0.65: the mean of
20,000 simulated months (``extreme_sds`` below)."""


def daily_stations(folder: Path):
    """Yield station, (latitude, longitude, height), dates, minima, maxima of each daily file."""
    with open(folder / "stations.csv") as file:
        for row in csv.DictReader(file):
            path = next(folder.glob(row["station"] + ".csv*"))
            opener = gzip.open if path.suffix == ".gz" else open
            with opener(path, "rt") as data:
                lines = [(r["date"], r["tmin_c"], r["tmax_c"]) for r in csv.DictReader(data)]
            kept = [(d, float(a), float(b)) for d, a, b in lines if a and b]
            dates = np.array([d for d, _, _ in kept], "datetime64[D]")
            low, high = np.array([a for _, a, _ in kept]), np.array([b for _, _, b in kept])
            spot = (float(row["lat"]), float(row["lon"]), float(row["elev_m"]))
            yield row["station"], spot, dates, low, high


def moments(dates, low, high):
    """Half range, sd of minima, lag-1 correlation and minimum-maximum correlation by month."""
    month = dates.astype("datetime64[M]").astype(int) % 12
    year = dates.astype("datetime64[Y]").astype(int)
    out = []
    for m in range(12):
        here = month == m
        half, sds, lags, crosses = [], [], [], []
        for y in np.unique(year[here]):
            at = here & (year == y)
            if at.sum() < LEAST_DAYS:
                continue
            a, b = low[at] - low[here].mean(), high[at] - high[here].mean()
            half.append((high[at] - low[at]).mean() / 2)
            sds.append((a**2).mean())
            follow = np.diff(dates[at]).astype(int) == 1
            lags.append((a[1:] * a[:-1])[follow].mean())
            crosses.append(((a * b).mean(), (b**2).mean()))
        var = np.mean(sds)
        cross, varb = np.mean(crosses, axis=0)
        out.append((np.mean(half), var**0.5, np.mean(lags) / var, cross / (var * varb) ** 0.5))
    return np.array(out)


def table(folder: Path):
    """Rows of (region, station, predictors, half, sd, lag, cross, weight); nan where unknown."""
    rows = []
    for sub, weight in (("daily", 1.0), ("typical-years", 0.5)):
        for name, (lat, lon, height), *series in daily_stations(folder / sub):
            x, values = predictors(lat, normals_at(lat, lon, height)), moments(*series)
            rows += [(region(lat, lon), name, x[m], *values[m], weight) for m in range(12)]
    with open(folder / "monthly-range.csv") as file:
        for row in csv.DictReader(file):
            lat, lon, m = float(row["lat"]), float(row["lon"]), int(row["month"]) - 1
            x = predictors(lat, normals_at(lat, lon, float(row["elev_m"])))[m]
            if not row["daily_range_long_term_c"]:
                continue
            half = float(row["daily_range_long_term_c"]) / 2
            low, high = float(row["min_of_month_c"]), float(row["max_of_month_c"])
            sd = max((high - low) / 2 - half, 0.5) / EXTREME_SDS
            nan = float("nan")
            rows.append((region(lat, lon), row["station"], x, half, sd, nan, nan, 1.0))
    return rows


def region(lat: float, lon: float) -> tuple[int, int]:
    return int(lat // 6), int(lon // 8)


def extreme_sds(days: int = 30, lag: float = 0.65, count: int = 20_000) -> float:
    """Mean largest value of an AR(1) month of unit variance."""
    rng = np.random.default_rng(0)
    z = rng.standard_normal((days, count))
    for t in range(1, days):
        z[t] = lag * z[t - 1] + (1 - lag**2) ** 0.5 * z[t]
    return float(z.max(axis=0).mean())


def fit(x, y, w):
    """Ridge coefficients; the first predictor, a constant, is not shrunk."""
    penalty = RIDGE * np.eye(x.shape[1])
    penalty[0, 0] = 0.0
    return np.linalg.solve(x.T @ (w[:, None] * x) + penalty, x.T @ (w * y))


@dataclass(frozen=True)
class Station:
    """A station with freeze dates: days of the growing year; nan where none is known.

    ``frostless``: fewer than half of its years freeze.
    """

    name: str
    latitude: float
    longitude: float
    normals: Normals
    spring: float
    autumn: float
    early_spring: float
    frostless: bool = False

    @property
    def split(self) -> int:
        """Index of the day that parts spring from autumn."""
        return SPLIT[self.latitude >= 0]

    @property
    def days(self):
        """(365,) days of the year, from 0, of the growing year."""
        return (np.arange(365) + (0 if self.latitude >= 0 else 181)) % 365


def table_of(path: Path) -> list[dict[str, str]]:
    """Rows of a CSV whose comments begin with #."""
    lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


def freeze_stations(folder: Path) -> list[Station]:
    """Stations of ``freeze-dates.csv`` and those of the daily series."""
    found = []
    held_out = {row["station"][-5:] for row in table_of(HELD_OUT)}
    with open(folder / "freeze-dates.csv") as file:
        for row in csv.DictReader(file):
            if row["station"][-5:] in held_out:
                continue
            spot = (float(row["lat"]), float(row["lon"]), float(row["elev_m"]))
            if row["last_spring"] == "none":
                found += frostless_station(row["station"], spot)
                continue
            days = [
                growing_day(row[name], spot[0] >= 0, spring)
                for name, spring in (("last_spring", 1), ("first_autumn", 0), ("early_spring", 1))
            ]
            found += station(row["station"], spot, *days)
    for name, spot, dates, low, _ in daily_stations(folder / "daily"):
        assert spot[0] >= 0, name
        years = calendar_years(dates, low)
        spring = last_spring(years[usable(years, 0.0, True, True)], 0.0, True)
        autumn = first_autumn(years[usable(years, 0.0, False, True)], 0.0, True)
        autumn = np.where(autumn == NEVER, 365, autumn)
        found += station(name, spot, np.median(spring), np.median(autumn), np.quantile(spring, 0.1))
    return found


def frostless_station(name, spot) -> list[Station]:
    """A station where most years have no freeze, or none where the grid has no land."""
    try:
        normals = normals_at(*spot)
    except NoClimateError:
        return []
    nan = float("nan")
    return [Station(name, spot[0], spot[1], normals, nan, nan, nan, frostless=True)]


def station(name, spot, spring, autumn, early) -> list[Station]:
    """One station, or none where the grid has no land or the median year has no freeze."""
    try:
        normals = normals_at(*spot)
    except NoClimateError:
        return []
    spring = spring if spring > 0 else float("nan")
    autumn = autumn if autumn < 365 else float("nan")
    return [Station(name, spot[0], spot[1], normals, spring, autumn, early)]


def growing_day(text: str, north: bool, spring: bool) -> float:
    """Day of the growing year of a month/day; before its start where a spring date wraps round."""
    if not text:
        return float("nan")
    month, dom = (int(part) for part in text.split("/"))
    day = (date(2001, month, min(dom, 28) if month == 2 else dom) - date(2001, 1, 1)).days
    index = (day - (0 if north else 181)) % 365
    return index - 365 if spring and index > 300 else index


def calendar_years(dates, low):
    """(years, 365) minima of whole calendar years, nan where missing; 29 February left out."""
    first, last = (int(str(d)[:4]) for d in (dates[0], dates[-1]))
    rows = np.full((last - first + 1, 365), np.nan)
    kept = np.array([str(d)[5:] != "02-29" for d in dates])
    year = dates.astype("datetime64[Y]").astype(int) + 1970
    start = np.array([f"{y}-01-01" for y in year], "datetime64[D]")
    leap = (year % 4 == 0) & ((year % 100 != 0) | (year % 400 == 0))
    day = (dates - start).astype(int)
    day -= leap & (day > 59)
    rows[year[kept] - first, day[kept]] = low[kept]
    return rows


WINTER_DAYS = 74
"""Places whose median last freeze is later than 15 March (15 September in the south) have a winter;
in milder ones the date hangs on a few odd nights."""

SEASONS = 400
OFFSETS_C = np.arange(-10.0, 10.01, 0.5)


def medians(at: Station):
    """Median last and first freeze, and the 10% point of the last, at each of OFFSETS_C."""
    climate = model.climate_of(at.latitude, at.normals, at.days, at.split, correct=False)
    low, _ = model.departures(climate, SEASONS, np.random.default_rng(5))
    north = at.latitude >= 0
    moved = [climate.minima(low, climate.spread, c) for c in OFFSETS_C]
    springs = np.array([last_spring(minima, 0.0, north) for minima in moved])
    autumns = np.array([first_autumn(minima, 0.0, north) for minima in moved])
    autumns = np.where(autumns == NEVER, 395, autumns)
    early = np.quantile(springs, 0.1, axis=1)
    return np.median(springs, axis=1), np.median(autumns, axis=1), early


def needed(curve, day: float, falling: bool) -> float:
    """The offset at which a curve of medians reaches a day; nan where it never does."""
    days, offsets = (curve[::-1], OFFSETS_C[::-1]) if falling else (curve, OFFSETS_C)
    inside = days[0] < day < days[-1]
    return float(np.interp(day, days, offsets)) if inside else float("nan")


def least_frostless(curve, spring: bool) -> float:
    """The smallest offset at which the median year has no freeze; the largest tried if none."""
    never = curve < 0 if spring else curve >= 365
    return float(OFFSETS_C[np.argmax(never)] if never.any() else OFFSETS_C[-1])


def censored(x, y, w, least):
    """Ridge coefficients where some offsets are only known to be at least so much.

    ``least``: nan where ``y`` is known.  Each round sets such an offset to what the fit says, or to
    its bound where the fit falls short of it.
    """
    y, bound = y.copy(), ~np.isnan(least)
    y[bound] = least[bound]
    for _ in range(ROUNDS):
        beta = ridge(x, y, w)
        y[bound] = np.maximum(x[bound] @ beta, least[bound])
    return beta


ROUNDS = 20


def ridge(x, y, w):
    """Coefficients by ridge regression on standardised predictors, in their own scale."""
    middle, scale = np.average(x, axis=0, weights=w), x.std(axis=0)
    middle[0], scale[0] = 0.0, 1.0
    z = (x - middle) / scale
    penalty = SHOULDER_RIDGE * np.eye(x.shape[1])
    penalty[0, 0] = 0.0
    beta = np.linalg.solve(z.T @ (w[:, None] * z) + penalty, z.T @ (w * y)) / scale
    beta[0] -= (middle * beta).sum()
    return beta


SHOULDER_RIDGE = 20.0


def fit_shoulders(folder: Path) -> dict[str, object]:
    """Corrections of the minima in spring and autumn, their errors, and the dates they give."""
    stations = freeze_stations(folder)
    curves = [medians(at) for at in stations]
    boxes = [region(at.latitude, at.longitude) for at in stations]
    regions = np.array([sorted(set(boxes)).index(box) for box in boxes])
    crowd = Counter(regions.tolist())
    w = np.array([crowd[r] ** -0.5 for r in regions.tolist()])
    w /= w.mean()
    result: dict[str, object] = {}
    residuals = {}
    for name, which in (("spring_c", 0), ("autumn_c", 1)):
        spring = which == 0
        x = np.array([shoulder_predictors(at.latitude, at.normals, spring) for at in stations])
        days = np.array([at.spring if spring else at.autumn for at in stations])
        y = np.array([needed(c[which], d, spring) for c, d in zip(curves, days, strict=True)])
        least = np.array(
            [
                least_frostless(c[which], spring) if at.frostless else np.nan
                for at, c in zip(stations, curves, strict=True)
            ]
        )
        ok, used = ~np.isnan(y), ~np.isnan(y) | ~np.isnan(least)
        guess = np.full(len(y), np.nan)
        for left_out in crowd:
            out = regions == left_out
            kept = used & ~out
            guess[out] = x[out] @ censored(x[kept], y[kept], w[kept], least[kept])
        missed = guess[~np.isnan(least)] < least[~np.isnan(least)]
        error = residuals[name] = y - guess
        dated = np.array(
            [np.interp(g, OFFSETS_C, c[which]) for g, c in zip(guess, curves, strict=True)]
        )
        off = (dated - days)[ok]
        winter = np.array([at.spring > WINTER_DAYS for at in stations])[ok]
        rmse = float(np.average(error[ok] ** 2, weights=w[ok]) ** 0.5)
        rough = np.array(
            [min(at.normals.terrain.rough_m, model.MOST_ROUGH_M) / 1000.0 for at in stations]
        )
        # The mean departure of a normal law is 0.798 of its standard deviation.
        spread_of = np.polyfit(rough[ok], np.abs(error[ok]) / 0.798, 1, w=w[ok] ** 0.5)
        own = np.polyval(spread_of, rough)
        result[name] = {
            "coefficients": [
                round(float(b), 5) for b in censored(x[used], y[used], w[used], least[used])
            ],
            "left_out_rmse": round(rmse, 3),
            "error_with_rough_km": [round(float(v), 3) for v in spread_of[::-1]],
            "stations": int(ok.sum()),
            "frostless_stations": int((~np.isnan(least)).sum()),
            "frostless_given_frost": int(missed.sum()),
            "regions": len(set(regions[ok].tolist())),
            "days_rms": round(float(np.mean(off**2) ** 0.5), 1),
            "days_bias": round(float(off.mean()), 1),
            "days_worst": [round(float(v)) for v in (off.min(), off.max())],
            "winter_stations": int(winter.sum()),
            "winter_days_rms": round(float(np.mean(off[winter] ** 2) ** 0.5), 1),
            "winter_days_worst": [round(float(v)) for v in (off[winter].min(), off[winter].max())],
            "winter_over_20_days_unsafe": round(
                float(np.mean((-off if spring else off)[winter] > 20)), 3
            ),
            "held_by_80_percent_range": round(held(curves, guess, own, days, which), 3),
        }
        print(name, {k: v for k, v in result[name].items() if k != "coefficients"})
        named = [at.name for at, k in zip(stations, ok, strict=True) if k]
        for i in [*np.argsort(off)[:6], *np.argsort(off)[-6:]]:
            print(f"   {named[i]:12} {off[i]:+.0f} days")
        world = [i for i, n in enumerate(named) if not (n[:3] == "USC" or n[:1] == "W")]
        far = off[world]
        assert far.size, "no station outside the United States"
        print(f"   outside the United States: {len(far)} stations, rms"
              f" {np.mean(far**2) ** 0.5:.1f}, bias {far.mean():+.1f} days")  # fmt: skip
    both = ~np.isnan(residuals["spring_c"] + residuals["autumn_c"])
    tie = np.corrcoef(residuals["spring_c"][both], residuals["autumn_c"][both])[0, 1]
    result["spring_c"]["with_autumn"] = round(float(tie), 3)  # type: ignore[index]
    result["spring_spread_ratio"] = spread_ratio(stations, curves)
    print("spread of last freezes, published over modelled:", result["spring_spread_ratio"])
    return result


def held(curves, guess, errors, days, which: int) -> float:
    """Share of stations whose median date lies in the 80% range of the model's own doubt."""
    inside, total = 0, 0
    for curve, c, error, day in zip(curves, guess, errors, days, strict=True):
        if np.isnan(day):
            continue
        ends = np.interp([c - 1.2816 * error, c + 1.2816 * error], OFFSETS_C, curve[which])
        inside += min(ends) <= day <= max(ends)
        total += 1
    return float(inside / total)


def spread_ratio(stations, curves) -> dict[str, float]:
    """Mean and spread of (median less 10% point) of last freezes, published over modelled."""
    logs = []
    for at, curve in zip(stations, curves, strict=True):
        c = needed(curve[0], at.spring, True)
        if at.early_spring > 20 and not np.isnan(c):
            modelled = at.spring - np.interp(c, OFFSETS_C, curve[2])
            logs.append(np.log((at.spring - at.early_spring) / modelled))
    mean, sd = float(np.exp(np.mean(logs))), float(np.std(logs))
    return {"mean": round(mean, 3), "sd": round(sd, 3), "stations": len(logs)}


def main() -> None:
    assert abs(extreme_sds() - EXTREME_SDS) < 0.02, extreme_sds()
    rows = table(Path(sys.argv[1]))
    regions = [r[0] for r in rows]
    crowd = defaultdict(set)
    for r in rows:
        crowd[r[0]].add(r[1])
    x = np.array([r[2] for r in rows])
    result = {"script": "tools/fit_minimum_model.py", "stations": len({r[1] for r in rows})}
    for column, name in enumerate(("half_range_c", "sd_c", "lag", "cross"), start=3):
        y = np.array([r[column] for r in rows])
        w = np.array([r[7] / len(crowd[r[0]]) for r in rows])
        ok = ~np.isnan(y)
        station_error = defaultdict(list)
        for left_out in sorted(set(regions)):
            out = np.array([g == left_out for g in regions]) & ok
            if not out.any():
                continue
            beta = fit(x[ok & ~out], y[ok & ~out], w[ok & ~out])
            for i in np.flatnonzero(out):
                station_error[(left_out, rows[i][1])].append(y[i] - x[i] @ beta)
        errors = np.concatenate([np.array(v) for v in station_error.values()])
        # A region counts once: its stations' errors are averaged in square.
        by_region = defaultdict(list)
        for (g, _), v in station_error.items():
            by_region[g].append(np.mean(np.square(v)))
        rmse = float(np.mean([np.mean(v) for v in by_region.values()]) ** 0.5)
        common = float(np.mean([np.mean(v) ** 2 for v in station_error.values()]) ** 0.5)
        result[name] = {
            "coefficients": [round(float(b), 5) for b in fit(x[ok], y[ok], w[ok])],
            "left_out_rmse": round(rmse, 3),
            "left_out_station_mean": round(common, 3),
            "stations": len(station_error),
        }
        print(name, result[name], "n", len(errors))
    # The second fit stands on the first, which it reads from its place.
    before = OUT.read_text()
    OUT.write_text(json.dumps(result, indent=1) + "\n")
    model.forget()
    try:
        result |= fit_shoulders(Path(sys.argv[1]))
    except BaseException:
        OUT.write_text(before)
        raise
    OUT.write_text(json.dumps(result, indent=1) + "\n")


if __name__ == "__main__":
    main()
