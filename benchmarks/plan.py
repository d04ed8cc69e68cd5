"""How long a plan takes: cold, by stage, and as the bed grows.

Usage: ``python benchmarks/plan.py``
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import date
from itertools import pairwise
from pathlib import Path

from bedwright.brief import read_brief
from bedwright.catalogue import load_catalogue
from bedwright.climate import Site, Weather, normals_at
from bedwright.export import FILES, write_sheets
from bedwright.inputs.gather import gather
from bedwright.plan import Plan, make_plan
from timing import SHORT, Row, show

EXAMPLE = Path(__file__).parents[1] / "examples/under-the-maple.toml"
AREAS_M2 = (3, 12, 50, 100, 400)


def cold() -> float:
    """Seconds of one whole run of the command, in a new process."""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "bedwright.cli", "plan", str(EXAMPLE), "--out",
                   f"{folder}/out"]  # fmt: skip
        begun = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        return time.perf_counter() - begun


def staged(plan_it) -> tuple[Plan, dict[str, float]]:  # type: ignore[no-untyped-def]
    """A plan and the seconds of each stage."""
    marks: list[tuple[str, float]] = []
    plan = plan_it(lambda name: marks.append((name, time.perf_counter())))
    marks.append(("end", time.perf_counter()))
    spans = pairwise(marks)
    return plan, {name: after - begun for (name, begun), (_, after) in spans}


def rows() -> Iterator[Row]:
    catalogue = load_catalogue()
    yield Row(
        "the whole command, cold", "10 m²", min(cold() for _ in range(1 if SHORT else 3)), "s"
    )
    brief, weather = gather(EXAMPLE, catalogue, date(2026, 11, 25))
    plan, stages = staged(
        lambda step: make_plan(brief, catalogue=catalogue, weather=weather, progress=step)
    )
    for name, spent in stages.items():
        yield Row(f"stage: {name}", "10 m²", spent, "s")
    with tempfile.TemporaryDirectory() as folder:
        marks = []
        write_sheets(plan, Path(folder) / "out", lambda name: marks.append(time.perf_counter()))
        marks.append(time.perf_counter())
    for name, at, after in zip(FILES, marks, marks[1:], strict=False):
        yield Row(f"sheet: {name}", "10 m²", after - at, "s")
    weather = Weather(Site("here", 48.8, 2.3, 60.0), normals_at(48.8, 2.3))
    for area in AREAS_M2[: 1 if SHORT else None]:
        side = area**0.5
        brief = read_brief(
            {
                "place": {"latitude": 48.8, "longitude": 2.3},
                "season": {"year": 2027},
                "bed": {
                    "shape": "rectangle",
                    "length": f"{side * 1.6:.2f} m",
                    "width": f"{side / 1.6:.2f} m",
                },
            }
        )
        plan, stages = staged(
            lambda step, brief=brief: make_plan(
                brief, catalogue=catalogue, weather=weather, progress=step
            )
        )
        plants = sum(item.plants for item in plan.planting.items)
        size = f"{area} m², {plants} plants, {len(plan.planting.drifts)} drifts"
        yield Row("planting alone", size, stages["planting"], "s")
        yield Row("a whole plan", size, sum(stages.values()), "s")


if __name__ == "__main__":
    show(rows())
