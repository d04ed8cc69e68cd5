"""A stand-in for the process that works out plans, soon started: it does what a brief tells it."""

from __future__ import annotations

import os
import signal
import time
from multiprocessing.connection import Connection

from bedwright.web.worker import Task, Told

WAIT_S = 60.0


def act(pipe: Connection) -> None:
    """In the place of ``bedwright.web.worker.work``."""
    while True:
        try:
            task: Task | None = pipe.recv()
        except EOFError:
            return
        if task is None:
            continue
        pipe.send(Told(task.bed, task.revision, "stage", str(os.getpid())))
        if "half" in task.values:
            half = task.into.with_name(f".{task.into.name}-abcd")
            half.mkdir(parents=True)
            (half / "sheets.json").write_text("{")
            pipe.send(Told(task.bed, task.revision, "stage", "sheets"))
        if "die" in task.values:
            os.kill(os.getpid(), signal.SIGKILL)
        if "wait" in task.values:
            time.sleep(WAIT_S)
        if "patient" in task.values:
            pipe.poll(WAIT_S)  # left off once something else is wanted
            pipe.send(Told(task.bed, task.revision, "free"))
            continue
        pipe.send(Told(task.bed, task.revision, "done"))
        if "late" in task.values:
            pipe.send(Told(task.bed, task.revision, "cannot", "a fault in what follows"))
        pipe.send(Told(task.bed, task.revision, "free"))
