"""The whole road over awkward beds and climates."""

from __future__ import annotations

import pytest

from awkward import BEDS, HOLE, PLACES
from bedwright.brief import read_brief
from bedwright.catalogue import Catalogue
from bedwright.export import plan_json
from bedwright.export.sheets import sheets_pdf
from bedwright.plan import STAGES, make_plan, prepare
from conftest import brief_of, weather_at


@pytest.mark.parametrize("name", BEDS)
def test_every_awkward_bed_has_a_plan_and_its_pack(name: str, catalogue: Catalogue) -> None:
    plan = make_plan(brief_of(bed=BEDS[name]), catalogue=catalogue, weather=weather_at(48.8, 2.3))
    assert plan.planting.items
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


def test_an_unsettled_year_is_refused(catalogue: Catalogue) -> None:
    brief = read_brief(
        {
            "place": {"latitude": 50, "longitude": 0},
            "bed": {"shape": "circle", "diameter": "2 m"},
        }
    )
    with pytest.raises(ValueError, match="not settled"):
        make_plan(brief, catalogue=catalogue, weather=weather_at(50, 0))
