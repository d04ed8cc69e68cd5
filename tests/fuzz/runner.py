"""Run cases of random input until the time is up.

Worker processes take seed after seed and each sort of case in turn.  A case that raises, that takes
over 30 s of processor time or three minutes of the clock (it waits for something, or others keep
the machine busy), or that needs over 2 GB of memory is a failure; each prints the command that
repeats it alone.
"""

from __future__ import annotations

import json
import math
import multiprocessing
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from collections import Counter
from dataclasses import dataclass, field
from multiprocessing.connection import Connection, wait
from pathlib import Path

MOST_CPU_S, MOST_CLOCK_S, MOST_BYTES = 30, 180.0, 2 << 30
ROOT = Path(__file__).resolve().parents[2]
CASES_A_WORKER = 60
"""After so many a worker is replaced by a fresh one, so that memory is that of few cases."""


def work(jobs: Connection) -> None:
    """Run the cases that come, and answer each with its words of failure or None."""
    from fuzz.cases import CASES

    while (job := jobs.recv()) is not None:
        name, seed = job
        folder = Path(tempfile.mkdtemp(prefix="fuzz-"))
        here = os.getcwd()
        spent = resource.getrusage(resource.RUSAGE_SELF)
        # The system ends the process, with SIGXCPU, when its time is up.
        most = math.ceil(spent.ru_utime + spent.ru_stime) + MOST_CPU_S
        resource.setrlimit(resource.RLIMIT_CPU, (most, resource.RLIM_INFINITY))
        try:
            CASES[name](seed, folder)
            words = None
        except Exception:
            words = traceback.format_exc(limit=-6)
        finally:
            os.chdir(here)
            shutil.rmtree(folder, ignore_errors=True)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
        if words is None and peak > MOST_BYTES:
            words = f"{peak / 1e9:.1f} GB of memory"
        jobs.send((words, peak))


@dataclass
class Worker:
    """A process, what it is at, and since when."""

    process: multiprocessing.Process
    jobs: Connection
    done: int = 0
    peak: int = 0
    job: tuple[str, int] | None = None
    since: float = field(default_factory=time.monotonic)

    @classmethod
    def start(cls) -> Worker:
        """A new process, ready for a first case."""
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(target=work, args=(theirs,), daemon=True)
        process.start()
        theirs.close()
        return cls(process, ours)

    def give(self, job: tuple[str, int]) -> None:
        """Send a case."""
        self.job, self.since = job, time.monotonic()
        self.jobs.send(job)

    def is_worn_out(self) -> bool:
        """Whether the next case wants a fresh process: the most memory that one ever had never
        falls."""
        spent = self.done >= CASES_A_WORKER or self.peak > MOST_BYTES
        return spent or not self.process.is_alive()

    def stop(self) -> None:
        """End the process whatever it is at."""
        self.process.kill()
        self.process.join()
        self.jobs.close()


def warm() -> None:
    """Compile the inner loops, which would else count against the time of a first case."""
    subprocess.run([sys.executable, ROOT / "tools" / "warm.py"], check=True)


def next_answer(worker: Worker) -> str | None:
    """What is wrong with the case that a worker is at; None where nothing is, as far as it got."""
    try:
        words, worker.peak = worker.jobs.recv()
    except (EOFError, ConnectionError):
        worker.process.join()
        return died(worker.process.exitcode)
    return words


def died(exit_code: int | None) -> str:
    """Why a process ended."""
    if exit_code == -signal.SIGXCPU:
        return f"no end in {MOST_CPU_S} s of processor time"
    return f"the process died with exit code {exit_code}"


def run(
    minutes: float, start: int, names: list[str], count: int | None, workers_wanted: int = 2
) -> list[str]:
    """Try cases until the time is up or so many are done; returns the failures."""
    warm()
    end = time.monotonic() + 60 * minutes
    queue = ((name, seed) for seed in range(start, sys.maxsize) for name in names)
    if count is not None:
        queue = ((name, seed) for seed in range(start, start + count) for name in names)
    failures: list[str] = []
    tried: Counter[str] = Counter()
    slowest = (0.0, "")
    workers = [Worker.start() for _ in range(workers_wanted)]
    idle = list(workers)
    while workers:
        for worker in list(idle):
            idle.remove(worker)
            job = next(queue, None) if time.monotonic() < end else None
            if job is None:
                worker.stop()
                workers.remove(worker)
            else:
                worker.give(job)
        ready = wait([worker.jobs for worker in workers], timeout=0.5)
        for n, worker in enumerate(workers):
            assert worker.job is not None
            took = time.monotonic() - worker.since
            over = took > MOST_CLOCK_S
            if worker.jobs not in ready and not over:
                continue
            words = next_answer(worker) if worker.jobs in ready else f"no end in {took:.0f} s"
            name, seed = worker.job
            tried[name] += 1
            slowest = max(slowest, (took, f"{name} {seed}"))
            if words is not None:
                again = f"script/fuzz --only {name} --start {seed} --count 1"
                failures.append(f"{name} {seed}\n{words.strip()}\n  again: {again}")
                print(failures[-1], flush=True)
            worker.done += 1
            if over or worker.is_worn_out():
                worker.stop()
                workers[n] = worker = Worker.start()
            idle.append(worker)
    print(json.dumps({"tried": tried, "slowest": [round(slowest[0], 1), slowest[1]],
                      "failed": len(failures)}))  # fmt: skip
    return failures
