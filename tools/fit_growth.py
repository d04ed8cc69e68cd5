"""Fit the growth of kinds to trials at set temperatures and to dates of flowering in gardens.

Usage: ``python tools/fit_growth.py [FOLDER] [--judge]``

FOLDER (``tests/outside/data`` unless stated) holds ``outdoor_flowering.csv``,
``seed_to_flower.csv`` and ``optimum_temperatures.csv``.  Without ``--judge`` the figures
are fitted to the rows marked ``fit`` and written to ``src/bedwright/growth/data``; with it nothing
is written, and every row is forecast from a fit to the other two thirds.

1. What all kinds share (``Shared``) is found by least absolute error, near enough, with a prior.
2. Each kind's days, as a multiple of the catalogue's, are its class's, its family's and its own
   deviation together: a ridge regression in logarithms, so that a kind with few rows stays by its
   relatives and one with none by its family and class.
3. The error of a kind's days is what the regression leaves open, with what strain and garden add.
"""

from __future__ import annotations

import argparse
import sys
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields, replace
from datetime import date
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from bedwright.catalogue import Catalogue, Kind, load_catalogue
from bedwright.climate import DAYS, Season, Site, Weather, make_season, normals_at
from bedwright.growth import Way, blooms_of
from bedwright.growth.rates import Rate, Shared, using
from bedwright.growth.warmth import degree_days_from_emergence, gain_at, pace_of, seed_of
from stations import read_table

ROOT = Path(__file__).resolve().parents[1]
ROWS = ROOT / "tests/outside/data"
OUT = ROOT / "src/bedwright/growth/data"
YEAR, SEASONS = 2027, 40

PRIOR = {"reference_c": (16.0, 3.0), "indoor_c": (13.0, 3.0), "long_day": (1.4, 0.3),
         "short_day": (0.9, 0.1)}  # fmt: skip
"""Middle and spread of what is believed of the shared figures before the fit (estimates)."""

OPTIMUM_C = {"hardy": 23.0, "half_hardy": 25.0, "tender": 27.0}
"""Optimum of kinds without a published one, by class (estimates between those that are)."""

OWN, FAMILY, CLASS = 0.08, 0.05, 0.03
"""Spread of kinds, of families and of classes about the catalogue's days, in logarithms
(estimates; wider ones forecast rows that were left out no better)."""

STRAIN = 0.10
"""Spread that strain and garden add, in logarithms (estimate)."""

ROW_DAYS, TRIAL = 16.0, 0.05
"""Error of a row from a garden in days, and of one from a trial as a share of its days."""


@dataclass(frozen=True)
class Row:
    """One row from a garden as indices into a growing year, and whether the fit may use it."""

    use: str
    kind: Kind
    place: str
    climate: str
    way: Way
    flowers: int

    @property
    def group(self) -> str:
        """Climate and way of raising, as errors are told apart."""
        if self.way.in_place and self.way.sown < -40:
            return "sown in autumn"
        return f"{self.climate.split()[0]}, {'in place' if self.way.in_place else 'indoors'}"


@dataclass(frozen=True)
class Trial:
    """Days from seed to flower at one temperature and day length."""

    kind: Kind
    celsius: float
    day_h: float
    days: float


def read_rows(folder: Path, catalogue: Catalogue) -> list[Row]:
    """The rows from gardens."""
    return [_row(line, catalogue) for line in read_table(folder / "outdoor_flowering.csv")]


def read_trials(folder: Path, catalogue: Catalogue) -> list[Trial]:
    """The trials from seed to flower."""
    return [
        Trial(
            catalogue.kinds[line["kind"]],
            float(line["temperature_c"]),
            float(line["daylength_h"]),
            float(line["days"]),
        )
        for line in read_table(folder / "seed_to_flower.csv")
    ]


@lru_cache(maxsize=64)
def season_at(place: str) -> Season:
    """The first seasons of the model at ``latitude longitude``."""
    latitude, longitude = map(float, place.split())
    normals = normals_at(latitude, longitude, None)
    site = Site("garden", latitude, longitude, normals.altitude_m)
    season = make_season(Weather(site, normals), YEAR, None, 0)
    return replace(
        season,
        tmin_c=season.tmin_c[:SEASONS],
        tmax_c=season.tmax_c[:SEASONS],
        rain_mm=season.rain_mm[:SEASONS],
    )


def forecast(rows: Sequence[Row]) -> NDArray[np.float64]:
    """Median first day of flower of every row, by the model as it stands."""
    by_place: dict[str, list[int]] = defaultdict(list)
    for i, row in enumerate(rows):
        by_place[row.place].append(i)
    found = np.empty(len(rows))
    for place, members in by_place.items():
        blooms = blooms_of([rows[i].way for i in members], season_at(place))
        for i, bloom in zip(members, blooms, strict=True):
            found[i] = np.median(bloom.first)
    return found


def days_at(kind: Kind, celsius: float, day_h: float) -> float:
    """Days from seed to flower at one temperature and day length."""
    seed = seed_of(kind)
    up = seed.need / max(celsius - seed.base_c, 1.0)
    need = degree_days_from_emergence(kind)
    return up + need / (gain_at(kind, celsius) * float(pace_of(kind, np.array([day_h]))[0]))


def base_rates(catalogue: Catalogue, folder: Path) -> dict[str, Rate]:
    """Rates before any fit: the catalogue's days, published optima or those of the class."""
    published: dict[str, list[float]] = defaultdict(list)
    for line in read_table(folder / "optimum_temperatures.csv"):
        published[line["kind"]].append(float(line["optimum_c"]))
    return {
        kind.key: Rate(
            1.0,
            float(np.mean(published[kind.key]))
            if kind.key in published
            else OPTIMUM_C[kind.hardiness],
            0.0,
        )
        for kind in catalogue
    }


def fit_shared(rows: Sequence[Row], rates: dict[str, Rate]) -> Shared:
    """The figures for all kinds that forecast the rows best."""
    names = [field.name for field in fields(Shared)]
    flowers = np.array([row.flowers for row in rows])
    middle, spread = (np.array([PRIOR[name][i] for name in names]) for i in (0, 1))

    def cost(scaled: NDArray[np.float64]) -> float:
        with using(Shared(*(middle + spread * scaled)), rates):
            off = (forecast(rows) - flowers) / 10.0
        return float(np.sum(np.sqrt(1 + off**2) - 1) + 0.5 * np.sum(scaled**2))

    start = np.vstack([np.zeros(len(names)), -0.7 * np.eye(len(names))])
    steps = {"xatol": 0.02, "fatol": 0.02, "maxiter": 200, "initial_simplex": start}
    found = minimize(cost, start[0], method="Nelder-Mead", options=steps)
    return Shared(*(float(value) for value in middle + spread * found.x))


def fit_kinds(
    rows: Sequence[Row],
    trials: Sequence[Trial],
    shared: Shared,
    rates: dict[str, Rate],
    catalogue: Catalogue,
) -> dict[str, Rate]:
    """Every kind's days and their error, by regression on class, family and kind."""
    kinds = list(catalogue)
    effects = [*(kind.key for kind in kinds), *sorted({k.family for k in kinds}), *OPTIMUM_C]
    place = {name: i for i, name in enumerate(effects)}
    design = np.zeros((len(kinds), len(effects)))
    for i, kind in enumerate(kinds):
        design[i, [place[kind.key], place[kind.family], place[kind.hardiness]]] = 1.0
    number = {kind.key: i for i, kind in enumerate(kinds)}
    off, slope, error = [], [], []
    with using(shared, rates):
        off.extend(forecast(rows) - [row.flowers for row in rows])
    ends = []
    for factor in (0.85, 1.15):
        scaled = {key: replace(rate, days=rate.days * factor) for key, rate in rates.items()}
        with using(shared, scaled):
            ends.append(forecast(rows))
    slope.extend((ends[1] - ends[0]) / np.log(1.15 / 0.85))
    error.extend([ROW_DAYS] * len(rows))
    with using(shared, rates):
        for trial in trials:
            days = days_at(trial.kind, trial.celsius, trial.day_h)
            off.append(days - trial.days)
            slope.append(days)
            error.append(TRIAL * trial.days)
    members = [number[one.kind.key] for one in [*rows, *trials]]
    lean = design[members] * (np.array(slope) / error)[:, None]
    target = -np.array(off) / error
    sizes = [OWN] * len(kinds) + [FAMILY] * (len(effects) - len(kinds) - 3) + [CLASS] * 3
    prior = np.diag(1.0 / np.array(sizes) ** 2)
    weight = np.ones(len(members))
    for _ in range(20):
        precision = lean.T @ (lean * weight[:, None]) + prior
        effect = np.linalg.solve(precision, lean.T @ (target * weight))
        # Rows far off, such as those of another strain or a misread month, count for less.
        weight = 1.0 / (1.0 + (target - lean @ effect) ** 2)
    open_still = design @ np.linalg.solve(precision, design.T)
    spread = np.sqrt(np.diag(open_still) + STRAIN**2)
    change = design @ effect
    return {
        kind.key: Rate(float(np.exp(change[i])), rates[kind.key].optimum_c, float(spread[i]))
        for i, kind in enumerate(kinds)
    }


def fit(
    rows: Sequence[Row], trials: Sequence[Trial], catalogue: Catalogue, folder: Path
) -> tuple[Shared, dict[str, Rate]]:
    """Both steps."""
    rates = base_rates(catalogue, folder)
    shared = fit_shared(rows, rates)
    return shared, fit_kinds(rows, trials, shared, rates, catalogue)


def judge(rows: Sequence[Row], errors: NDArray[np.float64]) -> str:
    """Errors in days, by climate and way of raising."""
    groups: dict[str, list[float]] = defaultdict(list)
    for row, error in zip(rows, errors, strict=True):
        groups[row.group].append(error)
    lines = [f"{'':24}rows  median  within 21 days  over 28 late"]
    for name, some in [*sorted(groups.items()), ("all", list(errors))]:
        off = np.array(some)
        close, late = (np.abs(off) <= 21).mean(), (off > 28).mean()
        lines.append(f"{name:24}{len(off):4}{np.median(off):+8.1f}{close:15.0%}{late:14.0%}")
    return "\n".join(lines)


def write(shared: Shared, rates: dict[str, Rate]) -> None:
    """Both tables of the package."""
    OUT.mkdir(exist_ok=True)
    made = f"# Written by tools/fit_growth.py on {date.today()}; see there.\n"
    lines = [f"{name},{value:.3f}" for name, value in asdict(shared).items()]
    (OUT / "shared.csv").write_text(made + "name,value\n" + "\n".join(lines) + "\n", "utf-8")
    middle = Rate(1.0, OPTIMUM_C["half_hardy"], float(np.max([r.error for r in rates.values()])))
    rows = [
        f"{key},{rate.days:.3f},{rate.optimum_c:.1f},{rate.error:.3f}"
        for key, rate in [("*", middle), *sorted(rates.items())]
    ]
    head = "# days: multiple of the catalogue's days to bloom; *: kinds that are not in the table\n"
    table = made + head + "key,days,optimum_c,error\n" + "\n".join(rows) + "\n"
    (OUT / "kinds.csv").write_text(table, "utf-8")


def main() -> None:
    """Fit and write, or judge."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", nargs="?", type=Path, default=ROWS)
    parser.add_argument("--judge", action="store_true")
    given = parser.parse_args()
    catalogue = load_catalogue()
    rows, trials = read_rows(given.folder, catalogue), read_trials(given.folder, catalogue)
    if given.judge:
        errors = np.empty(len(rows))
        for third in range(3):
            kept = [row for i, row in enumerate(rows) if i % 3 != third]
            left = [i for i in range(len(rows)) if i % 3 == third]
            shared, rates = fit(kept, trials, catalogue, given.folder)
            with using(shared, rates):
                errors[left] = forecast([rows[i] for i in left]) - [rows[i].flowers for i in left]
        sys.stdout.write(judge(rows, errors) + "\n")
        return
    kept = [row for row in rows if row.use == "fit"]
    shared, rates = fit(kept, trials, catalogue, given.folder)
    write(shared, rates)
    for use in ("fit", "judge"):
        some = [row for row in rows if row.use == use]
        with using(shared, rates):
            errors = forecast(some) - [row.flowers for row in some]
        sys.stdout.write(f"rows marked {use}\n{judge(some, errors)}\n")


def _row(line: dict[str, str], catalogue: Catalogue) -> Row:
    """A row with its days as indices into the growing year in which it flowers."""
    north = float(line["place"].split()[0]) >= 0
    kind, in_place = catalogue.kinds[line["kind"]], line["method"] == "in_place"
    sown = _index(line["sow"], north)
    out = sown if in_place else _index(line["set_out"], north)
    if out < sown:
        sown -= DAYS
    if line["flower_from"]:
        flowers = _index(line["flower_from"], north)
        flowers += DAYS * (flowers < out)
    else:
        flowers = sown + int(line["days"])
    if flowers >= DAYS:
        sown, out, flowers = sown - DAYS, out - DAYS, flowers - DAYS
    way = Way(kind, sown, out, in_place=in_place)
    return Row(line["use"], kind, line["place"], line["climate"], way, flowers)


def _index(text: str, north: bool) -> int:
    """Index of ``MM-DD`` or of a month's middle, ``MM``, into a growing year."""
    month, day = (int(part) for part in (text if "-" in text else f"{text}-15").split("-"))
    since = (date(YEAR, month, day) - date(YEAR, 1, 1)).days
    return since if north else (since - 181) % DAYS


if __name__ == "__main__":
    main()
