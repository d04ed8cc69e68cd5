"""How long something takes, the one form that every figure comes in, and a record to try it on."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from contextlib import redirect_stdout
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

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


def cold(*words: str, times: int = 5) -> float:
    """Seconds of the fastest of several runs of a command, each in a new process; in short form of
    one run in this process, which shows that there is such a command."""
    if SHORT:
        from bedwright.cli import app

        with redirect_stdout(io.StringIO()):
            return seconds(lambda: app(words, standalone_mode=False))
    command = [sys.executable, "-m", "bedwright.cli", *words]
    return min(
        seconds(lambda: subprocess.run(command, check=True, capture_output=True))
        for _ in range(times)
    )


def write_record(path: Path, years: int) -> None:
    """A daily record of so many years, of a place like Edinburgh."""
    days = np.arange(np.datetime64(f"{2020 - years}-01-01"), np.datetime64("2020-01-01"))
    turn = 2 * np.pi * ((days - days[0]).astype(int) - 20) / 365.25
    low = np.round(5 - 6 * np.cos(turn) + np.random.default_rng(0).normal(0, 3, len(days)), 1)
    lines = [f"{d},{v},{v + 7:.1f},1.0" for d, v in zip(days, low, strict=True)]
    path.write_text("date,tmin,tmax,rain\n" + "\n".join(lines), encoding="utf-8")
