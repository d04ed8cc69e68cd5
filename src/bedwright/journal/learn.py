"""What a garden's own observations say of germination and of plants that live on, and what the
other modules that learn of a garden (``learn_dates``, ``learn_minima``) share.

Each is a pure function of entries and of what holds without them.  What was seen moves the
catalogue's figure, further the more of it there is; where nothing was seen, the catalogue's stands.
What has no entry may not have happened, or nobody wrote it down.  The share that this gardener
writes down is not known, so all shares count, each as likely.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from math import sqrt

import numpy as np
import scipy
from numpy.typing import NDArray

from bedwright.facts import Fact
from bedwright.journal.entry import Entry
from bedwright.journal.learned import (
    CountedEarly,
    LossUncounted,
    MoreLostThanStood,
    MoreThanSown,
    Rate,
    RateHere,
    Rates,
    Sowing,
    SownUnknown,
    Tally,
    WhatRate,
)

Floats = NDArray[np.float64]

OUTER = 0.1
"""Odds below and above each interval: 80% lie within it."""

KIND_PLANTS = 8.0
"""Seeds, or plants, that a kind's rate in the catalogue counts for (estimate: its rate in one
garden then differs from the catalogue's by 13 points at 80%, standard deviation, for strains, age
of seed and how it is sown)."""

SOWING_PLANTS = 12.0
"""As KIND_PLANTS, of one sowing beside the kind's rate in this garden (estimate: 11 points at 80%,
for the packet and the weather; counts are no better than that however many seeds they are of)."""

GARDEN_LOGIT = 0.35
"""Standard deviation of the shift, in logits, that all kinds share in a garden (estimate: 80% are
74 to 85% in two gardens of three; one kind that fails moves the others by a seventh of it)."""

_MOST_STEPS, _EXACT, _LEAST = 60, 1e-9, 1e-300
"""Steps to a point of a distribution at most, how exact it is to be, and the least density."""

LONGEST_DAYS = 365
"""Days after a sowing from which what comes up is not put down to it (estimate)."""


def learn_germination(
    entries: Iterable[Entry],
    catalogue: Mapping[str, float],
    names: Mapping[str, str] | None = None,
    days_to_come_up: Mapping[str, float] | None = None,
) -> Rates:
    """The share of seed that comes up here, by kind and by sowing.

    ``catalogue``: each kind's rate, 0 to 1 (of what is sown outdoors, the rate in the open);
    ``names``: what kinds are called in facts; ``days_to_come_up``: days after which the last seed
    of a kind is up, before which a count is not used.  Of one sowing the latest count is taken,
    of as many seeds as it says, else as were sown.  Raises ValueError for a rate that is not
    between 0 and 1.
    """
    kinds, facts = named(catalogue, names), list[Fact]()
    tallies = _came_up(entries, kinds, days_to_come_up or {}, facts)
    return _with_facts("germination", rates_of(tallies, catalogue), catalogue, kinds, facts)


def learn_survival(
    entries: Iterable[Entry],
    catalogue: Mapping[str, float],
    names: Mapping[str, str] | None = None,
) -> Rates:
    """The share of plants that live on after they are pricked out or, where none were, set out.

    Plants count once a later entry of their kind shows that somebody looked at them.  Arguments and
    errors as in ``learn_germination``.
    """
    kinds, facts = named(catalogue, names), list[Fact]()
    tallies = _lived(entries, kinds, facts)
    return _with_facts("survival", rates_of(tallies, catalogue), catalogue, kinds, facts)


def named(keys: Iterable[str], names: Mapping[str, str] | None) -> dict[str, str]:
    """What each kind is called: by its name, else by its key in words."""
    return {key: (names or {}).get(key, key.replace("_", " ")) for key in keys}


def _with_facts(
    what: WhatRate,
    rates: Rates,
    catalogue: Mapping[str, float],
    names: Mapping[str, str],
    doubts: Sequence[Fact],
) -> Rates:
    """With a fact for every kind that was counted, and what was wrong with counts."""
    here = [
        RateHere(
            what,
            names[kind],
            rate.mean,
            rate.low,
            rate.high,
            catalogue[kind],
            rate.seen,
            rate.sowings,
        )
        for kind, rate in rates.by_kind.items()
        if rate.seen
    ]
    return replace(rates, facts=(*here, *doubts))


# What was counted


def _order(entry: Entry) -> tuple[date, str, str, int, int]:
    """Entries in an order that does not depend on how they were given."""
    return entry.day, entry.kind or "", entry.colour or "", entry.count or 0, entry.of or 0


def _finder(sown: Iterable[Entry]) -> Callable[[Entry], tuple[date | None, int | None]]:
    """The day of the latest sowing that an entry can be of, and the seeds sown then; None where
    that is not known."""
    by_kind = defaultdict[str, list[Entry]](list)
    for entry in sown:
        by_kind[entry.kind or ""].append(entry)

    @cache
    def sowings(kind: str, colour: str | None) -> tuple[list[date], dict[date, int | None]]:
        seeds: dict[date, int | None] = {}
        for entry in by_kind[kind]:
            if colour is None or entry.colour in (None, colour):
                before = seeds.get(entry.day, 0)
                unknown = before is None or entry.count is None
                seeds[entry.day] = None if unknown else (before or 0) + (entry.count or 0)
        return sorted(seeds), seeds

    def find(entry: Entry) -> tuple[date | None, int | None]:
        days, seeds = sowings(entry.kind or "", entry.colour)
        at = bisect_right(days, entry.day) - 1
        if at < 0 or (entry.day - days[at]).days > LONGEST_DAYS:
            return None, None
        return days[at], seeds[days[at]]

    return find


def _came_up(
    entries: Iterable[Entry],
    names: Mapping[str, str],
    days_to_come_up: Mapping[str, float],
    facts: list[Fact],
) -> list[Tally]:
    """The latest sound count of each sowing; what is wrong with others is added to the facts."""
    of_kinds = [entry for entry in entries if entry.kind in names]
    find = _finder(entry for entry in of_kinds if entry.what == "sown")
    latest: dict[Sowing, tuple[date, Tally]] = {}
    for entry in sorted((one for one in of_kinds if one.what == "came_up"), key=_order):
        if entry.kind is None or entry.count is None:
            continue
        (day, sown), name = find(entry), names[entry.kind]
        of = sown if entry.of is None else entry.of
        if of is None:
            facts.append(SownUnknown(name, entry.day, entry.count))
        elif entry.count > of:
            facts.append(MoreThanSown(name, entry.day, "up", entry.count, of))
        elif sown is not None and of > sown:
            facts.append(MoreThanSown(name, entry.day, "of", of, sown))
        elif of:
            year = entry.day.year if day is None else None
            sowing = Sowing(entry.kind, day, entry.colour, year)
            latest[sowing] = entry.day, Tally(sowing, entry.count, of)
    in_colours = {sowing._replace(colour=None) for sowing in latest if sowing.colour is not None}
    tallies = []
    for sowing, (counted, tally) in latest.items():
        wait = days_to_come_up.get(sowing.kind, 0.0)
        until = sowing.day and sowing.day + timedelta(days=wait)
        if until and counted < until:
            facts.append(CountedEarly(names[sowing.kind], counted, until))
        elif sowing not in in_colours:
            tallies.append(tally)
    return tallies


def _lived(entries: Iterable[Entry], names: Mapping[str, str], facts: list[Fact]) -> list[Tally]:
    """Of the plants of each sowing that were pricked out or set out, those not lost since."""
    of_kinds = [entry for entry in entries if entry.kind in names]
    find = _finder(entry for entry in of_kinds if entry.what == "sown")
    looked: dict[str, date] = {}
    for entry in of_kinds:
        if entry.what != "sown" and entry.kind is not None:
            looked[entry.kind] = max(entry.day, looked.get(entry.kind, entry.day))
    groups = defaultdict[Sowing, list[Entry]](list)
    begun = defaultdict[str, list[tuple[date, Sowing]]](list)
    moved = [entry for entry in of_kinds if entry.what in ("pricked_out", "set_out")]
    for entry in sorted(moved, key=_order):
        if entry.kind is None or not entry.count:
            continue
        day, _ = find(entry)
        sowing = Sowing(entry.kind, day, None, entry.day.year if day is None else None)
        if sowing not in groups:
            begun[entry.kind].append((entry.day, sowing))
        groups[sowing].append(entry)
    lost = defaultdict[Sowing, list[Entry]](list)
    for entry in (one for one in of_kinds if one.what == "lost"):
        own, of_kind = Sowing(entry.kind or "", find(entry)[0]), begun[entry.kind or ""]
        at = bisect_right(of_kind, entry.day, key=lambda each: each[0]) - 1
        if own in groups and groups[own][0].day <= entry.day:
            lost[own].append(entry)
        elif at >= 0:
            lost[of_kind[at][1]].append(entry)
    tallies = []
    for sowing, moves in groups.items():
        stood = max(
            sum(one.count or 0 for one in moves if one.what == what)
            for what in ("pricked_out", "set_out")
        )
        gone = sum(one.count or 0 for one in lost[sowing])
        name, first = names[sowing.kind], moves[0].day
        if any(one.count is None for one in lost[sowing]):
            facts.append(LossUncounted(name, first, stood))
        elif gone > stood:
            facts.append(MoreLostThanStood(name, first, gone, stood))
        elif gone or looked[sowing.kind] > moves[-1].day:
            tallies.append(Tally(sowing, stood - gone, stood))
    return tallies


# Rates


def rates_of(
    tallies: Collection[Tally],
    catalogue: Mapping[str, float],
    *,
    garden_logit: float = GARDEN_LOGIT,
    kind_plants: float = KIND_PLANTS,
    sowing_plants: float = SOWING_PLANTS,
) -> Rates:
    """Rates of kinds and sowings from counts: beta-binomial on three levels.

    The logit of a kind's mean rate in a garden is the catalogue's and a normal shift that all kinds
    share, so that the mean over all gardens is the catalogue's rate; its own rate there is beta
    about that mean, as if ``kind_plants`` had been counted before; each sowing's is beta about the
    kind's, as if ``sowing_plants`` had.  The conjugate posterior of a kind (Gelman et al., Bayesian
    Data Analysis, 3rd ed., section 2.4) takes a sowing's n plants for n / (1 + (n - 1) / (1 +
    ``sowing_plants``)), the number without spread between sowings that has the same variance (Kish
    1965, Survey Sampling: the design effect).  The shift has its posterior given all counts, by
    quadrature; what a kind or a sowing has is the mixture over it.  A sowing's own rate has for its
    prior what the others of its kind say.

    Raises ValueError for a rate of the catalogue that is not between 0 and 1, and for a tally of
    another kind, of none, or of more than there were.
    """
    kinds = sorted(catalogue)
    for kind in kinds:
        accept(0.0 < catalogue[kind] < 1.0, f"catalogue['{kind}']", catalogue[kind],
                "a share above 0 and below 1")  # fmt: skip
    for tally in tallies:
        accept(tally.sowing.kind in catalogue, "tally", tally, "a kind of the catalogue")
        accept(
            0 <= tally.good <= tally.of and tally.of > 0, "tally", tally, "0 to all of 1 or more"
        )
    at = {kind: n for n, kind in enumerate(kinds)}
    own = np.array([at[tally.sowing.kind] for tally in tallies], np.int64)
    good, of = (np.array([tally[n] for tally in tallies], float) for n in (1, 2))
    worth = 1.0 / (1.0 + (of - 1.0) / (1.0 + sowing_plants))
    up, down = good * worth, (of - good) * worth
    sums = [np.bincount(own, each, len(kinds)).astype(float) for each in (up, down)]
    base = _logits(np.array([catalogue[kind] for kind in kinds]), garden_logit)
    shift, weight = _shift(base, sums[0], sums[1], garden_logit, kind_plants)
    centre = kind_plants * scipy.special.expit(base[:, None] + shift)
    a, b = centre + sums[0][:, None], kind_plants - centre + sums[1][:, None]
    least, most = _mixed_interval(a, b, weight)
    seen = np.bincount(own, of, len(kinds)).astype(int)
    times = np.bincount(own, minlength=len(kinds))
    rate = (a / (a + b)) @ weight
    by_kind = {
        kind: Rate(float(rate[n]), float(least[n]), float(most[n]), int(seen[n]), int(times[n]))
        for n, kind in enumerate(kinds)
    }
    others = a[own] - up[:, None], b[own] - down[:, None]
    own_a, own_b = _before_sowing(*others, weight, sowing_plants)
    own_a, own_b = own_a + good, own_b + of - good
    ends = (scipy.special.betaincinv(own_a, own_b, odds) for odds in (OUTER, 1.0 - OUTER))
    columns = (own_a / (own_a + own_b), *ends)
    by_sowing = {
        tally.sowing: Rate(mean, low, high, tally.of, 1)
        for tally, mean, low, high in zip(
            tallies, *(each.tolist() for each in columns), strict=True
        )
    }
    middle = float(shift @ weight)
    spread = sqrt(max(float(shift**2 @ weight) - middle**2, 0.0))
    return Rates(middle, spread, by_kind, by_sowing)


def accept(sound: bool, field: str, given: object, accepted: str) -> None:
    """Raise ValueError for what is not accepted."""
    if not sound:
        raise ValueError(f"{field}: given {given}; accepted: {accepted}")


@cache
def normal_points(points: int) -> tuple[Floats, Floats]:
    """Points and weights that stand for a standard normal (Gauss and Hermite's quadrature)."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(points)
    return nodes, weights / weights.sum()


@cache
def shares_written() -> tuple[Floats, Floats]:
    """Shares of what happens that may be written down, up to 0.99, and their weights: each is as
    likely (Gauss and Legendre's quadrature)."""
    nodes, weights = np.polynomial.legendre.leggauss(12)
    return (nodes + 1.0) / 2.0, weights / 2.0


def normalised(logs: Floats) -> Floats:
    """Weights that add to 1, of their logarithms."""
    weights = np.exp(logs - logs.max())
    return np.asarray(weights / weights.sum())


def _logits(rates: Floats, sd: float) -> Floats:
    """Logits about which normal ones of a standard deviation have these mean rates."""
    nodes, weights = normal_points(21)
    logits = scipy.special.logit(rates)
    for _ in range(12):  # Newton's steps, which are few: the first guess is near
        each = scipy.special.expit(logits[:, None] + sd * nodes)
        logits = logits - (each @ weights - rates) / ((each * (1.0 - each)) @ weights)
    return np.asarray(logits)


def _shift(
    base: Floats, up: Floats, down: Floats, sd: float, strength: float
) -> tuple[Floats, Floats]:
    """Points and weights of the shift that all kinds share, given what came of each."""
    counted = up + down > 0.0
    a, b, centre = up[counted, None], down[counted, None], base[counted, None]

    def logs(standard: Floats) -> Floats:
        mean = strength * scipy.special.expit(centre + sd * standard)
        rest = strength - mean
        odds = scipy.special.betaln(mean + a, rest + b) - scipy.special.betaln(mean, rest)
        return np.asarray(odds.sum(axis=0) - standard**2 / 2.0)

    nodes, weights = normal_points(21)
    if not counted.any():
        return sd * nodes, weights
    grid = np.linspace(-8.0, 8.0, 81)
    first = normalised(logs(grid))
    middle = first @ grid
    spread = sqrt(first @ (grid - middle) ** 2)
    points = middle + spread * nodes
    found = normalised(np.log(weights) + nodes**2 / 2.0 + logs(points))
    kept = found > 1e-12
    return sd * points[kept], found[kept] / found[kept].sum()


def _mixed_interval(a: Floats, b: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """The 10% and 90% points of mixtures of betas (kinds, points), by Newton's steps, halved where
    one would lead out of what is known to hold the point."""
    goal = np.array([[OUTER], [1.0 - OUTER]])
    low, high = np.zeros((2, len(a))), np.ones((2, len(a)))
    at, scale = np.clip((a / (a + b)) @ weight + 0.0 * goal, 0.01, 0.99), scipy.special.betaln(a, b)
    for _ in range(_MOST_STEPS):
        each = at[..., None]
        short = goal - scipy.special.betainc(a, b, each) @ weight
        low, high = np.where(short > 0.0, at, low), np.where(short > 0.0, high, at)
        logs = (a - 1.0) * np.log(each) + (b - 1.0) * np.log1p(-each) - scale
        step = at + short / np.maximum(np.exp(logs) @ weight, _LEAST)
        inside = (step > low) & (step < high) | (step == at)
        before, at = at, np.where(inside, step, (low + high) / 2.0)
        if np.abs(at - before).max(initial=0.0) < _EXACT:
            break
    return at[0], at[1]


def _before_sowing(
    a: Floats, b: Floats, weight: Floats, sowing_plants: float
) -> tuple[Floats, Floats]:
    """The beta of a sowing's rate before it is counted, of the same mean and variance as what its
    kind's mixture and the spread between sowings make together."""
    means = a / (a + b)
    mean = means @ weight
    square = (means**2 + means * (1.0 - means) / (a + b + 1.0)) @ weight
    variance = square - mean**2 + (mean - square) / (1.0 + sowing_plants)
    strength = mean * (1.0 - mean) / variance - 1.0
    return mean * strength, (1.0 - mean) * strength
