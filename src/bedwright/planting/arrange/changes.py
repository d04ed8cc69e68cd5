"""Changes asked of a first planting: this kind here, this drift larger, those two swapped.

The bed is cut and planted as if nothing were asked; then drifts are made larger or smaller from the
sites they have, what is asked for is held, and the rest arranged anew with a price on every drift
whose item changes, so that no more moves than pays.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from bedwright.brief import Change
from bedwright.geometry import GeometryError
from bedwright.planting.arrange.energy import Terms
from bedwright.planting.palette import Candidate
from bedwright.planting.place import Cut

W_STAY = 1.0
"""Price of a drift whose item changes though nobody asked (estimate)."""

REACH_M = 0.05
"""How far from a drift a spot may lie and still mean it."""

Find = Callable[[str, str | None], Candidate]
"""A kind's key and a colour, or None for the best, to a candidate."""


@dataclass(frozen=True)
class Asked:
    """What is asked of which drift: items held, by drift, and (drifts,) sizes beside the old."""

    held: dict[int, int]
    times: NDArray[np.float64]
    items: list[Candidate]


def read_changes(
    changes: tuple[Change, ...],
    cut: Cut,
    owners: NDArray[np.int64],
    items: list[Candidate],
    find: Find,
) -> Asked:
    """Changes by drift and item.  Raises GeometryError for a spot that lies in no drift, for a swap
    that changes nothing, and for changes that ask two things of one drift."""
    held: dict[int, int] = {}
    asked_by: dict[int, int] = {}
    times = np.ones(len(cut.drifts))
    items = list(items)

    def hold(drift: int, item: int, n: int) -> None:
        if held.setdefault(drift, item) != item:
            other, label = asked_by[drift], items[item]
            raise GeometryError(
                f"changes[{n}]",
                f"{label.kind.name}, {label.colour.name}, where changes[{other}] asks for"
                f" {items[held[drift]].kind.name}",
                "one kind for each drift",
            )
        asked_by.setdefault(drift, n)

    sized_by: dict[int, int] = {}
    for n, change in enumerate(changes, start=1):
        drift = _drift_at(cut, change.at, f"changes[{n}].at")
        if change.size is not None:
            first = sized_by.setdefault(drift, n)
            if first != n:
                said = f"{change.size:g} for the drift that changes[{first}] gives a size"
                raise GeometryError(f"changes[{n}].size", said, "one size for each drift")
            times[drift] = change.size
        if change.grow is not None:
            hold(drift, _item_of(items, find(change.grow, change.colour)), n)
        if change.swap is not None:
            other = _drift_at(cut, change.swap, f"changes[{n}].swap")
            if owners[other] == owners[drift]:
                same = items[int(owners[drift])]
                what = "the drift itself" if other == drift else "a drift of the same"
                raise GeometryError(
                    f"changes[{n}].swap",
                    f"{what} ({same.kind.name}, {same.colour.name})",
                    "a spot in a drift of something else",
                )
            hold(drift, int(owners[other]), n)
            hold(other, int(owners[drift]), n)
    return Asked(held, times, items)


def _drift_at(cut: Cut, at: tuple[float, float], field: str) -> int:
    """The drift at a spot."""
    gaps = shapely.distance(np.array(cut.drifts, object), shapely.Point(*at))
    drift = int(np.argmin(gaps))
    if gaps[drift] > REACH_M:
        raise GeometryError(
            field,
            f"{at[0]:g} m, {at[1]:g} m",
            "a spot in one of the bed's drifts, edging apart (wishes.edge_with names its kinds)",
        )
    return drift


def _item_of(items: list[Candidate], wanted: Candidate) -> int:
    """The number of an item, added to the list if it is new."""
    for n, item in enumerate(items):
        if item.kind.key == wanted.kind.key and item.colour.name == wanted.colour.name:
            return n
    items.append(wanted)
    return len(items) - 1


def staying(terms: Terms, owners: NDArray[np.int64]) -> Terms:
    """The costs with a price on every drift whose item changes."""
    local = terms.local + W_STAY
    local[np.arange(len(owners)), owners] -= W_STAY
    return terms._replace(local=local)
