"""A border's gaps planted: which item takes up the room that the plants which stay will leave."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from bedwright.facts import Fact
from bedwright.light import cells_of
from bedwright.planting.arrange import Given, local_parts, sites_of
from bedwright.planting.palette import Candidate, NothingFitsError
from bedwright.planting.place import LEAST_GAP_M, Drift, Gaps, depths, fill_gaps

W_NARROW = 2.0
"""Price of a plant that fills none of the width that another would fill of a gap (estimate)."""

NEAR_M = 0.6
"""Distance within which plants of one kind among perennials are drawn as one drift."""


@dataclass(frozen=True)
class FillsGap(Fact):
    """A drift in room that lasts: its plants stand so far and more from what stays, when that is
    grown."""

    clearance_m: float


@dataclass(frozen=True)
class NoGapWideEnough(Fact):
    """No gap that lasts is wide enough for any of the kinds, or for one plant at all."""

    least_gap_m: float


def plant_gaps(given: Given, chosen: list[Candidate]) -> tuple[list[Drift], Gaps, float]:
    """Annuals in the gaps that a border's perennials will leave, the gaps, and what that costs.

    Each place has the item that suits it best of those that are about as wide as its room.  Raises
    NothingFitsError where no gap is wide enough.
    """
    brief, outline, light = given.brief, given.outline, given.light
    spreads = np.array([c.kind.form.spread_m for c in chosen])
    cost: list[float] = []

    def choose(spot: tuple[float, float], fits: NDArray[np.intp]) -> int:
        disc = shapely.Point(*spot).buffer(float(spreads[fits].max()) / 2)
        parts = local_parts(sites_of(outline, light, [disc]), chosen)
        own = sum(part[0, fits] for name, part in parts.items() if name != "room")
        price = own + W_NARROW * (1.0 - spreads[fits] / spreads[fits].max())
        cost.append(float(np.min(price)))
        return int(fits[np.argmin(price)])

    gaps = fill_gaps(outline.polygon, brief.existing, spreads, choose)
    if len(gaps.places) == 0:
        raise NothingFitsError(NoGapWideEnough(LEAST_GAP_M))
    owners = gaps.sizes
    discs = [
        shapely.Point(*at).buffer(spreads[size] / 2)
        for at, size in zip(gaps.places, gaps.sizes, strict=True)
    ]
    drifts: list[Drift] = []
    for item in np.unique(owners):
        mine = np.flatnonzero(owners == item)
        for group in _groups(gaps.places[mine], NEAR_M):
            own = mine[group]
            polygon = shapely.union_all([discs[k] for k in own])
            cells = cells_of(polygon, light)
            hours = light.over(chosen[item].course.window)[cells]
            middle = np.array([polygon.representative_point().coords[0]])
            drifts.append(
                Drift(
                    number=len(drifts) + 1,
                    item=int(item),
                    polygon=polygon,
                    places=gaps.places[own],
                    ribbon=False,
                    sun_h=float(hours.mean()),
                    depth=float(depths(outline, middle)[0]),
                    why=FillsGap(float(gaps.clearance_m[own].min())),
                )
            )
    return drifts, gaps, sum(cost)


def _groups(places: NDArray[np.float64], near_m: float) -> list[NDArray[np.intp]]:
    """Places in groups whose members stand within ``near_m`` of one another."""
    links = cKDTree(places).query_pairs(near_m, output_type="ndarray")
    size = len(places)
    graph = coo_matrix((np.ones(len(links)), (links[:, 0], links[:, 1])), shape=(size, size))
    count, group = connected_components(graph, directed=False)
    return [np.flatnonzero(group == k) for k in range(count)]
