"""Which kind a gardener means by a name, those that grow in the bed first.

A kind is called by its own name, by another common one, by a part of one ("cosmos" of "tall garden
cosmos"), or by its botanical name or genus, in the singular or the plural.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bedwright.catalogue import Catalogue, Kind
from bedwright.journal.typed import Typed, fold, words_of

MOST_LIKE = 4
"""Kinds that are named at most where one of that name is not found."""

_JOINING = words_of("of in on the and to")
_ORDINARY = words_of(
    "bell bells blanket bread breath bride button buttons cabbage clover cluster coat cress cup ear"
    " ears eye eyes face feather fire flag fleece flower flowers garland glory grass house houses"
    " indian jewels lace lily love meadowfoam miller mint moon moss nettle o'clock orchid"
    " paintbrush pest pie plant ray runner shot spinach spot spur star sultan tails tears thistle"
    " tips tongue vine weed"
)
"""Last words of names that mean something else where they stand alone."""

_WORD = re.compile(r"[a-z0-9]+(?:'[a-z0-9]+)*")
_GAP = re.compile(r"'?[ .-]{1,3}'?")
"""Between two words of one name."""


@dataclass(frozen=True)
class Kinds:
    """Names by which the kinds of a catalogue are called.

    ``planted``: keys of those in the bed; ``names``: own names by key; ``colours``: names of the
    colour forms by key; ``called``: keys by name as ``stem`` has it, first whole names, then parts
    of them and genera, then genera of former botanical names; ``long_colours``: names of colours
    of two words and more.
    """

    catalogue: Catalogue
    planted: frozenset[str]
    names: Mapping[str, str]
    colours: Mapping[str, tuple[str, ...]]
    called: tuple[Mapping[str, tuple[str, ...]], ...]
    long_colours: tuple[str, ...]
    most_words: int

    def meant(self, name: str) -> tuple[str, ...]:
        """Keys of the kinds that are meant by a stem: of those in the bed if one of them is called
        so, else of the catalogue's; whole names before parts."""
        found = [names[name] for names in self.called if name in names]
        for keys in found:
            if planted := tuple(key for key in keys if key in self.planted):
                return planted
        return found[0] if found else ()

    def others(self, name: str, key: str) -> tuple[str, ...]:
        """Keys of the other kinds that are called so, whichever way."""
        keys = {key for names in self.called for key in names.get(name, ())}
        return tuple(sorted(keys - {key}))

    def like(self, name: str) -> tuple[str, ...]:
        """Own names of kinds whose names are like a word: of the bed's, else of the catalogue's;
        none of an ordinary word."""
        short = fold(name)[:60]
        if short in _ORDINARY or short.removesuffix("s") in _ORDINARY:
            return ()
        calls = {
            call: key
            for names in reversed(self.called)
            for call, keys in names.items()
            for key in keys
            if key in self.planted
        }
        close = difflib.get_close_matches(stem(short), calls, n=MOST_LIKE, cutoff=0.7)
        keys = dict.fromkeys([calls[call] for call in close] or self.catalogue.like(short))
        return tuple(self.names[key] for key in list(keys)[:MOST_LIKE])


def kinds_of(catalogue: Catalogue, planted: Sequence[str] = ()) -> Kinds:
    """Names of a catalogue's kinds; ``planted``: keys of those in the bed."""
    whole: dict[str, list[str]] = {}
    part: dict[str, list[str]] = {}
    former: dict[str, list[str]] = {}
    most = 1
    for kind in catalogue:
        for names, calls in zip((whole, part, former), _calls(kind), strict=True):
            for call in calls:
                most = max(most, len(_WORD.findall(call)))
                keys = names.setdefault(stem(call), [])
                if kind.key not in keys:
                    keys.append(kind.key)
    colours = {form.name for kind in catalogue for form in kind.colours}
    for colour in colours:  # a colour is no kind, but "pinks" are
        part.pop(stem(colour), None)
    for kind in catalogue:
        for call in _parts(kind.name):
            if call in colours:
                part.setdefault(f"{stem(call)}+", []).append(kind.key)
    return Kinds(
        catalogue,
        frozenset(key for key in planted if key in catalogue.kinds),
        {kind.key: kind.name for kind in catalogue},
        {kind.key: tuple(form.name for form in kind.colours) for kind in catalogue},
        tuple({name: tuple(keys) for name, keys in d.items()} for d in (whole, part, former)),
        tuple(sorted(colour for colour in colours if " " in colour)),
        most,
    )


def _calls(kind: Kind) -> tuple[list[str], list[str], list[str]]:
    """A kind's whole names, parts of them, and genera of its former botanical names, folded."""
    common = [fold(name) for name in (kind.name, *kind.other_names)]
    botanical = [fold(name) for name in (kind.botanical, *kind.synonyms)]
    key = kind.key.replace("_", " ")
    whole = [*common, *botanical, *(name.replace(" x ", " ") for name in botanical)]
    whole += [key] if " " in key else []
    parts = [part for name in common for part in _parts(name)]
    parts += [botanical[0].split()[0]] + ([] if " " in key else [key])
    return whole, parts, [name.split()[0] for name in botanical[1:]]


def _parts(name: str) -> Iterator[str]:
    """The last words of a name, without the first, without the first two, and so on."""
    words = fold(name).split()
    if _JOINING & set(words):
        return
    for n in range(1, len(words)):
        part = " ".join(words[n:])
        if part not in _ORDINARY:
            yield part


def stem(name: str) -> str:
    """A name without blanks, hyphens, apostrophes and endings: the same of singular and plural, and
    of names that some write as one word."""
    return "".join(_stem(word.replace("'", "")) for word in _WORD.findall(name))


def _stem(word: str) -> str:
    if re.search(r"..ies?$", word):
        return word.removesuffix("s")[:-2] + "y"
    while len(word) > 3:
        if re.search(r"(?:s|x|z|ch|sh)es?$", word):
            word = word[: -2 if word.endswith("s") else -1]
        elif re.search(r"[^s]s$", word):
            word = word[:-1]
        else:
            break
    return word


@dataclass(frozen=True)
class Mention:
    """A kind's name in a line: where it stands, its stem, and the keys that it may mean."""

    start: int
    end: int
    name: str
    keys: tuple[str, ...]


def find_kinds(line: Typed, kinds: Kinds) -> tuple[Typed, tuple[Mention, ...]]:
    """The line with the names of kinds marked by K, and those names in their order."""
    words = [match.span() for match in _WORD.finditer(line.left)]
    found: list[Mention] = []
    at = 0
    while at < len(words):
        mention, past = _at(line.left, words, at, kinds)
        if mention:
            found.append(mention)
            line = line.marked(mention.start, mention.end, "K")
        at = past
    return line, tuple(found)


def _at(
    text: str, words: Sequence[tuple[int, int]], at: int, kinds: Kinds
) -> tuple[Mention | None, int]:
    """The longest name of a kind from one word on, and the first word behind it.

    No name is a part of a colour ("gentian" of "gentian blue"), and none is a colour and the name,
    or a part of it, of a kind in the bed: "orange zinnia" is of a tall zinnia where those grow, and
    "rose moss verbena" is no rose moss.
    """
    for n, mention in _from(text, words, at, kinds):
        start, end = mention.start, mention.end
        longer = (colour for colour in kinds.long_colours if len(colour) > end - start)
        if any(text.startswith(colour, start) for colour in longer):
            continue
        planted = bool(kinds.planted & set(mention.keys))
        if not any(
            text[start : words[at + m - 1][1]] in kinds.colours[key]
            for m in range(1, n)
            for _, inner in _from(text, words, at + m, kinds)
            for key in kinds.planted & set(inner.keys)
            if inner.end > end or not planted
        ):
            return mention, at + n
    return None, at + 1


def _from(
    text: str, words: Sequence[tuple[int, int]], at: int, kinds: Kinds
) -> Iterator[tuple[int, Mention]]:
    """The names of kinds from one word on, the longest first, and how many words each has."""
    many = 1
    while (
        many < kinds.most_words
        and at + many < len(words)
        and _GAP.fullmatch(text[words[at + many - 1][1] : words[at + many][0]])
    ):
        many += 1
    for n in range(many, 0, -1):
        start, end = words[at][0], words[at + n - 1][1]
        name = stem(text[start:end])
        keys = kinds.meant(name)
        if not keys and n == 1 and text[start:end].endswith("s"):
            keys = kinds.meant(f"{name}+")
        if keys:
            yield n, Mention(start, end, name, keys)
