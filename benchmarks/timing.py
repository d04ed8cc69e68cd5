"""How long something takes, for the benchmarks beside this file."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

SHORT = "--short" in sys.argv[1:]
"""Whether the benchmark is to run in its short form, which shows that it works and no more."""


def best(work: Callable[[], object], times: int = 5) -> float:
    """Seconds of the fastest of several runs, after one to warm up; of one run in short form."""
    if not SHORT:
        work()
    spent = []
    for _ in range(1 if SHORT else times):
        begun = time.perf_counter()
        work()
        spent.append(time.perf_counter() - begun)
    return min(spent)
