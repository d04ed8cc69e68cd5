"""The table of all benchmarks, its file, and the page drawn from it."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

import bench
from conftest import ROOT

ROW = {"name": "a thing", "size": "3 m²", "ours": 0.25, "unit": "s"}


def results() -> bench.Results:
    return json.loads(bench.RESULTS.read_text(encoding="utf-8"))


def test_the_page_is_what_the_figures_give() -> None:
    assert bench.page(results()) == bench.PAGE.read_text(encoding="utf-8")


def test_the_figures_kept_are_of_every_benchmark_at_full_length() -> None:
    kept = results()
    assert sorted(kept["benchmarks"]) == bench.names()
    assert not kept["short"]
    assert set(kept["machine"]) == set(bench.machine())


def test_a_row_in_words() -> None:
    alone = {**ROW, "by": "", "other": None, "ratio": None}
    assert bench.cells(alone) == ("a thing", "3 m²", "0.25 s", "", "")
    beside = {**ROW, "by": "another", "other": 1234.5, "ratio": 4938.0}
    assert bench.cells(beside) == ("a thing", "3 m²", "0.25 s", "another: 1,234 s", "4,938")


def test_a_benchmark_is_run_printed_and_kept(tmp_path: Path) -> None:
    kept = tmp_path / "figures.json"
    command = [str(ROOT / "script/bench"), "--short", "--json", str(kept), "catalogue"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert "theirs : ours" in done.stdout
    given = json.loads(kept.read_text(encoding="utf-8"))
    rows = given["benchmarks"]["catalogue"]["rows"]
    assert all(row["ours"] > 0 and row["unit"] in ("ms", "µs") for row in rows)
    assert any(row["ratio"] == row["other"] / row["ours"] for row in rows if row["other"])
    assert given["versions"]["numpy"]
    assert "## Catalogue" in bench.page(given)


def test_figures_of_one_benchmark_are_renewed_beside_the_others() -> None:
    old = results()
    part = {"catalogue": {"date": "2030-01-01", "load": 0.0, "rows": []}}
    new = bench.renewed(old, {**old, "benchmarks": part})
    assert new["benchmarks"] == {**old["benchmarks"], **part}
    with pytest.raises(ValueError, match="machine differs"):
        bench.renewed(old, {**old, "machine": {**old["machine"], "cores": 64}})


def test_a_name_that_is_none_is_answered_with_those_there_are() -> None:
    done = subprocess.run([str(ROOT / "script/bench"), "speed"], capture_output=True, text=True)
    assert done.returncode == 2
    assert "no benchmark 'speed'; there are catalogue, ground" in done.stderr
