"""How kinds grow in a season: when they may go out, when they flower, what water they want."""

from typing import TYPE_CHECKING

from bedwright.ondemand import on_demand

if TYPE_CHECKING:
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
        room_warmth_c,
        sown_again,
        weeks_indoors,
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
    from bedwright.growth.when import (
        SHIFT_MONTH,
        FirstFlower,
        ForLeaves,
        FrostRisk,
        IndoorsAssumed,
        InPlaceAssumed,
        Lack,
        LongIndoors,
        NextYear,
        OtherWay,
        SaferFrom,
        SoilCold,
        Sowing,
        When,
        first_on,
        set_out_on,
        when_of,
    )
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "CLASS_NIGHT_C",
    "HARDENING_DAYS",
    "LEAD_DAYS",
    "MULCH_DAYS",
    "RISKS",
    "SHIFT_MONTH",
    "TENDER_SOIL_C",
    "WATER_USE",
    "Bloom",
    "Course",
    "Dated",
    "DecidedBy",
    "FirstFlower",
    "ForLeaves",
    "Freezes",
    "FrostRisk",
    "InPlaceAssumed",
    "IndoorsAssumed",
    "Lack",
    "LongIndoors",
    "Month",
    "NextYear",
    "OtherWay",
    "OutDay",
    "Outdoors",
    "Outlook",
    "SafeDays",
    "SaferFrom",
    "SoilCold",
    "Sowing",
    "Way",
    "When",
    "bloom_of",
    "blooms_of",
    "courses_of",
    "crop_coefficient",
    "first_on",
    "outlook_of",
    "room_warmth_c",
    "set_out_on",
    "sown_again",
    "weekly_water_mm",
    "weeks_indoors",
    "when_of",
]
