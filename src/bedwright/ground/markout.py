"""Marking out: stakes from the base line, string and edging, how sure the area is."""

from __future__ import annotations

from dataclasses import dataclass
from string import ascii_lowercase

import numpy as np
import shapely
from numpy.typing import NDArray

from bedwright.geometry import Outline
from bedwright.ground.rates import rates

CORNER_DEG = 25.0
"""Turn of the edge from which a point is a corner, to be staked whatever the curve."""

SLIGHT_DEG, SAG_M = 3.0, 0.02
"""Least turn between long sides that is a corner; how far a straight stretch may bow."""

PART_M = 0.1
"""The sides of a 3-4-5 triangle are whole multiples of this, unless another is asked for."""

BETWEEN_PEGS = 2.0
"""Stakes between the pegs of a curve stand so many times as far apart as along other curves: a hose
that is laid through the pegs bows by itself (estimate)."""

MOST_BETWEEN = len(ascii_lowercase)
"""Parts of a curve between two pegs, at most: a stake at the end of each but the last has a letter,
so that those of a longer curve stand farther apart."""

OFFSET_STEPS = 12
"""Stations along the base line at most between which a curved edge is measured."""


@dataclass(frozen=True)
class MarkOut:
    """Where to set stakes and string.

    ``stakes``: (x, y) from the base line, metres; ``names``: of the stakes: a curve's pegs bear
    their numbers, and a stake between a peg and the next has a letter after it; ``tapes_m``: of
    each stake, its distances from the stakes A and B, where the brief was measured from these;
    ``edge_m``: length of the edge, and of edging; ``string_m``: from stake to stake, once round;
    ``area_error_m2``: standard error of the area; ``diagonals_m``: of four corners; ``square_m``:
    for a rectangle, the sides and the slant of the largest 3-4-5 triangle that fits its corner;
    ``offsets``: of a curved edge, (x, near y, far y) at even steps along the base line.
    """

    stakes: tuple[tuple[float, float], ...]
    names: tuple[str, ...]
    tapes_m: tuple[tuple[float, float], ...]
    edge_m: float
    string_m: float
    area_m2: float
    area_error_m2: float
    diagonals_m: tuple[float, float] | None
    square_m: tuple[float, float, float] | None
    offsets: tuple[tuple[float, float, float], ...]


def mark_out(outline: Outline, part_m: float = PART_M) -> MarkOut:
    """Where to set the stakes: every corner or peg, and points along the curves between them.

    ``part_m``: the sides of the 3-4-5 triangle are whole multiples of it.
    """
    ring = np.array(outline.polygon.exterior.coords)[:-1]
    diagonals = None
    if len(ring) == 4:
        diagonals = (
            float(np.linalg.norm(ring[2] - ring[0])),
            float(np.linalg.norm(ring[3] - ring[1])),
        )
    if outline.pegs:
        names, stakes = _pegs(outline)
    else:
        stakes = _stakes(ring)
        names = [str(n) for n in range(1, len(stakes) + 1)]
    string = float(np.linalg.norm(np.roll(stakes, -1, axis=0) - stakes, axis=1).sum())
    return MarkOut(
        tuple((float(x), float(y)) for x, y in stakes),
        tuple(names),
        _tapes(outline, stakes),
        outline.perimeter_m,
        string,
        outline.area_m2,
        _area_error(outline, stakes),
        diagonals,
        _three_four_five(ring, part_m),
        _offsets(outline, ring),
    )


def _area_error(outline: Outline, stakes: NDArray[np.float64]) -> float:
    """Standard error of the area from independent errors of the tape, square metres.

    The shoelace area is linear in each corner.  A spot by two tapes is moved the farther by their
    errors the smaller the angle at which they meet: by one over its sine, but no farther than where
    they meet on the line of their stakes, about √(length × error / 2).
    """
    error = rates()["tape_error"]
    edge = np.roll(stakes, -1, axis=0) - np.roll(stakes, 1, axis=0)
    pull = np.column_stack([edge[:, 1], -edge[:, 0]]) / 2
    if outline.fixed is not None:
        a, b = (stakes - np.array(spot) for spot in outline.fixed)
        long_a, long_b = (np.maximum(np.hypot(*way.T), error) for way in (a, b))
        ua, ub = a / long_a[:, None], b / long_b[:, None]
        sine = np.abs(ua[:, 0] * ub[:, 1] - ua[:, 1] * ub[:, 0])
        sine = np.maximum(sine, np.sqrt(2 * error / np.minimum(long_a, long_b)))
        by_a = pull[:, 0] * ub[:, 1] - pull[:, 1] * ub[:, 0]
        by_b = pull[:, 1] * ua[:, 0] - pull[:, 0] * ua[:, 1]
        pull = np.column_stack([by_a, by_b]) / sine[:, None]
    return error * float(np.sqrt((pull**2).sum()))


def _tapes(outline: Outline, stakes: NDArray[np.float64]) -> tuple[tuple[float, float], ...]:
    """Distances of each stake from the stakes A and B, if there are such."""
    if outline.fixed is None:
        return ()
    a, b = (np.linalg.norm(stakes - np.array(spot), axis=1) for spot in outline.fixed)
    return tuple((float(m), float(n)) for m, n in zip(a, b, strict=True))


def _pegs(outline: Outline) -> tuple[list[str], NDArray[np.float64]]:
    """The pegs of a curve, in the brief's order, and stakes on the long curves between them."""
    edge, pegs = outline.polygon.exterior, np.array(outline.pegs)
    at = np.asarray(shapely.line_locate_point(edge, shapely.points(pegs)))
    on = (np.roll(at, -1) - at) % edge.length
    if on.sum() > 1.5 * edge.length:  # the pegs run in the opposite direction to the outline
        on = on - edge.length
    names, spots = [], []
    for n, (start, long) in enumerate(zip(at, on, strict=True)):
        straight = {n, (n + 1) % len(pegs)} <= set(outline.sharp)
        parts = int(np.ceil(abs(long) / (BETWEEN_PEGS * rates()["stake_step"])))
        parts = 1 if straight else min(max(parts, 1), MOST_BETWEEN)
        names += [f"{n + 1}{letter}" for letter in ("", *ascii_lowercase)[:parts]]
        spots.append(pegs[n])
        for k in range(1, parts):
            spot = edge.interpolate((start + long * k / parts) % edge.length)
            spots.append(np.array([spot.x, spot.y]))
    return names, np.array(spots)


def _three_four_five(
    ring: NDArray[np.float64], whole_m: float
) -> tuple[float, float, float] | None:
    """Sides of 3, 4 and 5 parts that fit a rectangle's corners, a part so many whole lengths."""
    if len(ring) != 4:
        return None
    sides = np.roll(ring, -1, axis=0) - ring
    lengths = np.linalg.norm(sides, axis=1)
    slants = np.sum(sides * np.roll(sides, -1, axis=0), axis=1) / (lengths * np.roll(lengths, -1))
    if np.abs(slants).max() > SQUARE:
        return None
    part = float(np.floor(min(lengths.min() / 3, lengths.max() / 4) / whole_m + 1e-9) * whole_m)
    return (3 * part, 4 * part, 5 * part) if part > 0 else None


SQUARE = 0.0035
"""Cosine of a corner that passes for square: a fifth of a degree off."""


def _offsets(outline: Outline, ring: NDArray[np.float64]) -> tuple[tuple[float, float, float], ...]:
    """Near and far edge of a curved outline, square to the base line, at even steps along it; none
    where the outline is straight-sided or folds back over itself."""
    if len(ring) <= MOST_CORNERS or (_turns(ring) >= CORNER_DEG).sum() > len(ring) / 2:
        return ()
    x0, y0, x1, y1 = outline.polygon.bounds
    count = max(min(round((x1 - x0) / (rates()["stake_step"] / 2)), OFFSET_STEPS), 4)
    found = []
    for x in np.linspace(x0, x1, count + 1):
        inside = min(max(x, x0 + 1e-6), x1 - 1e-6)
        line = shapely.LineString([(inside, y0 - 1.0), (inside, y1 + 1.0)])
        across = line.intersection(outline.polygon)
        if not isinstance(across, shapely.LineString):
            return ()
        _, low, _, high = across.bounds
        found.append((float(x), float(low), float(high)))
    return tuple(found)


def _turns(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far the edge turns at each point, degrees."""
    into, out = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    turn = np.degrees(np.arctan2(out[:, 1], out[:, 0]) - np.arctan2(into[:, 1], into[:, 0]))
    return np.asarray(np.abs((turn + 180.0) % 360.0 - 180.0))


MOST_CORNERS = 12
"""An outline of more corners than this is a curve."""


def _stakes(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """Corners in order, with evenly spread points on each curved stretch between two of them."""
    turn = _turns(ring)
    # Where both sides are long a slight turn is a corner that somebody set, not a curve's.
    out = np.linalg.norm(np.roll(ring, -1, axis=0) - ring, axis=1)
    sides = np.minimum(out, np.roll(out, 1))
    corners = np.flatnonzero((turn >= CORNER_DEG) | ((sides > 0.5) & (turn > SLIGHT_DEG)))
    if len(corners) == 0:
        corners = np.array([int(np.lexsort((ring[:, 1], ring[:, 0]))[0])])
    spots = []
    for a, b in zip(corners, [*corners[1:], corners[0] + len(ring)], strict=True):
        part = ring[np.arange(a, b + 1) % len(ring)]
        steps = np.linalg.norm(np.diff(part, axis=0), axis=1)
        chord = shapely.LineString([part[0], part[-1]]) if len(part) > 2 else None
        straight = chord is None or (
            float(np.linalg.norm(part[-1] - part[0])) > 0.99 * steps.sum()
            and float(shapely.distance(shapely.points(part), chord).max()) < SAG_M
        )
        count = 1 if straight else max(int(np.ceil(steps.sum() / rates()["stake_step"])), 2)
        along = np.concatenate([[0.0], np.cumsum(steps)])
        at = np.linspace(0.0, along[-1], count, endpoint=False)
        spots += [(np.interp(s, along, part[:, 0]), np.interp(s, along, part[:, 1])) for s in at]
    return np.array(spots)
