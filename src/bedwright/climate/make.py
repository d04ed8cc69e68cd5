"""The season of a place from the best source there is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from bedwright.brief import KnownFrost
from bedwright.climate.condition import hold_observed
from bedwright.climate.ensemble import Season, SeasonError, Weather
from bedwright.climate.modelled import season_from_dates, season_from_normals
from bedwright.climate.observed import check_place, season_from_record
from bedwright.facts import Fact


@dataclass(frozen=True)
class DatesUnused(Fact):
    """Frost dates are stated, but the weather record is used."""


@dataclass(frozen=True)
class RecordUnused(Fact):
    """A record gives no odds, for a reason; they come from another source."""

    reason: Fact
    instead: Literal["dates", "normals"]


def make_season(weather: Weather, year: int, known: KnownFrost | None, seed: int) -> Season:
    """The ensemble of a growing year: from a record, else from stated dates, else from normals.

    A record with too few whole growing years gives no odds, and the next source does; the notes say
    so.  Days of the growing year itself that the record holds are fixed in every season.  Raises
    SeasonError where the brief asks for years of the record that cannot make a season.
    """
    season = _best(weather, year, known, seed)
    return replace(season, notes=(*weather.notes, *season.notes))


def _best(weather: Weather, year: int, known: KnownFrost | None, seed: int) -> Season:
    record = weather.record
    if record is None:
        return _without_record(weather, year, known, seed)
    doubts = check_place(weather, record)
    try:
        season = season_from_record(weather, record, year, seed)
        if known is not None:
            season = _noted(season, DatesUnused())
    except SeasonError as error:
        if weather.years != (None, None):
            raise
        unused = RecordUnused(error.fact, "dates" if known else "normals")
        season = _noted(_without_record(weather, year, known, seed), unused)
    return hold_observed(_noted(season, *doubts), record)


def _without_record(weather: Weather, year: int, known: KnownFrost | None, seed: int) -> Season:
    if known is not None:
        return season_from_dates(weather, year, known, seed)
    return season_from_normals(weather, year, seed)


def _noted(season: Season, *facts: Fact) -> Season:
    return replace(season, notes=(*season.notes, *facts))
