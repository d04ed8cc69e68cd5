"""Days in words, the same on every system: not every one's strftime leaves out a leading zero."""

from __future__ import annotations

from datetime import date


def day_month(day: date) -> str:
    """3 May."""
    return f"{day.day} {day:%B}"


def day_month_year(day: date) -> str:
    """3 December 2027."""
    return f"{day.day} {day:%B %Y}"


def short_day_month(day: date) -> str:
    """3 Dec."""
    return f"{day.day} {day:%b}"


def short_day_month_year(day: date) -> str:
    """3 Dec 2027."""
    return f"{day.day} {day:%b %Y}"
