"""The catalogue's names against an open taxonomy and an open dictionary."""

from __future__ import annotations

import csv
import re
from pathlib import Path

from bedwright.catalogue import Catalogue, Kind

DATA = Path(__file__).parent / "data"


def taxonomy() -> dict[str, str]:
    """Family by current name, of species and genera, in the NCBI Taxonomy."""
    with open(DATA / "ncbi_names.csv", encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {row["name"]: row["family"] for row in rows}


def plain(name: str) -> str:
    return name.replace("×", "x")


UNDER_ANOTHER_NAME = {
    "annual_mallow": "Lavatera trimestris",
    "bacopa": "Sutera cordata",
    "canna": "Canna x generalis",
    "cape_daisy": "Osteospermum ecklonis",
    "field_larkspur": "Consolida regalis",
    "iceland_poppy": "Papaver nudicaule",
    "larkspur": "Consolida ajacis",
    "lisianthus": "Eustoma grandiflorum",
    "petunia": "Petunia x hybrida",
    "rose_of_heaven": "Silene coeli-rosa",
    "spreading_petunia": "Petunia x hybrida",
}
"""Kinds that the taxonomy has under what is to us a synonym; ours is from memory of Plants of the
World Online."""

CROSSES_OF_A_KNOWN_GENUS = {"african_daisy", "hybrid_zinnia", "calibrachoa", "monkey_flower"}
"""Garden crosses that the taxonomy does not list by name."""


def test_nine_names_in_ten_are_the_taxonomy_s_own(catalogue: Catalogue) -> None:
    known = taxonomy()
    other, crosses = {}, set()
    for kind in catalogue:
        if plain(kind.botanical) in known:
            continue
        old = [plain(name) for name in kind.synonyms if plain(name) in known]
        if old:
            other[kind.key] = old
        else:
            assert "×" in kind.botanical or " x " in kind.botanical, kind.key
            assert kind.botanical.split()[0] in known, kind.key
            crosses.add(kind.key)
    assert crosses == CROSSES_OF_A_KNOWN_GENUS
    assert set(other) == set(UNDER_ANOTHER_NAME)
    assert all(UNDER_ANOTHER_NAME[key] in names for key, names in other.items())
    assert len(other) + len(crosses) < 0.1 * len(catalogue)


WIDER_FAMILIES = {
    ("Boraginaceae", "Hydrophyllaceae"),
    ("Boraginaceae", "Heliotropiaceae"),
    ("Amaranthaceae", "Chenopodiaceae"),
}
"""Ours and theirs, where the Angiosperm Phylogeny Group (APG IV, Botanical Journal of the Linnean
Society 181, 2016) takes the family widely and the taxonomy narrowly."""


def test_families_are_the_taxonomy_s(catalogue: Catalogue) -> None:
    known = taxonomy()
    for kind in catalogue:
        names = [plain(kind.botanical), *map(plain, kind.synonyms), kind.botanical.split()[0]]
        family = next((known[name] for name in names if known.get(name)), None)
        assert family is not None, kind.key
        assert family == kind.family or (kind.family, family) in WIDER_FAMILIES, kind.key


def dictionary() -> dict[str, list[str]]:
    with open(DATA / "wordnet_plants.csv", encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {row["botanical"]: row["names"].split(";") for row in rows}


def heads(names: list[str]) -> set[str]:
    """The last words of names, as one would look them up."""
    return {re.split(r"[ -]", name.lower())[-1].rstrip("s") for name in names}


CALLED_OTHERWISE = {
    "annual_hollyhock",  # rose mallow
    "lacy_phacelia",  # fiddleneck
    "plume_cockscomb",  # red fox
    "wheat_cockscomb",  # red fox
    "crested_cockscomb",  # red fox
    "scarlet_tasselflower",  # tassel flower
}


def test_common_names_go_with_the_botanical_names(catalogue: Catalogue) -> None:
    """Of the kinds whose botanical name the dictionary knows, all but a few are called there by a
    name whose noun is one of ours."""
    words = dictionary()

    def called(kind: Kind) -> list[str]:
        names = (kind.botanical, *kind.synonyms)
        return [word for name in names for word in words.get(plain(name), [])]

    kinds = [kind for kind in catalogue if called(kind)]
    assert len(kinds) >= 100
    odd = {k.key for k in kinds if not heads(called(k)) & heads([k.name, *k.other_names])}
    assert odd <= CALLED_OTHERWISE
