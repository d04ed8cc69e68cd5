"""What a palette costs, and the purse that holds it to a budget.

A form raised from seed costs one packet, which is to hold the seeds it needs (the brief gives the
price of a packet, not its contents); a form bought as young plants costs so many plants with their
spares.  How many plants a form will have is known only once they stand in their places.  So a
palette's cost is bounded from above: packets are whole, and of the ground that plants can take up
each form takes as much as it may, those that cost most a square metre first.  That is the largest
total under a budget of uncertainty, and by duality linear in the forms chosen (D. Bertsimas and
M. Sim, The Price of Robustness, Operations Research 52, 2004); ``programme`` holds it as rows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bedwright.brief import Prices
from bedwright.catalogue import ROW_RISE, Kind
from bedwright.growth import Course

if TYPE_CHECKING:
    from bedwright.planting.palette.candidates import Candidate

SPARE_SHARE = 0.10
"""One spare plant in ten for losses after planting (common practice, no source)."""

FULL_BED, FULL_DRIFTS = 0.9, 0.85
"""Most ground that plants take up, at their spacing on an endless lattice, as a share of the area
of a bed's body, and of that of the largest drifts that one form may have: 0.81 and 0.74 at most in
60 random beds of 0.6 to 14 m² (estimate)."""

LEAST_KINDS = 3
"""Colour forms that a budget leaves at least (estimate)."""

CENT = 0.005
"""Amounts of money nearer than this are one."""


def spares_for(plants: int) -> int:
    """Spare plants beside so many."""
    return math.ceil(SPARE_SHARE * plants)


def cost_of_form(course: Course, plants: int, prices: Prices) -> float | None:
    """What one colour form costs: a packet of seed, or so many young plants and their spares; None
    where the price is not known."""
    if course.method != "bought":
        packet: float | None = prices.seed_packet
        return packet
    each: float | None = prices.plant
    return None if each is None else each * (plants + spares_for(plants))


@dataclass(frozen=True)
class Room:
    """Room for plants, from above: ``bed_m2`` of a bed's body and ``drifts_m2`` of the largest
    drifts that one form may have; ``edge_m`` of an edging, 0 without one; ``width_m`` of the body
    at its widest; ``in_gaps``: plants stand by their spread, nearer than at their spacing."""

    bed_m2: float
    drifts_m2: float
    edge_m: float
    width_m: float
    in_gaps: bool = False

    def ground_m2(self, kind: Kind) -> float:
        """Ground that a plant takes up at least; where the bed is too narrow for a row and its
        distance from the edge, what of it lies within the bed."""
        form = kind.form
        if self.in_gaps:
            return ROW_RISE * (MINGLE * form.spread_m) ** 2
        return form.spacing_m * min(form.row_m, self.width_m)


MINGLE = 0.8
"""Share of its spread that a plant in a border's gap keeps free of others (see ``gaps.TOUCH``)."""


@dataclass(frozen=True)
class Purse:
    """A budget for a bed of ``area_m2`` and so many ``kinds``; ``left`` of it for seed and plants
    once the ground is paid for; prices, and room.  ``fixed``: the brief counts the kinds, so that
    none may be dropped."""

    budget: float
    left: float
    area_m2: float
    kinds: int
    prices: Prices
    room: Room
    fixed: bool
    currency: str

    def thrift(self, kind: Kind, course: Course) -> float:
        """1 for a kind that costs nothing, 0.5 for one that would use up the budget were the whole
        bed planted at its cost a square metre; one whose price is not known costs nothing."""
        if course.method == "bought":
            cost_m2 = (self.prices.plant or 0.0) / kind.form.ground_m2
        else:
            cost_m2 = (self.prices.seed_packet or 0.0) * max(self.kinds, 1) / self.area_m2
        return 1.0 / (1.0 + cost_m2 * self.area_m2 / self.budget)

    def in_edging(self, candidate: Candidate) -> bool:
        """Whether a form would stand in the edging."""
        return self.room.edge_m > 0.0 and candidate.tier == "edging"

    def at_once(self, candidate: Candidate) -> float:
        """What a form costs however few plants it has: a packet, or one spare plant, by which
        spares may be rounded up."""
        bought = candidate.course.method == "bought"
        price: float | None = self.prices.plant if bought else self.prices.seed_packet
        return price or 0.0

    def by_room(self, candidate: Candidate) -> float:
        """What a form costs for each square metre of ground that its plants take up, or for each
        metre of an edging."""
        if candidate.course.method != "bought" or self.prices.plant is None:
            return 0.0
        plant, kind = self.prices.plant * (1.0 + SPARE_SHARE), candidate.kind
        if self.in_edging(candidate):
            return plant / kind.form.spacing_m
        return plant / self.room.ground_m2(kind)

    @property
    def bed_m2(self) -> float:
        """Ground that the plants of a bed's body take up at most."""
        return FULL_BED * self.room.bed_m2

    @property
    def form_m2(self) -> float:
        """Ground that the plants of one form take up at most."""
        return min(FULL_DRIFTS * self.room.drifts_m2, self.bed_m2)

    def most_cost(self, chosen: Sequence[Candidate]) -> float:
        """What a palette costs at most."""
        body = [self.by_room(c) for c in chosen if not self.in_edging(c)]
        edge = [self.by_room(c) for c in chosen if self.in_edging(c)]
        cost, ground = sum(self.at_once(c) for c in chosen), self.bed_m2
        for rate in sorted(body, reverse=True):
            cost += rate * min(self.form_m2, ground)
            ground -= min(self.form_m2, ground)
        return cost + self.room.edge_m * max(edge, default=0.0)

    def for_palette(self, chosen: Sequence[Candidate]) -> Purse:
        """The purse by which forms of a palette may be exchanged: what it costs already it may
        cost, and where it has fewer forms than were wanted, each may take up all the bed."""
        purse = self if len(chosen) >= self.kinds else self.widened()
        return replace(purse, left=max(self.left, purse.most_cost(chosen)))

    def widened(self) -> Purse:
        """The purse where one form may take up all the bed."""
        return replace(self, room=replace(self.room, drifts_m2=self.room.bed_m2))

    def over(self, chosen: Sequence[Candidate]) -> float:
        """How far a palette may go over what is left, 0 where it cannot."""
        over = self.most_cost(chosen) - self.left
        return over if over > CENT else 0.0
