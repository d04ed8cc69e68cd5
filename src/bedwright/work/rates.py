"""Day offsets and rates of the work, from tables that name a source for each."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import date
from functools import cache
from importlib.resources import files
from typing import NamedTuple


class Window(NamedTuple):
    """First, best and last day of a job, in days after (minus: before) what it goes by."""

    earliest: int
    best: int
    latest: int

    def after(self, index: int, day: Callable[[int], date]) -> tuple[date, date, date]:
        """The three days as dates; ``index``: of the day it goes by; ``day``: index to date."""
        return day(index + self.earliest), day(index + self.best), day(index + self.latest)


def rows_of(table: str) -> list[dict[str, str]]:
    """The rows of one of the package's tables."""
    text = (files("bedwright.work") / f"data/{table}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def windows() -> dict[str, Window]:
    """Windows of the jobs by name."""
    return {
        row["job"]: Window(int(row["earliest"]), int(row["best"]), int(row["latest"]))
        for row in rows_of("windows")
    }


@cache
def rates() -> dict[str, float]:
    """Rates by name, in the units of their table."""
    return {row["rate"]: float(row["value"]) for row in rows_of("rates")}
