"""Which kinds and colours."""

from bedwright.planting.palette.candidates import (
    FOLIAGE_BLOOM,
    LEAST_SUN_FIT,
    SEASON_ODDS,
    Candidate,
    Purse,
    candidate_of,
    sun_fit,
)
from bedwright.planting.palette.choose import (
    NothingFitsError,
    Palette,
    choose_palette,
)
from bedwright.planting.palette.colour import (
    COLOUR_WORDS,
    discord,
    tone_of,
)
from bedwright.planting.palette.harmony import (
    choices_of,
    recoloured,
    rules_of,
)
from bedwright.planting.palette.value import (
    PaletteValue,
)

__all__ = [
    "COLOUR_WORDS",
    "FOLIAGE_BLOOM",
    "LEAST_SUN_FIT",
    "SEASON_ODDS",
    "Candidate",
    "NothingFitsError",
    "Palette",
    "PaletteValue",
    "Purse",
    "candidate_of",
    "choices_of",
    "choose_palette",
    "discord",
    "recoloured",
    "rules_of",
    "sun_fit",
    "tone_of",
]
