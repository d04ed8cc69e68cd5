"""Sun on the bed, from the sky and what stands around."""

from bedwright.light.exposure import (
    EXPOSURES,
    LEAST_H,
    Exposure,
    exposure,
    exposure_index,
    exposure_shares,
)
from bedwright.light.hours import (
    Light,
    cells_of,
    skyline_deg,
    sun_hours,
    sun_on,
)
from bedwright.light.obstacles import (
    Body,
    Crown,
    Foliage,
    Solid,
    Taper,
    bodies_of,
)
from bedwright.light.roofs import (
    roof_lines,
)
from bedwright.light.sun import (
    sun_position,
)

__all__ = [
    "EXPOSURES",
    "LEAST_H",
    "Body",
    "Crown",
    "Exposure",
    "Foliage",
    "Light",
    "Solid",
    "Taper",
    "bodies_of",
    "cells_of",
    "exposure",
    "exposure_index",
    "exposure_shares",
    "roof_lines",
    "skyline_deg",
    "sun_hours",
    "sun_on",
    "sun_position",
]
