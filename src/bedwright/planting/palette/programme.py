"""The integer programme of the palette: the colour forms whose scores, bloom through the season,
forms of flower and fit to every part of the bed come to most, with enough of each height, not too
many of a family or of white, and little foliage.  HiGHS solves it, through scipy."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from bedwright.brief import Wishes
from bedwright.planting.palette.candidates import SEASON_ODDS, TIERS, Candidate
from bedwright.planting.palette.colour import tone_of

SUCCESSION = ((1 / 3, 0.8), (0.6, 0.35))
"""Reward for one kind's worth of bloom in a fortnight, up to each share of the kinds: the first
third counts most, so that no fortnight is left bare for another's sake."""

VARIETY = 1.1
"""Reward for one more form of flower."""

MOST_OF_FAMILY, MOST_OF_FORM, MOST_OF_FOLIAGE, MOST_WHITE = 0.45, 0.3, 0.15, 0.34
"""Largest shares of the palette from one family, of one form of flower, grown for leaves alone, and
white or grey (estimate)."""

LIT = 1.5
"""Reward for one kind's worth of fit to the sun of a part of the bed, up to the part's share of the
kinds; the parts are those of one exposure."""

MOST_OF_TIER = 40
"""Candidates of each tier that go into the programme, best first."""


def solve(
    candidates: list[Candidate],
    wishes: Wishes,
    wanted: dict[str, int],
    parts: list[NDArray[np.intp]],
) -> list[Candidate]:
    """The integer programme: which candidates, to the greatest total.  ``parts``: cells that differ
    by their sun, where they do."""
    n = len(candidates)
    odds = np.array([c.course.bloom.odds * (not c.kind.is_foliage) for c in candidates])
    season = np.flatnonzero(odds.max(axis=0) > SEASON_ODDS)
    forms = sorted({c.kind.form.flower_form for c in candidates})
    total = sum(wanted.values())
    fits = np.array([[c.sunny[part].mean() for part in parts] for c in candidates])
    # Variables: n choices, two levels of bloom for each fortnight, one flag for each flower form,
    # one level of fit for each part of the bed.
    at_forms = n + len(SUCCESSION) * len(season)
    size = at_forms + len(forms) + len(parts)
    gain = np.concatenate(
        [
            [c.score for c in candidates],
            *(np.full(len(season), reward) for _, reward in SUCCESSION),
            np.full(len(forms), VARIETY),
            np.full(len(parts), LIT),
        ]
    )
    rows, low, high = [], [], []

    def rule(
        at: NDArray[np.intp] | list[int], weight: float | list[float], lo: float, hi: float
    ) -> None:
        row = np.zeros(size)
        row[at] = weight
        rows.append(row)
        low.append(lo)
        high.append(hi)

    wanted, few = _within_reach(wanted, candidates)
    for tier in TIERS:
        members = [i for i, c in enumerate(candidates) if c.tier == tier]
        asked = sum(key in wishes.grow for key in {candidates[i].kind.key for i in members})
        count = wanted.get(tier, 0)
        rule(members, 1.0, count, max(count, asked))
    for key in sorted({c.kind.key for c in candidates}):
        members = [i for i, c in enumerate(candidates) if c.kind.key == key]
        rule(
            members,
            1.0,
            float(key in wishes.grow),
            2.0 if candidates[members[0]].tier in few else 1.0,
        )

    def at_most(share: float, members: list[int]) -> None:
        asked = sum(candidates[i].kind.key in wishes.grow for i in members)
        rule(members, 1.0, 0.0, max(np.ceil(share * total), asked))

    for family in sorted({c.kind.family for c in candidates}):
        at_most(MOST_OF_FAMILY, [i for i, c in enumerate(candidates) if c.kind.family == family])
    for form in forms:
        at_most(
            MOST_OF_FORM,
            [i for i, c in enumerate(candidates) if c.kind.form.flower_form == form],
        )
    at_most(MOST_OF_FOLIAGE, [i for i, c in enumerate(candidates) if c.kind.is_foliage])
    if wishes.colour_scheme != "white" and not wishes.colours:
        at_most(MOST_WHITE, [i for i, c in enumerate(candidates) if tone_of(c.colour.srgb).neutral])
    for j, fortnight in enumerate(season):
        levels = [n + k * len(season) + j for k in range(len(SUCCESSION))]
        rule([*range(n), *levels], [*odds[:, fortnight], *np.full(len(levels), -1.0)], 0.0, np.inf)
    for j, form in enumerate(forms):
        at = [i for i, c in enumerate(candidates) if c.kind.form.flower_form == form]
        rule([*at, at_forms + j], [*np.ones(len(at)), -1.0], 0.0, np.inf)
    for j in range(len(parts)):
        at = [*range(n), size - len(parts) + j]
        rule(at, [*fits[:, j], -1.0], 0.0, np.inf)
    upper = np.concatenate(
        [
            np.ones(n),
            *(np.full(len(season), level) for level in levels_of(total)),
            np.ones(len(forms)),
            room_of(parts, total),
        ]
    )
    whole = np.concatenate([np.ones(n), np.zeros(size - n)])
    for loose in (False, True):
        # Once more without least counts, should the rules not allow them all together.
        lower = np.array(low) if not loose else np.minimum(low, 0.0)
        got = milp(
            -gain,
            constraints=LinearConstraint(np.array(rows), lower, high),
            integrality=whole,
            bounds=Bounds(np.zeros(size), upper),
            options={"mip_rel_gap": 0.002},
        )
        if got.x is not None:
            picked = [c for c, x in zip(candidates, got.x, strict=False) if x > 0.5]
            if picked:
                return picked
    best: dict[str, Candidate] = {}
    for candidate in sorted(candidates, key=lambda c: (c.kind.key not in wishes.grow, -c.score)):
        best.setdefault(candidate.kind.key, candidate)
    return list(best.values())[: max(total, 1)]


def _within_reach(
    wanted: dict[str, int], candidates: list[Candidate]
) -> tuple[dict[str, int], set[str]]:
    """The counts of each tier that can be had, and tiers so poor in kinds that two colours are let
    in.

    What one tier cannot give is asked of the tiers of the bed's body that have kinds to spare.
    """
    kinds = {t: {c.kind.key for c in candidates if c.tier == t} for t in TIERS}
    forms = {t: sum(c.tier == t for c in candidates) for t in TIERS}
    most = {t: min(forms[t], 2 * len(kinds[t])) for t in TIERS}
    got = {tier: min(count, most[tier]) for tier, count in wanted.items()}
    lacking = sum(count - got[tier] for tier, count in wanted.items() if tier != "edging")
    for room in ({t: len(kinds[t]) for t in TIERS}, most):
        for tier in ("front", "middle", "back", "edging"):
            if tier in wanted or tier == "edging":
                more = int(np.clip(room[tier] - got.get(tier, 0), 0, lacking))
                got[tier] = got.get(tier, 0) + more
                lacking -= more
    got = {tier: count for tier, count in got.items() if count}
    return got, {tier for tier, count in got.items() if count > len(kinds[tier])}


def best_of_each_tier(candidates: list[Candidate], wishes: Wishes) -> list[Candidate]:
    """The best scored of each tier, and whatever was asked for."""
    kept: list[Candidate] = []
    counts = dict.fromkeys(TIERS, 0)
    for candidate in candidates:
        if counts[candidate.tier] < MOST_OF_TIER or candidate.kind.key in wishes.grow:
            counts[candidate.tier] += 1
            kept.append(candidate)
    return kept


def levels_of(total: int) -> list[float]:
    """Kinds' worth of bloom in a fortnight that each reward of ``SUCCESSION`` is paid for."""
    upto = [max(share * total, 1.0) for share, _ in SUCCESSION]
    return [upto[0], *np.diff(upto)]


def room_of(parts: Sequence[NDArray[np.intp]], total: int) -> list[float]:
    """Kinds' worth of fit to each part of the bed that ``LIT`` is paid for."""
    cells = sum(len(part) for part in parts)
    return [max(total * len(part) / cells, 1.0) for part in parts]
