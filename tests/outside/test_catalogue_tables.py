"""The catalogue against published tables."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from bedwright.catalogue import Catalogue, Kind
from bedwright.units import fahrenheit_to_c

DATA = Path(__file__).parent / "data"


def germination() -> list[dict[str, str]]:
    with open(DATA / "isu_germination.csv", encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def differences(kind: Kind, row: dict[str, str]) -> list[str]:
    sow = kind.sowing
    pairs = [
        ("germ_min_c", sow.germ_min_c, fahrenheit_to_c(float(row["f_low"])), 0.6),
        ("germ_max_c", sow.germ_max_c, fahrenheit_to_c(float(row["f_high"])), 0.6),
        ("germ_days_min", sow.germ_days_min, float(row["days_low"]), 0),
        ("germ_days_max", sow.germ_days_max, float(row["days_high"]), 0),
        ("weeks_min", sow.weeks_min, float(row["weeks_low"]), 0),
        ("weeks_max", sow.weeks_max, float(row["weeks_high"]), 0),
    ]
    found = [f"{kind.key} {name}: ours {ours:g}, theirs {theirs:g}"
             for name, ours, theirs, slack in pairs if abs(ours - theirs) > slack]  # fmt: skip
    if sow.light != row["light"]:
        found.append(f"{kind.key} light: ours {sow.light}, theirs {row['light']}")
    return found


def test_germination_agrees_with_iowa_state(catalogue: Catalogue) -> None:
    """Figures that name the table as their source must be the table's; of all figures it holds,
    nine in ten must agree."""
    wrong, compared, off = [], 0, 0
    for row in germination():
        kind = catalogue.kinds[row["kind"]]
        sources = dict(kind.sources)
        for difference in differences(kind, row):
            off += 1
            column = difference.split()[1].rstrip(":")
            if sources[f"sowing.{column}"] == "isu-germination":
                wrong.append(difference)
        compared += 7
    assert wrong == []
    assert off / compared < 0.1, off


TOXIC = {
    "larkspur": "larkspur",
    "edging_lobelia": "lobelia",
    "flowering_tobacco": "flowering tobacco",
    "sweet_pea": "sweet pea (seeds)",
    "lantana": "lantana",
}
"""Kinds of ours among the poisonous ones of Edible Flowers: Quick Facts, Colorado State University
Extension, 2013, revised 2020.  State: copy."""


@pytest.mark.parametrize("key", TOXIC)
def test_what_colorado_state_calls_toxic_is_not_called_harmless(
    key: str, catalogue: Catalogue
) -> None:
    kind = catalogue.kinds[key]
    assert kind.safety.people != "none_known"
    assert kind.uses.edible == "no"
