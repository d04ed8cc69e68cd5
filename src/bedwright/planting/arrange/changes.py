"""Changes asked of a first planting: this kind here, this drift larger, those two swapped, that
kind nowhere.

The bed is cut and planted as if nothing were asked; then drifts are made larger or smaller from the
sites they have, what is asked for is held, and the rest arranged again with a price on every drift
whose item changes, so that no more moves than pays.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from bedwright.brief import Change
from bedwright.facts import Fact, FactError
from bedwright.planting.arrange.energy import Terms
from bedwright.planting.palette import Candidate
from bedwright.planting.place import Cut

W_STAY = 2.0
"""Price of a drift whose item changes though nobody asked (estimate)."""

REACH_M = 0.05
"""How far from a drift a spot may lie and still mean it."""

Find = Callable[[str, str | None], Candidate]
"""A kind's key and a colour, or None for the best, to a candidate."""


@dataclass(frozen=True)
class SpotInNoDrift(Fact):
    """A spot, metres, that a ``field`` of the brief names and no drift holds."""

    field: str
    x_m: float
    y_m: float


@dataclass(frozen=True)
class TwoKindsAsked(Fact):
    """A change asks for a kind in a drift for which an earlier one asks for another."""

    change: int
    name: str
    colour: str
    earlier: int
    earlier_name: str


@dataclass(frozen=True)
class TwoSizesAsked(Fact):
    """A change sizes a drift that an earlier one sizes."""

    change: int
    size: float
    earlier: int


@dataclass(frozen=True)
class NothingInstead(Fact):
    """A kind is never to grow in the bed, and none of those that suit it can take its place."""

    key: str
    name: str


@dataclass(frozen=True)
class NothingToSwap(Fact):
    """A change swaps a drift with itself, or with another of the same colour form."""

    change: int
    name: str
    colour: str
    itself: bool


class ChangeError(FactError):
    """The changes that a brief asks for cannot be made in the drifts as they were first drawn."""


@dataclass(frozen=True)
class Asked:
    """What is asked of which drift: items held, by drift, and (drifts,) sizes beside the old; the
    items, those asked for added."""

    held: dict[int, int]
    times: NDArray[np.float64]
    items: list[Candidate]


def read_changes(
    changes: tuple[Change, ...],
    cut: Cut,
    owners: NDArray[np.int64],
    items: Sequence[Candidate],
    find: Find,
) -> Asked:
    """Changes by drift and item.  Raises ChangeError for a spot that lies in no drift, for a swap
    that changes nothing, and for changes that ask two things of one drift."""
    asked = _Asking(cut, owners, list(items))
    for n, change in enumerate(changes, start=1):
        if change.at is None:
            continue  # of the whole bed, not of a drift
        drift = asked.drift_at(change.at, f"changes[{n}].at")
        if change.size is not None:
            asked.size(drift, change.size, n)
        if change.grow is not None:
            asked.hold(drift, asked.item_of(find(change.grow, change.colour)), n)
        if change.swap is not None:
            asked.swap(drift, asked.drift_at(change.swap, f"changes[{n}].swap"), n)
    return Asked(asked.held, asked.times, asked.items)


class _Asking:
    """Changes taken in one by one: what they hold and size, and which of them did."""

    def __init__(self, cut: Cut, owners: NDArray[np.int64], items: list[Candidate]) -> None:
        self._drifts = np.array(cut.drifts, object)
        self._owners = owners
        self._held_by: dict[int, int] = {}
        self._sized_by: dict[int, int] = {}
        self.items = items
        self.held: dict[int, int] = {}
        self.times = np.ones(len(cut.drifts))

    def drift_at(self, at: tuple[float, float], field: str) -> int:
        """The drift at a spot."""
        gaps = shapely.distance(self._drifts, shapely.Point(*at))
        drift = int(np.argmin(gaps))
        if gaps[drift] > REACH_M:
            raise ChangeError(SpotInNoDrift(field, *at))
        return drift

    def size(self, drift: int, times: float, change: int) -> None:
        """Make a drift so many times as large."""
        earlier = self._sized_by.setdefault(drift, change)
        if earlier != change:
            raise ChangeError(TwoSizesAsked(change, times, earlier))
        self.times[drift] = times

    def hold(self, drift: int, item: int, change: int) -> None:
        """Keep a drift for an item."""
        if self.held.setdefault(drift, item) != item:
            own, other = self.items[item], self.items[self.held[drift]]
            names = own.kind.name, own.colour.name, self._held_by[drift], other.kind.name
            raise ChangeError(TwoKindsAsked(change, *names))
        self._held_by.setdefault(drift, change)

    def swap(self, one: int, two: int, change: int) -> None:
        """Let two drifts change places."""
        if self._owners[one] == self._owners[two]:
            same = self.items[int(self._owners[one])]
            names = same.kind.name, same.colour.name
            raise ChangeError(NothingToSwap(change, *names, one == two))
        self.hold(one, int(self._owners[two]), change)
        self.hold(two, int(self._owners[one]), change)

    def item_of(self, wanted: Candidate) -> int:
        """The number of an item, added to the list if it is new."""
        for n, item in enumerate(self.items):
            if item.kind.key == wanted.kind.key and item.colour.name == wanted.colour.name:
                return n
        self.items.append(wanted)
        return len(self.items) - 1


def staying(terms: Terms, owners: NDArray[np.int64]) -> Terms:
    """The costs with a price on every drift whose item changes."""
    local = terms.local + W_STAY
    local[np.arange(len(owners)), owners] -= W_STAY
    return terms._replace(local=local)
