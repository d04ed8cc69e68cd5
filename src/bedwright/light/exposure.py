"""Full sun, part sun, part shade, shade: what hours of direct sun a day are called."""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

Exposure = Literal["full sun", "part sun", "part shade", "shade"]
EXPOSURES: tuple[Exposure, ...] = get_args(Exposure)
LEAST_H = (6.0, 4.0, 2.0, 0.0)
"""Least hours of direct sun a day of each.  All of nine definitions read call six hours and more
full sun; shade begins below 2, 3 or 4 hours.  Where part sun is told from part shade it has 4 to 6
hours, part shade 2 to 4 (purplepottingshed.com, How Much Sun?, 2014; davesgarden.com, Shedding
Light on Light Requirements: part of either kind 2 to 6).  Common practice, no standard found."""


def exposure(hours: float) -> Exposure:
    """Name of an exposure by hours of direct sun a day."""
    return EXPOSURES[int(exposure_index(np.array([hours]))[0])]


def exposure_index(hours: NDArray[np.float64]) -> NDArray[np.int64]:
    """Place in EXPOSURES of each of some hours, any shape."""
    reached = np.asarray(hours)[..., None] >= np.array(LEAST_H[:-1]) - 1e-9
    return np.asarray(len(EXPOSURES) - 1 - reached.sum(axis=-1))


def exposure_shares(hours: NDArray[np.float64]) -> dict[Exposure, float]:
    """Share of some cells in each exposure."""
    count = np.bincount(exposure_index(hours).ravel(), minlength=len(EXPOSURES))
    return {name: float(n) / max(count.sum(), 1) for name, n in zip(EXPOSURES, count, strict=True)}
