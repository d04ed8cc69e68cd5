"""The plants of every drift: set in their lattices and rows, small groups made odd, gaps filled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from bedwright.facts import Fact
from bedwright.geometry import Outline
from bedwright.light import Light, cells_of
from bedwright.planting.palette import Candidate
from bedwright.planting.place.rows import rows_of
from bedwright.planting.place.stagger import Placed, fill_drift, fill_line, row_in, top_up
from bedwright.planting.place.view import depths

ODD_BELOW = 8
"""Plants below which a group is made odd in number (Texas A&M AgriLife, Planting Annuals, 2014, and
WVU Extension, Gardening with Flowers: small groups in odd numbers)."""

BESIDE_ROW = 0.15
"""How far beside its row a plant of an edging may stand, in spacings."""

WIDER = (1.03, 1.06, 1.1, 1.15, 1.2, 1.25)
"""Spacings tried for one plant fewer in a drift."""


@dataclass(frozen=True)
class Drift:
    """A patch of one colour form: polygon (m), its plants' places (n, 2), mean hours of sun, why it
    holds what it holds; of a kind sown in place, rows: (m, 2) lines through the places; of the
    bed's body, the number of its patch in the cut."""

    number: int
    item: int
    polygon: BaseGeometry
    places: NDArray[np.float64]
    ribbon: bool
    sun_h: float
    depth: float
    why: Fact | None
    rows: tuple[NDArray[np.float64], ...] = ()
    patch: int | None = None


class Part(NamedTuple):
    """Ground for one item, why it stands there, and of the bed's body the number of its patch in
    the cut."""

    polygon: BaseGeometry
    item: Candidate
    ribbon: bool
    why: Fact | None = None
    patch: int | None = None


def place_all(
    bed: BaseGeometry,
    outline: Outline,
    light: Light,
    parts: list[Part],
    chosen: list[Candidate],
) -> list[Drift]:
    """Fill every part: the edging first, for its row must not break, then what holds fewest."""
    placed = Placed()
    order = sorted(range(len(parts)), key=lambda k: (not parts[k].ribbon, _room(parts[k])))
    filled: dict[int, NDArray[np.float64]] = {}
    for k in order:
        spacing = parts[k].item.kind.form.spacing_m
        fill = fill_line if parts[k].ribbon else fill_drift
        filled[k] = fill(parts[k].polygon, bed, spacing, placed)
        if not parts[k].ribbon:
            filled[k] = _odd(filled[k], parts[k].polygon, bed, spacing, placed)
        placed.add(filled[k], spacing)
    for k in sorted(order, key=lambda k: parts[k].item.kind.form.spacing_m):
        spacing, ground = parts[k].item.kind.form.spacing_m, parts[k].polygon
        if parts[k].ribbon and len(filled[k]):
            ground = row_in(ground, bed, spacing).buffer(BESIDE_ROW * spacing)
        more = top_up(ground, bed, spacing, placed)
        filled[k] = np.concatenate([filled[k], more])
        placed.add(more, spacing)
        if not parts[k].ribbon and _even(len(filled[k])):
            filled[k] = _without_closest(filled[k], placed)
    rank = {_form(c): n for n, c in enumerate(chosen)}
    middles = np.array([part.polygon.representative_point().coords[0] for part in parts])
    back = depths(outline, middles)
    drifts: list[Drift] = []
    for k, part in enumerate(parts):
        if len(filled[k]) == 0:
            continue
        course, spacing = part.item.course, part.item.kind.form.spacing_m
        hours = light.over(course.window)[cells_of(part.polygon, light)]
        sown = course.method == "in_place"
        drifts.append(
            Drift(
                number=len(drifts) + 1,
                item=rank[_form(part.item)],
                polygon=part.polygon,
                places=filled[k],
                ribbon=part.ribbon,
                sun_h=float(hours.mean()),
                depth=float(back[k]),
                why=part.why,
                rows=rows_of(part.polygon, filled[k], spacing, part.ribbon) if sown else (),
                patch=part.patch,
            )
        )
    return drifts


def _form(item: Candidate) -> tuple[str, str]:
    """A colour form by its names: the same one may stand in a bed's edging and within."""
    return item.kind.key, item.colour.name


def _room(part: Part) -> float:
    """How many plants a part holds, about."""
    return float(part.polygon.area / part.item.kind.form.spacing_m**2)


def _odd(
    places: NDArray[np.float64],
    drift: BaseGeometry,
    bed: BaseGeometry,
    spacing_m: float,
    placed: Placed,
) -> NDArray[np.float64]:
    """A small group's places; where they are even in number, one fewer, a little farther apart."""
    if not _even(len(places)):
        return places
    for wider in WIDER:
        fewer = fill_drift(drift, bed, spacing_m * wider, placed)
        if len(fewer) == len(places) - 1:
            return fewer
    return places


def _even(count: int) -> bool:
    """Whether a group is small and even in number; of two plants none can be spared."""
    return count % 2 == 0 and 2 < count < ODD_BELOW


def _without_closest(places: NDArray[np.float64], placed: Placed) -> NDArray[np.float64]:
    """A group without the plant that its neighbours of any kind stand closest to."""
    gaps, _ = cKDTree(placed.places).query(places, k=4)
    return np.delete(places, int(np.argmin(np.sum(gaps, axis=1))), axis=0)
