"""How many, of which colour, and lost to what: the parts of a line about plants."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bedwright.facts import Fact
from bedwright.journal.days import FoundDay
from bedwright.journal.entry import Cause, What
from bedwright.journal.line_facts import (
    CauseTaken,
    DayOrShare,
    LineError,
    NotOfThatColour,
    SeveralColours,
    SeveralCounts,
    ShareTaken,
)
from bedwright.journal.names import Kinds, Mention
from bedwright.journal.typed import Typed
from bedwright.journal.verbs import CAUSES, NOT_PLANTS, PLANTS

_NUM = (
    r"(?<![0-9.,/⁄:#])(?<![0-9]-)([0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)"
    r"(?![0-9]*[.,:/⁄]?[0-9])(?!-[0-9]| to [0-9])"
)
_WORDS = rf"(?:(?!{NOT_PLANTS})(?:[a-z'-]+|Q_*) +){{0,4}}"
_AS_COUNT = rf"(?! *{NOT_PLANTS})(?! *%)"
_OF = r"(?:out )?of (?:the |my |those |all )*"
_OUT_OF = r"([0-9]+)(?![0-9]*[.,:/⁄]?[0-9])"
_PAIRS = (
    rf"{_NUM}(?: +{_OF}| ?/ ?(?![1-4] (?:of )?the\b)){_OUT_OF}",
    rf"{_NUM} +{_WORDS}(?:K_* )?(?:V_* )?{_OF}{_OUT_OF}",
)
_ALL = re.compile(rf"\ball (?:of )?(?:the |my )?{_NUM}{_AS_COUNT}")
_LEVELS = (
    rf"{_NUM}(?:x|\+)? +{_AS_COUNT}{_WORDS}(?=K)",
    rf"(?:K_*)(?: ?{PLANTS}\b)?(?:[ ,:(x']|[VDQ]_*)*?{_NUM}{_AS_COUNT}",
    rf"{_NUM}(?:x|\+)? +(?:[a-z]+ )?{PLANTS}\b",
    rf"V_*(?: about| around| only| all)? {_NUM}{_AS_COUNT}(?= *(?:$|[,.;(]|in\b|on\b"
    rf"|at\b|into\b|D_|V_))",
)
"""Where a count stands: before the kind, behind it, before what is counted, behind the verb."""

_ONES = rf"{_NUM} +(?:[a-z]+ |Q_* )?ones\b"
"""As in "6 white ones", beside others."""

_JOINED = re.compile(r"([a-z]+) ?(?:and|or|&|/|,) ?Q|Q_* ?(?:and|or|&|/|,) ?([a-z]+)")
"""A word beside a colour, which may be another colour."""

SHARES: frozenset[What] = frozenset(("came_up", "lost"))
"""Sorts of which so many of so many may be told."""


def whole(digits: str) -> int:
    """A count; one of more than 12 figures is as good as one of 12."""
    return int(digits.replace(",", "")[:12])


def find_share(line: Typed, what: What) -> tuple[Typed, tuple[int, int] | None]:
    """The line with "18 of 24" or "all 24" marked by P."""
    for pattern in map(re.compile, _PAIRS):
        if match := pattern.search(line.left):
            for group in (1, 2):
                line = line.marked(*match.span(group), "P")
            return line, (whole(match[1]), whole(match[2]))
    if what == "came_up" and (match := _ALL.search(line.left)):
        return line.marked(*match.span(1), "P"), (whole(match[1]), whole(match[1]))
    return line, None


def share_or_day(
    line: Typed, what: What, days: Sequence[FoundDay]
) -> tuple[tuple[FoundDay, ...], tuple[int, int] | None, list[Fact]]:
    """Days without the one that is so many of so many ("18/24 cosmos came up"), and that.

    Raises LineError for one that may be either.
    """
    guesses: list[Fact] = []
    for one in days:
        if one.pair is None or what not in SHARES or one.pair[0] > one.pair[1]:
            continue
        typed = line.plain[one.start : one.end]
        others = tuple(other for other in days if other is not one)
        if one.day is not None and not others:
            if not re.match(rf" *(?:of (?:the )?)?{_WORDS}K", line.left[one.end :]):
                raise LineError(DayOrShare(typed, one.day, *one.pair))
            guesses.append(ShareTaken(typed, *one.pair))
        return others, one.pair, guesses
    return tuple(days), None, guesses


def find_count(line: Typed, places: frozenset[int], levels: int = 4) -> tuple[Typed, int | None]:
    """The line with its count marked by N; ``places``: where the kind is named; ``levels``: how
    many of the places of a count are looked at.  Raises LineError for two counts."""
    for level, pattern in enumerate(_LEVELS[:levels]):
        found = list(re.finditer(pattern, line.left))
        if level < 2:
            found = [m for m in found if (m.start() if level else m.end()) in places]
        if found and level == 0:
            found += re.finditer(_ONES, line.left)
        counts = [whole(match[1]) for match in found]
        if len(counts if level == 0 else set(counts)) > 1:
            raise LineError(SeveralCounts(tuple(counts)))
        for match in found:
            line = line.marked(*match.span(1), "N")
        if counts:
            return line, counts[0]
    return line, None


def find_colour(
    line: Typed, mention: Mention, key: str, kinds: Kinds, alone: bool
) -> tuple[Typed, str | None, list[Fact]]:
    """The line with a colour form of the kind marked by Q: one that stands before the kind, or,
    where no other kind is named (``alone``), anywhere."""
    before = line.left[: mention.start].rstrip()
    last = before.rpartition(" ")[2]
    known = {colour for colours in kinds.colours.values() for colour in colours}
    if last in known and not any(before.endswith(colour) for colour in kinds.colours[key]):
        return line, None, [NotOfThatColour(last, kinds.names[key], kinds.colours[key])]
    found: list[tuple[int, int, str]] = []
    left = line
    for colour in sorted(kinds.colours[key], key=len, reverse=True):
        for match in list(re.finditer(rf"\b{re.escape(colour.lower())}s?\b", left.left)):
            if alone or match.end() == len(before):
                found.append((*match.span(), colour))
                left = left.marked(*match.span(), "Q")
    named = tuple(dict.fromkeys(colour for _, _, colour in sorted(found)))
    joined = _JOINED.search(left.left)
    if joined and (other := joined[1] or joined[2]) in known:
        named += (other,)
    if len(named) > 1:
        return line, None, [SeveralColours(named)]
    if named:
        return left, named[0], []
    return line, None, []


def without_long_colours(line: Typed, kinds: Kinds) -> Typed:
    """The line with colours of several words marked by Q, for some hold a verb ("edged")."""
    longest_first = sorted(kinds.long_colours, key=len, reverse=True)
    pattern = "|".join(map(re.escape, longest_first)) or "(?!)"
    for match in list(re.finditer(rf"\b(?:{pattern})\b", line.left)):
        line = line.marked(*match.span(), "Q")
    return line


def narrowed(line: Typed, mention: Mention, kinds: Kinds) -> tuple[str, ...]:
    """The kinds that a name may mean, and of these those that have the colour before it."""
    if len(mention.keys) == 1:
        return mention.keys
    before = line.left[: mention.start].rstrip()
    fit = tuple(
        key
        for key in mention.keys
        if any(re.search(rf"\b{re.escape(c.lower())}$", before) for c in kinds.colours[key])
    )
    return fit or mention.keys


def find_cause(line: Typed) -> tuple[Typed, Cause | None, list[Fact]]:
    """The line with what plants were lost to marked by C; the first, where several are named."""
    hidden = re.compile(r"[KDH]_*")
    said = line.plain
    for match in hidden.finditer(line.left):
        said = said[: match.start()] + " " * len(match[0]) + said[match.end() :]
    found: list[tuple[int, int, Cause]] = []
    for cause, words in CAUSES.items():
        found += [(*match.span(), cause) for match in re.finditer(rf"\b(?:{words})\b", said)]
    for start, end, _ in found:
        line = line.marked(start, end, "C")
    causes = tuple(dict.fromkeys(cause for _, _, cause in sorted(found)))
    if causes:
        return line, causes[0], [CauseTaken(causes[0], causes[1:])] if causes[1:] else []
    if re.search(r" to (?:the |a |an |my |our |some )?(?!be\b)[a-z]{3,}", line.left):
        return line, "other", []
    return line, None, []
