"""What comes in from files: briefs, catalogues of own kinds, weather records; and their checks."""

from typing import TYPE_CHECKING

from bedwright.inputs.gather import gather
from bedwright.ondemand import on_demand

if TYPE_CHECKING:
    from bedwright.inputs.checks import (
        unknown_kind,
    )
    from bedwright.inputs.gather import (
        catalogue_of,
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
    from bedwright.inputs.sowing import (
        Asked,
        gather_when,
    )
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "Asked",
    "RecordError",
    "catalogue_of",
    "gather",
    "gather_season",
    "gather_values",
    "gather_when",
    "own_catalogue",
    "parse_record",
    "read_record",
    "shown",
    "unknown_kind",
]
