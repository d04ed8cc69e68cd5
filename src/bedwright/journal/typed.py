"""A line as it was typed, and how much of it has been read.

The line is folded: lower case, without accents, one sort of dash and quotation mark.  What is read
of it is marked by capitals and underscores of the same length (``K______`` for a kind), so that
every place in the folded line stays that of a word that was typed.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace

_SIGNS = str.maketrans(
    {
        **dict.fromkeys("’‘‛ʼʹ`´′", "'"),
        **dict.fromkeys("“”„‟″", '"'),
        **dict.fromkeys("‐‑‒–—―−", "-"),
        **dict.fromkeys("×✕✖", "x"),
        "º": "°", "˚": "°", "ø": "o", "Ø": "o", "ł": "l", "Ł": "l",
        "½": " 1⁄2", "¼": " 1⁄4", "¾": " 3⁄4", "⅓": " 1⁄3", "⅔": " 2⁄3", "⅛": " 1⁄8",
    }
)  # fmt: skip

_BLANK = re.compile(r"_|(?<![0-9])\"")
"""What stands for a blank; a quotation mark behind a number is inches."""

_MARKS = ".,;:!?()\"'“”‘’"

READ = re.compile(r"[A-Z]_*")
"""A part of a line that has been read."""


def words_of(text: str) -> frozenset[str]:
    """The words of a text, as a set."""
    return frozenset(text.split())


def fold(text: str) -> str:
    """Lower case without accents, with plain dashes, quotation marks and digits; the stroke of a
    fraction that was one letter stays apart from others (½: ``1⁄2``)."""
    plain = unicodedata.normalize("NFKD", text.translate(_SIGNS)).casefold()
    plain = unicodedata.normalize("NFKD", plain).lower()
    kept = (_digit(c) for c in plain if not unicodedata.combining(c))
    return " ".join(_BLANK.sub(" ", "".join(kept)).split())


def _digit(letter: str) -> str:
    value = unicodedata.decimal(letter, None)
    return letter if value is None else str(value)


@dataclass(frozen=True)
class Typed:
    """A folded line: as it was (``plain``) and with marks for what has been read (``left``), both
    of one length; ``words``: start, end and spelling of every word that was typed."""

    plain: str
    left: str
    words: tuple[tuple[int, int, str], ...]

    def marked(self, start: int, end: int, mark: str) -> Typed:
        """With one stretch read; ``mark`` is a capital."""
        return self.with_text(start, end, mark.ljust(end - start, "_"))

    def with_text(self, start: int, end: int, text: str) -> Typed:
        """With a stretch of what is left written otherwise, in no more letters."""
        text = text.ljust(end - start)
        return replace(self, left=self.left[:start] + text + self.left[end:])

    def letters_marked(self, start: int, end: int) -> Typed:
        """With the letters of a stretch read; numbers and marks in it stay as they are."""
        found = re.sub(r"[a-z'-]+", lambda m: "V".ljust(len(m[0]), "_"), self.left[start:end])
        return self.with_text(start, end, found)

    def unread(self, start: int, end: int) -> Typed:
        """With a stretch as it was typed."""
        return self.with_text(start, end, self.plain[start:end])

    def spelling(self, start: int, end: int) -> str:
        """The words of a stretch as they were typed, without the marks around them."""
        words = (word for at, to, word in self.words if at < end and to > start)
        return " ".join(words).strip(_MARKS)

    def unread_words(self, noise: frozenset[str]) -> list[tuple[int, str]]:
        """Place and spelling of the words that were not read, but for those that say little."""
        found = []
        for start, end, word in self.words:
            rest = READ.sub(" ", self.left[start:end])
            parts = re.findall(r"[a-z0-9]+(?:'[a-z]+)?|[^\W_]+", rest)
            if any(part not in noise for part in parts):
                found.append((start, word.strip(_MARKS)))
        return found


def typed(text: str) -> Typed:
    """A line as it was typed, of which nothing has been read."""
    parts, words, at = [], [], 0
    for word in text.split():
        folded = fold(word)
        if folded:
            parts.append(folded)
            words.append((at, at + len(folded), word))
            at += len(folded) + 1
    plain = " ".join(parts)
    return Typed(plain, plain, tuple(words))
