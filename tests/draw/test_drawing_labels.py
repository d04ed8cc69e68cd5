"""Words on the drawings: on the sheet, and clear of one another."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from xml.etree import ElementTree

import pytest

from bedwright.catalogue import Catalogue
from bedwright.climate import FreezeOdds
from bedwright.draw.charts import bloom_chart
from bedwright.draw.drawing import DISC_MM, planting_drawing
from bedwright.draw.svg import Canvas
from bedwright.geometry import outline_of
from bedwright.plan import Plan, make_plan
from conftest import brief_of, weather_at

SMALL = {"shape": "rectangle", "length": "1.2 m", "width": "0.9 m"}
SVG = "{http://www.w3.org/2000/svg}"


def boxes(canvas: Canvas) -> dict[str, tuple[float, float, float, float]]:
    """Each text with the room it takes: letters are on average 0.5 of their size wide."""
    found = {}
    for text in ElementTree.fromstring(canvas.render()).iter(f"{SVG}text"):
        size, words = float(text.get("font-size", 3)), text.text or ""
        wide = 0.5 * size * len(words)
        anchor = text.get("text-anchor", "start")
        left = float(text.get("x", 0)) - {"start": 0, "middle": wide / 2, "end": wide}[anchor]
        y = float(text.get("y", 0))
        found[words] = (left, y - size, left + wide, y)
    return found


def meet(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@pytest.mark.parametrize(("last", "first"), [(2, 362), (120, 130), (355, 362), (3, 6)])
def test_the_freezes_of_the_bloom_chart_are_named_on_the_sheet_and_apart(
    oval: Plan, last: int, first: int
) -> None:
    odds = (FreezeOdds((last,) * 9, 9, True), FreezeOdds((first,) * 9, 9, False))
    season = replace(oval.season, odds_dates=odds)
    canvas = bloom_chart(replace(oval, season=season))
    named = [box for words, box in boxes(canvas).items() if "even odds" in words]
    assert len(named) == 2
    assert all(box[0] >= 0 and box[2] <= canvas.width for box in named)
    assert not meet(*named)


@pytest.fixture(scope="module")
def small(catalogue: Catalogue) -> Plan:
    return make_plan(brief_of(bed=SMALL), catalogue=catalogue, weather=weather_at(53.27, -9.05))


@pytest.mark.parametrize("bearing", ["N", "E", "S", "W", "SE"])
@pytest.mark.parametrize("side", ["N", "NE", "E", "W"])
def test_the_north_arrow_is_clear_of_the_onlookers(side: str, bearing: str, small: Plan) -> None:
    brief = brief_of(bed={**SMALL, "bearing": bearing, "viewed_from": side})
    plan = replace(small, brief=brief, outline=outline_of(brief.bed))
    canvas = planting_drawing(plan, 40, key=False)
    found = boxes(canvas)
    root = ElementTree.fromstring(canvas.render())
    moves = [g.get("transform", "") for g in root.iter(f"{SVG}g")]
    arrow = next(m for m in moves if re.fullmatch(r"translate\(.*\) rotate\(.*\)", m))
    x, y = (float(v) for v in arrow.split("(")[1].split(")")[0].split())
    for words, box in found.items():
        if "seen" in words or words == "here":
            assert not meet(box, (x - 6, y - 6, x + 6, y + 6)), words
            assert not meet(box, found["N"]), words


@pytest.mark.parametrize("scale", [24, 48, 60])
def test_letters_of_drifts_do_not_touch(example: Plan, scale: int) -> None:
    root = ElementTree.fromstring(planting_drawing(example, scale, key=False).render())
    discs = [
        (float(c.get("cx", 0)), float(c.get("cy", 0)))
        for c in root.iter(f"{SVG}circle")
        if float(c.get("r", 0)) == DISC_MM
    ]
    if example.planting.gaps is None:
        assert len(discs) >= len(example.planting.items)
    for (ax, ay), (bx, by) in combinations(discs, 2):
        assert (ax - bx) ** 2 + (ay - by) ** 2 > (2 * DISC_MM) ** 2
