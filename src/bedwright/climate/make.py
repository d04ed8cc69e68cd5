"""The season of a place from the best source there is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from bedwright.brief import KnownFrost
from bedwright.climate.condition import hold_observed
from bedwright.climate.ensemble import Season, SeasonError, Weather
from bedwright.climate.exposure import exposure_notes, in_its_spot, record_here
from bedwright.climate.joined import season_from_few_years
from bedwright.climate.modelled import season_from_normals
from bedwright.climate.observed import check_place, season_from_record
from bedwright.climate.record import Record
from bedwright.climate.stated import Stated, basis_of, season_from_stated
from bedwright.facts import Fact


@dataclass(frozen=True)
class DatesUnused(Fact):
    """Frost dates are stated, but the weather record is used."""


@dataclass(frozen=True)
class SayingsUnused(Fact):
    """Something else is stated of frost, but the weather record is used."""

    stated: Stated


@dataclass(frozen=True)
class RecordUnused(Fact):
    """A record gives no odds, for a reason; they come from another source."""

    reason: Fact
    instead: Stated | Literal["normals"]


def make_season(weather: Weather, year: int, known: KnownFrost | None, seed: int) -> Season:
    """The ensemble of a growing year: from a record, else from what is stated of frost, else from
    normals; with the garden's nights as its situation has them.

    A record of a few years is joined to the normals (``joined``); one of fewer gives no odds, and
    the next source does; the notes say so.  Days of the growing year itself that the record holds
    are fixed in every season.  Raises SeasonError where the brief asks for years of the record that
    cannot make a season.
    """
    season = _with_less_doubt(_best(weather, year, known, seed), weather.learned_error_c)
    return replace(season, notes=(*weather.notes, *exposure_notes(weather), *season.notes))


def _with_less_doubt(season: Season, error_c: float | None) -> Season:
    """A modelled season whose doubt about cold nights is no more than the standard error of what
    was measured in the garden."""
    if error_c is None or error_c >= season.doubt_c:
        return season
    share = error_c / season.doubt_c
    return replace(season, doubt_c=error_c, doubt_days=season.doubt_days * share)


def _best(weather: Weather, year: int, known: KnownFrost | None, seed: int) -> Season:
    if weather.record is None:
        return _without_record(weather, year, known, seed)
    record, moved = record_here(weather, weather.record)
    doubts = check_place(weather, record)
    try:
        season = season_from_record(weather, record, year, seed)
        if known is not None:
            stated = basis_of(known).stated
            season = _noted(season, DatesUnused() if stated == "dates" else SayingsUnused(stated))
    except SeasonError as error:
        if weather.years != (None, None):
            raise
        season = _from_little(weather, record, year, known, seed, error.fact)
    return hold_observed(_noted(season, *moved, *doubts), record)


def _from_little(
    weather: Weather, record: Record, year: int, known: KnownFrost | None, seed: int, lack: Fact
) -> Season:
    """A season where the record gives no odds by itself, for what it lacks: from what is stated of
    frost, else joined to the normals, else from normals alone."""
    if known is None:
        try:
            return season_from_few_years(weather, record, year, seed)
        except SeasonError as error:
            lack = error.fact
    unused = RecordUnused(lack, basis_of(known).stated if known else "normals")
    return _noted(_without_record(weather, year, known, seed), unused)


def _without_record(weather: Weather, year: int, known: KnownFrost | None, seed: int) -> Season:
    season = (
        season_from_normals(weather, year, seed)
        if known is None
        else season_from_stated(weather, year, known, seed)
    )
    return in_its_spot(season, weather)


def _noted(season: Season, *facts: Fact) -> Season:
    return replace(season, notes=(*season.notes, *facts))
