"""``bedwright planting``: schemes, proof and reasons, as a gardener sees them."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedwright.cli import app

BRIEF = """
[place]
latitude = 53.27
longitude = -9.05

[bed]
shape = "ellipse"
length = "4 m"
width = "2.4 m"
"""


def run(folder: Path, *words: str, brief: str = BRIEF, code: int = 0) -> str:
    path = folder / "bed.toml"
    path.write_text(brief, encoding="utf-8")
    out = ["--out", str(folder / "drawn")]
    result = CliRunner(env={"COLUMNS": "110"}).invoke(app, ["planting", str(path), *out, *words])
    assert result.exit_code == code, result.output
    return result.output


def test_schemes_are_drawn_compared_and_proven(tmp_path: Path) -> None:
    output = run(tmp_path, "--variants", "2")
    drawn = {path.name for path in (tmp_path / "drawn").glob("[!.]*")}
    assert drawn == {"variant-1.svg", "variant-1.png", "variant-2.svg", "variant-2.png"}
    assert output.count("better") >= 2
    for words in ("Variant 1", "Variant 2", "Side by side", "in bloom, mean", "wishes.variant"):
        assert words in output
    again = run(tmp_path, "--proof-steps", "0")
    assert {path.name for path in (tmp_path / "drawn").glob("[!.]*")} == {
        "variant-1.svg",
        "variant-1.png",
    }
    assert "proven" not in again


def test_reasons_are_stated_for_drifts_and_for_kinds(tmp_path: Path) -> None:
    output = run(tmp_path, "--proof-steps", "0", "--why", "all", "--why", "castor bean", code=2)
    assert "a kind of the catalogue, or all" in output
    output = run(tmp_path, "--proof-steps", "0", "--why", "all", "--why", "moonflower")
    assert "Why, drift by drift" in output
    assert output.count("penalty points more") >= 3
    assert "moonflower: a climber; this bed has nothing to climb" in output


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ('at = ["40 m", "0 m"]\nsize = 2', "changes[1].at"),
        ('at = ["2 m", "0 m"]\ngrow = "nettle"', "changes[1].grow"),
    ],
)
def test_changes_that_cannot_be_made_are_told(tmp_path: Path, change: str, said: str) -> None:
    output = run(tmp_path, brief=f"{BRIEF}\n[[changes]]\n{change}\n", code=2)
    assert said in output
