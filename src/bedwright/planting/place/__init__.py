"""Drifts cut from the bed, and the place of every plant."""

from bedwright.planting.place.drifts import (
    Cut,
    cut_drifts,
)
from bedwright.planting.place.gaps import (
    LEAST_GAP_M,
    Gaps,
    fill_gaps,
)
from bedwright.planting.place.places import (
    Drift,
    Part,
    place_all,
)
from bedwright.planting.place.view import (
    deepest,
    depths,
    distances,
    front_ribbon,
    viewers,
)

__all__ = [
    "LEAST_GAP_M",
    "Cut",
    "Drift",
    "Gaps",
    "Part",
    "cut_drifts",
    "deepest",
    "depths",
    "distances",
    "fill_gaps",
    "front_ribbon",
    "place_all",
    "viewers",
]
