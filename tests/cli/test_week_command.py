"""``bedwright week``, and a plan that is made with what was learned."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
import tomli_w
from typer.testing import CliRunner, Result

from bedwright.cli import app
from bedwright.plan import Plan
from bedwright.store import bed_at, entries_of, grow
from grown import brief_in_year, in_year


@pytest.fixture
def bed(tmp_path: Path, oval: Plan) -> Path:
    year = date.today().year
    path = tmp_path / "oval.toml"
    path.write_text(tomli_w.dumps(brief_in_year(year)), encoding="utf-8")
    grow(bed_at(path), year, 1, in_year(oval, year))
    return path


def run(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def test_the_week_is_listed_and_its_work_written_down(bed: Path) -> None:
    listed = run("week", bed)
    assert listed.exit_code == 0, listed.output
    assert "The oval by the front walk, the week from" in listed.output
    refused = run("week", bed, "--done", "no-such-work")
    assert refused.exit_code == 2
    assert "one of this week's list" in refused.output
    rows = [line.split() for line in listed.output.splitlines() if ": " in line]
    keys = [row[0] for row in rows if "-" in row[0] or row[0] in ("water", "clear", "dig")]
    if keys:
        assert run("week", bed, "--left", keys[0]).exit_code == 0
        assert len(entries_of(bed_at(bed).store, "oval")) == 1


def test_tonight(bed: Path) -> None:
    said = run("week", bed, "--tonight", "28 F")
    assert said.exit_code == 0, said.output
    assert "28 °F forecast" in said.output
    assert run("note", bed, "28 F tonight").output == said.output
    assert entries_of(bed_at(bed).store, "oval") == []
    assert run("week", bed, "--tonight", "cold").exit_code == 2


def test_a_bed_without_a_plan_kept_is_told_how_to_keep_one(tmp_path: Path) -> None:
    path = tmp_path / "oval.toml"
    path.write_text(tomli_w.dumps(brief_in_year(2027)), encoding="utf-8")
    said = run("week", path)
    assert (said.exit_code, "--grow" in said.output) == (2, True)


def test_a_plan_is_made_with_what_was_learned(tmp_path: Path) -> None:
    path = tmp_path / "small.toml"
    path.write_text(
        '[place]\ntown = "Galway, Ireland"\n[bed]\nshape = "circle"\ndiameter = "1.2 m"\n',
        encoding="utf-8",
    )
    day = date.today() - timedelta(days=3)
    assert run("note", path, f"sowed 60 coleus {day - timedelta(days=40):%Y-%m-%d}").exit_code == 0
    assert run("note", path, f"3 of 60 coleus came up {day:%Y-%m-%d}").exit_code == 0
    made = run("plan", path, "--learned", "--out", tmp_path / "out")
    assert made.exit_code == 0, made.output
    assert "garden's own journal" in " ".join(made.output.split())
    plan = json.loads((tmp_path / "out/plan.json").read_text("utf-8"))
    assert plan["learned"]["germination"]["coleus"] < 0.6
    assert plan["learned"]["until"] == date.today().isoformat()
