"""Plans asked for and stopped: one at a time, in a process of their own, told of as they go on."""

from __future__ import annotations

import asyncio
import multiprocessing
import threading
from collections import deque
from contextlib import suppress
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from bedwright.web.worker import STOPPED, Task, Told, sweep, work

LEAVE_S = 2.5
"""How long a process may take to leave off a task; then it is ended, and another one begins, which
takes some two seconds and knows nothing of the plans before."""

MOST_WAITING = 20
"""Plans that wait for their turn, at most."""


class TooManyError(Exception):
    """Too many plans are waiting."""


class Solver:
    """Works out plans in the order in which they are asked for.

    A bed has one task at most: asking for another of its revisions stops the one before.
    """

    def __init__(self) -> None:
        self._context = multiprocessing.get_context("spawn")
        self._lock = threading.Lock()
        self._waiting: deque[Task] = deque()
        self._current: Task | None = None
        self._finishing: Task | None = None
        self._left: Task | None = None
        self._owed = 0
        self._told: dict[str, Told] = {}
        self._listeners: dict[str, list[asyncio.Queue[Told]]] = {}
        self._loop: asyncio.AbstractEventLoop | None = None
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._closed = False

    def start(self, loop: asyncio.AbstractEventLoop) -> None:
        """Begin: ``loop`` is the one that listeners wait in."""
        self._loop = loop
        with self._lock:
            self._hire()

    def close(self) -> None:
        """Stop whatever is being worked out, for good."""
        with self._lock:
            self._closed = True
            self._waiting.clear()
            self._dismiss()

    def ask(self, task: Task) -> None:
        """Have a plan worked out.  Raises TooManyError."""
        with self._lock:
            if task == self._current or task in self._waiting:
                return
            if len(self._waiting) >= MOST_WAITING:
                raise TooManyError
            self._drop(task.bed)
            self._waiting.append(task)
            self._told[task.bed] = Told(task.bed, task.revision, "stage", "waiting")
            self._next()

    def stop(self, bed: str) -> None:
        """Stop a bed's plan, or take it out of the line."""
        with self._lock:
            task = self._drop(bed)
            if task is not None:
                self._tell(Told(bed, task.revision, "cannot", STOPPED))
            self._next()

    def end(self, bed: str) -> None:
        """Stop whatever is made of a bed, at once: nothing is written in its folder after this."""
        with self._lock:
            for task in [task for task in self._waiting if task.bed == bed]:
                self._waiting.remove(task)
            in_hand = [task for task in (self._current, self._finishing, self._left)
                       if task is not None and task.bed == bed]  # fmt: skip
            if in_hand:
                if self._current is not None and self._current.bed != bed:
                    self._waiting.appendleft(self._current)
                self._current = self._finishing = None
                self._dismiss()
                for task in in_hand:
                    sweep(task.into)
                self._hire()
            self._next()

    def how_far(self, bed: str) -> Told | None:
        """What was last told of a bed's plan since the server began."""
        return self._told.get(bed)

    def busy(self, bed: str) -> bool:
        """Whether something of a bed's plan is being made or waits for its turn: its sheets, or the
        files that follow them."""
        with self._lock:
            tasks = [*self._waiting, self._current, self._finishing, self._left]
        return any(task is not None and task.bed == bed for task in tasks)

    def listen(self, bed: str) -> asyncio.Queue[Told]:
        """A queue of what is told of a bed from now on."""
        queue: asyncio.Queue[Told] = asyncio.Queue(maxsize=100)
        self._listeners.setdefault(bed, []).append(queue)
        return queue

    def leave(self, bed: str, queue: asyncio.Queue[Told]) -> None:
        """Listen no longer."""
        self._listeners[bed].remove(queue)

    # What follows is called with the lock held.

    def _drop(self, bed: str) -> Task | None:
        """Take a bed's task out of the line, or stop it; the task."""
        for task in [task for task in self._waiting if task.bed == bed]:
            self._waiting.remove(task)
            return task
        current = self._current
        if current is not None and current.bed == bed:
            self._left, self._current, self._finishing = current, None, None
            if self._pipe is None:
                return current
            with suppress(OSError):
                self._pipe.send(None)
            late = threading.Timer(LEAVE_S, self._too_late, (self._pipe, current))
            late.daemon = True
            late.start()
            return current
        return None

    def _too_late(self, pipe: Connection, task: Task) -> None:
        """End a process that has not left off a task in time; called without the lock."""
        with self._lock:
            if pipe is self._pipe and task is self._left and not self._closed:
                self._dismiss()
                sweep(task.into)
                self._hire()
                self._next()

    def _next(self) -> None:
        idle = self._current is None and self._left is None
        if idle and self._waiting and self._pipe is not None:
            self._current = self._waiting.popleft()
            self._owed += 1
            # Where the process has just ended, the thread that hears it says so.
            with suppress(OSError):
                self._pipe.send(self._current)

    def _hire(self) -> None:
        """Start a process, and a thread that hears it."""
        if self._closed:
            return
        ours, theirs = self._context.Pipe()
        self._process = self._context.Process(target=work, args=(theirs,), daemon=True)
        self._process.start()
        theirs.close()
        self._pipe = ours
        threading.Thread(target=self._hear, args=(ours,), daemon=True).start()

    def _dismiss(self) -> None:
        if self._process is not None:
            self._process.kill()
            self._process.join()
        self._process = self._pipe = None  # the thread that hears the pipe closes it
        self._left, self._owed = None, 0

    def _hear(self, pipe: Connection) -> None:
        """Pass on what a process tells, until its end."""
        with pipe:
            while True:
                try:
                    told: Told = pipe.recv()
                except (EOFError, OSError):
                    break
                with self._lock:
                    if pipe is not self._pipe:
                        return
                    if told.what == "free":
                        self._freed()
                        continue
                    if self._left is not None:
                        continue  # of a task that nobody waits for any more
                    if self._current is None or self._current[:2] != told[:2]:
                        continue  # what failed after the sheets, for which nobody waits
                    self._tell(told)
                    if told.what != "stage":
                        # The process leaves off what follows the sheets when it is sent a task.
                        self._finishing, self._current = self._current, None
                        self._next()
            self._lost(pipe)

    def _freed(self) -> None:
        """A task is done with: that which is finishing, or one left off."""
        self._owed -= 1
        if self._left is None:
            # Where another task was begun since, that is the one in hand.
            self._finishing = None
        elif self._owed == 0:
            sweep(self._left.into)
            self._left = None
            self._next()

    def _lost(self, pipe: Connection) -> None:
        """Put another process in the place of one that ended by itself."""
        with self._lock:
            if pipe is not self._pipe or self._closed:
                return
            lost, self._current, self._finishing = self._current, None, None
            self._dismiss()
            self._hire()
            if lost is not None:
                sweep(lost.into)
                self._tell(Told(lost.bed, lost.revision, "cannot", "the process ended by itself"))
            self._next()

    def _tell(self, told: Told) -> None:
        self._told[told.bed] = told
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._pass_on, told)

    def _pass_on(self, told: Told) -> None:
        for queue in self._listeners.get(told.bed, []):
            if not queue.full():
                queue.put_nowait(told)

    def __enter__(self) -> Solver:
        return self

    def __exit__(self, *error: Any) -> None:
        self.close()
