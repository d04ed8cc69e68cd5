"""Inner loops are compiled when they are first called, and not before."""

from __future__ import annotations

import subprocess
import sys

import numpy as np

from bedwright.compiled import compiled, prange


@compiled()
def _doubled(value):
    return 2.0 * value


@compiled(parallel=True)
def _sum_doubled(values):
    total = 0.0
    for n in prange(len(values)):
        total += _doubled(values[n])
    return total


def test_a_loop_that_calls_another_gives_what_plain_python_gives():
    values = np.arange(100.0)
    plain = sum(_doubled.py_func(v) for v in values)
    assert _sum_doubled(values) == plain == 9900.0


def test_numbas_own_range_takes_the_place_of_the_plain_one():
    import numba

    _sum_doubled(np.ones(3))
    assert _sum_doubled.py_func.__globals__["prange"] is numba.prange


def test_a_loop_keeps_its_name_and_words():
    assert _doubled.__name__ == "_doubled"


def test_naming_a_loop_imports_no_numba():
    code = (
        "import sys, bedwright.light.kernel, bedwright.growth.bloom_kernel;"
        "sys.exit('numba' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], timeout=120).returncode == 0
