"""One installation does not lean on another, on the user's folders, or on the terminal's coding."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pint
import pytest

from bedwright.cli.console import faults
from bedwright.compiled import compiled
from conftest import ROOT

READ_A_LENGTH = "from bedwright.units import LENGTH, parse; print(round(parse('10 ft', LENGTH), 3))"
CHECK = ["-m", "bedwright.cli", "check", "examples/fence-border.toml"]


def run(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """A fresh Python, with no more of the environment than is named."""
    kept = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT / "src"), **environment}
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT, env=kept, capture_output=True, text=True, timeout=600, check=False,
    )  # fmt: skip


def installation(folder: Path) -> str:
    """A search path whose library of units is a copy of its own, as in another environment."""
    shutil.copytree(Path(pint.__file__).parent, folder / "pint")
    return os.pathsep.join([str(folder), str(ROOT / "src")])


def test_an_installation_works_after_a_former_one_is_removed(tmp_path: Path) -> None:
    home = {"HOME": str(tmp_path / "home"), "XDG_CACHE_HOME": str(tmp_path / "home/cache")}
    first, second = tmp_path / "first", tmp_path / "second"
    paths = [installation(folder) for folder in (first, second)]
    assert run("-c", READ_A_LENGTH, PYTHONPATH=paths[0], **home).stdout == "3.048\n"
    shutil.rmtree(first)
    after = run("-c", READ_A_LENGTH, PYTHONPATH=paths[1], **home)
    assert (after.stdout, after.stderr) == ("3.048\n", "")


def test_a_home_that_cannot_be_written_is_no_matter() -> None:
    done = run(*CHECK, HOME="/proc/none", XDG_CACHE_HOME="/proc/none/cache")
    assert done.returncode == 0, done.stderr
    assert "is sound" in done.stdout


def test_what_older_versions_left_in_the_users_cache_is_not_read(tmp_path: Path) -> None:
    spoilt = tmp_path / "pint"
    spoilt.mkdir()
    for n in range(3):
        (spoilt / f"{n}.pickle").write_bytes(b"\x80\x05")
    done = run("-c", READ_A_LENGTH, HOME=str(tmp_path), XDG_CACHE_HOME=str(tmp_path))
    assert done.stdout == "3.048\n"
    assert sorted(path.name for path in spoilt.iterdir()) == [f"{n}.pickle" for n in range(3)]


COMPILE = """
from bedwright.compiled import on_first_compiling
on_first_compiling(lambda: print("compiling"))
import numpy as np
from bedwright.planting.place.lattice import fill
from shapely import box
for _ in range(2):
    print(len(fill(box(0, 0, 1, 1), 0.3, 0.0, np.empty((0, 3)))) > 0)
"""


def test_a_first_run_says_that_it_compiles_and_later_ones_do_not(tmp_path: Path) -> None:
    kept = {"NUMBA_CACHE_DIR": str(tmp_path)}
    assert run("-c", COMPILE, **kept).stdout == "compiling\nTrue\nTrue\n"
    assert run("-c", COMPILE, **kept).stdout == "True\nTrue\n"


def test_a_command_says_so_once(capsys: pytest.CaptureFixture[str]) -> None:
    with faults(Path("another.toml")):
        pass
    with faults(Path("bed.toml")):
        for add in ("lambda x: x + 1", "lambda x: x + 2"):  # of no file, so never kept
            assert compiled()(eval(add))(1) > 1
    assert capsys.readouterr().err.count("compiling") == 1


def test_set_up_has_compiled_what_a_plan_needs(tmp_path: Path) -> None:
    assert run("tools/warm.py").returncode == 0
    out = str(tmp_path / "out")
    command = ["-m", "bedwright.cli", "plan", "examples/under-the-maple.toml", "--out", out]
    done = run(*command)
    assert (done.returncode, "compiling" in done.stderr) == (0, False), done.stderr
