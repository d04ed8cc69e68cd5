"""Beds in the open at eight places against what parks, gardens, extension services and growers
there plant or advise.

Sources stand in ``data/local_bedding.csv``, row by row: read in excerpts or copies.  How much may
differ is our own choice: the lists are short, and general names were matched by guess.
``tools/local_bedding.py`` prints the whole comparison.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from bedwright.planting import LeftOut
from outside.local_bedding import (
    PLACES,
    Row,
    known_at,
    plan_at,
    planted,
    planted_locally,
    refused,
    unfit,
)
from shared import made_once

MOST_UNFIT = 0.05
"""Share of rows that may be refused as unfit for another reason than their own source's shade."""

LEAST_LOCAL, LEAST_THERE = 0.6, 4
"""Share of the kinds planted that their place's list has, of all places together at least, and how
many of a place's nine.  Edinburgh, whose list has 22 kinds, is the one place below half."""


class Found(NamedTuple):
    """What is planted at a place and what is on its list too, why all else is left out, why kinds
    of the list are refused, and which of these as unfit."""

    planted: list[str]
    local: list[str]
    left_out: dict[str, LeftOut]
    refused: dict[str, LeftOut]
    unfit: list[tuple[Row, LeftOut]]


Find = Callable[[str], Found]


def found_at(place: str) -> Found:
    left_out = plan_at(place).planting.left_out
    local, facts = planted_locally(place), refused(place)
    return Found(planted(place), local, left_out, facts, list(unfit(place)))


@pytest.fixture(scope="module")
def found(folder_of_run: Path) -> Find:
    """What is found at a place; its plan is made once, for all workers of a run."""
    return cache(lambda place: made_once(folder_of_run / f"{place}.found", lambda: found_at(place)))


def test_few_kinds_that_are_grown_at_a_place_are_refused_as_unfit(found: Find) -> None:
    """Whole list at once.  224 rows had a kind in the catalogue when it was gathered."""
    held = sum(len(known_at(place)) for place in PLACES)
    wrong = [
        f"{place}: {row.kind} {fact.code} {fact.values}"
        for place in PLACES
        for row, fact in found(place).unfit
    ]
    assert held >= 224
    assert len(wrong) < MOST_UNFIT * held, "\n".join(wrong)


@pytest.mark.parametrize("place", PLACES)
def test_what_a_place_plants_and_the_plan_does_not_is_told_why_not(found: Find, place: str) -> None:
    here = found(place)
    rest = {row.kind for row in known_at(place)} - set(here.planted)
    assert rest <= here.left_out.keys()
    assert {kind: here.left_out.get(kind) for kind in here.refused} == here.refused
    assert len(here.local) >= LEAST_THERE


def test_most_of_what_is_planted_stands_on_the_places_lists(found: Find) -> None:
    count = sum(len(found(place).planted) for place in PLACES)
    local = sum(len(found(place).local) for place in PLACES)
    assert local >= LEAST_LOCAL * count
