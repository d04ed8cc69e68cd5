"""What is odd about an entry beside the plan and the entries before it.

A doubt does not refuse an entry: the gardener was there.  It is said, so that a slip is seen.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date

from bedwright.facts import Fact
from bedwright.journal.entry import Entry, What

AFTER: dict[What, tuple[What, ...]] = {
    "came_up": ("sown",),
    "pricked_out": ("sown",),
    "first_flower": ("sown", "set_out"),
    "full_flower": ("sown", "set_out"),
    "over": ("sown", "set_out"),
    "picked": ("sown", "set_out"),
}
"""What happens only after something else: one of these."""


@dataclass(frozen=True)
class WrittenBefore(Fact):
    """The same is in the journal already, of the same day."""

    day: date


@dataclass(frozen=True)
class NotInTheBed(Fact):
    """A kind that is not in the plan of the bed, and of which nothing was written before."""

    kind: str


@dataclass(frozen=True)
class BeforeItsBeginning(Fact):
    """It is of a day before that on which its kind was sown or set out."""

    what: What
    day: date
    begun: date


@dataclass(frozen=True)
class NeverSown(Fact):
    """A kind of which the journal has no sowing, nor that it was set out."""

    kind: str


@dataclass(frozen=True)
class MoreUpThanSown(Fact):
    """More came up than were sown."""

    count: int
    sown: int


def doubts_of(entry: Entry, before: Sequence[Entry], planted: Collection[str]) -> list[Fact]:
    """What is doubtful of an entry; ``before``: the entries that stand, ``planted``: keys of the
    kinds in the bed's plan, none where there is no plan."""
    found: list[Fact] = []
    bare = _bare(entry)
    if entry.what != "note" and any(_bare(one) == bare for one in before):
        found.append(WrittenBefore(entry.day))
    if entry.kind is None:
        return found
    mine = [one for one in before if one.kind == entry.kind]
    if planted and entry.kind not in planted and not mine:
        found.append(NotInTheBed(entry.kind))
    begun = [one.day for one in mine if one.what in AFTER.get(entry.what, ())]
    if begun and entry.day < min(begun):
        found.append(BeforeItsBeginning(entry.what, entry.day, min(begun)))
    elif entry.what in ("came_up", "pricked_out") and not begun:
        found.append(NeverSown(entry.kind))
    if entry.what == "came_up" and entry.count is not None and entry.of is None:
        sown = [one.count for one in mine if one.what == "sown" and one.day <= entry.day]
        if sown and None not in sown and entry.count > sum(n or 0 for n in sown):
            found.append(MoreUpThanSown(entry.count, sum(n or 0 for n in sown)))
    return found


def _bare(entry: Entry) -> Entry:
    """An entry without its text, and without the photograph that was taken of what it says."""
    return replace(entry, text="", photo=entry.photo if entry.what == "photo" else None)
