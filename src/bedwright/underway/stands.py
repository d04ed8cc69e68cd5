"""Where a bed stands: of each item, what the journal says has happened to it this year."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bedwright.journal import Entry
from bedwright.underway.planned import PlannedBed, Planted, Work

BEFORE_DAYS, AFTER_DAYS = 300, 400
"""Days before the growing year, and after its beginning, whose entries are of it."""


@dataclass(frozen=True)
class Stand:
    """What has happened to one item, as far as it was written down.

    ``sown``: the day of its latest sowing, with so many ``seeds``; ``first_sown``: of its first;
    ``up``: of that latest sowing, so many came up; ``lost``: plants since it was pricked out, set
    out or came up; ``set_out``: how many plants, where that was counted.
    """

    first_sown: date | None = None
    sown: date | None = None
    seeds: int | None = None
    up: int | None = None
    up_of: int | None = None
    pricked_out: date | None = None
    potted_on: date | None = None
    thinned: date | None = None
    out: date | None = None
    set_out: int | None = None
    lost: int = 0
    all_lost: date | None = None
    first_flower: date | None = None
    over: date | None = None
    stems: int = 0

    @property
    def failed(self) -> bool:
        """Whether nothing of its latest sowing came up, or nothing lives."""
        return self.up == 0 or self.all_lost is not None


def entries_of_year(bed: PlannedBed, entries: Iterable[Entry]) -> list[Entry]:
    """The entries of a bed's growing year, the earliest first."""
    first, last = days_of_year(bed.start)
    return sorted((e for e in entries if first <= e.day <= last), key=lambda entry: entry.day)


def days_of_year(start: date) -> tuple[date, date]:
    """The first and the last day whose entries are of the growing year that begins on a day."""
    return start - timedelta(days=BEFORE_DAYS), start + timedelta(days=AFTER_DAYS)


def stands_of(bed: PlannedBed, entries: Iterable[Entry]) -> dict[str, Stand]:
    """Where each item stands, by letter; an entry without a colour is of all of its kind."""
    found = {item.letter: Stand() for item in bed.items}
    of_kind: dict[str, list[Planted]] = {}
    for item in bed.items:
        of_kind.setdefault(item.kind.key, []).append(item)
    for entry in entries_of_year(bed, entries):
        items = of_kind.get(entry.kind or "", [])
        own = [one for one in items if entry.colour in (None, one.colour)] or items
        shares = _shared(entry.count, own), _shared(entry.of, own)
        for item, count, of in zip(own, *shares, strict=True):
            found[item.letter] = _after(found[item.letter], entry, count, of)
    return found


def _shared(count: int | None, items: Sequence[Planted]) -> list[int | None]:
    """A count of several items, to each by its plants; all of it is given away."""
    if count is None or len(items) < 2:
        return [count] * len(items)
    total, given, out = sum(item.plants for item in items), 0, list[int | None]()
    so_far = 0
    for item in items:
        so_far += item.plants
        share = round(count * so_far / total) - given
        given += share
        out.append(share)
    return out


def _after(stand: Stand, entry: Entry, count: int | None, of: int | None) -> Stand:
    """A stand once another thing has happened."""
    day = entry.day
    match entry.what:
        case "sown":
            if stand.sown is not None and not stand.failed and (day - stand.sown).days < 10:
                more = None if None in (stand.seeds, count) else (stand.seeds or 0) + (count or 0)
                return replace(stand, seeds=more)
            first = stand.first_sown or day
            return Stand(first, day, count, first_flower=stand.first_flower, stems=stand.stems)
        case "came_up":
            whole = of if of is not None else stand.seeds
            return replace(stand, up=count if count is not None else stand.up, up_of=whole)
        case "pricked_out":
            return replace(stand, pricked_out=day)
        case "potted_on":
            return replace(stand, potted_on=day)
        case "thinned":
            return replace(stand, thinned=day)
        case "set_out":
            had = 0 if stand.out is None else stand.set_out
            many = None if count is None or had is None else had + count
            again = stand.all_lost is not None
            lost = 0 if stand.out is None or again else stand.lost
            return replace(
                stand,
                out=day if again else stand.out or day,
                set_out=count if again else many,
                lost=lost,
                all_lost=None,
            )
        case "lost":
            lost = stand.lost + (count or 0)
            grew = stand.set_out if stand.out is not None else stand.up
            gone = grew is not None and 0 < grew <= lost
            return replace(stand, lost=lost, all_lost=day if gone else stand.all_lost)
        case "first_flower":
            return replace(stand, first_flower=stand.first_flower or day)
        case "over":
            return replace(stand, over=day)
        case "picked":
            return replace(stand, stems=stand.stems + (count or 0))
        case _:
            return stand


_DONE_BY: Mapping[str, str] = {
    "sow_indoors": "sown",
    "sow_in_place": "sown",
    "prick_out": "pricked_out",
    "pot_on": "potted_on",
    "thin": "thinned",
    "set_out": "out",
    "first_flowers": "first_flower",
}
"""The part of a stand by which all items of a piece of work show that it is done."""


WEEK_DAYS = 7


def done_in(
    bed: PlannedBed, stands: Mapping[str, Stand], tasks: Mapping[str, date], today: date
) -> frozenset[str]:
    """Keys of the work that is done: by an entry that says so (``tasks``, with the latest day), by
    what happened to its items, or because something that waits for it is done.  Work of every week
    is done for a week."""
    weekly = {work.key for work in bed.work if work.weekly_until is not None}
    done = {
        key for key, day in tasks.items() if key not in weekly or (today - day).days < WEEK_DAYS - 1
    }
    for work in bed.work:
        name = _DONE_BY.get(work.code)
        known = [stands[letter] for letter in work.letters if letter in stands]
        if name and known and all(getattr(stand, name) is not None for stand in known):
            done.add(work.key)
        if known and not any(still_wanted(work, stand) for stand in known):
            done.add(work.key)
    waits = {work.key: work.waits_for for work in bed.work}
    before = list(done)
    while before:
        for key in waits.get(before.pop(), ()):
            if key not in done:
                done.add(key)
                before.append(key)
    return frozenset(done)


_OVERTAKEN: Mapping[str, tuple[str, ...]] = {
    "sow_indoors": ("out",),
    "prick_out": ("potted_on", "out", "first_flower"),
    "pot_on": ("out", "first_flower"),
    "harden_off": ("out", "first_flower"),
    "set_out": ("out", "first_flower"),
    "thin": ("first_flower",),
    "thin_to_one": ("first_flower",),
    "pinch_out": ("first_flower",),
    "first_flowers": ("over",),
}
"""What has happened to an item once a piece of work on it no longer makes sense."""


def still_wanted(work: Work, stand: Stand) -> bool:
    """Whether a piece of work is still to be done to an item, for all that has happened to it."""
    past = any(getattr(stand, name) is not None for name in _OVERTAKEN.get(work.code, ()))
    return not stand.failed and not past


def letters_of(work: Work, bed: PlannedBed) -> tuple[str, ...]:
    """The items that a piece of work is about; all of them where it names none."""
    return work.letters or tuple(item.letter for item in bed.items)
