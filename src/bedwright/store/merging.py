"""Two briefs that were made from the same one, put together: a three-way merge of plain values.

What only one of the two changed is taken from it, and what both changed alike is taken once.  Where
both changed the same field, or one took out what the other changed, they clash, and the second's
value is taken.  Lists are aligned by their longest common runs (``difflib``, as diffs of text are),
so that what was added or taken out at one place does not shift the rest.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

from bedwright.store.beds import Values

Path = tuple[str | int, ...]

NAMES = frozenset(
    ("wishes", name)
    for name in ("colours", "uses", "grow", "leave_out", "last_year", "avoid")
)  # fmt: skip
"""Lists of names, whose order says little: other lists of plain values, such as a spot's two
measures, are one value."""

IDENTITY = ("at", "material", "never", "start")
"""Fields that two tables of a list, added by each, may not share: they would be of the same drift,
place, material or days."""


@dataclass(frozen=True)
class Difference:
    """A field, table or item of a list that one of two briefs, or both, changed: what it was in
    the brief that both were made from, and is in each; None where it is not there.

    ``path``: the names and numbers (from 0) that lead to it, in the brief that both were made from,
    or, of what was added, in the one that has it.  ``clash``: whether both changed it, not alike.
    """

    path: Path
    base: Any
    theirs: Any
    mine: Any
    clash: bool = False


@dataclass(frozen=True)
class Merged:
    """Two briefs put together, the second's values where they clash, and what differs between
    them and the one that both were made from."""

    values: Values
    differences: tuple[Difference, ...]

    @property
    def clashes(self) -> tuple[Difference, ...]:
        """The differences that clash."""
        return tuple(one for one in self.differences if one.clash)


def merge(base: Values, theirs: Values, mine: Values) -> Merged:
    """Put ``theirs`` and ``mine`` together, both made from ``base``."""
    found: list[Difference] = []
    made = _merged(base, theirs, mine, (), found)
    return Merged({} if made is None else made, tuple(found))


def _merged(base: Any, theirs: Any, mine: Any, path: Path, found: list[Difference]) -> Any:
    """One value of both; None where it is not to be there.  Adds to what was ``found``."""
    three = base, theirs, mine
    if theirs == mine == base:
        return mine
    if _are(three, dict) and not (path == ("bed",) and _reshaped(three)):
        made: Any = _tables(base or {}, theirs or {}, mine or {}, path, found)
    elif _are(three, list) and _has_items(three, path):
        made = _lists(base or [], theirs or [], mine or [], path, found)
    else:
        clash = base not in (theirs, mine) and theirs != mine
        found.append(Difference(path, base, theirs, mine, clash))
        made = mine
    if mine == base:
        return theirs
    if theirs in (base, mine):
        return mine
    return None if made in ({}, []) and (theirs is None or mine is None) else made


def _are(values: Sequence[Any], kind: type) -> bool:
    """Whether values are tables, or lists, those that are not there apart."""
    return all(one is None or isinstance(one, kind) for one in values)


def _reshaped(three: Sequence[Any]) -> bool:
    """Whether beds are of different shapes, whose measures do not go together."""
    shapes = [one.get("shape") for one in three if one is not None]
    return any(shape != shapes[0] for shape in shapes)


def _has_items(lists: Sequence[Any], path: Path) -> bool:
    """Whether lists are of things, of which each may change, come and go by itself."""
    items = [item for one in lists for item in one or ()]
    return path in NAMES or all(isinstance(item, dict | list) for item in items)


def _tables(
    base: Values, theirs: Values, mine: Values, path: Path, found: list[Difference]
) -> Values:
    made = {}
    for name in dict.fromkeys((*base, *theirs, *mine)):
        value = _merged(base.get(name), theirs.get(name), mine.get(name), (*path, name), found)
        if value is not None:
            made[name] = value
    return made


@dataclass(frozen=True)
class _Edits:
    """What became of a list: where each item is now, None where it was taken out; and the places of
    the items that were added before each, and at the end."""

    now: list[int | None]
    added: list[list[int]]


def _edits(base: list[Any], list_: list[Any], paired: bool) -> _Edits:
    """``paired``: whether an item in the place of another is that one, changed."""
    keys = [[_key(item) for item in one] for one in (base, list_)]
    found = _Edits([None] * len(base), [[] for _ in range(len(base) + 1)])
    matcher = SequenceMatcher(None, keys[0], keys[1], autojunk=False)
    for tag, i1, i2, j1, j2 in matcher.get_opcodes():
        same = min(i2 - i1, j2 - j1) if paired or tag == "equal" else 0
        for k in range(same):
            found.now[i1 + k] = j1 + k
        found.added[i2 if same else i1] += range(j1 + same, j2)
    return found


def _lists(
    base: list[Any], theirs: list[Any], mine: list[Any], path: Path, found: list[Difference]
) -> list[Any]:
    paired, own = path not in NAMES, list[Difference]()
    one, two = _edits(base, theirs, paired), _edits(base, mine, paired)
    made: list[Any] = []
    for at in range(len(base) + 1):
        both = _added([theirs[n] for n in one.added[at]], [mine[n] for n in two.added[at]])
        if both is None:
            found.append(Difference(path, base, theirs, mine, clash=True))
            return mine
        made += both
        own += _news(path, theirs, mine, one.added[at], two.added[at])
        if at < len(base):
            here, there = one.now[at], two.now[at]
            other = None if here is None else theirs[here]
            item = _item(base[at], other, None if there is None else mine[there], (*path, at), own)
            made += [] if item is None else [item]
    found += own
    return made


def _item(base: Any, theirs: Any, mine: Any, path: Path, found: list[Difference]) -> Any:
    """An item of a list; None where it is taken out."""
    if theirs is None or mine is None:
        other = mine if theirs is None else theirs
        clash = other not in (None, base)
        found.append(Difference(path, base, theirs, mine, clash))
        return mine if clash else None
    return _merged(base, theirs, mine, path, found)


def _added(theirs: list[Any], mine: list[Any]) -> list[Any] | None:
    """What both added at one place of a list; None where that clashes."""
    if not theirs or not mine or theirs == mine:
        return mine or theirs
    if any(isinstance(item, list) for item in (*theirs, *mine)):
        return None  # spots of a line, whose order is the line
    for one in theirs:
        for other in mine:
            if one != other and _same_thing(one, other):
                return None
    return [item for _, item in sorted({_key(item): item for item in (*theirs, *mine)}.items())]


def _same_thing(one: Any, other: Any) -> bool:
    """Whether two tables are of the same thing."""
    return isinstance(one, dict) and isinstance(other, dict) and any(
        name in one and one[name] == other.get(name) for name in IDENTITY
    )  # fmt: skip


def _news(
    path: Path, theirs: list[Any], mine: list[Any], one: list[int], two: list[int]
) -> Iterator[Difference]:
    """The items that were added at one place of a list, each told once."""
    had = [theirs[n] for n in one]
    for n in one:
        yield Difference((*path, n), None, theirs[n], None)
    for n in two:
        if mine[n] not in had:
            yield Difference((*path, n), None, None, mine[n])


def _key(item: Any) -> str:
    return json.dumps(item, sort_keys=True)
