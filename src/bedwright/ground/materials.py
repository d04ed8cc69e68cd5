"""Materials that go into the ground: one registry, so that adding one is adding a row."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Literal, NamedTuple, cast

from bedwright.brief import Stock
from bedwright.facts import Fact
from bedwright.units import MASS, VOLUME, UnitError, parse

Sort = Literal["bulk", "feed", "lime", "sulfur"]


@dataclass(frozen=True, slots=True)
class Material:
    """A bulk material, fertiliser, lime or sulfur.

    ``loose_kg_m3``: weight as poured; ``settles``: share of the loose volume lost once dug in and
    watered; ``moisture``: share of the weight that is water; ``organic_share``: organic matter of
    the dry weight; ``expansion``: loose volume from one volume as packed (compressed bales and
    blocks); ``n``, ``p2o5``, ``k2o``: percent by weight; ``n_release``: share of nitrogen freed in
    the first season; ``neutralising``: calcium carbonate equivalent, percent; ``salt_index``: salt
    it brings, in percent of as much sodium nitrate.
    """

    name: str
    sort: Sort
    loose_kg_m3: float
    settles: float
    moisture: float
    organic_share: float
    carbon_nitrogen: float
    expansion: float
    n: float
    p2o5: float
    k2o: float
    n_release: float
    neutralising: float
    salt_index: float

    @property
    def dry_kg_m3(self) -> float:
        """Dry weight of a loose cubic metre."""
        return self.loose_kg_m3 * (1.0 - self.moisture)


@dataclass(frozen=True, slots=True)
class Pack:
    """A material in the pack it comes in: loose volume and weight of one, how many, price.

    ``as_written``: the size of the pack as the gardener wrote it.
    """

    label: str
    material: Material
    as_written: str
    loose_m3: float
    weight_kg: float
    at_hand: float
    price: float | None

    @property
    def settled_m3(self) -> float:
        """Volume that one pack fills once settled."""
        return self.loose_m3 * (1.0 - self.material.settles)

    @property
    def dry_kg(self) -> float:
        """Dry weight of one pack."""
        return self.loose_m3 * self.material.dry_kg_m3


class Bounds(NamedTuple):
    """Least and most of a quantity."""

    least: float
    most: float

    def hold(self, value: float) -> bool:
        """Whether a value lies between them."""
        return self.least <= value <= self.most


PACK_M3, PACK_KG = Bounds(1e-5, 50.0), Bounds(1e-3, 5e4)
"""Sizes of packs: from a spoonful to the largest truck's load."""


@cache
def materials() -> dict[str, Material]:
    """All materials by name."""
    out = {}
    for row in _rows():
        figures = {
            k: float(v) for k, v in row.items() if k not in ("name", "also", "sort", "source")
        }
        out[row["name"]] = Material(row["name"], cast(Sort, row["sort"]), **figures)
    return out


@cache
def _rows() -> list[dict[str, str]]:
    text = (files("bedwright.ground") / "data/materials.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def _also() -> dict[str, str]:
    """Other names of the trade that can mean one material only, as ``_plain`` writes them."""
    return {
        _plain(other): row["name"] for row in _rows() for other in row["also"].split(";") if other
    }


_SPELLINGS = (
    ("fertilizer", "fertiliser"),
    ("sulph", "sulf"),
    ("mold", "mould"),
    ("fiber", "fibre"),
)


def _plain(name: str) -> str:
    """A name in lower case with single spaces, spelled as the registry does."""
    name = " ".join(name.lower().replace("_", " ").split())
    for other, ours in _SPELLINGS:
        name = name.replace(other, ours)
    return name


def material_named(name: str) -> Material | None:
    """The material of that name, by any name or spelling that can mean one only; else None."""
    word = _plain(name)
    if (bare := word.removesuffix(" fertiliser")) in _also():  # "10-10-10 fertiliser"
        word = bare
    return materials().get(_also().get(word, word))


@dataclass(frozen=True)
class Unread(Fact):
    """Base of what is wrong with an entry of the brief's materials.

    ``field``: its path; ``given``: what stands there.
    """

    field: str
    given: str


@dataclass(frozen=True)
class NoSuchMaterial(Unread):
    """A name that is none of the registry's; ``near``: those like it."""

    near: tuple[str, ...]


@dataclass(frozen=True)
class AnalysisForName(Unread):
    """An analysis where a name should be; ``near``: materials it may stand beside."""

    near: tuple[str, ...]


@dataclass(frozen=True)
class NoPackSize(Unread):
    """A pack that is neither a volume nor a weight."""


@dataclass(frozen=True)
class PackOutOfBounds(Unread):
    """A pack smaller or larger than any."""

    volume_m3: Bounds
    weight_kg: Bounds


@dataclass(frozen=True)
class NoAnalysis(Unread):
    """No three percentages, or more than a hundred in all."""


@dataclass(frozen=True)
class AnalysisOfNoFertiliser(Unread):
    """An analysis of a material that is no fertiliser."""

    material: str


def _unknown(field: str, name: str) -> Unread:
    """What to say of a name that is none, with materials that hold the word or look like it."""
    word = _plain(name)
    if _ANALYSIS.fullmatch(word):
        return AnalysisForName(field, name, tuple(n for n in materials() if "complete" in n))
    near = [n for n, m in materials().items() if word and (word in n or word == m.sort)]
    near = near or [_also().get(n, n) for n in
                    difflib.get_close_matches(word, [*materials(), *_also()], n=3)]  # fmt: skip
    return NoSuchMaterial(field, name, tuple(dict.fromkeys(near or materials())))


MOST_SALT = 115.0
"""Salt index of potassium chloride, the saltiest of fertilisers (salt-index)."""

_ANALYSIS = re.compile(r"\s*(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)\s*")


def pack_of(stock: Stock, field: str) -> Pack | list[Unread]:
    """Read one entry of the brief's materials; what is wrong where it does not add up."""
    wrong: list[Unread] = []
    material = material_named(stock.material)
    if material is None:
        wrong.append(_unknown(f"{field}.material", stock.material))
    size = _size_of(stock.pack, f"{field}.pack")
    if isinstance(size, Unread):
        wrong.append(size)
    if stock.analysis is not None and material is not None:
        graded = _graded(material, stock.analysis, f"{field}.analysis")
        if isinstance(graded, Unread):
            wrong.append(graded)
        else:
            material = graded
    if wrong or material is None or isinstance(size, Unread):
        return wrong
    if stock.release is not None:
        material = replace(material, n_release=stock.release)
    if stock.weighs is not None:
        material = replace(material, loose_kg_m3=stock.weighs)
    if stock.compressed is not None:
        material = replace(material, expansion=stock.compressed)
    if size.volume_m3 is not None:
        loose = size.volume_m3 * material.expansion
        weight = loose * material.loose_kg_m3
    else:
        weight = size.weight_kg
        loose = weight / material.loose_kg_m3
    written = re.sub(r"\bm3\b", "m³", stock.pack)
    return Pack(stock.label, material, written, loose, weight, stock.count, stock.price)


class _Size(NamedTuple):
    """A pack's volume, or its weight where that is None."""

    volume_m3: float | None
    weight_kg: float = 0.0


def _size_of(pack: str, field: str) -> _Size | Unread:
    """The size of a pack from its words."""
    try:
        size = _Size(parse(pack, VOLUME))
    except UnitError:
        try:
            size = _Size(None, parse(pack, MASS))
        except UnitError:
            return NoPackSize(field, pack)
    held = PACK_KG.hold(size.weight_kg) if size.volume_m3 is None else PACK_M3.hold(size.volume_m3)
    return size if held else PackOutOfBounds(field, pack, PACK_M3, PACK_KG)


def _graded(material: Material, analysis: str, field: str) -> Material | Unread:
    """A fertiliser by the analysis on its label."""
    match = _ANALYSIS.fullmatch(analysis)
    shares = [float(g) for g in match.groups()] if match else []
    if not match or sum(shares) > 100:
        return NoAnalysis(field, analysis)
    if material.sort != "feed":
        return AnalysisOfNoFertiliser(field, analysis, material.name)
    n, p2o5, k2o = shares
    # A weaker grade of the same is less salty in proportion.
    usual = material.n + material.p2o5 + material.k2o
    salt = min(material.salt_index * sum(shares) / usual, MOST_SALT) if usual else 0.0
    return replace(material, n=n, p2o5=p2o5, k2o=k2o, salt_index=salt)


def packs_of(stock: Sequence[Stock | None]) -> tuple[list[Pack], list[Unread]]:
    """All materials of a brief, and all that is wrong among them; None stands for one not to be
    read."""
    packs: list[Pack] = []
    wrong: list[Unread] = []
    for n, item in enumerate(stock, start=1):
        if item is None:
            continue
        read = pack_of(item, f"materials[{n}]")
        if isinstance(read, Pack):
            packs.append(read)
        else:
            wrong += read
    return packs, wrong


def by_the_bag(name: str, size: str) -> Pack:
    """A material of the registry in a usual bag of that size, for briefs that name no materials."""
    material, held = materials()[name], parse(size, VOLUME)
    loose = held * material.expansion
    return Pack(name, material, size, loose, loose * material.loose_kg_m3, 0.0, None)
