"""A program that is killed at any moment while it writes."""

from __future__ import annotations

import multiprocessing
import os
import random
import signal
import time
from collections.abc import Callable
from typing import Any


def acknowledged_until_killed(work: Callable[..., None], times: int, *given: Any) -> list[Any]:
    """Run ``work`` so many times in a process that is killed soon after it first says what it did;
    all that it said.  It gets what is ``given`` and the end of a pipe to say it."""
    fork, rng = multiprocessing.get_context("fork"), random.Random(0)
    heard = []
    for _ in range(times):
        hears, says = fork.Pipe(duplex=False)
        child = fork.Process(target=work, args=(*given, says))
        child.start()
        says.close()
        heard.append(hears.recv())
        time.sleep(rng.uniform(0.0, 0.02))
        assert child.pid is not None
        os.kill(child.pid, signal.SIGKILL)
        child.join()
        while True:
            try:
                heard.append(hears.recv())
            except EOFError:
                break
    return heard
