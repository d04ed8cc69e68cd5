"""Every command that the README shows, run as it stands.

``bedwright`` runs in this process.  ``script/demo`` runs whole, in a copy of the tree whose .venv
stands for this environment.  Of ``script/test`` the order is run, with tools that only note that
they were called: what they do is this run of the tests itself.
"""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedwright.brief import read_brief
from bedwright.cli import app
from bedwright.export import FILES, MANIFEST
from conftest import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
TOOL = ".venv/bin/bedwright "


def shown() -> list[list[str]]:
    """The README's indented blocks."""
    blocks: list[list[str]] = [[]]
    for line in README.splitlines():
        if line.startswith("    "):
            blocks[-1].append(line[4:])
        elif line or not blocks[-1]:
            blocks.append([])
        else:
            blocks[-1].append("")
    return [block for block in blocks if block]


def is_command(block: list[str]) -> bool:
    return block[0].startswith((TOOL, "script/"))


COMMANDS = [line for block in shown() if is_command(block) for line in block if line]
(LEAST,) = ["\n".join(block) for block in shown() if not is_command(block)]


def test_every_command_is_of_a_sort_that_is_run_here() -> None:
    assert {line for line in COMMANDS if not line.startswith(TOOL)} == {
        "script/demo",
        "script/page",
        "script/test",
    }
    assert len(COMMANDS) > 8


@pytest.mark.parametrize("command", [line for line in COMMANDS if line.startswith(TOOL)])
def test_a_command_of_the_readme_runs(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    # The page's server would run on; tests/web asks it things.
    monkeypatch.setattr("uvicorn.Server.run", lambda server, sockets: None)
    monkeypatch.chdir(tmp_path)
    Path("my-bed.toml").write_text(LEAST, encoding="utf-8")
    words = shlex.split(command.removeprefix(TOOL))
    done = CliRunner().invoke(app, words)
    assert done.exit_code == 0, done.output
    assert len(done.output.split()) > 3
    assert len(opened) == words.count("--open") + (words[0] == "page")
    if "--out" in words:
        assert {p.name for p in Path(words[words.index("--out") + 1]).iterdir()} == {
            *FILES,
            MANIFEST,
        }


def tree(folder: Path, python: str) -> Path:
    """A copy of what the scripts work on, set up with a .venv whose ``python`` is a script."""
    for name in ("script", "examples"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("*.csv"))
    for name in ("src", "tools"):
        (folder / name).symlink_to(ROOT / name)
    programs = folder / ".venv/bin"
    programs.mkdir(parents=True)
    program(programs / "python", python)
    for lock in ("requirements.lock", "requirements-dev.lock"):
        shutil.copy(ROOT / lock, folder / lock)
        with (folder / lock).open() as body:
            total = subprocess.run(["cksum"], stdin=body, capture_output=True, text=True).stdout
        (folder / f".venv/bedwright-{lock}.sum").write_text(total.strip())
    return folder


def program(path: Path, body: str) -> None:
    path.write_text(f"#!/bin/sh\n{body}\n")
    path.chmod(0o755)


def test_the_demo_fetches_the_record_and_plans_the_bed(tmp_path: Path) -> None:
    # What compiles the inner loops is tested in test_install.py.
    here = tree(tmp_path, f'[ "$1" = tools/warm.py ] || exec {shlex.quote(sys.executable)} "$@"')
    program(here / ".venv/bin/bedwright", '.venv/bin/python -m bedwright.cli "$@"')
    known = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    done = subprocess.run([here / "script/demo"], env=known, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "days of Clemson weather" in done.stdout
    out = here / "out/front-walk-oval"
    assert {path.name for path in out.iterdir()} == {*FILES, MANIFEST}


def test_the_page_is_opened_after_the_set_up(tmp_path: Path) -> None:
    """In the folder where it is asked for, where its beds are to lie."""
    here = tree(tmp_path / "tree", f'[ "$1" = tools/warm.py ] || exec {sys.executable} "$@"')
    program(here / ".venv/bin/bedwright", 'pwd; echo "$@"')
    for words in ([], ["beds of mine", "--no-open"]):
        done = subprocess.run([here / "script/page", *words], cwd=tmp_path,
                              capture_output=True, text=True)  # fmt: skip
        assert done.returncode == 0, done.stderr
        assert done.stdout.splitlines()[-2:] == [str(tmp_path), " ".join(["page", *words])]


CALLS = ["ruff format", "ruff check", "lint-imports", "mypy", "python -m pytest"]
"""What script/test runs in the end, in words that its notes hold."""


def noted(here: Path, failing: str) -> tuple[int, str]:
    """Exit code of script/test, and the calls that it made; the one named fails."""
    for name in ("python", "ruff", "mypy", "lint-imports"):
        program(
            here / ".venv/bin" / name,
            f'echo "{name} $*" >> calls\n[ "{name} $*" != "{failing}" ] || exit 3',
        )
    (here / "calls").write_text("")
    done = subprocess.run([here / "script/test", "-k", "frost"], capture_output=True, text=True)
    return done.returncode, (here / "calls").read_text()


def test_script_test_passes_every_check_and_ends_with_the_first_that_fails(tmp_path: Path) -> None:
    here = tree(tmp_path, "")
    code, calls = noted(here, "")
    assert code == 0
    assert all(call in calls for call in CALLS)
    assert calls.splitlines()[-1] == "python -m pytest -k frost"
    for call in calls.splitlines():
        if call.startswith(("ruff", "mypy", "lint-imports", "python tools", "python -m pytest")):
            (here / ".venv/bedwright-warm.sum").unlink(missing_ok=True)
            code, after = noted(here, call)
            assert code != 0, call
            assert ("pytest" in after) == ("pytest" in call), call


def test_the_least_brief_is_a_brief() -> None:
    assert read_brief(tomllib.loads(LEAST)).place.town == "Galway, Ireland"
