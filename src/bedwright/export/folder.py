"""An output folder, written whole or not at all, and never at the cost of anyone else's files.

All files go to a new working folder beside the target, which then takes the target's place by
renaming; a run that fails or is killed leaves the former output as it was.  A folder that Bedwright
wrote holds a *manifest*, ``.bedwright``, with the name and SHA-256 of every file in it.  A target
is replaced only if it is empty, or if its manifest lists all that is in it: a file that is not
listed, or that was changed since, is a reason to refuse.

Working folders that a killed run left are cleared by the next run to the same target.  Their name
and manifest, which lists each file before it is written, tell them from other people's folders; the
lock that a run holds on its manifest tells them from the working folder of a run that is still
going on.  One that was left before it had a manifest is cleared a day later, if it is empty.  So
two runs to one target do not disturb each other: each puts its own whole output in place, and the
later one stays.
"""

from __future__ import annotations

import errno
import fcntl
import hashlib
import json
import os
import re
import secrets
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from stat import S_IMODE, S_IRWXU, S_ISREG
from typing import BinaryIO

import bedwright

MANIFEST = ".bedwright"
LITTER = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})
"""Files that desktops put into any folder that is opened; they may go with it."""

MOST_MANIFEST = 1 << 20
"""Bytes of a manifest, at most; ours have under 5,000."""

DAY_S = 86_400.0
"""Age from which a working folder counts as left behind on a file system without locks."""

ASIDE = "_"
"""How the name of an output moved aside ends."""

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
                _announce(manifest, name)
                (work / name).write_bytes(body)
                sums[name] = hashlib.sha256(body).hexdigest()
            _describe(manifest, sums)
            _take_mode_of(folder, work)
            _put_in_place(work, folder)
        except BaseException as error:
            if isinstance(error, OSError) and error.strerror:
                error.filename = str(folder)  # in place of a working folder's name, or none
            if _is_of(manifest, work):
                _remove(work)
            for left in (work, _aside(work)):  # an earlier output that has been replaced
                if folder.exists() and _is_untouched(left):
                    _remove(left)
            raise
    return [folder / name for name in sums]


def in_turn(
    names: tuple[str, ...],
    makers: dict[str, Callable[[], bytes]],
    progress: Callable[[str], None],
) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of each file, made when its turn comes; ``progress`` hears of it first.

    Pictures (PNG) are begun at once, beside the others: most of the work on them is Typst's, which
    lets Python go on meanwhile.
    """
    with ThreadPoolExecutor(max_workers=1) as beside:
        begun = {name: beside.submit(makers[name]) for name in names if name.endswith(".png")}
        for name in names:
            progress(name)
            yield name, begun[name].result() if name in begun else makers[name]()


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


def _begun_prefix(folder: Path) -> str:
    return f".{folder.name}-begun-"


# --- what is ours --------------------------------------------------------------------------------


def _announce(manifest: BinaryIO, name: str) -> None:
    """List a file about to be written."""
    manifest.write(name.encode() + b"\n")
    manifest.flush()


def _describe(manifest: BinaryIO, sums: dict[str, str]) -> None:
    """Write the manifest of a finished output over that list, which is shorter."""
    text = {
        "made_by": f"bedwright {bedwright.__version__}",
        "about": "Bedwright replaces this folder only while these files are as it wrote them.",
        "sha256": sums,
    }
    manifest.seek(0)
    manifest.write(json.dumps(text, indent=1).encode() + b"\n")
    manifest.flush()


def _sums_of(folder: Path) -> dict[str, str] | None:
    """What the manifest says a finished output holds; None where there is no such manifest."""
    try:
        sums = json.loads(_manifest_of(folder))["sha256"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    return sums if isinstance(sums, dict) else None


def _manifest_of(folder: Path) -> bytes:
    """The bytes of a manifest.  Raises OSError where it is no file of our size: a pipe, a link."""
    path = folder / MANIFEST
    with open(os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK), "rb") as file:
        found = os.fstat(file.fileno())
        if not S_ISREG(found.st_mode) or found.st_size > MOST_MANIFEST:
            raise OSError(errno.EINVAL, "no manifest", str(path))
        return file.read(MOST_MANIFEST)


def _hold_back_from(folder: Path, known_as: Path | None = None) -> None:
    """Raise FolderInTheWayError unless ``folder`` is absent, empty or an untouched output.

    ``known_as``: the name under which the gardener knows it, where it has been moved.
    """
    # The manifest first: where another run removes the folder meanwhile, it is what goes last.
    sums = _sums_of(folder)
    try:
        present = {entry.name for entry in os.scandir(folder) if not _is_litter(entry)}
    except FileNotFoundError:
        return
    except NotADirectoryError:
        raise FolderInTheWayError(
            f"{known_as or folder}: is a file; name a new or an earlier output folder"
        ) from None
    if sums is None:
        sums = {}
    else:
        present.discard(MANIFEST)
    strange = sorted(name for name in present if name not in sums)
    if strange:
        held = ", ".join(strange[:3]) + (f" and {len(strange) - 3} more" if strange[3:] else "")
        raise FolderInTheWayError(
            f"{known_as or folder}: holds {held}, which Bedwright did not write there; name a new"
            " or an earlier output folder"
        )
    changed = sorted(name for name in present if not _is_as_written(folder / name, sums[name]))
    if changed:
        raise FolderInTheWayError(
            f"{known_as or folder}: {', '.join(changed[:3])} was changed since Bedwright wrote it;"
            " move it to keep it, or name another folder"
        )


def _is_litter(entry: os.DirEntry[str]) -> bool:
    return entry.name in LITTER and entry.is_file(follow_symlinks=False)


def _is_untouched(folder: Path) -> bool:
    """Whether nothing in a folder, if there is one, is anyone else's."""
    try:
        _hold_back_from(folder)
    except OSError:
        return False
    return True


def _is_as_written(path: Path, sha256: object) -> bool:
    """Whether a file is still the one that was written, or has been taken away."""
    if path.is_symlink() or (path.exists() and not path.is_file()):
        return False
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest() == sha256
    except FileNotFoundError:
        return True


# --- working folders -----------------------------------------------------------------------------


def _working_folder(folder: Path) -> tuple[Path, BinaryIO]:
    """A new working folder and its manifest, open and locked; it gets the name by which other runs
    know it only when the lock holds."""
    token = secrets.token_hex(4)
    begun = folder.parent / f"{_begun_prefix(folder)}{token}"
    begun.mkdir()
    manifest = open(begun / MANIFEST, "w+b")  # noqa: SIM115 (open as long as the run lasts)
    _lock(manifest)
    work = folder.parent / f"{_prefix(folder)}{token}"
    os.rename(begun, work)
    return work, manifest


def _take_mode_of(folder: Path, work: Path) -> None:
    """Let others read and write ``work`` as they may an earlier ``folder``, if there is one."""
    with suppress(FileNotFoundError):
        work.chmod(S_IMODE(folder.stat().st_mode) | S_IRWXU)


def _is_of(manifest: BinaryIO, work: Path) -> bool:
    """Whether a folder still holds this open manifest."""
    try:
        return os.path.samestat(os.fstat(manifest.fileno()), os.stat(work / MANIFEST))
    except OSError:
        return False


def _remove(folder: Path) -> None:
    """Remove a folder of files of ours, the manifest last: by it the next run knows what a run
    killed meanwhile left."""
    with suppress(OSError):
        for entry in list(os.scandir(folder)):
            if entry.name != MANIFEST:
                os.unlink(entry.path)
        (folder / MANIFEST).unlink(missing_ok=True)
        os.rmdir(folder)


def _beside(folder: Path) -> Iterator[Path]:
    """Working folders of this target, of this run or another, and outputs moved aside."""
    own = re.compile(re.escape(_prefix(folder)) + "[0-9a-f]{8}_?")
    for entry in os.scandir(folder.parent):
        if own.fullmatch(entry.name) and entry.is_dir(follow_symlinks=False):
            work = folder.parent / entry.name
            if (work / MANIFEST).is_file():
                yield work


def _clear_left_behind(folder: Path) -> None:
    """Clear what killed runs left; put an output back that one had moved aside."""
    _clear_begun(folder)
    for work in _beside(folder):
        if _is_going_on(work):
            continue
        if _sums_of(work) is None:
            if _is_unfinished(work):
                _remove(work)
        elif work.name.endswith(ASIDE) and not folder.exists():
            with suppress(OSError):  # another run may have put its output there just now
                os.replace(work, folder)
        elif _is_untouched(work):
            _remove(work)


def _is_unfinished(work: Path) -> bool:
    """Whether a folder holds only files that a run had announced."""
    try:
        announced = {os.fsdecode(name) for name in _manifest_of(work).split(b"\n")} | {MANIFEST}
        return all(
            entry.is_file(follow_symlinks=False)
            and (entry.name in announced or entry.name in LITTER)
            for entry in list(os.scandir(work))
        )
    except OSError:
        return False


def _clear_begun(folder: Path) -> None:
    """Clear working folders that never got their second name, if they are empty and a day old."""
    own = re.compile(re.escape(_begun_prefix(folder)) + "[0-9a-f]{8}")
    for entry in os.scandir(folder.parent):
        if not own.fullmatch(entry.name) or not entry.is_dir(follow_symlinks=False):
            continue
        manifest = folder.parent / entry.name / MANIFEST
        with suppress(OSError):  # gone just now, or not empty
            if time.time() - entry.stat().st_mtime < DAY_S:
                continue
            if manifest.is_file() and manifest.stat().st_size == 0:
                manifest.unlink()
            os.rmdir(entry.path)


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
    aside for a moment, and put back by the next run should this one die in that moment.  What came
    out is looked at again before it is removed: a file may have been put there meanwhile.
    """
    for _ in range(TRIES):
        _hold_back_from(folder)
        if folder.exists() and _exchange(work, folder):
            try:
                _hold_back_from(work, known_as=folder)
            except BaseException:
                _exchange(work, folder)
                raise
            _remove(work)
            return
        if _renamed(work, folder):
            return
    raise FolderInTheWayError(f"{folder}: other runs write to it all the time")


OCCUPIED = frozenset({errno.ENOTEMPTY, errno.EEXIST, errno.ENOTDIR})
"""What a renaming fails with where something has taken the new name meanwhile."""


def _renamed(work: Path, folder: Path) -> bool:
    """Put ``work`` in place in two steps; False where another run's output came in between."""
    aside = _aside(work)
    try:
        with suppress(FileNotFoundError):
            os.rename(folder, aside)
        _hold_back_from(aside, known_as=folder)
        os.rename(work, folder)
    except BaseException as error:
        if not os.path.lexists(folder):
            with suppress(OSError):
                os.rename(aside, folder)
            raise
        if not isinstance(error, OSError) or error.errno not in OCCUPIED:
            raise
    if _is_untouched(aside):
        _remove(aside)
    return not work.exists()


def _aside(work: Path) -> Path:
    """Where an earlier output is while ``work`` takes its place."""
    return work.with_name(work.name + ASIDE)


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
