"""Runs stopped from outside, at moments that the run itself announces."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from bedwright.export.folder import MANIFEST, fill_folder

BRIEF = """
[place]
latitude = 53.27
longitude = -9.05
[bed]
shape = "circle"
diameter = "1 m"
"""

WAIT = "print('here', flush=True); import sys; sys.stdin.read()\n"
"""A pause that lasts for as long as the test keeps the run's input open."""

AT_WORK = f"""
import sys
from bedwright.cli import main
import bedwright.export.{{module}} as module

def wait(*given, **more):
    {WAIT}
module.{{name}} = wait
sys.argv[0] = "bedwright"
main()
"""
"""A run that halts where it would call a function of its own."""


def stopped(command: list[str], number: int) -> tuple[int, str, str]:
    """Exit code and output of a command stopped at the moment it says 'here'."""
    pipe = subprocess.PIPE
    run = subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe, text=True)
    assert run.stdout is not None
    assert "here\n" in iter(run.stdout.readline, "")
    run.send_signal(number)
    run.wait(timeout=HANG_S)
    said, erred = run.communicate()
    return run.returncode, said, erred


HANG_S = 600
"""A run that has not ended by then never will."""

SIGNALS = [(signal.SIGINT, 130), (signal.SIGTERM, 143)]


@pytest.mark.parametrize(("number", "code"), SIGNALS)
@pytest.mark.parametrize("module", ["typer", "shapely", "numpy"])
def test_a_run_stopped_while_it_loads_ends_quietly(
    module: str, number: int, code: int, tmp_path: Path
) -> None:
    (tmp_path / f"{module}.py").write_text(WAIT)
    start = (
        f"import sys; sys.path.insert(0, {str(tmp_path)!r}); sys.argv[1:] = ['check', 'bed.toml'];"
        "from bedwright.cli import main; main()"
    )
    given = stopped([sys.executable, "-c", start], number)
    assert given == (code, "", "stopped; nothing was written\n")


@pytest.mark.parametrize(("number", "code"), SIGNALS)
def test_a_run_stopped_while_it_writes_leaves_nothing_half_done(
    number: int, code: int, tmp_path: Path
) -> None:
    (tmp_path / "bed.toml").write_text(BRIEF)
    fill_folder(tmp_path / "out", [("plan.json", b"former")])
    start = AT_WORK.format(module="write", name="calendar_ics")
    command = [sys.executable, "-c", start, "plan", str(tmp_path / "bed.toml"),
               "--out", str(tmp_path / "out")]  # fmt: skip
    given = stopped(command, number)
    assert given == (code, "", "stopped; nothing was written\n")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bed.toml", "out"]
    assert {p.name for p in (tmp_path / "out").iterdir()} == {"plan.json", MANIFEST}
    assert (tmp_path / "out" / "plan.json").read_text() == "former"


def test_a_run_stopped_after_it_wrote_says_so(tmp_path: Path) -> None:
    start = f"""
import sys
from bedwright.cli import main
import bedwright.export as export
whole = export.write_season

def wait(*given):
    try:
        return whole(*given)
    finally:
        {WAIT}
export.write_season = wait
main()
"""
    command = [sys.executable, "-c", start, "season", "Galway, Ireland",
               "--out", str(tmp_path / "out")]  # fmt: skip
    code, _, erred = stopped(command, signal.SIGINT)
    assert (code, erred) == (130, "stopped; the output was written\n")
    assert (tmp_path / "out" / "season.pdf").exists()


def test_a_signal_that_is_switched_off_stays_off(tmp_path: Path) -> None:
    start = (
        "import signal, sys; signal.signal(signal.SIGINT, signal.SIG_IGN);"
        "from bedwright.cli import main; from bedwright.cli import stopping;"
        "stopping.end_at_once(); signal.raise_signal(signal.SIGINT);"
        "sys.argv[1:] = ['--version']; main()"
    )
    run = subprocess.run([sys.executable, "-c", start], capture_output=True, timeout=HANG_S)
    assert (run.returncode, run.stderr) == (0, b"")
