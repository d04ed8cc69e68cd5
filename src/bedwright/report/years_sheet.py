"""The years of a garden side by side, and how its forecasts came out, as tables of words."""

from __future__ import annotations

from collections.abc import Iterable

from bedwright.journal import BedYear, Reliability, Seen

YEAR_HEADS = (
    "Year",
    "Bed",
    "Kinds",
    "To set out: plan, done",
    "Lost",
    "Hours: plan, spent",
    "Weeks in flower: forecast, seen",
    "Cost by plan",
    "Stems",
    "Frosts",
    "Entries",
)
KEPT_HEADS = ("Forecast with odds of", "Forecasts", "Mean odds", "Happened", "May be, 80%")


def year_rows(years: Iterable[BedYear]) -> list[list[str]]:
    """A row for each bed in each year, under YEAR_HEADS; a dash for what nothing says."""
    return [
        [
            str(one.year),
            one.title,
            str(one.kinds),
            _both(one.plants, 0),
            str(one.lost),
            _both(one.hours, 1),
            _both(one.weeks, 1),
            f"{one.currency}{one.cost:,.2f}",
            str(one.stems),
            str(one.frosts),
            str(one.entries),
        ]
        for one in years
    ]


def _both(seen: Seen, digits: int) -> str:
    planned, found = (
        "–" if value is None else f"{value:.{digits}f}" for value in (seen.planned, seen.seen)
    )
    return f"{planned}, {found}"


def kept_rows(kept: Reliability) -> list[list[str]]:
    """A row for each bin of odds with a forecast in it, under KEPT_HEADS."""
    return [
        [
            f"{one.low:.0%} to {one.high:.0%}",
            str(one.share.of),
            f"{one.share.promised:.0%}",
            f"{one.share.happened / one.share.of:.0%}",
            f"{one.share.low:.0%} to {one.share.high:.0%}",
        ]
        for one in kept.bins
        if one.share.of
    ]
