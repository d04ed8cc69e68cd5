from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Literal
from xml.etree import ElementTree

import jsonschema
import numpy as np
import pytest
from icalendar import Calendar
from pypdf import PdfReader

from bedwright.catalogue import Catalogue
from bedwright.draw.charts import bloom_chart
from bedwright.draw.drawing import SCALES, best_scale, key_lines, planting_drawing, say_scale
from bedwright.draw.glyphs import _DRAW, shade
from bedwright.draw.light_map import sun_map
from bedwright.draw.light_sheet import light_chart
from bedwright.draw.picture import bed_picture, season_moments
from bedwright.draw.season_chart import frost_chart, season_chart
from bedwright.export import FILES, plan_json, plan_schema, write_sheets
from bedwright.export.ics import calendar_ics
from bedwright.export.press import to_png
from bedwright.export.sheets import sheets_pdf
from bedwright.export.tables import plants_csv, supplies_csv
from bedwright.growth import outlook_of
from bedwright.plan import Plan
from bedwright.report import amount_words, task_title
from bedwright.report.soil import soil_parts
from bedwright.report.words import water_rows
from bedwright.units import say_length

SVG = "{http://www.w3.org/2000/svg}"
MM_IN_POINTS = 72 / 25.4


def test_plan_json_fits_its_schema_and_the_plan(example: Plan) -> None:
    document = json.loads(plan_json(example))
    jsonschema.validate(document, plan_schema())
    assert document["schema"] == "bedwright-plan/3"
    assert sum(i["plants"] for i in document["items"]) == sum(
        len(d["plants"]) for d in document["drifts"]
    )
    assert document["bed"]["area_m2"] == pytest.approx(example.outline.area_m2, rel=1e-5)
    assert document["ground"]["refill"]["layers"]
    assert {t["key"] for t in document["tasks"]} >= {"dig", "locate"}


def test_the_published_schema_is_current() -> None:
    path = Path(__file__).parents[2] / "docs/plan.schema.json"
    assert json.loads(path.read_text()) == plan_schema(), "run tools/write_schema.py"


def test_json_and_pdf_are_the_same_bytes_each_time(example: Plan) -> None:
    assert plan_json(example) == plan_json(example)
    assert sheets_pdf(example) == sheets_pdf(example)


def test_the_drawing_is_to_scale(example: Plan) -> None:
    scale = best_scale(example, 230.0, 200.0)
    canvas = planting_drawing(example, scale, key=False)
    tree = ElementTree.fromstring(canvas.render())
    groups = [g.get("transform", "") for g in tree.iter(f"{SVG}g")]
    drawn = np.array(
        [
            [float(v) for v in g.split("(")[1].split(")")[0].split()]
            for g in groups
            if g.startswith("translate") and "scale" in g
        ]
    )
    places = np.concatenate([d.places for d in example.planting.drifts])
    assert len(drawn) == len(places)
    moved = drawn * np.array([1, -1]) * scale / 1000
    shift = moved - places
    assert np.abs(shift - shift[0]).max() < 0.01 * scale / 1000 + 1e-6


def test_the_drawing_names_every_item_and_tells_kinds_without_colour(example: Plan) -> None:
    canvas = planting_drawing(example, best_scale(example, 230.0, 200.0))
    tree = ElementTree.fromstring(canvas.render())
    words = [t.text or "" for t in tree.iter(f"{SVG}text")]
    for item in example.planting.items:
        assert words.count(item.letter) >= item.drifts + 1
        assert any(item.candidate.kind.name in w for w in words)
    forms = {i.candidate.kind.form.flower_form for i in example.planting.items}
    assert forms <= set(_DRAW)


def test_every_text_stays_on_its_sheet(example: Plan) -> None:
    for canvas in (
        planting_drawing(example, best_scale(example, 230.0, 200.0)),
        bloom_chart(example),
        frost_chart(example.season, example.brief.units),
        season_chart(outlook_of(example.season), example.brief.units),
        sun_map(example, slice(6, 20)),
        light_chart(example, slice(6, 20)),
    ):
        tree = ElementTree.fromstring(canvas.render())
        for text in tree.iter(f"{SVG}text"):
            # Letters of the face used are on average 0.47 of their size wide.
            wide = 0.47 * float(text.get("font-size", 3)) * len(text.text or "")
            anchor = text.get("text-anchor", "start")
            left = float(text.get("x", 0)) - {"start": 0, "middle": wide / 2, "end": wide}[anchor]
            assert left > -2, text.text
            assert left + wide < canvas.width + 1, text.text


def test_the_pack_holds_its_sheets_and_figures(example: Plan) -> None:
    reader = PdfReader(io.BytesIO(sheets_pdf(example)))
    text = " ".join(page.extract_text() for page in reader.pages)
    for heading in ("Planting plan", "The plants", "Through the year", "Place and season",
                    "Ground", "Raising", "Work", "Materials and cost", "Cautions"):  # fmt: skip
        assert heading in text
    assert example.brief.title in text
    for item in example.planting.items:
        assert item.candidate.kind.botanical in text
    assert "Buried pipes and cables" in text
    paper = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}[example.brief.paper_size]
    size = reader.pages[0].mediabox
    assert float(size.width) == pytest.approx(paper[0] * MM_IN_POINTS, abs=1)
    assert float(size.height) == pytest.approx(paper[1] * MM_IN_POINTS, abs=1)


def test_calendar_file_is_read_back_by_the_standard(example: Plan) -> None:
    calendar = Calendar.from_ical(calendar_ics(example))
    events = list(calendar.walk("VEVENT"))
    assert len(events) == len(example.diary.tasks)
    assert len({str(e["uid"]) for e in events}) == len(events)
    for event, task in zip(events, example.diary.tasks, strict=True):
        assert event.decoded("dtstart") == task.best
        assert str(event["summary"]) == task_title(task, example.brief.units)


def test_tables_read_back(example: Plan) -> None:
    plants = list(csv.DictReader(io.StringIO(plants_csv(example).removeprefix("\ufeff"))))
    assert len(plants) == sum(i.plants for i in example.planting.items)
    assert [int(p["number"]) for p in plants] == list(range(1, len(plants) + 1))
    supplies = list(csv.DictReader(io.StringIO(supplies_csv(example).removeprefix("\ufeff"))))
    assert len(supplies) == len(example.supplies.lines)


def test_soil_lines_add_up_in_words(oval: Plan) -> None:
    parts = {p.heading: {line.label: line for line in p.lines} for p in soil_parts(oval)}
    assert parts["Mark out"]["Area"].value == "127 sq ft"
    assert "whole" in parts["Lift the sod"]["Pieces"].value
    assert parts["Lime or sulfur"]["pH found"].value == "5.4"


def test_water_covers_the_season(example: Plan) -> None:
    months = [row[0] for row in water_rows(example)]
    assert 4 <= len(months) <= 12
    assert len(set(months)) == len(months)


def test_pictures_draw_every_plant_that_is_out(example: Plan) -> None:
    for fortnight in season_moments(example):
        tree = ElementTree.fromstring(bed_picture(example, fortnight).render())
        out = sum(
            len(d.places)
            for d in example.planting.drifts
            if example.planting.items[d.item].candidate.course.out <= fortnight * 14 + 7
        )
        assert len(list(tree.iter(f"{SVG}path"))) >= out


def test_supplies_are_counted_in_packs_and_parts_of_them() -> None:
    said = [amount_words(value, "packs", "metric") for value in (0.0, 0.4, 1.0, 1.4, 3.0)]
    assert said == ["", "0.4 pack", "1 pack", "1.4 packs", "3 packs"]
    assert amount_words(0.75, "kg", "metric") == "750 g"
    assert amount_words(12.0, "pieces", "us") == "12"


def test_png_has_the_drawings_size(oval: Plan) -> None:
    canvas = planting_drawing(oval, 48)
    png = to_png(canvas, 50)
    assert png.startswith(b"\x89PNG")
    width = int.from_bytes(png[16:20], "big")
    assert width == pytest.approx(canvas.width / 25.4 * 50, abs=2)


def test_scales_and_shades() -> None:
    assert say_scale(24, "us") == "1/2 in = 1 ft (1 : 24)"
    assert say_scale(20, "metric") == "1 : 20"
    assert all(list(s) == sorted(s) for s in SCALES.values())
    assert shade("#804020", 0.5) == "#402010"
    assert shade("#804020", 2) == "#ffffff"


# --- writing -------------------------------------------------------------------------------------


def test_all_files_are_written(oval: Plan, tmp_path: Path) -> None:
    folder = tmp_path / "out"
    paths = write_sheets(oval, folder)
    assert [p.name for p in paths] == list(FILES)
    assert all(p.stat().st_size > 0 for p in paths)
    assert json.loads((folder / "plan.json").read_text())["schema"] == "bedwright-plan/3"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_kind_in_every_colour_fits_its_row_of_the_key(
    catalogue: Catalogue, units: Literal["metric", "us"]
) -> None:
    for kind in catalogue:
        size = (
            f"{say_length(kind.form.height_m, units)} high,"
            f" {say_length(kind.form.spacing_m, units)} apart"
        )
        for form in kind.colours:
            head, foot = key_lines(f"188 × {kind.name}", form.name, size)
            assert 0.47 * 3.1 * len(head) < 70, head
            assert 0.47 * 2.7 * len(foot) < 70, foot
