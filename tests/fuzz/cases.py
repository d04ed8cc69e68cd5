"""What is tried on random input, and what has to hold.

A case is a function of a seed and an empty folder; it raises AssertionError with words where the
tool breaks a promise.  Any other exception is a traceback that a user would have met.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable
from datetime import date
from pathlib import Path
from unittest.mock import patch

import numpy as np
from typer.testing import CliRunner

from bedwright.brief import BriefError
from bedwright.catalogue import load_catalogue
from bedwright.cli import app
from bedwright.export import FILES, MANIFEST
from bedwright.export import folder as folder_module
from bedwright.inputs.gather import gather
from bedwright.plan import make_plan
from bedwright.planting import ChangeError, NothingFitsError
from fuzz.beds import random_bed
from fuzz.briefs import mutated_brief
from fuzz.own_kinds import mutated_own_kinds
from fuzz.records import mutated_record
from fuzz.toml import dumps
from promises import breaches

Case = Callable[[int, Path], None]

TODAY = date(2026, 11, 25)
FAULT_WORDS = ("accepted:", "needed:", "no kind in the catalogue fits")
"""One of these stands in every answer to a faulty brief."""

CODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le")
LINE_ENDS = ("\n", "\r\n", "\r")
BRIEF = """
[place]
latitude = 53.27
longitude = -9.05
[season]
year = 2027
[bed]
shape = "circle"
diameter = "2 m"
"""


def command(*words: str) -> tuple[int, str]:
    """Exit code and output of a command; what it raises goes on to the caller."""
    result = CliRunner().invoke(app, list(words))
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    assert result.exit_code in (0, 1, 2), f"exit code {result.exit_code}"
    odd = {c for c in result.output if c != "\n" and unicodedata.category(c) in ("Cc", "Cs")}
    assert not odd, f"control characters on the terminal: {sorted(odd)!r}"
    if result.exit_code == 2:
        assert any(w in result.output for w in FAULT_WORDS), result.output
    return result.exit_code, result.output


def brief(seed: int, folder: Path) -> None:
    """A brief with faults, or without: ``check`` and ``plan`` agree on it."""
    rng = np.random.default_rng(seed)
    text = mutated_brief(seed)
    path, out = folder / "bed.toml", folder / "out"
    coding = str(rng.choice(CODINGS)) if rng.random() < 0.2 else "utf-8"
    ended = text.replace("\n", str(rng.choice(LINE_ENDS)))
    path.write_bytes(ended.encode(coding, errors="surrogatepass"))
    checked, words = command("check", str(path))
    assert checked in (0, 2), words
    if rng.random() < 0.5:
        return
    planned, said = command("plan", str(path), "--out", str(out))
    if checked == 2:
        assert planned == 2, f"check finds faults and plan does not: {words}"
        assert not out.exists()
    elif planned == 2:
        assert "no kind in the catalogue fits" in said or "fits" in said, (
            f"check is content: {said}"
        )
    else:
        assert planned == 0, said
        assert {p.name for p in out.iterdir()} == {*FILES, MANIFEST}


def record(seed: int, folder: Path) -> None:
    """A weather record of any sort of damage."""
    name, body = mutated_record(seed)
    path = folder / name
    path.write_bytes(body)
    code, words = command(
        "season", str(path), "--at", "53.27,-9.05", "--out", str(folder / "season")
    )
    assert code in (0, 2), words


def own_kinds(seed: int, folder: Path) -> None:
    """A file of the gardener's own kinds."""
    (folder / "own.toml").write_text(
        mutated_own_kinds(seed), encoding="utf-8", errors="surrogatepass"
    )
    path = folder / "bed.toml"
    path.write_text('own_kinds = "own.toml"\n' + BRIEF, encoding="utf-8")
    for words in (("check", str(path)), ("kinds", "--own", str(folder / "own.toml"))):
        code, said = command(*words)
        assert code in (0, 2), said


def bed(seed: int, folder: Path) -> None:
    """A bed of any shape: every promise about where plants stand is kept."""
    path = folder / "bed.toml"
    path.write_text(dumps(random_bed(seed)), encoding="utf-8")
    catalogue = load_catalogue()
    try:
        read, weather = gather(path, catalogue, TODAY)
        plan = make_plan(read, catalogue=catalogue, weather=weather, seed=seed % 7)
    except (BriefError, ChangeError, NothingFitsError):  # changes: once the drifts are drawn
        return
    planting = plan.planting
    broken = breaches(read, planting)
    assert not broken, broken[:3]
    stand = np.bincount(
        [drift.item for drift in planting.drifts for _ in drift.places],
        minlength=len(planting.items),
    )
    listed = [item.plants for item in planting.items]
    assert stand.tolist() == listed, f"{listed} plants listed, {stand.tolist()} drawn"


def output(seed: int, folder: Path) -> None:
    """An output folder beside, within or upon files of the user's own: all of them stay, also on
    systems that cannot exchange two folders in one step (every other seed)."""
    exchange = folder_module._exchange if seed % 2 else lambda one, other: False
    with patch.object(folder_module, "_exchange", exchange):
        _fill_amid_files(seed, folder)


def _fill_amid_files(seed: int, folder: Path) -> None:
    rng = np.random.default_rng(seed)
    names = ["out", "*", ".", "a b", "[x]", "-new-", ".out-new-x", "é", "\n", "plan.json"]
    target = folder / str(rng.choice(names))
    mine: dict[Path, bytes] = {}
    for n in range(int(rng.integers(0, 5))):
        names = ["plan.json", "sheets.pdf", MANIFEST, f".{target.name}-new-{n}/plan.json",
                 f".{target.name}-old/a", f"{target.name}/plan.json", f"{target.name}/x/y",
                 "letters.txt", f".{target.name}-new-{n}/note"]  # fmt: skip
        path = folder / str(rng.choice(names))
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(rng.bytes(9))
        except OSError:
            continue
        mine[path] = path.read_bytes()
    for n in range(int(rng.integers(1, 4))):
        bodies = [(str(name), rng.bytes(20)) for name in FILES[: 2 + n]]
        try:
            folder_module.fill_folder(target, bodies)
        except folder_module.FolderInTheWayError:
            continue
        assert {p.name: p.read_bytes() for p in target.iterdir() if p.name != MANIFEST} == dict(
            bodies
        )
    assert {path: path.read_bytes() for path in mine} == mine


DAYS = ("01-01", "02-29", "4-15", "06-30", "07-01", "10-15", "12-31", "13-01", "00-00", "", "-1",
        "04-15 ", "2027-04-15", "\x1b[31m")  # fmt: skip
SPOTS = ("Galway, Ireland", "-45.03,168.66", "1.35,103.82", "64.84,-147.72", "33.45,-112.07",
         "72,-180", "-66,180", "0,0", "nan,inf", "", "-", "é", ".")  # fmt: skip


def sowing(seed: int, folder: Path) -> None:
    """``when`` of any kind, place and days: JSON whose days are in order, or faults."""
    rng = np.random.default_rng(seed)
    keys = [*load_catalogue().kinds, "", "rose", "-x", "larkspur "]
    words = [str(rng.choice(keys)), str(rng.choice(SPOTS)), "--sown", str(rng.choice(DAYS))]
    if rng.random() < 0.4:
        words += ["--set-out", str(rng.choice(DAYS))]
    if rng.random() < 0.4:
        words += ["--in-place"]
    if rng.random() < 0.2:
        words += ["--altitude", str(rng.choice(["800 m", "9000 m", "tall", "-5 m"]))]
    code, said = command("when", *words, *(["--json"] if rng.random() < 0.7 else []))
    if code == 0 and said.startswith("{"):
        found = json.loads(said)
        days = [day for day in found["first_flower"].values() if day is not None]
        assert len(days) == (3 if found["share_of_seasons"] >= 0.5 else 0)
        assert days == sorted(days)
        assert all(day > found["sown"] for day in days)


CASES: dict[str, Case] = {
    case.__name__: case for case in (brief, record, own_kinds, bed, output, sowing)
}
