"""Which of the kinds that a line names the entry is of."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from bedwright.facts import Fact
from bedwright.journal.counts import narrowed
from bedwright.journal.entry import What
from bedwright.journal.line_facts import (
    KindMissing,
    KindTaken,
    LineError,
    NoKindOfThatName,
    OnlyKindTaken,
    OtherKindMissing,
    SeveralKinds,
    SeveralOfThatName,
)
from bedwright.journal.names import Kinds, Mention
from bedwright.journal.typed import Typed
from bedwright.journal.verbs import BEHIND, NOISE

MOST_NAMED = 8
"""Kinds of one name that are named, at most."""

_LONGEST_NAME = 3
"""Words of a name that is looked for, at most."""


def kind_of(
    what: What, line: Typed, mentions: Sequence[Mention], kinds: Kinds, guesses: list[Fact]
) -> tuple[Mention | None, str]:
    """The kind that an entry is of, and where it is named; None for the only one that grows.

    Raises LineError for none, for several, and for a name that several have.
    """
    main = _main(line, mentions)
    if not main:
        return None, _without_name(what, line, kinds, guesses)
    if len({one.keys for one in main}) > 1:
        raise LineError(
            SeveralKinds(what, tuple(line.spelling(one.start, one.end) for one in main), 1)
        )
    return main[0], _one(line, main[0], kinds, guesses)


def planted_kind(
    line: Typed, mentions: Sequence[Mention], kinds: Kinds, guesses: list[Fact]
) -> tuple[Mention | None, str | None]:
    """The kind of the bed that a note or a piece of work is of, if it names one alone."""
    main = _main(line, mentions)
    if len({one.keys for one in main}) != 1:
        return None, None
    keys = narrowed(line, main[0], kinds)
    if len(keys) != 1 or keys[0] not in kinds.planted:
        return None, None
    return main[0], _one(line, main[0], kinds, guesses)


def kinds_that_quarrel(
    line: Typed, mentions: Sequence[Mention], kinds: Kinds, guesses: list[Fact]
) -> tuple[tuple[Mention, str], tuple[Mention, str]]:
    """Two kinds whose colours quarrel.  Raises LineError for fewer or more."""
    if len(mentions) > 2:
        words = tuple(line.spelling(one.start, one.end) for one in mentions)
        raise LineError(SeveralKinds("colours", words, 2))
    found = [(one, _one(line, one, kinds, guesses)) for one in mentions]
    if len(found) < 2:
        raise LineError(OtherKindMissing(tuple(kinds.names[key] for _, key in found)))
    return found[0], found[1]


def _main(line: Typed, mentions: Sequence[Mention]) -> list[Mention]:
    """Kinds that are named, without those that only tell where another stands."""
    main = [one for one in mentions if not BEHIND.search(line.left[: one.start][-60:])]
    return main or list(mentions)


def _one(line: Typed, mention: Mention, kinds: Kinds, guesses: list[Fact]) -> str:
    """The kind of a name.  Raises LineError where it is not clear which of several is meant."""
    keys = narrowed(line, mention, kinds)
    typed = line.spelling(mention.start, mention.end)
    planted = all(key in kinds.planted for key in keys)
    if len(keys) > 1:
        names = tuple(kinds.names[key] for key in keys[:MOST_NAMED])
        raise LineError(SeveralOfThatName(typed, names, len(keys) - len(names), planted))
    (key,) = keys
    others = kinds.others(mention.name, key)
    whole = key in kinds.called[0].get(mention.name, ())
    if any(other in kinds.planted for other in others) or (not whole and (others or not planted)):
        names = tuple(kinds.names[other] for other in others[:MOST_NAMED])
        guesses.append(KindTaken(typed, kinds.names[key], names, planted))
    return key


def _without_name(what: What, line: Typed, kinds: Kinds, guesses: list[Fact]) -> str:
    """The only kind that grows, where a line has no word that may be a name."""
    words = [
        (at, word) for at, word in line.unread_words(NOISE) if not any(c.isdigit() for c in word)
    ]
    if words:
        typed = " ".join(_run(line, words))
        raise LineError(NoKindOfThatName(what, typed, _like(typed, kinds)))
    if len(kinds.planted) != 1:
        raise LineError(KindMissing(what))
    (key,) = kinds.planted
    guesses.append(OnlyKindTaken(kinds.names[key]))
    return key


def _run(line: Typed, words: Sequence[tuple[int, str]]) -> list[str]:
    """The first words that stand side by side."""
    order = {start: n for n, (start, _, _) in enumerate(line.words)}
    numbered = enumerate(words)
    _, run = next(groupby(numbered, key=lambda pair: order[pair[1][0]] - pair[0]))
    return [word for _, (_, word) in run][:_LONGEST_NAME]


def _like(typed: str, kinds: Kinds) -> tuple[str, ...]:
    """Kinds whose names are like what was typed, or like one word of it."""
    words = [typed, *reversed(typed.split())]
    return next((found for word in words if (found := kinds.like(word))), ())
