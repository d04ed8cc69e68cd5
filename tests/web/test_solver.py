"""Plans asked for, stopped and lost, with a process that works out what the test tells it to; and
once with the real one."""

from __future__ import annotations

import asyncio
import json
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from bedwright.store import MADE
from bedwright.web import solver as module
from bedwright.web import worker
from bedwright.web.app import events
from bedwright.web.solver import MOST_WAITING, Solver, TooManyError
from bedwright.web.worker import FILES, Bench, LeftOffError, Task, Told, sweep
from page import SMALL
from stand_in import act

PATIENCE_S = 60.0


@contextmanager
def solving() -> Iterator[tuple[Solver, list[Told]]]:
    """A solver at work, with all that it tells."""
    loop = asyncio.new_event_loop()
    thread = threading.Thread(target=loop.run_forever)
    thread.start()
    solver, heard = Solver(), []
    tell = solver._tell

    def keep(told: Told) -> None:
        heard.append(told)
        tell(told)

    solver._tell = keep  # type: ignore[method-assign]
    try:
        with solver:
            solver.start(loop)
            yield solver, heard
    finally:
        loop.call_soon_threadsafe(loop.stop)
        thread.join()
        loop.close()


@pytest.fixture
def acting(monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Solver, list[Told]]]:
    monkeypatch.setattr(module, "work", act)
    monkeypatch.setattr(module, "LEAVE_S", 0.05)
    with solving() as made:
        yield made


@pytest.fixture
def task(tmp_path: Path) -> Callable[..., Task]:
    def make(bed: str, revision: int = 1, **values: Any) -> Task:
        into = tmp_path / bed / "plans" / f"{revision:04}"
        return Task(bed, revision, values, tmp_path, into)

    return make


def until(said: Callable[[], Any]) -> Any:
    """What is said at last, once there is something."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        found = said()
        if found:
            return found
        time.sleep(0.01)
    raise AssertionError("nothing came")


def ended(heard: list[Told], bed: str) -> Callable[[], Any]:
    return lambda: next((t for t in heard if t.bed == bed and t.what != "stage"), None)


Acting = tuple[Solver, list[Told]]
Make = Callable[..., Task]


def test_plans_are_worked_out_in_turn(acting: Acting, task: Make) -> None:
    solver, heard = acting
    for name in ("a", "b", "c"):
        solver.ask(task(name))
        assert solver.how_far(name) is not None
    until(ended(heard, "c"))
    assert [told.bed for told in heard if told.what == "done"] == ["a", "b", "c"]
    assert solver.how_far("a") == Told("a", 1, "done")
    assert solver.how_far("d") is None


def test_a_second_request_for_a_bed_stops_the_first(acting: Acting, task: Make) -> None:
    solver, heard = acting
    solver.ask(task("a", 1, wait=True))
    first = until(lambda: [told.detail for told in heard if told.detail])[0]
    solver.ask(task("a", 2))
    assert until(ended(heard, "a")) == Told("a", 2, "done")
    assert not Path(f"/proc/{first}").exists()
    assert [told.revision for told in heard if told.what == "done"] == [2]


def test_a_second_request_replaces_one_that_waits(acting: Acting, task: Make) -> None:
    solver, heard = acting
    solver.ask(task("long", wait=True))
    until(lambda: heard)
    solver.ask(task("a", 1))
    solver.ask(task("a", 2))
    assert solver.how_far("a") == Told("a", 2, "stage", "waiting")
    solver.stop("long")
    assert until(ended(heard, "a")) == Told("a", 2, "done")
    assert {told.revision for told in heard if told.bed == "a"} == {2}


def test_a_plan_is_stopped_and_leaves_nothing(acting: Acting, task: Make) -> None:
    solver, heard = acting
    asked = task("a", half=True, wait=True)
    solver.ask(asked)
    until(lambda: [told for told in heard if told.detail == "sheets"])
    assert len(list(asked.into.parent.iterdir())) == 1
    solver.stop("a")
    assert solver.how_far("a") == Told("a", 1, "cannot", "stopped")
    until(lambda: list(asked.into.parent.iterdir()) == [])
    solver.ask(task("b"))
    assert until(ended(heard, "b")).what == "done"


def test_a_process_that_leaves_off_in_time_goes_on(
    acting: Acting, task: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is told of the task left off is not taken for the next of the same bed."""
    solver, heard = acting
    monkeypatch.setattr(module, "LEAVE_S", PATIENCE_S)
    asked = task("a", half=True, patient=True)
    solver.ask(asked)
    pid = until(lambda: [t for t in heard if t.detail == "sheets"] and heard[0].detail)
    solver.ask(task("a", 2))
    assert until(ended(heard, "a")) == Told("a", 2, "done")
    assert list(asked.into.parent.iterdir()) == []
    assert [t.detail for t in heard if t.revision == 2 and t.detail not in (None, "waiting")] == [
        pid
    ], "the same process"
    solver.ask(task("a", patient=True))
    until(lambda: len([t for t in heard if t.detail == pid]) == 3)
    solver.stop("a")
    until(lambda: not solver.busy("a"))


def test_what_is_made_of_a_bed_is_ended_at_once(acting: Acting, task: Make) -> None:
    solver, heard = acting
    asked = task("a", half=True, wait=True)
    solver.ask(asked)
    pid = until(lambda: [t for t in heard if t.detail == "sheets"] and heard[0].detail)
    solver.ask(task("b"))
    solver.ask(task("c"))
    solver.end("c")
    solver.end("a")
    assert not Path(f"/proc/{pid}").exists()
    assert list(asked.into.parent.iterdir()) == []
    assert until(ended(heard, "b")).what == "done"
    assert not [t for t in heard if t.bed == "c" and t.what != "stage"]


def test_stopping_takes_out_of_the_line_and_no_other(acting: Acting, task: Make) -> None:
    solver, heard = acting
    solver.ask(task("long", wait=True))
    solver.ask(task("a"))
    solver.ask(task("b"))
    solver.stop("a")
    solver.stop("nobody's")
    assert solver.how_far("a") == Told("a", 1, "cannot", "stopped")
    solver.stop("long")
    assert until(ended(heard, "b")).what == "done"
    assert [told.bed for told in heard if told.what == "done"] == ["b"]


def test_a_process_that_is_killed_is_replaced_and_said_so(acting: Acting, task: Make) -> None:
    solver, heard = acting
    asked = task("a", half=True, wait=True)
    solver.ask(asked)
    solver.ask(task("b"))
    pid = int(until(lambda: [t for t in heard if t.detail == "sheets"] and heard[0].detail))
    os.kill(pid, signal.SIGKILL)
    told = until(ended(heard, "a"))
    assert (told.what, "ended" in told.detail) == ("cannot", True)
    assert list(asked.into.parent.iterdir()) == []
    assert until(ended(heard, "b")).what == "done"
    assert next(t.detail for t in heard if t.bed == "b") != str(pid)


def test_a_task_that_kills_its_process_each_time_stops_no_other(acting: Acting, task: Make) -> None:
    solver, heard = acting
    for name in ("a", "b"):
        solver.ask(task(name, die=True))
    solver.ask(task("c"))
    until(ended(heard, "c"))
    assert [until(ended(heard, name)).what for name in "abc"] == ["cannot", "cannot", "done"]


def test_a_process_killed_while_idle_is_replaced(acting: Acting, task: Make) -> None:
    """Even where it is asked before its end is known."""
    solver, heard = acting
    solver.ask(task("a"))
    until(ended(heard, "a"))
    process = solver._process
    assert process is not None
    process.kill()
    process.join()
    solver.ask(task("b"))
    first = until(ended(heard, "b"))
    if first.what == "cannot":
        heard.clear()
        solver.ask(task("b"))
        first = until(ended(heard, "b"))
    assert first.what == "done"


def test_too_many_are_refused(acting: Acting, task: Make) -> None:
    solver, _ = acting
    solver.ask(task("long", wait=True))
    for n in range(MOST_WAITING):
        solver.ask(task(f"a{n}"))
    with pytest.raises(TooManyError):
        solver.ask(task("more"))
    assert solver.how_far("more") is None


def test_closing_ends_the_process(acting: Acting, task: Make) -> None:
    solver, heard = acting
    solver.ask(task("long", half=True, wait=True))
    pid = until(lambda: heard)[0].detail
    solver.close()
    assert not Path(f"/proc/{pid}").exists()
    solver.ask(task("a"))
    time.sleep(0.05)
    assert ended(heard, "a")() is None


def test_a_browser_hears_how_far_a_plan_is_and_what_comes(acting: Acting, task: Make) -> None:
    solver, _ = acting

    async def listening() -> list[dict[str, Any]]:
        solver._loop = asyncio.get_running_loop()
        solver.ask(task("a", wait=True))
        stream = events(solver, "a")
        lines = [await anext(stream), await anext(stream)]
        solver.stop("a")
        lines.append(await anext(stream))
        await stream.aclose()  # type: ignore[attr-defined]
        assert solver._listeners["a"] == []
        return [json.loads(line.removeprefix("data: ")) for line in lines]

    first, then, last = asyncio.run(asyncio.wait_for(listening(), PATIENCE_S))
    assert (first["what"], first["detail"], first["on"]) == ("stage", "waiting", 1)
    assert then["detail"].isdecimal()
    assert (last["what"], last["detail"]) == ("cannot", "stopped")


def test_a_browser_that_waits_is_kept_by_a_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bedwright.web.app.KEEP_ALIVE_S", 0.01)

    async def listening() -> str:
        stream = events(Solver(), "a")
        return await anext(stream)

    assert asyncio.run(listening()) == ": still here\n\n"


def test_a_browser_that_does_not_read_holds_up_no_one() -> None:
    async def flood() -> int:
        solver = Solver()
        queue = solver.listen("a")
        for n in range(500):
            solver._pass_on(Told("a", n, "stage"))
        return queue.qsize()

    assert asyncio.run(flood()) <= 100


# --- what the real process does


def told_of(task: Task) -> list[tuple[str, Any]]:
    heard: list[tuple[str, Any]] = []
    Bench().carry_out(task, lambda what, detail=None: heard.append((what, detail)))
    return heard


def test_a_brief_at_fault_is_told_field_by_field(tmp_path: Path) -> None:
    values = {**SMALL, "bed": {"shape": "rectangle", "length": "2 apples", "width": "1 m"}}
    (_, (what, faults)) = told_of(Task("a", 1, values, tmp_path, tmp_path / "0001"))
    assert what == "faults"
    ((field, given, accepted),) = faults
    assert (field, "2 apples" in given, bool(accepted)) == ("bed.length", True, True)
    assert list(tmp_path.iterdir()) == []


def test_a_plan_takes_its_place_whole(small_plan: Path) -> None:
    names = {path.name for path in small_plan.iterdir()}
    assert {"sheets.json", "drifts.json", "files", "planting.svg"} <= names
    assert set(FILES) <= {path.name for path in (small_plan / "files").iterdir()}
    assert [path for path in small_plan.parent.iterdir() if path.name.startswith(".small")] == []


def test_a_plan_that_cannot_be_written_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(plan: Any, pictures: bool) -> Any:
        raise OSError("no room on the disk")

    monkeypatch.setattr("bedwright.export.sheet_data", full)
    with pytest.raises(OSError, match="no room"):
        worker.write_plan(None, (), tmp_path / "plans/0001")  # type: ignore[arg-type]
    assert list((tmp_path / "plans").iterdir()) == []


def test_only_what_was_left_of_that_plan_is_swept_away(tmp_path: Path) -> None:
    for name in (".0001-ab", ".0001-cd", ".0002-ab", "0001", "0002"):
        (tmp_path / name).mkdir()
    sweep(tmp_path / "0001")
    assert sorted(path.name for path in tmp_path.iterdir()) == [".0002-ab", "0001", "0002"]


def test_the_real_process_goes_on_at_ctrl_c_and_its_end_is_told(tmp_path: Path) -> None:
    """Ctrl-C, which goes to every process of a terminal, is for the server to hear."""
    into = tmp_path / "plans/0001"
    faulty = {"bed": {"shape": "none"}}
    with solving() as (solver, heard):
        solver.ask(Task("a", 1, faulty, tmp_path, into))
        assert until(ended(heard, "a")).what == "faults"
        assert solver._process is not None
        assert solver._process.pid is not None
        os.kill(solver._process.pid, signal.SIGINT)
        heard.clear()
        solver.ask(Task("a", 1, SMALL, tmp_path, into))
        until(lambda: [told for told in heard if told.detail == "season"])
        os.kill(solver._process.pid, signal.SIGKILL)
        assert until(ended(heard, "a")).what == "cannot"
    assert not into.exists()


def test_season_and_light_lie_ready_for_a_brief_that_differs_in_wishes_alone() -> None:
    bench = Bench()
    ready = object()
    bench._for, bench._prepared = worker._bound(SMALL), ready  # type: ignore[assignment]
    for free in ({"wishes": {"edging": False}}, {"title": "Other"}, {"changes": []}):
        assert bench._ready({**SMALL, **free}) is ready
    bound: tuple[dict[str, Any], ...] = (
        {"place": {"town": "Cork, Ireland"}}, {"surroundings": []}, {"season": {"year": 2028}},
        {"ground": {"texture": "clay"}}, {"bed": {**SMALL["bed"], "width": "1.1 m"}},
    )  # fmt: skip
    for other in bound:
        assert bench._ready({**SMALL, **other}) is None
    for files in ({"own_kinds": "mine.toml"}, {"place": {"record": {"file": "weather.csv"}}}):
        bench._for = worker._bound({**SMALL, **files})
        assert bench._ready({**SMALL, **files}) is None, "a file may have changed meanwhile"


def test_a_task_left_off_leaves_nothing_but_what_lies_ready(tmp_path: Path) -> None:
    """Planted already, it is planted no second time."""
    bench, heard = Bench(), list[Any]()
    task = Task("a", 1, SMALL, tmp_path, tmp_path / "plans/0001")

    def tell(what: str, detail: Any = None) -> None:
        heard.append(detail)

    with pytest.raises(LeftOffError):
        bench.carry_out(task, tell, lambda: heard.count("planting") > 0)
    assert heard == ["brief", "season", "light", "ground", "planting"]
    assert list(tmp_path.iterdir()) == []
    heard.clear()
    with pytest.raises(LeftOffError):
        bench.carry_out(task, tell, lambda: "calendar" in heard)
    assert "season" not in heard
    assert heard.count("planting") == 1


def test_what_is_otherwise_than_before(tmp_path: Path) -> None:
    def drift(at: float, name: str) -> dict[str, Any]:
        ground = f"POLYGON (({at} 0, {at + 1} 0, {at + 1} 1, {at} 1, {at} 0))"
        return {"number": int(at), "kind": name, "colour": "red", "name": name, "ground": ground}

    assert worker.since([drift(1, "zinnia")], tmp_path / "0001") is None
    (tmp_path / "0001").mkdir()
    (tmp_path / "0001" / MADE).write_text("{}")
    (tmp_path / "0002").mkdir()  # of a version that kept plans otherwise
    before = [drift(1, "zinnia"), drift(2, "petunia"), drift(5, "zinnia")]
    (tmp_path / "0001/drifts.json").write_text(json.dumps(before))
    # Moved by a tenth of its width it stands where it stood; by a third it does not.
    now = [drift(1.1, "zinnia"), drift(2, "larkspur"), drift(3, "zinnia"), drift(5.3, "zinnia")]
    assert worker.since(now, tmp_path / "0004") == {
        "revision": 1, "came": ["larkspur, red"], "went": ["petunia, red"], "changed": [2, 3, 5],
    }  # fmt: skip


def test_a_change_means_the_drift_in_which_its_spot_lies() -> None:
    cut = [{"number": n, "cut": f"POLYGON (({n} 0, {n + 1} 0, {n + 1} 1, {n} 1, {n} 0))"}
           for n in (0, 1)]  # fmt: skip
    cut.append({"number": 7, "cut": None})
    spots = [(0.5, 0.5), (1.5, 1.04), (1.5, 1.5), (50.0, 0.5)]
    assert worker.asked_of(cut, spots) == [0, 1, None, None]
    assert worker.asked_of([], spots[:1]) == [None]


def test_files_are_of_the_day_of_their_plan(tmp_path: Path) -> None:
    """A plan without a year counts it from the day on which it is made."""
    into = tmp_path / "0001"
    into.mkdir()
    (into / MADE).write_text('{"day": "2024-02-29"}')
    task = Task("a", 1, {}, tmp_path, into)
    assert worker._day_of(task) == date.today()
    assert worker._day_of(task._replace(files=True)) == date(2024, 2, 29)


def test_what_fails_after_the_sheets_hinders_no_other_plan(acting: Acting, task: Make) -> None:
    solver, heard = acting
    solver.ask(task("a", late=True))
    solver.ask(task("b"))
    until(ended(heard, "b"))
    assert [(told.bed, told.what) for told in heard if told.what != "stage"] == [
        ("a", "done"), ("b", "done")]  # fmt: skip
    until(lambda: not solver.busy("a") and not solver.busy("b"))
