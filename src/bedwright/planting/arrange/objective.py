"""The objective: which item suits which drift, and how neighbours get on.  The formulae stand in
``docs/planting.md``; this module turns a cut bed and a palette into the numbers of ``energy``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bedwright.geometry import Outline
from bedwright.light import Light, cells_of
from bedwright.planting.arrange.energy import Floats, Ints, Terms
from bedwright.planting.palette import FOLIAGE_BLOOM, LEAST_SUN_FIT, SEASON_ODDS, Candidate, discord
from bedwright.planting.place import depths, distances

# Weights, set so that height and sun decide first, colour and bloom next, and the rest breaks ties
# (estimate, weighed against drawn examples by eye).
W_HEIGHT, W_LIGHT, W_ROOM, W_MERIT, W_BARE, W_ROTATE = 6.0, 5.0, 4.0, 1.5, 2.0, 3.0
W_UNSUITED, W_FEW = 12.0, 8.0
W_HIDE, W_ORDER, W_COLOUR, W_SAME, W_FORM, W_TEXTURE = 5.0, 20.0, 4.0, 4.0, 0.8, 0.15
W_BLOOM, W_UNUSED, W_OVER = 4.0, 6.0, 2.0

BLOOM_WANTED = 0.5
"""Share of the ground around a drift that ought to be in bloom in any fortnight of the season."""

LEAST_PLANTS = 3
"""Plants that make a group (common practice, no source)."""

FILLED = 0.75
"""Plants that a drift holds beside an endless lattice of its area (mean of drawn plantings)."""

EYE_BACK_M = 1.5
"""How far from the edge an onlooker stands (common practice, no source)."""

SIDE_BY_SIDE_M = 0.15
"""Difference of distance from the edge below which neighbours stand side by side."""

SHOWING_ODDS = 0.2
"""Odds of bloom above which the colours of neighbours count in a fortnight."""

TOUCH_M = 0.08
"""Length of shared border below which drifts do not count as neighbours."""


@dataclass(frozen=True)
class Sites:
    """The drifts as the objective sees them: (n,) depth 0 to 1, metres from the viewed edge, area
    in m², radius of the largest circle inside, plants that stand in it beside an endless lattice of
    its area; each one's cells of ``Light``; pairs that touch."""

    depth: Floats
    away_m: Floats
    area_m2: Floats
    radius_m: Floats
    filled: Floats
    cells: tuple[NDArray[np.intp], ...]
    touching: tuple[tuple[int, int], ...]


def sites_of(outline: Outline, light: Light, drifts: list[BaseGeometry]) -> Sites:
    """What the objective needs to know of a cut bed."""
    middles = np.array([d.representative_point().coords[0] for d in drifts])
    circles = shapely.length(shapely.maximum_inscribed_circle(np.array(drifts, object)))
    tree = shapely.STRtree(drifts)
    near = tree.query(drifts, predicate="dwithin", distance=0.01)
    touching = [
        (int(a), int(b))
        for a, b in near.T
        if a < b and drifts[a].buffer(0.01).intersection(drifts[b].boundary).length > 2 * TOUCH_M
    ]
    return Sites(
        depths(outline, middles),
        distances(outline, middles),
        np.array([d.area for d in drifts]),
        np.asarray(circles, float),
        np.full(len(drifts), FILLED),
        tuple(cells_of(d, light) for d in drifts),
        tuple(touching),
    )


class Reach(NamedTuple):
    """What the costs of items are beside: the lowest and the tallest of them, metres, and the best
    score; the fortnights of the ``season``, which any item can fill with bloom, and those in which
    any is ``showing`` at all."""

    lowest_m: float
    tallest_m: float
    best: float
    season: NDArray[np.intp]
    showing: NDArray[np.intp]


def reach_of(items: Sequence[Candidate], rivals: Sequence[Candidate] = ()) -> Reach:
    """Of a palette; ``rivals``: others whose bloom counts for the season."""
    heights = [item.kind.form.height_m for item in items]
    odds = np.array([item.course.bloom.odds for item in (*items, *rivals)]).max(axis=0)
    return Reach(
        min(heights),
        max(heights),
        max(item.score for item in items),
        np.flatnonzero(odds > SEASON_ODDS),
        np.flatnonzero(odds > SHOWING_ODDS),
    )


def terms_of(
    sites: Sites,
    items: list[Candidate],
    last_year: frozenset[str],
    most: int,
    reach: Reach | None = None,
) -> Terms:
    """All costs of giving these items to these drifts.

    ``last_year``: rotation groups that grew in the bed before; ``most``: uses of one item beyond
    which a price is paid; ``reach``: where it is not the items' own.
    """
    reach = reach or reach_of(items)
    first, other, back = _links(sites)
    owner = np.repeat(np.arange(len(first) - 1), np.diff(first))
    gap = sites.away_m[other] - sites.away_m[owner]
    stands = np.where(np.abs(gap) < SIDE_BY_SIDE_M, 0, np.where(gap > 0, 1, 2))
    ends = EYE_BACK_M + np.stack([sites.away_m[owner], sites.away_m[other]])
    around = sites.area_m2.copy()
    np.add.at(around, owner, sites.area_m2[other])
    odds = shows_of(items, reach)
    want = np.full(len(reach.season), BLOOM_WANTED)
    height = np.array([item.kind.form.height_m for item in items])
    return Terms(
        local=np.asarray(sum(local_parts(sites, items, last_year, reach).values())),
        pair=np.asarray(sum(pair_parts(items, reach=reach).values())),
        height=height,
        first=first,
        other=other,
        stands=stands.astype(np.int64),
        back=back,
        near=ends.min(axis=0),
        far=ends.max(axis=0),
        hide=W_HIDE,
        order=W_ORDER / reach.tallest_m,
        odds=odds,
        want=want,
        share=sites.area_m2[other] / around[owner],
        own=sites.area_m2 / around,
        price=np.full(len(sites.depth), W_BLOOM / max(len(want), 1)),
        unused=np.full(len(items), W_UNUSED),
        over=W_OVER,
        most=most,
    )


def _links(sites: Sites) -> tuple[Ints, Ints, Ints]:
    """Links by drift: where each drift's begin, the neighbour, and the link the other way."""
    both = sorted({(a, b) for one in sites.touching for a, b in (one, one[::-1])})
    number = {link: n for n, link in enumerate(both)}
    counts = np.bincount([a for a, _ in both], minlength=len(sites.depth))
    return (
        np.concatenate([[0], np.cumsum(counts)]).astype(np.int64),
        np.array([b for _, b in both], np.int64),
        np.array([number[b, a] for a, b in both], np.int64),
    )


def local_parts(
    sites: Sites,
    items: list[Candidate],
    last_year: frozenset[str] = frozenset(),
    reach: Reach | None = None,
) -> dict[str, Floats]:
    """(drifts, items) cost of each item in each drift, by what it is for.

    The height wanted runs from the lowest item's at the front to the tallest's at the back.
    """
    reach = reach or reach_of(items)
    height = np.array([item.kind.form.height_m for item in items])
    ground = np.array([item.kind.form.ground_m2 for item in items])
    row = np.array([item.kind.form.row_m for item in items])
    off = np.abs(height[None] - wanted_height(sites, reach)[:, None]) / max(reach.tallest_m, 0.2)
    suited = np.array([item.sunny for item in items])
    sunny = np.array([np.take(suited, cells, axis=1).mean(axis=1) for cells in sites.cells])
    holds = (sites.filled * sites.area_m2)[:, None] / ground[None]
    crowd = np.maximum(1.0 - holds / (LEAST_PLANTS + 0.5), 0.0)
    few = holds < LEAST_PLANTS - 0.5
    thin = np.maximum(1.0 - 2 * sites.radius_m[:, None] / row[None], 0.0)
    merit = np.array([item.score for item in items])
    behind = (reach.best - merit) / max(abs(reach.best), 1e-9)
    share = sites.area_m2 / sites.area_m2.mean()
    fortnights = max(len(reach.season), 1)
    gone = np.array([item.course.gone[reach.season].sum() / fortnights for item in items])
    again = np.array([item.kind.safety.rotation in last_year for item in items], float)
    return {
        "height": W_HEIGHT * off**1.5,
        "sun": W_LIGHT * (1.0 - sunny) + W_UNSUITED * (sunny < LEAST_SUN_FIT),
        "room": W_ROOM * (crowd + thin) + W_FEW * few,
        "merit": W_MERIT * behind[None] * share[:, None],
        "bare": W_BARE * gone[None] * share[:, None],
        "rotation": W_ROTATE * np.broadcast_to(again[None], off.shape),
    }


def wanted_height(sites: Sites, reach: Reach) -> Floats:
    """(drifts,) height that suits each drift, metres."""
    return np.asarray(reach.lowest_m + (reach.tallest_m - reach.lowest_m) * sites.depth)


def pair_parts(
    items: Sequence[Candidate], beside: int | None = None, reach: Reach | None = None
) -> dict[str, Floats]:
    """(items, beside) cost of each item next to each of the first ``beside`` of them, or of all, by
    what it is for; alike both ways."""
    n, count = len(items), len(items) if beside is None else beside
    reach = reach or reach_of(items)
    live = np.array([item.course.bloom.odds for item in items])[:, reach.showing]
    both = np.minimum(live[:, None], live[None, :count]).sum(axis=2) / max(live.shape[1], 1)
    clash = np.zeros((n, count))
    for a in range(count):
        for b in range(a + 1, n):
            clash[b, a] = discord(items[a].colour.srgb, items[b].colour.srgb)
            if b < count:
                clash[a, b] = clash[b, a]
    flower = np.array([item.kind.form.flower_form for item in items])
    leaf = np.array([item.kind.form.foliage_texture for item in items])
    alike = W_FORM * (flower[:, None] == flower[None, :count])
    alike = alike + W_TEXTURE * (leaf[:, None] == leaf[None, :count])
    same = np.eye(n, count)
    return {
        "colour": W_COLOUR * clash * np.minimum(2.0 * both, 1.0),
        "form": alike * (1.0 - same),
        "same": W_SAME * same,
    }


def shows_of(items: Sequence[Candidate], reach: Reach) -> Floats:
    """(items, fortnights of the season) odds of a show."""
    odds = np.array([item.course.bloom.odds for item in items])
    leafy = np.array([item.kind.is_foliage for item in items])
    show = np.where(leafy[:, None], FOLIAGE_BLOOM, odds)[:, reach.season]
    return np.ascontiguousarray(show)
