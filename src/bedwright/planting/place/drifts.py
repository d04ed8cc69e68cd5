"""Cutting the bed into drifts of wanted areas: a power diagram in a bent frame.

Every point belongs to the site to which its power, squared distance less weight, is least; the
weights are raised or lowered until the areas are those wanted (F. Aurenhammer, F. Hoffmann and
B. Aronov, Minkowski-type theorems and least-squares clustering, Algorithmica 20, 1998), and the
sites move to the middle of their ground (S. Lloyd, IEEE Transactions on Information Theory 28,
1982).

Distances are measured in a frame turned to the front edge, or to the bed's long axis, drawn out in
depth so that drifts run broad, and bent by two gentle waves so that their borders flow.  The waves
are shears, which keep areas and can be undone exactly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bedwright.compiled import compiled
from bedwright.geometry import cells_in, polygonal

Floats = NDArray[np.float64]

STRETCH, STRETCH_ISLAND = 1.7, 1.25
"""How much broader than deep a drift is made, along a front edge and along the long axis of a bed
seen from all sides (common practice, no source)."""

WAVE_LENGTH, WAVE_HEIGHT = 2.6, 0.11
"""Length and height of the waves, in breadths of a drift (estimate, by eye)."""

LLOYD_ROUNDS, RASTER = 30, 2600
AREA_SLACK, AREA_LIMIT, TRIES = 0.01, 0.03, 6
"""Share by which an area may miss what is wanted, tried for in AREA_ROUNDS rounds; share beyond
which the bed is cut anew, from other sites, up to so many times."""

AREA_ROUNDS = 60
PATIENCE = 12
"""Rounds without a better fit after which weights are let be."""

LEAST_SHARE = 1e-6
"""Share of the bed that a drift is taken to have at least."""

TOUCH_M = 1e-6
"""Distance within which drifts touch, and length of border above which they do."""

ARC = 20
"""Straight pieces to a wave's length of border."""


class Wave(NamedTuple):
    """A gentle wave: its height, its turn (radians) a unit of length, and where it begins."""

    height: float
    turn: float
    phase: float

    def at(self, along: Floats) -> Floats:
        """How high it stands at places along it."""
        return np.asarray(self.height * np.sin(self.turn * along + self.phase))


@dataclass(frozen=True)
class Frame:
    """The bent frame: ``turn`` (2, 2) and its ``back``, a wave that shifts ``across`` the axis and
    one ``along`` it."""

    turn: Floats
    back: Floats
    across: Wave
    along: Wave

    @property
    def step(self) -> float:
        """Length of a border's straight pieces, short beside the waves."""
        return float(min(2 * np.pi / wave.turn for wave in (self.across, self.along)) / ARC)

    def bend(self, places: Floats) -> Floats:
        """(n, 2) places of the bed in the frame."""
        u, v = (places @ self.turn.T).T
        u = u + self.across.at(v)
        return np.column_stack([u, v + self.along.at(u)])

    def unbend(self, places: Floats) -> Floats:
        """(n, 2) places of the frame in the bed."""
        u, v = places.T
        v = v - self.along.at(u)
        u = u - self.across.at(v)
        return np.asarray(np.column_stack([u, v]) @ self.back.T)


@dataclass(frozen=True)
class Cut:
    """A bed cut into drifts: the area, the drifts, and what they came from: (n, 2) sites and (n,)
    weights in the frame."""

    area: BaseGeometry
    drifts: tuple[BaseGeometry, ...]
    sites: Floats
    weights: Floats
    frame: Frame

    def resized(self, times: Floats) -> Cut:
        """The same drifts, each so many times as large beside the others, moved no more than that
        takes."""
        if len(self.drifts) == 1:
            return self
        areas = np.array([drift.area for drift in self.drifts])
        wanted = np.maximum(areas, LEAST_SHARE * self.area.area) * times
        wanted /= wanted.sum()
        return _settle(self.area, self.sites, self.weights, wanted, self.frame)


def cut_drifts(
    area: BaseGeometry,
    shares: Floats,
    toward: tuple[float, float] | None,
    rng: np.random.Generator,
) -> Cut:
    """Drifts whose areas stand as ``shares`` (n,), without gaps or overlaps.

    ``toward``: unit vector to the onlookers, or None when the bed is seen from all sides.
    """
    wanted = np.asarray(shares, float) / np.sum(shares)
    best: Cut | None = None
    least = np.inf
    for _ in range(TRIES):
        cut = _cut(area, wanted, toward, rng)
        sizes = np.array([drift.area for drift in cut.drifts]) / area.area
        off = float((np.abs(sizes - wanted) / wanted).max())
        if best is None or off < least:
            least, best = off, cut
        if least <= AREA_LIMIT:
            break
    assert best is not None
    return best


def _cut(
    area: BaseGeometry,
    wanted: Floats,
    toward: tuple[float, float] | None,
    rng: np.random.Generator,
) -> Cut:
    """One cutting, from sites drawn afresh."""
    count = len(wanted)
    frame = frame_of(area, count, toward, rng)
    if count == 1:
        return Cut(area, (area,), np.zeros((1, 2)), np.zeros(1), frame)
    step = float(np.sqrt(area.area / RASTER))
    spots = cells_in(area, step)
    links = cKDTree(spots).query_pairs(1.01 * step, output_type="ndarray")
    cells = frame.bend(spots)
    sites = _spread(cells, count, rng)
    weights = np.zeros(count)
    for _ in range(LLOYD_ROUNDS):
        weights = _balance(cells, sites, weights, wanted)
        owner = _largest_pieces(_owner(cells, sites, weights), links)
        moved = np.array(
            [
                cells[owner == k].mean(axis=0) if (owner == k).any() else sites[k]
                for k in range(count)
            ]
        )
        if np.abs(moved - sites).max() < 1e-3:
            break
        sites = moved
    weights = _balance(cells, sites, weights, wanted)
    return _settle(area, sites, weights, wanted, frame)


def _largest_pieces(owner: NDArray[np.intp], links: NDArray[np.intp]) -> NDArray[np.intp]:
    """Each cell's site, or -1 where the bed's bends part it from the most of that site's ground."""
    same = links[owner[links[:, 0]] == owner[links[:, 1]]]
    ones = np.ones(len(same), bool)
    graph = coo_matrix((ones, (same[:, 0], same[:, 1])), shape=(len(owner), len(owner)))
    _, piece = connected_components(graph, directed=False)
    sizes = np.bincount(piece)
    out = owner.copy()
    for k in np.unique(owner):
        pieces = np.unique(piece[owner == k])
        most = pieces[np.argmax(sizes[pieces])]
        out[(owner == k) & (piece != most)] = -1
    return out


def frame_of(
    area: BaseGeometry, count: int, toward: tuple[float, float] | None, rng: np.random.Generator
) -> Frame:
    """The frame in which drifts of an area are cut."""
    if toward is None:
        x, y = _long_axis(area)
        turn = np.array([[x, y], [-STRETCH_ISLAND * y, STRETCH_ISLAND * x]])
    else:
        x, y = toward
        turn = np.array([[-y, x], [STRETCH * x, STRETCH * y]])
    breadth = float(np.sqrt(area.area * abs(np.linalg.det(turn)) / count))
    across, along = (
        Wave(
            WAVE_HEIGHT * breadth,
            2 * np.pi / (WAVE_LENGTH * breadth * rng.uniform(0.85, 1.15)),
            float(rng.uniform(0, 2 * np.pi)),
        )
        for _ in range(2)
    )
    return Frame(turn, np.linalg.inv(turn), across, along)


def _long_axis(area: BaseGeometry) -> tuple[float, float]:
    """Unit vector along the longer side of the least rectangle round an area."""
    corners = np.asarray(shapely.get_coordinates(shapely.oriented_envelope(area)))
    sides = np.diff(corners[:3], axis=0)
    x, y = max(sides, key=lambda side: float(np.linalg.norm(side)))
    length = float(np.hypot(x, y))
    return float(x / length), float(y / length)


def _spread(cells: Floats, count: int, rng: np.random.Generator) -> Floats:
    """Sites far from one another: each next one drawn with odds as its squared distance."""
    sites = [cells[rng.integers(len(cells))]]
    gap = np.full(len(cells), np.inf)
    for _ in range(count - 1):
        gap = np.minimum(gap, ((cells - sites[-1]) ** 2).sum(axis=1))
        sites.append(cells[rng.choice(len(cells), p=gap / gap.sum())])
    return np.array(sites)


def _owner(cells: Floats, sites: Floats, weights: Floats) -> NDArray[np.intp]:
    power = ((cells[:, None, :] - sites[None]) ** 2).sum(axis=2) - weights
    return np.asarray(np.argmin(power, axis=1))


def _balance(cells: Floats, sites: Floats, weights: Floats, wanted: Floats) -> Floats:
    """Weights at which every drift has its share of the cells, give or take 2%."""
    goal = len(cells) * wanted
    scale = float(np.prod(np.ptp(cells, axis=0))) / len(sites)
    square = ((cells[:, None, :] - sites[None]) ** 2).sum(axis=2)

    def sizes(trial: Floats) -> Floats:
        return np.bincount(np.argmin(square - trial, axis=1), minlength=len(sites)).astype(float)

    return _raise(sizes, weights, goal, scale, 0.02, 120)


def _raise(
    sizes: Callable[[Floats], Floats],
    weights: Floats,
    goal: Floats,
    scale: float,
    slack: float,
    rounds: int,
) -> Floats:
    """Weights raised where there is too little and lowered where there is too much, by shorter
    steps where that overshoots; the best met."""
    step, worst, best = 0.5, np.inf, weights
    since = 0
    for _ in range(rounds):
        got = sizes(weights)
        off = float((np.abs(got - goal) / goal).max())
        since = 0 if off < 0.95 * worst else since + 1
        if off < worst:
            worst, best = off, weights
            step *= 1.15
        elif off > 1.3 * worst:
            step *= 0.6
            weights, got = best, sizes(best)
        if since > PATIENCE:
            break
        if off <= slack:
            break
        weights = weights + step * scale * 0.25 * (goal - got) / goal
        weights = weights - weights.mean()
    return best


def _settle(
    area: BaseGeometry, sites: Floats, weights: Floats, wanted: Floats, frame: Frame
) -> Cut:
    """The drifts as polygons, their areas brought to what is wanted."""
    goal = area.area * wanted
    bounds = np.array([sites.min(axis=0), sites.max(axis=0)])
    scale = float(np.prod(np.maximum(np.ptp(bounds, axis=0), 1e-9))) / len(sites)
    made: dict[bytes, list[BaseGeometry]] = {}

    def sizes(trial: Floats) -> Floats:
        drifts = _polygons(area, sites, trial, frame)
        made[trial.tobytes()] = drifts
        return np.asarray(shapely.area(np.array(drifts, object)))

    weights = _raise(sizes, weights, goal, scale, AREA_SLACK, AREA_ROUNDS)
    return Cut(area, tuple(made[weights.tobytes()]), sites, weights, frame)


def _polygons(
    area: BaseGeometry, sites: Floats, weights: Floats, frame: Frame
) -> list[BaseGeometry]:
    """Every site's ground, bent back into the bed and kept in one piece where it can be."""
    shapely.prepare(area)
    cells = _cells(sites, weights)
    whole = [k for k, corners in enumerate(cells) if len(corners) >= 3]
    bent = [Polygon(frame.unbend(_bowed(cells[k], frame.step))) for k in whole]
    cut = shapely.intersection(shapely.make_valid(np.array(bent, object)), area)
    parts: list[BaseGeometry] = [Polygon()] * len(sites)
    for k, part in zip(whole, cut, strict=True):
        parts[k] = polygonal(part)
    return _whole(parts)


def _cells(sites: Floats, weights: Floats) -> list[Floats]:
    """(n, 2) corners of each site's convex cell, none where it has no ground."""
    reach = 4.0 * float(max(np.ptp(sites, axis=0).max(), 1.0))
    apart = sites[None] - sites[:, None]
    gap = np.hypot(apart[..., 0], apart[..., 1])
    corners, counts = _cut_cells(sites, weights, gap, np.argsort(gap, axis=1), reach)
    return [own[:count] for own, count in zip(corners, counts, strict=True)]


@compiled()
def _cut_cells(
    sites: Floats, weights: Floats, gap: Floats, order: NDArray[np.int64], reach: float
) -> tuple[Floats, NDArray[np.int64]]:
    """(sites, most, 2) corners of the cells and (sites,) how many each has: a wide square about the
    site, cut by the half planes of its rivals, the nearest first (I. E. Sutherland and G. W.
    Hodgman, Communications of the ACM 17, 1974)."""
    n = len(sites)
    corners, counts = np.zeros((n, n + 4, 2)), np.zeros(n, np.int64)
    before, over = np.zeros((n + 4, 2)), np.zeros(n + 4)
    for k in range(n):
        x, y = sites[k]
        own = corners[k]
        own[0], own[1] = (x - reach, y - reach), (x + reach, y - reach)
        own[2], own[3] = (x + reach, y + reach), (x - reach, y + reach)
        count = 4
        for j in order[k]:
            length = gap[k, j]
            if j == k or length < 1e-12 or count < 3:
                continue
            # Points whose power to the site is below that to the rival: n . (p - site) <= offset.
            along, across = (sites[j, 0] - x) / length, (sites[j, 1] - y) / length
            offset = (length**2 + weights[k] - weights[j]) / (2 * length)
            beyond = False
            for i in range(count):
                over[i] = (own[i, 0] - x) * along + (own[i, 1] - y) * across - offset
                beyond |= over[i] > 0
            if not beyond:
                continue
            before[:count] = own[:count]
            last, count = count, 0
            for i in range(last):
                h = i - 1 if i else last - 1
                if (over[h] > 0) != (over[i] > 0):
                    for axis in range(2):
                        step = (before[i, axis] - before[h, axis]) * over[h]
                        own[count, axis] = before[h, axis] + step / (over[h] - over[i])
                    count += 1
                if over[i] <= 0:
                    own[count] = before[i]
                    count += 1
        counts[k] = count
    return corners, counts


def _bowed(corners: Floats, step: float) -> Floats:
    """Points along a cell's border, the same on a border whichever of its two cells asks."""
    before = np.concatenate([corners[-1:], corners[:-1]])
    along = corners - before
    pieces = np.maximum(np.ceil(np.hypot(along[:, 0], along[:, 1]) / step), 1).astype(int)
    forth = [
        tuple(one) < tuple(two) for one, two in zip(before.tolist(), corners.tolist(), strict=True)
    ]
    out = []
    for one, two, count, ahead in zip(before, corners, pieces.tolist(), forth, strict=True):
        share = _shares(count)
        if ahead:
            out.append((one + (two - one) * share)[:-1])
        else:
            out.append((two + (one - two) * share)[:0:-1])
    return np.asarray(np.concatenate(out))


@cache
def _shares(pieces: int) -> Floats:
    """(pieces + 1, 1) shares of a line's length at which it is cut into equal pieces."""
    return np.linspace(0.0, 1.0, pieces + 1)[:, None]


def _whole(parts: list[BaseGeometry]) -> list[BaseGeometry]:
    """Drifts of one piece: what a bend of the bed cuts off goes to the drift it touches longest."""
    loose: list[tuple[int, Polygon]] = []
    whole = list(parts)
    for k, part in enumerate(parts):
        if isinstance(part, MultiPolygon):
            pieces = sorted(part.geoms, key=lambda piece: -piece.area) or [Polygon()]
            whole[k] = pieces[0]
            loose += [(k, piece) for piece in pieces[1:]]
    for k, piece in sorted(loose, key=lambda item: -item[1].area):
        near = shapely.dwithin(np.array(whole, object), piece, 2 * TOUCH_M)
        touch = np.zeros(len(whole))
        for other in np.flatnonzero(near):
            beside = whole[other].buffer(TOUCH_M)
            touch[other] = piece.boundary.intersection(beside).length
        touch[k] = 0.0
        to = int(np.argmax(touch)) if touch.max() > TOUCH_M else k
        whole[to] = polygonal(shapely.union(whole[to], piece, grid_size=1e-8))
    return whole
