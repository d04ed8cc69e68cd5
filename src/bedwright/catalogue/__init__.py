"""The annuals Bedwright knows, each figure with its source."""

from bedwright.catalogue.kind import ColourForm, Hardiness, Kind
from bedwright.catalogue.load import Catalogue, load_catalogue, parse_catalogue, provenance
from bedwright.catalogue.tables import CatalogueError

__all__ = [
    "Catalogue",
    "CatalogueError",
    "ColourForm",
    "Hardiness",
    "Kind",
    "load_catalogue",
    "parse_catalogue",
    "provenance",
]
