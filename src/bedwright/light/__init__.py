"""Sun on the bed, from the sky and what stands around."""

from bedwright.light.hours import Light, exposure, sun_hours
from bedwright.light.obstacles import Crown, Solid, solids_of
from bedwright.light.sun import sun_position

__all__ = ["Crown", "Light", "Solid", "exposure", "solids_of", "sun_hours", "sun_position"]
