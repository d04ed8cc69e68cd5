"""What is costly to make and needed in many tests is made once a run, by one process."""

from __future__ import annotations

import fcntl
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

Made = TypeVar("Made")


def made_once(path: Path, make: Callable[[], Made]) -> Made:
    """What ``make`` gives, kept at ``path`` for the other processes of the same run, which wait
    while it is being made."""
    with path.with_name(path.name + ".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not path.exists():
            path.write_bytes(pickle.dumps(make(), pickle.HIGHEST_PROTOCOL))
    made: Made = pickle.loads(path.read_bytes())
    return made
