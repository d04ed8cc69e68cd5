"""Two people who change a bed at once: the second to save is shown both, and chooses.

A change is asked for on the revision that a page shows.  Where another came into force meanwhile,
nothing is changed: the answer holds the brief that both were made from, theirs and mine, and what
differs, in words.  ``Merge`` says what is to be made of them.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field

from bedwright.store import Bed, ChangedSinceError, Difference, Values, merge
from bedwright.web import fields
from bedwright.web.asked import Number

MOST_SHOWN = 240
"""Letters of a value, so many of which are shown."""


class Merge(BaseModel):
    """My brief, made from revision ``base`` and put on top of revision ``on``: of ``both``, where
    both changed a field as I have it; or ``mine`` alone, without what revision ``on`` changed.
    ``said``: what is to be said of my change."""

    base: Number
    on: Number
    brief: dict[str, Any]
    take: Literal["both", "mine"]
    said: Annotated[str, Field(max_length=300)] = ""


def change(bed: Bed, on: int, values: Values, said: str) -> int:
    """Put a changed brief in force, also where the one in force meanwhile is the same as that which
    it was made from, or the changed one.  Raises as ``Bed.change``."""
    try:
        return bed.change(on, values, said)
    except ChangedSinceError as error:
        now = bed.values(error.now)
        if now != values and now != bed.values(on):
            raise
        return bed.change(error.now, values, said)


def put_together(bed: Bed, asked: Merge) -> tuple[Values, str]:
    """The brief that is wanted of two, and what is to be said of it.  Raises NoSuchBedError where
    there is no such revision."""
    base, theirs, mine = bed.values(asked.base), bed.values(asked.on), _stated(asked.brief)
    said = asked.said or "Changed"
    if asked.take == "mine":
        return mine, f"{said}, instead of revision {asked.on}"
    return merge(base, theirs, mine).values, f"{said}, on top of revision {asked.on}"


def _stated(given: Any) -> Any:
    """Values without those that are none, as TOML has them."""
    if isinstance(given, dict):
        return {name: _stated(value) for name, value in given.items() if value is not None}
    if isinstance(given, list):
        return [_stated(value) for value in given if value is not None]
    return given


def both(bed: Bed, base: int, now: int, mine: Values, said: str) -> dict[str, Any]:
    """Both briefs, and what differs between them, for whoever saved second."""
    had, theirs = bed.values(base), bed.values(now)
    merged = merge(had, theirs, mine)
    rows = [_row(one, had, theirs, mine) for one in merged.differences]
    changed = _said_since(bed, base, now)
    return {
        "said": f"The bed was changed meanwhile ({'; '.join(changed)}).",
        "base": {"on": base, "brief": had},
        "theirs": {"on": now, "brief": theirs, "said": changed},
        "mine": {"brief": mine, "said": said},
        "rows": sorted(rows, key=lambda row: not row["clash"]),
        "clashes": len(merged.clashes),
    }


def _said_since(bed: Bed, base: int, now: int) -> list[str]:
    """What was said of the revisions that lead from one to another, the earliest first."""
    every = {one.number: one for one in bed.revisions}
    found, number = [], now
    while number and number != base:
        found.append(every[number].said)
        number = every[number].parent
    if number == base:
        return found[::-1]
    return [f"back to revision {now}: {every[now].said}"]


def _row(one: Difference, base: Values, theirs: Values, mine: Values) -> dict[str, Any]:
    """A difference in words."""
    from bedwright.report import first_up

    whole = next((brief for value, brief in
                  ((one.base, base), (one.theirs, theirs), (one.mine, mine))
                  if value is not None), base)  # fmt: skip
    return {
        "label": first_up(_label(one.path, whole)),
        "before": _before(one),
        "theirs": _now(one, one.theirs),
        "mine": _now(one, one.mine),
        "clash": one.clash,
    }


def _label(path: tuple[str | int, ...], brief: Values) -> str:
    """What a field, table or item is called on the sheets."""
    words = [str(part) for part in path]
    if path[0] == "changes" and len(path) > 1:
        return "asked of a drift"
    if path[0] == "wishes" and isinstance(path[-1], int):
        words = words[:-1]  # a name in a list of names
    try:
        return fields.label_of(brief, ".".join(words))
    except (fields.NotAFieldError, ValueError):
        return ": ".join(words)


def _before(one: Difference) -> str:
    if one.base is not None:
        return _shown(one, one.base)
    try:
        field = fields.field_of(".".join(str(part) for part in one.path))
    except ValueError:
        field = None
    return f"not stated ({field.assumed})" if field and field.assumed else "not there"


def _now(one: Difference, value: Any) -> str:
    if value == one.base:
        return "as before"
    return "taken out" if value is None else _shown(one, value)


def _shown(one: Difference, value: Any) -> str:
    words = fields.shown(value)
    if one.path[0] in ("changes", "wishes"):
        words = words.replace("_", " ")  # keys of kinds
    return words if len(words) <= MOST_SHOWN else f"{words[:MOST_SHOWN]} …"
