"""Being stopped from outside: Ctrl-C, an end asked for by the system, a terminal that closes.

Light to import, since it has to be in force before anything that takes a second to load.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType

SIGNALS = tuple(
    number
    for name in ("SIGINT", "SIGTERM", "SIGHUP")
    if (number := getattr(signal, name, None)) is not None
)
"""SIGHUP is not known to Windows."""


class Stopped(BaseException):
    """A signal asks the run to end.  No library's ``except Exception`` catches it."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number

    @property
    def code(self) -> int:
        """The exit code that shells give such an end."""
        return 128 + self.number


class _Run:
    """What is known of this run: whether it is a process of its own, a signal that came, whether a
    folder was written, whether it is one that runs until it is stopped."""

    ours = False
    stopped: Stopped | None = None
    written = False
    serves = False


run = _Run()


def end_at_once() -> None:
    """From here on a signal ends the process on the spot: right while nothing is being done."""

    def handle(number: int, frame: FrameType | None) -> None:
        _say()
        os._exit(128 + number)

    run.ours = True
    _handle_with(handle)


def end_in_order() -> None:
    """From here on a signal raises Stopped, so that what is half done is cleared away; nothing
    changes where a command runs within another program."""
    if not run.ours:
        return

    def handle(number: int, frame: FrameType | None) -> None:
        run.stopped = Stopped(number)
        raise run.stopped

    _handle_with(handle)


def _handle_with(handle: object) -> None:
    for number in SIGNALS:
        # A signal that whoever started the run has switched off (nohup, a script's background
        # job) stays off.
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, handle)  # type: ignore[arg-type]


def _ignore() -> None:
    for number in SIGNALS:
        signal.signal(number, signal.SIG_IGN)


@contextmanager
def in_order() -> Iterator[None]:
    """Ends the process with one line and the exit code of its signal if one comes meanwhile."""
    try:
        yield
    except BaseException as error:
        # Whatever a library made of being stopped amid its work.
        stopped = error if isinstance(error, Stopped) else run.stopped
        if stopped is None or isinstance(error, SystemExit):
            raise
        _ignore()
        _say()
        sys.exit(stopped.code)


@contextmanager
def writing(folder: Path) -> Iterator[None]:
    """Files are put into a folder meanwhile, by renaming a new one into its place."""
    before = _inode(folder)
    try:
        yield
    except Stopped:
        run.written = _inode(folder) not in (None, before)
        raise
    run.written = True


def _inode(folder: Path) -> int | None:
    try:
        return folder.stat().st_ino
    except (OSError, ValueError):
        return None


def _say() -> None:
    words = "stopped; the output was written" if run.written else "stopped; nothing was written"
    words = "stopped" if run.serves else words
    with suppress(OSError):  # nobody may be there to read it
        os.write(2, f"{words}\n".encode())
