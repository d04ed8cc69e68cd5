"""The process in which plans are worked out, so that the page answers meanwhile and a plan can be
stopped.

It is told what to work out, and tells how it goes on, through a pipe.  What it makes of a revision
takes its place in the bed's folder whole: ``sheets.json`` (what the sheets print), ``drifts.json``
(what is to be said of each drift), ``since.json`` (what is otherwise than in the plan before) and
the drawings; the views of every fortnight and the files to take away follow.
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
    from bedwright.catalogue import Catalogue
    from bedwright.plan import Plan, Prepared

FILES = ("plan.json", "planting.svg", "planting.png", "calendar.ics", "supplies.csv", "plants.csv",
         "sheets.pdf")  # fmt: skip
"""What the gardener can take away."""


class Task(NamedTuple):
    """A plan to be worked out: of which bed and revision, its brief, the folder of the files that
    it names, and where what is made of it goes; with ``variants``, three plantings side by side
    instead."""

    bed: str
    revision: int
    values: dict[str, Any]
    beside: Path
    into: Path
    variants: bool = False


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

    bench = Bench()
    while True:
        try:
            task: Task = pipe.recv()
        except EOFError:
            return

        def tell(what: Any, detail: Any = None, task: Task = task) -> None:
            pipe.send(Told(task.bed, task.revision, what, detail))

        try:
            bench.carry_out(task, tell)
        except BrokenPipeError:
            return
        except Exception as error:
            kind = type(error).__name__
            tell("cannot", f"a fault of the program, not of the bed: {kind}: {error}")


FREE = frozenset({"title", "wishes", "changes", "paper", "currency", "prices"})
"""Tables and fields of a brief that neither the season nor the light depends on."""


class Bench:
    """Where plans are worked out: season and light of the last one lie ready for the next."""

    def __init__(self) -> None:
        self._for: dict[str, Any] = {}
        self._prepared: Prepared | None = None

    def carry_out(self, task: Task, tell: Any) -> None:
        """Work out a plan, put what is made of it in its place, and tell of it."""
        from bedwright.api import read_brief
        from bedwright.brief import BriefError
        from bedwright.facts import FactError
        from bedwright.plan import make_plan, prepare
        from bedwright.report import words_of_mistake

        tell("stage", "brief")
        try:
            inputs = read_brief(task.values, folder=task.beside)
            parts: dict[str, Any] = {"brief": inputs.brief, "catalogue": inputs.catalogue,
                     "weather": inputs.weather}  # fmt: skip
            prepared = self._ready(task.values)
            if prepared is None:
                prepared = prepare(**parts, progress=lambda stage: tell("stage", stage))
                self._for, self._prepared = _bound(task.values), prepared
            plan = make_plan(
                **parts, prepared=prepared, progress=lambda stage: tell("stage", stage)
            )
            if task.variants:
                tell("stage", "variants")
                write_variants(plan, inputs.catalogue, task.into)
                tell("done")
                return
        except BriefError as error:
            tell("faults", [(fault.field, fault.given, fault.accepted) for fault in error.faults])
            return
        except FactError as error:
            tell("cannot", words_of_mistake(error))
            return
        tell("stage", "sheets")
        write_plan(plan, task.into)
        tell("done")
        write_files(plan, task.into)

    def _ready(self, values: dict[str, Any]) -> Prepared | None:
        """What lies ready, if it is of a brief that differs in no more than FREE.

        Files that a brief names may have changed meanwhile: of such a brief nothing is kept.
        """
        files = "own_kinds" in values or "record" in values.get("place", {})
        return None if files or _bound(values) != self._for else self._prepared


def _bound(values: dict[str, Any]) -> dict[str, Any]:
    """A brief without what is free to change."""
    return {name: value for name, value in values.items() if name not in FREE}


def write_plan(plan: Plan, into: Path) -> None:
    """The sheets of a plan, put in their place by renaming."""
    from bedwright.export import sheet_data

    beside = into.with_name(f"{_beside(into)}{secrets.token_hex(4)}")
    beside.mkdir(parents=True)
    try:
        data, drawings = sheet_data(plan)
        for name, body in drawings.items():
            (beside / name).write_bytes(body)
        _write(beside / "sheets.json", data)
        drifts = drifts_of(plan)
        _write(beside / "drifts.json", drifts)
        _write(beside / "since.json", since(drifts, into))
        _write(beside / "left_out.json", left_out_of(plan))
        if into.exists():
            shutil.rmtree(into)
        os.replace(beside, into)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def write_files(plan: Plan, into: Path) -> None:
    """What can be taken away, and the bed as it looks in each fortnight: after the sheets, since
    nobody waits for them."""
    from bedwright.draw import bed_picture, caption
    from bedwright.export import write_sheets

    views = []
    for fortnight in range(26):
        name = f"view-{fortnight:02}.svg"
        (into / f".{name}").write_text(bed_picture(plan, fortnight).render(), encoding="utf-8")
        os.replace(into / f".{name}", into / name)
        views.append({"file": name, "caption": caption(plan, fortnight)})
    _write(into / "views.json", views)
    write_sheets(plan, into / "files")


VARIANTS = 3


def write_variants(plan: Plan, catalogue: Catalogue, into: Path) -> None:
    """Drawings of three plantings of a bed, each with what tells it from the others."""
    from dataclasses import replace

    from bedwright.draw import page_drawing
    from bedwright.plan import spent_on_ground
    from bedwright.planting import make_variants
    from bedwright.report import variant_measures

    laid = make_variants(
        plan.brief, plan.outline, catalogue, plan.courses, plan.light, plan.seed, VARIANTS,
        spent=spent_on_ground(plan.ground),
    )  # fmt: skip
    found = []
    for number, planting in enumerate(laid, start=1):
        made, name = replace(plan, planting=planting), f"variant-{number}.svg"
        (into / name).write_text(page_drawing(made).render(), encoding="utf-8")
        found.append({"file": name, "number": number, "measures": variant_measures(made)})
    _write(into / "variants.json", found)


def since(drifts: list[dict[str, Any]], into: Path) -> dict[str, Any] | None:
    """What is otherwise than in the plan before: kinds that came and went, and how many drifts hold
    something else; None where there is none before."""
    before = [path for path in into.parent.glob("[0-9]*") if path.name < into.name]
    if not before:
        return None
    latest = max(before)
    old = json.loads((latest / "drifts.json").read_text(encoding="utf-8"))

    def named(of: list[dict[str, Any]]) -> list[str]:
        return list(dict.fromkeys(f"{drift['name']}, {drift['colour']}" for drift in of))

    held = {(tuple(drift["at"]), drift["kind"], drift["colour"]) for drift in old}
    other = sum((tuple(d["at"]), d["kind"], d["colour"]) not in held for d in drifts)
    return {
        "revision": int(latest.name),
        "came": [name for name in named(drifts) if name not in named(old)],
        "went": [name for name in named(old) if name not in named(drifts)],
        "other": other,
    }


def sweep(into: Path) -> None:
    """Take away what a process that was ended had begun to write for a plan."""
    for left in into.parent.glob(f"{_beside(into)}*"):
        shutil.rmtree(left, ignore_errors=True)


def _beside(into: Path) -> str:
    """What the folder in which a plan is written is called, until it takes its place."""
    return f".{into.name}-"


def _write(path: Path, values: Any) -> None:
    path.write_text(json.dumps(values, ensure_ascii=False), encoding="utf-8")


def left_out_of(plan: Plan) -> dict[str, str]:
    """Of each kind that is not planted, by key, why not."""
    from bedwright.report import why_kind

    units, planting = plan.brief.units, plan.planting
    return {
        key: " ".join(why_kind(planting, key, plan.courses[key].kind.name, units))
        for key in planting.left_out
    }


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
