"""The integer programme of the palette: the colour forms whose scores, bloom through the season,
forms of flower and fit to every part of the bed come to most, with enough of each height, not too
many of a family or of white, little foliage, and few that are gone by summer.  HiGHS solves it,
through scipy."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import scipy
from numpy.typing import NDArray

from bedwright.brief import Wishes
from bedwright.planting.palette.candidates import SEASON_ODDS, TIERS, Candidate
from bedwright.planting.palette.colour import tone_of
from bedwright.planting.palette.purse import CENT, LEAST_KINDS, Purse

SUCCESSION = ((1 / 3, 0.8), (0.6, 0.35))
"""Reward for the bloom of one kind in a fortnight, up to each share of the kinds: the first
third counts most, so that no fortnight is left bare for another's sake."""

VARIETY = 1.1
"""Reward for one more form of flower."""

MOST_OF_FAMILY, MOST_OF_FORM, MOST_OF_FOLIAGE, MOST_WHITE = 0.45, 0.3, 0.15, 0.34
"""Largest shares of the palette from one family, of one form of flower, grown for leaves alone, and
white or grey (estimate)."""

MOST_PASSING, LEAST_STAY = 0.1, 0.5
"""Largest share of the palette that leaves its ground bare for more than half of its time, such as
kinds that flower in spring and are gone by summer (estimate)."""

LIT = 1.5
"""Reward for the fit of one kind to the sun of a part of the bed, up to the part's share of the
kinds; the parts are those of one exposure."""

GAP = 0.002
"""Share of the total by which a palette may fall short of the best."""

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
    programme = _Programme(candidates, wishes, wanted, parts)
    chosen = programme.best() or programme.best(loose=True)
    if chosen:
        return chosen
    best: dict[str, Candidate] = {}
    for candidate in sorted(candidates, key=lambda c: (c.kind.key not in wishes.grow, -c.score)):
        best.setdefault(candidate.kind.key, candidate)
    return list(best.values())[: max(sum(wanted.values()), 1)]


def solve_within(
    purse: Purse,
    candidates: list[Candidate],
    wishes: Wishes,
    wanted: dict[str, int],
    parts: list[NDArray[np.intp]],
) -> list[Candidate]:
    """The same where what the palette costs at most is to stay within a purse.

    Where no palette of the counts wanted does, as many forms are chosen as can be, ``LEAST_KINDS``
    at least.  Where these cost too much already, or the brief counts the kinds, the forms are
    chosen that cost least; none where the rules allow none.
    """
    paid = _Programme(candidates, wishes, wanted, parts, purse)
    if chosen := paid.best():
        return chosen
    if not purse.fixed:
        least = min(LEAST_KINDS, sum(wanted.values()))
        paid = _Programme(candidates, wishes, wanted, parts, purse.widened(), least)
        if most := paid.most_forms():
            return paid.best(forms=most)
    cost = paid.least_cost()
    return [] if cost is None else paid.best(limit=cost + CENT)


def passes(candidate: Candidate) -> bool:
    """Whether its ground lies bare for more than half of its time."""
    return candidate.course.stays < LEAST_STAY


def most_passing(candidates: Sequence[Candidate], total: int) -> float:
    """The share of a palette of so many that may pass: more where too few kinds stay."""
    staying = len({c.kind.key for c in candidates if not passes(c)})
    return max(MOST_PASSING, 1.0 - staying / total)


class _Programme:
    """The programme's columns and rows.

    Columns: one for each candidate; levels of bloom for each fortnight; one for each form of
    flower, and for each part of the bed; where there is a purse, the price of a square metre of the
    bed's ground and that of a metre of its edging, and for each candidate what it costs more.
    ``least``: forms at least, where the counts of each tier may fall; None where they may not.
    """

    def __init__(
        self,
        candidates: list[Candidate],
        wishes: Wishes,
        wanted: dict[str, int],
        parts: list[NDArray[np.intp]],
        purse: Purse | None = None,
        least: int | None = None,
    ) -> None:
        self.candidates = candidates
        self._wishes = wishes
        self._total = sum(wanted.values())
        odds = np.array([c.course.bloom.odds * (not c.kind.is_foliage) for c in candidates])
        self._season = np.flatnonzero(odds.max(axis=0) > SEASON_ODDS)
        self._odds = odds[:, self._season]
        self._forms = sorted({c.kind.form.flower_form for c in candidates})
        self._fits = np.array([[c.sunny[part].mean() for part in parts] for c in candidates])
        n = len(candidates)
        self._levels = n + np.arange(len(SUCCESSION) * len(self._season)).reshape(
            len(SUCCESSION), -1
        )
        self._at_forms = n + self._levels.size
        self._at_parts = self._at_forms + len(self._forms)
        self._at_prices = self._at_parts + len(parts)
        self._size = self._at_prices + (0 if purse is None else 2 + n)
        self._rows: list[NDArray[np.float64]] = []
        self._low: list[float] = []
        self._high: list[float] = []
        self._gain = self._gains()
        self._upper = self._uppers(parts)
        self._count_rules(wanted, least)
        self._share_rules()
        self._reward_rules()
        self._cost = None if purse is None else self._cost_rules(purse)
        self._limit = np.inf if purse is None else purse.left

    def best(
        self, loose: bool = False, limit: float | None = None, forms: int = 0
    ) -> list[Candidate]:
        """The candidates of the greatest total; empty where the rules allow none.

        ``loose``: without least counts; ``limit``: of the cost, if not what the purse has left;
        ``forms``: at least so many.
        """
        low = np.minimum(self._low, 0.0) if loose else np.array(self._low)
        got = self._solved(-self._gain, low, limit, forms, GAP)
        if got is None:
            return []
        return [c for c, x in zip(self.candidates, got, strict=False) if x > 0.5]

    def most_forms(self) -> int:
        """How many forms the rules and the purse allow at most; 0 where they allow no palette."""
        count = np.zeros(self._size)
        count[: len(self.candidates)] = -1.0
        got = self._solved(count, np.array(self._low))
        return 0 if got is None else round(float(got[: len(self.candidates)].sum()))

    def least_cost(self) -> float | None:
        """What the palette costs that costs least; None where the rules allow none."""
        assert self._cost is not None
        got = self._solved(self._cost, np.array(self._low), np.inf)
        return None if got is None else float(self._cost @ got)

    def _solved(
        self,
        costs: NDArray[np.float64],
        low: NDArray[np.float64],
        limit: float | None = None,
        forms: int = 0,
        gap: float = 0.0,
    ) -> NDArray[np.float64] | None:
        """The columns at which ``costs`` come to least, or None."""
        n = len(self.candidates)
        rules = [scipy.optimize.LinearConstraint(np.array(self._rows), low, self._high)]
        if self._cost is not None:
            most = self._limit if limit is None else limit
            rules.append(scipy.optimize.LinearConstraint(self._cost[None], -np.inf, most))
        if forms:
            rules.append(
                scipy.optimize.LinearConstraint(
                    (np.arange(self._size) < n).astype(float)[None], forms
                )
            )
        got = scipy.optimize.milp(
            costs,
            constraints=rules,
            integrality=np.concatenate([np.ones(n), np.zeros(self._size - n)]),
            bounds=scipy.optimize.Bounds(np.zeros(self._size), self._upper),
            options={"mip_rel_gap": gap},
        )
        return None if got.x is None else np.asarray(got.x)

    def _gains(self) -> NDArray[np.float64]:
        """(columns,) what one of each adds to the total."""
        gain = np.zeros(self._size)
        gain[: len(self.candidates)] = [c.score for c in self.candidates]
        for levels, (_, reward) in zip(self._levels, SUCCESSION, strict=True):
            gain[levels] = reward
        gain[self._at_forms : self._at_parts] = VARIETY
        gain[self._at_parts : self._at_prices] = LIT
        return gain

    def _uppers(self, parts: list[NDArray[np.intp]]) -> NDArray[np.float64]:
        """(columns,) the most of each."""
        upper = np.ones(self._size)
        for levels, most in zip(self._levels, levels_of(self._total), strict=True):
            upper[levels] = most
        upper[self._at_parts : self._at_prices] = room_of(parts, self._total)
        upper[self._at_prices :] = np.inf
        return upper

    def _rule(
        self,
        at: NDArray[np.intp] | list[int],
        weight: float | Sequence[float] | NDArray[np.float64],
        low: float,
        high: float,
    ) -> None:
        """One row."""
        row = np.zeros(self._size)
        row[at] = weight
        self._rows.append(row)
        self._low.append(low)
        self._high.append(high)

    def _count_rules(self, wanted: dict[str, int], least: int | None) -> None:
        """As many of each tier as are wanted, one form of a kind or two, and what is asked for."""
        grow = self._wishes.grow
        wanted, few = _within_reach(wanted, self.candidates)
        for tier in TIERS:
            members = _where(c.tier == tier for c in self.candidates)
            asked = sum(key in grow for key in {self.candidates[i].kind.key for i in members})
            count = wanted.get(tier, 0)
            self._rule(members, 1.0, count if least is None else 0.0, max(count, asked))
        for key in sorted({c.kind.key for c in self.candidates}):
            members = _where(c.kind.key == key for c in self.candidates)
            most = 2.0 if self.candidates[members[0]].tier in few else 1.0
            self._rule(members, 1.0, float(key in grow), most)
        if least is not None:
            self._rule(list(range(len(self.candidates))), 1.0, least, np.inf)

    def _at_most(self, share: float, members: list[int]) -> None:
        """No more than a share of the palette, but for what is asked for."""
        asked = sum(self.candidates[i].kind.key in self._wishes.grow for i in members)
        self._rule(members, 1.0, 0.0, max(np.ceil(share * self._total), asked))

    def _share_rules(self) -> None:
        """Not too many of a family, of a form of flower, of foliage or of white."""
        for family in sorted({c.kind.family for c in self.candidates}):
            of_family = _where(c.kind.family == family for c in self.candidates)
            self._at_most(MOST_OF_FAMILY, of_family)
        for form in self._forms:
            self._at_most(MOST_OF_FORM, self._of_form(form))
        self._at_most(MOST_OF_FOLIAGE, _where(c.kind.is_foliage for c in self.candidates))
        self._at_most(
            most_passing(self.candidates, self._total), _where(passes(c) for c in self.candidates)
        )
        if self._wishes.colour_scheme != "white" and not self._wishes.colours:
            self._at_most(
                MOST_WHITE, _where(tone_of(c.colour.srgb).neutral for c in self.candidates)
            )

    def _of_form(self, form: str) -> list[int]:
        """Candidates of one form of flower."""
        return _where(c.kind.form.flower_form == form for c in self.candidates)

    def _reward_rules(self) -> None:
        """No reward for more bloom, forms of flower or fit to the light than the chosen have."""
        every = range(len(self.candidates))
        for j, levels in enumerate(self._levels.T):
            weight = [*self._odds[:, j], *np.full(len(levels), -1.0)]
            self._rule([*every, *levels], weight, 0.0, np.inf)
        for j, form in enumerate(self._forms):
            at = self._of_form(form)
            self._rule([*at, self._at_forms + j], [*np.ones(len(at)), -1.0], 0.0, np.inf)
        for j, fits in enumerate(self._fits.T):
            self._rule([*every, self._at_parts + j], [*fits, -1.0], 0.0, np.inf)

    def _cost_rules(self, purse: Purse) -> NDArray[np.float64]:
        """(columns,) what the chosen cost at most, by the prices of ground and edging: no less
        than what each candidate costs there, but for what it costs more by itself (``purse``)."""
        ground, edge = self._at_prices, self._at_prices + 1
        cost = np.zeros(self._size)
        cost[ground], cost[edge] = purse.bed_m2, purse.room.edge_m
        for i, candidate in enumerate(self.candidates):
            cost[i], rate = purse.at_once(candidate), purse.by_room(candidate)
            if rate == 0.0:
                continue
            if purse.in_edging(candidate):
                self._rule([i, edge], [-rate, 1.0], 0.0, np.inf)
            else:
                more = self._at_prices + 2 + i
                cost[more] = purse.form_m2
                self._rule([i, ground, more], [-rate, 1.0, 1.0], 0.0, np.inf)
        return cost


def _where(flags: Iterable[bool]) -> list[int]:
    """Numbers of those that are true."""
    return [number for number, yes in enumerate(flags) if yes]


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
    """Bloom in a fortnight, in kinds, that each reward of ``SUCCESSION`` is paid for."""
    upto = [max(share * total, 1.0) for share, _ in SUCCESSION]
    return [upto[0], *np.diff(upto)]


def room_of(parts: Sequence[NDArray[np.intp]], total: int) -> list[float]:
    """Fit, in kinds, to each part of the bed that ``LIT`` is paid for."""
    cells = sum(len(part) for part in parts)
    return [max(total * len(part) / cells, 1.0) for part in parts]
