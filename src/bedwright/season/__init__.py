"""Weather of a place through a growing year, as odds."""

from bedwright.season.bloom import Bloom, Way, bloom_of, blooms_of
from bedwright.season.course import HARDENING_DAYS, Course, courses_of
from bedwright.season.daylight import day_length_h
from bedwright.season.ensemble import (
    DAYS,
    FORTNIGHTS,
    WEEKS,
    Season,
    SeasonError,
    Site,
    Weather,
    day_of_year,
    growing_year_start,
    split_day,
)
from bedwright.season.evaporation import sunshine_share
from bedwright.season.frost import FREEZE_C, THRESHOLD_NAMES, FreezeOdds, freeze_odds
from bedwright.season.lines import shown
from bedwright.season.make import make_season
from bedwright.season.mending import Record, RecordError
from bedwright.season.model import TROPICS_DEG
from bedwright.season.normals import ATTRIBUTION, NoClimateError, Normals, normals_at
from bedwright.season.outdoors import TENDER_SOIL_C, Outdoors
from bedwright.season.outlook import (
    CLASS_NIGHT_C,
    RISKS,
    Freezes,
    Month,
    Outlook,
    SafeDays,
    outlook_of,
)
from bedwright.season.records import parse_record, read_record
from bedwright.season.soil import (
    WORKABLE_SOIL_C,
    first_steady,
    heat_sum,
    leaf_days,
    soil_temperature,
    workable_day,
)
from bedwright.season.towns import Town, TownNotFoundError, find_town
from bedwright.season.water import (
    MULCH_DAYS,
    WATER_USE,
    crop_coefficient,
    weekly_water_mm,
)

__all__ = [
    "ATTRIBUTION",
    "CLASS_NIGHT_C",
    "DAYS",
    "FORTNIGHTS",
    "FREEZE_C",
    "HARDENING_DAYS",
    "MULCH_DAYS",
    "RISKS",
    "TENDER_SOIL_C",
    "THRESHOLD_NAMES",
    "TROPICS_DEG",
    "WATER_USE",
    "WEEKS",
    "WORKABLE_SOIL_C",
    "Bloom",
    "Course",
    "FreezeOdds",
    "Freezes",
    "Month",
    "NoClimateError",
    "Normals",
    "Outdoors",
    "Outlook",
    "Record",
    "RecordError",
    "SafeDays",
    "Season",
    "SeasonError",
    "Site",
    "Town",
    "TownNotFoundError",
    "Way",
    "Weather",
    "bloom_of",
    "blooms_of",
    "courses_of",
    "crop_coefficient",
    "day_length_h",
    "day_of_year",
    "find_town",
    "first_steady",
    "freeze_odds",
    "growing_year_start",
    "heat_sum",
    "leaf_days",
    "make_season",
    "normals_at",
    "outlook_of",
    "parse_record",
    "read_record",
    "shown",
    "soil_temperature",
    "split_day",
    "sunshine_share",
    "weekly_water_mm",
    "workable_day",
]
