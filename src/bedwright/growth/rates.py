"""What the growth of kinds was fitted to come out at, beside the catalogue's own figures.

The figures stand in ``data/shared.csv`` (one for all kinds) and ``data/kinds.csv`` (one row for
each kind); ``tools/fit_growth.py`` writes both from trials at set temperatures and from dates of
flowering in gardens.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files


@dataclass(frozen=True)
class Shared:
    """Figures for all kinds.

    ``reference_c``: mean temperature that the catalogue's days to bloom are for; ``indoor_c``:
    warmth that growth on a window sill or in a cold greenhouse amounts to; ``long_day``,
    ``short_day``: pace of kinds that long days hurry, and of those that they hold back, where days
    are longest.
    """

    reference_c: float
    indoor_c: float
    long_day: float
    short_day: float


@dataclass(frozen=True)
class Rate:
    """One kind's: its days to bloom as a multiple of the catalogue's, the temperature above which
    more warmth hurries it no further, and the standard error of the logarithm of its days."""

    days: float
    optimum_c: float
    error: float


def shared() -> Shared:
    """The figures for all kinds."""
    return (_tried.get() or _of_the_package())[0]


def kind_rates() -> Mapping[str, Rate]:
    """The figures of each kind, by key; "*" of kinds that were never fitted."""
    return (_tried.get() or _of_the_package())[1]


def rate_of(key: str) -> Rate:
    """A kind's figures; those of a kind that was never fitted where its key is not known."""
    rates = kind_rates()
    return rates[key] if key in rates else rates["*"]


@contextmanager
def using(figures: Shared, rates: Mapping[str, Rate]) -> Iterator[None]:
    """Other figures than the package's, for a fit."""
    token = _tried.set((figures, rates))
    try:
        yield
    finally:
        _tried.reset(token)


_tried: ContextVar[tuple[Shared, Mapping[str, Rate]] | None] = ContextVar("tried", default=None)


@lru_cache(maxsize=1)
def _of_the_package() -> tuple[Shared, Mapping[str, Rate]]:
    """The figures as fitted."""
    figures = Shared(**{row["name"]: float(row["value"]) for row in _rows("shared.csv")})
    rates = {
        row["key"]: Rate(float(row["days"]), float(row["optimum_c"]), float(row["error"]))
        for row in _rows("kinds.csv")
    }
    return figures, rates


def _rows(name: str) -> list[dict[str, str]]:
    """Rows of a table of the package, comments left out."""
    text = (files("bedwright.growth") / "data" / name).read_text("utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))
