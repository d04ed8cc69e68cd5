"""Promises about where plants stand, which every planting keeps."""

from __future__ import annotations

import numpy as np
import shapely

from bedwright.brief import Brief
from bedwright.geometry import outline_of
from bedwright.planting import Planting
from bedwright.planting.place.gaps import TOUCH

SLACK_M = 1e-6


def breaches(brief: Brief, planting: Planting) -> list[str]:
    """Every broken spacing or bound, in words.

    Plants stand half the sum of their spacings apart, small groups in odd numbers (Texas A&M
    AgriLife, Planting Annuals, 2014); in a border's gaps they may mingle a little, by spread,
    and stand in any number.
    """
    bed, gaps = outline_of(brief.bed).polygon, planting.gaps is not None
    spots, wide, found = [], [], []
    for drift in planting.drifts:
        form = planting.items[drift.item].candidate.kind.form
        spots += list(drift.places)
        wide += [TOUCH * form.spread_m if gaps else form.spacing_m] * len(drift.places)
        if not gaps and not drift.ribbon and len(drift.places) in (4, 6):
            found.append(f"a group of {len(drift.places)}")
    at, widths = np.array(spots), np.array(wide)
    gap = np.linalg.norm(at[:, None] - at[None], axis=2)
    need = (widths[:, None] + widths[None]) / 2
    close = np.argwhere(np.triu(gap < need - SLACK_M, 1))
    found += [f"plants {a} and {b} stand {gap[a, b]:.3f} m apart, {need[a, b]:.3f} wanted"
              for a, b in close]  # fmt: skip
    out = ~shapely.contains_xy(bed.buffer(SLACK_M), at[:, 0], at[:, 1])
    found += [f"plant {k} stands outside the bed" for k in np.flatnonzero(out)]
    for plant in brief.existing:
        near = np.linalg.norm(at - np.array(plant.at), axis=1) < plant.spread / 2 - SLACK_M
        found += [f"plant {k} stands in {plant.name}" for k in np.flatnonzero(near)]
    return found
