"""The process in which plans are worked out, so that the page answers meanwhile and a plan can be
stopped.

It is told what to work out, and tells how it goes on, through a pipe.  What it makes of a revision
takes its place in the bed's folder whole: ``sheets.json`` (what the sheets print), ``drifts.json``
(what is to be said of each drift), ``left_out.json`` (why kinds are not planted), ``since.json``
(what differs from the plan before) and the drawings; the views of every fortnight and the files to
download follow, unless another task comes first.
"""

from __future__ import annotations

import json
import secrets
import shutil
import signal
from collections.abc import Callable
from datetime import date
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from bedwright.store import MADE, put, slug

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    Patches = tuple[BaseGeometry, ...]

    from bedwright.catalogue import Catalogue
    from bedwright.facts import Fact
    from bedwright.plan import Begun, Plan, Prepared
    from bedwright.planting import FirstPlanting, SuitsDrift
    from bedwright.units import System

FILES = ("plan.json", "planting.svg", "planting.png", "calendar.ics", "supplies.csv", "plants.csv",
         "sheets.pdf")  # fmt: skip
"""What the gardener can download."""


class Task(NamedTuple):
    """A plan to be worked out: of which bed and revision, its brief, the folder of the files that
    it names, and where what is made of it goes; with ``variants``, three plantings side by side
    instead; with ``files``, what a plan that is there still lacks."""

    bed: str
    revision: int
    values: dict[str, Any]
    beside: Path
    into: Path
    variants: bool = False
    files: bool = False


class Told(NamedTuple):
    """What the worker tells of a task: a ``stage`` it begins, ``done``, the ``faults`` of its brief
    (field, given, accepted each) or why it ``cannot`` be carried out; and, last of all, that it is
    ``free`` for another."""

    bed: str
    revision: int
    what: Literal["stage", "done", "faults", "cannot", "free"]
    detail: Any = None


STOPPED = "stopped"
"""Why a task that the gardener stopped cannot be carried out."""


class LeftOffError(Exception):
    """A task is left off between two stages, since something else is wanted."""


def work(pipe: Connection) -> None:
    """Carry out tasks until the pipe closes; who hired the process ends it, not Ctrl-C.

    Whatever comes through the pipe meanwhile, another task or nothing (None), has the one in hand
    left off between two of its stages.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    from bedwright import api  # noqa: F401  so that the first task need not wait for it

    bench = Bench()
    while True:
        try:
            task: Task | None = pipe.recv()
        except EOFError:
            return
        if task is None:
            continue

        def tell(what: Any, detail: Any = None, task: Task = task) -> None:
            pipe.send(Told(task.bed, task.revision, what, detail))

        try:
            bench.carry_out(task, tell, pipe.poll)
        except BrokenPipeError:
            return
        except LeftOffError:
            pass
        except Exception as error:
            kind = type(error).__name__
            tell("cannot", f"a fault of the program, not of the bed: {kind}: {error}")
        tell("free")


FREE = frozenset({"title", "wishes", "changes", "paper", "currency", "prices"})
"""Tables and fields of a brief that neither the season nor the light depends on."""


class Bench:
    """Where plans are worked out: season and light of the last one lie ready for the next, and its
    planting as it was before changes were asked."""

    def __init__(self) -> None:
        self._for: dict[str, Any] = {}
        self._prepared: Prepared | None = None
        self._begun: Begun | None = None

    def carry_out(self, task: Task, tell: Any, wanted: Callable[[], bool] = lambda: False) -> None:
        """Work out a plan, put what is made of it in its place, and tell of it.  It is left off as
        soon as something else is ``wanted``: before its sheets are there it raises LeftOffError,
        and what lies ready by then is kept."""
        from bedwright.api import read_brief
        from bedwright.brief import BriefError
        from bedwright.facts import FactError
        from bedwright.plan import begin_plan, make_plan, prepare
        from bedwright.report import words_of_mistake

        tell("stage", "brief")
        try:
            inputs = read_brief(task.values, folder=task.beside, today=_day_of(task))
            parts: dict[str, Any] = {"brief": inputs.brief, "catalogue": inputs.catalogue}

            def progress(stage: str) -> None:
                if wanted():
                    raise LeftOffError
                tell("stage", stage)

            prepared = self._ready(task.values)
            if prepared is None:
                prepared = prepare(**parts, weather=inputs.weather, progress=progress)
                self._for, self._prepared = _bound(task.values), prepared
            begun = begin_plan(**parts, prepared=prepared, kept=self._begun, progress=progress)
            self._begun = begun
            plan = make_plan(**parts, weather=inputs.weather, begun=begun, progress=progress)
            if task.variants:
                progress("variants")
                write_variants(plan, begun.first, inputs.catalogue, task.into)
                tell("done")
                return
        except BriefError as error:
            tell("faults", [(fault.field, fault.given, fault.accepted) for fault in error.faults])
            return
        except FactError as error:
            tell("cannot", words_of_mistake(error, _units(task.values)))
            return
        if not (task.files and (task.into / MADE).is_file()):
            progress("sheets")
            write_plan(plan, begun.first.patches, task.into)
        tell("done")
        write_files(plan, task.into, wanted)

    def _ready(self, values: dict[str, Any]) -> Prepared | None:
        """What lies ready, if it is of a brief that differs in no more than FREE.

        Files that a brief names may have changed meanwhile: of such a brief nothing is kept.
        """
        files = "own_kinds" in values or "record" in values.get("place", {})
        return None if files or _bound(values) != self._for else self._prepared


def _day_of(task: Task) -> date:
    """The day from which the next growing year is counted: of files, that of their plan."""
    made = task.into / MADE
    if task.files and made.is_file():
        return date.fromisoformat(json.loads(made.read_text(encoding="utf-8"))["day"])
    return date.today()


def _units(values: dict[str, Any]) -> System:
    """The units in which a brief is answered."""
    return "us" if values.get("units") == "us" else "metric"


def _bound(values: dict[str, Any]) -> dict[str, Any]:
    """A brief without what is free to change, and the day, from which its year is counted."""
    bound = {name: value for name, value in values.items() if name not in FREE}
    return {**bound, "": date.today()}


def write_plan(plan: Plan, patches: Patches, into: Path) -> None:
    """The sheets of a plan, put in their place by renaming; ``patches``: its drifts as they were
    first cut."""
    from bedwright.export import sheet_data

    beside = into.with_name(f"{_beside(into)}{secrets.token_hex(4)}")
    beside.mkdir(parents=True)
    try:
        data, drawings = sheet_data(plan, pictures=False)
        for name, body in drawings.items():
            (beside / name).write_bytes(body)
        _write(beside / "sheets.json", data)
        drifts = drifts_of(plan, patches)
        _write(beside / "drifts.json", drifts)
        write_symbols(plan, drifts, beside)
        _write(beside / "since.json", since(drifts, into))
        _write(beside / "left_out.json", left_out_of(plan))
        _write(beside / MADE, {"day": date.today().isoformat()})
        if into.exists():
            shutil.rmtree(into)
        beside.replace(into)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def write_files(plan: Plan, into: Path, wanted: Callable[[], bool] = lambda: False) -> None:
    """What can be downloaded, and the bed as it looks in each fortnight: after the sheets, since
    nobody waits for them, and left off once something else is ``wanted``."""
    from bedwright.draw import bed_picture, caption
    from bedwright.export import write_sheets

    views = []
    for fortnight in range(26):
        if wanted():
            return
        name = f"view-{fortnight:02}.svg"
        if not (into / name).is_file():
            put(into / name, bed_picture(plan, fortnight).render().encode())
        views.append({"file": name, "caption": caption(plan, fortnight)})
    _write(into / "views.json", views)
    if not wanted():
        write_sheets(plan, into / "files")


VARIANTS = 3
THUMBNAIL_MM = (120.0, 120.0)
"""Room for the bed in the drawing of one of several plantings."""


def write_variants(plan: Plan, first: FirstPlanting, catalogue: Catalogue, into: Path) -> None:
    """Drawings of three plantings of a bed, each with what tells it from the others; ``first``: the
    one that is planned with, before changes."""
    from dataclasses import replace

    from bedwright.draw import best_scale, planting_drawing
    from bedwright.plan import spent_on_ground
    from bedwright.planting import make_variants
    from bedwright.report import variant_measures

    laid = make_variants(
        plan.brief, plan.outline, catalogue, plan.courses, plan.light, plan.seed, VARIANTS,
        spent=spent_on_ground(plan.ground), first=first,
    )  # fmt: skip
    found = []
    for number, planting in enumerate(laid, start=1):
        made, name = replace(plan, planting=planting), f"variant-{number}.svg"
        drawn = planting_drawing(made, best_scale(made, *THUMBNAIL_MM), key=False)
        put(into / name, drawn.render().encode())
        found.append({"file": name, "number": number, "measures": variant_measures(made)})
    _write(into / "variants.json", found)


ALIKE = 0.8
"""Share of a drift's ground, and of that of the same kind before, that they have in common where it
counts as unchanged."""


def since(drifts: list[dict[str, Any]], into: Path) -> dict[str, Any] | None:
    """What differs from the plan before: kinds that came and went, and the numbers of the
    drifts that hold something else or lie elsewhere; None where there is none before."""
    plans = [path.parent for path in into.parent.glob(f"[0-9]*/{MADE}")]
    before = [path for path in plans if path.name < into.name]
    if not before:
        return None
    latest = max(before)
    old = json.loads((latest / "drifts.json").read_text(encoding="utf-8"))

    def named(of: list[dict[str, Any]]) -> list[str]:
        return list(dict.fromkeys(f"{drift['name']}, {drift['colour']}" for drift in of))

    return {
        "revision": int(latest.name),
        "came": [name for name in named(drifts) if name not in named(old)],
        "went": [name for name in named(old) if name not in named(drifts)],
        "changed": [drift["number"] for drift in drifts if not _stood(drift, old)],
    }


def _stood(drift: dict[str, Any], old: list[dict[str, Any]]) -> bool:
    """Whether a drift stood before where it stands, of the same kind and colour."""
    ground = ground_of(drift)
    for one in old:
        if (one["kind"], one["colour"]) == (drift["kind"], drift["colour"]):
            before = ground_of(one)
            common = ground.intersection(before).area
            if common >= ALIKE * max(ground.area, before.area):
                return True
    return False


def ground_of(drift: dict[str, Any]) -> BaseGeometry:
    """A drift's ground, metres, from what is kept of it."""
    import shapely

    ground: BaseGeometry = shapely.from_wkt(drift["ground"])
    return ground


def _rivals(why: SuitsDrift) -> list[dict[str, Any]]:
    """The kinds that would suit a drift next best, each with what it would gain and lose."""
    from bedwright.report import rival_words

    return [
        {"kind": one.kind, "name": one.name, "colour": one.colour, "words": words._asdict(),
         "symbol": f"symbol-{slug(f'{one.kind} {one.colour}')}.svg"}
        for one, words in zip(why.rivals, rival_words(why), strict=True)
    ]  # fmt: skip


def write_symbols(plan: Plan, drifts: list[dict[str, Any]], folder: Path) -> None:
    """The symbol of each kind that would suit a drift next best."""
    from bedwright.draw import symbol_of

    for one in {one["symbol"]: one for drift in drifts for one in drift["rivals"]}.values():
        kind = plan.courses[one["kind"]].kind
        colour = next(colour for colour in kind.colours if colour.name == one["colour"])
        title = f"Symbol of {one['name']}, {one['colour']}"
        (folder / one["symbol"]).write_text(symbol_of(title, kind, colour).render(), "utf-8")


def asked_of(drifts: list[dict[str, Any]], spots: list[tuple[float, float]]) -> list[int | None]:
    """The number of the drift that each spot of a change means (metres), by the drifts as they were
    first cut; None where it lies in none of them."""
    import shapely

    from bedwright.planting import REACH_M

    cut = {one["number"]: shapely.from_wkt(one["cut"]) for one in drifts if one["cut"]}
    found: list[int | None] = []
    for at in spots:
        far = {number: ground.distance(shapely.Point(at)) for number, ground in cut.items()}
        nearest = min(far, key=lambda number: far[number], default=None)
        found.append(nearest if nearest is not None and far[nearest] <= REACH_M else None)
    return found


def sweep(into: Path) -> None:
    """Take away what a process that was ended had begun to write for a plan."""
    for left in into.parent.glob(f"{_beside(into)}*"):
        shutil.rmtree(left, ignore_errors=True)


def _beside(into: Path) -> str:
    """What the folder in which a plan is written is called, until it takes its place."""
    return f".{into.name}-"


def _write(path: Path, values: Any) -> None:
    put(path, json.dumps(values, ensure_ascii=False).encode())


def left_out_of(plan: Plan) -> dict[str, str]:
    """Of each kind that is not planted, by key, why not."""
    from bedwright.report import why_kind

    units, planting = plan.brief.units, plan.planting
    return {
        key: " ".join(why_kind(planting, key, plan.courses[key].kind.name, units))
        for key in planting.left_out
    }


def drifts_of(plan: Plan, patches: Patches) -> list[dict[str, Any]]:
    """Of each drift: what stands there and why, its ground, and what nearly stood there; ``spot``:
    inside the drift as it was first ``cut``, which is the one that changes mean; whether something
    is ``asked`` of it already."""
    import shapely

    from bedwright.planting import SuitsDrift
    from bedwright.report import height_here, say, why
    from bedwright.units import say_length

    units, out = plan.brief.units, []

    def why_here(reason: Fact | None) -> str:
        """Why it stands there; what might stand there instead is told by itself."""
        if isinstance(reason, SuitsDrift):
            return height_here(reason, units)
        return "" if reason is None else say(reason, units)

    for number, drift in enumerate(plan.planting.drifts):
        item = plan.planting.items[drift.item]
        at = drift.polygon.representative_point()
        cut = None if drift.patch is None else patches[drift.patch]
        spot = None if cut is None else cut.representative_point()
        out.append(
            {
                "number": number,
                "letter": item.letter,
                "kind": item.candidate.kind.key,
                "name": item.candidate.kind.name,
                "colour": item.candidate.colour.name,
                "plants": len(drift.places),
                "edging": drift.ribbon,
                "spot": None if spot is None else [f"{spot.x:.3f} m", f"{spot.y:.3f} m"],
                "cut": None if cut is None else shapely.to_wkt(cut, rounding_precision=3),
                "colours": [colour.name for colour in item.candidate.kind.colours],
                "ground": shapely.to_wkt(drift.polygon, rounding_precision=3),
                "where": f"{say_length(at.x, units)}, {say_length(at.y, units)}",
                "sun": f"{drift.sun_h:.1f}",
                "purpose": why(plan, item),
                "why": why_here(drift.why),
                "rivals": _rivals(drift.why) if isinstance(drift.why, SuitsDrift) else [],
            }
        )
    changes = plan.brief.changes
    asked = asked_of(out, [at for one in changes for at in (one.at, one.swap) if at])
    return [{**one, "asked": one["number"] in asked} for one in out]
