"""Hazards of this very plan, as facts.

Each caution is raised by what the plan holds; the words that go with it (``report``) defer to local
codes, product labels and licensed practice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from bedwright.brief import Brief, Tree
from bedwright.catalogue import Kind
from bedwright.facts import Fact
from bedwright.work.rates import rates

if TYPE_CHECKING:
    from bedwright.geometry import Outline
    from bedwright.ground import Ground
    from bedwright.planting import Item, Planting


class Pack(NamedTuple):
    """A heavy pack: its label and its weight."""

    label: str
    weight_kg: float


class Weed(NamedTuple):
    """A kind that spreads, and the places whose lists of weeds it is known to be on."""

    name: str
    listed_in: tuple[str, ...]


class Edible(NamedTuple):
    """A kind listed as edible, and what of it."""

    name: str
    part: str


@dataclass(frozen=True)
class Caution(Fact):
    """Base of all hazards; ``letters``: of the plants that one concerns."""

    @property
    def letters(self) -> tuple[str, ...]:
        """Of the plants it concerns."""
        return ()


@dataclass(frozen=True)
class PlantCaution(Caution):
    """Base of the hazards of plants; ``items``: their letters on a plan, none outside of one."""

    items: tuple[str, ...]
    names: tuple[str, ...]

    @property
    def letters(self) -> tuple[str, ...]:
        """Of the plants it concerns."""
        return self.items


@dataclass(frozen=True)
class BuriedServices(Caution):
    """Pipes and cables where one digs."""


@dataclass(frozen=True)
class Lifting(Caution):
    """Loads: all the sod moist, and packs that are heavy."""

    sod_kg: float | None
    packs: tuple[Pack, ...]


@dataclass(frozen=True)
class TreeRoots(Caution):
    """Trees with roots under the bed; an empty name for one that the brief does not name."""

    trees: tuple[str, ...]


@dataclass(frozen=True)
class Dust(Caution):
    """Dusty products."""

    labels: tuple[str, ...]


@dataclass(frozen=True)
class ClearingGrass(Caution):
    """The way in which the grass is cleared."""

    way: str


@dataclass(frozen=True)
class Poisonous(PlantCaution):
    """Toxic to people."""


@dataclass(frozen=True)
class Upsetting(PlantCaution):
    """Mildly toxic to people."""


@dataclass(frozen=True)
class HarmsPets(PlantCaution):
    """Toxic to dogs or cats, or not known to be safe."""


@dataclass(frozen=True)
class IrritatesSkin(PlantCaution):
    """Sap or leaves irritate."""


@dataclass(frozen=True)
class Spreads(PlantCaution):
    """Sows itself freely or is listed as a weed somewhere."""

    weeds: tuple[Weed, ...]


@dataclass(frozen=True)
class EatingFlowers(PlantCaution):
    """Kinds of which something is eaten."""

    parts: tuple[Edible, ...]


def make_cautions(
    brief: Brief, outline: Outline, ground: Ground, planting: Planting
) -> tuple[Caution, ...]:
    """All cautions that this plan calls for."""
    return (*ground_cautions(brief, outline, ground), *_plants(planting), *_eating(planting))


def kind_cautions(kind: Kind) -> tuple[PlantCaution, ...]:
    """Cautions that one kind calls for, wherever it grows."""
    found: list[PlantCaution] = [
        hazard((), (kind.name,)) for hazard, test in _HAZARDS if test(kind)
    ]
    if _spreads(kind):
        found.append(Spreads((), (kind.name,), (_weed(kind),)))
    return tuple(found)


def ground_cautions(brief: Brief, outline: Outline, ground: Ground) -> tuple[Caution, ...]:
    """Cautions of the ground work alone."""
    return (
        BuriedServices(),
        _lifting(ground),
        *_roots(brief, outline),
        *_dust(ground),
        *_clearing(ground),
    )


def _lifting(ground: Ground) -> Lifting:
    each = [Pack(layer.label, layer.weight_kg / layer.packs) for layer in ground.refill.layers]
    heavy, bulk = rates()["heavy_pack"], rates()["bulk_load"]
    packs = tuple(pack for pack in each if heavy <= pack.weight_kg < bulk)
    return Lifting(ground.sod.wet_kg if ground.sod else None, packs)


def _roots(brief: Brief, outline: Outline) -> Iterator[TreeRoots]:
    """Trees whose roots are under the bed."""
    from shapely.geometry import Point

    from bedwright.geometry import foot_of

    reach = rates()["root_reach"] / 2
    near = [
        thing.name
        for thing in brief.surroundings
        if isinstance(thing, Tree)
        and outline.polygon.distance(Point(foot_of(outline, thing))) < reach * thing.spread
    ]
    if near:
        yield TreeRoots(tuple(near))


def _dust(ground: Ground) -> Iterator[Dust]:
    labels = [dose.label for dose in ground.feed.doses]
    if ground.ph.dose is not None:
        labels.append(ground.ph.dose.label)
    labels += [layer.label for layer in ground.refill.layers if layer.material in ("peat", "coir")]
    if labels:
        yield Dust(tuple(labels))


def _clearing(ground: Ground) -> Iterator[ClearingGrass]:
    if ground.clearing is not None and ground.clearing.chosen.key != "lift":
        yield ClearingGrass(ground.clearing.chosen.key)


def _harms_pets(kind: Kind) -> bool:
    return kind.safety.dogs != "none_known" or kind.safety.cats != "none_known"


def _spreads(kind: Kind) -> bool:
    return bool(kind.safety.invasive) or kind.safety.self_sows == "freely"


def _weed(kind: Kind) -> Weed:
    return Weed(kind.name, tuple(kind.safety.weed_in) if kind.safety.invasive else ())


_HAZARDS: tuple[tuple[type[PlantCaution], Callable[[Kind], bool]], ...] = (
    (Poisonous, lambda kind: kind.safety.people == "toxic"),
    (Upsetting, lambda kind: kind.safety.people == "mild"),
    (HarmsPets, _harms_pets),
    (IrritatesSkin, lambda kind: kind.safety.skin == "irritant"),
)


def _plants(planting: Planting) -> Iterator[PlantCaution]:
    for hazard, test in _HAZARDS:
        found = [item for item in planting.items if test(item.candidate.kind)]
        if found:
            yield hazard(_letters(found), _names(found))
    found = [item for item in planting.items if _spreads(item.candidate.kind)]
    if found:
        weeds = [_weed(item.candidate.kind) for item in found]
        yield Spreads(_letters(found), _names(found), tuple(dict.fromkeys(weeds)))


def _eating(planting: Planting) -> Iterator[EatingFlowers]:
    found = [item for item in planting.items if item.candidate.kind.uses.edible != "no"]
    if found:
        kinds = [item.candidate.kind for item in found]
        parts = dict.fromkeys(Edible(kind.name, kind.uses.edible) for kind in kinds)
        yield EatingFlowers(_letters(found), _names(found), tuple(parts))


def _letters(items: Iterable[Item]) -> tuple[str, ...]:
    return tuple(item.letter for item in items)


def _names(items: Iterable[Item]) -> tuple[str, ...]:
    """Kinds' names, each once."""
    return tuple(dict.fromkeys(item.candidate.kind.name for item in items))
