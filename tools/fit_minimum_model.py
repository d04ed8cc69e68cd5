"""Fit the model that turns monthly normals into daily minima and maxima.

Usage: ``python tools/fit_minimum_model.py FOLDER``

FOLDER holds ``daily/`` and ``typical-years/`` (each ``stations.csv`` with station, lat, lon, and a
``STATION.csv[.gz]`` of date, tmin_c, tmax_c) and ``monthly-range.csv`` (lat, lon, month,
daily_range_long_term_c).  The data stay where they are; only the coefficients and their errors
are written, to ``src/bedwright/season/data/minimum_model.json``.

Fitted by ridge regression on predictors that the world grid gives (``predictors`` in
``bedwright.season.model``): the monthly half range of the day, the standard deviation of daily
minima about their monthly mean, the day-to-day correlation, and the correlation of minima with
maxima.  Errors are those of regions left out whole (boxes of 6 by 8 degrees).
"""

from __future__ import annotations

import csv
import gzip
import json
import sys
from collections import defaultdict
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "src"))
from bedwright.season.model import predictors
from bedwright.season.normals import normals_at

OUT = Path(__file__).parents[1] / "src/bedwright/season/data/minimum_model.json"
RIDGE = 2.0
LEAST_DAYS = 20
EXTREME_SDS = 1.86
"""Standard deviations by which the month's coldest minimum falls below the mean minimum, and its
hottest maximum above the mean maximum, in a month whose days are correlated by 0.65: the mean of
20,000 simulated months (``extreme_sds`` below)."""


def daily_stations(folder: Path):
    """Yield station, latitude, longitude, month (1-12), tmin, tmax of each daily file."""
    with open(folder / "stations.csv") as file:
        for row in csv.DictReader(file):
            path = next(folder.glob(row["station"] + ".csv*"))
            opener = gzip.open if path.suffix == ".gz" else open
            with opener(path, "rt") as data:
                lines = [(r["date"], r["tmin_c"], r["tmax_c"]) for r in csv.DictReader(data)]
            kept = [(d, float(a), float(b)) for d, a, b in lines if a and b]
            dates = np.array([d for d, _, _ in kept], "datetime64[D]")
            low, high = np.array([a for _, a, _ in kept]), np.array([b for _, _, b in kept])
            yield row["station"], float(row["lat"]), float(row["lon"]), dates, low, high


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
        for name, lat, lon, *series in daily_stations(folder / sub):
            x, values = predictors(lat, normals_at(lat, lon)), moments(*series)
            rows += [(region(lat, lon), name, x[m], *values[m], weight) for m in range(12)]
    with open(folder / "monthly-range.csv") as file:
        for row in csv.DictReader(file):
            lat, lon, m = float(row["lat"]), float(row["lon"]), int(row["month"]) - 1
            x = predictors(lat, normals_at(lat, lon))[m]
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
    OUT.write_text(json.dumps(result, indent=1) + "\n")


if __name__ == "__main__":
    main()
