"""What there is to do: raising, calendar, supplies, cautions."""

from typing import TYPE_CHECKING

from bedwright.ondemand import on_demand
from bedwright.work import cautions, jobs, things

if TYPE_CHECKING:
    from bedwright.work.calendar import (
        Diary,
        Task,
        make_diary,
        with_days_of,
    )
    from bedwright.work.cautions import (
        Caution,
        ground_cautions,
        kind_cautions,
        make_cautions,
    )
    from bedwright.work.raising import (
        FIELD_SHARE,
        GAP,
        POT_M,
        SURVIVAL,
        InPlaceRow,
        Raising,
        make_raising,
        odds_enough,
        seeds_a_spot,
        seeds_needed,
    )
    from bedwright.work.supplies import (
        Supplies,
        Supply,
        make_supplies,
    )
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "FIELD_SHARE",
    "GAP",
    "POT_M",
    "SURVIVAL",
    "Caution",
    "Diary",
    "InPlaceRow",
    "Raising",
    "Supplies",
    "Supply",
    "Task",
    "cautions",
    "ground_cautions",
    "jobs",
    "kind_cautions",
    "make_cautions",
    "make_diary",
    "make_raising",
    "make_supplies",
    "odds_enough",
    "seeds_a_spot",
    "seeds_needed",
    "things",
    "with_days_of",
]
