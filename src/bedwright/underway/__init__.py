"""A bed under way: where it stands by its journal, and what is still to come of it."""

from bedwright.underway.bed import Underway, work_out
from bedwright.underway.coming import Cause, Coming
from bedwright.underway.counts import SowAgain, Standing, TooLateToSow
from bedwright.underway.moved import Move, MovedBy, NothingMoved, WeatherSoFar
from bedwright.underway.planned import PlannedBed, Planted, Work, planned_bed
from bedwright.underway.stands import Stand, days_of_year, stands_of
from bedwright.underway.taps import entries_when_done
from bedwright.underway.tonight import ForecastUnanswered, TonightsWork
from bedwright.underway.weather import with_entries
from bedwright.underway.week import (
    Due,
    DueWork,
    FrostAhead,
    SoilTooCold,
    SoilWet,
    WaterThisWeek,
)

__all__ = [
    "Cause",
    "Coming",
    "Due",
    "DueWork",
    "ForecastUnanswered",
    "FrostAhead",
    "Move",
    "MovedBy",
    "NothingMoved",
    "PlannedBed",
    "Planted",
    "SoilTooCold",
    "SoilWet",
    "SowAgain",
    "Stand",
    "Standing",
    "TonightsWork",
    "TooLateToSow",
    "Underway",
    "WaterThisWeek",
    "WeatherSoFar",
    "Work",
    "days_of_year",
    "entries_when_done",
    "planned_bed",
    "stands_of",
    "with_entries",
    "work_out",
]
