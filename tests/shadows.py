"""One sun at a time on some cells, for tests of the shadow kernel."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bedwright.light.kernel import Shading, sunlight

Floats = NDArray[np.float64]


def light_through(
    cells: Floats,
    sun: Floats,
    solids: list[Floats] | None = None,
    crowns: list[tuple[float, ...]] | None = None,
    tapers: list[tuple[float, ...]] | None = None,
    tilt: tuple[float, float] = (0.0, 0.0),
) -> Floats:
    """(cells,) light of one sun past opaque bodies; ``sun`` as in ``kernel.sunlight``."""
    solids, crowns, tapers = solids or [], crowns or [], tapers or []
    shading = Shading(
        np.concatenate([np.empty((0, 3)), *solids]),
        np.cumsum([0, *(len(solid) for solid in solids)]),
        np.arange(len(solids) + 1),
        np.zeros(len(solids)),
        np.array(crowns, float).reshape(-1, 5),
        np.zeros((1, len(crowns))),
        np.array(tapers, float).reshape(-1, 6),
        np.zeros((1, len(tapers))),
        np.array(tilt),
    )
    return sunlight(cells, sun[None], np.ones((1, 1)), shading)[0]
