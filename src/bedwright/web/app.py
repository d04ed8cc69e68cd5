"""The page's addresses: the sheets to read, and the same actions as an API (``/openapi.json``)."""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any

from fastapi import FastAPI, HTTPException, Request
from fastapi import Path as InPath
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import (
    FileResponse,
    JSONResponse,
    RedirectResponse,
    Response,
    StreamingResponse,
)
from fastapi.staticfiles import StaticFiles
from pydantic import Field

from bedwright import store
from bedwright.web import both, entries, photos, records
from bedwright.web.argue import ArgueError, argued
from bedwright.web.asked import (
    Apart,
    Argue,
    Begin,
    ByPegs,
    Changes,
    Import,
    NewPeg,
    NewThing,
    Number,
    On,
    Sketch,
    Units,
    brief_in,
    changed,
    fault_at,
    faults_of,
    files_away,
    listed,
    said_of,
)
from bedwright.web.fields import PEGS, NotAFieldError
from bedwright.web.guard import Door, Guard, KeyDoor, Keys
from bedwright.web.kept import BedKey, Kept
from bedwright.web.login import door_of, for_visitor, router_of
from bedwright.web.share import Share
from bedwright.web.sheets import SHEETS, STAGE_WORDS, latest_plan, of_plan, pages, render
from bedwright.web.solver import Solver, TooManyError
from bedwright.web.starters import STARTERS, starter, thing
from bedwright.web.sun import SunMaps
from bedwright.web.week import Weeks
from bedwright.web.week import router as week_router
from bedwright.web.worker import FILES, Task, Told, asked_of

STATIC = Path(str(files("bedwright.web"))) / "static"
KEEP_ALIVE_S = 15.0
"""Seconds after which a line is sent to a browser that waits, so that neither end gives up."""

LARGER = {
    re.compile(r"/api/beds/[^/]+/photos"): store.MOST_PHOTO,
    re.compile(r"/api/beds/[^/]+/record"): records.MOST_RECORD,
}
"""Bytes that may be sent to addresses of files."""

FILE_TRIES, FILE_WAIT_S = 240, 0.25
"""How often a file that is being written is looked for, and how long after each other."""


def create_app(
    folder: Path, keys: Keys, hosts: frozenset[str], share: Share | None = None
) -> FastAPI:
    """The page of the beds in a folder, for those with the key, who ask it by ``hosts``, and for
    those with the password where it is shared."""
    kept, solver = store.Beds(folder), Solver()
    suns, weeks = SunMaps(kept.folder), Weeks()

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        solver.start(asyncio.get_running_loop())
        yield
        solver.close()
        weeks.close()
        kept.close()

    app = FastAPI(title="Bedwright", lifespan=lifespan, docs_url=None, redoc_url=None)

    @app.exception_handler(TooManyError)
    def too_many(request: Request, error: Exception) -> Response:
        words = "Too many plans are waiting; stop one of them."
        return JSONResponse({"detail": words}, 429)

    @app.exception_handler(store.StoreError)
    def not_kept(request: Request, error: Exception) -> Response:
        return JSONResponse({"detail": str(error)}, 503)

    app.state.beds, app.state.solver, app.state.weeks = kept, solver, weeks
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    doors: list[Door] = [KeyDoor(keys, hosts), *([door_of(share)] if share else [])]
    app.add_middleware(Guard, doors=doors, larger=LARGER)
    app.include_router(entries.router)
    app.include_router(photos.router)
    app.include_router(records.router)
    app.include_router(week_router)
    app.include_router(router_of(share))

    # --- to read

    @app.get("/", include_in_schema=False)
    def shelf(request: Request) -> Response:
        beds = {"beds": pages(kept.all()), "away": pages(kept.away)}
        return render("shelf.html", starters=list(STARTERS), **beds, **for_visitor(request))

    @app.get("/beds/{bed}", include_in_schema=False)
    def first_sheet(bed: Kept) -> Response:
        return RedirectResponse(f"/beds/{bed.key}/site", 303)

    @app.get("/beds/{bed}/{sheet}", include_in_schema=False)
    def sheet(request: Request, bed: Kept, sheet: str, over: Number | None = None) -> Response:
        if sheet not in SHEETS:
            raise HTTPException(404, "There is no such sheet.")
        context = SHEETS[sheet].context(bed, solver.how_far(bed.key), over)
        return render(f"{sheet}.html", **context, **for_visitor(request))

    @app.get("/beds/{bed}/plans/{number}/{name}", include_in_schema=False)
    async def plan_file(bed: Kept, number: Number, name: str) -> Response:
        folder = bed.plan_folder(number)
        down = name in FILES
        path = folder / "files" / name if down else folder / name
        if down:
            await files_made(bed, number, path)
        whole = path.is_file() and path.resolve().is_relative_to(bed.folder)
        if not whole or not (down or path.suffix == ".svg") or Path(name).name != name:
            raise HTTPException(404, "There is no such file.")
        return FileResponse(
            path,
            filename=f"{bed.key}-{name}" if down else None,
            headers={"cache-control": "private, max-age=31536000, immutable"},
        )

    async def files_made(bed: store.Bed, number: int, path: Path) -> None:
        """Wait for a file of a plan, which follows its sheets; where none is on its way, because
        the program was ended meanwhile, have it made."""
        asked = False
        for _ in range(FILE_TRIES):
            if path.exists() or not bed.has_plan(number):
                return
            if not solver.busy(bed.key):
                if asked:
                    return
                asked = True
                ask_for(bed, number, files=True)
            await asyncio.sleep(FILE_WAIT_S)
        raise HTTPException(503, "It is still being made: ask again in a moment.")

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
        await sound(values)
        values["place"]["town"] = await run_in_threadpool(whole_name, values["place"]["town"])
        return new_bed(values, f"Begun as {asked.shape}")

    @app.post("/api/briefs", status_code=201)
    async def take_in(asked: Import) -> dict[str, Any]:
        """Begin a bed from a brief's TOML."""
        from bedwright.brief import BriefError

        try:
            values = brief_in(asked.toml)
        except BriefError as error:
            raise HTTPException(422, listed(error, {})) from None
        await sound(values)
        return new_bed(values, "Begun from a brief's file")

    @app.get("/api/beds/{bed}")
    async def brief(bed: Kept) -> dict[str, Any]:
        """The brief in force, its revision, whether its plan is worked out; and the bed and what
        stands around it, measured in metres and degrees."""
        from bedwright.web.measured import measured

        on = bed.now
        values = bed.values(on)
        planned = bed.has_plan(on)
        found = await run_in_threadpool(measured, values)
        return {"on": on, "brief": values, "planned": planned, "measured": found}

    @app.delete("/api/beds/{bed}")
    def put_away(bed: Kept) -> dict[str, Any]:
        """Put a bed away: it leaves the list, and can be put back."""
        solver.end(bed.key)
        kept.put_away(bed.key)
        return {"bed": bed.key}

    @app.post("/api/away/{bed}")
    def put_back(bed: BedKey) -> dict[str, Any]:
        """Put a bed back that was put away."""
        try:
            found = kept.put_back(bed)
        except store.NoSuchBedError:
            raise HTTPException(404, "There is no such bed.") from None
        except store.FullError as error:
            raise HTTPException(507, f"No room for another bed: {error}.") from None
        return {"bed": found.key, "on": found.now}

    @app.post("/api/beds/{bed}/sun")
    async def sun(bed: Kept, asked: Sketch) -> dict[str, Any]:
        """Hours of direct sun on the bed in a month, as it would be with some fields changed;
        nothing is kept."""
        values = altered(bed.values(), asked.settings)
        if away := files_away(values, kept.folder):
            raise HTTPException(422, away)
        return await run_in_threadpool(fitted, values, lambda: suns.of(values, asked.month))

    @app.get("/api/length")
    def length(
        text: Annotated[str, Field(max_length=40)], units: Units = "metric"
    ) -> dict[str, Any]:
        """A length as it was typed, metres."""
        from bedwright.units import LENGTH, UnitError, parse
        from bedwright.web.fields import with_unit

        try:
            return {"m": parse(with_unit("length", text.strip(), units), LENGTH)}
        except UnitError as error:
            raise HTTPException(422, [fault_at("length", repr(text), error.accepted, {})]) from None

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
        before = revision(bed, asked.on)
        values = altered(before, asked.settings)
        return await put(bed, asked.on, values, asked.said or said_of(before, asked.settings))

    @app.post("/api/beds/{bed}/pegs")
    async def new_peg(bed: Kept, asked: NewPeg) -> dict[str, Any]:
        """Set one more peg: where two tapes meet, or in the longest gap of the line."""
        from bedwright.web.measured import by_two_tapes, with_peg

        values = revision(bed, asked.on)
        if PEGS.get(values["bed"]["shape"], "none") not in values["bed"]:
            raise HTTPException(409, "The bed is not set out by pegs.")

        def made() -> Any:
            if asked.tapes is None:
                return with_peg(values)
            pegs, lengths, left = asked.tapes.pegs, asked.tapes.lengths, asked.tapes.left
            return with_peg(values, by_two_tapes(values, pegs, lengths, left))

        table = await run_in_threadpool(fitted, values, made)
        said = "A peg added" if asked.tapes is None else "A peg set by two tapes"
        return await put(bed, asked.on, {**values, "bed": table}, said)

    @app.post("/api/beds/{bed}/pegs/{number}/distance")
    async def apart(
        bed: Kept, number: Annotated[int, InPath(ge=1, le=100)], asked: Apart
    ) -> dict[str, Any]:
        """Have the next peg after one, counted from 1, stand so far from it: the next one moves."""
        from bedwright.web.measured import with_distance

        values = revision(bed, asked.on)
        check_peg(values, number)
        table = await run_in_threadpool(
            fitted, values, lambda: with_distance(values, number, asked.length)
        )
        after = number % len(values["bed"][PEGS[values["bed"]["shape"]]]) + 1
        said = f"From peg {number} to peg {after}: {asked.length.strip()}"
        return await put(bed, asked.on, {**values, "bed": table}, said)

    @app.delete("/api/beds/{bed}/pegs/{number}")
    async def no_peg(
        bed: Kept, number: Annotated[int, InPath(ge=1, le=100)], on: Number
    ) -> dict[str, Any]:
        """Take out a peg, counted from 1."""
        from bedwright.web.measured import without_peg

        values = revision(bed, on)
        check_peg(values, number)
        return await put(
            bed, on, {**values, "bed": without_peg(values, number)}, f"Peg {number} taken out"
        )

    @app.post("/api/beds/{bed}/outline")
    async def set_out(bed: Kept, asked: ByPegs) -> dict[str, Any]:
        """Set the bed out by pegs, with a smooth line through them or straight lines between."""
        from bedwright.web.measured import by_pegs

        values = revision(bed, asked.on)
        table = await run_in_threadpool(fitted, values, lambda: by_pegs(values, asked.smooth))
        said = "A smooth line through pegs" if asked.smooth else "Straight lines between pegs"
        return await put(bed, asked.on, {**values, "bed": table}, said)

    @app.post("/api/beds/{bed}/things")
    async def new_thing(bed: Kept, asked: NewThing) -> dict[str, Any]:
        """Put a house, wall, fence, hedge, tree or shrub by the bed, to be measured."""
        from bedwright.web.measured import reach_m

        values = revision(bed, asked.on)
        had = values.get("surroundings", [])
        reach = await run_in_threadpool(fitted, values, lambda: reach_m(values))
        made = thing(asked.kind, str(values.get("units", "metric")), len(had), reach)
        after = {**values, "surroundings": [*had, made]}
        return await put(bed, asked.on, after, f"A {asked.kind} added")

    @app.post("/api/beds/{bed}/drifts/{number}")
    async def argue(
        bed: Kept, number: Annotated[int, InPath(ge=0, le=999)], asked: Argue
    ) -> dict[str, Any]:
        """Ask something of a drift: to keep it, to plant another kind there, and so on."""
        values = revision(bed, asked.on)
        shown = latest_plan(bed, asked.on)
        drifts = {one["number"]: one for one in of_plan(bed, shown, "drifts.json") or ()}
        if shown is None or number not in drifts:
            raise HTTPException(404, "There is no such drift in the plan.")
        if asked.act != "never" and unlike(values, bed.values(shown)):
            raise HTTPException(
                409, "The plan shown is of an earlier bed: wait until the present one is planned."
            )
        had = await run_in_threadpool(fitted, values, lambda: meant(values, drifts))
        other = None if asked.number is None else drifts.get(asked.number)
        try:
            after, said = argued(
                values,
                drifts[number],
                had[number],
                asked.act,
                asked.kind,
                asked.colour,
                other,
                () if other is None else had[other["number"]],
                [one for one in drifts.values() if one["edging"]],
            )
        except ArgueError as error:
            raise HTTPException(409, str(error)) from None
        return await put(bed, asked.on, after, said)

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
        revision(bed, asked.on)
        return changed_to(bed, asked.on, revision(bed, number), f"As revision {number} again")

    @app.post("/api/beds/{bed}/merge")
    async def put_together(bed: Kept, asked: both.Merge) -> dict[str, Any]:
        """Put a brief on top of the one that came into force meanwhile, or in its place: what a
        change asked for that was answered by 409, whose answer holds both."""
        for number in (asked.base, asked.on):
            revision(bed, number)
        values, said = await run_in_threadpool(both.put_together, bed, asked)
        return await put(bed, asked.on, values, said)

    async def sound(values: store.Values) -> None:
        """Raises HTTPException where a brief is at fault."""
        faults = await run_in_threadpool(faults_of, values, kept.folder)
        if faults:
            raise HTTPException(422, faults)

    async def put(bed: store.Bed, on: int, values: store.Values, said: str) -> dict[str, Any]:
        """Put a changed brief in force, unless it is at fault.  Raises HTTPException with both
        where another change came first."""
        await sound(values)
        return await run_in_threadpool(changed_to, bed, on, values, said)

    def changed_to(bed: store.Bed, on: int, values: store.Values, said: str) -> dict[str, Any]:
        def move() -> int:
            try:
                return both.change(bed, on, values, said)
            except store.ChangedSinceError as error:
                raise HTTPException(409, both.both(bed, on, error.now, values, said)) from None

        return moved(bed, move)

    def moved(bed: store.Bed, move: Callable[[], int]) -> dict[str, Any]:
        """The revision in force after a move; where the bed has been planned before, its plan is
        asked for.  Raises HTTPException where another change came first."""
        try:
            on = move()
        except store.ChangedSinceError as error:
            said = next(r.said for r in bed.revisions if r.number == error.now)
            raise HTTPException(
                409, f"The bed was changed meanwhile ({said}): load the page again to see it."
            ) from None
        except store.FullError as error:
            raise HTTPException(507, str(error)) from None
        planned = bed.has_plan(on)
        if planned:
            solver.stop(bed.key)
        elif latest_plan(bed, on) is not None:
            # The change is kept, whether or not there is room in the line for its plan.
            with suppress(TooManyError):
                ask_for(bed, on)
        return {"on": on, "planned": planned}

    def ask_for(bed: store.Bed, number: int, variants: bool = False, files: bool = False) -> None:
        """Have the plan of a revision worked out.  Raises TooManyError."""
        into = bed.plan_folder(number)
        values = revision(bed, number)
        solver.ask(Task(bed.key, number, values, kept.folder, into, variants, files))

    # --- to work out

    @app.post("/api/beds/{bed}/plan", status_code=202)
    def work_out(bed: Kept, asked: On) -> dict[str, Any]:
        """Have the plan of a revision worked out, unless it is."""
        planned = bed.has_plan(asked.on)
        if not planned:
            ask_for(bed, asked.on)
        return {"on": asked.on, "planned": planned}

    @app.post("/api/beds/{bed}/variants", status_code=202)
    def lay_variants(bed: Kept, asked: On) -> dict[str, Any]:
        """Have three plantings of a revision laid side by side, once its plan is worked out."""
        if not bed.has_plan(asked.on):
            raise HTTPException(409, "Work out the plan of this revision first.")
        ask_for(bed, asked.on, variants=True)
        return {"on": asked.on}

    @app.get("/api/beds/{bed}/why-not")
    async def why_not(
        bed: Kept, kind: Annotated[str, Field(min_length=1, max_length=60)]
    ) -> dict[str, str]:
        """Why a kind is not in the latest plan, or that it is."""
        return {"words": await run_in_threadpool(words_why_not, bed, kind)}

    @app.get("/api/beds/{bed}/views")
    async def views(bed: Kept) -> list[dict[str, str]]:
        """The pictures of the latest plan by the fortnight, once they are drawn: the file and
        caption of each."""
        planned = latest_plan(bed, bed.now)
        if planned is not None:
            await files_made(bed, planned, bed.plan_folder(planned) / "views.json")
        found = of_plan(bed, planned, "views.json")
        if found is None:
            raise HTTPException(409, "There are no pictures of a plan yet.")
        return list(found)

    @app.delete("/api/beds/{bed}/plan")
    def stop(bed: Kept) -> dict[str, Any]:
        """Stop working out a plan."""
        solver.stop(bed.key)
        return {"on": bed.now}

    @app.get("/api/beds/{bed}/progress")
    async def progress(bed: Kept) -> Response:
        """How a plan goes on, as server-sent events."""
        return StreamingResponse(events(solver, bed.key), media_type="text/event-stream")

    @app.get("/api/beds/{bed}/kinds")
    async def kinds(bed: Kept) -> list[str]:
        """The names of the kinds that can be planted: the catalogue's and the gardener's own."""
        found = await run_in_threadpool(catalogue_for, bed)
        return sorted({kind.name for kind in found}, key=str.lower)

    @app.get("/api/towns")
    def towns(q: Annotated[str, Field(max_length=120)] = "") -> list[str]:
        """Towns whose names begin like this, those of most people first."""
        from bedwright.climate import towns_like

        return [town.label for town in towns_like(q)]

    return app


def revision(bed: store.Bed, number: int) -> store.Values:
    """The brief of a revision.  Raises HTTPException where there is none."""
    try:
        return bed.values(number)
    except store.NoSuchBedError:
        raise HTTPException(404, "There is no such revision.") from None


def check_peg(values: store.Values, number: int) -> None:
    """Raises HTTPException where a brief's bed has no peg of a number, counted from 1."""
    pegs = values["bed"].get(PEGS.get(values["bed"]["shape"], "none"))
    if pegs is None:
        raise HTTPException(409, "The bed is not set out by pegs.")
    if number > len(pegs):
        raise HTTPException(404, "There is no such peg.")


def unlike(values: store.Values, others: store.Values) -> bool:
    """Whether two briefs differ in more than the changes asked of their drifts."""
    one, two = ({**given, "changes": None} for given in (values, others))
    return one != two


def meant(values: store.Values, drifts: dict[int, Any]) -> dict[int, list[int]]:
    """The changes of a brief, counted from 0, that are meant for each drift.  Raises BriefError."""
    from bedwright.brief import read_brief

    changes = read_brief(values).changes
    spots = [(n, at) for n, one in enumerate(changes) for at in (one.at, one.swap) if at]
    found = asked_of(list(drifts.values()), [at for _, at in spots])
    return {
        number: [n for (n, _), one in zip(spots, found, strict=True) if one == number]
        for number in drifts
    }


def altered(values: store.Values, settings: Any) -> store.Values:
    """A brief with settings made.  Raises HTTPException where one is no field's."""
    try:
        return changed(values, settings)
    except NotAFieldError as error:
        raise HTTPException(422, f"The brief has no field {error}.") from None


def fitted(values: store.Values, work: Callable[[], Any]) -> Any:
    """What is worked out from a brief.  Raises HTTPException where that is at fault."""
    from bedwright.brief import BriefError
    from bedwright.facts import FactError
    from bedwright.report import words_of_mistake
    from bedwright.units import UnitError
    from bedwright.web.measured import TapesError

    try:
        return work()
    except BriefError as error:
        raise HTTPException(422, listed(error, values)) from None
    except UnitError as error:
        raise HTTPException(
            422, [fault_at("length", repr(error.given)[:200], error.accepted, values)]
        ) from None
    except FactError as error:
        units: Any = "us" if values.get("units") == "us" else "metric"
        raise HTTPException(422, words_of_mistake(error, units)) from None
    except TapesError as error:
        raise HTTPException(422, str(error)) from None


def catalogue_for(bed: store.Bed) -> Any:
    """The catalogue from which a bed is planted, with the gardener's own kinds."""
    from bedwright.brief import BriefError
    from bedwright.catalogue import load_catalogue
    from bedwright.inputs import own_catalogue

    catalogue, own = load_catalogue(), bed.values().get("own_kinds")
    if not isinstance(own, str):
        return catalogue
    try:
        return own_catalogue(catalogue, bed.folder.parent / own)
    except BriefError:
        return catalogue  # the file has changed since; the plan will say so


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
    planned = latest_plan(bed, bed.now)
    if planned is None:
        return "The plan is not worked out yet."
    kind = catalogue_for(bed).find(name)
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
    """One server-sent event; of a stage, its words."""
    body = {"on": told.revision, "what": told.what, "detail": told.detail}
    if told.what == "stage":
        body["words"] = STAGE_WORDS.get(told.detail, told.detail)
    return f"data: {json.dumps(body)}\n\n"
