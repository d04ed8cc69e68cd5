"""A bed in metres and degrees, for the page to draw: worked out by what plans it, so that the page
itself reads no units."""

from __future__ import annotations

import math
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from bedwright.brief import Bed, CurveBed, Neighbour, PolygonBed, Tree, read_brief
from bedwright.geometry import (
    Outline,
    foot_of,
    footprint,
    outline_of,
    tapes_miss_by,
    where_tapes_meet,
)
from bedwright.store import Values
from bedwright.units import LENGTH, System, parse
from bedwright.web.fields import PEGS, with_unit

Spot = tuple[float, float]

SHAPE_FIELDS = frozenset(
    ["shape", "length", "width", "diameter", "corners", "pegs", "sharp", "tapes", "base", "fixed",
     "offsets"]
)  # fmt: skip
"""What of a bed's table says its outline; the rest says how it lies."""

ROUND_PEGS = 8
"""Pegs of a round bed that is set out by pegs."""

NEW_PEG_OUT = 0.1
"""How far outside the line a new peg is put, as a share of the gap that it is put into."""


class TapesError(ValueError):
    """Two tapes that set no peg."""


def measured(values: Values) -> dict[str, Any]:
    """A brief's bed and what stands around it, in the bed's frame: lengths in metres, bearings in
    degrees.

    ``edge``: points once round; ``pegs``: what can be moved, where there is any, as its ``field``
    of the brief has it; ``sharp``: pegs, counted from 0, at which a curve turns; ``stakes``: A and
    B, where tapes are measured from them; ``spots``: what tapes set; ``viewed_from``: bearings of
    the sides from which it is looked at, none where from all.  Of each of ``things``: its ``foot``,
    the ``rings`` of its ground or the radius of its crown, how it is ``paced`` from the bed's
    middle (bearing and distance) or set ``at`` a spot or by ``corners`` (None where it is placed
    otherwise), and whether it ``turns`` as it is carried round the bed.  Raises BriefError or
    GeometryError.
    """
    brief = read_brief(values)
    outline = outline_of(brief.bed)
    field = PEGS.get(brief.bed.shape)
    pegs: Any = None if field is None else getattr(brief.bed, field)
    return {
        "bearing": outline.bearing_deg,
        "middle": _rounded(outline.middle),
        "area_m2": round(outline.area_m2, 3),
        "edge": _ring(outline.polygon),
        "field": None if pegs is None else field,
        "pegs": [_rounded(peg) for peg in pegs or ()],
        "sharp": list(outline.sharp),
        "stakes": None if outline.fixed is None else [_rounded(at) for at in outline.fixed],
        "spots": [_rounded(at) for at in _set_by_tapes(brief.bed, outline)],
        "viewed_from": [] if outline.from_all_sides else list(outline.viewed_from),
        "things": [_thing(outline, thing) for thing in brief.surroundings],
    }


def _thing(outline: Outline, thing: Neighbour) -> dict[str, Any]:
    """One of what stands around."""
    paced = thing.bearing is not None and thing.distance is not None
    held = getattr(thing, "faces", None) is not None or getattr(thing, "runs", None) is not None
    shape = footprint(outline, thing)
    round_ = isinstance(thing, Tree)
    return {
        "name": thing.name or thing.kind,
        "kind": thing.kind,
        "foot": _rounded(foot_of(outline, thing)),
        "rings": [] if round_ else [_ring(part) for part in shapely.get_parts(shape)],
        "radius": thing.spread / 2 if isinstance(thing, Tree) else None,
        "paced": [thing.bearing, thing.distance] if paced else None,
        "at": None if thing.at is None else _rounded(outline.at(thing.at)),
        "corners": _corners(outline, thing),
        "turns": not (held or round_),
    }


def _corners(outline: Outline, thing: Neighbour) -> list[Spot] | None:
    """The corners by which one of what stands around is set, if it is."""
    corners = None if isinstance(thing, Tree) else thing.corners
    return None if corners is None else [_rounded(outline.at(spot)) for spot in corners]


def _ring(shape: BaseGeometry) -> list[Spot]:
    """Points once round a shape's outside."""
    return [_rounded(at) for at in shapely.get_coordinates(shapely.get_exterior_ring(shape))[:-1]]


def _rounded(at: Any) -> Spot:
    return round(float(at[0]), 4), round(float(at[1]), 4)


def _set_by_tapes(bed: Bed, outline: Outline) -> list[Spot]:
    """The spots that pairs of tapes set."""
    if not isinstance(bed, PolygonBed | CurveBed) or bed.tapes is None:
        return []
    assert outline.fixed is not None  # outline_of tells where the tapes are held
    return [where_tapes_meet(*outline.fixed, t.from_a, t.from_b, t.left) for t in bed.tapes]


def written(metres: float, units: System, fine: bool = False) -> str:
    """A length as one types it: ``1.25 m``; ``4 ft 1.5 in``, to the half inch; ``fine``: to the
    millimetre, or the twentieth of an inch."""
    if units == "metric":
        return f"{round(metres, 3 if fine else 2) + 0.0:g} m"
    parts = 20 if fine else 2
    steps = round(abs(metres) / 0.0254 * parts)
    feet, inches = divmod(steps / parts, 12)
    words = " ".join(
        [f"{feet:.0f} ft"] * (feet > 0) + [f"{inches:g} in"] * (inches > 0 or feet == 0)
    )
    return f"-{words}" if metres < 0 and steps else words


def by_pegs(values: Values, smooth: bool) -> Values:
    """A brief's bed as pegs with a smooth line through them, or with straight lines between them.

    Pegs that were stated stay as they were written.  Raises BriefError or GeometryError.
    """
    bed, units = values["bed"], read_brief(values).units
    rest = {name: value for name, value in bed.items() if name not in SHAPE_FIELDS}
    shape = "curve" if smooth else "polygon"
    had = PEGS.get(bed["shape"])
    if had in bed:
        pegs = bed[had]
    else:
        pegs = [[written(x, units), written(y, units)] for x, y in _pegs_of(values)]
    return {**rest, "shape": shape, PEGS[shape]: pegs}


def _pegs_of(values: Values) -> list[Spot]:
    """Pegs that set out an outline which was stated otherwise."""
    brief = read_brief(values)
    outline = outline_of(brief.bed)
    if brief.bed.shape == "offsets":
        near = [(s[0], s[1] if len(s) == 3 else 0.0) for s in sorted(brief.bed.offsets)]
        far = [(s[0], s[-1]) for s in sorted(brief.bed.offsets)]
        return list(dict.fromkeys([*near, *reversed(far)]))
    ring = _ring(outline.polygon)
    if brief.bed.shape in ("circle", "ellipse"):
        return ring[:: len(ring) // ROUND_PEGS]
    return _set_by_tapes(brief.bed, outline) or ring


def reach_m(values: Values) -> float:
    """How far a brief's bed reaches from its middle, metres.  Raises BriefError or
    GeometryError."""
    outline = outline_of(read_brief(values).bed)
    return max(math.dist(outline.middle, at) for at in outline.polygon.exterior.coords)


def with_peg(values: Values, at: Spot | None = None) -> Values:
    """A brief's bed with one more peg at a spot, in the line where that grows least by it; without
    a spot, outside the longest gap.  Raises BriefError or GeometryError."""
    brief, bed = read_brief(values), values["bed"]
    field = PEGS[brief.bed.shape]
    pegs: list[Spot] = [(float(x), float(y)) for x, y in getattr(brief.bed, field)]
    gaps = list(zip(pegs, [*pegs[1:], pegs[0]], strict=True))
    if at is None:
        (ax, ay), (bx, by) = max(gaps, key=lambda gap: math.dist(*gap))
        sign = 1.0 if shapely.LinearRing(pegs).is_ccw else -1.0
        at = (
            (ax + bx) / 2 + sign * NEW_PEG_OUT * (by - ay),
            (ay + by) / 2 - sign * NEW_PEG_OUT * (bx - ax),
        )
    longer = [math.dist(a, at) + math.dist(at, b) - math.dist(a, b) for a, b in gaps]
    after = longer.index(min(longer)) + 1
    row = [written(v, brief.units) for v in at]
    made = {**bed, field: [*bed[field][:after], row, *bed[field][after:]]}
    if "sharp" in bed:
        made["sharp"] = [peg + (peg > after) for peg in bed["sharp"]]
    return made


def without_peg(values: Values, number: int) -> Values:
    """A brief's bed without a peg, counted from 1."""
    bed = values["bed"]
    field = PEGS[bed["shape"]]
    made = {**bed, field: [peg for n, peg in enumerate(bed[field], 1) if n != number]}
    if "sharp" in bed:
        made["sharp"] = [peg - (peg > number) for peg in bed["sharp"] if peg != number]
    return made


def with_distance(values: Values, number: int, length: str) -> Values:
    """A brief's bed with the next peg after one (counted from 1; after the last, the first) moved
    along the line between them until they are a length apart.

    Raises UnitError for the length, and TapesError where it is none or the two pegs are one spot.
    """
    brief, bed = read_brief(values), values["bed"]
    field = PEGS[brief.bed.shape]
    pegs = getattr(brief.bed, field)
    after = number % len(pegs)
    (ax, ay), (bx, by) = pegs[number - 1], pegs[after]
    metres = parse(with_unit("length", length.strip(), brief.units), LENGTH)
    apart = math.dist((ax, ay), (bx, by))
    if metres <= 0.0:
        raise TapesError("A distance between two pegs is more than nothing.")
    if apart == 0.0:
        raise TapesError(f"Pegs {number} and {after + 1} stand on one spot: move one of them.")
    times = metres / apart
    spot = ax + (bx - ax) * times, ay + (by - ay) * times
    row = [written(v, brief.units, fine=True) for v in spot]
    return {**bed, field: [row if n == after else peg for n, peg in enumerate(bed[field])]}


def by_two_tapes(
    values: Values, pegs: tuple[int, int], lengths: tuple[str, str], left: bool
) -> Spot:
    """Where two tapes meet that are held at two pegs, counted from 1; ``left`` of the line from the
    first to the second.  Raises UnitError for a length, and TapesError where they do not meet."""
    brief = read_brief(values)
    field = PEGS[brief.bed.shape]
    spots = getattr(brief.bed, field)
    if not all(1 <= peg <= len(spots) for peg in pegs) or pegs[0] == pegs[1]:
        raise TapesError("Measure from two different pegs.")
    one, two = (spots[peg - 1] for peg in pegs)
    first, second = (parse(with_unit("length", text, brief.units), LENGTH) for text in lengths)
    apart = math.dist(one, two)
    if apart == 0.0:
        raise TapesError("Measure from two pegs that do not stand on one spot.")
    over = tapes_miss_by(apart, first, second)
    if over > 0.0:
        short = first + second < apart
        by = written(over, brief.units)
        raise TapesError(
            f"Together the tapes are too short to meet by {by}."
            if short
            else f"One tape is too long to meet the other by {by}."
        )
    return where_tapes_meet(one, two, first, second, left)
