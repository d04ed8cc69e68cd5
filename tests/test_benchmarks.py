"""Every benchmark runs to its end in its short form; its figures are not judged here."""

from __future__ import annotations

import json
import runpy
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import bench
from conftest import ROOT

FOLDER = ROOT / "benchmarks"


@pytest.fixture
def from_their_folder(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Benchmarks import each other by names that nothing else is to find, before or afterwards."""
    own = {path.stem for path in FOLDER.glob("*.py")}
    monkeypatch.syspath_prepend(FOLDER)
    kept = {name: sys.modules.pop(name) for name in own & set(sys.modules)}
    yield
    for name in own & set(sys.modules):
        del sys.modules[name]
    sys.modules.update(kept)


@pytest.mark.usefixtures("from_their_folder")
@pytest.mark.parametrize("name", bench.names())
def test_a_benchmark_runs_in_its_short_form(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    script, kept = str(FOLDER / f"{name}.py"), tmp_path / "rows.json"
    monkeypatch.setattr(sys, "argv", [script, "--short", "--rows", str(kept)])
    runpy.run_path(script, run_name="__main__")
    rows = json.loads(kept.read_text(encoding="utf-8"))
    assert len(capsys.readouterr().out.splitlines()) == len(rows) >= 2
    assert all(row["name"] and row["size"] and row["unit"] for row in rows)


def test_every_benchmark_is_listed() -> None:
    listed = (FOLDER / "README.md").read_text(encoding="utf-8")
    assert {name for name in bench.names() if f"`{name}.py`" not in listed} == set()
