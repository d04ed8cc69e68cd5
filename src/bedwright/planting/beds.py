"""How a bed is laid out before it is planted: its height, its edging, its drifts (number and size),
and the colour forms wanted of each height."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.geometry import TENTH_MM, Outline, polygonal
from bedwright.planting.palette import Candidate
from bedwright.planting.place import Part, cut_drifts, deepest, front_ribbon
from bedwright.planting.why import LowEnoughToEdge

ISLAND_HEIGHT, BORDER_HEIGHT = 1.0, 0.67
"""Tallest plant as a share of the way from edge to middle (half the width of an island bed) or of a
border's depth (common practice, no source)."""

LEAST_HEIGHT_LIMIT_M = 0.45
FRONT_ONLY_M, NO_BACK_M = 0.55, 0.8
"""Limits of height up to which a bed has only front kinds, and up to which it has no back kinds
(estimate)."""

FORMS_PER_DRIFT, MOST_FORMS = 0.5, 10
"""Colour forms wanted for each drift, besides one, and at most (estimate)."""

LONG_EDGE_M = 11.0
"""Length of a bed's edge beyond which two edgings take turns (estimate)."""

LEAST_INSIDE = 0.3
"""Share of the free ground that an edging leaves at least (estimate)."""

STRETCH_M = 2.4
"""Length of a stretch where two edgings take turns."""

LEAST_DEPTH_FOR_RIBBON_M = 0.6
DRIFT_AREA_M2, DRIFT_GROWTH = 0.5, 0.035
"""A drift of about half a square metre and 3.5% of the bed: five in 3 m², thirteen in 12 m²
(estimate)."""

LEAST_PIECE_M2 = 1e-6
"""Area of a stretch of edging that is no more than a cut's remnant."""

MOST_DRIFTS = 60
SIZES = (1.25, 0.8, 1.0, 1.15, 0.8)
"""Sizes of drifts, which look better unequal (common practice, no source)."""


def height_limit(outline: Outline, wish_m: float | None) -> float:
    """Tallest plant: what the gardener says, or what suits the bed's width."""
    share = ISLAND_HEIGHT if outline.from_all_sides else BORDER_HEIGHT
    rule = max(share * deepest(outline), LEAST_HEIGHT_LIMIT_M)
    return rule if wish_m is None else wish_m


def drift_count(area_m2: float) -> int:
    """How many drifts the bed's body is cut into."""
    size = DRIFT_AREA_M2 + DRIFT_GROWTH * area_m2
    return int(np.clip(round(area_m2 / size), 1, MOST_DRIFTS))


def drift_shares(count: int) -> NDArray[np.float64]:
    """(count,) sizes of the drifts, beside one another: large, small and middling by turns."""
    return np.resize(np.array(SIZES), count)


def tiers_wanted(
    drifts: int, limit_m: float, ribbon: bool, kinds: int | None, outline: Outline
) -> dict[str, int]:
    """How many colour forms of each height are wanted."""
    body = kinds - 1 if kinds is not None and ribbon and kinds > 1 else kinds
    body = (
        body
        if body is not None
        else int(np.clip(round(FORMS_PER_DRIFT * drifts) + 1, 1, MOST_FORMS))
    )
    body = max(min(body, drifts), 1)
    tiers = ["front"] + ["middle"] * (limit_m > FRONT_ONLY_M) + ["back"] * (limit_m > NO_BACK_M)
    wanted = dict.fromkeys(tiers, 0)
    for n in range(body):
        wanted[tiers[n % len(tiers)]] += 1
    if ribbon and (kinds is None or kinds > 1):
        wanted["edging"] = 2 if outline.perimeter_m > LONG_EDGE_M and kinds is None else 1
    return {tier: count for tier, count in wanted.items() if count}


def zones(
    outline: Outline, free: BaseGeometry, edging: bool, width_m: float
) -> tuple[BaseGeometry | None, BaseGeometry]:
    """The ribbon along the viewed edge, if the bed is deep enough and any of its edge is free, and
    the rest."""
    if not edging or deepest(outline) < LEAST_DEPTH_FOR_RIBBON_M - TENTH_MM:
        return None, free
    ribbon = polygonal(front_ribbon(outline, width_m).intersection(free))
    inside = polygonal(free.difference(ribbon))
    if inside.area < LEAST_INSIDE * free.area or ribbon.area < width_m**2:
        return None, free
    return ribbon, inside


def ribbon_parts(
    outline: Outline, ribbon: BaseGeometry, low: list[Candidate], rng: np.random.Generator
) -> list[Part]:
    """The ribbon whole, or in stretches of two edgings that take turns along the edge."""
    if len(low) < 2:
        return [Part(ribbon, low[0], True, LowEnoughToEdge())]
    # An even number, so that the turns close in a ring.
    pairs = round(outline.polygon.exterior.intersection(ribbon).length / STRETCH_M / 2)
    stretches = 2 * int(np.clip(pairs, 1, MOST_DRIFTS // 2))
    cut = cut_drifts(ribbon, np.ones(stretches), None, rng)
    pieces = [piece for piece in cut.drifts if piece.area > LEAST_PIECE_M2]
    edge = outline.polygon.exterior
    order = np.argsort([edge.project(piece.representative_point()) for piece in pieces])
    return [
        Part(pieces[k], low[n % len(low)], True, LowEnoughToEdge()) for n, k in enumerate(order)
    ]
