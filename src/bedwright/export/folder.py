"""An output folder, written whole or not at all, and never at the cost of anyone else's files.

All files go to a new working folder beside the target, which then takes the target's place by
renaming; a run that fails or is killed leaves the former output as it was.  A folder that Bedwright
wrote holds a *manifest*, ``.bedwright``, with the name and SHA-256 of every file in it.  A target
is replaced only if it is empty, or if its manifest lists all that is in it: a file that is not
listed, or that was changed since, is a reason to refuse.

Working folders that a killed run left are cleared by the next run to the same target.  The manifest
tells them from other people's folders; the lock that a run holds on its manifest tells them from
the working folder of a run that is still going on.  So two runs to one target do not disturb each
other: each puts its own whole output in place, and the later one stays.
"""

from __future__ import annotations

import fcntl
import hashlib
import json
import os
import shutil
import tempfile
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import BinaryIO

import bedwright

MANIFEST = ".bedwright"
LITTER = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})
"""Files that desktops put into any folder that is opened; they may go with it."""

DAY_S = 86_400.0
"""Age from which a working folder counts as left behind on a file system without locks."""

TRIES = 10
"""How often a target that another run puts in place at the same moment is looked at again."""


class FolderInTheWayError(OSError):
    """The target holds files that Bedwright did not write."""


def fill_folder(folder: Path, bodies: Iterable[tuple[str, bytes]]) -> list[Path]:
    """Make ``folder`` hold just these files, given as name and bytes; returns their paths.

    The target is looked at before the first body is asked for, and again at the end.  Raises
    FolderInTheWayError where it holds anything but an earlier output, OSError where it cannot be
    written.
    """
    folder = check_folder(folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    _clear_left_behind(folder)
    work, manifest = _working_folder(folder)
    with manifest:
        try:
            sums = {}
            for name, body in bodies:
                (work / name).write_bytes(body)
                sums[name] = hashlib.sha256(body).hexdigest()
            _describe(manifest, sums)
            work.chmod(0o755)
            _put_in_place(work, folder)
        except BaseException:
            shutil.rmtree(work, ignore_errors=True)
            raise
    return [folder / name for name in sums]


def check_folder(folder: Path) -> Path:
    """The target's own path, without links.

    Raises FolderInTheWayError where it cannot be a folder of its own or may not be replaced.
    """
    folder = _target(folder)
    _hold_back_from(folder)
    return folder


def _target(folder: Path) -> Path:
    """The target without links; refused where it cannot be a folder of its own."""
    try:
        folder = folder.resolve()
    except (ValueError, RuntimeError, OSError):  # a NUL in the name; links in a circle
        raise FolderInTheWayError(f"{str(folder)!r}: no folder can have this name") from None
    if folder == Path.cwd() or folder in Path.cwd().parents:
        raise FolderInTheWayError(f"{folder}: name a folder below this one, such as out")
    return folder


def _prefix(folder: Path) -> str:
    return f".{folder.name}-new-"


# --- what is ours --------------------------------------------------------------------------------


def _describe(manifest: BinaryIO, sums: dict[str, str]) -> None:
    """Write the manifest of a finished output."""
    text = {
        "made_by": f"bedwright {bedwright.__version__}",
        "about": "Bedwright replaces this folder only while these files are as it wrote them.",
        "sha256": sums,
    }
    manifest.write(json.dumps(text, indent=1).encode() + b"\n")
    manifest.flush()


def _sums_of(folder: Path) -> dict[str, str] | None:
    """What the manifest says a finished output holds; None where there is no such manifest."""
    try:
        sums = json.loads((folder / MANIFEST).read_bytes())["sha256"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    return sums if isinstance(sums, dict) else None


def _hold_back_from(folder: Path) -> None:
    """Raise FolderInTheWayError unless ``folder`` is absent, empty or an untouched output."""
    if not os.path.lexists(folder):
        return
    if not folder.is_dir():
        raise FolderInTheWayError(f"{folder}: is a file; name a new or an earlier output folder")
    present = {entry.name for entry in os.scandir(folder)} - LITTER
    sums = _sums_of(folder)
    if sums is None:
        sums = {}
    else:
        present.discard(MANIFEST)
    strange = sorted(name for name in present if name not in sums)
    if strange:
        held = ", ".join(strange[:3]) + (f" and {len(strange) - 3} more" if strange[3:] else "")
        raise FolderInTheWayError(
            f"{folder}: holds {held}, which Bedwright did not write there; name a new or an"
            " earlier output folder"
        )
    changed = sorted(name for name in present if not _is_as_written(folder / name, sums[name]))
    if changed:
        raise FolderInTheWayError(
            f"{folder}: {', '.join(changed[:3])} was changed since Bedwright wrote it; move it to"
            " keep it, or name another folder"
        )


def _is_as_written(path: Path, sha256: object) -> bool:
    """Whether a file is still the one that was written."""
    if path.is_symlink() or not path.is_file():
        return False
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest() == sha256


# --- working folders -----------------------------------------------------------------------------


def _working_folder(folder: Path) -> tuple[Path, BinaryIO]:
    """A new working folder and its manifest, open and locked; it gets the name by which other runs
    know it only when the lock holds."""
    begun = Path(tempfile.mkdtemp(prefix=f".{folder.name}-begun-", dir=folder.parent))
    manifest = open(begun / MANIFEST, "w+b")  # noqa: SIM115 (open as long as the run lasts)
    _lock(manifest)
    work = begun.with_name(begun.name.replace("-begun-", "-new-"))
    os.rename(begun, work)
    return work, manifest


def _beside(folder: Path) -> Iterator[Path]:
    """Working folders of this target, of this run or another, and outputs moved aside."""
    for entry in os.scandir(folder.parent):
        if entry.name.startswith(_prefix(folder)) and entry.is_dir(follow_symlinks=False):
            work = folder.parent / entry.name
            if (work / MANIFEST).is_file():
                yield work


def _clear_left_behind(folder: Path) -> None:
    """Clear what killed runs left; put an output back that one had moved aside."""
    for work in _beside(folder):
        if _is_going_on(work):
            continue
        if not folder.exists() and _sums_of(work) is not None:
            os.replace(work, folder)
        else:
            shutil.rmtree(work, ignore_errors=True)


def _is_going_on(work: Path) -> bool:
    """Whether a run is still writing into a working folder."""
    try:
        with open(work / MANIFEST, "rb") as manifest:
            locked = _lock(manifest)
            age_s = time.time() - os.fstat(manifest.fileno()).st_mtime
    except OSError:
        return True  # just moved, or not ours to open: left alone
    return age_s < DAY_S if locked is None else not locked


def _lock(file: BinaryIO) -> bool | None:
    """Lock a file until it is closed, or its process ends: False where another has locked it, None
    where the file system has no such locks."""
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return None
    return True


# --- putting in place ----------------------------------------------------------------------------


def _put_in_place(work: Path, folder: Path) -> None:
    """Let ``work`` take the place of ``folder``, which may be absent, empty or an earlier output.

    Where the system can exchange two folders in one step it does; elsewhere the old one is moved
    aside for a moment, and put back by the next run should this one die in that moment.
    """
    for _ in range(TRIES):
        _hold_back_from(folder)
        if folder.exists() and _exchange(work, folder):
            shutil.rmtree(work, ignore_errors=True)
            return
        aside = _moved_aside(folder)
        try:
            os.rename(work, folder)
        except OSError:
            if not os.path.lexists(folder):  # not another run's doing
                if aside is not None:
                    os.replace(aside, folder)
                raise
        else:
            return
        finally:
            if aside is not None:
                shutil.rmtree(aside, ignore_errors=True)
    raise FolderInTheWayError(f"{folder}: other runs write to it all the time")


def _moved_aside(folder: Path) -> Path | None:
    """Move an output out of the way; returns where to, None where there is none."""
    aside = Path(tempfile.mkdtemp(prefix=_prefix(folder), dir=folder.parent))
    try:
        os.replace(folder, aside)
    except FileNotFoundError:
        aside.rmdir()
        return None
    return aside


def _exchange(one: Path, other: Path) -> bool:
    """Swap two paths in one step (Linux's renameat2 with RENAME_EXCHANGE); False where it
    cannot."""
    import ctypes

    try:
        call = ctypes.CDLL(None, use_errno=True).renameat2
    except (AttributeError, OSError, TypeError):
        return False
    here, exchange = -100, 2
    return bool(call(here, os.fsencode(one), here, os.fsencode(other), exchange) == 0)
