"""The season of a place from the best source there is."""

from __future__ import annotations

from dataclasses import replace

from bedwright.brief import KnownFrost
from bedwright.season.condition import hold_observed
from bedwright.season.ensemble import Season, Weather
from bedwright.season.modelled import season_from_dates, season_from_normals
from bedwright.season.observed import LEAST_YEARS, growing_years, season_from_record
from bedwright.season.records import Record


def make_season(weather: Weather, year: int, known: KnownFrost | None, seed: int) -> Season:
    """The ensemble of a growing year: from a record, else from stated dates, else from normals.

    A record of fewer than LEAST_YEARS growing years gives no odds, and the next source does; the
    notes say so.  Days of the growing year itself that the record holds are fixed in every season.
    Raises SeasonError where the record's years that are asked for cannot make a season.
    """
    record = weather.record
    if record is not None and (weather.years != (None, None) or _long_enough(record, weather)):
        season = season_from_record(weather, record, year, seed)
        if known is not None:
            told = "frost dates are stated too, but the weather record is used"
            season = replace(season, notes=(*season.notes, told))
    elif known is not None:
        season = season_from_dates(weather, year, known, seed)
    else:
        season = season_from_normals(weather, year, seed)
    if record is None:
        return season
    if season.source != "record":
        told = (
            f"{record.name} has fewer than {LEAST_YEARS} whole growing years, too few for odds;"
            f" they come from {'the dates stated' if known else 'world normals'} instead"
        )
        season = replace(season, notes=(*season.notes, told))
    return hold_observed(season, record)


def _long_enough(record: Record, weather: Weather) -> bool:
    return len(growing_years(record, weather.site.north).labels) >= LEAST_YEARS
