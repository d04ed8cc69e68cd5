"""What a gardener writes down of a bed: one thing that happened, on one day.

Entries are plain values in SI units.  What is wrong with one by itself is a fault, and such an
entry is not taken; what is odd about it beside the plan and the entries before is a doubt
(``journal.doubts``), which is said of an entry that is taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, Literal, NamedTuple, get_args

from bedwright.brief import Fault

What = Literal[
    "sown",
    "came_up",
    "pricked_out",
    "potted_on",
    "set_out",
    "thinned",
    "lost",
    "first_flower",
    "full_flower",
    "over",
    "picked",
    "height",
    "colours",
    "frost",
    "weather",
    "work",
    "photo",
    "note",
]
"""What happened: ``came_up`` is seed, ``height`` a height that was measured, ``colours`` two kinds
whose colours quarrelled, ``weather`` a minimum, a maximum or rain of one day, ``work`` any other
work."""

Cause = Literal["slugs", "frost", "drought", "heat", "wet", "disease", "insects", "animals", "wind",
                "other"]  # fmt: skip
"""What plants were lost to."""

MOST_TEXT = 2000


class Span(NamedTuple):
    """The least and the most that a number may be, and its unit in words."""

    least: float
    most: float
    unit: str


SPANS: Mapping[str, Span] = {
    "count": Span(0, 100_000, ""),
    "of": Span(1, 100_000, ""),
    "length_m": Span(0.01, 10.0, "m"),
    "tmin_c": Span(-70.0, 60.0, "°C"),
    "tmax_c": Span(-70.0, 60.0, "°C"),
    "rain_mm": Span(0.0, 2000.0, "mm"),
    "minutes": Span(1, 24 * 60, "minutes"),
}


class Fields(NamedTuple):
    """The fields that an entry of one sort must have, and those that it may have beside them."""

    must: frozenset[str] = frozenset()
    may: frozenset[str] = frozenset()
    one_of: frozenset[str] = frozenset()


def _fields(must: str = "", may: str = "", one_of: str = "") -> Fields:
    return Fields(*(frozenset(words.split()) for words in (must, may, one_of)))


_PLANTS = "colour count minutes task"
OF: Mapping[What, Fields] = {
    "sown": _fields("kind", _PLANTS),
    "came_up": _fields("kind", "colour count of task"),
    "pricked_out": _fields("kind", _PLANTS),
    "potted_on": _fields("kind", _PLANTS),
    "set_out": _fields("kind", _PLANTS),
    "thinned": _fields("kind", _PLANTS),
    "lost": _fields("kind", "colour count of cause"),
    "first_flower": _fields("kind", "colour"),
    "full_flower": _fields("kind", "colour"),
    "over": _fields("kind", "colour"),
    "picked": _fields("kind", "colour count minutes"),
    "height": _fields("kind length_m", "colour"),
    "colours": _fields("kind other", "colour"),
    "frost": _fields("", "tmin_c"),
    "weather": _fields("", "", "tmin_c tmax_c rain_mm"),
    "work": _fields("", "kind colour count minutes task", "task text"),
    "photo": _fields("photo", "kind colour"),
    "note": _fields("text", "kind colour"),
}  # fmt: skip
"""Of each sort of entry.  Any may have a ``text``, what was typed, and a ``photo``."""


@dataclass(frozen=True)
class Entry:
    """One thing that happened in a bed.

    ``kind``, ``other``: keys of the catalogue; ``count``: plants, seeds or stems, of ``of`` that
    were sown or stood there; ``length_m``: how high plants have grown; ``tmin_c``, ``tmax_c``,
    ``rain_mm``: of the day's 24 hours; ``task``: that of the calendar which is done by it;
    ``photo``: the SHA-256 of a picture's file, in hexadecimal; ``text``: what was typed.
    """

    day: date
    what: What
    kind: str | None = None
    colour: str | None = None
    other: str | None = None
    count: int | None = None
    of: int | None = None
    cause: Cause | None = None
    length_m: float | None = None
    tmin_c: float | None = None
    tmax_c: float | None = None
    rain_mm: float | None = None
    minutes: int | None = None
    task: str | None = None
    photo: str | None = None
    text: str = ""

    @property
    def given(self) -> dict[str, Any]:
        """What it says, by field, without its day and sort."""
        every = {field.name: getattr(self, field.name) for field in fields(self)}
        return {
            name: value
            for name, value in every.items()
            if name not in ("day", "what") and value not in (None, "")
        }


def entry_faults(entry: Entry, today: date) -> list[Fault]:
    """What is wrong with an entry by itself, as of a day."""
    return list(_faults(entry, today))


def _faults(entry: Entry, today: date) -> Iterator[Fault]:
    if entry.day > today:
        yield Fault("day", entry.day.isoformat(), f"today ({today.isoformat()}) or earlier")
    if entry.what not in OF:
        yield Fault("what", f"'{entry.what}'", "one of " + ", ".join(get_args(What)))
        return
    allowed, given = OF[entry.what], entry.given
    for name in sorted(allowed.must - set(given)):
        yield Fault(name, "nothing", f"a {name.partition('_')[0]}, of what is '{entry.what}'")
    for name in sorted(
        set(given) - allowed.must - allowed.may - allowed.one_of - {"text", "photo"}
    ):
        yield Fault(name, repr(given[name]), f"nothing, of what is '{entry.what}'")
    if allowed.one_of and not allowed.one_of & set(given):
        yield Fault(min(allowed.one_of), "nothing", "one of " + ", ".join(sorted(allowed.one_of)))
    for name, span in SPANS.items():
        value = getattr(entry, name)
        if value is not None and not span.least <= value <= span.most:
            unit = f" {span.unit}" if span.unit else ""
            yield Fault(name, f"{value:g}", f"{span.least:g} to {span.most:g}{unit}")
    if entry.count is not None and entry.of is not None and entry.count > entry.of:
        yield Fault("count", f"{entry.count} of {entry.of}", f"{entry.of} or fewer")
    if entry.tmin_c is not None and entry.tmax_c is not None and entry.tmin_c > entry.tmax_c:
        yield Fault("tmin_c", f"{entry.tmin_c:g} °C", f"no more than the maximum, {entry.tmax_c:g}")
    if entry.cause not in (None, *get_args(Cause)):
        yield Fault("cause", f"'{entry.cause}'", "one of " + ", ".join(get_args(Cause)))
    for name, value in given.items():
        if isinstance(value, str) and "\0" in value:
            yield Fault(name, repr(value[:40]), "a text without the sign of number 0")
    if len(entry.text) > MOST_TEXT:
        yield Fault("text", f"{len(entry.text)} letters", f"{MOST_TEXT} letters at most")
