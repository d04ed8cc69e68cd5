"""How kinds grow in a season: when they may go out, when they flower, what water they want."""

from bedwright.growth.bloom import (
    LEAD_DAYS,
    Bloom,
    Way,
    bloom_of,
    blooms_of,
)
from bedwright.growth.course import (
    HARDENING_DAYS,
    Course,
    Dated,
    courses_of,
)
from bedwright.growth.outdoors import (
    TENDER_SOIL_C,
    DecidedBy,
    OutDay,
    Outdoors,
)
from bedwright.growth.outlook import (
    CLASS_NIGHT_C,
    RISKS,
    Freezes,
    Month,
    Outlook,
    SafeDays,
    outlook_of,
)
from bedwright.growth.water import (
    MULCH_DAYS,
    WATER_USE,
    crop_coefficient,
    weekly_water_mm,
)

__all__ = [
    "CLASS_NIGHT_C",
    "HARDENING_DAYS",
    "LEAD_DAYS",
    "MULCH_DAYS",
    "RISKS",
    "TENDER_SOIL_C",
    "WATER_USE",
    "Bloom",
    "Course",
    "Dated",
    "DecidedBy",
    "Freezes",
    "Month",
    "OutDay",
    "Outdoors",
    "Outlook",
    "SafeDays",
    "Way",
    "bloom_of",
    "blooms_of",
    "courses_of",
    "crop_coefficient",
    "outlook_of",
    "weekly_water_mm",
]
