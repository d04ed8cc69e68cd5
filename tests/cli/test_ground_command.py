"""``bedwright ground`` as its users run it."""

from __future__ import annotations

import re
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
    assert "phosphate (P₂O₅): 10 g/m² less than the 10 g/m² wanted" in result.output
    assert "this blend comes nearest" in result.output


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


PLACE = "[place]\nlatitude = 53.3\nlongitude = -9.0\n"
BED = '[bed]\nshape = "rectangle"\nlength = "12 m"\nwidth = "5 m"\n'
UNPLAIN = r"\b(sour|limy|hungry|thirst|hirer|told|fortnight|goods|reckoned|once round)\b"


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("ph", [4.2, 8.4])
def test_the_sheet_speaks_plainly_and_in_one_system_of_units(
    tmp_path: Path, units: str, ph: float
) -> None:
    brief = tmp_path / "bed.toml"
    brief.write_text(
        f'units = "{units}"\n{PLACE}{BED}[ground]\nraise_by = "20 cm"\n[ground.test]\nph = {ph}\n'
    )
    result = runner.invoke(app, ["ground", str(brief), "--out", str(tmp_path / "ground")])
    assert result.exit_code == 0
    assert re.findall(UNPLAIN, result.output, re.I) == []
    wrong = (
        r"fertiliser|\d (m|cm|mL|L|kg|g|m²|g/m²)\b"
        if units == "us"
        else (r"fertilizer|\d (ft|in(?! part)|cups?|gal|qt|lb|oz|sq ft|cu ft)\b")
    )
    sheet = result.output.split("Lifting and digging")[0]
    assert re.findall(wrong, sheet) == []


def test_letters_that_the_typeface_lacks_are_noted_on_the_sheet(tmp_path: Path) -> None:
    brief = tmp_path / "bed.toml"
    brief.write_text(f'title = "花 bed"\n{PLACE}{BED}', encoding="utf-8")
    result = runner.invoke(app, ["ground", str(brief), "--out", str(tmp_path / "ground")])
    assert result.exit_code == 0
    pages = [page.extract_text() for page in PdfReader(tmp_path / "ground/ground.pdf").pages]
    text = " ".join("".join(pages).split())
    assert "the typefaces of the sheets lack some letters" in text.lower()
    brief.write_text(f'title = "Flower bed"\n{PLACE}{BED}', encoding="utf-8")
    runner.invoke(app, ["ground", str(brief), "--out", str(tmp_path / "ground")])
    pages = [page.extract_text() for page in PdfReader(tmp_path / "ground/ground.pdf").pages]
    assert "typefaces" not in "".join(pages)


def test_a_curve_measured_with_tapes_is_laid_with_a_hose_and_staked_from_a_and_b(
    tmp_path: Path,
) -> None:
    brief = tmp_path / "bed.toml"
    brief.write_text(
        '[place]\nlatitude = 53.3\nlongitude = -9.0\n[bed]\nshape = "curve"\nbase = "5 m"\n'
        'tapes = [["0 m", "5 m"], ["5 m", "0 m"], ["5.83 m", "3 m"], ["4.3 m", "4.3 m"],'
        ' ["3 m", "5.83 m"]]\nsharp = [2, 1]\n'
    )
    out = tmp_path / "ground"
    result = runner.invoke(app, ["ground", str(brief), "--out", str(out)])
    assert result.exit_code == 0, result.output
    pages = "".join(page.extract_text() for page in PdfReader(out / "ground.pdf").pages)
    for text in (" ".join(result.output.split()), " ".join(pages.split())):
        assert "Rope or hose" in text
        assert "it turns sharply at 1 and 2 and runs straight from 1 to 2" in text
        assert "stakes with a letter stand between two pegs of your brief" in text
        assert "A is 0 on the plan; B stands 5.00 m from it on the base line." in text
        assert re.search(r"3 5\.83 m 3\.00 m", text)  # from A and from B
        assert re.search(r"3 5\.00 m 3\.00 m", text)  # along and out: 5² + 3² = 5.83²
