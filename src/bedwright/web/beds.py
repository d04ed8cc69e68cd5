"""The beds of a folder: each one's briefs, revision by revision, as TOML.

A bed is a folder.  ``0001.toml``, ``0002.toml`` ... are its revisions, none of which is ever
changed or deleted; ``log.jsonl`` says of each when it was made, from which, and what was changed;
``now`` holds the number of the one in force.  Undoing moves that number back.  What is worked out
from a revision lies in ``plans/0002``.  A bed that is put away
lies in ``put-away``, whole.  A file takes its place by renaming, whole or not at all.
"""

from __future__ import annotations

import json
import os
import re
import secrets
import threading
import tomllib
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

import tomli_w

Values = dict[str, Any]
"""A brief's tables as plain values, as TOML has them; days are texts such as 2027-05-01."""

MADE = "made-3.json"
"""Says of a plan when it was made; its number changes with what is kept of a plan."""

_KEY = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,58}[a-z0-9])?")
MOST_BEDS, MOST_REVISIONS = 500, 9999

AWAY = "put-away"
"""The folder, among those of the beds, of beds that were put away."""


class NoSuchBedError(LookupError):
    """The folder has no bed of a key, or the bed no revision of a number."""


class ChangedSinceError(Exception):
    """A change was asked for on a revision that is no longer the one in force."""

    def __init__(self, now: int) -> None:
        super().__init__(f"revision {now} is in force")
        self.now = now


class FullError(Exception):
    """There is no room for more beds, or for more revisions of one."""


@dataclass(frozen=True)
class Revision:
    """A state of a bed's brief: its number, the one it was made from, when, and what was said of
    the change."""

    number: int
    parent: int
    when: str
    said: str


class Beds:
    """The beds in a folder, which is made where it is not there."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self.folder.mkdir(parents=True, exist_ok=True)

    def all(self) -> list[Bed]:
        """Every bed, the one changed last first."""
        found = [self.folder / name for name in os.listdir(self.folder) if _KEY.fullmatch(name)]
        beds = [Bed(path) for path in found if _is_bed(path)]
        return sorted(beds, key=lambda bed: -(bed.folder / "now").stat().st_mtime)

    def one(self, key: str) -> Bed:
        """The bed of a key.  Raises NoSuchBedError."""
        folder = self.folder / key
        if not _KEY.fullmatch(key) or not _is_bed(folder):
            raise NoSuchBedError(key)
        return Bed(folder)

    @property
    def away(self) -> list[Bed]:
        """The beds that were put away, the one changed last first."""
        aside = Beds(self.folder / AWAY) if (self.folder / AWAY).is_dir() else None
        return [] if aside is None else aside.all()

    def put_away(self, key: str) -> None:
        """Take a bed out of the list; all of it is kept.  Raises NoSuchBedError."""
        bed = self.one(key)
        aside = self.folder / AWAY
        aside.mkdir(exist_ok=True)
        bed.folder.rename(aside / key)

    def put_back(self, key: str) -> Bed:
        """Take a bed that was put away into the list again.  Raises NoSuchBedError, and FullError
        where there is no room."""
        if not any(bed.key == key for bed in self.away):
            raise NoSuchBedError(key)
        if len(self.all()) >= MOST_BEDS:
            raise FullError(f"{MOST_BEDS} beds are in the folder")
        return Bed((self.folder / AWAY / key).rename(self.folder / key))

    def new(self, values: Values, said: str) -> Bed:
        """A bed with its first revision.  Raises FullError."""
        if len(self.all()) >= MOST_BEDS:
            raise FullError(f"{MOST_BEDS} beds are in the folder")
        name = slug(str(values.get("title", ""))) or "bed"
        for _ in range(50):
            folder = self.folder / f"{name}-{secrets.token_hex(2)}"
            try:
                folder.mkdir()
            except FileExistsError:
                continue
            bed = Bed(folder)
            bed.add(values, said, parent=0)
            return bed
        raise FullError("no free name for the bed")


def _is_bed(folder: Path) -> bool:
    """Whether a folder holds a bed; one that lies elsewhere and is only linked to does not."""
    return not folder.is_symlink() and (folder / "now").is_file()


def slug(text: str) -> str:
    """A text as part of a file name: ``Beet am Zaun`` to ``beet-am-zaun``."""
    plain = unicodedata.normalize("NFKD", text.casefold()).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-")


_LOCKS: dict[Path, threading.Lock] = {}


@dataclass(frozen=True)
class Bed:
    """One bed of the folder."""

    folder: Path

    @property
    def key(self) -> str:
        """What it is called in addresses: the name of its folder."""
        return self.folder.name

    @property
    def now(self) -> int:
        """The number of the revision in force."""
        return int((self.folder / "now").read_text())

    def values(self, number: int | None = None) -> Values:
        """The brief of a revision, else of the one in force.  Raises NoSuchBedError."""
        path = self._revision(self.now if number is None else number)
        try:
            found: Values = plain(tomllib.loads(path.read_text(encoding="utf-8")))
        except FileNotFoundError:
            raise NoSuchBedError(f"{self.key}, revision {number}") from None
        return found

    def toml(self, number: int | None = None) -> bytes:
        """The brief of a revision as its file has it."""
        return self._revision(self.now if number is None else number).read_bytes()

    def plan_folder(self, number: int) -> Path:
        """Where what is worked out from a revision lies."""
        return self.folder / "plans" / f"{number:04}"

    def has_plan(self, number: int) -> bool:
        """Whether a revision's plan is worked out, and kept as this version keeps plans."""
        return (self.plan_folder(number) / MADE).is_file()

    @property
    def planned(self) -> list[int]:
        """The revisions whose plans are worked out."""
        return sorted(
            int(path.parent.name) for path in (self.folder / "plans").glob(f"[0-9]*/{MADE}")
        )

    @property
    def revisions(self) -> list[Revision]:
        """All of them, in the order in which they were made."""
        found = {}
        for line in (self.folder / "log.jsonl").read_text(encoding="utf-8").split("\n"):
            try:
                one = Revision(**json.loads(line))
            except ValueError:
                continue  # half a line: the program was ended as it wrote
            found[one.number] = one
        return list(found.values())

    def change(self, on: int, values: Values, said: str) -> int:
        """Put a changed brief in force; its number.

        Raises ChangedSinceError where ``on``, the revision it was made from, is no longer in force.
        """
        with self._lock():
            if on != self.now:
                raise ChangedSinceError(self.now)
            if values == self.values(on):
                return on
            return self.add(values, said, parent=on)

    def add(self, values: Values, said: str, parent: int) -> int:
        """Write a revision and put it in force; its number."""
        number = 1 + max(self._numbers(), default=0)
        if number > MOST_REVISIONS:
            raise FullError(f"{MOST_REVISIONS} revisions of a bed are kept")
        put(self._revision(number), tomli_w.dumps(values).encode())
        when = datetime.now().astimezone().isoformat(timespec="seconds")
        line = {"number": number, "parent": parent, "when": when, "said": said[:300]}
        with (self.folder / "log.jsonl").open("a", encoding="utf-8") as log:
            # A line of its own, even after half a one.
            log.write("\n" + json.dumps(line, ensure_ascii=False) + "\n")
        self._put_in_force(number)
        return number

    def undo(self, on: int) -> int:
        """Go back to the revision from which the one in force was made.  Raises as ``change``."""
        with self._lock():
            if on != self.now:
                raise ChangedSinceError(self.now)
            parent = next(r.parent for r in self.revisions if r.number == on)
            if parent:
                self._put_in_force(parent)
            return parent or on

    def redo(self, on: int) -> int:
        """Go on to the latest revision made from the one in force.  Raises as ``change``."""
        with self._lock():
            if on != self.now:
                raise ChangedSinceError(self.now)
            children = [r.number for r in self.revisions if r.parent == on]
            if children:
                self._put_in_force(children[-1])
            return children[-1] if children else on

    def _lock(self) -> threading.Lock:
        return _LOCKS.setdefault(self.folder, threading.Lock())

    def _revision(self, number: int) -> Path:
        return self.folder / f"{number:04}.toml"

    def _numbers(self) -> Iterator[int]:
        return (int(path.stem) for path in self.folder.glob("[0-9][0-9][0-9][0-9].toml"))

    def _put_in_force(self, number: int) -> None:
        put(self.folder / "now", str(number).encode())


def put(path: Path, body: bytes) -> None:
    """Write a file whole, or not at all."""
    beside = path.with_name(f".{path.name}-{secrets.token_hex(4)}")
    try:
        beside.write_bytes(body)
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)


def plain(given: Any) -> Any:
    """Values of TOML with days as texts, so that they pass through JSON and back."""
    if isinstance(given, dict):
        return {key: plain(value) for key, value in given.items()}
    if isinstance(given, list | tuple):
        return [plain(value) for value in given]
    return given.isoformat() if isinstance(given, date) else given
