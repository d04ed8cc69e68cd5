"""What first flowers say of forecasts in this garden, and how forecasts came out."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import astuple
from datetime import date
from itertools import pairwise
from math import inf, pi, sqrt
from typing import NamedTuple

import numpy as np
import scipy

from bedwright.facts import Fact
from bedwright.journal.entry import Entry
from bedwright.journal.learn import (
    OUTER,
    Floats,
    accept,
    named,
    normal_points,
    normalised,
    shares_written,
)
from bedwright.journal.learned import (
    Bin,
    FlowerDue,
    Flowering,
    FlowersHere,
    Forecast,
    ForecastsKept,
    GardenFlowers,
    Outcome,
    Reliability,
    Score,
    Share,
    Shift,
)

SEASON_SHARE = 0.3
"""Share of a flowering forecast's variance that is one season's weather, the rest being the kind's
own error, which comes back every year (of larkspur, sweet peas, petunias and zinnias at
Edinburgh, Minneapolis, Atlanta and Melbourne our ensembles have 0.1 to 0.8, half of them less than
0.3)."""

WATCH_DAYS = 2.0
"""Standard deviation, days, of when a first flower is noticed and written down (estimate)."""

GARDEN_DAYS = 5.0
"""Standard deviation, days, of the lead or lag that all kinds share in a garden (estimate: plants
in Europe come some 4 days sooner for each °C, as D. Rybski, A. Holsten and J. P. Kropp
2010, arXiv 1010.5058, cite it; a spot
differs from the open country by a degree or so, ``climate.SITUATION_C``)."""

KIND_DAYS = 6.0
"""As GARDEN_DAYS, of a kind's own beside the garden's: the scale of the half-normal prior of their
spread (estimate: what SEASON_SHARE leaves of forecasts with a usual error of 7 days)."""

LATEST_DAYS = 60
"""Days after a forecast up to which a flower that is not written down may still be to come
(estimate); after that it was lost, or not written down."""

MATCH_DAYS = 182
"""Days from a forecast within which a first flower is its own."""


# First flowers


_IN_FLOWER = ("first_flower", "full_flower", "over", "picked")
"""Entries of a kind that has flowered."""


class _Waiting(NamedTuple):
    """Of one kind: its first flowers, days after their forecasts, with their variances; the
    forecast that waits for its flower, if any; forecasts long past without one."""

    days: list[float]
    variances: list[float]
    due: Forecast | None
    missed: int


def learn_flowering(
    entries: Iterable[Entry],
    forecasts: Iterable[Forecast],
    today: date,
    names: Mapping[str, str] | None = None,
) -> Flowering:
    """Days by which first flowers here are later or sooner than forecast, by kind.

    ``forecasts``: of what was planted here, of any years; ``names``: what kinds are called in
    facts.  A first flower is that of its kind's forecast with the nearest median, within
    MATCH_DAYS; of several (colours, or sowings) the first.  A kind without one until ``today``
    whose forecast is no more than LATEST_DAYS past has either not flowered, or has and nobody wrote
    it down.  See ``pooled`` for the method.  Raises ValueError for a forecast whose ``sd_days`` is
    not above 0.
    """
    by_kind = defaultdict[str, list[Forecast]](list)
    for forecast in sorted(set(forecasts)):
        accept(
            0.0 < forecast.sd_days < inf, "sd_days", forecast.sd_days, "a number of days above 0"
        )
        by_kind[forecast.kind].append(forecast)
    firsts: dict[Forecast, date] = {}
    others: set[Forecast] = set()
    for entry in entries:
        day, own = entry.day, by_kind.get(entry.kind or "")
        if entry.what not in _IN_FLOWER or own is None or day > today:
            continue
        near = own[_nearest([one.median for one in own], day)]
        if abs((near.median - day).days) > MATCH_DAYS:
            continue
        if entry.what == "first_flower":
            firsts[near] = min(day, firsts.get(near, day))
        else:
            others.add(near)
    kinds = {kind: _waiting(each, firsts, others, today) for kind, each in sorted(by_kind.items())}
    return _flowering(kinds, today, named(by_kind, names))


def _nearest(days: Sequence[date], day: date) -> int:
    """Which of some days in order is the nearest to another; of two, the earlier."""
    after = bisect_left(days, day)
    near = range(max(after - 1, 0), min(after + 1, len(days)))
    return min(near, key=lambda n: abs((days[n] - day).days))


def _waiting(
    forecasts: Sequence[Forecast],
    firsts: Mapping[Forecast, date],
    others: set[Forecast],
    today: date,
) -> _Waiting:
    """What came of one kind's forecasts."""
    seen = [one for one in forecasts if one in firsts]
    unseen = [one for one in forecasts if one not in firsts and one not in others]
    late = [one for one in unseen if -_far(one) <= (today - one.median).days <= LATEST_DAYS]
    return _Waiting(
        [float((firsts[one] - one.median).days) for one in seen],
        [_variance(one) for one in seen],
        late[0] if late else None,
        sum((today - one.median).days > LATEST_DAYS for one in unseen),
    )


def _far(forecast: Forecast) -> float:
    """Days before a forecast from which it says nothing yet that it has no flower."""
    return 5.0 * sqrt(_variance(forecast) + GARDEN_DAYS**2 + KIND_DAYS**2)


def _variance(forecast: Forecast) -> float:
    """Variance, in days squared, of a first flower about what is usual for its kind here."""
    return SEASON_SHARE * forecast.sd_days**2 + WATCH_DAYS**2


def _flowering(kinds: Mapping[str, _Waiting], today: date, names: Mapping[str, str]) -> Flowering:
    """What was learned of all kinds, with what is to be said of it."""
    precision = np.array([sum(1.0 / one for one in each.variances) for each in kinds.values()])
    sums = [
        sum(day / one for day, one in zip(each.days, each.variances, strict=True))
        for each in kinds.values()
    ]
    mean = np.divide(sums, precision, out=np.zeros(len(kinds)), where=precision > 0.0)
    due = [None if each.due is None else (today - each.due.median).days for each in kinds.values()]
    found = pooled(
        mean,
        precision,
        waits_days=np.array([np.nan if late is None else late for late in due], float),
        waits_var=np.array(
            [1.0 if one.due is None else _variance(one.due) for one in kinds.values()]
        ),
        written=sum(len(each.days) for each in kinds.values()),
        missed=sum(each.missed for each in kinds.values()),
    )
    seen = [len(each.days) for each in kinds.values()]
    by_kind = {
        kind: Shift(float(found.days[n]), float(found.sd[n]), seen[n])
        for n, kind in enumerate(kinds)
    }
    garden = Shift(found.garden_days, found.garden_sd, sum(seen))
    facts: list[Fact] = [
        FlowersHere(names[kind], shift.days, shift.sd, shift.seen)
        for kind, shift in by_kind.items()
        if shift.seen
    ]
    if garden.seen:
        several = sum(n > 0 for n in seen)
        facts.insert(0, GardenFlowers(garden.days, garden.sd, garden.seen, several))
    facts += [
        FlowerDue(names[kind], each.due.median, late)
        for (kind, each), late in zip(kinds.items(), due, strict=True)
        if each.due is not None and late is not None and late > 0
    ]
    return Flowering(garden, Shift(garden.days, found.other_sd, 0), by_kind, tuple(facts))


class Pooled(NamedTuple):
    """Days by which kinds differ: of all together, of one more (the same mean, ``other_sd``), and
    (kinds,) of each."""

    garden_days: float
    garden_sd: float
    other_sd: float
    days: Floats
    sd: Floats


class Given(NamedTuple):
    """As Pooled, for a known spread between kinds: the mean of all and its variance, the logarithm
    of the evidence, (kinds,) the share of its own mean that each takes, and its variance beside the
    mean of all."""

    mean: Floats
    variance: Floats
    log_evidence: Floats
    own_share: Floats
    own_variance: Floats


def given_spread(mean: Floats, precision: Floats, spread: Floats, garden_days: float) -> Given:
    """The normal model with known variances, for each of some spreads (spreads, 1) between kinds
    (Gelman et al., Bayesian Data Analysis, 3rd ed., section 5.4, equations 5.17 to 5.21; there
    ``garden_days`` is without bound).

    ``mean``, ``precision``: (kinds,) each kind's own, precision 0 of one that was not seen.
    """
    variance = spread**2
    seen = precision > 0.0
    of_mean = 1.0 / (variance + 1.0 / precision[seen])
    total = 1.0 / garden_days**2 + of_mean.sum(axis=1)
    middle = (of_mean * mean[seen]).sum(axis=1) / total
    apart = (of_mean * mean[seen] ** 2).sum(axis=1) - middle**2 * total
    share = variance * precision / (1.0 + variance * precision)
    own = variance / (1.0 + variance * precision)
    return Given(
        middle, 1.0 / total, (np.log(of_mean).sum(axis=1) - np.log(total) - apart) / 2.0, share, own
    )


def half_normal(scale: float) -> tuple[Floats, Floats]:
    """Points and weights of a half-normal spread, exact in its square (A. Gelman 2006, Bayesian
    Analysis 1, 515-533: half-normal or half-Cauchy where groups are few)."""
    nodes, weights = normal_points(80)
    kept = (nodes > 0.0) & (weights > 1e-15)
    return scale * nodes[kept], 2.0 * weights[kept]


def pooled(
    mean: Floats,
    precision: Floats,
    *,
    waits_days: Floats | None = None,
    waits_var: Floats | None = None,
    written: int = 0,
    missed: int = 0,
    garden_days: float = GARDEN_DAYS,
    spread: tuple[Floats, Floats] | None = None,
) -> Pooled:
    """The hierarchical normal model with known variances, summed over what the spread between kinds
    may be (``spread``: points and weights), with observations that are still to come.

    ``mean``, ``precision``: (kinds,) as in ``given_spread``.  ``waits_days``: (kinds,) days since
    the forecast of one that has no entry yet, NaN where none waits; ``waits_var``: its variance.
    With a share r of flowers written down (``written`` were, ``missed`` were not; else any r is as
    likely) no entry by day c has odds of 1 - r P(flower by c): it may be late, or not written down.
    """
    points, odds = spread or half_normal(KIND_DAYS)
    given = given_spread(mean, precision, points[:, None], garden_days)
    nodes, weights = normal_points(41)
    garden = given.mean[:, None] + np.sqrt(given.variance)[:, None] * nodes
    logs = np.log(odds)[:, None] + given.log_evidence[:, None] + np.log(weights)
    share, own = given.own_share.T[..., None], given.own_variance.T[..., None]
    middle = garden + share * (mean[:, None, None] - garden)  # kinds, spreads, points
    variance = np.broadcast_to(own, middle.shape).copy()
    weight = normalised(logs)
    waits = np.zeros(len(mean), bool) if waits_days is None else ~np.isnan(waits_days)
    if waits_days is not None and waits_var is not None and waits.any():
        logs, late = _waited(
            logs,
            middle[waits],
            variance[waits],
            waits_days[waits],
            waits_var[waits],
            written,
            missed,
        )
        weight = normalised(logs)
        middle[waits], variance[waits] = late
    days = (middle * weight).sum(axis=(1, 2))
    square = ((middle**2 + variance) * weight).sum(axis=(1, 2))
    all_days = float((garden * weight).sum())
    all_var = max(float((garden**2 * weight).sum()) - all_days**2, 0.0)
    between = float((points[:, None] ** 2 * weight).sum())
    sd = np.sqrt(np.maximum(square - days**2, 0.0))
    return Pooled(all_days, sqrt(all_var), sqrt(all_var + between), days, sd)


def _waited(
    logs: Floats,
    middle: Floats,
    variance: Floats,
    days: Floats,
    days_var: Floats,
    written: int,
    missed: int,
) -> tuple[Floats, tuple[Floats, Floats]]:
    """The model's logarithmic weights (spreads, points) once some kinds have no entry so many days
    after their forecasts, and (kinds, spreads, points) those kinds' means and variances then."""
    r, odds = shares_written()
    total = variance + days_var[:, None, None]
    sd = np.sqrt(total)
    z = (days[:, None, None] - middle) / sd
    by_now = scipy.special.ndtr(z)[..., None]
    unseen = 1.0 - by_now * r  # kinds, spreads, points, shares
    shares = np.log(unseen).sum(axis=0) + written * np.log(r) + missed * np.log1p(-r) + np.log(odds)
    logs = logs + scipy.special.logsumexp(shares, axis=-1)
    of_r = np.exp(shares - scipy.special.logsumexp(shares, axis=-1, keepdims=True))
    to_come = ((1.0 - by_now) / unseen * of_r).sum(axis=-1)
    # Means and variances of a normal cut off at z, above it and below it.
    log_density = -(z**2) / 2.0 - np.log(2.0 * pi) / 2.0
    above = np.exp(log_density - scipy.special.log_ndtr(-z))
    below = -np.exp(log_density - scipy.special.log_ndtr(z))
    moved = [(each, np.maximum(1.0 + z * each - each**2, 0.0)) for each in (above, below)]
    gain = variance / total
    mean = to_come * moved[0][0] + (1.0 - to_come) * moved[1][0]
    square = sum(
        part * (spread + shift**2)
        for part, (shift, spread) in zip((to_come, 1.0 - to_come), moved, strict=True)
    )
    left = variance * (1.0 - gain) + gain**2 * total * (square - mean**2)
    return logs, (middle + gain * sd * mean, left)


# How forecasts came out

PROMISED = (OUTER, 0.5, 1.0 - OUTER)
"""Odds with which a forecast's three dates were to hold."""

EDGES = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
"""Edges of the bins of a table of reliability: few, for a garden has few forecasts (estimate)."""


def score(outcomes: Iterable[Outcome]) -> Score:
    """How often what was forecast had happened by its 10%, its 50% and its 90% date, and how often
    it happened from the first to the last of these.

    What has not happened counts for the dates that are before ``until``, and for the band once that
    is past.  Raises ValueError for dates that are not in order, or a day after ``until``.
    """
    by: list[list[bool]] = [[], [], []]
    within = list[bool]()
    for outcome in outcomes:
        dates, happened, until = outcome[:3], outcome.happened, outcome.until
        accept(list(dates) == sorted(dates), "outcome", dates, "dates in order")
        accept(happened is None or happened <= until, "happened", happened, f"{until} or earlier")
        for each, day in zip(by, dates, strict=True):
            if happened is not None or day < until:
                each.append(happened is not None and happened <= day)
        if happened is not None:
            within.append(outcome.early <= happened <= outcome.late)
        elif outcome.late < until:
            within.append(False)
    early, median, late = (
        share_of(sum(each), len(each), promised)
        for each, promised in zip(by, PROMISED, strict=True)
    )
    band = share_of(sum(within), len(within), PROMISED[2] - PROMISED[0])
    facts = [
        ForecastsKept("within" if each is band else "by", *astuple(each))
        for each in (early, median, late, band)
        if each.of
    ]
    return Score(early, median, late, band, tuple(facts))


def share_of(happened: int, of: int, promised: float) -> Share:
    """A share with the interval that holds it in 80% of cases at least, however few there are
    (C. J. Clopper and E. S. Pearson 1934, Biometrika 26, 404-413).  Raises ValueError unless
    0 <= happened <= of."""
    accept(0 <= happened <= of, "happened", happened, f"0 to {of}")
    low = scipy.special.betaincinv(happened, of - happened + 1, OUTER) if happened else 0.0
    high = (
        scipy.special.betaincinv(happened + 1, of - happened, 1.0 - OUTER) if happened < of else 1.0
    )
    return Share(happened, of, promised, float(low), float(high))


def reliability(pairs: Iterable[tuple[float, bool]], edges: Sequence[float] = EDGES) -> Reliability:
    """A table of how often what was forecast with some odds happened (D. S. Wilks, Statistical
    Methods in the Atmospheric Sciences, on reliability diagrams), and the Brier score.

    ``pairs``: odds, 0 to 1, and whether it happened; ``edges``: of the bins, rising from 0 to 1.
    Raises ValueError for others.
    """
    rows = list(pairs)
    odds = np.array([each for each, _ in rows], float)
    happened = np.array([each for _, each in rows], bool)
    rising = all(low < high for low, high in pairwise(edges))
    sound = len(edges) > 1 and rising and (edges[0], edges[-1]) == (0.0, 1.0)
    accept(sound, "edges", edges, "numbers that rise from 0 to 1")
    for each in odds[~((odds >= 0.0) & (odds <= 1.0))]:
        accept(False, "odds", each, "0 to 1")
    at = np.minimum(np.searchsorted(edges, odds, side="right") - 1, len(edges) - 2)
    bins = []
    for n, (low, high) in enumerate(pairwise(edges)):
        here = at == n
        mean = float(odds[here].mean()) if here.any() else 0.0
        share = share_of(int(happened[here].sum()), int(here.sum()), mean)
        bins.append(Bin(low, high, share))
    brier = float(((odds - happened) ** 2).mean()) if rows else 0.0
    return Reliability(tuple(bins), brier, len(rows))
