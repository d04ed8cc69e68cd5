"""Beds in the open at eight places against what parks, gardens, extension services and growers
there plant or advise.

Sources stand in ``data/local_bedding.csv``, row by row: read in excerpts or copies.  How much may
differ is our own choice: the lists are short, and general names were matched by guess.
``tools/local_bedding.py`` prints the whole comparison.
"""

from __future__ import annotations

import pytest

from outside.local_bedding import (
    PLACES,
    known_at,
    plan_at,
    planted,
    planted_locally,
    refused,
    unfit,
)

MOST_UNFIT = 0.05
"""Share of rows that may be refused as unfit for another reason than their own source's shade."""

LEAST_LOCAL, LEAST_THERE = 0.6, 4
"""Share of the kinds planted that their place's list has, of all places together at least, and how
many of a place's nine.  Edinburgh, whose list has 22 kinds, is the one place below half."""


def test_few_kinds_that_are_grown_at_a_place_are_refused_as_unfit() -> None:
    """Whole list at once.  224 rows had a kind in the catalogue when it was gathered."""
    held = sum(len(known_at(place)) for place in PLACES)
    wrong = [
        f"{place}: {row.kind} {fact.code} {fact.values}"
        for place in PLACES
        for row, fact in unfit(place)
    ]
    assert held >= 224
    assert len(wrong) < MOST_UNFIT * held, "\n".join(wrong)


@pytest.mark.parametrize("place", PLACES)
def test_what_a_place_plants_and_the_plan_does_not_is_told_why_not(place: str) -> None:
    left_out, kinds = plan_at(place).planting.left_out, planted(place)
    rest = {row.kind for row in known_at(place)} - set(kinds)
    assert rest <= left_out.keys()
    facts = refused(place)
    assert {kind: left_out.get(kind) for kind in facts} == facts
    assert len(planted_locally(place)) >= LEAST_THERE


def test_most_of_what_is_planted_stands_on_the_places_lists() -> None:
    count = sum(len(planted(place)) for place in PLACES)
    local = sum(len(planted_locally(place)) for place in PLACES)
    assert local >= LEAST_LOCAL * count
