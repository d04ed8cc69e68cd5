"""Bedwright from Python: what ``import bedwright`` offers, by the functions that the command line
calls.

Lengths are in metres, areas in square metres, weights in kilograms, temperatures in degrees
Celsius; days of a plan are indices into its growing year, which ``plan.season.day`` turns into
dates.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from os import PathLike
from pathlib import Path
from typing import Any

from bedwright.brief import Brief
from bedwright.catalogue import Catalogue, load_catalogue
from bedwright.climate import DAYS, FORTNIGHTS, Weather, make_season
from bedwright.draw import (
    Canvas,
    bed_picture,
    bloom_chart,
    page_drawing,
    season_chart,
    season_moments,
)
from bedwright.export import plan_record
from bedwright.export import write_sheets as _write_sheets
from bedwright.growth import Outlook, When, outlook_of
from bedwright.inputs import (
    catalogue_of,
    gather,
    gather_season,
    gather_values,
    gather_when,
    own_catalogue,
)
from bedwright.noted import Notebook, notebook
from bedwright.plan import Plan
from bedwright.plan import make_plan as _make_plan
from bedwright.store import bed_at
from bedwright.units import System

Record = dict[str, Any]


@dataclass(frozen=True)
class Inputs:
    """A brief with what it is planned from: the catalogue of kinds and the weather of its place."""

    brief: Brief
    catalogue: Catalogue
    weather: Weather


def read_brief(
    source: str | PathLike[str] | Mapping[str, Any],
    *,
    folder: str | PathLike[str] = ".",
    today: date | None = None,
) -> Inputs:
    """Read and check a brief, and gather its catalogue and its place's weather.

    ``source``: a TOML file, or its tables as a mapping, as ``tomllib`` would give them;
    ``folder``: of a mapping, where the files that it names (a weather record, own kinds) are;
    ``today``: the day from which the next growing year is counted, if the brief names none; the
    present day unless it is given.  Raises BriefError with every fault; OSError if the file cannot
    be read.
    """
    today = today or date.today()
    if isinstance(source, Mapping):
        own = source.get("own_kinds")
        catalogue = load_catalogue()
        if isinstance(own, str):
            catalogue = own_catalogue(catalogue, Path(folder) / own)
        brief, weather = gather_values(dict(source), Path(folder), catalogue, today)
        return Inputs(brief, catalogue, weather)
    path = Path(source)
    catalogue = catalogue_of(path, today)
    brief, weather = gather(path, catalogue, today)
    return Inputs(brief, catalogue, weather)


def make_plan(
    inputs: Inputs, *, layout: int = 0, progress: Callable[[str], None] = lambda stage: None
) -> Plan:
    """Work out the plan of a brief.

    ``layout``: 0, 1, 2 ... give other layouts of the same bed; the same number gives the same plan;
    ``progress``: called with the name of each stage as it begins.  Raises SeasonError,
    GeometryError or NothingFitsError where the brief cannot be carried out.
    """
    return _make_plan(
        inputs.brief,
        catalogue=inputs.catalogue,
        weather=inputs.weather,
        seed=layout,
        progress=progress,
    )


def season_of(
    where: str,
    *,
    kept_at: str | None = None,
    place: Mapping[str, Any] | None = None,
    year: int | None = None,
    sample: int = 0,
    today: date | None = None,
) -> Outlook:
    """The season of a place: frost odds, safe days, warmth, rain and day length.

    ``where``: a town, ``"latitude,longitude"``, or the file of a daily weather record, which was
    ``kept_at`` a town or ``"latitude,longitude"``; ``place``: more fields of a brief's ``[place]``,
    such as ``{"frost": "light frost in June and July", "situation": "hollow"}``; ``year``: the
    growing year; ``sample``: other numbers simulate other seasons.  Raises BriefError where the
    place or record is at fault, OSError where the record cannot be read, SeasonError where it makes
    no season.
    """
    more = {"place": dict(place or {}), "season": {"year": year} if year else {}}
    brief, weather = gather_season(where, kept_at, more, today or date.today())
    assert brief.season.year is not None  # gather_season settles it
    return outlook_of(make_season(weather, brief.season.year, brief.place.frost, sample), sample)


def when(
    kind: str,
    where: str,
    sown: str,
    *,
    set_out: str | None = None,
    in_place: bool = False,
    kept_at: str | None = None,
    altitude: str | None = None,
    place: Mapping[str, Any] | None = None,
    year: int | None = None,
    own: str | PathLike[str] | None = None,
    sample: int = 0,
    today: date | None = None,
) -> When:
    """When a kind flowers that is sown on a day, and with what odds.

    ``kind``: a key of the catalogue, or a name that only one kind has; ``where``, ``kept_at``: as
    ``season_of`` has them; ``sown``, ``set_out``: days as ``"MM-DD"``; ``in_place``: sown outdoors,
    where it is to flower.  Without ``set_out`` or ``in_place`` the kind's usual way is taken, and
    ``notes`` say which.  ``altitude``: of the place, such as ``"240 m"``; ``place``: as
    ``season_of`` has it; ``year``: the growing year of the sowing, else that of the next such day;
    ``own``: a file of own kinds; ``sample``: other numbers simulate other seasons.  Raises
    BriefError with every fault, OSError where the record cannot be read, SeasonError where it makes
    no season.
    """
    asked = gather_when(
        kind,
        where,
        sown,
        today=today or date.today(),
        set_out=set_out,
        in_place=in_place,
        at=kept_at,
        more={
            "place": dict(place or {}) | ({} if altitude is None else {"altitude": altitude}),
            "season": {"year": year} if year else {},
        },
        own=None if own is None else Path(own),
    )
    return asked.answer(sample)


def journal_of(bed: str | PathLike[str], today: date | None = None) -> Notebook:
    """The journal of a bed: to ``note`` a line in, to ``correct`` and ``take_back`` entries, to
    read (``entries``), and what it says of the garden (``lessons``).

    ``bed``: a brief's file, beside which the journal lies, or a bed of the page's folder
    (``store.bed_at``); ``today``: the day on which it is written in, the present day unless given.
    Raises store.NoSuchBedError and store.StoreError; OSError if the file cannot be read.
    """
    return notebook(bed_at(Path(bed)), today or date.today())


def kinds(own: str | PathLike[str] | None = None) -> Catalogue:
    """The catalogue of annuals, with a gardener's ``own`` kinds where their file is named; iterate
    over it, or ask it for a key.  Raises BriefError with every fault of that file."""
    base = load_catalogue()
    return base if own is None else own_catalogue(base, Path(own))


def write_sheets(plan: Plan, folder: str | PathLike[str]) -> list[Path]:
    """Write every sheet of a plan into a folder, whole or not at all; their paths.

    Raises FolderInTheWayError when the folder holds anything but an earlier output, OSError when it
    cannot be written.
    """
    return _write_sheets(plan, Path(folder))


def tables(plan: Plan) -> dict[str, list[Record]]:
    """A plan's tables as plain records: ``items``, ``drifts``, ``plants`` (one row each, metres in
    the bed's frame), ``tasks``, ``supplies``, ``indoors``, ``in_place``, ``bench``, ``water``,
    ``left_out``; dates are ``datetime.date``, statements are their words."""
    whole = plan_record(plan).model_dump(mode="python", by_alias=True)
    raising = whole["raising"]
    found: dict[str, list[Record]] = {
        "items": whole["items"],
        "drifts": [
            {**drift, "plants": len(drift["plants"]), "rows": len(drift["rows"])}
            for drift in whole["drifts"]
        ],
        "plants": [
            {"letter": drift["letter"], "drift": drift["number"], "x_m": x, "y_m": y}
            for drift in whole["drifts"]
            for x, y in drift["plants"]
        ],
        "tasks": whole["tasks"],
        "supplies": whole["supplies"]["lines"],
        "indoors": raising["indoor"],
        "in_place": raising["in_place"],
        "bench": raising["bench"],
        "water": whole["water"],
        "left_out": whole["left_out"],
    }
    return {name: [_worded(row) for row in rows] for name, rows in found.items()}


def _worded(row: Record) -> Record:
    """A record whose statements are their words."""
    return {name: _words(value) for name, value in row.items()}


def _words(value: Any) -> Any:
    if isinstance(value, dict) and set(value) == {"code", "values", "text"}:
        return value["text"]
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "; ".join(str(_words(one)) for one in value)
    return value


def frame(rows: list[Record]) -> Any:
    """Records as a data frame of pandas, else of polars.  Raises ImportError where neither is
    installed."""
    for name in ("pandas", "polars"):
        try:
            return importlib.import_module(name).DataFrame(rows)
        except ModuleNotFoundError:
            continue
    raise ImportError("a data frame needs pandas or polars: pip install pandas")


def draw_planting(plan: Plan) -> Canvas:
    """The planting drawing with its key, to the largest scale that fits a page.  A notebook shows
    it; ``render()`` gives its SVG."""
    return page_drawing(plan)


def draw_bloom(plan: Plan) -> Canvas:
    """When each item flowers, with the odds."""
    return bloom_chart(plan)


def draw_bed(plan: Plan, day: date | None = None) -> Canvas:
    """The bed as it looks in the fortnight of a ``day``, or when the most is in bloom.  Raises
    ValueError for a day outside the growing year."""
    if day is None:
        share = plan.planting.bloom_share()
        return bed_picture(plan, max(season_moments(plan), key=lambda n: share[n]))
    index = plan.season.index(day)
    if not 0 <= index < DAYS:
        raise ValueError(f"{day} is not in the growing year that begins on {plan.season.start}")
    return bed_picture(plan, min(index // 14, FORTNIGHTS - 1))


def draw_season(outlook: Outlook, units: System = "metric") -> Canvas:
    """A place's season as a chart; ``units``: ``"metric"`` or ``"us"``."""
    return season_chart(outlook, units)
