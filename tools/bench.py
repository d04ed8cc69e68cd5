"""Run every benchmark, put all figures into one table and one file, and draw the page from it.

Usage: ``script/bench [--short] [--json FILE] [NAME ...]`` runs the benchmarks named, or all, and
renews what the file holds of them;
``script/bench --docs [--json FILE]`` runs nothing and writes docs/performance.md from the file.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

ROOT = Path(__file__).parents[1]
FOLDER, PAGE = ROOT / "benchmarks", ROOT / "docs/performance.md"
RESULTS = FOLDER / "results.json"
HELPERS = {"timing", "cpsat"}
"""What the benchmarks share, or one of them uses."""

LIBRARIES = ("numpy", "scipy", "numba", "shapely", "typst", "pvlib", "trimesh", "ortools", "pandas")
COLUMNS = ("what", "on", "ours", "by something else", "theirs : ours")
Results = dict[str, Any]


def names() -> list[str]:
    """Every benchmark there is."""
    return sorted({path.stem for path in FOLDER.glob("*.py")} - HELPERS)


def processor() -> str:
    """The processor's name, where the system tells it."""
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor() or platform.machine()
    found = (line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    return next(found, platform.machine())


def machine() -> dict[str, object]:
    """What the figures are measured on."""
    return {
        "processor": processor(),
        "cores": os.cpu_count(),
        "memory_gb": round(os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE") / 1e9, 1),
        "system": f"{platform.system()} {platform.release().partition('-')[0]}",
        "python": platform.python_version(),
    }


def measured(wanted: list[str], short: bool) -> Results:
    """The rows of every benchmark wanted, each run in a process of its own; ``load``: processes at
    work as it began."""
    found: Results = {}
    for name in wanted:
        print(f"{name} ...", file=sys.stderr, flush=True)
        load = round(os.getloadavg()[0], 1)
        with tempfile.TemporaryDirectory() as folder:
            kept = Path(folder) / "rows.json"
            command = [sys.executable, str(FOLDER / f"{name}.py"), "--rows", str(kept)]
            subprocess.run([*command, *(["--short"] if short else [])],
                           check=True, stdout=subprocess.DEVNULL)  # fmt: skip
            rows = json.loads(kept.read_text(encoding="utf-8"))
        found[name] = {"date": datetime.now(UTC).date().isoformat(), "load": load, "rows": rows}
    return {
        "short": short,
        "machine": machine(),
        "versions": {name: version(name) for name in LIBRARIES},
        "benchmarks": found,
    }


def renewed(old: Results, new: Results) -> Results:
    """Results with those of some benchmarks measured anew.  Raises ValueError where the others are
    of another machine, other libraries or the other form."""
    for what in ("short", "machine", "versions"):
        if old[what] != new[what]:
            raise ValueError(f"{what} differs: {old[what]}, now {new[what]}; measure all anew")
    benchmarks = {**old["benchmarks"], **new["benchmarks"]}
    return {**new, "benchmarks": dict(sorted(benchmarks.items()))}


def figure(value: float) -> str:
    """As ``benchmarks/timing.py`` writes figures; that folder is no place to import from, for its
    scripts have the names of test folders."""
    if abs(value) >= 100:
        return f"{value:,.0f}"
    return f"{float(f'{value:.3g}'):g}"


def cells(row: dict[str, Any]) -> tuple[str, ...]:
    """One row as words, in the order of COLUMNS."""
    other = "" if row["other"] is None else f": {figure(row['other'])} {row['unit']}"
    ratio = "" if row["ratio"] is None else figure(row["ratio"])
    return (
        row["name"],
        row["size"],
        f"{figure(row['ours'])} {row['unit']}",
        row["by"] + other,
        ratio,
    )


def table(results: Results) -> Table:
    """Every figure, for the terminal."""
    drawn = Table("benchmark", *COLUMNS)
    for name, measured in results["benchmarks"].items():
        for row in measured["rows"]:
            drawn.add_row(name, *cells(row))
        drawn.add_section()
    return drawn


def page(results: Results) -> str:
    """docs/performance.md."""
    return "\n".join(_lines(results)) + "\n"


def _lines(results: Results) -> Iterator[str]:
    on, versions = results["machine"], results["versions"]
    yield "# Performance"
    yield ""
    yield "Written by `script/bench --docs` from `benchmarks/results.json`, which holds what"
    yield "`script/bench` last measured."
    yield ""
    yield f"Measured on {on['processor']}, {on['cores']} cores, {on['memory_gb']} GB,"
    yield f"{on['system']}, Python {on['python']}."
    yield "Libraries: " + ", ".join(f"{name} {number}" for name, number in versions.items()) + "."
    yield ""
    yield "*Theirs : ours* is above 1 where the other takes longer, or gets more. Each file in"
    yield "`benchmarks/` says what the other does and how alike the results are."
    for name, measured in results["benchmarks"].items():
        yield from ("", f"## {name.capitalize()}", "")
        date, load = measured["date"], measured["load"]
        yield f"`benchmarks/{name}.py`, {date}, with {load} other processes at work as it began."
        yield ""
        yield "| " + " | ".join(COLUMNS) + " |"
        yield "| --- | --- | ---: | --- | ---: |"
        for row in measured["rows"]:
            yield "| " + " | ".join(cells(row)) + " |"


def main() -> None:
    """Read the options and run."""
    options = argparse.ArgumentParser(prog="script/bench", description=__doc__)
    options.add_argument("names", nargs="*", metavar="NAME", help=", ".join(names()))
    options.add_argument("--short", action="store_true", help="only show that each works")
    options.add_argument("--json", type=Path, metavar="FILE", help="renew (with --docs: read) it")
    options.add_argument("--docs", action="store_true", help="run nothing; write the page")
    given = options.parse_args()
    unknown = sorted(set(given.names) - set(names()))
    if unknown:
        options.error(f"no benchmark {unknown[0]!r}; there are {', '.join(names())}")
    if given.docs:
        results = json.loads((given.json or RESULTS).read_text(encoding="utf-8"))
        PAGE.write_text(page(results), encoding="utf-8")
        return
    results = measured(given.names or names(), given.short)
    if given.json is not None:
        if given.names and given.json.exists():
            try:
                results = renewed(json.loads(given.json.read_text(encoding="utf-8")), results)
            except ValueError as error:
                options.error(f"{given.json}: {error}")
        text = json.dumps(results, indent=1, ensure_ascii=False)
        given.json.write_text(text + "\n", encoding="utf-8")
    Console(width=None if sys.stdout.isatty() else 160).print(table(results))


if __name__ == "__main__":
    main()
