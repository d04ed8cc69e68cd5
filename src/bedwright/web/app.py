"""The page's addresses: the sheets to read, and the same actions as an API (``/openapi.json``)."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import date
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any

from fastapi import Depends, FastAPI, HTTPException, Request
from fastapi import Path as InPath
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import (
    FileResponse,
    RedirectResponse,
    Response,
    StreamingResponse,
)
from fastapi.staticfiles import StaticFiles
from pydantic import BaseModel, Field

from bedwright.web import beds as store
from bedwright.web.fields import NotAFieldError, at_path, field_of, put_at, typed, with_unit
from bedwright.web.guard import Guard, Keys
from bedwright.web.sheets import SHEETS, latest_plan, of_plan, pages, render
from bedwright.web.solver import Solver, TooManyError
from bedwright.web.starters import STARTERS, starter
from bedwright.web.worker import FILES, Task, Told

STATIC = Path(str(files("bedwright.web"))) / "static"
KEEP_ALIVE_S = 15.0
"""Seconds after which a line is sent to a browser that waits, so that neither end gives up."""

FILE_TRIES, FILE_WAIT_S = 60, 0.25
"""How often a file that is being written is looked for, and how long after each other."""

Number = Annotated[int, Field(ge=1, le=store.MOST_REVISIONS)]
BedKey = Annotated[str, InPath(pattern=r"^[a-z0-9-]{1,60}$")]


class Begin(BaseModel):
    """A new bed: where it lies, and a shape to begin with."""

    town: Annotated[str, Field(min_length=1, max_length=120)]
    shape: Annotated[str, Field(max_length=20)] = "oval island"
    title: Annotated[str, Field(max_length=120)] = ""
    units: Annotated[str, Field(pattern="^(metric|us)$")] = "metric"


class Import(BaseModel):
    """A brief's TOML."""

    toml: Annotated[str, Field(max_length=250_000)]


class Setting(BaseModel):
    """A field of the brief and what is to stand in it: ``text`` as typed, or a ``value`` as TOML
    has it; neither takes it out."""

    path: Annotated[str, Field(max_length=120)]
    text: Annotated[str, Field(max_length=2000)] | None = None
    value: Any = None


class Changes(BaseModel):
    """Fields to change, the revision they are changed on, and what is to be said of it."""

    on: Number
    settings: Annotated[list[Setting], Field(min_length=1, max_length=200)]
    said: Annotated[str, Field(max_length=300)] = ""


class On(BaseModel):
    """The revision that an action is meant for."""

    on: Number


def bed_of(request: Request, bed: BedKey) -> store.Bed:
    """The bed that an address names."""
    kept: store.Beds = request.app.state.beds
    try:
        return kept.one(bed)
    except store.NoSuchBedError:
        raise HTTPException(404, "There is no such bed.") from None


Kept = Annotated[store.Bed, Depends(bed_of)]


def create_app(folder: Path, keys: Keys, hosts: frozenset[str]) -> FastAPI:
    """The page of the beds in a folder; ``hosts`` as ``Guard`` has them."""
    kept, solver = store.Beds(folder), Solver()

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        solver.start(asyncio.get_running_loop())
        yield
        solver.close()

    app = FastAPI(title="Bedwright", lifespan=lifespan, docs_url=None, redoc_url=None)
    app.state.beds = kept
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    app.add_middleware(Guard, keys=keys, hosts=hosts)

    # --- to read

    @app.get("/", include_in_schema=False)
    def shelf() -> Response:
        return render("shelf.html", token=keys.token, beds=pages(kept), starters=list(STARTERS))

    @app.get("/beds/{bed}", include_in_schema=False)
    def first_sheet(bed: Kept) -> Response:
        return RedirectResponse(f"/beds/{bed.key}/site", 303)

    @app.get("/beds/{bed}/{sheet}", include_in_schema=False)
    def sheet(bed: Kept, sheet: str) -> Response:
        if sheet not in SHEETS:
            raise HTTPException(404, "There is no such sheet.")
        return render(
            f"{sheet}.html", token=keys.token, **SHEETS[sheet].context(bed, solver.how_far(bed.key))
        )

    @app.get("/beds/{bed}/plans/{number}/{name}", include_in_schema=False)
    async def plan_file(bed: Kept, number: Number, name: str) -> Response:
        folder = bed.plan_folder(number)
        for _ in range(FILE_TRIES):  # files to take away follow the sheets
            if name not in FILES or not folder.is_dir() or (folder / "files" / name).is_file():
                break
            await asyncio.sleep(FILE_WAIT_S)
        names = {path.name: path for path in folder.glob("*.svg")}
        names |= {path.name: path for path in (folder / "files").glob("*") if path.name in FILES}
        if name not in names or not names[name].resolve().is_relative_to(bed.folder):
            raise HTTPException(404, "There is no such file.")
        down = name in FILES
        return FileResponse(
            names[name],
            filename=f"{bed.key}-{name}" if down else None,
            headers={"cache-control": "private, max-age=31536000, immutable"},
        )

    # --- to change

    def new_bed(values: store.Values, said: str) -> dict[str, Any]:
        try:
            bed = kept.new(values, said)
        except store.FullError as error:
            raise HTTPException(507, f"No room for another bed: {error}.") from None
        return {"bed": bed.key, "on": bed.now}

    @app.post("/api/beds", status_code=201)
    async def begin(asked: Begin) -> dict[str, Any]:
        """Begin a bed with a starting shape."""
        if asked.shape not in STARTERS:
            raise HTTPException(422, f"A shape is one of: {', '.join(STARTERS)}.")
        values = starter(asked.shape, asked.town, asked.title, asked.units)
        faults = await run_in_threadpool(faults_of, values, kept.folder)
        if faults:
            raise HTTPException(422, faults)
        values["place"]["town"] = await run_in_threadpool(whole_name, values["place"]["town"])
        return new_bed(values, f"Begun as {asked.shape}")

    @app.post("/api/briefs", status_code=201)
    async def take_in(asked: Import) -> dict[str, Any]:
        """Begin a bed from a brief's TOML."""
        from bedwright.brief import BriefError, parse_toml

        try:
            values = store.plain(parse_toml(asked.toml, "brief"))
        except BriefError as error:
            raise HTTPException(422, listed(error)) from None
        faults = await run_in_threadpool(faults_of, values, kept.folder)
        if faults:
            raise HTTPException(422, faults)
        return new_bed(values, "Taken in from a brief")

    @app.get("/api/beds/{bed}")
    def brief(bed: Kept) -> dict[str, Any]:
        """The brief in force, its revision, and whether its plan is worked out."""
        on = bed.now
        return {"on": on, "brief": bed.values(on), "planned": bed.plan_folder(on).is_dir()}

    @app.get("/api/beds/{bed}/outline")
    async def outline(bed: Kept) -> dict[str, Any]:
        """The bed's outline: points once round, metres, in its own frame."""
        return {"edge": await run_in_threadpool(edge_of, bed.values())}

    @app.get("/api/beds/{bed}/brief.toml")
    def brief_toml(bed: Kept) -> Response:
        """The brief in force as TOML."""
        name = f'attachment; filename="{bed.key}.toml"'
        return Response(
            bed.toml(), media_type="application/toml", headers={"content-disposition": name}
        )

    @app.get("/api/beds/{bed}/revisions")
    def revisions(bed: Kept) -> list[store.Revision]:
        """Every revision, in the order in which they were made."""
        return bed.revisions

    @app.post("/api/beds/{bed}/changes")
    async def change(bed: Kept, asked: Changes) -> dict[str, Any]:
        """Change fields of the brief: a new revision, unless something is at fault."""
        try:
            values = bed.values(asked.on)
            for setting in asked.settings:
                put_at(values, setting.path, value_of(setting, values))
        except store.NoSuchBedError:
            raise HTTPException(404, "There is no such revision.") from None
        except NotAFieldError as error:
            raise HTTPException(422, f"The brief has no field {error}.") from None
        faults = await run_in_threadpool(faults_of, values, kept.folder)
        if faults:
            raise HTTPException(422, faults)
        said = asked.said or said_of(bed.values(asked.on), asked.settings)
        return moved(bed, lambda: bed.change(asked.on, values, said))

    @app.post("/api/beds/{bed}/undo")
    def undo(bed: Kept, asked: On) -> dict[str, Any]:
        """Go back to the revision before."""
        return moved(bed, lambda: bed.undo(asked.on))

    @app.post("/api/beds/{bed}/redo")
    def redo(bed: Kept, asked: On) -> dict[str, Any]:
        """Go on to the revision that was undone."""
        return moved(bed, lambda: bed.redo(asked.on))

    @app.post("/api/beds/{bed}/revisions/{number}")
    def go_back(bed: Kept, number: Number, asked: On) -> dict[str, Any]:
        """Put an earlier revision in force again, as a new one."""
        try:
            values = bed.values(number)
        except store.NoSuchBedError:
            raise HTTPException(404, "There is no such revision.") from None
        return moved(bed, lambda: bed.change(asked.on, values, f"As revision {number} again"))

    # --- to work out

    @app.post("/api/beds/{bed}/plan", status_code=202)
    def work_out(bed: Kept, asked: On) -> dict[str, Any]:
        """Have the plan of a revision worked out, unless it is."""
        if bed.plan_folder(asked.on).is_dir():
            return {"on": asked.on, "planned": True}
        try:
            values = bed.values(asked.on)
            solver.ask(Task(bed.key, asked.on, values, kept.folder, bed.plan_folder(asked.on)))
        except store.NoSuchBedError:
            raise HTTPException(404, "There is no such revision.") from None
        except TooManyError:
            raise HTTPException(429, "Too many plans are waiting; stop one of them.") from None
        return {"on": asked.on, "planned": False}

    @app.post("/api/beds/{bed}/variants", status_code=202)
    def lay_variants(bed: Kept, asked: On) -> dict[str, Any]:
        """Have three plantings of a revision laid side by side, once its plan is worked out."""
        folder = bed.plan_folder(asked.on)
        if not folder.is_dir():
            raise HTTPException(409, "Work out the plan of this revision first.")
        try:
            solver.ask(Task(bed.key, asked.on, bed.values(asked.on), kept.folder, folder, True))
        except TooManyError:
            raise HTTPException(429, "Too many plans are waiting; stop one of them.") from None
        return {"on": asked.on}

    @app.get("/api/beds/{bed}/why-not")
    async def why_not(
        bed: Kept, kind: Annotated[str, Field(min_length=1, max_length=60)]
    ) -> dict[str, str]:
        """Why a kind is not in the latest plan, or that it is."""
        return {"words": await run_in_threadpool(words_why_not, bed, kind)}

    @app.delete("/api/beds/{bed}/plan")
    def stop(bed: Kept) -> dict[str, Any]:
        """Stop working out a plan."""
        solver.stop(bed.key)
        return {"on": bed.now}

    @app.get("/api/beds/{bed}/progress")
    async def progress(bed: Kept) -> Response:
        """How a plan goes on, as server-sent events."""
        return StreamingResponse(events(solver, bed.key), media_type="text/event-stream")

    @app.get("/api/kinds")
    def kinds() -> list[str]:
        """The names of the kinds that the catalogue has."""
        from bedwright.catalogue import load_catalogue

        return sorted({kind.name for kind in load_catalogue()}, key=str.lower)

    @app.get("/api/towns")
    def towns(q: Annotated[str, Field(max_length=120)] = "") -> list[str]:
        """Towns whose names begin like this, those of most people first."""
        from bedwright.climate import towns_like

        return [town.label for town in towns_like(q)]

    return app


def edge_of(values: store.Values) -> list[tuple[float, float]]:
    """Points of a bed's outline."""
    from bedwright.brief import read_brief
    from bedwright.geometry import outline_of

    ring = outline_of(read_brief(values).bed).polygon.exterior.coords
    return [(round(x, 4), round(y, 4)) for x, y in ring[:-1]]


def whole_name(town: str) -> str:
    """A town's name with its country, where that finds the same town."""
    from bedwright.climate import TownNotFoundError, find_town

    found = find_town(town)[0]
    try:
        return found.label if find_town(found.label)[0] == found else town
    except TownNotFoundError:
        return town


def words_why_not(bed: store.Bed, name: str) -> str:
    """Why a kind is not in a bed's latest plan."""
    from bedwright.catalogue import load_catalogue

    planned = latest_plan(bed, bed.now)
    if planned is None:
        return "The plan is not worked out yet."
    kind = load_catalogue().find(name)
    if kind is None:
        return f"The catalogue has no kind called '{name}'."
    left_out = of_plan(bed, planned, "left_out.json") or {}
    return str(left_out.get(kind.key) or f"{kind.name} is in the plan.")


async def events(solver: Solver, bed: str) -> AsyncIterator[str]:
    """What is told of a bed's plan, as it is told."""
    queue = solver.listen(bed)
    try:
        now = solver.how_far(bed)
        if now is not None:
            yield event_of(now)
        while True:
            try:
                yield event_of(await asyncio.wait_for(queue.get(), KEEP_ALIVE_S))
            except TimeoutError:
                yield ": still here\n\n"
    finally:
        solver.leave(bed, queue)


def event_of(told: Told) -> str:
    """One server-sent event."""
    body = {"on": told.revision, "what": told.what, "detail": told.detail}
    return f"data: {json.dumps(body)}\n\n"


def value_of(setting: Setting, brief: store.Values) -> Any:
    """The value that a setting puts into a brief."""
    field = field_of(setting.path)
    if setting.text is None:
        return setting.value
    text = with_unit(setting.path, setting.text.strip(), str(brief.get("units", "metric")))
    if field is None:
        return {"yes": True, "no": False, "": None}.get(text.lower(), text)
    return typed(field, text)


def said_of(before: store.Values, settings: list[Setting]) -> str:
    """A change in words: ``Dug to: 25 cm, not 20 cm``."""
    from bedwright.web.fields import shown

    words = []
    for setting in settings[:3]:
        field, had = field_of(setting.path), at_path(before, setting.path)
        label = field.label if field else label_of(before, setting.path)
        given = value_of(setting, before)
        now = "taken out" if given is None else shown(given)
        words.append(f"{label}: {now}" + ("" if had is None else f", not {shown(had)}"))
    more = len(settings) - 3
    return "; ".join(words) + (f"; and {more} more" if more > 0 else "")


def label_of(brief: store.Values, path: str) -> str:
    """What a path of a brief is called: ``house: width`` of what stands around."""
    table, _, part = path.rpartition(".")
    thing = at_path(brief, table) if table else None
    name = ""
    if isinstance(thing, dict):
        name = str(thing.get("name") or thing.get("kind") or "")
    words = (part or path).replace("_", " ")
    if not name and path.startswith("surroundings."):
        return "What stands around"
    return f"{name}: {words}" if name else path.replace(".", " ").replace("_", " ")


def moved(bed: store.Bed, move: Any) -> dict[str, Any]:
    """The revision in force after a move.  Raises HTTPException where another came first."""
    try:
        on = move()
    except store.ChangedSinceError as error:
        said = next(r.said for r in bed.revisions if r.number == error.now)
        raise HTTPException(
            409, f"The bed was changed meanwhile ({said}): load the page anew to see it."
        ) from None
    except store.FullError as error:
        raise HTTPException(507, str(error)) from None
    return {"on": on, "planned": bed.plan_folder(on).is_dir()}


def faults_of(values: store.Values, folder: Path) -> list[dict[str, str]]:
    """What is wrong with a brief."""
    from bedwright.brief import BriefError
    from bedwright.catalogue import load_catalogue
    from bedwright.inputs import gather_values

    try:
        gather_values(values, folder, load_catalogue(), date.today())
    except BriefError as error:
        return listed(error)
    return []


def listed(error: Any) -> list[dict[str, str]]:
    """Faults as the page takes them."""
    return [{"field": f.field, "given": f.given, "accepted": f.accepted} for f in error.faults]
