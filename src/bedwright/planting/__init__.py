"""Which plants, how many, and the place of every one."""

from bedwright.planting.candidates import Candidate, sun_fit
from bedwright.planting.colour import COLOUR_WORDS, tone_of
from bedwright.planting.layout import Item, Planting, make_planting, make_schemes
from bedwright.planting.palette import NothingFitsError
from bedwright.planting.places import Drift

__all__ = [
    "COLOUR_WORDS",
    "Candidate",
    "Drift",
    "Item",
    "NothingFitsError",
    "Planting",
    "make_planting",
    "make_schemes",
    "sun_fit",
    "tone_of",
]
