"""What stands around the bed and shades it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from bedwright.brief.synonyms import choice
from bedwright.brief.table import Table
from bedwright.brief.values import (
    Bearing,
    Clash,
    Day,
    Height,
    Length,
    Offset,
    Point,
    Share,
    Spot,
    at_most,
    quantity,
    words,
)
from bedwright.units import LENGTH

MOST_SPOTS = 40
"""Corners of one thing around the bed, at most."""


class _Neighbour(Table):
    """Something that shades the bed, placed as one would pace it, or by coordinates.

    From the middle of the bed walk ``distance`` toward ``bearing``; or ``at`` says the same spot in
    the bed's own frame; ``corners`` (of buildings and barriers) stand instead of either.  It stands
    on the ground, sloping as the bed does, unless ``base_height`` says how far above the bed's
    middle.
    """

    stand_ins: ClassVar[dict[str, Any]] = {"height": "3 m"}

    name: Annotated[str, words(40)] = ""
    bearing: Bearing | None = None
    distance: Annotated[float, quantity(LENGTH, 0.0, 500.0, "0 to 500 m")] | None = None
    at: Point | None = None
    height: Height
    base_height: Offset | None = None

    def clashes(self) -> Iterator[Clash]:
        """No place, or more than one."""
        paced = {"bearing": self.bearing, "distance": self.distance}
        ways = {"at": self.at, "corners": getattr(self, "corners", None), **paced}
        given = [name for name, value in ways.items() if value is not None]
        where = "bearing and distance from the bed's middle, or at = ['x', 'y'] from the base line"
        if "corners" in type(self).model_fields:
            where += ", or corners"
        if len(given) > 1 and given[:2] != ["bearing", "distance"]:
            yield Clash(given[0], f"one of: {where}", "beside " + " and ".join(given[1:]))
        if not {"at", "corners"} & set(given):
            missing = [name for name, value in paced.items() if value is None]
            yield from (Clash(name, where) for name in missing[:1])


Roof = Literal["flat", "gable", "hip"]


class Building(_Neighbour):
    """A house or shed: ``distance`` reaches the middle of its near face.

    ``width`` along the near face, ``depth`` away from it; the near face looks back at the bed
    unless ``faces`` says which way.  ``corners`` give any footprint instead.  ``height`` to the
    eaves; a ``ridge`` above them makes a gable roof (or a hip roof, if so stated) whose ridge runs
    along the longer side unless ``ridge_runs`` gives a direction.
    """

    kind: Literal["building"]
    width: Length | None = None
    depth: Length | None = None
    corners: Annotated[tuple[Spot, ...], Field(min_length=3), at_most(MOST_SPOTS)] | None = None
    roof: Annotated[Roof | None, choice("roof", Roof)] = None
    ridge: Height | None = None
    ridge_runs: Bearing | None = None
    faces: Bearing | None = None

    @property
    def roof_shape(self) -> Roof:
        """The roof stated, or a gable where there is a ridge."""
        return self.roof or ("flat" if self.ridge is None else "gable")

    def clashes(self) -> Iterator[Clash]:
        """A footprint given twice or not at all; a roof and a ridge at odds."""
        yield from super().clashes()
        for name, value in {"width": self.width, "depth": self.depth}.items():
            if self.corners is None and value is None:
                yield Clash(name, "a length; or corners of any footprint")
            if self.corners is not None and value is not None:
                yield Clash(name, "one or the other", "beside corners")
        if self.corners is not None and self.faces is not None:
            yield Clash("faces", "one or the other", "beside corners")
        if self.roof in ("gable", "hip") and self.ridge is None:
            yield Clash("ridge", f"the height of the {self.roof} roof's ridge")
        if self.ridge is not None and self.roof == "flat":
            yield Clash("ridge", "roof = 'gable' or 'hip'", "on a flat roof")
        if self.ridge is not None and self.ridge < self.height:
            yield Clash("ridge", "at least as high as height, which is to the eaves")
        if self.ridge_runs is not None and self.roof_shape in ("flat", "hip"):
            yield Clash("ridge_runs", "a direction, of gable roofs", f"on a {self.roof_shape} roof")


class Barrier(_Neighbour):
    """A wall, fence or hedge: ``distance`` reaches its middle; it runs square to that unless
    ``runs`` gives a direction; or through ``corners``.  ``openness``: the share of light that comes
    through."""

    kind: Literal["wall", "fence", "hedge"]
    length: Length | None = None
    corners: Annotated[tuple[Spot, ...], Field(min_length=2), at_most(MOST_SPOTS)] | None = None
    thickness: Length | None = None
    runs: Bearing | None = None
    openness: Share | None = None

    def clashes(self) -> Iterator[Clash]:
        """A line given twice or not at all."""
        yield from super().clashes()
        if self.corners is None and self.length is None:
            yield Clash("length", "a length; or corners that it runs through")
        for name in ("length", "runs"):
            if self.corners is not None and getattr(self, name) is not None:
                yield Clash(name, "one or the other", "beside corners")


Crown = Literal["rounded", "conical", "columnar"]


class Tree(_Neighbour):
    """A tree or shrub: ``distance`` reaches the trunk.

    ``crown_base``: height of the lowest branches; ``trunk``: its diameter; ``openness``,
    ``openness_bare``: the share of light that comes through the crown in leaf and bare;
    ``leaf_out``, ``leaf_fall``: days between which it is in leaf.
    """

    stand_ins: ClassVar[dict[str, Any]] = {"height": "3 m", "spread": "1 m"}

    kind: Literal["tree", "shrub"]
    spread: Length
    crown: Annotated[Crown, choice("crown", Crown)] = "rounded"
    crown_base: Annotated[float, quantity(LENGTH, 0.0, 80.0, "0 to 80 m")] | None = None
    trunk: Annotated[float, quantity(LENGTH, 0.0, 5.0, "0 to 5 m")] | None = None
    evergreen: bool = False
    openness: Share | None = None
    openness_bare: Share | None = None
    leaf_out: Day | None = None
    leaf_fall: Day | None = None

    def clashes(self) -> Iterator[Clash]:
        """Measures or leaf dates at odds."""
        yield from super().clashes()
        if self.crown_base is not None and self.crown_base >= self.height:
            yield Clash("crown_base", "lower than height")
        if self.trunk is not None and self.trunk > self.spread:
            yield Clash("trunk", "no thicker than the crown's spread")
        days = {"leaf_out": self.leaf_out, "leaf_fall": self.leaf_fall}
        if self.evergreen is True:
            bare = {**days, "openness_bare": self.openness_bare}
            stated = [name for name, value in bare.items() if value is not None]
            yield from (Clash(n, "none, or evergreen = false", "of an evergreen") for n in stated)
        elif any(days.values()):
            missing = [name for name, day in days.items() if day is None]
            yield from (Clash(n, "a day; leaf_out and leaf_fall go together") for n in missing)
            if len({str(day).replace("02-29", "02-28") for day in days.values()}) == 1:
                yield Clash("leaf_fall", "another day than leaf_out")


Neighbour = Building | Barrier | Tree
NEIGHBOURS: dict[str, type[Neighbour]] = {
    "building": Building,
    "wall": Barrier,
    "fence": Barrier,
    "hedge": Barrier,
    "tree": Tree,
    "shrub": Tree,
}
