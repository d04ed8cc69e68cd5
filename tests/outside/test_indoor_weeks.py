"""Weeks of raising indoors against what growers, seed houses and extension services print.

Sources stand in ``data/indoor_weeks.csv``, row by row.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from pathlib import Path

import numpy as np
import pytest

from bedwright.catalogue import Catalogue
from bedwright.climate import Season
from bedwright.growth import Course

TABLE = Path(__file__).parent / "data/indoor_weeks.csv"


def published() -> dict[str, list[tuple[float, float]]]:
    """Lowest and highest weeks of every row, by kind."""
    lines = [line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("#")]
    found: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for row in csv.DictReader(lines):
        found[row["kind"]].append((float(row["low"]), float(row["high"])))
    return found


@pytest.mark.parametrize("key", sorted(published()))
def test_weeks_indoors_are_near_the_published_ones(key: str, catalogue: Catalogue) -> None:
    """Within three weeks of the range that all sources span: two sources of one kind, such as Iowa
    State's eight to ten weeks for impatiens and a nursery's twelve, differ as much."""
    sowing, rows = catalogue.kinds[key].sowing, published()[key]
    ours = (sowing.weeks_min + sowing.weeks_max) / 2
    assert min(low for low, _ in rows) - 3 <= ours <= max(high for _, high in rows) + 3


def test_weeks_indoors_lean_neither_way(catalogue: Catalogue) -> None:
    off = []
    for key, rows in published().items():
        sowing = catalogue.kinds[key].sowing
        middle = float(np.median([(low + high) / 2 for low, high in rows]))
        off.append((sowing.weeks_min + sowing.weeks_max) / 2 - middle)
    assert abs(np.median(off)) <= 0.5
    assert np.mean(np.abs(off) <= 2) >= 0.85


def test_a_plan_sows_indoors_by_these_weeks(courses: dict[str, Course], galway: Season) -> None:
    """From the day a kind goes out, back by its own weeks."""
    for key in published():
        course = courses[key]
        if course.method == "indoors":
            sowing = course.kind.sowing
            weeks = (course.out - course.sow) / 7
            assert sowing.weeks_min - 0.1 <= weeks <= sowing.weeks_max + 0.1, key
            assert galway.day(course.sow) < galway.day(course.out)
