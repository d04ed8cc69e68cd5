"""Bedwright from Python, as docs/python.md has it."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest
import shapely

import bedwright
from bedwright.export import FILES
from bedwright.plan import Plan
from conftest import EXAMPLES, ROOT, TODAY

DOCS = (ROOT / "docs/python.md").read_text()


def test_the_example_of_the_docs_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (example,) = re.findall(r"```python\n(.*?)```", DOCS, re.DOTALL)
    monkeypatch.chdir(tmp_path)
    exec(compile(example, "docs/python.md", "exec"), {})
    assert re.fullmatch(r"\d+ plants; .+ goes out 2027-\d\d-\d\d\n", capsys.readouterr().out)
    assert {path.name for path in (tmp_path / "galway-bed").iterdir()} >= set(FILES)


def test_every_public_name_is_there_and_documented() -> None:
    for name in bedwright.__all__:
        assert getattr(bedwright, name).__doc__
        assert name in DOCS, name
    with pytest.raises(AttributeError, match="no_such_name"):
        bedwright.no_such_name  # noqa: B018


def test_the_import_alone_loads_nothing_heavy() -> None:
    code = "import sys, bedwright; print({'numpy', 'pydantic', 'shapely'} & set(sys.modules))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout == "set()\n"


def test_a_file_and_its_tables_give_the_same_brief(tmp_path: Path) -> None:
    path = EXAMPLES / "under-the-maple.toml"
    read = bedwright.read_brief(path, today=TODAY)
    again = bedwright.read_brief(tomllib.loads(path.read_text()), folder=EXAMPLES, today=TODAY)
    assert read.brief == again.brief
    with pytest.raises(bedwright.BriefError) as caught:
        bedwright.read_brief({"bed": {"shape": "circle", "diameter": 2}})
    assert [fault.field for fault in caught.value.faults] == ["place", "bed.diameter"]


def test_tables_are_plain_records_and_frames(example: Plan) -> None:
    tables = bedwright.tables(example)
    frame = bedwright.frame(tables["plants"])
    assert isinstance(frame, pd.DataFrame)
    assert len(frame) == sum(item.plants for item in example.planting.items)
    bed = example.outline.polygon.buffer(1e-3)
    assert shapely.covers(bed, shapely.points(frame.x_m, frame.y_m)).all()
    plain = (str, int, float, bool, date, list, dict, tuple, type(None))
    for rows in tables.values():
        assert all(isinstance(value, plain) for row in rows for value in row.values())
    assert all(isinstance(row["job"], str) for row in tables["tasks"])
    assert all(isinstance(row["reason"], str) for row in tables["left_out"])


def test_drawings_show_in_a_notebook(example: Plan) -> None:
    start = example.season.start
    for drawing in (
        bedwright.draw_planting(example),
        bedwright.draw_bloom(example),
        bedwright.draw_bed(example),
        bedwright.draw_bed(example, start + timedelta(days=200)),
    ):
        assert drawing._repr_svg_().startswith("<?xml")
    with pytest.raises(ValueError, match="is not in the growing year"):
        bedwright.draw_bed(example, start - timedelta(days=1))


def test_a_season_and_the_kinds() -> None:
    outlook = bedwright.season_of("Galway, Ireland", year=2027, today=TODAY)
    assert outlook.season.start == date(2027, 1, 1)
    assert bedwright.draw_season(outlook)._repr_svg_().startswith("<?xml")
    assert len(bedwright.kinds()) > 200
    with pytest.raises(bedwright.BriefError, match=r"place\.town"):
        bedwright.season_of("Nowhere At All", today=TODAY)
