"""What there is to do: raising, calendar, supplies, cautions."""

from bedwright.work import cautions, jobs, things
from bedwright.work.calendar import (
    Diary,
    Task,
    make_diary,
    with_days_of,
)
from bedwright.work.cautions import (
    Caution,
    ground_cautions,
    make_cautions,
)
from bedwright.work.raising import Raising, make_raising
from bedwright.work.supplies import (
    Supplies,
    Supply,
    make_supplies,
)

__all__ = [
    "Caution",
    "Diary",
    "Raising",
    "Supplies",
    "Supply",
    "Task",
    "cautions",
    "ground_cautions",
    "jobs",
    "make_cautions",
    "make_diary",
    "make_raising",
    "make_supplies",
    "things",
    "with_days_of",
]
