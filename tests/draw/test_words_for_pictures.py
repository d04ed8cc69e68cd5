"""Pictures and pages for those who do not see them: titles, descriptions, alternative text."""

from __future__ import annotations

import io
from typing import Any
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from bedwright.draw.charts import bloom_chart
from bedwright.draw.drawing import best_scale, planting_drawing
from bedwright.draw.light_map import sun_map
from bedwright.draw.light_sheet import light_chart
from bedwright.draw.picture import bed_picture, season_moments
from bedwright.draw.season_chart import frost_chart, season_chart
from bedwright.draw.stakes import stake_plan
from bedwright.draw.svg import Canvas
from bedwright.export import BedGround
from bedwright.export.ground_sheet import ground_pdf
from bedwright.export.press import Drawings, add_drawing
from bedwright.export.season_pdf import season_pdf
from bedwright.export.sheets import sheets_pdf
from bedwright.growth import outlook_of
from bedwright.plan import Plan
from bedwright.work.cautions import ground_cautions

SVG = "{http://www.w3.org/2000/svg}"


def canvases(plan: Plan) -> list[Canvas]:
    units = plan.brief.units
    return [
        planting_drawing(plan, best_scale(plan, 188.0, 185.0)),
        bloom_chart(plan),
        frost_chart(plan.season, units),
        season_chart(outlook_of(plan.season), units),
        sun_map(plan, slice(6, 20)),
        light_chart(plan, slice(6, 20)),
        stake_plan(ground_of(plan)),
        *(bed_picture(plan, fortnight) for fortnight in season_moments(plan)),
    ]


def ground_of(plan: Plan) -> BedGround:
    cautions = ground_cautions(plan.brief, plan.outline, plan.ground)
    return BedGround(plan.brief, plan.outline, plan.season, plan.dig, plan.ready, plan.ground,
                     tuple(cautions))  # fmt: skip


def figures(raw: bytes) -> list[str]:
    """Alternative texts of a tagged PDF's figures, in order."""
    root: Any = PdfReader(io.BytesIO(raw)).trailer["/Root"]
    found: list[str] = []

    def walk(node: Any) -> None:
        node = node.get_object()
        if isinstance(node, list):
            for child in node:
                walk(child)
        elif isinstance(node, dict):
            if node.get("/S") == "/Figure":
                found.append(str(node.get("/Alt", "")))
            if "/K" in node:
                walk(node["/K"])

    assert root["/MarkInfo"]["/Marked"]
    walk(root["/StructTreeRoot"])
    return found


def test_every_drawing_says_what_it_is_and_what_it_shows(example: Plan) -> None:
    for canvas in canvases(example):
        root = ElementTree.fromstring(canvas.render())
        assert root.tag == f"{SVG}svg"
        assert root.get("role") == "img"
        # SVG 2, 5.8: the first child of the element that they name.
        assert [child.tag for child in root][:2] == [f"{SVG}title", f"{SVG}desc"]
        assert len((root[0].text or "").strip()) > 5
        assert len((root[1].text or "").strip()) > 40
        assert len(list(root.iter(f"{SVG}desc"))) == 1


def test_the_planting_plan_in_words_names_every_item(example: Plan) -> None:
    words = planting_drawing(example, 20).words
    for item in example.planting.items:
        assert f"{item.letter} {item.label}, {item.plants}" in words


def test_pages_carry_title_language_and_author(oval: Plan) -> None:
    outlook = outlook_of(oval.season)
    for raw, title in (
        (sheets_pdf(oval), oval.brief.title),
        (ground_pdf(ground_of(oval)), oval.brief.title),
        (season_pdf(outlook, "us"), oval.season.site.label),
    ):
        reader = PdfReader(io.BytesIO(raw))
        root: Any = reader.trailer["/Root"]
        assert reader.metadata is not None
        assert title in str(reader.metadata.title)
        assert reader.metadata.author == "Bedwright"
        assert str(root["/Lang"]).startswith("en")


def test_every_figure_of_the_pages_has_its_words(oval: Plan) -> None:
    pack = figures(sheets_pdf(oval))
    drawn = [*canvases(oval)]
    for canvas in (drawn[1], drawn[2], *drawn[7:]):
        drawings: Drawings = {}
        add_drawing(canvas, drawings, "x.svg")
        assert drawings["x.svg.txt"].decode() in pack
    assert len(pack) >= len(oval.planting.items) + 6
    season = figures(season_pdf(outlook_of(oval.season), "us"))
    ground = figures(ground_pdf(ground_of(oval)))
    assert len(season) == len(ground) == 1
    for words in (*pack, *season, *ground):
        assert len(words) > 10


@pytest.mark.parametrize("title", ["Beds & <borders>", "庭"])
def test_titles_are_written_as_they_are(title: str) -> None:
    root = ElementTree.fromstring(Canvas(10.0, 10.0, title, f"{title}.").render())
    assert [child.text for child in root] == [title, f"{title}."]
