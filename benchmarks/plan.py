"""How long a plan takes: cold, by stage, as the bed grows, and with a change made in what was kept.

Usage: ``python benchmarks/plan.py``
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from datetime import date
from itertools import pairwise
from pathlib import Path

from bedwright.brief import Brief, read_brief
from bedwright.catalogue import Catalogue, load_catalogue
from bedwright.climate import Site, Weather, normals_at
from bedwright.export import FILES, write_sheets
from bedwright.inputs.gather import gather
from bedwright.plan import Plan, begin_plan, make_plan, prepare
from bedwright.planting import SuitsDrift
from timing import SHORT, Row, best, cold, show

EXAMPLE = Path(__file__).parents[1] / "examples/under-the-maple.toml"
SMALL = """
[place]
latitude = 48.8
longitude = 2.3
[bed]
shape = "circle"
diameter = "1 m"
"""
"""A brief in place of the example, in short form."""

AREAS_M2 = (1.5,) if SHORT else (3, 12, 50, 100, 400)
CHANGED_M2 = 50


def staged(plan_it) -> tuple[Plan, dict[str, float]]:  # type: ignore[no-untyped-def]
    """A plan and the seconds of each stage."""
    marks: list[tuple[str, float]] = []
    plan = plan_it(lambda name: marks.append((name, time.perf_counter())))
    marks.append(("end", time.perf_counter()))
    spans = pairwise(marks)
    return plan, {name: after - begun for (name, begun), (_, after) in spans}


def changed(values: dict[str, object], catalogue: Catalogue, weather: Weather) -> Iterator[Row]:
    """Seconds of a plan with a change in it, from what was kept of the plan before."""
    known = {"catalogue": catalogue, "weather": weather}
    plain = read_brief(values)
    ready = prepare(plain, catalogue, weather)
    begun = begin_plan(plain, catalogue, ready)
    planting = make_plan(plain, **known, begun=begun).planting
    drift = next(drift for drift in planting.drifts if isinstance(drift.why, SuitsDrift))
    at = drift.polygon.representative_point()
    spot, rival = [f"{at.x:.3f} m", f"{at.y:.3f} m"], drift.why.rivals[0]
    size = f"{planting.free_area_m2:.0f} m², {len(planting.drifts)} drifts"
    for name, change in (
        ("a drift made larger", {"size": 1.3}),
        ("a kind exchanged", {"grow": rival.kind, "colour": rival.colour}),
    ):
        brief = read_brief({**values, "changes": [{"at": spot, **change}]})

        def again(brief: Brief = brief) -> None:
            kept = begin_plan(brief, catalogue, ready, kept=begun)
            make_plan(brief, **known, begun=kept)

        yield Row(f"a plan from what was kept: {name}", size, best(again), "s")


def rows() -> Iterator[Row]:
    catalogue = load_catalogue()
    with tempfile.TemporaryDirectory() as folder:
        example, out = EXAMPLE, Path(folder) / "out"
        if SHORT:
            example = Path(folder) / "small.toml"
            example.write_text(SMALL, encoding="utf-8")
        area = "1 m²" if SHORT else "10 m²"
        spent = cold("plan", str(example), "--out", f"{folder}/cold", times=3)
        yield Row("the whole command, cold", area, spent, "s")
        brief, weather = gather(example, catalogue, date(2026, 11, 25))
        plan, stages = staged(
            lambda step: make_plan(brief, catalogue=catalogue, weather=weather, progress=step)
        )
        for name, spent in stages.items():
            yield Row(f"stage: {name}", area, spent, "s")
        marks = []
        write_sheets(plan, out, lambda name: marks.append(time.perf_counter()))
        marks.append(time.perf_counter())
    for name, at, after in zip(FILES, marks, marks[1:], strict=False):
        yield Row(f"sheet: {name}", area, after - at, "s")
    weather = Weather(Site("here", 48.8, 2.3, 60.0), normals_at(48.8, 2.3))
    for area in AREAS_M2:
        side = area**0.5
        values: dict[str, object] = {
            "place": {"latitude": 48.8, "longitude": 2.3},
            "season": {"year": 2027},
            "bed": {
                "shape": "rectangle",
                "length": f"{side * 1.6:.2f} m",
                "width": f"{side / 1.6:.2f} m",
            },
        }
        brief = read_brief(values)
        plan, stages = staged(
            lambda step, brief=brief: make_plan(
                brief, catalogue=catalogue, weather=weather, progress=step
            )
        )
        plants = sum(item.plants for item in plan.planting.items)
        size = f"{area} m², {plants} plants, {len(plan.planting.drifts)} drifts"
        yield Row("planting alone", size, stages["planting"], "s")
        yield Row("a whole plan", size, sum(stages.values()), "s")
        if area <= CHANGED_M2:
            yield from changed(values, catalogue, weather)


if __name__ == "__main__":
    show(rows())
