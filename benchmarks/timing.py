"""How long something takes, for the benchmarks beside this file."""

from __future__ import annotations

import time
from collections.abc import Callable


def best(work: Callable[[], object], times: int = 5) -> float:
    """Seconds of the fastest of several runs, after one to warm up."""
    work()
    spent = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        spent.append(time.perf_counter() - begun)
    return min(spent)
