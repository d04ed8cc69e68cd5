"""Output folders: whole or not at all, and never at the cost of anyone else's files."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from bedwright.export import MANIFEST, FolderInTheWayError, check_folder, folder
from bedwright.export.folder import fill_folder

FIRST = [("plan.json", b"1"), ("sheets.pdf", b"one")]
SECOND = [("plan.json", b"2"), ("ground.pdf", b"two")]


def held(path: Path) -> dict[str, bytes]:
    """Names and contents of a folder's files, but for the manifest."""
    return {p.name: p.read_bytes() for p in path.iterdir() if p.name != MANIFEST}


def names(path: Path) -> list[str]:
    return sorted(p.name for p in path.iterdir())


@pytest.fixture(params=["exchange", "rename"])
def out(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A target, on systems that can exchange two folders in one step and on others."""
    if request.param == "rename":
        monkeypatch.setattr(folder, "_exchange", lambda one, other: False)
    return tmp_path / "out"


def test_an_earlier_output_is_replaced_whole(out: Path) -> None:
    assert fill_folder(out, FIRST) == [out / "plan.json", out / "sheets.pdf"]
    assert held(out) == dict(FIRST)
    fill_folder(out, SECOND)
    assert held(out) == dict(SECOND)
    assert names(out.parent) == ["out"]


def test_an_empty_folder_is_filled(out: Path) -> None:
    out.mkdir()
    fill_folder(out, FIRST)
    assert held(out) == dict(FIRST)


@pytest.mark.parametrize("name", ["plan.json", "sheets.pdf", "letters.txt", ".hidden", MANIFEST])
def test_files_of_the_users_own_stay_whatever_their_names(out: Path, name: str) -> None:
    out.mkdir()
    (out / name).write_text("mine")
    with pytest.raises(FolderInTheWayError, match=f"holds {name}"):
        fill_folder(out, FIRST)
    assert (out / name).read_text() == "mine"
    assert names(out) == [name]
    assert names(out.parent) == ["out"]


@pytest.mark.parametrize("name", ["sheets.pdf", "photographs"])
def test_a_folder_of_the_users_within_an_output_stays(out: Path, name: str) -> None:
    fill_folder(out, FIRST)
    (out / "sheets.pdf").unlink()
    (out / name).mkdir()
    (out / name / "mine.txt").write_text("mine")
    with pytest.raises(FolderInTheWayError, match=name):
        fill_folder(out, SECOND)
    assert (out / name / "mine.txt").read_text() == "mine"


def test_a_file_added_to_an_output_stays(out: Path) -> None:
    fill_folder(out, FIRST)
    (out / "notes.txt").write_text("mine")
    with pytest.raises(FolderInTheWayError, match=r"holds notes\.txt"):
        fill_folder(out, SECOND)
    assert held(out) == {**dict(FIRST), "notes.txt": b"mine"}


def test_a_sheet_that_was_changed_stays(out: Path) -> None:
    fill_folder(out, FIRST)
    (out / "plan.json").write_text("1, and my remarks")
    with pytest.raises(FolderInTheWayError, match=r"plan\.json was changed"):
        fill_folder(out, SECOND)
    assert (out / "plan.json").read_text() == "1, and my remarks"


def test_a_file_put_there_while_the_sheets_are_made_stays(out: Path) -> None:
    fill_folder(out, FIRST)

    def bodies() -> Iterator[tuple[str, bytes]]:
        yield SECOND[0]
        (out / "notes.txt").write_text("mine")

    with pytest.raises(FolderInTheWayError, match=r"notes\.txt"):
        fill_folder(out, bodies())
    assert held(out) == {**dict(FIRST), "notes.txt": b"mine"}
    assert names(out.parent) == ["out"]


def test_what_a_desktop_puts_into_every_folder_does_not_matter(out: Path) -> None:
    fill_folder(out, FIRST)
    (out / ".DS_Store").write_bytes(b"\0")
    fill_folder(out, SECOND)
    assert held(out) == dict(SECOND)


def test_sheets_taken_away_do_not_matter(out: Path) -> None:
    fill_folder(out, FIRST)
    (out / "sheets.pdf").unlink()
    fill_folder(out, SECOND)
    assert held(out) == dict(SECOND)


@pytest.mark.parametrize("text", ["", "{", "[]", '{"sha256": 3}', '{"sha256": {"plan.json": 3}}'])
def test_a_manifest_that_says_nothing_vouches_for_nothing(out: Path, text: str) -> None:
    fill_folder(out, FIRST)
    (out / MANIFEST).write_text(text)
    with pytest.raises(FolderInTheWayError):
        fill_folder(out, SECOND)
    assert held(out) == dict(FIRST)


@pytest.mark.parametrize("target", ["out", "*", "[a-z]*", "a b", "ø–花"])
@pytest.mark.parametrize(
    "sibling", [".{}-old", ".{}-new-abc", ".{}-new-", ".my-new-project", ".out-new-project"]
)
def test_folders_beside_the_target_stay_whoever_made_them(
    tmp_path: Path, target: str, sibling: str
) -> None:
    mine = tmp_path / sibling.format(target)
    mine.mkdir()
    (mine / "plan.json").write_text("mine")
    for bodies in (FIRST, SECOND):
        fill_folder(tmp_path / target, bodies)
    assert (mine / "plan.json").read_text() == "mine"
    assert names(tmp_path) == sorted([mine.name, target])


def test_a_link_beside_the_target_is_not_followed(tmp_path: Path) -> None:
    fill_folder(tmp_path / "elsewhere", FIRST)
    (tmp_path / ".out-new-abc").symlink_to(tmp_path / "elsewhere")
    fill_folder(tmp_path / "out", SECOND)
    assert held(tmp_path / "elsewhere") == dict(FIRST)
    assert (tmp_path / ".out-new-abc").is_symlink()


def test_a_failure_midway_leaves_the_former_output(out: Path) -> None:
    fill_folder(out, FIRST)

    def bodies() -> Iterator[tuple[str, bytes]]:
        yield SECOND[0]
        raise RuntimeError("ink is out")

    with pytest.raises(RuntimeError, match="ink"):
        fill_folder(out, bodies())
    assert held(out) == dict(FIRST)
    assert names(out.parent) == ["out"]


WRITE_AND_WAIT = """
import sys
from pathlib import Path
from bedwright.export.folder import fill_folder

def bodies():
    yield "plan.json", b"3"
    print("writing", flush=True)
    sys.stdin.readline()

fill_folder(Path(sys.argv[1]), bodies())
"""


def writing(target: Path) -> subprocess.Popen[str]:
    """Another run, amid its writing; it goes on once it gets a line."""
    run = subprocess.Popen(
        [sys.executable, "-c", WRITE_AND_WAIT, str(target)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert run.stdout is not None
    assert run.stdout.readline() == "writing\n"
    return run


def test_two_runs_to_one_target_do_not_disturb_each_other(out: Path) -> None:
    with writing(out) as slow:
        fill_folder(out, FIRST)
        assert held(out) == dict(FIRST)
        slow.communicate("go on\n", timeout=600)
    assert slow.returncode == 0
    assert held(out) == {"plan.json": b"3"}
    assert names(out.parent) == ["out"]


def test_what_a_killed_run_left_is_cleared(out: Path) -> None:
    fill_folder(out, FIRST)
    with writing(out) as run:
        run.kill()
    assert len(names(out.parent)) == 2
    assert held(out) == dict(FIRST)
    fill_folder(out, SECOND)
    assert held(out) == dict(SECOND)
    assert names(out.parent) == ["out"]


def test_an_output_moved_aside_is_put_back(tmp_path: Path) -> None:
    """As left by a run killed between its two renames, where folders cannot be exchanged."""
    out = tmp_path / "out"
    fill_folder(out, FIRST)
    os.rename(out, tmp_path / ".out-new-aside")

    def bodies() -> Iterator[tuple[str, bytes]]:
        assert held(out) == dict(FIRST)
        yield from SECOND

    fill_folder(out, bodies())
    assert held(out) == dict(SECOND)
    assert names(tmp_path) == ["out"]


def test_targets_that_cannot_be_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = tmp_path / "a" / "b"
    here.mkdir(parents=True)
    monkeypatch.chdir(here)
    (tmp_path / "file").write_text("mine")
    for target, said in (
        (Path("."), "name a folder below"),
        (Path(".."), "name a folder below"),
        (Path("/"), "name a folder below"),
        (tmp_path / "file", "is a file"),
        (tmp_path / "nul\0", "no folder can have this name"),
    ):
        with pytest.raises(FolderInTheWayError, match=said):
            check_folder(target)
    assert (tmp_path / "file").read_text() == "mine"
