"""The first seeds of random input; ``script/fuzz`` tries more of them."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from types import SimpleNamespace

import pytest

from conftest import ROOT
from fuzz import runner
from fuzz.cases import CASES


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("name", CASES)
def test_the_first_random_inputs_break_nothing(name: str, seed: int, tmp_path: Path) -> None:
    CASES[name](seed, tmp_path)


def test_a_process_of_its_own_tries_cases() -> None:
    """Started as one: a process forked from these tests would have their peak of memory."""
    words = ["--only", "output", "--count", "2", "--workers", "1", "--minutes", "9"]
    done = subprocess.run([ROOT / "script/fuzz", *words], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    said = json.loads(done.stdout)
    assert (said["tried"], said["failed"]) == ({"output": 2}, 0)


def test_the_script_offers_every_case() -> None:
    done = subprocess.run([ROOT / "script/fuzz", "--help"], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert ", ".join(CASES) in " ".join(done.stdout.split())


class _AWorker:
    """A process that is alive, and answers with a peak of memory."""

    def __init__(self, peak: int) -> None:
        self.words: str | None = None
        self.process = SimpleNamespace(is_alive=lambda: True)
        self.jobs = SimpleNamespace(recv=lambda: (self.words, peak))

    def made(self) -> runner.Worker:
        return runner.Worker(self.process, self.jobs)  # type: ignore[arg-type]


@pytest.mark.parametrize(("peak", "worn_out"), [(1 << 30, False), (3 << 30, True)])
def test_a_worker_that_had_too_much_memory_is_replaced(peak: int, worn_out: bool) -> None:
    worker = _AWorker(peak).made()
    assert not worker.is_worn_out()
    runner.next_answer(worker)
    assert worker.is_worn_out() is worn_out


def test_the_inner_loops_are_compiled_before_the_first_case(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    done: list[str] = []
    monkeypatch.setattr(runner, "warm", lambda: done.append("warm"))

    def start() -> runner.Worker:
        done.append("start")
        return _AWorker(0).made()

    monkeypatch.setattr(runner.Worker, "start", start)
    monkeypatch.setattr(runner.Worker, "stop", lambda self: done.append("stop"))
    assert runner.run(1.0, 0, ["brief"], 0, workers_wanted=1) == []
    assert done == ["warm", "start", "stop"]
