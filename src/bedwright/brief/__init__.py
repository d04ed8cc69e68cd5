"""The brief: what the gardener states, read from TOML and checked all at once.

A brief is a tree of frozen values in SI units.  Every table is checked on its own, then what ties
tables to one another and to the catalogue; every fault found is reported together, each with its
field, the value given and what is accepted.  Only the place and the bed's outline must be stated;
all else has a default.
"""

from bedwright.brief.frost_words import (
    MONTH_NAMES,
    FreezeDays,
    Taken,
)
from bedwright.brief.learned import (
    OTHERS,
    Learned,
)
from bedwright.brief.neighbours import (
    Barrier,
    Building,
    Neighbour,
    Tree,
)
from bedwright.brief.outlines import (
    Bed,
    CurveBed,
    PolygonBed,
)
from bedwright.brief.place import (
    USUAL_RISK,
    KnownFrost,
    Place,
)
from bedwright.brief.reading import (
    MOST_BYTES,
    BriefError,
    Check,
    Fault,
    label_of,
    load_brief,
    parse_toml,
    read_brief,
    show,
    toml_of,
    with_year,
)
from bedwright.brief.tables import (
    LEAST_SIZE,
    MOST_SIZE,
    Brief,
    Change,
    ClearBy,
    Dates,
    Existing,
    GroundFound,
    Indoors,
    Prices,
    Room,
    SoilTest,
    Span,
    Stock,
    Wishes,
    kind_and_colour,
)
from bedwright.brief.values import (
    COMPASS,
    FIRST_YEAR,
    LAST_YEAR,
    MonthDay,
    Paced,
    Si,
    Tapes,
    parse_month_day,
    printable,
    unprintable,
)

__all__ = [
    "COMPASS",
    "FIRST_YEAR",
    "LAST_YEAR",
    "LEAST_SIZE",
    "MONTH_NAMES",
    "MOST_BYTES",
    "MOST_SIZE",
    "OTHERS",
    "USUAL_RISK",
    "Barrier",
    "Bed",
    "Brief",
    "BriefError",
    "Building",
    "Change",
    "Check",
    "ClearBy",
    "CurveBed",
    "Dates",
    "Existing",
    "Fault",
    "FreezeDays",
    "GroundFound",
    "Indoors",
    "KnownFrost",
    "Learned",
    "MonthDay",
    "Neighbour",
    "Paced",
    "Place",
    "PolygonBed",
    "Prices",
    "Room",
    "Si",
    "SoilTest",
    "Span",
    "Stock",
    "Taken",
    "Tapes",
    "Tree",
    "Wishes",
    "kind_and_colour",
    "label_of",
    "load_brief",
    "parse_month_day",
    "parse_toml",
    "printable",
    "read_brief",
    "show",
    "toml_of",
    "unprintable",
    "with_year",
]
