"""``bedwright light`` as its users run it."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from bedwright.cli import app
from bedwright.sheets import LIGHT_FILES
from conftest import EXAMPLES

runner = CliRunner()


@pytest.mark.parametrize("name", ["under-the-maple", "fence-border", "front-walk-oval"])
def test_an_example_is_printed_and_drawn(tmp_path: Path, name: str) -> None:
    out = tmp_path / "light"
    result = runner.invoke(app, ["light", str(EXAMPLES / f"{name}.toml"), "--out", str(out)])
    assert result.exit_code == 0, result.output
    for month in ("January", "July", "December"):
        assert month in result.output
    assert "clear sky" in result.output
    assert sorted(p.name for p in out.iterdir()) == sorted(LIGHT_FILES)
    text = (out / "light.svg").read_text()
    assert "nan" not in text
    clips = [e for e in ElementTree.fromstring(text).iter() if e.tag.endswith("clipPath")]
    assert len(clips) == 13


def test_the_shade_of_a_tree_is_told(tmp_path: Path) -> None:
    out = str(tmp_path / "light")
    shaded = runner.invoke(app, ["light", str(EXAMPLES / "under-the-maple.toml"), "--out", out])
    sunny = runner.invoke(app, ["light", str(EXAMPLES / "front-walk-oval.toml"), "--out", out])

    def july(output: str) -> float:
        line = next(row for row in output.splitlines() if row.strip().startswith("July"))
        return float(line.split()[2])

    assert july(shaded.output) < 7 < july(sunny.output)


def test_a_faulty_brief_is_told(tmp_path: Path) -> None:
    brief = tmp_path / "bed.toml"
    brief.write_text('[place]\nlatitude = 53\nlongitude = -9\n[bed]\nshape = "circle"\n')
    result = runner.invoke(app, ["light", str(brief), "--out", str(tmp_path / "light")])
    assert result.exit_code == 2
    assert "bed.diameter" in result.output
    assert not (tmp_path / "light").exists()
