"""Why an item stands where it does: what it costs there, and what the next best would cost more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.planting.arrange.energy import Terms, count_price, hidden, lack
from bedwright.planting.arrange.objective import (
    Sites,
    local_parts,
    pair_parts,
    reach_of,
    wanted_height,
)
from bedwright.planting.palette import Candidate
from bedwright.units import System, say_length

WORDS = {
    "height": "height", "sun": "sun", "room": "room for a group", "merit": "its own merits",
    "bare": "ground left bare when it is over", "rotation": "last year's diseases",
    "colour": "colour beside its neighbours", "form": "contrast of form and leaf",
    "same": "the same kind next to it",
    "hidden": "plants hidden from view", "order": "tall plants before low ones",
    "bloom": "bloom around it through the season",
    "uses": "leaving one out or using one too often",
}  # fmt: skip
"""The terms of the objective as a gardener would say them."""


@dataclass(frozen=True)
class Reason:
    """Of one drift: ``item`` that stands there, the height that would suit best (m), ``rival``, the
    best of the others, what it would cost more, and that by term, dearest first."""

    item: int
    wanted_height_m: float
    rival: int | None
    margin: float
    by_term: tuple[tuple[str, float], ...]

    def say(self, items: list[Candidate], units: System) -> str:
        """In words."""
        own = items[self.item].kind
        high = say_length(own.form.height_m, units)
        said = f"{high} high where {say_length(self.wanted_height_m, units)} suits"
        if self.rival is None:
            return f"{said}; nothing else to choose from"
        other = items[self.rival]
        parts = [f"{WORDS[name]} {cost:.1f}" for name, cost in self.by_term if cost >= 0.05][:3]
        because = f", for {', '.join(parts)}" if parts else ""
        name = f"{other.kind.name}, {other.colour.name},"
        return f"{said}; the next best, {name} would cost {self.margin:.1f} more{because}"


def reasons_of(
    terms: Terms,
    sites: Sites,
    items: list[Candidate],
    owners: NDArray[np.int64],
    last_year: frozenset[str],
) -> tuple[Reason, ...]:
    """The reason of every drift."""
    local, pair = local_parts(sites, items, last_year), pair_parts(items)
    wanted = wanted_height(sites, reach_of(items))
    counts = np.bincount(owners, minlength=len(items))
    got = np.array([_around(terms, owners, d) for d in range(len(owners))])
    out = []
    for d, own in enumerate(owners):
        now = _costs(terms, local, pair, owners, counts, got, d, int(own))
        best: tuple[float, int | None, dict[str, float]] = (np.inf, None, {})
        for item in range(len(items)):
            if item != own:
                then = _costs(terms, local, pair, owners, counts, got, d, item)
                more = {name: then[name] - now[name] for name in now}
                best = min(best, (sum(more.values()), item, more), key=lambda b: b[0])
        margin, rival, more = best
        by_term = tuple(sorted(more.items(), key=lambda part: -part[1]))
        out.append(Reason(int(own), float(wanted[d]), rival, float(margin), by_term))
    return tuple(out)


def _around(terms: Terms, owners: NDArray[np.int64], d: int) -> NDArray[np.float64]:
    """(fortnights,) share in bloom of a drift and those around it."""
    got = terms.own[d] * terms.odds[owners[d]]
    for k in range(terms.first[d], terms.first[d + 1]):
        got = got + terms.share[k] * terms.odds[owners[terms.other[k]]]
    return np.asarray(got)


def _costs(
    terms: Terms,
    local: dict[str, NDArray[np.float64]],
    pair: dict[str, NDArray[np.float64]],
    owners: NDArray[np.int64],
    counts: NDArray[np.int64],
    got: NDArray[np.float64],
    d: int,
    item: int,
) -> dict[str, float]:
    """What an item in a drift costs by term, all else left as it is."""
    links = range(terms.first[d], terms.first[d + 1])
    near = owners[terms.other[terms.first[d] : terms.first[d + 1]]]
    out = {name: float(part[d, item]) for name, part in local.items()}
    out |= {name: float(part[item, near].sum()) for name, part in pair.items()}
    shut = over = 0.0
    for k, theirs in zip(links, near, strict=True):
        if terms.stands[k]:
            front, back = (item, theirs) if terms.stands[k] == 1 else (theirs, item)
            height = terms.height
            shut += hidden(height[front], height[back], terms.near[k], terms.far[k])
            over += max(float(height[front] - height[back]), 0.0)
    out["hidden"], out["order"] = terms.hide * shut, terms.order * over
    change = terms.odds[item] - terms.odds[owners[d]]
    regions = [(d, terms.own[d])]
    regions += [(int(terms.other[k]), float(terms.share[terms.back[k]])) for k in links]
    out["bloom"] = sum(
        float(terms.price[r] * lack(got[r, t] + share * change[t], terms.want[t]))
        for r, share in regions
        for t in range(len(terms.want))
    )
    after = counts.copy()
    after[owners[d]] -= 1
    after[item] += 1
    out["uses"] = sum(count_price(terms, i, int(n)) for i, n in enumerate(after))
    return out
