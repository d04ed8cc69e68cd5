"""Next year's brief from this year's bed, and why it differs.

Annuals are planted each year again.  What grew here is kept out of its own kin's ground by the
diseases that they share (``wishes.last_year``), what failed here is left out with the evidence,
what did well may be kept by name, and the colours are others.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, Literal

from bedwright.brief import OTHERS
from bedwright.facts import Fact
from bedwright.journal.learned import Rate, Rates, WhatRate

FAILED_SHARE = 0.6
"""A rate whose 90% point lies below this share of the catalogue's has failed (estimate)."""

SEEN = 10
"""Seeds or plants that must have been counted before that is said (estimate)."""

SCHEMES = ("hot", "cool", "pastel", "complementary", "analogous", "triadic")
"""Schemes of colours from year to year, each as unlike the one before as can be."""

Values = dict[str, Any]
"""A brief's tables as plain values."""


@dataclass(frozen=True)
class FailedHere(Fact):
    """A kind is left out: its rate here, the 90% point of what it may be, beside the catalogue's,
    and how much was counted."""

    what: WhatRate
    name: str
    rate: float
    high: float
    catalogue: float
    seen: int


@dataclass(frozen=True)
class GrewHere(Fact):
    """Kinds that grew in the bed: kin that share their diseases are kept away."""

    names: tuple[str, ...]


@dataclass(frozen=True)
class OtherColours(Fact):
    """Another scheme of colours than before."""

    scheme: str
    before: str


@dataclass(frozen=True)
class KeptByName(Fact):
    """Kinds that are grown again, since it is wished."""

    names: tuple[str, ...]


@dataclass(frozen=True)
class FiguresTakenOver(Fact):
    """The plan will be made with this garden's own figures: of so many kinds by name, and of its
    ``nights``."""

    kinds: int
    nights: bool


@dataclass(frozen=True)
class LeftBehind(Fact):
    """What was asked of this year's drifts or days, and does not hold for another planting."""

    what: Literal["changes", "dates"]
    count: int


def next_year(
    values: Values,
    year: int,
    grew: Sequence[str],
    names: Mapping[str, str],
    rates: Mapping[WhatRate, tuple[Rates, Mapping[str, float]]],
    keep: Collection[str] = (),
    learned: Mapping[str, Any] | None = None,
) -> tuple[Values, list[Fact]]:
    """The brief of the year after ``year`` from a brief's tables, and what is to be said of it.

    ``grew``: keys of the kinds that grew in the bed; ``names``: what kinds are called; ``rates``:
    of germination and survival, what was learned here with the catalogue's rates; ``keep``: keys of
    kinds to be grown again; ``learned``: the garden's figures, as ``brief.Learned`` has them.  A
    kind to keep is never left out.
    """
    after, facts = deepcopy(values), list[Fact]()
    after["season"] = {**after.get("season", {}), "year": year + 1}
    wishes = dict(after.get("wishes", {}))
    for name in ("variant", "edge_with", "grow"):
        wishes.pop(name, None)
    never = [one["never"] for one in after.get("changes", ()) if "never" in one]
    failed = [fact for what, (found, usual) in rates.items()
              for fact in _failed(what, found, usual, names, set(grew) - set(keep))]  # fmt: skip
    gone = [*wishes.get("leave_out", ()), *never, *(key for key, _ in failed)]
    left_out = [key for key in dict.fromkeys(gone) if key not in keep]
    given: dict[str, Any] = {
        "last_year": list(dict.fromkeys(grew)),
        "leave_out": left_out,
        "grow": list(dict.fromkeys(keep)),
        "colour_scheme": _other_scheme(wishes.get("colour_scheme")),
    }
    if "colours" in wishes:
        del given["colour_scheme"]  # colours that are named stay
    before = str(wishes.get("colour_scheme", "any"))
    wishes |= given
    after["wishes"] = {name: value for name, value in wishes.items() if value not in ([], None)}
    facts += [GrewHere(tuple(names.get(key, key) for key in given["last_year"]))] * bool(grew)
    facts += [fact for _, fact in failed]
    facts += [KeptByName(tuple(names.get(key, key) for key in given["grow"]))] * bool(keep)
    if "colour_scheme" in given:
        facts.append(OtherColours(given["colour_scheme"], before))
    after.pop("learned", None)
    if learned:
        after["learned"] = dict(learned)
        kinds = {key for each in learned.values() if isinstance(each, dict) for key in each}
        facts.append(FiguresTakenOver(len(kinds - {OTHERS}), "nights" in learned))
    for table in ("changes", "dates"):
        had = after.pop(table, None)
        count = sum("never" not in one for one in had) if table == "changes" and had else bool(had)
        if count:
            facts.append(LeftBehind("changes" if table == "changes" else "dates", int(count)))
    return after, facts


def _failed(
    what: WhatRate,
    found: Rates,
    usual: Mapping[str, float],
    names: Mapping[str, str],
    kinds: Collection[str],
) -> list[tuple[str, Fact]]:
    """The kinds of which so few came up, or lived, that it was hardly chance."""
    out = list[tuple[str, Fact]]()
    for key in sorted(kinds):
        rate: Rate | None = found.by_kind.get(key)
        if rate is None or rate.seen < SEEN or rate.high >= FAILED_SHARE * usual[key]:
            continue
        name = names.get(key, key)
        fact = FailedHere(what, name, rate.mean, rate.high, usual[key], rate.seen)
        out.append((key, fact))
    return out


def _other_scheme(before: str | None) -> str:
    """The next scheme of colours in their order; of none, the first."""
    at = SCHEMES.index(before) + 1 if before in SCHEMES else 0
    return SCHEMES[at % len(SCHEMES)]
