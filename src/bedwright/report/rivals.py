"""What a drift would lose and gain by the kinds that would suit it next best, in words."""

from __future__ import annotations

from typing import NamedTuple

from bedwright.planting import NextBest, SuitsDrift
from bedwright.report.planting_words import (
    LEAST_POINTS,
    MOST_TERMS,
    more_points,
    points_of,
)

AGAINST = {
    "sun": "its sun here suits it less", "room": "too little room for a group",
    "merit": "suits the garden and your wishes less by itself",
    "bare": "leaves its ground bare for longer",
    "rotation": "shares diseases with what grew here last year",
    "colour": "goes less well with the colours around",
    "form": "more like its neighbours in flower or leaf", "same": "two alike side by side",
    "hidden": "more is hidden from view", "order": "tall plants stand before low ones",
    "bloom": "less in bloom around it through the season",
    "uses": "leaves a chosen kind without a drift, or plants one too often",
}  # fmt: skip
"""What speaks against another kind in a drift, by term of the objective; of height it is said
which way it is off."""

FOR = {
    "height": "its height suits better",
    "sun": "its sun here suits it better", "room": "more room for a group",
    "merit": "suits the garden and your wishes better by itself",
    "bare": "leaves its ground bare for less time",
    "rotation": "shares fewer diseases with what grew here last year",
    "colour": "goes better with the colours around",
    "form": "less like its neighbours in flower or leaf", "same": "fewer alike side by side",
    "hidden": "less is hidden from view", "order": "fewer tall plants stand before low ones",
    "bloom": "more in bloom around it through the season",
    "uses": "uses the kinds more evenly",
}  # fmt: skip
"""What speaks for it."""

NOT_CHOSEN = (
    "It was not chosen for the bed as a whole, where families, forms of flower, weeks of bloom and"
    " a kind's other drifts count, too."
)
"""Of a kind that is not planted though it would have fewer points in a drift."""


class RivalWords(NamedTuple):
    """What is said of a kind that might stand in a drift: its name and colour, its penalty points,
    what speaks against it and for it, and why it was not chosen though it has fewer points."""

    name: str
    points: str
    against: str
    gains: str
    note: str

    def __str__(self) -> str:
        parts = [f"{self.name}: {self.points}."]
        parts += [f"Against it: {self.against}."] * bool(self.against)
        parts += [f"For it: {self.gains}."] * bool(self.gains)
        parts += [self.note] * bool(self.note)
        return " ".join(parts)


def rival_words(fact: SuitsDrift) -> list[RivalWords]:
    """Of each kind that would suit a drift next best, in the order of ``fact.rivals``: its penalty
    points, and what of them speaks against it and for it."""
    return [_words(rival, fact.wanted_height_m) for rival in fact.rivals]


def _words(rival: NextBest, wanted_height_m: float) -> RivalWords:
    """One kind that might stand in a drift where one height suits best."""
    off = "too tall here" if rival.height_m > wanted_height_m else "too low here"
    against = [
        f"{off if term.term == 'height' else AGAINST[term.term]}: {points_of(term.points)}"
        for term in rival.terms
        if term.points >= LEAST_POINTS
    ][:MOST_TERMS]
    gains = [
        f"{FOR[term.term]}: {points_of(-term.points)} fewer"
        for term in reversed(rival.terms)
        if term.points <= -LEAST_POINTS
    ][:MOST_TERMS]
    if against:
        against[0] += " points"
    left_out = rival.points <= -LEAST_POINTS and not rival.planted
    return RivalWords(
        f"{rival.name}, {rival.colour}",
        more_points(rival.points),
        "; ".join(against),
        "; ".join(gains),
        NOT_CHOSEN if left_out else "",
    )
