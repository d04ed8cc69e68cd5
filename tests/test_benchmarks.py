"""Every benchmark runs to its end in its short form; its figures are not judged here."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

import bench
from conftest import ROOT

FOLDER = ROOT / "benchmarks"


@pytest.mark.parametrize("name", bench.names())
def test_a_benchmark_runs_in_its_short_form(name: str, tmp_path: Path) -> None:
    kept = tmp_path / "rows.json"
    command = [sys.executable, str(FOLDER / f"{name}.py"), "--short", "--rows", str(kept)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    rows = json.loads(kept.read_text(encoding="utf-8"))
    assert len(done.stdout.splitlines()) == len(rows) >= 2
    assert all(row["name"] and row["size"] and row["unit"] for row in rows)


def test_every_benchmark_is_listed() -> None:
    listed = (FOLDER / "README.md").read_text(encoding="utf-8")
    assert {name for name in bench.names() if f"`{name}.py`" not in listed} == set()
