"""The whole road over awkward beds and climates."""

from __future__ import annotations

import numpy as np
import pytest

from awkward import BEDS, HOLE, PLACES
from bedwright.brief import read_brief
from bedwright.catalogue import Catalogue
from bedwright.export import plan_json
from bedwright.export.sheets import sheets_pdf
from bedwright.plan import STAGES, Plan, begin_plan, make_plan, prepare
from bedwright.planting import Drift, SuitsDrift
from conftest import brief_of, weather_at
from promises import breaches


@pytest.mark.parametrize("name", BEDS)
def test_every_awkward_bed_has_a_plan_and_its_pack(name: str, catalogue: Catalogue) -> None:
    brief = brief_of(bed=BEDS[name])
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(48.8, 2.3))
    assert plan.planting.items
    assert breaches(brief, plan.planting) == []
    assert sheets_pdf(plan).startswith(b"%PDF")
    assert plan_json(plan)


@pytest.mark.parametrize("name", PLACES)
def test_every_awkward_climate_has_a_plan_and_its_pack(name: str, catalogue: Catalogue) -> None:
    brief = brief_of(existing=HOLE, units="us")
    plan = make_plan(brief, catalogue=catalogue, weather=weather_at(*PLACES[name]))
    assert plan.planting.items
    assert sheets_pdf(plan).startswith(b"%PDF")


def test_stages_are_announced_in_order(catalogue: Catalogue) -> None:
    told: list[str] = []
    make_plan(brief_of(), catalogue=catalogue, weather=weather_at(48.8, 2.3), progress=told.append)
    assert told == list(STAGES) == ["season", "light", "ground", "planting", "calendar"]


def test_a_plan_from_what_lies_ready_is_the_same_plan(catalogue: Catalogue) -> None:
    """What ``prepare`` makes of one brief serves another with other wishes."""
    weather = weather_at(53.27, -9.05)
    parts = {"bed": {"shape": "rectangle", "length": "2 m", "width": "1 m"}}
    first = brief_of(**parts)
    other = brief_of(**parts, wishes={"colour_scheme": "hot", "leave_out": ["petunia"]})
    ready = prepare(first, catalogue, weather)
    stages: list[str] = []
    made = make_plan(
        other, catalogue=catalogue, weather=weather, prepared=ready, progress=stages.append
    )
    alone = make_plan(other, catalogue=catalogue, weather=weather)
    assert plan_json(made) == plan_json(alone)
    assert stages == ["ground", "planting", "calendar"]


def changes_of(plan: Plan, rng: np.random.Generator) -> list[list[dict[str, object]]]:
    """Changes of each sort, drawn at random for a plan: keep, size, swap, never, several."""
    items, body = plan.planting.items, [d for d in plan.planting.drifts if not d.ribbon]
    one, two, three = (body[k] for k in rng.permutation(len(body))[:3])
    other = next(drift for drift in body if drift.item != one.item)
    held = items[two.item].candidate
    best = three.why.next_best if isinstance(three.why, SuitsDrift) else None
    assert best is not None
    keep = {"at": spot(two), "grow": held.kind.key, "colour": held.colour.name}
    exchange = {"at": spot(three), "grow": best.kind, "colour": best.colour}
    size = {"at": spot(two), "size": float(rng.uniform(0.5, 2.0))}
    swap = {"at": spot(one), "swap": spot(other)}
    never = {"never": items[one.item].candidate.kind.key}
    return [[keep], [size], [swap], [never], [exchange, {**keep, "size": size["size"]}]]


def spot(drift: Drift) -> list[str]:
    at = drift.polygon.representative_point()
    return [f"{at.x:.4f} m", f"{at.y:.4f} m"]


@pytest.mark.parametrize("seed", range(3))
def test_a_change_made_in_a_plan_begun_before_gives_the_same_plan(
    catalogue: Catalogue, seed: int
) -> None:
    """Over random beds and wishes, and changes of each sort, one after another in one value."""
    rng, weather = np.random.default_rng(seed), weather_at(53.27, -9.05)
    length, width = rng.uniform(2.0, 3.0), rng.uniform(1.1, 1.6)
    parts = {
        "bed": {"shape": "rectangle", "length": f"{length:.2f} m", "width": f"{width:.2f} m"},
        "wishes": [{}, {"variant": 2}, {"budget": 60, "colour_scheme": "hot"}][seed],
    }
    plain = brief_of(**parts)
    ready = prepare(plain, catalogue, weather)
    begun = begin_plan(plain, catalogue, ready)
    known = {"catalogue": catalogue, "weather": weather}
    first = make_plan(plain, **known, begun=begun)
    assert plan_json(first) == plan_json(make_plan(plain, **known, prepared=ready))
    for changes in changes_of(first, rng):
        brief = brief_of(**parts, changes=changes)
        kept = begin_plan(brief, catalogue, ready, kept=begun)
        assert kept is begun
        stages: list[str] = []
        made = make_plan(brief, **known, begun=kept, progress=stages.append)
        assert stages == ["planting", "calendar"]
        assert plan_json(made) == plan_json(make_plan(brief, **known, prepared=ready))
    again = make_plan(plain, **known, begun=begun)
    assert plan_json(again) == plan_json(first)


def test_a_plan_begun_for_another_brief_is_refused(catalogue: Catalogue) -> None:
    weather = weather_at(53.27, -9.05)
    bed = {"shape": "rectangle", "length": "2 m", "width": "1 m"}
    mine, other = brief_of(bed=bed), brief_of(bed=bed, wishes={"leave_out": ["petunia"]})
    ready = prepare(mine, catalogue, weather)
    begun = begin_plan(mine, catalogue, ready)
    known = {"catalogue": catalogue, "weather": weather, "begun": begun}
    for brief, seed in ((other, 0), (mine, 1)):
        with pytest.raises(ValueError, match="differs in its changes alone"):
            make_plan(brief, **known, seed=seed)
    anew = begin_plan(other, catalogue, ready, kept=begun)
    assert anew is not begun
    assert anew.first.given.brief == other
    assert begin_plan(mine, catalogue, prepare(mine, catalogue, weather), kept=begun) is not begun


def test_an_unsettled_year_is_refused(catalogue: Catalogue) -> None:
    brief = read_brief(
        {
            "place": {"latitude": 50, "longitude": 0},
            "bed": {"shape": "circle", "diameter": "2 m"},
        }
    )
    with pytest.raises(ValueError, match="not settled"):
        make_plan(brief, catalogue=catalogue, weather=weather_at(50, 0))
