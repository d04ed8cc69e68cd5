"""The annuals Bedwright knows, each figure with its source."""

from typing import TYPE_CHECKING

from bedwright.ondemand import on_demand

if TYPE_CHECKING:
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
else:
    __getattr__ = on_demand(__name__, __file__)

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
