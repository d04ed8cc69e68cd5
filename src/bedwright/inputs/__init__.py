"""What comes in from files: briefs, catalogues of own kinds, weather records; and their checks."""

from bedwright.inputs.checks import (
    unknown_kind,
)
from bedwright.inputs.gather import (
    catalogue_of,
    gather,
    gather_season,
    gather_values,
    own_catalogue,
)
from bedwright.inputs.lines import (
    RecordError,
    shown,
)
from bedwright.inputs.records import (
    parse_record,
    read_record,
)

__all__ = [
    "RecordError",
    "catalogue_of",
    "gather",
    "gather_season",
    "gather_values",
    "own_catalogue",
    "parse_record",
    "read_record",
    "shown",
    "unknown_kind",
]
