"""Arguing with a planting: what is asked of a drift, as changes of the brief.

A brief's changes mean the drifts as they were first cut, before any was asked for.  What is kept of
a drift says which of them it comes from, so that the same drift may be asked for something else
later, in the same change.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy
from typing import Any, Literal

from bedwright.web.beds import Values

Act = Literal["keep", "plant", "colour", "more", "less", "swap", "free", "never"]

MORE, LESS = 1.3, 0.75
"""How many times as large a drift becomes that is to have more or less."""

LEAST_SIZE, MOST_SIZE = 0.4, 2.5
"""Of a drift beside what it was at first, as the brief has them."""

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
) -> tuple[Values, str]:
    """A brief with something asked of a drift, and the change in words; ``had``: the changes of the
    brief, counted from 0, that are meant for the drift already.

    ``keep`` what stands there, ``plant`` a ``kind`` (in a ``colour``, else that which suits best),
    have it in another ``colour``, have ``more`` or ``less`` of it, ``swap`` it with ``other``,
    leave it ``free`` of what was asked before, or have its kind ``never``.  Raises ArgueError.
    """
    values, name = deepcopy(values), f"{drift['letter']} {drift['name']}"
    if act == "never":
        return _never(values, drift), f"Never {drift['name']}"
    if drift["edging"]:
        return _edged(values, drift, act, kind, colour)
    if drift["spot"] is None:
        raise ArgueError("What fills the gaps of a border is changed by the kinds to grow or not.")
    changes = list(values.get("changes", ()))
    own: Values = {"at": drift["spot"]}
    for n in sorted(had, reverse=True):
        own = {**changes.pop(n), "at": drift["spot"], **{k: v for k, v in own.items() if k != "at"}}
    size = float(own.get("size", 1.0))
    if act == "free":
        own, said = {}, f"{name}: nothing asked of its drift"
    elif act == "swap":
        if other is None or other["edging"] or other["spot"] in (None, drift["spot"]):
            raise ArgueError("Choose another drift of the bed's body to change places with.")
        for_size = {"size": size} if size != 1.0 else {}
        own = {"at": drift["spot"], "swap": other["spot"], **for_size}
        said = f"{name} and {other['letter']} {other['name']} change places"
    elif act in ("more", "less"):
        wanted = size * (MORE if act == "more" else LESS)
        if not LEAST_SIZE <= wanted <= MOST_SIZE:
            raise ArgueError(
                f"A drift can be {LEAST_SIZE:g} to {MOST_SIZE:g} times as large as at first; this"
                f" one is {size:g} times."
            )
        own, said = {**own, "size": round(wanted, 3)}, f"{act.capitalize()} {name}"
    else:
        wanted_kind = kind if act == "plant" else drift["kind"]
        wanted_colour = {"keep": drift["colour"]}.get(act, colour)
        if not wanted_kind or (act == "colour" and not wanted_colour):
            raise ArgueError("Name the kind, or the colour.")
        own = {k: v for k, v in own.items() if k in ("at", "size")} | {"grow": wanted_kind}
        if wanted_colour:
            own["colour"] = wanted_colour
        what = ", ".join(filter(None, (wanted_kind.replace("_", " "), wanted_colour)))
        said = f"{name} stays where it is" if act == "keep" else f"{what} in place of {name}"
    if set(own) - {"at"}:
        changes.append(own)
    if changes:
        values["changes"] = changes
    else:
        values.pop("changes", None)
    return values, said


def _never(values: Values, drift: Drift) -> Values:
    """The brief without a kind, wherever it is asked for."""
    wishes = values.setdefault("wishes", {})
    names = {drift["kind"], drift["name"].lower()}

    def meant(words: Any) -> bool:
        return str(words).partition(":")[0].strip().lower() in names

    for field in ("grow", "edge_with"):
        left = [one for one in wishes.get(field, ()) if not meant(one)]
        wishes.pop(field, None)
        if left:
            wishes[field] = left
    left_out = [one for one in wishes.get("leave_out", ()) if not meant(one)]
    wishes["leave_out"] = [*left_out, drift["kind"]]
    changes = [one for one in values.get("changes", ()) if not meant(one.get("grow", ""))]
    values.pop("changes", None)
    if changes:
        values["changes"] = changes
    return values


def _edged(
    values: Values, drift: Drift, act: Act, kind: str | None, colour: str | None
) -> tuple[Values, str]:
    """The brief with another edging, or with this one kept."""
    wanted = kind if act == "plant" else drift["kind"]
    shade = {"keep": drift["colour"]}.get(act, colour)
    if act not in ("keep", "plant", "colour") or not wanted or (act == "colour" and not shade):
        raise ArgueError("An edging can be kept, planted with another kind or have another colour.")
    words = f"{wanted}: {shade}" if shade else wanted
    wishes = {**values.get("wishes", {}), "edge_with": [words]}
    wishes.pop("edging", None)
    said = f"{drift['name']} stays as the edging" if act == "keep" else f"Edged with {words}"
    return {**values, "wishes": wishes}, said
