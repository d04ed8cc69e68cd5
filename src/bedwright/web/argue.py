"""Arguing with a planting: what is asked of a drift, as changes of the brief.

A brief's changes mean the drifts as they were first cut, before any was asked for.  What is kept of
a drift says which of them it comes from, so that the same drift may be asked for something else
later, in the same change.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from typing import Any, Literal

from bedwright.brief import LEAST_SIZE, MOST_SIZE
from bedwright.store import Values

Act = Literal["keep", "plant", "colour", "more", "less", "swap", "free", "never"]

MORE, LESS = 1.3, 0.75
"""How many times as large a drift becomes that is to have more or less."""

Drift = dict[str, Any]
"""What is kept of a drift (``worker.drifts_of``)."""


class ArgueError(ValueError):
    """What cannot be asked of a drift."""


def argued(
    values: Values,
    drift: Drift,
    had: Sequence[int],
    act: Act,
    kind: str | None = None,
    colour: str | None = None,
    other: Drift | None = None,
    other_had: Sequence[int] = (),
    edgings: Sequence[Drift] = (),
) -> tuple[Values, str]:
    """A brief with something asked of a drift, and the change in words; ``had``, ``other_had``: the
    changes of the brief, counted from 0, that are meant for the drift, and for ``other``, already;
    ``edgings``: the drifts of the edging, among which this one may be.

    ``keep`` what stands there, ``plant`` a ``kind`` (in a ``colour``, else that which suits best),
    have it in another ``colour``, have ``more`` or ``less`` of it, ``swap`` it with ``other``,
    leave it ``free`` of what was asked before, or have its kind ``never``.  Raises ArgueError.
    """
    values, name = deepcopy(values), f"{drift['letter']} {drift['name']}"
    if act == "never":
        in_gaps = drift["spot"] is None and not drift["edging"]
        return _never(values, drift, in_gaps), f"Never {drift['name']}"
    if drift["edging"]:
        return _edged(values, drift, act, kind, colour, edgings)
    if drift["spot"] is None:
        raise ArgueError("What fills the gaps of a border is changed by the kinds to grow or not.")
    if act == "swap":
        if other is None or other["spot"] in (None, drift["spot"]):
            raise ArgueError("Choose another drift of the bed's body to change places with.")
        values = _with(values, {drift["number"]: had, other["number"]: other_had}, [
            (drift, {"grow": other["kind"], "colour": other["colour"]}),
            (other, {"grow": drift["kind"], "colour": drift["colour"]}),
        ])  # fmt: skip
        return values, f"{name} and {other['letter']} {other['name']} change places"
    if act == "free":
        return _with(values, {drift["number"]: had}, []), f"{name}: nothing asked of its drift"
    asked: Values
    if act in ("more", "less"):
        size = _size(values, had)
        wanted = size * (MORE if act == "more" else LESS)
        if not LEAST_SIZE <= wanted <= MOST_SIZE:
            raise ArgueError(
                f"A drift can be {LEAST_SIZE:g} to {MOST_SIZE:g} times as large as at first; this"
                f" one is {size:g} times."
            )
        # Of what stands there, which is held, too, or something else might fill the larger drift.
        asked = {"grow": drift["kind"], "colour": drift["colour"], "size": round(wanted, 3)}
        said = f"{act.capitalize()} {name}"
    else:
        wanted_kind = kind if act == "plant" else drift["kind"]
        wanted_colour = drift["colour"] if act == "keep" else colour
        if not wanted_kind or (act == "colour" and not wanted_colour):
            raise ArgueError("Name the kind, or the colour.")
        asked = {"grow": wanted_kind, **({"colour": wanted_colour} if wanted_colour else {})}
        what = ", ".join(filter(None, (wanted_kind.replace("_", " "), wanted_colour)))
        said = f"{name} stays where it is" if act == "keep" else f"{what} in place of {name}"
    return _with(values, {drift["number"]: had}, [(drift, asked)]), said


def _size(values: Values, had: Sequence[int]) -> float:
    """How many times as large as at first a drift is to be by the changes meant for it."""
    sizes = [values["changes"][n]["size"] for n in had if "size" in values["changes"][n]]
    return float(sizes[-1]) if sizes else 1.0


def _with(
    values: Values, had: Mapping[int, Sequence[int]], asked: Sequence[tuple[Drift, Values]]
) -> Values:
    """A brief with one change for each drift of which something is ``asked``, in place of those
    that it ``had``, by its number; what is not asked again of a drift's kind or size stays."""
    changes = list(values.get("changes", ()))
    made = []
    for drift, wish in asked:
        before: Values = {}
        for n in had[drift["number"]]:
            before |= {k: v for k, v in changes[n].items() if k in ("grow", "colour", "size")}
        if "grow" in wish:
            before.pop("colour", None)
        made.append({"at": drift["spot"], **before, **wish})
    gone = {n for numbers in had.values() for n in numbers}
    changes = [one for n, one in enumerate(changes) if n not in gone] + made
    values = {name: value for name, value in values.items() if name != "changes"}
    return {**values, "changes": changes} if changes else values


def _never(values: Values, drift: Drift, in_gaps: bool) -> Values:
    """The brief without a kind, wherever it is asked for; the rest of the bed stays, unless gaps
    are planted ``in_gaps`` of a border, where all is chosen again."""
    wishes = values.setdefault("wishes", {})
    names = {drift["kind"], drift["name"].lower()}

    def meant(words: Any) -> bool:
        return str(words).partition(":")[0].strip().lower() in names

    for field in ("grow", "edge_with"):
        left = [one for one in wishes.get(field, ()) if not meant(one)]
        wishes.pop(field, None)
        if left:
            wishes[field] = left
    named = [(one, str(one.get("grow", one.get("never", "")))) for one in values.get("changes", ())]
    changes = [one for one, name in named if not meant(name)]
    if in_gaps:
        wishes["leave_out"] = [*wishes.get("leave_out", ()), drift["kind"]]
    else:
        changes.append({"never": drift["kind"]})
    for name, made in (("changes", changes), ("wishes", wishes)):
        values.pop(name, None)
        if made:
            values[name] = made
    return values


def _edged(
    values: Values,
    drift: Drift,
    act: Act,
    kind: str | None,
    colour: str | None,
    edgings: Sequence[Drift],
) -> tuple[Values, str]:
    """The brief with another edging, or with this one kept; others beside it stay."""
    wanted = kind if act == "plant" else drift["kind"]
    shade = drift["colour"] if act == "keep" else colour
    if act not in ("keep", "plant", "colour") or not wanted or (act == "colour" and not shade):
        raise ArgueError("An edging can be kept, planted with another kind or have another colour.")
    words = f"{wanted}: {shade}" if shade else wanted
    own = f"{drift['kind']}: {drift['colour']}"
    stand = [f"{one['kind']}: {one['colour']}" for one in edgings] or [own]
    row = list(dict.fromkeys(words if one == own else one for one in stand))
    wishes = {**values.get("wishes", {}), "edge_with": row}
    wishes.pop("edging", None)
    said = f"{drift['name']} stays as the edging" if act == "keep" else f"Edged with {words}"
    return {**values, "wishes": wishes}, said
