"""``bedwright light`` as its users run it."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from bedwright.cli import app
from bedwright.export import LIGHT_FILES, MANIFEST
from conftest import EXAMPLES

runner = CliRunner()


@pytest.mark.parametrize("name", ["under-the-maple", "fence-border", "front-walk-oval"])
def test_an_example_is_printed_and_drawn(tmp_path: Path, name: str) -> None:
    out = tmp_path / "light"
    result = runner.invoke(app, ["light", str(EXAMPLES / f"{name}.toml"), "--out", str(out)])
    assert result.exit_code == 0, result.output
    for month in ("Jan", "Jul", "Dec"):
        assert month in result.output
    assert "Clear sky" in result.output
    assert sorted(p.name for p in out.iterdir()) == sorted([*LIGHT_FILES, MANIFEST])
    text = (out / "light.svg").read_text()
    assert "nan" not in text
    clips = [e for e in ElementTree.fromstring(text).iter() if e.tag.endswith("clipPath")]
    assert len(clips) == 13


def test_the_shade_of_a_tree_is_told(tmp_path: Path) -> None:
    out = str(tmp_path / "light")
    shaded = runner.invoke(app, ["light", str(EXAMPLES / "under-the-maple.toml"), "--out", out])
    sunny = runner.invoke(app, ["light", str(EXAMPLES / "front-walk-oval.toml"), "--out", out])

    def july(output: str) -> float:
        line = next(row for row in output.splitlines() if row.strip().startswith("Jul"))
        return float(line.split()[1])

    assert july(shaded.output) < 7 < july(sunny.output)


def test_kinds_are_listed_with_how_much_of_the_bed_suits_them(tmp_path: Path) -> None:
    out = str(tmp_path / "light")
    brief = str(EXAMPLES / "under-the-maple.toml")
    result = runner.invoke(app, ["light", brief, "--kinds", "--out", out])
    rows = {row.split("  ")[1]: row.split() for row in result.output.splitlines() if " - " in row}
    assert len(rows) > 90
    suits = {name: float(row[-1].rstrip("%")) for name, row in rows.items()}
    # Wishbone flower likes 2 to 7 hours, tall zinnia 6 and more: the bed has about five.
    assert suits["wishbone flower"] > 90
    assert suits["tall zinnia"] < 10
    assert "part sun" in result.output


def test_a_slope_and_a_skyline_are_told_on_the_drawing(tmp_path: Path) -> None:
    out = tmp_path / "light"
    runner.invoke(app, ["light", str(EXAMPLES / "fence-border.toml"), "--out", str(out)])
    text = (out / "light.svg").read_text()
    assert "The ground falls 5% this way" in text
    assert "Skyline, degrees above level" in text
    assert ">9°<" in text


def test_a_faulty_brief_is_told(tmp_path: Path) -> None:
    brief = tmp_path / "bed.toml"
    brief.write_text('[place]\nlatitude = 53\nlongitude = -9\n[bed]\nshape = "circle"\n')
    result = runner.invoke(app, ["light", str(brief), "--out", str(tmp_path / "light")])
    assert result.exit_code == 2
    assert "bed.diameter" in result.output
    assert not (tmp_path / "light").exists()
