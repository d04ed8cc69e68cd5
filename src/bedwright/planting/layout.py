"""The planting: palette, drifts, who stands where, and every plant's place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Brief
from bedwright.catalogue import Catalogue
from bedwright.geometry import Outline, polygonal
from bedwright.light import Light
from bedwright.planting.bound import lower_bound
from bedwright.planting.drifts import cut_drifts
from bedwright.planting.objective import cells_of, sites_of, terms_of
from bedwright.planting.palette import Candidate, NothingFitsError, Palette, choose_palette
from bedwright.planting.stagger import Placed, fill_drift, fill_line, top_up
from bedwright.planting.view import deepest, depths, front_ribbon, viewers
from bedwright.season import Course

ISLAND_HEIGHT, BORDER_HEIGHT = 1.0, 0.67
"""Tallest plant as a share of the way from edge to middle (half the width of an island bed) or of a
border's depth (common practice, no source)."""

LEAST_HEIGHT_LIMIT_M = 0.45
RIBBON_M = 0.20
"""Width of the edging before its kind is known."""

STRETCH_M = 2.4
"""Length of a stretch where two edgings take turns."""

ROW_SHARE = 0.95
"""Width of a row of edging as a share of its spacing: near half a plant on each side."""

LEAST_DEPTH_FOR_RIBBON_M = 0.6
DRIFT_AREA_M2, DRIFT_GROWTH = 0.5, 0.035
"""A drift of about half a square metre and 3.5% of the bed: five in 3 m², thirteen in 12 m²
(estimate)."""

MOST_DRIFTS = 60
SIZES = (1.25, 0.8, 1.0, 1.15, 0.8)
"""Sizes of drifts, which look better unequal (common practice, no source)."""

STEPS_PER_DRIFT = 3000
"""Moves that each restart of the annealing tries for each drift (``benchmarks/planting.py``)."""

SPARE_SHARE = 0.10
"""One spare plant in ten for losses after planting (common practice, no source)."""


@dataclass(frozen=True)
class Item:
    """One colour form on the plan, under its letter."""

    letter: str
    candidate: Candidate
    plants: int
    spares: int
    drifts: int
    area_m2: float

    @property
    def label(self) -> str:
        """Kind and colour, as printed."""
        return f"{self.candidate.kind.name}, {self.candidate.colour.name}"


@dataclass(frozen=True)
class Drift:
    """A patch of one colour form: polygon (m), its plants' places (n, 2), mean hours of sun."""

    number: int
    item: int
    polygon: BaseGeometry
    places: NDArray[np.float64]
    ribbon: bool
    sun_h: float
    depth: float


@dataclass(frozen=True)
class Planting:
    """Items and drifts, the kinds left out with the reason, the cost of the arrangement (see
    ``objective``) and, where it was asked for, the least that any could cost."""

    items: tuple[Item, ...]
    drifts: tuple[Drift, ...]
    left_out: dict[str, str]
    height_limit_m: float
    energy: float
    bound: float | None
    free_area_m2: float
    notes: tuple[str, ...]


def make_planting(
    brief: Brief,
    outline: Outline,
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    seed: int,
    prove: bool = False,
) -> Planting:
    """Lay out the bed.  Raises NothingFitsError or geometry's GeometryError.

    ``prove``: find also the least that any arrangement of this palette could cost.
    """
    free = outline.free_ground(
        [shapely.Point(*plant.at).buffer(plant.spread / 2) for plant in brief.existing]
    )
    rng = np.random.default_rng([seed, 201])
    limit = height_limit(outline, brief.wishes.height)
    ribbon, inside = _zones(outline, free, brief.wishes.edging, RIBBON_M)
    count = drift_count(inside.area)
    wanted = tiers_wanted(count, limit, ribbon is not None, brief.wishes.kinds, outline)
    palette = choose_palette(catalogue, courses, light, brief.ground, brief.wishes, limit, wanted)
    chosen = sorted(
        palette.chosen, key=lambda c: (-c.kind.form.height_m, c.kind.key, c.colour.name)
    )
    low = [c for c in chosen if c.tier == "edging"]
    if ribbon is not None:
        # The ribbon is as wide as one row of what grows in it.
        row = max((c.kind.form.spacing_m for c in low), default=0.0) * ROW_SHARE
        ribbon, inside = _zones(outline, free, bool(low), row)
    body = [c for c in chosen if ribbon is None or c.tier != "edging"] or chosen
    sides = viewers(outline)
    toward = sides[0] if len(sides) == 1 else None
    patches = cut_drifts(inside, drift_shares(count), toward, rng)
    last_year = frozenset(
        kind.safety.rotation
        for kind in (catalogue.find(name) for name in brief.wishes.last_year)
        if kind is not None and kind.safety.rotation != "none"
    )
    owners, energy, bound = _assign_patches(outline, light, patches, body, last_year, seed, prove)
    parts = [(patch, body[i], False) for patch, i in zip(patches, owners, strict=True)]
    if ribbon is not None:
        parts += _ribbon_parts(outline, ribbon, low, rng)
    drifts = _placed(free, outline, light, parts, chosen)
    return _planting(
        drifts, chosen, palette, brief.wishes.grow, limit, energy, bound, float(free.area)
    )


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
    body = body if body is not None else int(np.clip(round(0.5 * drifts) + 1, 1, 10))
    body = max(min(body, drifts), 1)
    tiers = ["front"] + ["middle"] * (limit_m > 0.55) + ["back"] * (limit_m > 0.8)
    wanted = dict.fromkeys(tiers, 0)
    for n in range(body):
        wanted[tiers[n % len(tiers)]] += 1
    if ribbon and (kinds is None or kinds > 1):
        wanted["edging"] = 2 if outline.perimeter_m > 11.0 and kinds is None else 1
    return {tier: count for tier, count in wanted.items() if count}


def _zones(
    outline: Outline, free: BaseGeometry, edging: bool, width_m: float
) -> tuple[BaseGeometry | None, BaseGeometry]:
    """The ribbon along the viewed edge, if the bed is deep enough, and the rest."""
    if not edging or deepest(outline) < LEAST_DEPTH_FOR_RIBBON_M:
        return None, free
    ribbon = polygonal(front_ribbon(outline, width_m).intersection(free))
    inside = polygonal(free.difference(ribbon))
    if inside.area < 0.3 * free.area:
        return None, free
    return ribbon, inside


def _ribbon_parts(
    outline: Outline, ribbon: BaseGeometry, low: list[Candidate], rng: np.random.Generator
) -> list[tuple[BaseGeometry, Candidate, bool]]:
    """The ribbon whole, or in stretches of two edgings that take turns along the edge."""
    if len(low) < 2:
        return [(ribbon, low[0], True)]
    # An even number, so that the turns close in a ring.
    stretches = 2 * max(
        round(outline.polygon.exterior.intersection(ribbon).length / STRETCH_M / 2), 1
    )
    pieces = cut_drifts(ribbon, np.ones(stretches), None, rng)
    edge = outline.polygon.exterior
    order = np.argsort([edge.project(piece.representative_point()) for piece in pieces])
    return [(pieces[k], low[n % len(low)], True) for n, k in enumerate(order)]


def _assign_patches(
    outline: Outline,
    light: Light,
    patches: list[BaseGeometry],
    body: list[Candidate],
    last_year: frozenset[str],
    seed: int,
    prove: bool,
) -> tuple[NDArray[np.int64], float, float | None]:
    """Item of each drift, the cost reached, and the least that any arrangement could cost."""
    from bedwright.planting.anneal import anneal  # numba takes a second to import

    most = int(np.ceil(len(patches) / len(body))) + 1
    terms = terms_of(sites_of(outline, light, patches), body, last_year, most)
    start = np.argmin(terms.local, axis=1)
    free = np.arange(len(patches))
    owners, energy = anneal(terms, free, start, STEPS_PER_DRIFT * len(patches), seed)
    return owners, energy, lower_bound(terms) if prove else None


def _placed(
    bed: BaseGeometry,
    outline: Outline,
    light: Light,
    parts: list[tuple[BaseGeometry, Candidate, bool]],
    chosen: list[Candidate],
) -> list[Drift]:
    """Fill every part: the edging first, for its row must not break, then the widest spacing."""
    placed = Placed()
    order = sorted(
        range(len(parts)), key=lambda k: (not parts[k][2], -parts[k][1].kind.form.spacing_m)
    )
    filled: dict[int, NDArray[np.float64]] = {}
    for k in order:
        polygon, candidate, ribbon = parts[k]
        spacing = candidate.kind.form.spacing_m
        filled[k] = (fill_line if ribbon else fill_drift)(polygon, bed, spacing, placed)
        placed.add(filled[k], spacing)
    for k in sorted(order, key=lambda k: parts[k][1].kind.form.spacing_m):
        polygon, candidate, _ = parts[k]
        spacing = candidate.kind.form.spacing_m
        more = top_up(polygon, bed, spacing, placed)
        filled[k] = np.concatenate([filled[k], more])
        placed.add(more, spacing)
    rank = {id(c): n for n, c in enumerate(chosen)}
    middles = np.array([p.representative_point().coords[0] for p, _, _ in parts])
    back = depths(outline, middles)
    drifts: list[Drift] = []
    for k, (polygon, candidate, ribbon) in enumerate(parts):
        if len(filled[k]) == 0:
            continue
        cells = cells_of(polygon, light)
        hours = float(light.over(candidate.course.window)[cells].mean())
        drifts.append(
            Drift(
                len(drifts) + 1,
                rank[id(candidate)],
                polygon,
                filled[k],
                ribbon,
                hours,
                float(back[k]),
            )
        )
    return drifts


def _planting(
    drifts: list[Drift],
    chosen: list[Candidate],
    palette: Palette,
    asked: tuple[str, ...],
    limit: float,
    energy: float,
    bound: float | None,
    free_area: float,
) -> Planting:
    """Letters for the items that got a place, counts, spares, and what must be told."""
    if not drifts:
        raise NothingFitsError([("no room: the bed is narrower than their spacing", len(chosen))])
    used = sorted({d.item for d in drifts})
    renumber = {old: new for new, old in enumerate(used)}
    items = []
    for new, old in enumerate(used):
        own = [d for d in drifts if d.item == old]
        plants = sum(len(d.places) for d in own)
        spares = int(np.ceil(SPARE_SHARE * plants))
        area = float(sum(d.polygon.area for d in own))
        items.append(Item(letter(new), chosen[old], plants, spares, len(own), area))
    left_out = dict(palette.left_out)
    planted = {i.candidate.kind.key for i in items}
    for candidate in chosen:
        if candidate.kind.key not in planted:
            left_out[candidate.kind.key] = "no drift had room for it"
    notes = list(palette.notes)
    notes += [f"{key}: asked for, but {left_out[key]}" for key in asked if key not in planted]
    renamed = tuple(
        Drift(d.number, renumber[d.item], d.polygon, d.places, d.ribbon, d.sun_h, d.depth)
        for d in drifts
    )
    return Planting(tuple(items), renamed, left_out, limit, energy, bound, free_area, tuple(notes))


def letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(65 + rest) + text
    return text
