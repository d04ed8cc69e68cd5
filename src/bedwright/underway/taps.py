"""What is written down when a line of this week's list is marked as done."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from bedwright.journal import Entry, What
from bedwright.underway.planned import PlannedBed
from bedwright.underway.week import DueWork

_SORTS: Mapping[str, What] = {
    "sow_indoors": "sown",
    "sow_in_place": "sown",
    "sow_again": "sown",
    "sow_once_more": "sown",
    "prick_out": "pricked_out",
    "pot_on": "potted_on",
    "thin": "thinned",
    "thin_to_one": "thinned",
    "set_out": "set_out",
    "first_flowers": "first_flower",
}
"""Work of which each item has an entry of its own."""


def entries_when_done(due: DueWork, bed: PlannedBed, day: date, needed: bool = True) -> list[Entry]:
    """The entries that say that a piece of work was done on a day, or, where it was not ``needed``,
    that it is left: one for each item that it is about, where the journal has a sort for it, else
    one for the work."""
    work = due.work
    sort = _SORTS.get(work.code) if needed else None
    if sort is None:
        text = work.words if needed else f"left: {work.words}"
        return [Entry(day, "work", task=work.key, text=text)]
    # A first flower is no work, and an entry of one has no task.
    task = None if sort == "first_flower" else work.key
    items = [bed.item(letter) for letter in work.letters]
    return [Entry(day, sort, item.kind.key, item.colour, task=task) for item in items]
