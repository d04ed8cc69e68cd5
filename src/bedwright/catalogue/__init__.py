"""The annuals Bedwright knows, each figure with its source."""

from bedwright.catalogue.kind import (
    ROW_RISE,
    ColourForm,
    Hardiness,
    Kind,
)
from bedwright.catalogue.load import (
    Catalogue,
    column_shares,
    driving_shares,
    load_catalogue,
    parse_catalogue,
    provenance,
)
from bedwright.catalogue.own import (
    with_own,
)
from bedwright.catalogue.tables import (
    CatalogueError,
)

__all__ = [
    "ROW_RISE",
    "Catalogue",
    "CatalogueError",
    "ColourForm",
    "Hardiness",
    "Kind",
    "column_shares",
    "driving_shares",
    "load_catalogue",
    "parse_catalogue",
    "provenance",
    "with_own",
]
