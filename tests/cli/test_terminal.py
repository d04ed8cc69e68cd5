"""What reaches the terminal: nothing that steers it, nothing that its coding lacks."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedwright.cli import app
from bedwright.cli.console import shown

runner = CliRunner()

RED = "\x1b[31m"
BRIEF = """
title = "Café-Beet 庭 [red]:rose:"
[place]
town = "Tŷgroes"
latitude = 53.27
longitude = -9.05
[season]
year = 2027
[bed]
shape = "circle"
diameter = "1 m"
"""
TURNED = BRIEF.replace("Beet", "Beet\u202e").replace("Tŷ", "Tŷ\u202e")
UNKNOWN = '"\\u001b[31mkey\\u009b\\u007f\\u0007" = "\\u001b]0;x"\n'


def unsafe(text: str) -> set[str]:
    """Characters that a terminal obeys, or that turn the direction of writing."""
    turning = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
    return {
        c
        for c in text
        if (unicodedata.category(c) in ("Cc", "Cs") and c != "\n")
        or unicodedata.bidirectional(c) in turning
    }


def test_controls_are_shown_by_their_numbers() -> None:
    assert shown(f"a{RED}b\n\t\x9b\x7f") == r"a\x1b[31mb\x0a\x09\x9b\x7f"
    assert shown("a\u202eb\u2066c\ud800") == r"a\u202eb\u2066c\ud800"
    assert shown("a\nb", keep="\n") == "a\nb"
    plain = "Café, naïve, 庭, ש, 👩‍🌾 ½ °"
    assert shown(plain) == plain


def test_faults_and_file_names_cannot_steer_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / f"bed{RED}\u202e.toml"
    path.write_text(UNKNOWN + TURNED, encoding="utf-8")
    result = runner.invoke(app, ["check", str(path)])
    assert result.exit_code == 2
    assert unsafe(result.output) == set()
    assert r"bed\x1b[31m\u202e.toml: 3 faults" in result.output
    assert r"\x1b[31mkey\x9b\x7f\x07" in result.output
    assert r"Tŷ\u202egroes" in result.output


@pytest.mark.parametrize("command", ["plan", "check", "light", "ground", "planting"])
def test_titles_towns_and_folders_cannot_steer_the_terminal(command: str, tmp_path: Path) -> None:
    path = tmp_path / "bed.toml"
    path.write_text(BRIEF, encoding="utf-8")
    folder = tmp_path / f"out{RED}\u202e"
    more = [] if command == "check" else ["--out", str(folder)]
    result = runner.invoke(app, [command, str(path), *more])
    assert result.exit_code == 0, result.output
    assert unsafe(result.output) == set()
    if command != "check":
        assert "Café-Beet 庭 [red]:rose:" in result.output
        assert r"out\x1b[31m\u202e" in result.output
    assert "Tŷgroes" in result.output


def test_what_the_system_says_of_a_file_cannot_steer_the_terminal(tmp_path: Path) -> None:
    result = runner.invoke(app, ["check", str(tmp_path / f"no{RED}.toml")])
    assert result.exit_code == 1
    assert unsafe(result.output) == set()
    assert r"no\x1b[31m.toml" in result.output
    (tmp_path / "busy").mkdir()
    (tmp_path / "busy" / f"mine{RED}.txt").write_text("x")
    result = runner.invoke(app, ["season", "Galway, Ireland", "--out", str(tmp_path / "busy")])
    assert result.exit_code == 1
    assert unsafe(result.output) == set()
    assert r"holds mine\x1b[31m.txt" in result.output


@pytest.mark.parametrize(
    "arguments",
    [
        ["kinds", f"rose{RED}"],
        ["kinds", "--colour", f"{RED}red"],
        ["kinds", "--height", f"{RED}2"],
        ["kinds", f"--no{RED}"],
        [f"cinds{RED}"],
        ["kinds", "--units", f"{RED}us"],
        ["season", f"Galway{RED}"],
        ["season", f"no{RED}.csv"],
        ["when", f"rose{RED}", "Galway", "--sown", "04-01"],
        ["when", "larkspur", "Galway", "--sown", f"{RED}04-01"],
    ],
)
def test_words_of_the_command_line_cannot_steer_the_terminal(arguments: list[str]) -> None:
    result = runner.invoke(app, arguments)
    assert result.exit_code in (1, 2)
    assert unsafe(result.output) == set()
    assert "31m" in result.output


def test_own_kinds_cannot_steer_the_terminal(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text(f"[kind.rose]\n{UNKNOWN}")
    result = runner.invoke(app, ["kinds", "--own", str(own)])
    assert result.exit_code == 2
    assert unsafe(result.output) == set()
    assert r"\x1b[31m" in result.output


# --- codings -------------------------------------------------------------------------------------


def printed_in(
    coding: str, arguments: list[str], monkeypatch: pytest.MonkeyPatch
) -> tuple[str, str]:
    """What a command prints on streams of a coding, its standard output and error."""
    from bedwright.cli.console import use_stand_ins

    streams = [io.TextIOWrapper(io.BytesIO(), encoding=coding) for _ in range(2)]
    monkeypatch.setattr(sys, "stdout", streams[0])
    monkeypatch.setattr(sys, "stderr", streams[1])
    use_stand_ins()
    assert app(arguments, standalone_mode=False) in (0, None)
    said, erred = (s.buffer.getvalue().decode(coding) for s in streams)  # type: ignore[attr-defined]
    monkeypatch.undo()
    return said, erred


@pytest.mark.parametrize("coding", ["ascii", "latin-1", "cp437"])
@pytest.mark.parametrize(
    "command",
    ["check", "plan", "light", "ground", "planting", "season", "when", "kinds", "card", "help"],
)
def test_every_command_prints_on_a_terminal_of_few_letters(
    command: str, coding: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bed.toml"
    path.write_text(BRIEF, encoding="utf-8")
    arguments = {
        "check": ["check", str(path)],
        "season": ["season", "Köln, Germany", "--out", str(tmp_path / "out")],
        "when": ["when", "larkspur", "Köln, Germany", "--sown", "04-01"],
        "kinds": ["kinds", "--colour", "pink"],
        "card": ["kinds", "China pink"],
        "help": ["plan", "--help"],
    }.get(command, [command, str(path), "--out", str(tmp_path / "out")])
    said, erred = printed_in(coding, arguments, monkeypatch)
    assert len(said) > 30
    assert erred == ""
    if command == "season" and coding == "ascii":
        assert "Koln" in said
        assert "50.93 deg N" in said
        assert "0 deg C" in said
    if command == "when" and coding == "ascii":
        assert "%  ##########" in said
        assert "deg C or colder" in said
    if command == "plan":
        assert r"Beet \u5ead" in said


def test_a_plain_locale_ends_well(tmp_path: Path) -> None:
    path = tmp_path / "bed.toml"
    path.write_text(BRIEF, encoding="utf-8")
    out = tmp_path / "out"
    plain = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    for settings in (plain, {"PYTHONIOENCODING": "ascii"}):
        run = subprocess.run(
            [sys.executable, "-m", "bedwright.cli", "ground", str(path), "--out", str(out)],
            env={**os.environ, **settings},
            capture_output=True,
            timeout=300,
        )
        assert run.returncode == 0, run.stderr
        assert run.stderr == b""
        assert rb"Cafe-Beet \u5ead" in run.stdout
        assert run.stdout.isascii()


def test_a_reader_that_leaves_is_no_fault() -> None:
    run = subprocess.Popen(
        [sys.executable, "-m", "bedwright.cli", "kinds"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert run.stdout is not None
    run.stdout.close()
    assert run.stderr is not None
    assert run.stderr.read() == b""
    run.stderr.close()
    run.wait(timeout=300)
