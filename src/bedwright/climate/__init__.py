"""Weather of a place through a growing year, as odds."""

from bedwright.climate.daylight import (
    day_length_h,
)
from bedwright.climate.ensemble import (
    DAYS,
    FORTNIGHTS,
    MONTH_DAYS,
    WEEKS,
    Season,
    SeasonError,
    Site,
    Weather,
    day_of_year,
    growing_year_start,
    split_day,
)
from bedwright.climate.evaporation import (
    penman_monteith_mm,
    radiation_mj,
    sunshine_share,
)
from bedwright.climate.frost import (
    FREEZE_C,
    SLACK_C,
    THRESHOLD_NAMES,
    FreezeOdds,
    bootstrap_range,
    freeze_free_days,
    freeze_odds,
)
from bedwright.climate.make import (
    make_season,
)
from bedwright.climate.model import (
    TROPICS_DEG,
)
from bedwright.climate.normals import (
    ATTRIBUTION,
    NoClimateError,
    Normals,
    normals_at,
)
from bedwright.climate.record import (
    MOST_DAYS,
    MOST_DIFFERENT,
    MOST_RAIN_MM,
    Floats,
    Record,
    RecordError,
    make_record,
    to_celsius,
)
from bedwright.climate.soil import (
    WORKABLE_SOIL_C,
    first_steady,
    heat_sum,
    leaf_days,
    soil_temperature,
    workable_day,
)
from bedwright.climate.towns import (
    Town,
    TownNotFoundError,
    find_town,
)

__all__ = [
    "ATTRIBUTION",
    "DAYS",
    "FORTNIGHTS",
    "FREEZE_C",
    "MONTH_DAYS",
    "MOST_DAYS",
    "MOST_DIFFERENT",
    "MOST_RAIN_MM",
    "SLACK_C",
    "THRESHOLD_NAMES",
    "TROPICS_DEG",
    "WEEKS",
    "WORKABLE_SOIL_C",
    "Floats",
    "FreezeOdds",
    "NoClimateError",
    "Normals",
    "Record",
    "RecordError",
    "Season",
    "SeasonError",
    "Site",
    "Town",
    "TownNotFoundError",
    "Weather",
    "bootstrap_range",
    "day_length_h",
    "day_of_year",
    "find_town",
    "first_steady",
    "freeze_free_days",
    "freeze_odds",
    "growing_year_start",
    "heat_sum",
    "leaf_days",
    "make_record",
    "make_season",
    "normals_at",
    "penman_monteith_mm",
    "radiation_mj",
    "soil_temperature",
    "split_day",
    "sunshine_share",
    "to_celsius",
    "workable_day",
]
