"""How long something takes, and the one form that every figure comes in."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from pathlib import Path

SHORT = "--short" in sys.argv[1:]
"""Whether the benchmark is to run in its short form, which shows that it works and no more."""


@dataclass(frozen=True)
class Row:
    """One figure: what was measured, on what size, what came out and in which unit; and, where
    something else did the same work, what came out of that, and what it is."""

    name: str
    size: str
    ours: float
    unit: str
    other: float | None = None
    by: str = ""

    @property
    def ratio(self) -> float | None:
        """The other's figure in ours: above 1 where it takes longer, or gets more."""
        return None if self.other is None or self.ours == 0.0 else self.other / self.ours

    def __str__(self) -> str:
        text = f"{self.name}, {self.size}: {figure(self.ours)} {self.unit}"
        if self.by:
            text += f"; {self.by}"
        if self.other is not None:
            text += f": {figure(self.other)} {self.unit}"
        if self.ratio is not None:
            text += f", {figure(self.ratio)} times ours"
        return text


def figure(value: float) -> str:
    """Three figures of a number, or all of a large one, with commas."""
    if value == 0.0:
        return "0"
    if abs(value) >= 100:
        return f"{value:,.0f}"
    return f"{float(f'{value:.3g}'):g}"


def show(rows: Iterable[Row]) -> None:
    """Print every row as it comes, and write all of them to the file after ``--rows``, as JSON."""
    kept = []
    for row in rows:
        print(row, flush=True)
        kept.append({**asdict(row), "ratio": row.ratio})
    if "--rows" in sys.argv[1:]:
        Path(sys.argv[sys.argv.index("--rows") + 1]).write_text(json.dumps(kept), encoding="utf-8")


def seconds(work: Callable[[], object]) -> float:
    """Seconds of one run."""
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def best(work: Callable[[], object], times: int = 5) -> float:
    """Seconds of the fastest of several runs, after one to warm up; of one run in short form."""
    if SHORT:
        return seconds(work)
    work()
    return min(seconds(work) for _ in range(times))
