"""Letters that the faces of the sheets lack."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

from pypdf import PdfReader
from typer.testing import CliRunner

from bedwright.cli import app
from bedwright.export.press import boxed
from bedwright.export.sheets import sheets_pdf
from bedwright.plan import Plan

BRIEF = """
title = "庭と花 Garden"
[place]
town = "京都"
latitude = 53.27
longitude = -9.05
[bed]
shape = "circle"
diameter = "1 m"
"""


def test_letters_without_a_shape_are_found_in_their_order() -> None:
    assert boxed("庭と花 Garden 庭") == "庭と花"
    assert boxed("서울 ✿ 🌻") == "서울🌻"
    for plain in ("Café Tŷ Łódź", "Пышный цветник", "Ο κήπος", "₹ € £ → ½", "x\u0301 \u200d", ""):
        assert boxed(plain) == "", plain


def test_the_cover_says_which_letters_are_boxes(oval: Plan) -> None:
    brief = oval.brief.model_copy(update={"title": "庭 of 2027"})
    text = {}
    for plan in (oval, replace(oval, brief=brief)):
        cover = PdfReader(io.BytesIO(sheets_pdf(plan))).pages[0].extract_text()
        text[plan.brief.title] = " ".join(cover.split())
    assert "print as boxes" in text["庭 of 2027"]
    assert "print as boxes" not in text[oval.brief.title]


def test_the_terminal_lists_them(tmp_path: Path) -> None:
    path = tmp_path / "bed.toml"
    path.write_text(BRIEF, encoding="utf-8")
    for command in ("plan", "light", "ground", "planting"):
        result = CliRunner().invoke(app, [command, str(path), "--out", str(tmp_path / command)])
        assert result.exit_code == 0, result.output
        assert "print as boxes in the PDF and PNG: of the title 庭 と 花; of the place 京 都" in (
            result.output
        )
