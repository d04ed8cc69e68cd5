"""How long ``bedwright when`` takes: the whole command in a new process, what its largest part is
(numba, which runs the loop over days), and the answer alone once all is loaded.

Usage: ``python benchmarks/when.py``
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from bedwright.inputs import gather_when
from timing import SHORT, Row, best, cold, show, write_record

PLACE, TODAY, YEARS = "Edinburgh, United Kingdom", date(2026, 11, 25), 30
TIMES = 1 if SHORT else 5

LOOP = """
import time
begun = time.perf_counter()
from bedwright.inputs import gather_when
from datetime import date
asked = gather_when("tall_zinnia", "Edinburgh", "04-15", today=date(2026, 11, 25))
from bedwright.growth import Way, bloom_of
season = asked.season_in(2027)
begun = time.perf_counter()
bloom_of(Way(asked.kind, 100, 150, in_place=False), season)
print(time.perf_counter() - begun)
"""


def loop() -> float:
    """Seconds until the loop over days has run for the first time in a process, compiled before."""
    command = [sys.executable, "-c", LOOP]
    runs = (
        subprocess.run(command, check=True, capture_output=True, text=True) for _ in range(TIMES)
    )
    return min(float(run.stdout) for run in runs)


def rows() -> Iterator[Row]:
    spring, autumn = ("--sown", "04-15"), ("--sown", "10-15", "--in-place")
    yield Row("the command, cold", "from normals", cold("when", "tall_zinnia", PLACE, *spring), "s")
    yield Row("the command, cold", "autumn: two growing years",
              cold("when", "larkspur", PLACE, *autumn), "s")  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "mine.csv"
        write_record(path, YEARS)
        spent = cold("when", "tall_zinnia", str(path), "--at", PLACE, *spring)
        yield Row("the command, cold", f"a record of {YEARS} years", spent, "s")
    yield Row("of it, the season and its bloom", "1 kind, 1000 seasons", loop(), "s")
    for kind, size, sown, in_place in (
        ("tall_zinnia", "one growing year", "04-15", False),
        ("larkspur", "two growing years", "10-15", True),
    ):
        asked = gather_when(kind, PLACE, sown, today=TODAY, in_place=in_place)
        yield Row("an answer, its place read", size, best(asked.answer) * 1000, "ms")


if __name__ == "__main__":
    show(rows())
