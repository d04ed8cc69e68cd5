"""The planting: palette, drifts, which kind stands where, and every plant's place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Brief, kind_and_colour
from bedwright.catalogue import Catalogue
from bedwright.geometry import TENTH_MM, Outline
from bedwright.growth import Course
from bedwright.light import Light
from bedwright.planting.arrange import (
    Arranged,
    ChangeError,
    Given,
    NothingInstead,
    arrange,
    parts_of,
    rearrange,
    rivals_of,
    thin_drifts,
    with_room,
    without_kinds,
)
from bedwright.planting.beds import (
    drift_count,
    drift_shares,
    height_limit,
    ribbon_parts,
    tiers_wanted,
    zones,
)
from bedwright.planting.border import plant_gaps
from bedwright.planting.made import Drawn, Layout, Planting, gaps_note, planting_of
from bedwright.planting.palette import (
    Candidate,
    ExchangedFor,
    LeftOut,
    LeftOutAsWished,
    NoRoom,
    Palette,
    Purse,
    Room,
    choose_palette,
)
from bedwright.planting.place import Drift, Part, cut_drifts, place_all, viewers
from bedwright.planting.proof import lower_bound

RIBBON_M = 0.20
"""Width of the edging before its kind is known."""

ROW_SHARE = 0.95
"""Width of a row of edging as a share of its spacing: near half a plant on each side."""


def make_planting(
    brief: Brief,
    outline: Outline,
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    seed: int,
    proof_steps: int = 0,
    spent: float = 0.0,
    first: FirstPlanting | None = None,
) -> Planting:
    """Lay out the bed by the brief's scheme (``wishes.variant``).  Raises NothingFitsError,
    ChangeError or geometry's GeometryError.

    ``proof_steps``: steps of the search for the least that any arrangement of this palette could
    cost, 0 for none; ``spent``: known costs of the rest, which the budget has to pay first;
    ``first``: what ``first_planting`` made of the same, where it is at hand.  Raises ValueError
    where that was made of something else.
    """
    given = Given(brief, outline, catalogue, courses, light, seed, spent)
    _check_first(first, given)
    return _finished((first or _first_of(given)).scheme, given, proof_steps)


def _check_first(first: FirstPlanting | None, given: Given) -> None:
    """Raises ValueError where a first planting was made of something else."""
    if first is not None and not first.serves(given):
        raise ValueError(
            "first planting: given one of another bed, brief or seed; "
            "accepted: one of a brief that differs in its changes alone"
        )


class FirstPlanting(NamedTuple):
    """A bed planted as if no changes were asked, as far as changes are made in it: what it was made
    from, its brief without changes; and its ``scheme``."""

    given: Given
    scheme: _Scheme | Planting

    @property
    def patches(self) -> tuple[BaseGeometry, ...]:
        """The drifts as they were first cut, metres, by ``Drift.patch``: those that changes mean.
        None where only gaps are planted."""
        return () if isinstance(self.scheme, Planting) else tuple(self.scheme.arranged.cut.drifts)

    def serves(self, given: Given) -> bool:
        """Whether it is what would be made of something given, whatever its changes."""
        mine, other = self.given, _unchanged(given)
        return mine.brief == other.brief and all(
            one is two or (isinstance(one, int | float) and one == two)
            for one, two in zip(mine[1:], other[1:], strict=True)
        )


def first_planting(
    brief: Brief,
    outline: Outline,
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    seed: int,
    spent: float = 0.0,
) -> FirstPlanting:
    """The bed planted as if no changes were asked, for ``make_planting`` to make changes in:
    palette, drifts and arrangement, which take most of the time.  Raises NothingFitsError or
    GeometryError."""
    return _first_of(Given(brief, outline, catalogue, courses, light, seed, spent))


def make_variants(
    brief: Brief,
    outline: Outline,
    catalogue: Catalogue,
    courses: dict[str, Course],
    light: Light,
    seed: int,
    count: int,
    proof_steps: int = 0,
    spent: float = 0.0,
    first: FirstPlanting | None = None,
) -> list[Planting]:
    """So many plantings of one bed, each passing over the kinds and colours of those before it for
    others as good.  Changes that the brief asks for are made in the one that it means.
    ``proof_steps``, ``spent`` and ``first`` (of the one that the brief means) as in
    ``make_planting``.  Raises ValueError as that does."""
    given = Given(brief, outline, catalogue, courses, light, seed, spent)
    _check_first(first, given)
    return _variants(given, count, proof_steps, first)


def _variants(
    given: Given, count: int, proof_steps: int, first: FirstPlanting | None = None
) -> list[Planting]:
    """So many plantings of a bed, in order."""
    plain, made = _unchanged(given), list[Planting]()
    for variant in range(1, count + 1):
        meant = variant == given.brief.wishes.variant
        scheme = first.scheme if first and meant else _scheme(plain, made, variant)
        made.append(_finished(scheme, given if meant else plain, proof_steps))
    return made


def _first_of(given: Given) -> FirstPlanting:
    """The first planting of what is given, whatever its changes."""
    plain, variant = _unchanged(given), given.brief.wishes.variant
    return FirstPlanting(plain, _scheme(plain, _variants(plain, variant - 1, 0), variant))


def _unchanged(given: Given) -> Given:
    """The same, without changes."""
    return given._replace(brief=given.brief.model_copy(update={"changes": ()}))


class _Bed(NamedTuple):
    """A bed about to be planted: ``variant`` of its schemes, colour forms ``used`` in those before,
    its free ground, the ``ribbon`` of an edging if it has room for one, the forms wanted by height,
    the edging named, and the ``layout``."""

    given: Given
    variant: int
    used: frozenset[tuple[str, str]]
    free: BaseGeometry
    ribbon: BaseGeometry | None
    wanted: dict[str, int]
    edging: list[Candidate]
    layout: Layout


def _bed(given: Given, used: frozenset[tuple[str, str]], variant: int) -> _Bed:
    """A bed with what is wanted of its planting."""
    brief, outline, wishes = given.brief, given.outline, given.brief.wishes
    free = outline.free_ground(
        [shapely.Point(*plant.at).buffer(plant.spread / 2) for plant in brief.existing]
    )
    limit = height_limit(outline, wishes.height)
    ribbon, inside = zones(outline, free, wishes.edging, RIBBON_M)
    count = drift_count(inside.area)
    edging = [given.find(*kind_and_colour(words)) for words in wishes.edge_with]
    wanted = tiers_wanted(count, limit, ribbon is not None, wishes.kinds, outline)
    if edging:
        wanted.pop("edging", None)
    layout = Layout(limit, float(free.area), sum(wanted.values()), count)
    return _Bed(given, variant, used, free, ribbon, wanted, edging, layout)


class _Scheme(NamedTuple):
    """One scheme of a bed before changes: the ``palette``, the ``rows`` of its edging with the
    candidates ``low`` that grow in them, the ``arranged`` drifts of its body, and all of them with
    every plant in its place."""

    bed: _Bed
    palette: Palette
    rows: list[Part]
    low: list[Candidate]
    arranged: Arranged
    drifts: list[Drift]

    def chosen(self, arranged: Arranged) -> list[Candidate]:
        """What the ``item`` numbers of drifts mean in an arrangement."""
        return by_height([*self.low, *arranged.items])

    @property
    def lettered(self) -> list[Candidate]:
        """What stands in the drifts, in the order of its letters."""
        chosen = self.chosen(self.arranged)
        return [chosen[n] for n in sorted({drift.item for drift in self.drifts})]


def _scheme(given: Given, before: list[Planting], variant: int) -> _Scheme | Planting:
    """The next scheme of a bed after those ``before`` it; whole where only gaps are planted, in
    which nothing can be changed.  Where the arrangement finds no drift for kinds of the palette,
    others are chosen instead, once."""
    forms = (item.candidate for made in before for item in made.items)
    bed = _bed(given, frozenset((c.kind.key, c.colour.name) for c in forms), variant)
    brief = given.brief
    palette = _palette(bed, frozenset())
    if brief.wishes.gaps_only and brief.existing:
        chosen = by_height(palette.chosen)
        drifts, gaps, energy = plant_gaps(given, chosen)
        drawn = Drawn(drifts, chosen, energy, gaps=gaps, notes=(gaps_note(gaps),))
        return planting_of(given, palette, bed.layout, drawn)
    plot, arranged = _arranged(bed, palette)
    unplaced = _unplaced(arranged) - set(brief.wishes.grow)
    if unplaced:
        palette = _palette(bed, unplaced)
        plot, arranged = _arranged(bed, palette)
    left_out = {**palette.left_out, **_exchanges(plot.body, arranged.items)}
    rows = []
    if plot.ribbon is not None:
        rows = ribbon_parts(given.outline, plot.ribbon, plot.low, plot.rng)
    palette = replace(palette, left_out=left_out)
    return _roomy(given, _Scheme(bed, palette, rows, plot.low, arranged, []))


def _roomy(given: Given, scheme: _Scheme) -> _Scheme:
    """A scheme with every plant in its place: where that leaves drifts with too few plants it is
    arranged again once, knowing so, which is kept if it leaves fewer."""
    first = scheme.arranged
    drifts = _placed(given, scheme, first)
    thin = thin_drifts(first, drifts)
    if thin:
        then = with_room(given, first, thin)
        again = _placed(given, scheme, then)
        if len(thin_drifts(then, again)) < len(thin):
            return scheme._replace(arranged=then, drifts=again)
    return scheme._replace(drifts=drifts)


def _finished(scheme: _Scheme | Planting, given: Given, proof_steps: int) -> Planting:
    """A scheme with the changes that are asked of it.  What stood in it before keeps its letter."""
    if isinstance(scheme, Planting):
        return scheme
    from bedwright.planting.arrange import cost_of

    made, arranged, drifts, bound = scheme, scheme.arranged, scheme.drifts, None
    if given.brief.changes:
        gone = frozenset(one.never for one in given.brief.changes if one.never is not None)
        made = _without(given, scheme, gone)
        arranged = rearrange(given, made.arranged)
        drifts = _placed(given, made, arranged)
    energy = cost_of(arranged.terms, arranged.owners)
    if proof_steps > 0 and not given.brief.changes:
        bound = lower_bound(arranged.terms, proof_steps, energy)
    drawn = Drawn(drifts, made.chosen(arranged), energy, bound)
    return planting_of(given, made.palette, made.bed.layout, drawn, scheme.lettered)


def _without(given: Given, scheme: _Scheme, gone: frozenset[str]) -> _Scheme:
    """A scheme in which others stand in place of ``gone`` kinds, in the edging too.  Raises
    ChangeError where there is no other."""
    if not gone:
        return scheme
    palette = scheme.palette
    offered = tuple(c for c in palette.offered if c.kind.key not in gone)
    unwished: dict[str, LeftOut] = {key: LeftOutAsWished() for key in gone}
    palette = replace(palette, offered=offered, left_out={**palette.left_out, **unwished})
    arranged = without_kinds(given, scheme.arranged, palette, gone)
    edging = {id(c): _other_edging(c, scheme.low, palette, gone) for c in scheme.low}
    low = [edging[id(c)] for c in scheme.low]
    rows = [part._replace(item=edging[id(part.item)]) for part in scheme.rows]
    return scheme._replace(palette=palette, rows=rows, low=low, arranged=arranged)


def _other_edging(
    one: Candidate, low: list[Candidate], palette: Palette, gone: frozenset[str]
) -> Candidate:
    """What stands in the edging's row in place of one of ``gone`` kinds: another of the row, else
    the best offered that is no wider than the row.  Raises ChangeError where there is none."""
    if one.kind.key not in gone:
        return one
    beside = [c for c in low if c.kind.key not in gone]
    spacing_m = one.kind.form.spacing_m
    fit = [c for c in palette.offered if c.tier == "edging" and c.kind.form.spacing_m <= spacing_m]
    if not (beside or fit):
        raise ChangeError(NothingInstead(one.kind.key, one.kind.name))
    return (beside or sorted(fit, key=lambda c: (-c.score, c.kind.key, c.colour.name)))[0]


class _Plot(NamedTuple):
    """The edging's ribbon, if there is one, with what grows in it; what grows in the ``body`` of
    the bed; and the random generator from here on."""

    ribbon: BaseGeometry | None
    low: list[Candidate]
    body: list[Candidate]
    rng: np.random.Generator


def _arranged(bed: _Bed, palette: Palette) -> tuple[_Plot, Arranged]:
    """A palette parted into edging and body, the body cut into drifts and arranged."""
    outline = bed.given.outline
    rng = np.random.default_rng([bed.given.seed, 200 + bed.variant])
    chosen = by_height(palette.chosen)
    ribbon, inside = bed.ribbon, bed.free
    if bed.edging and ribbon is not None:
        chosen = [c for c in chosen if not any(_same(c, e) for e in bed.edging)] + bed.edging
    low = bed.edging or [c for c in chosen if c.tier == "edging"]
    if ribbon is not None:
        # The ribbon is as wide as one row of what grows in it.
        row = max((c.kind.form.spacing_m for c in low), default=0.0) * ROW_SHARE
        ribbon, inside = zones(outline, bed.free, bool(low), row)
    body = [c for c in chosen if ribbon is None or all(c is not edge for edge in low)] or chosen
    sides = viewers(outline)
    toward = sides[0] if len(sides) == 1 else None
    cut = cut_drifts(inside, drift_shares(bed.layout.drifts), toward, rng)
    arranged = arrange(bed.given, cut, body, replace(palette, chosen=tuple(chosen)))
    return _Plot(ribbon, [] if ribbon is None else low, body, rng), arranged


def _unplaced(arranged: Arranged) -> frozenset[str]:
    """Kinds for which the arrangement finds no drift."""
    placed = {arranged.items[k].kind.key for k in arranged.owners}
    return frozenset(item.kind.key for item in arranged.items) - placed


def _palette(bed: _Bed, unplaced: frozenset[str]) -> Palette:
    """The palette, without kinds that found no drift."""
    given = bed.given
    offer = given.offer._replace(wishes=given.brief.wishes.without(unplaced))
    purse = _purse(bed)
    palette = choose_palette(offer, bed.layout.height_limit_m, bed.wanted, bed.used, purse)
    no_room: dict[str, LeftOut] = dict.fromkeys(unplaced, NoRoom())
    return replace(palette, left_out={**palette.left_out, **no_room})


def _purse(bed: _Bed) -> Purse | None:
    """What the bed's seed and plants may cost, where the brief has a budget above 0."""
    given, brief = bed.given, bed.given.brief
    budget = brief.wishes.budget
    if not budget:
        return None
    purse = Purse(
        budget=budget,
        left=budget - given.spent,
        area_m2=given.outline.polygon.area,
        kinds=bed.layout.wanted,
        prices=brief.prices,
        room=_room(bed),
        fixed=brief.wishes.kinds is not None,
        currency=brief.currency,
    )
    # The edging that the brief names is paid for first.
    return replace(purse, left=purse.left - purse.most_cost(bed.edging))


def _room(bed: _Bed) -> Room:
    """Room for plants in a bed, from above."""
    outline, layout = bed.given.outline, bed.layout
    circle = shapely.maximum_inscribed_circle(np.array([bed.free], object))
    width = 2 * float(shapely.length(circle)[0])
    if bed.given.brief.wishes.gaps_only and bed.given.brief.existing:
        return Room(layout.free_m2, layout.free_m2, 0.0, width, True)
    edging = bed.wanted.get("edging", 0) + len(bed.edging)
    edge_m, body_m2 = 0.0, layout.free_m2
    if bed.ribbon is not None and edging:
        edge_m = float(outline.polygon.exterior.intersection(bed.ribbon.buffer(TENTH_MM)).length)
        body_m2 -= float(bed.ribbon.area)
    body = max(layout.wanted - bed.wanted.get("edging", 0), 1)
    shares = drift_shares(layout.drifts)
    most = min(np.ceil(layout.drifts / body) + 1, layout.drifts)
    largest = body_m2 * float(shares.max() / shares.sum())
    return Room(body_m2, most * largest, edge_m, width)


def _placed(given: Given, scheme: _Scheme, arranged: Arranged) -> list[Drift]:
    """Every plant of a scheme in its place, as its drifts are arranged."""
    chosen = scheme.chosen(arranged)
    rivals = rivals_of(chosen, arranged.items, scheme.palette.offered)
    parts = parts_of(given, arranged, rivals) + scheme.rows
    return place_all(scheme.bed.free, given.outline, given.light, parts, chosen)


def _exchanges(before: list[Candidate], after: list[Candidate]) -> dict[str, LeftOut]:
    """Why kinds of the palette were exchanged for others, by key."""
    return {
        old.kind.key: ExchangedFor(new.kind.key, new.kind.name)
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
