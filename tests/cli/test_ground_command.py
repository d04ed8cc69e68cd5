"""``bedwright ground`` as its users run it."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from bedwright.cli import app
from conftest import EXAMPLES

runner = CliRunner()


@pytest.mark.parametrize("name", ["under-the-maple", "fence-border", "front-walk-oval"])
def test_an_example_is_printed_on_screen_and_paper(tmp_path: Path, name: str) -> None:
    out = tmp_path / "ground"
    result = runner.invoke(app, ["ground", str(EXAMPLES / f"{name}.toml"), "--out", str(out)])
    assert result.exit_code == 0, result.output
    for heading in ("Mark out", "Refill, deepest layer first", "Feed", "Lime or sulfur"):
        assert heading in result.output
    assert "Buried pipes and cables" in result.output
    assert [p.name for p in out.glob("[!.]*")] == ["ground.pdf"]
    pages = [page.extract_text() for page in PdfReader(out / "ground.pdf").pages]
    assert 1 <= len(pages) <= 3
    assert "Before any spade goes in" in "".join(pages)
    assert ("Or by offsets" in result.output) == (name != "under-the-maple")


def test_blends_that_fall_short_say_of_what_and_by_how_much(tmp_path: Path) -> None:
    brief = tmp_path / "bed.toml"
    brief.write_text(
        '[place]\nlatitude = 53.3\nlongitude = -9.0\n[bed]\nshape = "circle"\ndiameter = "3 m"\n'
        '[ground.test]\nphosphorus = "low"\npotassium = "low"\n'
        '[[materials]]\nmaterial = "urea"\npack = "1 kg"\nprice = 5\n'
    )
    result = runner.invoke(app, ["ground", str(brief), "--out", str(tmp_path / "ground")])
    assert result.exit_code == 0
    assert "phosphate (P2O5): 10 g/m² short of 10 g/m²" in result.output
    assert "this is nearest" in result.output


def test_a_faulty_brief_is_told(tmp_path: Path) -> None:
    brief = tmp_path / "bed.toml"
    brief.write_text(
        '[place]\nlatitude = 53\nlongitude = -9\n[bed]\nshape = "circle"\ndiameter = "2 m"\n'
        "[ground.test]\nph = 70\n"
    )
    result = runner.invoke(app, ["ground", str(brief), "--out", str(tmp_path / "ground")])
    assert result.exit_code == 2
    assert "ground.test.ph" in result.output
    assert not (tmp_path / "ground").exists()


def test_a_year_in_hand_is_used_for_a_cover(tmp_path: Path) -> None:
    brief = tmp_path / "bed.toml"
    brief.write_text(
        "[place]\nlatitude = 53.3\nlongitude = -9.0\n[season]\nyear = 2028\n"
        "[dates]\nbegin = 2027-01-10\n"
        '[bed]\nshape = "circle"\ndiameter = "3 m"\n'
        '[[materials]]\nmaterial = "compost"\npack = "50 L"\nprice = 5\n'
    )
    result = runner.invoke(app, ["ground", str(brief), "--out", str(tmp_path / "ground")])
    assert result.exit_code == 0, result.output
    assert "Advised" in result.output
    assert "Smother it under paper and mulch" in result.output
    assert "Begin it by" in result.output
    assert "Lift the sod" not in result.output
