"""The outlines that a bed may have."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Field

from bedwright.brief.table import Table, several
from bedwright.brief.values import (
    UNREADABLE,
    Bearing,
    Clash,
    Length,
    Offset,
    Point,
    Side,
    Slope,
    TapePair,
    at_most,
    number,
)

MOST_SIDES, MOST_CORNERS, MOST_OFFSETS = 16, 100, 200
"""Sides a bed is viewed from, corners and offsets of its outline, at most: a bed of a hundred
corners, every other one a deep notch, takes half a minute to plant, one of two hundred minutes."""


class _Bed(Table):
    """What every outline has: the base line's direction and who looks from where.

    The base line starts at the origin and runs toward ``bearing``; x is measured along it and y
    square to it, to the left.  ``viewed_from``: compass directions in which onlookers stand.
    ``slope``: of the ground, rise over run, falling toward ``aspect``.
    """

    bearing: Bearing = 90.0
    slope: Slope = 0.0
    aspect: Bearing | None = None
    viewed_from: Annotated[
        tuple[Side, ...],
        at_most(MOST_SIDES),
        BeforeValidator(several),
        Field(min_length=1),
    ] = ("all",)

    def clashes(self) -> Iterator[Clash]:
        """A slope without its aspect."""
        if self.slope and self.aspect is None:
            yield Clash("aspect", "the direction in which the sloping bed falls")


class RectangleBed(_Bed):
    """Length along the base line, width to its left."""

    shape: Literal["rectangle"]
    length: Length
    width: Length


class CircleBed(_Bed):
    """A round bed; the base line is its diameter."""

    shape: Literal["circle"]
    diameter: Length


class EllipseBed(_Bed):
    """An oval bed; the base line is its long axis."""

    shape: Literal["ellipse"]
    length: Length
    width: Length


Spots = Annotated[tuple[Point, ...], Field(min_length=3), at_most(MOST_CORNERS)]


class _SpotsBed(_Bed):
    """A bed by spots on its edge, in order once round: each [x, y] from the base line, or by two
    tapes.

    ``tapes``: of each spot, how far it is from the stakes A and B, on the left of the line from A
    to B unless it says "right".  A stands at the start of the base line and B on it, ``base`` from
    A, unless ``fixed`` says where the two stand.
    """

    spots_in: ClassVar[str]

    tapes: Annotated[tuple[TapePair, ...], Field(min_length=3), at_most(MOST_CORNERS)] | None = None
    base: Length | None = None
    fixed: tuple[Point, Point] | None = None

    def clashes(self) -> Iterator[Clash]:
        """Spots given twice or not at all; stakes to measure from without need, or none."""
        yield from super().clashes()
        name = self.spots_in
        spots = getattr(self, name)
        if spots is None and self.tapes is None:
            yield Clash(name, f"{name}, each ['x', 'y'] from the base line; or tapes")
        if spots is not None and self.tapes is not None:
            yield Clash("tapes", "one or the other", f"beside {name}")
        stakes = [n for n in ("base", "fixed") if getattr(self, n) is not None]
        if self.tapes is None:
            yield from (Clash(n, "left out, or tapes beside it") for n in stakes)
        elif not stakes:
            yield Clash(
                "base",
                "how far from A, at the start of the base line, B stands on it; or fixed, the"
                " places of both",
            )
        elif len(stakes) == 2:
            yield Clash("base", "one or the other", "beside fixed")


class PolygonBed(_SpotsBed):
    """A bed by its corners."""

    spots_in = "corners"

    shape: Literal["polygon"]
    corners: Spots | None = None


class CurveBed(_SpotsBed):
    """A bed with a free outline: a smooth line through pegs.

    ``sharp``: pegs, counted from 1, at which the line turns sharply; between two of them that
    follow each other it is straight.
    """

    spots_in = "pegs"

    shape: Literal["curve"]
    pegs: Spots | None = None
    sharp: Annotated[
        tuple[Annotated[int, number(1, MOST_CORNERS, True)], ...], at_most(MOST_CORNERS)
    ] = ()

    def clashes(self) -> Iterator[Clash]:
        """A peg that there is not, or one named twice."""
        yield from super().clashes()
        spots: Any = self.tapes if self.pegs is None else self.pegs
        sharp: Any = self.sharp
        if sharp is UNREADABLE:
            return
        for n, peg in enumerate(sharp):
            if spots is not None and spots is not UNREADABLE and peg > len(spots):
                yield Clash(f"sharp[{n + 1}]", f"the number of a peg, 1 to {len(spots)}", str(peg))
            elif peg in sharp[:n]:
                yield Clash(f"sharp[{n + 1}]", "each peg once", f"peg {peg} once more")


EdgeOffset = Annotated[tuple[Offset, ...], Field(min_length=2, max_length=3)]


class OffsetsBed(_Bed):
    """A bed with a curved edge: at each x along the base line, the edge's offset.

    ``offsets``: [x, y] to the curved edge, or [x, near y, far y] where both edges curve.
    The curve through the offsets is smooth (a monotone cubic).
    """

    shape: Literal["offsets"]
    offsets: Annotated[tuple[EdgeOffset, ...], Field(min_length=3), at_most(MOST_OFFSETS)]


Bed = RectangleBed | CircleBed | EllipseBed | PolygonBed | OffsetsBed | CurveBed
BEDS: dict[str, type[Bed]] = {
    "rectangle": RectangleBed,
    "circle": CircleBed,
    "ellipse": EllipseBed,
    "polygon": PolygonBed,
    "offsets": OffsetsBed,
    "curve": CurveBed,
}
