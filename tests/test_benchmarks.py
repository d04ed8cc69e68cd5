"""Every benchmark runs to its end in its short form; its figures are not judged here."""

from __future__ import annotations

import subprocess
import sys

import pytest

from conftest import ROOT

FOLDER = ROOT / "benchmarks"
LIBRARIES = {"timing", "cpsat"}
"""What the benchmarks share, or one of them uses."""


@pytest.mark.parametrize("name", sorted({p.stem for p in FOLDER.glob("*.py")} - LIBRARIES))
def test_a_benchmark_runs_in_its_short_form(name: str) -> None:
    command = [sys.executable, str(FOLDER / f"{name}.py"), "--short"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert len(done.stdout.splitlines()) >= 2


def test_every_benchmark_is_listed() -> None:
    listed = (FOLDER / "README.md").read_text(encoding="utf-8")
    names = {p.stem for p in FOLDER.glob("*.py")} - LIBRARIES
    assert {name for name in names if f"`{name}.py`" not in listed} == set()
