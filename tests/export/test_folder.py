"""Output folders: whole or not at all, and never at the cost of anyone else's files."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from bedwright.cli import stopping
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
    os.rename(out, tmp_path / ".out-new-0123abcd_")

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


class WithFaults:
    """The module ``os``, but that ``before`` and ``after`` are called around each renaming."""

    def __init__(
        self,
        before: Callable[[Path, Path], None] = lambda old, new: None,
        after: Callable[[Path, Path], None] = lambda old, new: None,
    ) -> None:
        self.before, self.after = before, after

    def __getattr__(self, name: str) -> object:
        return getattr(os, name)

    def rename(self, old: Path, new: Path) -> None:
        self.before(Path(old), Path(new))
        os.rename(old, new)
        self.after(Path(old), Path(new))

    replace = rename


@pytest.fixture
def no_exchange(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folder, "_exchange", lambda one, other: False)


@pytest.mark.usefixtures("no_exchange")
def test_an_output_moved_aside_outlives_a_disk_that_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    fill_folder(out, FIRST)

    def fail(old: Path, new: Path) -> None:
        if new == out:
            raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(folder, "os", WithFaults(before=fail))
    with pytest.raises(OSError, match="Input/output error"):
        fill_folder(out, SECOND)
    [aside] = tmp_path.iterdir()
    assert held(aside) == dict(FIRST)
    monkeypatch.setattr(folder, "os", os)

    def bodies() -> Iterator[tuple[str, bytes]]:
        assert held(out) == dict(FIRST)
        yield from SECOND

    fill_folder(out, bodies())
    assert names(tmp_path) == ["out"]


@pytest.mark.usefixtures("no_exchange")
@pytest.mark.parametrize(
    ("moment", "written"), [("moved aside", False), ("renaming", False), ("in place", True)]
)
def test_a_run_stopped_between_two_renamings_leaves_one_output_and_says_which(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str, written: bool
) -> None:
    out = tmp_path / "out"
    fill_folder(out, FIRST)

    def stop() -> None:
        monkeypatch.setattr(folder, "os", os)
        raise stopping.Stopped(2)

    def before(old: Path, new: Path) -> None:
        if moment == "renaming" and new == out:
            stop()

    def after(old: Path, new: Path) -> None:
        if {"moved aside": old, "in place": new}.get(moment) == out:
            stop()

    monkeypatch.setattr(stopping, "run", stopping._Run())
    monkeypatch.setattr(folder, "os", WithFaults(before, after))
    with pytest.raises(stopping.Stopped), stopping.writing(out):
        fill_folder(out, SECOND)
    assert held(out) == dict(SECOND if written else FIRST)
    assert names(tmp_path) == ["out"]
    assert stopping.run.written is written


def test_a_target_that_is_gone_when_the_run_is_stopped_was_not_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stopping, "run", stopping._Run())
    (tmp_path / "out").mkdir()

    def run() -> None:
        with stopping.writing(tmp_path / "out"):
            (tmp_path / "out").rmdir()
            raise stopping.Stopped(2)

    with pytest.raises(stopping.Stopped):
        run()
    assert not stopping.run.written


@pytest.mark.parametrize("name", ["notes.txt", "plan.json"])
def test_a_file_put_there_at_the_last_moment_stays(
    out: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill_folder(out, FIRST)
    exchange = folder._exchange
    done = False

    def put() -> None:
        nonlocal done
        if not done:
            (out / name).write_text("mine")
        done = True

    def exchange_late(one: Path, other: Path) -> bool:
        put()
        return exchange(one, other)

    def before(old: Path, new: Path) -> None:
        if old == out:
            put()

    monkeypatch.setattr(folder, "os", WithFaults(before))
    monkeypatch.setattr(folder, "_exchange", exchange_late)
    with pytest.raises(FolderInTheWayError, match=rf"{out}: .*{name}"):
        fill_folder(out, SECOND)
    assert (out / name).read_text() == "mine"
    assert held(out) == {**dict(FIRST), name: b"mine"}
    assert names(out.parent) == ["out"]


@pytest.mark.usefixtures("no_exchange")
def test_a_target_that_cannot_be_moved_leaves_nothing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    fill_folder(out, FIRST)

    def busy(old: Path, new: Path) -> None:
        if old == out:
            raise OSError(errno.EBUSY, "Device or resource busy")

    monkeypatch.setattr(folder, "os", WithFaults(before=busy))
    with pytest.raises(OSError, match="busy"):
        fill_folder(out, SECOND)
    assert held(out) == dict(FIRST)
    assert names(tmp_path) == ["out"]


def test_an_output_moved_aside_stays_aside_where_another_run_comes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    fill_folder(out, FIRST)
    os.rename(out, tmp_path / ".out-new-0123abcd_")

    def other_run(old: Path, new: Path) -> None:
        if old.name == ".out-new-0123abcd_":
            monkeypatch.setattr(folder, "os", os)
            (tmp_path / "other").mkdir()
            fill_folder(tmp_path / "other", [("letters.txt", b"3")])
            os.rename(tmp_path / "other", out)

    monkeypatch.setattr(folder, "os", WithFaults(before=other_run))
    fill_folder(out, SECOND)
    assert held(out) == dict(SECOND)


def test_a_folder_that_a_killed_run_only_began_is_cleared_a_day_later(tmp_path: Path) -> None:
    with_manifest, bare, fresh = (tmp_path / f".out-begun-{n:08x}" for n in range(3))
    for begun in (with_manifest, bare, fresh):
        begun.mkdir()
    (with_manifest / MANIFEST).touch()
    full = tmp_path / ".out-begun-00000009"
    full.mkdir()
    (full / "mine.txt").write_text("mine")
    for begun in (with_manifest, bare, full):
        os.utime(begun, (time.time() - 2 * folder.DAY_S,) * 2)
    fill_folder(tmp_path / "out", FIRST)
    assert names(tmp_path) == [fresh.name, full.name, "out"]


def test_a_working_folder_of_a_target_named_like_one_keeps_its_own_prefix(tmp_path: Path) -> None:
    out = tmp_path / "a-begun-b"

    def bodies() -> Iterator[tuple[str, bytes]]:
        [work] = tmp_path.iterdir()
        assert work.name.startswith(".a-begun-b-new-")
        yield from FIRST

    fill_folder(out, bodies())
    assert names(tmp_path) == ["a-begun-b"]


@pytest.mark.parametrize(("umask", "mode"), [(0o077, 0o700), (0o022, 0o755), (0o002, 0o775)])
def test_a_new_folder_is_as_open_as_the_umask_lets_it_be(out: Path, umask: int, mode: int) -> None:
    before = os.umask(umask)
    try:
        fill_folder(out, FIRST)
    finally:
        os.umask(before)
    assert out.stat().st_mode & 0o777 == mode


@pytest.mark.parametrize("mode", [0o700, 0o750, 0o777])
def test_an_earlier_folder_stays_as_open_as_it_was(out: Path, mode: int) -> None:
    out.mkdir()
    for bodies in (FIRST, SECOND):
        out.chmod(mode)
        fill_folder(out, bodies)
        assert out.stat().st_mode & 0o777 == mode


def test_a_file_of_the_users_own_in_an_output_that_was_left_stays(tmp_path: Path) -> None:
    out, left = tmp_path / "out", tmp_path / ".out-new-0123abcd_"
    fill_folder(out, FIRST)
    os.rename(out, left)
    fill_folder(out, SECOND)
    assert names(tmp_path) == ["out"]
    os.rename(out, left)
    (left / "mine.txt").write_text("mine")
    (left / MANIFEST).replace(tmp_path / "kept")
    fill_folder(out, FIRST)
    (tmp_path / "kept").replace(left / MANIFEST)
    fill_folder(out, SECOND)
    assert (left / "mine.txt").read_text() == "mine"


@pytest.mark.parametrize("target_exists", [True, False])
@pytest.mark.parametrize("name", [".out-new-2027", ".out-new-0123abcd"])
def test_an_output_in_a_hidden_folder_with_the_users_files_stays(
    tmp_path: Path, name: str, target_exists: bool
) -> None:
    hidden = tmp_path / name
    fill_folder(hidden, FIRST)
    (hidden / "notes.txt").write_text("mine")
    (hidden / "plan.json").write_text("edited")
    if target_exists:
        (tmp_path / "out").mkdir()
    fill_folder(tmp_path / "out", SECOND)
    assert held(hidden) == {**dict(FIRST), "notes.txt": b"mine", "plan.json": b"edited"}
    assert held(tmp_path / "out") == dict(SECOND)


def test_a_file_put_into_what_a_killed_run_left_stays(out: Path) -> None:
    with writing(out) as run:
        run.kill()
    [left] = out.parent.iterdir()
    (left / "mine.txt").write_text("mine")
    fill_folder(out, FIRST)
    assert (left / "mine.txt").read_text() == "mine"


@pytest.mark.parametrize("name", sorted(folder.LITTER))
def test_a_folder_named_like_a_desktops_file_stays(out: Path, name: str) -> None:
    (out / name).mkdir(parents=True)
    (out / name / "notes.txt").write_text("mine")
    with pytest.raises(FolderInTheWayError, match=name):
        fill_folder(out, FIRST)
    assert (out / name / "notes.txt").read_text() == "mine"


TRY_TO_FILL = """
import sys
from pathlib import Path
from bedwright.export.folder import FolderInTheWayError, fill_folder

try:
    fill_folder(Path(sys.argv[1]), [("plan.json", b"1")])
except FolderInTheWayError:
    print("in the way")
"""


@pytest.mark.parametrize("sort", ["pipe", "endless", "link"])
def test_a_manifest_that_is_no_file_is_in_the_way(tmp_path: Path, sort: str) -> None:
    out = tmp_path / "out"
    out.mkdir()
    if sort == "pipe":
        os.mkfifo(out / MANIFEST)
    else:
        (out / MANIFEST).symlink_to({"endless": "/dev/zero", "link": tmp_path / "gone"}[sort])
    tried = subprocess.run(
        [sys.executable, "-c", TRY_TO_FILL, str(out)],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    assert tried.stdout == "in the way\n"
    assert names(tmp_path) == ["out"]
