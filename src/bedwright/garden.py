"""A garden: the beds of a store that lie in the same spot, what was written of them, and the
seasons that they were planned for."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any

from bedwright.brief import BriefError, Learned
from bedwright.catalogue import Catalogue, load_catalogue
from bedwright.climate import Season, SeasonError, make_season
from bedwright.inputs import gather_values, own_catalogue
from bedwright.store import Bed, Values, entries_of, every_bed, grown, grown_from, mark_of
from bedwright.taught import (
    BedYears,
    ExpectedNights,
    Taught,
    expected_nights,
    figures_of,
    learn_garden,
)
from bedwright.underway import PlannedBed, Underway, days_of_year, planned_bed, work_out

SPOT = ("town", "latitude", "longitude", "altitude")
"""What of a brief's place says where it is."""


def beds_about(bed: Bed) -> list[Bed]:
    """The beds of a bed's garden, itself among them: those in the same spot, also such as were put
    away.  Raises StoreError."""
    spot = _spot(bed.values())
    others = [one for one in every_bed(bed.store) if one.key != bed.key]
    return [bed, *(one for one in others if _spot(one.values()) == spot)]


def _spot(values: Values) -> tuple[Any, ...]:
    place = values.get("place", {})
    return tuple(place.get(name) for name in SPOT)


def garden_taught(bed: Bed, today: date) -> Taught:
    """What the journals of a bed's garden teach.  Raises StoreError."""
    return _garden_taught(bed, mark_of(bed.store), today)


def garden_years(beds: Sequence[Bed], today: date) -> list[BedYears]:
    """What was written of some beds until a day, and the plans by which they were grown."""
    return [
        BedYears([one.entry for one in entries_of(each.store, each.key, until=today)], grown(each))
        for each in beds
    ]


@lru_cache(maxsize=8)
def _garden_taught(bed: Bed, mark: tuple[int, ...], today: date) -> Taught:
    beds, catalogue = beds_about(bed), catalogue_here(bed.values(), bed.folder.parent)
    years = garden_years(beds, today)
    return learn_garden(years, catalogue, today, _nights(beds, years, today))


def under_way(bed: Bed, today: date) -> Underway | None:
    """A bed under way in the year that holds a day, by its journal and those of its garden; None
    where no plan of that year is kept as the one it is grown by, or its season can no longer be
    made.  Raises StoreError."""
    return _under_way(bed, mark_of(bed.store), today)


@lru_cache(maxsize=8)
def _under_way(bed: Bed, mark: tuple[int, ...], today: date) -> Underway | None:
    """As ``under_way``; ``mark``: changes with what is written (``store.mark_of``)."""
    plans, revisions = grown(bed), grown_from(bed)
    catalogue = catalogue_here(bed.values(), bed.folder.parent)
    read = {year: _planned(plan, catalogue) for year, plan in plans.items()}
    years = [year for year, each in read.items() if each is not None and _holds(each, today)]
    if not years:
        return None
    plan = read[max(years)]
    assert plan is not None
    revision = revisions[max(years)]
    season = season_of(bed, revision, today)
    if season is None:
        return None
    first, last = days_of_year(plan.start)
    own = [one.entry for one in entries_of(bed.store, bed.key, first, min(last, today))]
    figures = figures_of(garden_taught(bed, today), today)
    learned = Learned.model_validate(figures)
    room = bed.values(revision).get("indoors", {}).get("room", "window sill")
    return work_out(plan, own, season, learned, today, room)


def _planned(plan: str, catalogue: Catalogue) -> PlannedBed | None:
    """A plan as plan.json; None of one that an earlier version wrote in another form."""
    try:
        return planned_bed(json.loads(plan), catalogue)
    except (KeyError, TypeError):
        return None


def _holds(plan: PlannedBed, today: date) -> bool:
    first, last = days_of_year(plan.start)
    return first <= today <= last


def _nights(beds: Sequence[Bed], years: Sequence[BedYears], today: date) -> ExpectedNights | None:
    """What was to be expected of the nights of the years that were grown; None where no night was
    written down, or no season can be made any more."""
    measured = [
        entry.day
        for each in years
        for entry in each.entries
        if entry.what == "frost" or entry.tmin_c is not None
    ]
    if not measured:
        return None
    seasons = dict[int, Season]()
    for bed in beds:
        for year, revision in grown_from(bed).items():
            if year not in seasons:
                found = season_of(bed, revision, today, learned=False)
                seasons |= {} if found is None else {year: found}
    return expected_nights([seasons[year] for year in sorted(seasons)], measured)


def season_of(bed: Bed, revision: int, today: date, learned: bool = True) -> Season | None:
    """The season that a revision of a bed is planned for, with what its brief has ``learned`` or
    without; None where its brief or its weather can no longer be read."""
    values = bed.values(revision)
    if not learned:
        values.pop("learned", None)
    folder = bed.folder.parent
    marks = tuple(_mark(folder / name) for name in _files(values))
    return _season(json.dumps(values, sort_keys=True), folder, marks, today)


def _files(values: Mapping[str, Any]) -> list[str]:
    """The files that a brief names."""
    record = values.get("place", {}).get("record", {})
    named = [record.get("file") if isinstance(record, dict) else None, values.get("own_kinds")]
    return [name for name in named if isinstance(name, str)]


def _mark(path: Path) -> tuple[int, int]:
    """What changes with a file's content."""
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_mtime_ns, found.st_size


@lru_cache(maxsize=8)
def _season(
    values: str, folder: Path, marks: tuple[tuple[int, int], ...], today: date
) -> Season | None:
    """The season of a brief's values, as JSON: it takes half a second, and is asked for again."""
    read: dict[str, Any] = json.loads(values)
    try:
        brief, weather = gather_values(read, folder, catalogue_here(read, folder), today)
        assert brief.season.year is not None  # gather_values settles it
        return make_season(weather, brief.season.year, brief.place.frost, 0)
    except (BriefError, SeasonError, OSError):
        return None


def catalogue_here(values: Mapping[str, Any], folder: Path) -> Catalogue:
    """The catalogue with the kinds that a brief's own file adds.  Raises BriefError."""
    own, base = values.get("own_kinds"), load_catalogue()
    return own_catalogue(base, folder / own) if isinstance(own, str) else base
