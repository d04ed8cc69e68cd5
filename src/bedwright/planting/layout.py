"""The planting: palette, drifts, who stands where, and every plant's place."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Brief, kind_and_colour
from bedwright.catalogue import Catalogue
from bedwright.geometry import Outline, polygonal
from bedwright.light import Light
from bedwright.planting.bound import lower_bound
from bedwright.planting.candidates import Candidate, candidate_of
from bedwright.planting.changes import Find, read_changes, staying
from bedwright.planting.drifts import Cut, cut_drifts
from bedwright.planting.energy import Terms
from bedwright.planting.gaps import Gaps, fill_gaps
from bedwright.planting.objective import (
    LEAST_PLANTS,
    Sites,
    cells_of,
    local_parts,
    sites_of,
    terms_of,
)
from bedwright.planting.palette import NothingFitsError, Palette, choose_palette
from bedwright.planting.places import Drift, Part, place_all
from bedwright.planting.reasons import reasons_of
from bedwright.planting.recolour import in_place
from bedwright.planting.view import deepest, depths, front_ribbon, viewers
from bedwright.season import Course
from bedwright.units import say_length

ISLAND_HEIGHT, BORDER_HEIGHT = 1.0, 0.67
"""Tallest plant as a share of the way from edge to middle (half the width of an island bed) or of a
border's depth (common practice, no source)."""

LEAST_HEIGHT_LIMIT_M = 0.45
RIBBON_M = 0.20
"""Width of the edging before its kind is known."""

HOMELESS = "no drift had the sun and the room for it"
EDGING = "low enough to edge the bed"
STRETCH_M = 2.4
"""Length of a stretch where two edgings take turns."""

ROW_SHARE = 0.95
"""Width of a row of edging as a share of its spacing: near half a plant on each side."""

LEAST_DEPTH_FOR_RIBBON_M = 0.6
DRIFT_AREA_M2, DRIFT_GROWTH = 0.5, 0.035
"""A drift of about half a square metre and 3.5% of the bed: five in 3 m², thirteen in 12 m²
(estimate)."""

MOST_DRIFTS = 60
LEAST_DRIFT_M2 = 1e-6
SIZES = (1.25, 0.8, 1.0, 1.15, 0.8)
"""Sizes of drifts, which look better unequal (common practice, no source)."""

W_NARROW = 2.0
"""Price of a plant that fills none of the width that another would fill of a gap (estimate)."""

NEAR_M = 0.6
"""Distance within which plants of one kind among perennials are drawn as one drift."""

STEPS_PER_DRIFT = 12_000
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
class Planting:
    """Items and drifts, the kinds left out with the reason, the cost of the arrangement (see
    ``objective``) and, where it was asked for, the least that any could cost; the gaps of a border
    where only they are filled."""

    items: tuple[Item, ...]
    drifts: tuple[Drift, ...]
    left_out: dict[str, str]
    height_limit_m: float
    energy: float
    bound: float | None
    free_area_m2: float
    notes: tuple[str, ...]
    gaps: Gaps | None = None


def make_planting(
    brief: Brief,
    outline: Outline,
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    seed: int,
    proof_s: float = 0.0,
) -> Planting:
    """Lay out the bed by the brief's scheme (``wishes.variant``).  Raises NothingFitsError or
    geometry's GeometryError.

    ``proof_s``: seconds for finding the least that any arrangement of this palette could cost.
    """
    count = brief.wishes.variant
    return make_schemes(brief, outline, catalogue, courses, light, seed, count, proof_s)[-1]


def make_schemes(
    brief: Brief,
    outline: Outline,
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    seed: int,
    count: int,
    proof_s: float = 0.0,
) -> list[Planting]:
    """So many plantings of one bed, each passing over the kinds and colours of those before it for
    others as good.  Changes that the brief asks for are made in the one that it means."""
    ground = _Ground(brief, outline, catalogue, courses, light, seed)
    used: set[tuple[str, str]] = set()
    made = []
    for variant in range(1, count + 1):
        made.append(_planted(ground, frozenset(used), variant, proof_s))
        used |= {(i.candidate.kind.key, i.candidate.colour.name) for i in made[-1].items}
    return made


class _Ground(NamedTuple):
    """All that a planting is made from."""

    brief: Brief
    outline: Outline
    catalogue: Catalogue
    courses: dict[str, Course]
    light: Light
    seed: int


def _planted(
    ground: _Ground,
    used: frozenset[tuple[str, str]],
    variant: int,
    proof_s: float,
    homeless: frozenset[str] = frozenset(),
) -> Planting:
    """One scheme of the bed.  Kinds of the palette for which the arrangement finds no drift are
    ``homeless``: once, others are chosen instead."""
    from bedwright.planting.anneal import cost_of  # numba takes a second to import

    brief, outline, light = ground.brief, ground.outline, ground.light
    free = outline.free_ground(
        [shapely.Point(*plant.at).buffer(plant.spread / 2) for plant in brief.existing]
    )
    rng = np.random.default_rng([ground.seed, 200 + variant])
    limit = height_limit(outline, brief.wishes.height)
    ribbon, inside = _zones(outline, free, brief.wishes.edging, RIBBON_M)
    count = drift_count(inside.area)
    asked = [_finder(ground)(*kind_and_colour(words)) for words in brief.wishes.edge_with]
    wanted = tiers_wanted(count, limit, ribbon is not None, brief.wishes.kinds, outline)
    if asked:
        wanted.pop("edging", None)
    palette = choose_palette(
        ground.catalogue,
        ground.courses,
        light,
        brief.ground,
        brief.wishes.without(homeless),
        limit,
        wanted,
        used,
    )
    palette.left_out.update(dict.fromkeys(homeless, HOMELESS))
    chosen = sorted(
        palette.chosen, key=lambda c: (-c.kind.form.height_m, c.kind.key, c.colour.name)
    )
    if brief.wishes.gaps_only and brief.existing:
        return _in_gaps(ground, chosen, palette, limit, float(free.area))
    if asked and ribbon is None:
        narrow = "no edging: the bed is too narrow for one"
        palette = replace(palette, notes=(*palette.notes, narrow))
    if asked and ribbon is not None:
        chosen = [c for c in chosen if not any(_same(c, edge) for edge in asked)] + asked
    low = [c for c in chosen if not asked and c.tier == "edging"] or asked
    if ribbon is not None:
        # The ribbon is as wide as one row of what grows in it.
        row = max((c.kind.form.spacing_m for c in low), default=0.0) * ROW_SHARE
        ribbon, inside = _zones(outline, free, bool(low), row)
    body = [c for c in chosen if ribbon is None or all(c is not edge for edge in low)] or chosen
    sides = viewers(outline)
    toward = sides[0] if len(sides) == 1 else None
    cut = cut_drifts(inside, drift_shares(count), toward, rng)
    arranged = _arranged(ground, cut, body, palette.offered)
    placed = {body[k].kind.key for k in arranged.owners}
    unplaced = {item.kind.key for item in body} - placed - set(brief.wishes.grow)
    if unplaced and not homeless:
        return _planted(ground, used, variant, proof_s, frozenset(unplaced))
    if brief.changes and variant == brief.wishes.variant:
        arranged = _changed(ground, arranged)
    edging = [] if ribbon is None else _ribbon_parts(outline, ribbon, low, rng)
    chosen += [item for item in arranged.items if all(item is not c for c in chosen)]
    drifts = place_all(free, outline, light, _parts(ground, arranged) + edging, chosen)
    thin = _thin(arranged, drifts)
    if thin and not brief.changes:
        roomier = _roomier(ground, arranged, thin)
        again = place_all(free, outline, light, _parts(ground, roomier) + edging, chosen)
        if len(_thin(roomier, again)) < len(thin):
            arranged, drifts = roomier, again
    energy = cost_of(arranged.terms, arranged.owners)
    proven = proof_s > 0 and not brief.changes
    bound = lower_bound(arranged.terms, proof_s) if proven else None
    return _planting(
        drifts, chosen, palette, brief.wishes.grow, limit, energy, bound, float(free.area)
    )


def _in_gaps(
    ground: _Ground, chosen: list[Candidate], palette: Palette, limit: float, free_m2: float
) -> Planting:
    """Annuals in the gaps that a border's perennials will leave: each place the item that suits it
    best of those that are about as wide as its room."""
    brief, outline, light = ground.brief, ground.outline, ground.light
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
        raise NothingFitsError([("no gap that lasts wide enough for one plant", len(chosen))])
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
            clear = say_length(float(gaps.clearance_m[own].min()), brief.units)
            drifts.append(
                Drift(
                    len(drifts) + 1,
                    int(item),
                    polygon,
                    gaps.places[own],
                    False,
                    float(hours.mean()),
                    float(depths(outline, middle)[0]),
                    f"fills room that lasts, {clear} and more from what stays when it is grown",
                )
            )
    made = _planting(drifts, chosen, palette, brief.wishes.grow, limit, sum(cost), None, free_m2)
    said = (
        f"{len(gaps.places)} plants take up the room that what stays will leave; by the gaps of"
        f" spring one would set {gaps.naive}, and {gaps.smothered} of them would be smothered"
    )
    return replace(made, notes=(*made.notes, said), gaps=gaps)


def _groups(places: NDArray[np.float64], near_m: float) -> list[NDArray[np.intp]]:
    """Places in groups whose members stand within ``near_m`` of one another."""
    links = cKDTree(places).query_pairs(near_m, output_type="ndarray")
    size = len(places)
    graph = coo_matrix((np.ones(len(links)), (links[:, 0], links[:, 1])), shape=(size, size))
    count, group = connected_components(graph, directed=False)
    return [np.flatnonzero(group == k) for k in range(count)]


class _Arranged(NamedTuple):
    """Drifts and the item of each, with what the arrangement's costs are made of."""

    cut: Cut
    items: list[Candidate]
    owners: NDArray[np.int64]
    sites: Sites
    terms: Terms


def _arranged(
    ground: _Ground, cut: Cut, items: list[Candidate], offered: tuple[Candidate, ...]
) -> _Arranged:
    """The items in the drifts, their colours chosen once more when they have their places."""
    from bedwright.planting.anneal import anneal  # numba takes a second to import

    sites, terms = _sites_and_terms(ground, cut, items)
    every = np.arange(len(cut.drifts))
    steps = STEPS_PER_DRIFT * len(every)
    owners, _ = anneal(terms, every, np.argmin(terms.local, axis=1), steps, ground.seed)
    colours = in_place(items, offered, owners, sites, ground.brief.wishes)
    if any(new is not old for new, old in zip(colours, items, strict=True)):
        items = colours
        sites, terms = _sites_and_terms(ground, cut, items)
        owners, _ = anneal(terms, every, owners, steps, ground.seed)
    return _Arranged(cut, items, owners, sites, terms)


def _changed(ground: _Ground, first: _Arranged) -> _Arranged:
    """An arrangement with the changes that the brief asks for, no more moved than pays."""
    from bedwright.planting.anneal import anneal

    cut, owners = first.cut, first.owners
    asked = read_changes(ground.brief.changes, cut, owners, first.items, _finder(ground))
    if (asked.times != 1.0).any():
        cut = cut.resized(asked.times)
    sites, terms = _sites_and_terms(ground, cut, asked.items)
    start = owners.copy()
    start[list(asked.held)] = list(asked.held.values())
    free = np.setdiff1d(np.arange(len(start)), list(asked.held))
    if len(free):
        steps = STEPS_PER_DRIFT * len(start)
        start, _ = anneal(staying(terms, owners), free, start, steps, ground.seed)
    return _Arranged(cut, asked.items, start, sites, terms)


def _parts(ground: _Ground, arranged: _Arranged) -> list[Part]:
    """What is to be set in each drift, and why."""
    items = arranged.items
    reasons = reasons_of(arranged.terms, arranged.sites, items, arranged.owners, _last_year(ground))
    return [
        Part(patch, items[reason.item], False, reason.say(items, ground.brief.units))
        for patch, reason in zip(arranged.cut.drifts, reasons, strict=True)
        if patch.area > LEAST_DRIFT_M2
    ]


def _thin(arranged: _Arranged, drifts: list[Drift]) -> dict[int, int]:
    """The drifts in which fewer plants stand than make a group, and how many."""
    plants = {id(drift.polygon): len(drift.places) for drift in drifts}
    counts = {
        d: plants.get(id(patch), 0)
        for d, patch in enumerate(arranged.cut.drifts)
        if patch.area > LEAST_DRIFT_M2
    }
    return {d: count for d, count in counts.items() if count < LEAST_PLANTS}


def _roomier(ground: _Ground, first: _Arranged, thin: dict[int, int]) -> _Arranged:
    """An arrangement that knows how few plants stand in some drifts for their shape and for what
    their neighbours take, and has smaller kinds there where that pays."""
    from bedwright.planting.anneal import anneal

    filled = first.sites.filled.copy()
    for d, count in thin.items():
        spacing = first.items[first.owners[d]].kind.form.spacing_m
        filled[d] = min(filled[d], count * 0.866 * spacing**2 / first.sites.area_m2[d])
    sites = replace(first.sites, filled=filled)
    terms = terms_of(sites, first.items, _last_year(ground), first.terms.most)
    every = np.arange(len(first.owners))
    steps = STEPS_PER_DRIFT * len(every)
    owners, _ = anneal(terms, every, first.owners, steps, ground.seed)
    return first._replace(sites=sites, terms=terms, owners=owners)


def _sites_and_terms(ground: _Ground, cut: Cut, items: list[Candidate]) -> tuple[Sites, Terms]:
    """The drifts as the objective sees them, and the costs of these items in them."""
    sites = sites_of(ground.outline, ground.light, list(cut.drifts))
    most = int(np.ceil(len(cut.drifts) / len(items))) + 1
    return sites, terms_of(sites, items, _last_year(ground), most)


def _last_year(ground: _Ground) -> frozenset[str]:
    """Rotation groups that grew in the bed last year."""
    kinds = ground.catalogue.kinds
    return frozenset(kinds[key].safety.rotation for key in ground.brief.wishes.last_year) - {"none"}


def _same(one: Candidate, other: Candidate) -> bool:
    """Whether two are one colour form."""
    return one.kind.key == other.kind.key and one.colour.name == other.colour.name


def _finder(ground: _Ground) -> Find:
    """How a kind asked for by a change is found."""
    brief = ground.brief

    def find(key: str, colour: str | None) -> Candidate:
        return candidate_of(
            ground.catalogue, key, colour, ground.courses, ground.light, brief.ground, brief.wishes
        )

    return find


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
) -> list[Part]:
    """The ribbon whole, or in stretches of two edgings that take turns along the edge."""
    if len(low) < 2:
        return [Part(ribbon, low[0], True, EDGING)]
    # An even number, so that the turns close in a ring.
    stretches = 2 * max(
        round(outline.polygon.exterior.intersection(ribbon).length / STRETCH_M / 2), 1
    )
    cut = cut_drifts(ribbon, np.ones(stretches), None, rng)
    pieces = [piece for piece in cut.drifts if piece.area > 1e-6]
    edge = outline.polygon.exterior
    order = np.argsort([edge.project(piece.representative_point()) for piece in pieces])
    return [Part(pieces[k], low[n % len(low)], True, EDGING) for n, k in enumerate(order)]


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
            left_out[candidate.kind.key] = HOMELESS
    notes = list(palette.notes)
    notes += [f"{key}: asked for, but {left_out[key]}" for key in asked if key not in planted]
    renamed = tuple(replace(drift, item=renumber[drift.item]) for drift in drifts)
    return Planting(
        tuple(items),
        renamed,
        left_out,
        limit,
        energy,
        bound,
        free_area,
        tuple(notes),
    )


def letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(65 + rest) + text
    return text
