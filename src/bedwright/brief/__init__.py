"""The brief: what the gardener states, read from TOML and checked all at once.

A brief is a tree of frozen values in SI units.  Every table is checked on its own, then what ties
tables to one another and to the catalogue; every fault found is reported together, each with its
field, the value given and what is accepted.  Only the place and the bed's outline must be stated;
all else has a default.
"""

from bedwright.brief.reading import (
    BriefError,
    Check,
    Fault,
    label_of,
    load_brief,
    read_brief,
    with_kinds,
    with_year,
)
from bedwright.brief.tables import (
    Barrier,
    Bed,
    Brief,
    Building,
    Change,
    ClearBy,
    Dates,
    Existing,
    Goods,
    GroundFound,
    Indoors,
    KnownFrost,
    Neighbour,
    Place,
    SoilTest,
    Span,
    Tree,
    Wishes,
    kind_and_colour,
)
from bedwright.brief.values import COMPASS, MonthDay, Paced, Si

__all__ = [
    "COMPASS",
    "Barrier",
    "Bed",
    "Brief",
    "BriefError",
    "Building",
    "Change",
    "Check",
    "ClearBy",
    "Dates",
    "Existing",
    "Fault",
    "Goods",
    "GroundFound",
    "Indoors",
    "KnownFrost",
    "MonthDay",
    "Neighbour",
    "Paced",
    "Place",
    "Si",
    "SoilTest",
    "Span",
    "Tree",
    "Wishes",
    "kind_and_colour",
    "label_of",
    "load_brief",
    "read_brief",
    "with_kinds",
    "with_year",
]
