"""The process in which plans are worked out, so that the page answers meanwhile and a plan can be
stopped.

It is told what to work out, and tells how it goes on, through a pipe.  What it makes of a revision
takes its place in the bed's folder whole: ``sheets.json`` (what the sheets print), ``drifts.json``
(what is to be said of each drift), the drawings, and the files to take away.
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
import signal
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

if TYPE_CHECKING:
    from bedwright.plan import Plan

FILES = ("plan.json", "planting.svg", "planting.png", "calendar.ics", "supplies.csv", "plants.csv",
         "sheets.pdf")  # fmt: skip
"""What the gardener can take away."""


class Task(NamedTuple):
    """A plan to be worked out: of which bed and revision, its brief, the folder of the files that
    it names, and where what is made of it goes."""

    bed: str
    revision: int
    values: dict[str, Any]
    beside: Path
    into: Path


class Told(NamedTuple):
    """What the worker tells of a task: a ``stage`` it begins, ``done``, the ``faults`` of its brief
    (field, given, accepted each) or why it ``cannot`` be carried out."""

    bed: str
    revision: int
    what: Literal["stage", "done", "faults", "cannot"]
    detail: Any = None


def work(pipe: Connection) -> None:
    """Carry out tasks until the pipe closes; who hired the process ends it, not Ctrl-C."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    from bedwright import api  # noqa: F401  so that the first task need not wait for it

    while True:
        try:
            task: Task = pipe.recv()
        except EOFError:
            return

        def tell(what: Any, detail: Any = None, task: Task = task) -> None:
            pipe.send(Told(task.bed, task.revision, what, detail))

        try:
            carry_out(task, tell)
        except BrokenPipeError:
            return
        except Exception as error:
            kind = type(error).__name__
            tell("cannot", f"a fault of the program, not of the bed: {kind}: {error}")


def carry_out(task: Task, tell: Any) -> None:
    """Work out a plan and put what is made of it in its place."""
    from bedwright.api import make_plan, read_brief
    from bedwright.brief import BriefError
    from bedwright.facts import FactError
    from bedwright.report import words_of_mistake

    tell("stage", "brief")
    try:
        inputs = read_brief(task.values, folder=task.beside)
        plan = make_plan(inputs, progress=lambda stage: tell("stage", stage))
    except BriefError as error:
        tell("faults", [(fault.field, fault.given, fault.accepted) for fault in error.faults])
        return
    except FactError as error:
        tell("cannot", words_of_mistake(error))
        return
    tell("stage", "sheets")
    write_plan(plan, task.into)
    tell("done")


def write_plan(plan: Plan, into: Path) -> None:
    """All that is kept of a plan, put in its place by renaming."""
    from bedwright.export import sheet_data, write_sheets

    beside = into.with_name(f"{_beside(into)}{secrets.token_hex(4)}")
    beside.mkdir(parents=True)
    try:
        data, drawings = sheet_data(plan)
        for name, body in drawings.items():
            (beside / name).write_bytes(body)
        _write(beside / "sheets.json", data)
        _write(beside / "drifts.json", drifts_of(plan))
        write_sheets(plan, beside / "files")
        if into.exists():
            shutil.rmtree(into)
        os.replace(beside, into)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def sweep(into: Path) -> None:
    """Take away what a process that was ended had begun to write for a plan."""
    for left in into.parent.glob(f"{_beside(into)}*"):
        shutil.rmtree(left, ignore_errors=True)


def _beside(into: Path) -> str:
    """What the folder in which a plan is written is called, until it takes its place."""
    return f".{into.name}-"


def _write(path: Path, values: Any) -> None:
    path.write_text(json.dumps(values, ensure_ascii=False), encoding="utf-8")


def drifts_of(plan: Plan) -> list[dict[str, Any]]:
    """Of each drift: what stands there and why, a spot inside it, and what nearly stood there."""
    from bedwright.planting import SuitsDrift
    from bedwright.report import say, why
    from bedwright.units import say_length

    units, out = plan.brief.units, []
    for number, drift in enumerate(plan.planting.drifts):
        item = plan.planting.items[drift.item]
        at = drift.polygon.representative_point()
        best = drift.why.next_best if isinstance(drift.why, SuitsDrift) else None
        out.append(
            {
                "number": number,
                "letter": item.letter,
                "kind": item.candidate.kind.key,
                "name": item.candidate.kind.name,
                "colour": item.candidate.colour.name,
                "plants": len(drift.places),
                "edging": drift.ribbon,
                "at": [f"{at.x:.3f} m", f"{at.y:.3f} m"],
                "where": f"{say_length(at.x, units)}, {say_length(at.y, units)}",
                "sun": f"{drift.sun_h:.1f}",
                "purpose": why(plan, item),
                "why": "" if drift.why is None else say(drift.why, units),
                "next": None
                if best is None
                else {"kind": best.kind, "name": best.name, "colour": best.colour},
            }
        )
    return out
