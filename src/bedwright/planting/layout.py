"""The planting: palette, drifts, who stands where, and every plant's place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Brief, kind_and_colour
from bedwright.catalogue import Catalogue
from bedwright.dates import day_month_year
from bedwright.geometry import TENTH_MM, Outline, polygonal
from bedwright.growth import Course
from bedwright.light import Light
from bedwright.planting.arrange import (
    Arranged,
    Given,
    arrange,
    parts_of,
    rearrange,
    thin_drifts,
    with_room,
)
from bedwright.planting.border import plant_gaps
from bedwright.planting.palette import Candidate, NothingFitsError, Palette, Purse, choose_palette
from bedwright.planting.place import (
    Drift,
    Gaps,
    Part,
    cut_drifts,
    deepest,
    front_ribbon,
    place_all,
    viewers,
)
from bedwright.planting.proof import lower_bound

ISLAND_HEIGHT, BORDER_HEIGHT = 1.0, 0.67
"""Tallest plant as a share of the way from edge to middle (half the width of an island bed) or of a
border's depth (common practice, no source)."""

LEAST_HEIGHT_LIMIT_M = 0.45
RIBBON_M = 0.20
"""Width of the edging before its kind is known."""

NO_ROOM = "no drift had the sun and the room for it"
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
SIZES = (1.25, 0.8, 1.0, 1.15, 0.8)
"""Sizes of drifts, which look better unequal (common practice, no source)."""

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
    where only they are filled; of the notes, the one that says why other than the wished number of
    colour forms are planted."""

    items: tuple[Item, ...]
    drifts: tuple[Drift, ...]
    left_out: dict[str, str]
    height_limit_m: float
    energy: float
    bound: float | None
    free_area_m2: float
    notes: tuple[str, ...]
    gaps: Gaps | None = None
    kinds_note: str | None = None

    def bloom_share(self) -> NDArray[np.float64]:
        """(26,) expected share of the planted area in bloom in each fortnight."""
        areas = np.array([item.area_m2 for item in self.items])
        odds = np.array([item.candidate.course.bloom.odds for item in self.items])
        return np.asarray(areas @ odds / areas.sum())


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
    return make_variants(brief, outline, catalogue, courses, light, seed, count, proof_s)[-1]


def make_variants(
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
    given = Given(brief, outline, catalogue, courses, light, seed)
    used: set[tuple[str, str]] = set()
    made = []
    for variant in range(1, count + 1):
        made.append(_planted(given, frozenset(used), variant, proof_s))
        used |= {(i.candidate.kind.key, i.candidate.colour.name) for i in made[-1].items}
    return made


def _planted(
    given: Given,
    used: frozenset[tuple[str, str]],
    variant: int,
    proof_s: float,
    unplaced_before: frozenset[str] = frozenset(),
) -> Planting:
    """One scheme of the bed.  Kinds of the palette for which the arrangement finds no drift are
    ``unplaced_before``: once, others are chosen instead."""
    from bedwright.planting.arrange import cost_of

    brief, outline = given.brief, given.outline
    free = outline.free_ground(
        [shapely.Point(*plant.at).buffer(plant.spread / 2) for plant in brief.existing]
    )
    free_m2, grow = float(free.area), brief.wishes.grow
    rng = np.random.default_rng([given.seed, 200 + variant])
    limit = height_limit(outline, brief.wishes.height)
    ribbon, inside = _zones(outline, free, brief.wishes.edging, RIBBON_M)
    count = drift_count(inside.area)
    edging = [given.find(*kind_and_colour(words)) for words in brief.wishes.edge_with]
    wanted = tiers_wanted(count, limit, ribbon is not None, brief.wishes.kinds, outline)
    if edging:
        wanted.pop("edging", None)
    palette = _palette(given, unplaced_before, limit, wanted, used)
    chosen = by_height(palette.chosen)
    if brief.wishes.gaps_only and brief.existing:
        drifts, gaps, energy = plant_gaps(given, chosen)
        palette = replace(palette, notes=(*palette.notes, _say_gaps(gaps)))
        made = _planting(drifts, chosen, palette, grow, limit, energy, None, free_m2)
        return _with_notes(replace(made, gaps=gaps), brief, palette, sum(wanted.values()), count)
    if edging and ribbon is None:
        narrow = "no edging: the bed is too narrow for one"
        palette = replace(palette, notes=(*palette.notes, narrow))
    if edging and ribbon is not None:
        chosen = [c for c in chosen if not any(_same(c, edge) for edge in edging)] + edging
    low = edging or [c for c in chosen if c.tier == "edging"]
    if ribbon is not None:
        # The ribbon is as wide as one row of what grows in it.
        row = max((c.kind.form.spacing_m for c in low), default=0.0) * ROW_SHARE
        ribbon, inside = _zones(outline, free, bool(low), row)
    body = [c for c in chosen if ribbon is None or all(c is not edge for edge in low)] or chosen
    sides = viewers(outline)
    toward = sides[0] if len(sides) == 1 else None
    cut = cut_drifts(inside, drift_shares(count), toward, rng)
    arranged = arrange(given, cut, body, replace(palette, chosen=tuple(chosen)))
    placed = {arranged.items[k].kind.key for k in arranged.owners}
    unplaced = {item.kind.key for item in arranged.items} - placed - set(grow)
    if unplaced and not unplaced_before:
        return _planted(given, used, variant, proof_s, frozenset(unplaced))
    palette.left_out.update(_exchanges(body, arranged.items))
    if brief.changes and variant == brief.wishes.variant:
        arranged = rearrange(given, arranged)
    chosen = by_height([*([] if ribbon is None else low), *arranged.items])
    rows = [] if ribbon is None else _ribbon_parts(outline, ribbon, low, rng)
    arranged, drifts = _drawn(given, free, arranged, rows, chosen)
    energy = cost_of(arranged.terms, arranged.owners)
    proven = proof_s > 0 and not brief.changes
    bound = lower_bound(arranged.terms, proof_s, energy) if proven else None
    made = _planting(drifts, chosen, palette, grow, limit, energy, bound, free_m2)
    return _with_notes(made, brief, palette, sum(wanted.values()), count)


def _with_notes(
    made: Planting, brief: Brief, palette: Palette, wanted: int, count: int
) -> Planting:
    """A planting with what must be said of wishes that it does not keep, or does not weigh.

    ``wanted``: colour forms that the palette was to have; ``count``: drifts of the bed's body.
    """
    kinds = _say_kinds(made, brief, palette, wanted, count)
    notes = [kinds] if kinds else []
    if brief.wishes.gaps_only and not brief.existing:
        notes.append("gaps_only: no plant that stays is named, so the whole bed is planted")
    if brief.dates.show is not None:
        notes.append(
            f"the show day, {day_month_year(brief.dates.show)}, is in the calendar with the kinds"
            " likely to be in flower; kinds are chosen for bloom all season, not for that day"
        )
    return replace(made, notes=(*made.notes, *notes), kinds_note=kinds)


def _say_kinds(
    made: Planting, brief: Brief, palette: Palette, wanted: int, count: int
) -> str | None:
    """Why other than the wished number of colour forms are planted, in words."""
    asked, got = brief.wishes.kinds, len(made.items)
    if asked is None or asked == got:
        return None
    said = f"{asked} colour form{'s' if asked > 1 else ''} asked for, {got} planted: "
    named = len({*brief.wishes.grow, *brief.wishes.edge_with})
    if got > asked:
        named_too = "the kinds named for the bed and its edging come to more"
        return said + (named_too if named else "the bed's heights want at least one of each")
    why = []
    if wanted < asked:
        rest = ", and the edging" if any(drift.ribbon for drift in made.drifts) else ""
        drifts = f"{count} drift{'s' if count > 1 else ''}"
        why.append(f"the bed has room for {drifts}, one colour form to each{rest}")
    suited = len({c.kind.key for c in palette.offered})
    if len(palette.chosen) < wanted and suited < wanted:
        suit = f"{suited} kinds suit" if suited > 1 else "one kind suits"
        why.append(f"only {suit} the light, the season, the height and the wishes")
    elif len(palette.chosen) < wanted:
        why.append("no more go together by height, family, form of flower and colour")
    if got < min(len(palette.chosen), wanted):
        lost = "gap" if made.gaps is not None else "drift"
        why.append(f"the others found no {lost} with the sun and the room that they need")
    return said + "; ".join(why or ["those left were no better than what is planted"])


def _palette(
    given: Given,
    unplaced_before: frozenset[str],
    limit_m: float,
    wanted: dict[str, int],
    used: frozenset[tuple[str, str]],
) -> Palette:
    """The palette, without kinds that found no drift."""
    brief = given.brief
    wishes = brief.wishes.without(unplaced_before)
    palette = choose_palette(
        given.catalogue,
        given.courses,
        given.light,
        brief.ground,
        wishes,
        limit_m,
        wanted,
        used,
        purse_of(brief, given.outline.polygon.area, sum(wanted.values())),
    )
    palette.left_out.update(dict.fromkeys(unplaced_before, NO_ROOM))
    return palette


def purse_of(brief: Brief, area_m2: float, kinds: int) -> Purse | None:
    """What the bed and its kinds may cost, where the brief has a budget above 0."""
    if not brief.wishes.budget:
        return None
    packet = brief.prices.seed_packet
    share_m2 = area_m2 / max(kinds, 1)
    return Purse(
        brief.wishes.budget / area_m2,
        None if packet is None else packet / share_m2,
        brief.prices.plant,
    )


def _drawn(
    given: Given, free: BaseGeometry, first: Arranged, rows: list[Part], chosen: list[Candidate]
) -> tuple[Arranged, list[Drift]]:
    """Every plant in its place, and the arrangement that they stand in: where it leaves drifts with
    too few plants it is made again once, knowing so, and kept if that leaves fewer."""
    outline, light = given.outline, given.light
    drifts = place_all(free, outline, light, parts_of(given, first) + rows, chosen)
    thin = thin_drifts(first, drifts)
    if thin and not given.brief.changes:
        then = with_room(given, first, thin)
        again = place_all(free, outline, light, parts_of(given, then) + rows, chosen)
        if len(thin_drifts(then, again)) < len(thin):
            return then, again
    return first, drifts


def _say_gaps(gaps: Gaps) -> str:
    """What an eye on spring's gaps would have done, in words."""
    return (
        f"{len(gaps.places)} plants take up the room that what stays will leave; by the gaps of"
        f" spring one would set {gaps.naive}, and {gaps.smothered} of them would be smothered"
    )


def _exchanges(before: list[Candidate], after: list[Candidate]) -> dict[str, str]:
    """Why kinds of the palette were exchanged for others, by key."""
    return {
        old.kind.key: f"{new.kind.name} goes better with what stands beside it in this bed"
        for old, new in zip(before, after, strict=True)
        if new.kind.key != old.kind.key
    }


def by_height(items: Iterable[Candidate]) -> list[Candidate]:
    """Each once, the tallest first."""
    once = {(c.kind.key, c.colour.name): c for c in items}
    return sorted(once.values(), key=lambda c: (-c.kind.form.height_m, c.kind.key, c.colour.name))


def _same(one: Candidate, other: Candidate) -> bool:
    """Whether two are one colour form."""
    return one.kind.key == other.kind.key and one.colour.name == other.colour.name


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
    """The ribbon along the viewed edge, if the bed is deep enough and any of its edge is free, and
    the rest."""
    if not edging or deepest(outline) < LEAST_DEPTH_FOR_RIBBON_M - TENTH_MM:
        return None, free
    ribbon = polygonal(front_ribbon(outline, width_m).intersection(free))
    inside = polygonal(free.difference(ribbon))
    if inside.area < 0.3 * free.area or ribbon.area < width_m**2:
        return None, free
    return ribbon, inside


def _ribbon_parts(
    outline: Outline, ribbon: BaseGeometry, low: list[Candidate], rng: np.random.Generator
) -> list[Part]:
    """The ribbon whole, or in stretches of two edgings that take turns along the edge."""
    if len(low) < 2:
        return [Part(ribbon, low[0], True, EDGING)]
    # An even number, so that the turns close in a ring.
    pairs = round(outline.polygon.exterior.intersection(ribbon).length / STRETCH_M / 2)
    stretches = 2 * int(np.clip(pairs, 1, MOST_DRIFTS // 2))
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
    planted = {i.candidate.kind.key for i in items}
    left_out = {key: why for key, why in palette.left_out.items() if key not in planted}
    for candidate in chosen:
        if candidate.kind.key not in planted:
            left_out[candidate.kind.key] = NO_ROOM
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
