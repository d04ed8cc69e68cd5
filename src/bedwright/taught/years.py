"""The years of a garden side by side: what was planned, what came of it, and how forecasts of frost
came out."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

import numpy as np

from bedwright.journal import BedYear, Entry, Reliability, Seen, reliability
from bedwright.taught.flowers import first_flowers, outcome_of
from bedwright.taught.garden import BedYears

BEFORE_DAYS = 160
"""Days before a growing year from which entries are of it: work is begun in autumn."""

AIR_FROST_C = 0.0
"""The threshold whose dates are held against frosts that were written down."""


def bed_years(beds: Iterable[BedYears]) -> list[BedYear]:
    """Every year of which a plan is kept as the one that a bed was grown by, the earliest first."""
    out = list[BedYear]()
    for bed in beds:
        plans = {year: json.loads(plan) for year, plan in bed.plans.items()}
        for plan in plans.values():
            if "supplies" in plan:
                out.append(_bed_year(plan, entries_of_plan(bed.entries, plan)))
    return sorted(out, key=lambda one: (one.year, one.title))


def entries_of_plan(entries: Iterable[Entry], plan: Mapping[str, Any]) -> list[Entry]:
    """The entries of a plan's growing year."""
    start = date.fromisoformat(plan["season"]["start"])
    first, end = start - timedelta(days=BEFORE_DAYS), start + timedelta(days=365)
    return [entry for entry in entries if first <= entry.day < end]


def _bed_year(plan: Mapping[str, Any], entries: Sequence[Entry]) -> BedYear:
    items = plan["items"]
    minutes = [entry.minutes for entry in entries if entry.minutes is not None]
    labour = [float(row["hours"]) for row in plan["supplies"]["labour"]]
    out = [entry.count for entry in entries if entry.what == "set_out" and entry.count is not None]
    planned, seen = _weeks(items, entries)
    return BedYear(
        year=int(plan["season"]["year"]),
        title=plan["title"],
        kinds=len({item["kind"] for item in items}),
        plants=Seen(
            sum(item["plants"] for item in items if item["method"] != "in_place"),
            float(sum(out)) if out else None,
        ),
        lost=sum(entry.count or 0 for entry in entries if entry.what == "lost"),
        hours=Seen(sum(labour) or None, sum(minutes) / 60.0 if minutes else None),
        weeks=Seen(planned, seen),
        cost=float(plan["supplies"]["cost"]),
        currency=plan["currency"],
        stems=sum(entry.count or 0 for entry in entries if entry.what == "picked"),
        frosts=len({entry.day for entry in entries if entry.what == "frost"}),
        entries=len(entries),
    )


def _weeks(
    items: Sequence[Mapping[str, Any]], entries: Sequence[Entry]
) -> tuple[float | None, float | None]:
    """Mean weeks in bloom of the kinds whose first flower and end were written down: as forecast,
    and as seen."""
    firsts, ends = dict[str, date](), dict[str, date]()
    for entry in entries:
        if entry.kind is not None and entry.what == "first_flower":
            firsts[entry.kind] = min(entry.day, firsts.get(entry.kind, entry.day))
        if entry.kind is not None and entry.what == "over":
            ends[entry.kind] = max(entry.day, ends.get(entry.kind, entry.day))
    planned, seen = [], []
    for kind in sorted(firsts.keys() & ends.keys()):
        odds = [sum(item["bloom_odds_by_week"]) for item in items if item["kind"] == kind]
        if odds and ends[kind] > firsts[kind]:
            planned.append(float(np.mean(odds)))
            seen.append((ends[kind] - firsts[kind]).days / 7.0)
    if not seen:
        return None, None
    return float(np.mean(planned)), float(np.mean(seen))


def forecasts_kept(beds: Iterable[BedYears], today: date) -> Reliability:
    """How often what the plans forecast with some odds happened: first flowers by their dates, and
    frosts of spring after theirs, of years in which frosts were written down."""
    pairs = list[tuple[float, bool]]()
    for bed in beds:
        for plan in map(json.loads, bed.plans.values()):
            own = entries_of_plan(bed.entries, plan)
            pairs += _of_flowers(plan, own, today)
            pairs += _of_frosts(plan, own, today)
    return reliability(pairs)


def _of_flowers(
    plan: Mapping[str, Any], entries: Sequence[Entry], today: date
) -> list[tuple[float, bool]]:
    pairs = list[tuple[float, bool]]()
    for flower in first_flowers(plan):
        outcome = outcome_of(flower, entries, today)
        if outcome is None or outcome.happened is None:
            continue
        days = zip((0.1, 0.5, 0.9), (flower.early, flower.median, flower.late), strict=True)
        pairs += [(odds, outcome.happened <= day) for odds, day in days]
    return pairs


def _of_frosts(
    plan: Mapping[str, Any], entries: Sequence[Entry], today: date
) -> list[tuple[float, bool]]:
    """Frosts of spring after the days that were forecast for them with some odds."""
    start = date.fromisoformat(plan["season"]["start"])
    half = start + timedelta(days=204)
    frosts = [
        entry.day
        for entry in entries
        if entry.what == "frost" or (entry.tmin_c is not None and entry.tmin_c <= AIR_FROST_C)
    ]
    spring = [day for day in frosts if start <= day < half]
    if not spring or today < half:
        return []
    rows = [row for row in plan["season"].get("frost", ()) if row["threshold_c"] == AIR_FROST_C]
    return [
        (float(odds.rstrip("%")) / 100.0, max(spring) > date.fromisoformat(day))
        for row in rows
        for odds, day in row["spring"].items()
        if day is not None
    ]
