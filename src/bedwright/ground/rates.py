"""Rates of the ground work, from a table that names a source for each."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files


def rate_rows() -> list[dict[str, str]]:
    """The rows of the table: key, value, unit, source."""
    text = (files("bedwright.ground") / "data/rates.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def rates() -> dict[str, float]:
    """Rates by key, in the units of the table."""
    return {row["key"]: float(row["value"]) for row in rate_rows()}


def dig_minutes_m2(texture: str) -> float:
    """Minutes that a square metre of a soil takes to dig."""
    return rates()[f"dig_{texture.replace(' ', '_')}"]
