"""The documents agree with the code."""

from __future__ import annotations

import json
import re
import tomllib

import numpy as np
import pytest
from typer.testing import CliRunner

import bedwright
from bedwright.brief import neighbours, outlines, place, tables
from bedwright.catalogue import Catalogue
from bedwright.cli import app
from bedwright.export import FILES, SCHEMA, SEASON_FILES
from bedwright.geometry import outline_of
from bedwright.growth.rates import shared
from conftest import EXAMPLES, ROOT, brief_of

BRIEF = (ROOT / "docs/brief.md").read_text()
README = (ROOT / "README.md").read_text()


def test_every_field_of_the_brief_is_documented() -> None:
    missing = []
    every = {**vars(tables), **vars(place), **vars(outlines), **vars(neighbours)}
    for name, model in every.items():
        fields = getattr(model, "model_fields", {})
        missing += [f"{name}.{field}" for field in fields if f"`{field}`" not in BRIEF
                    and f"[{field}]" not in BRIEF and f".{field}]" not in BRIEF]  # fmt: skip
    assert missing == []


def test_every_word_a_field_accepts_is_documented() -> None:
    for words in (tables.Texture, tables.ColourScheme, tables.Use, tables.Avoid):
        for word in words.__args__:
            assert f'"{word}"' in BRIEF, word


def test_the_outlines_shown_are_sound() -> None:
    """A kidney by its pegs, about 5 by 2.5 m, and the same by two tapes, 1.4 m farther off."""
    shown = re.findall(r"^```toml\n(\[bed\]\n.*?)```$", BRIEF, re.DOTALL | re.MULTILINE)
    pegs, tapes = (outline_of(brief_of(**tomllib.loads(text)).bed) for text in shown)
    x0, y0, x1, y1 = pegs.polygon.bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((5, 2.5), abs=0.5)
    off = np.array(tapes.pegs) - np.array(pegs.pegs)
    assert np.allclose(off, [0.0, 1.4], atol=0.02)


def test_every_output_is_documented() -> None:
    plan = (ROOT / "docs/plan.md").read_text()
    assert SCHEMA in plan
    for name in FILES:
        assert f"`{name}`" in plan


def test_every_output_of_a_season_is_documented() -> None:
    page = (ROOT / "docs/season.md").read_text()
    for name in SEASON_FILES:
        assert f"`{name}`" in page


@pytest.mark.parametrize("command", ["season", "when", "page"])
def test_every_option_is_documented(command: str) -> None:
    page = (ROOT / f"docs/{command}.md").read_text()
    helped = CliRunner().invoke(app, [command, "--help"], env={"COLUMNS": "200"}).output
    for option in re.findall(r"--[a-z-]+", helped):
        if option != "--help":
            assert f"`{option}" in page, option


def test_every_field_of_an_answer_is_documented() -> None:
    page = (ROOT / "docs/when.md").read_text()
    words = ["when", "larkspur", "Galway, Ireland", "--sown", "04-01", "--json"]
    for field in json.loads(CliRunner().invoke(app, words).stdout):
        assert f"`{field}`" in page, field


def test_every_command_and_example_is_in_the_readme() -> None:
    helped = CliRunner().invoke(app, ["--help"]).output
    for command in ("plan", "check", "season", "when", "light"):
        assert command in helped
        assert f"bedwright {command}" in README
    for path in EXAMPLES.glob("*.toml"):
        assert f"`{path.name}`" in README
    for script in ("script/demo", "script/test"):
        assert script in README
        assert (ROOT / script).stat().st_mode & 0o111


def test_the_fitted_figures_of_growth_are_those_documented() -> None:
    words = " ".join((ROOT / "docs/method.md").read_text("utf-8").split())
    rates = shared()
    assert f"days are for ({rates.reference_c:.1f} °C)" in words
    assert f"amounts to ({rates.indoor_c:.1f} °C on a window sill)" in words
    assert f"({rates.long_day:.2f} and {rates.short_day:.2f})" in words


def test_links_lead_somewhere() -> None:
    for page in [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *(ROOT / "docs").glob("*.md")]:
        for target in re.findall(r"\]\((?!http)([^)#]+)\)", page.read_text()):
            assert (page.parent / target).exists(), f"{page.name}: {target}"


def test_changelog_names_the_version_and_counts_the_catalogue(catalogue: Catalogue) -> None:
    text = (ROOT / "CHANGELOG.md").read_text()
    assert f"## {bedwright.__version__}" in text
    forms = sum(len(kind.colours) for kind in catalogue)
    assert f"{len(catalogue)} kinds in {forms} colours" in text


def test_decisions_are_short_and_numbered() -> None:
    pages = sorted((ROOT / "docs/decisions").glob("*.md"))
    for n, page in enumerate(pages, start=1):
        assert page.name.startswith(f"{n:03d}-")
        assert len(page.read_text().splitlines()) < 40
