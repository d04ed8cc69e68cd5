"""The gaps of a border: room that lasts, and what an eye on spring would do."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.brief import BriefError, Existing
from bedwright.catalogue import Catalogue
from bedwright.plan import make_plan
from bedwright.planting import FillsGap, GapsFilled
from bedwright.planting.place.gaps import LEAST_GAP_M, TOUCH, fill_gaps
from bedwright.report import task_title
from conftest import brief_of, weather_at

BED = shapely.box(0, 0, 5, 1.6)
SPREADS = np.array([0.25, 0.35, 0.45])


def plant(x: float, y: float, grown: float, now: float) -> Existing:
    return Existing(
        name="phlox", at=(f"{x} m", f"{y} m"), spread=f"{grown} m", spread_now=f"{now} m"
    )


def widest(spot: tuple[float, float], fits: np.ndarray) -> int:
    return int(fits[np.argmax(SPREADS[fits])])


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0.2, 4.8), st.floats(0.2, 1.4), st.floats(0.3, 1.0)),
        min_size=1,
        max_size=9,
    )
)
def test_no_annual_is_smothered_and_no_room_is_left(
    border: list[tuple[float, float, float]],
) -> None:
    existing = tuple(plant(x, y, grown, 0.4 * grown) for x, y, grown in border)
    gaps = fill_gaps(BED, existing, SPREADS, widest)
    half = SPREADS[gaps.sizes] / 2
    for x, y, grown in border:
        away = np.hypot(*(gaps.places - [x, y]).T) if len(gaps.places) else np.empty(0)
        assert (away >= grown / 2 + TOUCH * half - 0.02).all()
    taken = [shapely.Point(*at).buffer(r) for at, r in zip(gaps.places, half, strict=True)]
    stays = [shapely.Point(x, y).buffer(grown / 2) for x, y, grown in border]
    left = BED.difference(shapely.union_all([*taken, *stays]))
    parts = [p for p in shapely.get_parts(left) if p.area > 1e-5]
    reach = max((shapely.length(shapely.maximum_inscribed_circle(p)) for p in parts), default=0.0)
    assert reach < max(TOUCH * SPREADS.min(), LEAST_GAP_M) / 2 + 0.01
    assert (np.diff(gaps.free_m2) <= 1e-9).all()


def test_an_open_square_takes_the_plants_that_fit_it() -> None:
    """A square as wide as four plants of its own size, with nothing in it, holds 16 in rows; taking
    the middle of the largest circle each time needs no more."""
    gaps = fill_gaps(shapely.box(0, 0, 1.8, 1.8), (), np.array([0.45]), lambda spot, fits: 0)
    assert 9 <= len(gaps.places) <= 16
    assert gaps.smothered == 0


def test_spring_s_gaps_mislead() -> None:
    existing = tuple(plant(x, 0.8, 1.0, 0.3) for x in (0.5, 1.5, 2.5, 3.5, 4.5))
    gaps = fill_gaps(BED, existing, SPREADS, widest)
    assert gaps.naive > len(gaps.places)
    assert gaps.smothered > 0.3 * gaps.naive
    assert gaps.free_m2[0] == pytest.approx(8 - 5 * np.pi * 0.15**2, rel=0.01)
    assert gaps.free_m2[-1] == pytest.approx(8 - 5 * np.pi * 0.5**2, rel=0.01)


def test_a_border_is_planned_by_its_gaps(catalogue: Catalogue) -> None:
    stays = [
        {"name": f"no. {n}", "at": [f"{x} m", "0.8 m"], "spread": "90 cm", "spread_now": "30 cm"}
        for n, x in enumerate((0.5, 1.6, 2.7, 3.8))
    ]
    bed = {"shape": "rectangle", "length": "4.4 m", "width": "1.6 m", "viewed_from": "S"}
    brief = brief_of(bed=bed, existing=stays, wishes={"gaps_only": True, "kinds": 4})
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(53.27, -9.05))
    planting = plan.planting
    assert planting.gaps is not None
    places = np.concatenate([drift.places for drift in planting.drifts])
    assert len(places) == len(planting.gaps.places) == sum(i.plants for i in planting.items)
    gaps = planting.gaps
    assert GapsFilled(len(gaps.places), gaps.naive, gaps.smothered) in plan.notes
    for drift in planting.drifts:
        assert isinstance(drift.why, FillsGap)
        assert drift.why.clearance_m >= gaps.clearance_m.min()
    # What stays is not dug, there is no sod to lift, and the work is named for what it is.
    spring = 4.4 * 1.6 - 4 * np.pi * 0.15**2
    assert plan.ground.worked_m2 == pytest.approx(spring, rel=0.01)
    assert plan.ground.sod is None
    assert plan.ground.clearing is None
    work = {task.key: task_title(task, "metric") for task in plan.diary.tasks}
    assert work["dig"] == "Fork over the gaps, with compost and feed"
    with pytest.raises(BriefError, match="no more than its grown spread"):
        brief_of(bed=bed, existing=[{**stays[0], "spread": "20 cm"}])
    with pytest.raises(BriefError, match=r"ground\.found: given 'lawn'"):
        brief_of(bed=bed, existing=stays, wishes={"gaps_only": True}, ground={"found": "lawn"})
