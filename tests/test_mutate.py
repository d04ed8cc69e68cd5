"""The tool that puts small faults into functions."""

from __future__ import annotations

import pytest

import mutate


def sample(a: int, b: float = 0.5) -> float:
    """Left alone, as 3 is here, and the default above."""
    if a < 3 and not b:
        return a + 2.0
    return -b


def test_every_mutant_differs_in_one_place() -> None:
    words = [mutant.words for mutant in mutate.mutants(sample)]
    assert words == [
        "if a < 3 and (not b):  ->  if not (a < 3 and (not b)):",
        "a < 3 and (not b)  ->  a < 3 or not b",
        "a < 3  ->  a <= 3",
        "a < 3  ->  a >= 3",
        "3  ->  4",
        "3  ->  2",
        "not b  ->  b",
        "return a + 2.0  ->  return None",
        "a + 2.0  ->  a - 2.0",
        "2.0  ->  2.21",
        "return -b  ->  return None",
        "-b  ->  b",
    ]


def test_a_mutant_runs_in_place_of_its_function() -> None:
    kept = sample.__code__
    last = list(mutate.mutants(sample))[-1]
    sample.__code__ = last.code
    try:
        assert sample(5) == 0.5
    finally:
        sample.__code__ = kept
    assert sample(5) == -0.5


def test_every_function_named_is_there_with_its_tests() -> None:
    for target in mutate.TARGETS:
        for name in target.functions:
            assert list(mutate.mutants(mutate.function_of(target.module, name)))
        for test in target.tests:
            path, _, name = test.partition("::")
            text = (mutate.ROOT / path).read_text(encoding="utf-8")
            assert f"def {name}(" in text if name else "def test_" in text


def test_a_fault_is_found_where_a_test_fails_raises_or_never_ends(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def forever() -> bool:
        while sample(5) > 0:
            pass
        return True

    monkeypatch.setattr(mutate, "passes", lambda test: test())
    monkeypatch.setattr(mutate, "MOST_CPU_S", 1)
    last, nothing = (
        next(m for m in mutate.mutants(sample) if m.words == words)
        for words in ("-b  ->  b", "return -b  ->  return None")
    )
    for test in (lambda: sample(5) == -0.5, lambda: 1 / (sample(5) - 0.5), forever):
        assert not mutate.found_by([test], sample, sample.__code__)
        assert mutate.found_by([test], sample, last.code)
    assert mutate.found_by([forever], sample, nothing.code)
    assert sample(5) == -0.5
