"""The command line, in process where words matter and as a process where killing does."""

from __future__ import annotations

import errno
import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from bedwright.cli import app
from bedwright.cli.console import FAULT, faults
from bedwright.export import FILES, MANIFEST
from bedwright.export.folder import fill_folder
from bedwright.geometry import GeometryError, TooNarrow
from conftest import EXAMPLES

runner = CliRunner()

BRIEF = """
title = "A round bed"
[place]
latitude = 53.27
longitude = -9.05
[season]
year = 2027
[bed]
shape = "circle"
diameter = "2 m"
"""

FIVE_FAULTS = """
titel = "x"
[place]
latitude = 95
longitude = 3
[bed]
shape = "rectangle"
length = "4 fot"
width = "2 m"
[ground.test]
ph = 70
[wishes]
budget = -3
"""


def write(tmp_path: Path, text: str) -> str:
    path = tmp_path / "bed.toml"
    path.write_text(text)
    return str(path)


def test_plan_writes_all_sheets_and_says_what_it_did(tmp_path: Path) -> None:
    out = tmp_path / "out"
    result = runner.invoke(
        app, ["plan", write(tmp_path, BRIEF), "--out", str(out), "--layout", "3"]
    )
    assert result.exit_code == 0, result.output
    assert sorted(p.name for p in out.iterdir()) == sorted([*FILES, MANIFEST])
    assert "A round bed" in result.output
    assert "plants" in result.output
    assert "uncertain by about" in result.output
    assert "have buried pipes and cables marked" in result.output
    assert json.loads((out / "plan.json").read_text())["layout"] == 3


def test_an_outline_that_cannot_be_is_told_with_its_field_and_what_is_accepted(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(typer.Exit) as ended, faults(Path("bed.toml")):
        raise GeometryError(TooNarrow("width", 0.1, 0.15))
    assert ended.value.exit_code == FAULT
    words = " ".join(capsys.readouterr().err.split())
    assert words.startswith("bed.toml: width: given a bed 10 cm wide")
    assert "accepted: a bed with room for a circle 15 cm wide" in words


def test_check_only_validates(tmp_path: Path) -> None:
    result = runner.invoke(app, ["check", write(tmp_path, BRIEF)])
    assert result.exit_code == 0
    assert "bed.toml is sound" in result.output
    assert [p.name for p in tmp_path.iterdir()] == ["bed.toml"]


@pytest.mark.parametrize("name", sorted(p.name for p in EXAMPLES.glob("*.toml")))
def test_examples_are_sound(name: str) -> None:
    result = runner.invoke(app, ["check", str(EXAMPLES / name)])
    assert result.exit_code == 0, result.output


@pytest.mark.parametrize("command", ["check", "plan"])
def test_five_faults_are_five_in_the_answer(command: str, tmp_path: Path) -> None:
    arguments = [command, write(tmp_path, FIVE_FAULTS)]
    if command == "plan":
        arguments += ["--out", str(tmp_path / "out")]
    result = runner.invoke(app, arguments)
    assert result.exit_code == 2
    assert "5 faults" in result.output
    for field, given, accepted in (
        ("titel", "'x'", "did you mean 'title'?"),
        ("place.latitude", "95", "a number from -66 to 72"),
        ("bed.length", "'4 fot'", "a length with its unit"),
        ("ground.test.ph", "70", "a number from 3 to 10"),
        ("wishes.budget", "-3", "a number from 0"),
    ):
        assert field in result.output
        assert given in result.output
        assert accepted in result.output
    assert not (tmp_path / "out").exists()
    assert "Traceback" not in result.output


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (BRIEF + '[wishes]\nheight = "4 cm"\n', "no kind in the catalogue fits"),
        (BRIEF.replace("latitude = 53.27\nlongitude = -9.05", 'town = "Nowhereton"'), "no such"),
        (BRIEF.replace("53.27", "-40").replace("-9.05", "-120"), "no land"),
        (BRIEF + '[place.record]\nfile = "none.csv"\n', "none.csv"),
        ("[bed\n", "a TOML file"),
    ],
)
def test_mistakes_of_the_brief_exit_with_two(tmp_path: Path, text: str, words: str) -> None:
    result = runner.invoke(app, ["plan", write(tmp_path, text), "--out", str(tmp_path / "out")])
    assert result.exit_code == 2, result.output
    if words == "no such":
        words = "a town of 5,000 people or more"
    assert words in result.output
    assert "Traceback" not in result.output


def test_a_record_that_is_none_or_short_is_told(tmp_path: Path) -> None:
    brief = write(tmp_path, BRIEF + '[place.record]\nfile = "w.csv"\n')
    (tmp_path / "w.csv").write_text("a,b\n1,2\n")
    result = runner.invoke(app, ["plan", brief, "--out", str(tmp_path / "out")])
    assert result.exit_code == 2
    assert "needed: date, tmin, tmax" in result.output
    lines = [f"200{y}-{m:02d}-{d:02d},5,15" for y in (1, 2, 3) for m in range(1, 13)
             for d in range(1, 29)]  # fmt: skip
    (tmp_path / "w.csv").write_text("date,tmin,tmax\n" + "\n".join(lines))
    result = runner.invoke(app, ["check", brief])
    assert result.exit_code == 0
    assert "the odds come from world normals instead" in " ".join(result.output.split())


def test_other_failures_exit_with_one(tmp_path: Path) -> None:
    result = runner.invoke(app, ["check", str(tmp_path / "absent.toml")])
    assert result.exit_code == 1
    assert "No such file" in result.output
    (tmp_path / "busy").mkdir()
    (tmp_path / "busy" / "mine.txt").write_text("x")
    brief = write(tmp_path, BRIEF)
    result = runner.invoke(app, ["plan", brief, "--out", str(tmp_path / "busy")])
    assert result.exit_code == 1
    assert result.output.startswith(f"{tmp_path / 'busy'}: holds mine.txt")
    assert (tmp_path / "busy" / "mine.txt").exists()


def test_the_folder_one_stands_in_is_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    brief = write(tmp_path, BRIEF)
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    result = runner.invoke(app, ["plan", brief, "--out", "."])
    assert result.exit_code == 1
    assert "name a folder below" in result.output
    assert "Traceback" not in result.output


def test_a_disk_that_is_full_is_told_by_the_output_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, body: bytes) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    out = tmp_path / "out"
    result = runner.invoke(app, ["season", "53.27,-9.05", "--out", str(out)])
    assert result.exit_code == 1
    assert result.output.endswith(f"{out}: No space left on device\n")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (BRIEF.replace('"2 m"', '"26 cm"'), None),
        (BRIEF + '[wishes]\ncolours = ["purple"]\ntending = "little"\nheight = "30 cm"\n'
         'kinds = 2\navoid = ["toxic to dogs", "skin irritants"]\n', None),
        (BRIEF + '[wishes]\ngrow = ["larkspur"]\navoid = ["toxic to people"]\n', "as asked"),
    ],
)  # fmt: skip
def test_odd_wishes_never_end_in_a_traceback(tmp_path: Path, text: str, words: str | None) -> None:
    result = runner.invoke(app, ["plan", write(tmp_path, text), "--out", str(tmp_path / "out")])
    assert result.exit_code in (0, 2), result.output
    assert "Traceback" not in result.output
    if words is not None:
        assert result.exit_code == 0
        assert words in result.output


def test_version_and_help() -> None:
    import bedwright

    assert bedwright.__version__ in runner.invoke(app, ["--version"]).output
    helped = runner.invoke(app, ["plan", "--help"]).output
    for option in ("--out", "--layout", "--open"):
        assert option in helped


def test_open_asks_the_browser(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    out = tmp_path / "out"
    runner.invoke(app, ["plan", write(tmp_path, BRIEF), "--out", str(out), "--open"])
    assert opened == [(out / "sheets.pdf").resolve().as_uri()]


PAUSED = """
import os, sys
import bedwright.export.folder, bedwright.export.write, bedwright.plan
from bedwright.cli.commands import app

def with_pause(module, name, last):
    original = getattr(module, name)
    def pause(*arguments, **options):
        # Before the last moment a copy of the run is killed, and the run itself goes on after it.
        copy = 0 if last else os.fork()
        if copy:
            os.waitpid(copy, 0)
            return original(*arguments, **options)
        print(name, os.getpid(), flush=True)
        sys.stdin.readline()
    setattr(module, name, pause)

with_pause(bedwright.plan, "make_season", False)
with_pause(bedwright.export.write, "sheets_pdf", False)
with_pause(bedwright.export.folder, "_exchange", True)
app(sys.argv[1:])
"""
PAUSES = ("make_season", "sheets_pdf", "_exchange")
"""Amid the planning, amid the writing, and before the exchange."""


def test_killing_a_run_at_any_moment_leaves_the_former_output_whole(tmp_path: Path) -> None:
    brief, out = write(tmp_path, BRIEF), tmp_path / "out"
    arguments = ["plan", brief, "--out", str(out), "--layout", "9"]
    fill_folder(out, [(name, b"former") for name in FILES])
    before = {p.name: p.read_bytes() for p in out.iterdir()}
    run = subprocess.Popen(
        [sys.executable, "-c", PAUSED, *arguments],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert run.stdout is not None
    for moment in PAUSES:
        name, process = run.stdout.readline().split()
        assert name == moment
        os.kill(int(process), signal.SIGKILL)
        if int(process) == run.pid:
            run.communicate()
        assert {p.name: p.read_bytes() for p in out.iterdir()} == before, moment
    assert run.returncode == -signal.SIGKILL
    assert runner.invoke(app, arguments).exit_code == 0
    assert json.loads((out / "plan.json").read_text())["layout"] == 9
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bed.toml", "out"]


def test_two_processes_write_the_same_bytes(tmp_path: Path) -> None:
    brief = write(tmp_path, BRIEF)
    assert runner.invoke(app, ["plan", brief, "--out", str(tmp_path / "here")]).exit_code == 0
    # Another process, whose hashes of words differ from this one's.
    seed = "1" if os.environ.get("PYTHONHASHSEED") != "1" else "2"
    command = [sys.executable, "-m", "bedwright.cli", "plan", brief, "--out",
               str(tmp_path / "there")]  # fmt: skip
    subprocess.run(
        command, check=True, capture_output=True, env={**os.environ, "PYTHONHASHSEED": seed}
    )
    for name in FILES:
        here, there = (tmp_path / place / name for place in ("here", "there"))
        assert here.read_bytes() == there.read_bytes(), name
