"""Bed outlines in the gardener's own frame, and how that frame lies on the compass.

The frame: origin at the start of the base line, x along it, y square to it on the left, metres.
A thin layer over shapely.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bedwright.brief import (
    Barrier,
    Bed,
    Building,
    CurveBed,
    Neighbour,
    Paced,
    PolygonBed,
    Tree,
)
from bedwright.facts import Fact, FactError

LEAST_AREA_M2, MOST_AREA_M2 = 0.05, 2500.0
MOST_LENGTH_M = 200.0
"""From end to end; longer ones take minutes to plan."""

LEAST_WIDTH_M = 0.15
"""Width of the largest circle in a bed: one row of small plants, near half of which hang over each
edge (estimate)."""

LEAST_CORNER_DEG = 2.0
"""A sharper corner is a mistake in what was stated (estimate)."""

SAME_SPOT_M, FLAT_M2 = 0.001, 1e-9
"""Distance within which corners stand on one spot; area below which they lie on one line."""

TENTH_MM, SPECK_M2 = 1e-4, 1e-10
"""How exactly lengths are found by trial; ground of less area than a speck is none."""

EDGE_SLACK_M = 0.01
"""What stands less than this inside the edge stands at it."""
ROUND_SEGMENTS = 32
"""Segments to a quarter circle; the area falls 0.01% short."""

SAG_M = 0.001
"""How far the straight steps along a curve through pegs may lie off it, metres."""

TAPE_SLACK_M = 0.02
"""Two tapes that miss each other by no more than this, each read to a centimetre, meet on the line
between their stakes."""

Shape = Literal["bed", "building"]
Mark = Literal["corner", "peg"]


@dataclass(frozen=True)
class Misfit(Fact):
    """Base of what is wrong with an outline; ``field``: of the brief's table that states it."""

    field: str


@dataclass(frozen=True)
class EdgeCrosses(Misfit):
    """An edge that crosses or touches itself; the spot, m, where it is known."""

    of: Shape
    at_m: tuple[float, float] | None


@dataclass(frozen=True)
class CornersOnOneLine(Misfit):
    """Corners or pegs that enclose nothing."""

    of: Shape
    mark: Mark = "corner"


@dataclass(frozen=True)
class FootprintTooSmall(Misfit):
    """A building whose corners enclose less than the least area."""

    area_m2: float
    least_m2: float


@dataclass(frozen=True)
class AreaOutOfBounds(Misfit):
    """A bed smaller or larger than can be planned."""

    area_m2: float
    least_m2: float
    most_m2: float


@dataclass(frozen=True)
class TooLong(Misfit):
    """A bed longer from end to end than can be planned."""

    length_m: float
    most_m: float


@dataclass(frozen=True)
class TooNarrow(Misfit):
    """A bed that is, where it is widest, narrower than one row of plants."""

    width_m: float
    least_m: float


@dataclass(frozen=True)
class CornerRepeats(Misfit):
    """A corner or peg, counted from 1, that stands on the one before it."""

    corner: int
    mark: Mark = "corner"


@dataclass(frozen=True)
class Spike(Misfit):
    """A corner or peg, counted from 1, at which the edge turns too sharply."""

    corner: int
    angle_deg: float
    least_deg: float
    mark: Mark = "corner"


@dataclass(frozen=True)
class TapesMiss(Misfit):
    """Two tapes that do not meet: their lengths, how far apart their stakes A and B stand, and by
    how much they miss each other (both too short, where together they are less than ``apart_m``;
    else the one too long for the other)."""

    from_a_m: float
    from_b_m: float
    apart_m: float
    by_m: float


@dataclass(frozen=True)
class FixedAtOneSpot(Misfit):
    """Stakes A and B on one spot."""


@dataclass(frozen=True)
class OffsetsAtOneX(Misfit):
    """Two offsets at one distance along the base line."""


@dataclass(frozen=True)
class FarEdgeNearer(Misfit):
    """An offset whose far edge is nearer than its near edge."""


@dataclass(frozen=True)
class BarrierCrosses(Misfit):
    """A wall, fence or hedge with two corners on one spot, or which crosses itself."""


@dataclass(frozen=True)
class NoFreeGround(Misfit):
    """Plants that stay and fill the bed."""

    least_m2: float


class GeometryError(FactError):
    """An outline that cannot be a bed, or the foot of something around one."""

    fact: Misfit

    def __init__(self, fact: Misfit) -> None:
        super().__init__(fact)

    @property
    def field(self) -> str:
        """The field of the brief's table that states the outline."""
        return self.fact.field


@dataclass(frozen=True)
class Outline:
    """A bed's outline: a polygon in the bed's frame (m), the base line's bearing (degrees).

    ``rise``: how much the ground rises along x and along y, per metre of each.  ``pegs``: of a
    curve, in the brief's order; ``sharp``: those at which it turns sharply, counted from 0.
    ``fixed``: the stakes A and B that tapes were measured from.
    """

    polygon: Polygon
    bearing_deg: float
    viewed_from: tuple[float | str, ...]
    rise: tuple[float, float] = (0.0, 0.0)
    pegs: tuple[tuple[float, float], ...] = ()
    sharp: tuple[int, ...] = ()
    fixed: tuple[tuple[float, float], tuple[float, float]] | None = None

    @cached_property
    def area_m2(self) -> float:
        """Area of the ground inside, square metres."""
        return float(self.polygon.area)

    @cached_property
    def perimeter_m(self) -> float:
        """Length of the edge, metres."""
        return float(self.polygon.exterior.length)

    @cached_property
    def middle(self) -> tuple[float, float]:
        """Centroid, metres."""
        return float(self.polygon.centroid.x), float(self.polygon.centroid.y)

    @cached_property
    def inner_radius_m(self) -> float:
        """Radius of the largest circle inside, metres."""
        return inner_radius(self.polygon)

    @property
    def from_all_sides(self) -> bool:
        """Whether onlookers stand all round it."""
        return "all" in self.viewed_from

    def holds(self, x: float, y: float, slack_m: float = 0.0) -> bool:
        """Whether a point lies inside or within ``slack_m`` of the edge."""
        return bool(self.polygon.distance(Point(x, y)) <= slack_m)

    def toward(self, bearing_deg: float) -> tuple[float, float]:
        """Unit vector (x, y) of the bed's frame that points to a compass bearing."""
        turn = math.radians(bearing_deg - self.bearing_deg)
        return math.cos(turn), -math.sin(turn)

    def compass_of(self, x: float, y: float) -> float:
        """Compass bearing, degrees, of a vector of the bed's frame."""
        return (self.bearing_deg - math.degrees(math.atan2(y, x))) % 360.0

    def paced(self, bearing_deg: float, distance_m: float) -> tuple[float, float]:
        """The spot reached by walking from the middle."""
        (x, y), (dx, dy) = self.middle, self.toward(bearing_deg)
        return x + distance_m * dx, y + distance_m * dy

    def at(self, spot: tuple[float, float] | Paced) -> tuple[float, float]:
        """A spot, however it was stated, in the bed's frame."""
        return self.paced(spot.bearing, spot.distance) if isinstance(spot, Paced) else spot

    def reach_of(self, thing: Neighbour) -> float:
        """How far something around the bed stands inside its edge, metres; 0 where it does not (a
        tree's crown may reach over)."""
        within = footprint(self, thing).intersection(self.polygon)
        inner = self.polygon.buffer(-EDGE_SLACK_M)
        if within.area < 1e-6 or not (inner.is_empty or within.intersects(inner)):
            return 0.0
        edge = self.polygon.exterior
        spots = shapely.get_coordinates(shapely.segmentize(within, 0.1)).tolist()
        deepest = shapely.maximum_inscribed_circle(self.polygon, 0.01).coords[0]
        if within.distance(Point(deepest)) == 0.0:
            spots.append(deepest)
        return max(float(edge.distance(Point(spot))) for spot in spots) or EDGE_SLACK_M

    def free_ground(self, holes: list[Polygon]) -> Polygon | MultiPolygon:
        """The bed less the ground that is taken; raises GeometryError if nothing is left."""
        left = self.polygon.difference(shapely.union_all(holes)) if holes else self.polygon
        parts = [
            part
            for part in shapely.get_parts(left)
            if isinstance(part, Polygon) and part.area > LEAST_AREA_M2
        ]
        if not parts:
            raise GeometryError(NoFreeGround("existing", LEAST_AREA_M2))
        return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def outline_of(bed: Bed) -> Outline:
    """The outline of a bed as stated.  Raises GeometryError."""
    field = _field_of(bed)
    pegs: NDArray[np.float64] | None = None
    sharp: tuple[int, ...] = ()
    if isinstance(bed, CurveBed):
        pegs, sharp = _pegs(bed)
        polygon = Polygon(_curved(pegs, sharp, field))
    else:
        polygon = Polygon(_ring(bed))
    if not polygon.is_valid:
        raise GeometryError(_crossing(polygon, field, "bed"))
    if not LEAST_AREA_M2 <= polygon.area <= MOST_AREA_M2:
        raise GeometryError(
            AreaOutOfBounds(field, float(polygon.area), LEAST_AREA_M2, MOST_AREA_M2)
        )
    _check_reach(polygon, field)
    outline = Outline(shapely.orient_polygons(polygon), bed.bearing, bed.viewed_from)
    if pegs is not None:
        spots = tuple((float(x), float(y)) for x, y in pegs)
        outline = replace(outline, pegs=spots, sharp=sharp)
    if isinstance(bed, PolygonBed | CurveBed) and bed.tapes is not None:
        outline = replace(outline, fixed=_fixed(bed))
    if not bed.slope:
        return outline
    fall_x, fall_y = outline.toward(bed.aspect or 0.0)
    return replace(outline, rise=(-bed.slope * fall_x, -bed.slope * fall_y))


def _field_of(bed: Bed) -> str:
    """The field that states an outline."""
    if isinstance(bed, PolygonBed | CurveBed) and bed.tapes is not None:
        return "tapes"
    return _SHAPE_FIELD[bed.shape]


def _spots(bed: PolygonBed | CurveBed) -> NDArray[np.float64]:
    """Corners or pegs of a bed, as stated or where the tapes meet.  Raises GeometryError."""
    if bed.tapes is None:
        return np.array(bed.corners if bed.shape == "polygon" else bed.pegs, float)
    missing = tapes_at_fault(bed)
    if missing:
        raise GeometryError(missing[0])
    stakes = _fixed(bed)
    return np.array(
        [where_tapes_meet(*stakes, tape.from_a, tape.from_b, tape.left) for tape in bed.tapes]
    )


def tapes_at_fault(bed: Bed) -> list[Misfit]:
    """Every pair of tapes that does not meet, or else the stakes that stand on one spot."""
    if not isinstance(bed, PolygonBed | CurveBed) or bed.tapes is None:
        return []
    stakes = _fixed(bed)
    apart = math.dist(*stakes)
    if apart < SAME_SPOT_M * (1 - 1e-9):
        return [FixedAtOneSpot("base" if bed.fixed is None else "fixed")]
    return [
        TapesMiss(f"tapes[{n}]", tape.from_a, tape.from_b, apart, by)
        for n, tape in enumerate(bed.tapes, start=1)
        if (by := tapes_miss_by(apart, tape.from_a, tape.from_b)) > TAPE_SLACK_M
    ]


def _fixed(bed: PolygonBed | CurveBed) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the stakes A and B stand that tapes are measured from."""
    return bed.fixed or ((0.0, 0.0), (bed.base or 0.0, 0.0))


def tapes_miss_by(apart: float, from_a: float, from_b: float) -> float:
    """By how much two tapes, held at stakes so far apart, do not reach each other or one of them
    reaches past all of the other; 0 or less where they meet."""
    return max(apart - from_a - from_b, abs(from_a - from_b) - apart)


def where_tapes_meet(
    a: tuple[float, float], b: tuple[float, float], from_a: float, from_b: float, left: bool = True
) -> tuple[float, float]:
    """The spot so far from A and so far from B, on one side of the line from A to B.

    Where the two circles about A and B cross (trilateration): with d from A to B, the foot of the
    spot on that line is (d² + a² - b²) / 2d from A, by the theorem of Pythagoras in the triangles
    on both sides of the foot, and the spot as far off the line as the first of them asks.  Tapes
    that just miss each other meet on the line.
    """
    (ax, ay), (bx, by) = a, b
    apart = math.dist(a, b)
    along = (apart**2 + from_a**2 - from_b**2) / (2 * apart)
    out = math.sqrt(max(from_a**2 - along**2, 0.0)) * (1 if left else -1)
    ux, uy = (bx - ax) / apart, (by - ay) / apart
    return ax + along * ux - out * uy, ay + along * uy + out * ux


def _pegs(bed: CurveBed) -> tuple[NDArray[np.float64], tuple[int, ...]]:
    """The pegs of a curve, each once, and those at which it turns sharply, counted from 0."""
    spots = _each_once(_spots(bed), _field_of(bed), "peg")
    return spots, tuple(sorted({(peg - 1) % len(spots) for peg in bed.sharp}))


def _each_once(spots: NDArray[np.float64], field: str, mark: Mark) -> NDArray[np.float64]:
    """Corners or pegs without the last one, where that repeats the first.  Raises GeometryError
    where one repeats the one before it, or all lie on one line."""
    again = np.flatnonzero(np.hypot(*np.diff(spots, axis=0).T) < SAME_SPOT_M)
    if len(again):
        raise GeometryError(CornerRepeats(field, int(again[0]) + 2, mark))
    if np.hypot(*(spots[0] - spots[-1])) < SAME_SPOT_M:
        spots = spots[:-1]
    if len(spots) < 3 or shapely.MultiPoint(spots).convex_hull.area < FLAT_M2:
        raise GeometryError(CornersOnOneLine(field, "bed", mark))
    return spots


def _check_angles(angle: NDArray[np.float64], field: str, mark: Mark) -> None:
    """Raises GeometryError where a corner or peg is the tip of a spike."""
    if angle.min() < LEAST_CORNER_DEG:
        n = int(np.argmin(angle))
        raise GeometryError(Spike(field, n + 1, float(angle[n]), LEAST_CORNER_DEG, mark))


def _angles(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """The angle between the two sides at each point of a ring, degrees."""
    back, on = np.roll(ring, 1, axis=0) - ring, np.roll(ring, -1, axis=0) - ring
    cross = back[:, 0] * on[:, 1] - back[:, 1] * on[:, 0]
    return np.asarray(np.degrees(np.abs(np.arctan2(cross, (back * on).sum(axis=1)))))


def curve_through(pegs: NDArray[np.float64], sharp: Sequence[int] = ()) -> NDArray[np.float64]:
    """A closed smooth line through pegs in order, as a ring of points of which the pegs are some.

    A cubic spline with centripetal knots: the steps of its parameter are the square roots of
    the distances between pegs (E. T. Y. Lee, Computer-Aided Design 21, 1989, 363-370, as a
    library cites it).  A spline takes the shape of a thin rod held at the pegs, which a hose
    laid through them comes near; among the usual knots the centripetal ones let it stray least
    from the straight lines between the pegs (M. S. Floater, Computer Aided Geometric Design 25,
    2008, from memory; tried here on pegs at random).  ``sharp`` pegs cut it into pieces with
    free ends ("natural"), straight where no peg lies between.  A step departs from the curve by
    no more than the square of its length in the parameter times an eighth of the second
    derivative, which is greatest at a peg.
    """
    from scipy.interpolate import CubicSpline  # half a second to import: only for curves

    count = len(pegs)
    ends = [*sharp, sharp[0] + count] if len(sharp) else [0, count]
    ring = []
    for first, last in pairwise(ends):
        held = pegs[np.arange(first, last + 1) % count]
        steps = np.sqrt(np.linalg.norm(np.diff(held, axis=0), axis=1))
        knots = np.concatenate([[0.0], np.cumsum(steps)])
        line = CubicSpline(knots, held, bc_type="natural" if len(sharp) else "periodic")
        bend = np.linalg.norm(line(knots, 2), axis=1)
        most = np.maximum(bend[:-1], bend[1:])
        parts = np.ceil(steps * np.sqrt(most / (8 * SAG_M)) - 1e-9).astype(int)
        for start, step, n in zip(knots, steps, np.maximum(parts, 1), strict=False):
            ring.append(line(start + step * np.arange(n) / n))
    return np.concatenate(ring)


def _check_reach(polygon: Polygon, field: str) -> None:
    """Raises GeometryError where a bed is too long to be planned, or nowhere wide enough for a
    plant."""
    corners = np.asarray(shapely.get_coordinates(shapely.oriented_envelope(polygon)))
    long = float(np.hypot(*np.diff(corners[:3], axis=0).T).max())
    if long > MOST_LENGTH_M * (1 + 1e-9):
        raise GeometryError(TooLong(field, long, MOST_LENGTH_M))
    if polygon.buffer(-LEAST_WIDTH_M / 2 * (1 - 1e-6)).is_empty:
        raise GeometryError(TooNarrow(field, 2 * inner_radius(polygon), LEAST_WIDTH_M))


def inner_radius(polygon: Polygon) -> float:
    """Radius of the largest circle in a polygon, metres, to a tenth of a millimetre."""
    x0, y0, x1, y1 = polygon.bounds
    return largest(
        lambda radius: polygon.buffer(-radius, join_style="mitre").area > SPECK_M2,
        min(x1 - x0, y1 - y0) / 2 + TENTH_MM,
    )


def largest(holds: Callable[[float], bool], upto: float) -> float:
    """The largest length from 0 up to a bound, metres, for which something holds that holds for all
    smaller ones."""
    low, high = 0.0, upto
    while high - low > TENTH_MM / 1000:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return high


def _crossing(polygon: Polygon, field: str, of: Shape) -> Misfit:
    """What is wrong with an outline that is not valid: where it crosses or touches itself."""
    if polygon.convex_hull.area < FLAT_M2:
        return CornersOnOneLine(field, of)
    spot = re.search(r"\[(\S+) (\S+)\]", shapely.is_valid_reason(polygon))
    return EdgeCrosses(field, of, None if spot is None else (float(spot[1]), float(spot[2])))


_SHAPE_FIELD = {
    "rectangle": "length",
    "circle": "diameter",
    "ellipse": "length",
    "polygon": "corners",
    "offsets": "offsets",
    "curve": "pegs",
}


def _ring(bed: Bed) -> NDArray[np.float64] | list[tuple[float, float]]:
    """The edge of a bed that is not laid through pegs.  Raises GeometryError."""
    assert not isinstance(bed, CurveBed)
    if bed.shape == "rectangle":
        return [(0, 0), (bed.length, 0), (bed.length, bed.width), (0, bed.width)]
    if bed.shape == "polygon":
        field, spots = _field_of(bed), _spots(bed)
        _check_angles(_angles(_each_once(spots, field, "corner")), field, "corner")
        return spots
    if bed.shape == "offsets":
        return _curve(bed.offsets)
    length = bed.diameter if bed.shape == "circle" else bed.length
    width = bed.diameter if bed.shape == "circle" else bed.width
    angle = np.linspace(0, 2 * np.pi, 4 * ROUND_SEGMENTS, endpoint=False)
    return np.column_stack([length / 2 * (1 + np.cos(angle)), width / 2 * np.sin(angle)])


def _curved(pegs: NDArray[np.float64], sharp: tuple[int, ...], field: str) -> NDArray[np.float64]:
    """Edge through pegs (n, 2), sharp at some of them.  Raises GeometryError, by the ``field`` that
    states them, where one is the tip of a spike."""
    ring = curve_through(pegs, sharp)
    if sharp:
        angle = np.full(len(pegs), 180.0)
        at = [int(np.argmin(np.hypot(*(ring - pegs[n]).T))) for n in sharp]
        angle[list(sharp)] = _angles(ring)[at]
        _check_angles(angle, field, "peg")
    return ring


def _curve(offsets: tuple[tuple[float, ...], ...]) -> NDArray[np.float64]:
    """Edge through offsets [x, far] or [x, near, far], smooth between them."""
    from scipy.interpolate import PchipInterpolator  # half a second to import: only for curves

    rows = sorted((s if len(s) == 3 else (s[0], 0.0, s[1])) for s in offsets)
    x, near, far = np.array(rows, float).T
    if np.any(np.diff(x) <= 0):
        raise GeometryError(OffsetsAtOneX("offsets"))
    if np.any(far < near):
        raise GeometryError(FarEdgeNearer("offsets"))
    fine = np.union1d(np.linspace(x[0], x[-1], 8 * len(x)), x)
    top = np.column_stack([fine, PchipInterpolator(x, far)(fine)])
    bottom = np.column_stack([fine, PchipInterpolator(x, near)(fine)])
    ring = np.concatenate([bottom, top[::-1]])
    keep = np.any(np.abs(ring - np.roll(ring, 1, axis=0)) > 1e-9, axis=1)
    return ring[keep]


def footprint(outline: Outline, thing: Neighbour) -> BaseGeometry:
    """Ground that a building, barrier or trunk stands on, in the bed's frame.

    Raises GeometryError where its corners make no footprint.
    """
    if isinstance(thing, Tree):
        radius = TRUNK_SHARE * thing.spread / 2 if thing.trunk is None else thing.trunk / 2
        return Point(foot_of(outline, thing)).buffer(max(radius, 0.05))
    if isinstance(thing, Building):
        return walls_of(outline, thing)
    return shapely.union_all([Polygon(leg) for leg in legs_of(outline, thing)])


TRUNK_SHARE = 1 / 25
"""Trunk's diameter as a share of the crown's: a crown is 24 to 27 trunks wide in four broadleaved
trees of two towns (A. Coombes, J. Martin and D. Slater, Urban Forestry & Urban Greening 44, 2019,
126421, abstract read)."""


def foot_of(outline: Outline, thing: Neighbour) -> tuple[float, float]:
    """The spot that places a thing: trunk, middle of the near face or of a barrier, or centroid of
    what its corners say."""
    if thing.at is not None:
        return thing.at
    if thing.bearing is not None and thing.distance is not None:
        return outline.paced(thing.bearing, thing.distance)
    assert not isinstance(thing, Tree)
    assert thing.corners is not None  # the brief wants one of the three
    corners = [outline.at(corner) for corner in thing.corners]
    shape = Polygon(corners) if isinstance(thing, Building) else LineString(corners)
    return float(shape.centroid.x), float(shape.centroid.y)


def _away(outline: Outline, thing: Neighbour) -> float:
    """Bearing from the bed's middle to a thing."""
    if thing.bearing is not None:
        return thing.bearing
    (x, y), (mx, my) = foot_of(outline, thing), outline.middle
    return outline.compass_of(x - mx, y - my)


def walls_of(outline: Outline, house: Building) -> Polygon:
    """Footprint of a building, counter-clockwise.  Raises GeometryError where its corners make
    none."""
    if house.corners is not None:
        ring = Polygon([outline.at(corner) for corner in house.corners])
        if not ring.is_valid:
            raise GeometryError(_crossing(ring, "corners", "building"))
        if ring.area < LEAST_FOOTPRINT_M2:
            raise GeometryError(FootprintTooSmall("corners", float(ring.area), LEAST_FOOTPRINT_M2))
        return shapely.orient_polygons(ring)
    assert house.width is not None
    assert house.depth is not None
    x, y = foot_of(outline, house)
    looks = _away(outline, house) + 180.0 if house.faces is None else house.faces
    (nx, ny), half, depth = outline.toward(looks), house.width / 2, house.depth
    tx, ty = -ny, nx
    corners = [(-half, 0.0), (half, 0.0), (half, -depth), (-half, -depth)]
    return shapely.orient_polygons(
        Polygon([(x + a * tx + b * nx, y + a * ty + b * ny) for a, b in corners])
    )


LEAST_FOOTPRINT_M2 = 0.01
USUAL_THICKNESS_M = {"wall": 0.2, "fence": 0.05, "hedge": 0.8}


MITRE = 2.0
"""Joints of barriers run to a point no farther off than this many halves of their thickness;
sharper ones are cut off square."""


def legs_of(outline: Outline, barrier: Barrier) -> list[NDArray[np.float64]]:
    """(n, 2) corners of each straight stretch of a wall, fence or hedge and of each joint between
    two, convex all of them and touching.

    Raises GeometryError where its line stands still or crosses itself.
    """
    if barrier.corners is None:
        assert barrier.length is not None
        runs = _away(outline, barrier) + 90.0 if barrier.runs is None else barrier.runs
        middle, along = np.array(foot_of(outline, barrier)), np.array(outline.toward(runs))
        line = np.array([middle - barrier.length / 2 * along, middle + barrier.length / 2 * along])
    else:
        line = np.array([outline.at(corner) for corner in barrier.corners])
    step = np.diff(line, axis=0)
    length = np.linalg.norm(step, axis=1)
    if length.min() < 0.01 or not LineString(line).is_simple:
        raise GeometryError(BarrierCrosses("corners"))
    half = (barrier.thickness or USUAL_THICKNESS_M[barrier.kind]) / 2
    left = half * np.column_stack([-step[:, 1], step[:, 0]]) / length[:, None]
    legs = [
        np.array([line[n] + left[n], line[n + 1] + left[n], line[n + 1] - left[n],
                  line[n] - left[n]])
        for n in range(len(step))
    ]  # fmt: skip
    closed = len(line) > 3 and np.allclose(line[0], line[-1])
    turns = [(n, n + 1) for n in range(len(step) - 1)] + ([(len(step) - 1, 0)] if closed else [])
    joints = [_joint(line[b], left[a], left[b]) for a, b in turns]
    return legs + [joint for joint in joints if joint is not None]


def _joint(
    corner: NDArray[np.float64], before: NDArray[np.float64], after: NDArray[np.float64]
) -> NDArray[np.float64] | None:
    """The wedge on the outside of a turn between two stretches, offset by their halves; None where
    they run straight on."""
    cross = before[0] * after[1] - before[1] * after[0]
    half2 = float(before @ before)
    if abs(cross) < 1e-6 * half2:
        return None
    a, b = (-before, -after) if cross > 0 else (before, after)
    tip = (a + b) / (1.0 + float(a @ b) / half2) if float(a @ b) > -0.999 * half2 else None
    if tip is None or float(tip @ tip) > (MITRE**2) * half2:
        return np.array([corner, corner + a, corner + b])
    return np.array([corner, corner + a, corner + tip, corner + b])


def polygonal(shape: BaseGeometry) -> Polygon | MultiPolygon:
    """The parts of a shape that have area; lines and points that a cut left over go."""
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and p.area > 1e-9]
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def cells_in(polygon: BaseGeometry, step_m: float) -> NDArray[np.float64]:
    """(n, 2) centres of a square grid of cells inside a polygon, row by row; never empty."""
    x0, y0, x1, y1 = polygon.bounds
    across = max(round((x1 - x0) / step_m), 1)
    up = max(round((y1 - y0) / step_m), 1)
    x = x0 + (np.arange(across) + 0.5) * (x1 - x0) / across
    y = y0 + (np.arange(up) + 0.5) * (y1 - y0) / up
    grid = np.array(np.meshgrid(x, y)).reshape(2, -1).T
    inside = grid[shapely.contains_xy(polygon, grid[:, 0], grid[:, 1])]
    if len(inside):
        return inside
    spot = polygon.representative_point()
    return np.array([[spot.x, spot.y]])
