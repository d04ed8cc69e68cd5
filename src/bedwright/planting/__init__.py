"""Which plants, how many, and the place of every one."""

from bedwright.planting.layout import (
    Item,
    Planting,
    make_planting,
    make_variants,
)
from bedwright.planting.palette import COLOUR_WORDS, Candidate, NothingFitsError, sun_fit, tone_of
from bedwright.planting.place import Drift

__all__ = [
    "COLOUR_WORDS",
    "Candidate",
    "Drift",
    "Item",
    "NothingFitsError",
    "Planting",
    "make_planting",
    "make_variants",
    "sun_fit",
    "tone_of",
]
