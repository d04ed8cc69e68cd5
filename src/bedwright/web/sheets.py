"""What each sheet of the page shows, from the brief and from the plan that was made of it."""

from __future__ import annotations

import calendar
import json
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from pathlib import Path
from typing import Any

from fastapi.responses import HTMLResponse, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

import bedwright
from bedwright.report import SHEET_TITLES
from bedwright.store import Bed, Values, grown, planted_in
from bedwright.web import fields
from bedwright.web.worker import STOPPED, Told, ground_of

SHOWN_REVISIONS = 8

STAGE_WORDS = {
    "waiting": "waiting for its turn",
    "brief": "reading the brief",
    "season": "the season and every kind's course through it",
    "light": "sun and shade",
    "ground": "the ground",
    "planting": "which plants, and where",
    "calendar": "the calendar",
    "sheets": "drawing the sheets",
    "variants": "three plantings side by side",
}


@dataclass(frozen=True)
class Sheet:
    """A sheet of the set: its number and title, and the parts of the brief changed on it."""

    number: int
    title: str
    parts: tuple[tuple[str, tuple[fields.Field, ...]], ...] = ()
    rows: tuple[fields.Rows, ...] = ()
    more: Callable[[Bed, Values], dict[str, Any]] = lambda bed, values: {}

    def context(self, bed: Bed, told: Told | None, over: int | None = None) -> dict[str, Any]:
        """All that its template shows; ``over``: the revision whose drifts are laid over those of
        the plan shown."""
        on = bed.now
        values = bed.values(on)
        planned = latest_plan(bed, on)
        data = None if planned is None else read_json(bed.plan_folder(planned) / "sheets.json")
        revisions = bed.revisions
        current = next(r for r in revisions if r.number == on)
        drifts = of_plan(bed, planned, "drifts.json") or []
        since = of_plan(bed, planned, "since.json")
        earlier = [n for n in bed.planned if n != planned]
        return {
            "sheet": self,
            "sheets": list(SHEETS.items()),
            "bed": bed.key,
            "title": values.get("title") or fields.TITLE[0].assumed,
            "place": values.get("place", {}).get("town", ""),
            "on": on,
            "can_undo": current.parent > 0,
            "can_redo": any(r.parent == on for r in revisions),
            "revisions": list(reversed(revisions))[:SHOWN_REVISIONS],
            "values": values,
            "planned": planned,
            "data": data,
            "working": told is not None and told.what == "stage",
            "told": told,
            "failed": _failed(told, on, values),
            "stages": STAGE_WORDS,
            "version": bedwright.__version__,
            "drawing": drawing_of(bed, planned),
            "drifts": drifts,
            "since": since,
            "earlier": [r for r in reversed(revisions) if r.number in earlier],
            "over": over if over in earlier else None,
            "layers": layers_of(bed, data, drifts, since, over if over in earlier else None),
            "views": of_plan(bed, planned, "views.json") or [],
            "variants": of_plan(bed, planned, "variants.json") or [],
            "never": [
                {"number": n, "name": str(one["never"]).replace("_", " ")}
                for n, one in enumerate(values.get("changes", ()))
                if "never" in one
            ],
            **self.more(bed, values),
        }


def _failed(told: Told | None, on: int, values: Values) -> list[str]:
    """Why the plan of the revision in force could not be made, if it was tried."""
    if told is None or told.revision != on:
        return []
    if told.what == "faults":
        return [
            f"{fields.named(values, field)}: given {given}; accepted: {accepted}"
            for field, given, accepted in told.detail
        ]
    return [str(told.detail)] if told.what == "cannot" and told.detail != STOPPED else []


def latest_plan(bed: Bed, on: int) -> int | None:
    """The revision of the plan to show: the one in force, else the latest that has one."""
    found = bed.planned
    return on if on in found else max(found, default=None)


def of_plan(bed: Bed, planned: int | None, name: str) -> Any:
    """What a file of a plan holds; None where there is none, or not yet."""
    if planned is None:
        return None
    try:
        return read_json(bed.plan_folder(planned) / name)
    except FileNotFoundError:
        return None


def drawing_of(bed: Bed, planned: int | None) -> Callable[..., Markup]:
    """Puts a drawing of a plan into the page, as SVG of the page's own, with layers over it."""

    def drawing(name: str, layers: Sequence[tuple[str, str]] = ()) -> Markup:
        assert planned is not None
        path = bed.plan_folder(planned) / Path(name).name
        drawn = inline(path.read_text(encoding="utf-8"))
        over = Markup("").join(
            Markup('<path class="{}" d="{}"/>').format(name, line) for name, line in layers
        )
        return drawn.removesuffix("</svg>") + over + Markup("</svg>") if over else drawn

    return drawing


def layers_of(
    bed: Bed,
    data: dict[str, Any] | None,
    drifts: list[dict[str, Any]],
    since: dict[str, Any] | None,
    over: int | None,
) -> list[tuple[str, str]]:
    """What lies over the planting drawing, each with its class and path: drifts that are otherwise
    than in the plan before, and those of an earlier revision in outline."""
    from bedwright.draw import Placing, outline_path

    placing = (data or {}).get("drawing", {}).get("placing")
    if placing is None:
        return []
    place = Placing.at(**placing)
    changed = set((since or {}).get("changed", ()))
    found = [
        ("changed", outline_path(ground_of(drift), place))
        for drift in drifts
        if drift["number"] in changed
    ]
    if over is not None:
        earlier = of_plan(bed, over, "drifts.json") or []
        found += [("before", outline_path(ground_of(drift), place)) for drift in earlier]
    return found


def inline(svg: str) -> Markup:
    """A drawing of ours as part of a page: without XML's heading, sized by the page."""
    svg = re.sub(r"<\?xml.*?\?>\s*", "", svg, count=1)
    svg = re.sub(r'(<svg\b[^>]*?) width="[\d.]+mm" height="[\d.]+mm"', r"\1", svg, count=1)
    return Markup(svg)  # ours, written by an XML library that escapes what the brief holds


def read_json(path: Path) -> Any:
    """What a file of a plan holds."""
    return json.loads(path.read_text(encoding="utf-8"))


def _site(kept: Bed, values: Values) -> dict[str, Any]:
    bed = values.get("bed", {})
    shape = bed.get("shape", "rectangle")
    pegs = fields.PEGS.get(shape)
    measured = [one for path, one in fields.MEASURES.items()
                if path.startswith("bed.") and path[4:] in bed]  # fmt: skip
    stakes = fields.STAKES if "tapes" in bed else ()
    return {
        "shape": shape,
        "bed_fields": (*fields.BED.get(shape, ()), *stakes, *fields.ALL_BEDS),
        "measured": measured,
        "skyline": fields.MEASURES["place.horizon"],
        "neighbours": values.get("surroundings", []),
        "neighbour_fields": fields.NEIGHBOURS,
        "at_field": fields.AT,
        "corners_of": fields.corners_of,
        "peg_field": pegs if pegs in bed else None,
        "months": list(calendar.month_name)[1:],
    }


VERBS = ("sowed", "came up", "pricked out", "set out", "lost", "first flower", "over", "picked",
         "frost last night", "rain", "weeded", "watered")  # fmt: skip
"""Words that a line of the journal begins with, to tap."""


def _journal(bed: Bed, values: Values) -> dict[str, Any]:
    from bedwright.noted import notebook
    from bedwright.web.entries import SHOWN, listed

    book = notebook(bed, date.today())
    names = [
        book.catalogue.kinds[key].name for key in planted_in(bed) if key in book.catalogue.kinds
    ]
    return {
        "entries": listed(book),
        "shown": SHOWN,
        "recorded": book.recorded(),
        "years": sorted(grown(bed)),
        "planted": names,
        "verbs": VERBS,
        "example": names[0] if names else "cosmos",
    }


SHEETS: dict[str, Sheet] = {
    "site": Sheet(
        1,
        SHEET_TITLES["site"],
        (("Place", fields.PLACE), ("The bed's name", fields.TITLE)),
        more=_site,
    ),
    "ground": Sheet(2, SHEET_TITLES["ground"], (("The ground", fields.GROUND),)),
    "planting": Sheet(
        3, SHEET_TITLES["planting"], (("Wishes", fields.WISHES),), (fields.EXISTING,)
    ),
    "year": Sheet(4, SHEET_TITLES["year"]),
    "raising": Sheet(5, SHEET_TITLES["raising"], (("To raise plants with", fields.RAISING),)),
    "work": Sheet(6, SHEET_TITLES["work"], (("Days", fields.WORK),), (fields.AWAY,)),
    "materials": Sheet(
        7, SHEET_TITLES["materials"], (("Prices", fields.PRICES),), (fields.MATERIALS,)
    ),
    "journal": Sheet(8, SHEET_TITLES["journal"], more=_journal),
}


def pages(beds: list[Bed]) -> list[dict[str, Any]]:
    """What the list of beds says of each."""
    out = []
    for bed in beds:
        values = bed.values()
        planned = latest_plan(bed, bed.now)
        out.append(
            {
                "key": bed.key,
                "title": values.get("title") or fields.TITLE[0].assumed,
                "place": values.get("place", {}).get("town", ""),
                "on": bed.now,
                "planned": planned,
                "when": bed.revisions[-1].when[:10],
            }
        )
    return out


def _given(values: Values, path: str) -> str:
    value = fields.at_path(values, path)
    return "" if value is None else fields.shown(value)


ENVIRONMENT = Environment(
    loader=FileSystemLoader(str(files("bedwright.web") / "templates")),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
ENVIRONMENT.globals["given"] = _given
ENVIRONMENT.globals["rows_at"] = lambda values, path: fields.at_path(values, path) or []
ENVIRONMENT.filters["shown"] = fields.shown


def render(template: str, **context: Any) -> Response:
    """A page."""
    return HTMLResponse(ENVIRONMENT.get_template(template).render(**context))
