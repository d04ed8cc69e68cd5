from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

import bedwright
from bedwright.dates import day_month, day_month_year, short_day_month, short_day_month_year


@pytest.mark.parametrize(
    ("said", "early", "late"),
    [
        (day_month, "3 May", "24 December"),
        (day_month_year, "3 May 2027", "24 December 2027"),
        (short_day_month, "3 May", "24 Dec"),
        (short_day_month_year, "3 May 2027", "24 Dec 2027"),
    ],
)
def test_days_in_words(said: Callable[[date], str], early: str, late: str) -> None:
    assert said(date(2027, 5, 3)) == early
    assert said(date(2027, 12, 24)) == late


def test_no_date_is_formatted_in_a_way_that_windows_lacks() -> None:
    """``%-d`` is known to the C libraries of Linux and macOS alone; Windows raises."""
    found = [
        f"{path.name}: {line.strip()}"
        for path in Path(bedwright.__file__).parent.rglob("*.py")
        for line in path.read_text(encoding="utf-8").splitlines()
        if re.search(r"%[-#_^][a-zA-Z]", line)
    ]
    assert found == []
