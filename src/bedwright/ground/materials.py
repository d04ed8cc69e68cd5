"""Materials that go into the ground: one registry, so that adding one is adding a row."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Literal, cast

from bedwright.brief import Fault, Stock
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
    """A material in the pack it comes in: loose volume and weight of one, how many, price."""

    label: str
    material: Material
    said: str
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


def _materials_like(name: str) -> str:
    """What to offer for a name that is none: materials that hold the word, or look like it."""
    word = _plain(name)
    if _ANALYSIS.fullmatch(word):
        feeds = ", ".join(name for name in materials() if "complete" in name)
        return f"{feeds}; with analysis = '{word}' beside it"
    near = [n for n, m in materials().items() if word and (word in n or word == m.sort)]
    near = near or [_also().get(n, n) for n in
                    difflib.get_close_matches(word, [*materials(), *_also()], n=3)]  # fmt: skip
    return ", ".join(dict.fromkeys(near or materials()))


MOST_SALT = 115.0
"""Salt index of potassium chloride, the saltiest of fertilisers (salt-index)."""

_ANALYSIS = re.compile(r"\s*(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)\s*")


def pack_of(stock: Stock, field: str) -> Pack | list[Fault]:
    """Read one entry of the brief's materials; faults where it does not add up."""
    faults = []
    material = material_named(stock.material)
    if material is None:
        accepted = _materials_like(stock.material)
        faults.append(Fault(f"{field}.material", f"'{stock.material}'", accepted))
    volume = weight = None
    try:
        volume = parse(stock.pack, VOLUME)
    except UnitError:
        try:
            weight = parse(stock.pack, MASS)
        except UnitError:
            faults.append(
                Fault(
                    f"{field}.pack",
                    f"'{stock.pack}'",
                    "a volume or a weight with its unit, such as '40 L' or '40 lb'",
                )
            )
    if (volume is not None and not 1e-5 <= volume <= 50) or (
        weight is not None and not 1e-3 <= weight <= 5e4
    ):
        faults.append(Fault(f"{field}.pack", f"'{stock.pack}'", "10 mL to 50 m³, or 1 g to 50 t"))
    if stock.analysis is not None and material is not None:
        match = _ANALYSIS.fullmatch(stock.analysis)
        shares = [float(g) for g in match.groups()] if match else []
        if not match or sum(shares) > 100:
            faults.append(
                Fault(
                    f"{field}.analysis",
                    f"'{stock.analysis}'",
                    "percent of N, P2O5 and K2O, such as '5-10-5', 100 together at most",
                )
            )
        elif material.sort != "feed":
            faults.append(
                Fault(
                    f"{field}.analysis",
                    f"'{stock.analysis}'",
                    f"nothing: {material.name} is no fertiliser",
                )
            )
        else:
            # A weaker grade of the same is less salty in proportion.
            usual = material.n + material.p2o5 + material.k2o
            salt = min(material.salt_index * sum(shares) / usual, MOST_SALT) if usual else 0.0
            material = replace(
                material, n=shares[0], p2o5=shares[1], k2o=shares[2], salt_index=salt
            )
    if faults or material is None:
        return faults
    if stock.release is not None:
        material = replace(material, n_release=stock.release)
    if stock.weighs is not None:
        material = replace(material, loose_kg_m3=stock.weighs)
    if stock.compressed is not None:
        material = replace(material, expansion=stock.compressed)
    if volume is not None:
        loose = volume * material.expansion
        weight = loose * material.loose_kg_m3
    else:
        assert weight is not None
        loose = weight / material.loose_kg_m3
    said = re.sub(r"\bm3\b", "m³", stock.pack)
    return Pack(stock.label, material, said, loose, weight, stock.count, stock.price)


def packs_of(materials: Sequence[Stock | None]) -> tuple[list[Pack], list[Fault]]:
    """All materials of a brief, and every fault among them; None stands for one not to be read."""
    packs, faults = [], []
    for n, item in enumerate(materials):
        if item is None:
            continue
        read = pack_of(item, f"materials[{n + 1}]")
        if isinstance(read, Pack):
            packs.append(read)
        else:
            faults += read
    return packs, faults


def by_the_bag(name: str, volume_m3: float) -> Pack:
    """A material of the registry in a usual pack, for briefs that name no materials."""
    material = materials()[name]
    loose = volume_m3 * material.expansion
    said = f"{volume_m3 * 1000:g} L"
    return Pack(name, material, said, loose, loose * material.loose_kg_m3, 0.0, None)
