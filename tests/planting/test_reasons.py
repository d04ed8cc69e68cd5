"""Why a drift holds what it holds: what the next best kinds would cost there."""

from __future__ import annotations

import numpy as np
import pytest

from bedwright.catalogue import Catalogue
from bedwright.climate import Season
from bedwright.geometry import outline_of
from bedwright.growth import Course
from bedwright.light import bodies_of, sun_hours
from bedwright.planting import Candidate, first_planting
from bedwright.planting.arrange import Arranged, cost_of, rivals_of
from bedwright.planting.arrange.energy import Terms
from bedwright.planting.arrange.objective import reach_of, terms_of
from bedwright.planting.arrange.reasons import MOST_RIVALS, SuitsDrift, reasons_of
from conftest import brief_of

LEFT_OUT = ("coleus", "petunia", "tall_zinnia")
LAST_YEAR = frozenset({"aster"})


class Case:
    """A bed arranged, rivals of its kinds, and the reason of each drift."""

    def __init__(
        self, catalogue: Catalogue, courses: dict[str, Course], galway: Season, seed: int
    ) -> None:
        bed = {"shape": "ellipse", "length": "4 m", "width": "2.5 m"}
        wishes = {"leave_out": list(LEFT_OUT), "colour_scheme": ["any", "pastel"][seed]}
        brief = brief_of(bed=bed, wishes=wishes)
        outline = outline_of(brief.bed)
        light = sun_hours(outline, bodies_of(outline, ()), galway, (100, 300))
        scheme = first_planting(brief, outline, catalogue, courses, light, seed).scheme
        self.at: Arranged = scheme.arranged
        self.rivals = rivals_of([*scheme.low, *self.at.items], self.at.items,
                                scheme.palette.offered)  # fmt: skip
        self.pool: list[Candidate] = [*self.at.items, *self.rivals]
        self.reasons = reasons_of(self.at.terms, self.at.sites, self.at.items, self.at.owners,
                                  LAST_YEAR, self.rivals)  # fmt: skip

    def terms(self) -> Terms:
        """All costs of the pool, by the scale of the items, of which alone none may be missing."""
        pool, at = self.pool, self.at
        terms = terms_of(at.sites, pool, LAST_YEAR, at.terms.most, reach_of(at.items))
        unused = np.zeros(len(pool))
        unused[: len(at.items)] = at.terms.unused
        return terms._replace(unused=unused)

    def points(self, d: int) -> dict[tuple[str, str], float]:
        """What the whole arrangement costs more with each of the pool in a drift, all else left."""
        terms, now = self.terms(), cost_of(self.terms(), self.at.owners)
        found = {}
        for number, one in enumerate(self.pool):
            then = self.at.owners.copy()
            then[d] = number
            found[one.kind.key, one.colour.name] = cost_of(terms, then) - now
        return found


@pytest.fixture(scope="module", params=[0, 1])
def case(
    request: pytest.FixtureRequest,
    catalogue: Catalogue,
    courses: dict[str, Course],
    galway: Season,
) -> Case:
    return Case(catalogue, courses, galway, request.param)


def test_the_points_of_a_rival_are_what_the_whole_objective_would_cost_more(case: Case) -> None:
    """By ``cost_of``, which adds up every term of the arrangement anew and knows no differences."""
    for d, why in enumerate(case.reasons):
        points = case.points(d)
        assert len(why.rivals) == MOST_RIVALS
        for rival in why.rivals:
            assert rival.points == pytest.approx(points[rival.kind, rival.colour], abs=1e-9)
            assert rival.points == pytest.approx(sum(term.points for term in rival.terms))


def test_the_rivals_are_the_best_of_all_each_kind_in_one_colour(case: Case) -> None:
    for d, why in enumerate(case.reasons):
        own = case.at.items[case.at.owners[d]]
        points = case.points(d)
        del points[own.kind.key, own.colour.name]
        least: dict[str, float] = {}
        for (kind, _), more in points.items():
            least[kind] = min(more, least.get(kind, np.inf))
        assert [r.points for r in why.rivals] == pytest.approx(sorted(least.values())[:MOST_RIVALS])
        assert len({r.kind for r in why.rivals}) == len(why.rivals)


def test_rivals_are_of_the_bed_and_of_what_was_offered_none_of_what_was_left_out(
    case: Case,
) -> None:
    planted = {case.at.items[k].kind.key for k in case.at.owners}
    named = [rival for why in case.reasons for rival in why.rivals]
    assert all(rival.planted == (rival.kind in planted) for rival in named)
    assert not all(rival.planted for rival in named)
    assert not {rival.kind for rival in named} & set(LEFT_OUT)
    heights = {one.kind.key: one.kind.form.height_m for one in case.pool}
    assert all(rival.height_m == heights[rival.kind] for rival in named)


def test_points_of_the_beds_own_items_do_not_hang_on_who_else_is_tried(case: Case) -> None:
    at = case.at
    alone = reasons_of(at.terms, at.sites, at.items, at.owners, LAST_YEAR)
    for d, why in enumerate(alone):
        points = case.points(d)
        for rival in why.rivals:
            assert rival.planted
            assert rival.points == pytest.approx(points[rival.kind, rival.colour], abs=1e-9)


def test_the_only_item_of_a_bed_has_no_rival(case: Case) -> None:
    at, one = case.at, case.at.items[:1]
    terms = terms_of(at.sites, one, LAST_YEAR, 99)
    reasons = reasons_of(terms, at.sites, one, np.zeros_like(at.owners), LAST_YEAR)
    assert {why.rivals for why in reasons} == {()}
    assert all(isinstance(why, SuitsDrift) and why.next_best is None for why in reasons)
