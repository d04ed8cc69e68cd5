"""Beds in the store: each one's briefs, revision by revision, as TOML.

No revision is ever changed or taken out.  Undoing puts the one before in force again.  What is
worked out from a revision lies in the bed's folder, ``plans/0002``, and can be worked out again.  A
file takes its place by renaming, whole or not at all.
"""

from __future__ import annotations

import re
import secrets
import tomllib
import unicodedata
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import tomli_w
from sqlalchemy import Connection, func, insert, select, update

from bedwright.store.folders import take_in_folders
from bedwright.store.opening import Store, now, open_store
from bedwright.store.schema import BED, GARDEN, REVISION

Values = dict[str, Any]
"""A brief's tables as plain values, as TOML has them; days are texts such as 2027-05-01."""

MADE = "made-4.json"
"""Says of a plan when it was made; its number changes with what is kept of a plan."""

_KEY = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,58}[a-z0-9])?")
MOST_BEDS, MOST_REVISIONS = 500, 9999
GARDEN_ID = "garden"


class NoSuchBedError(LookupError):
    """The store has no bed of a key, or the bed no revision of a number."""


class ChangedSinceError(Exception):
    """A change was asked for on a revision that is no longer the one in force."""

    def __init__(self, now: int) -> None:
        super().__init__(f"revision {now} is in force")
        self.now = now


class FullError(Exception):
    """There is no room for more beds, or for more revisions of one."""


@dataclass(frozen=True)
class Revision:
    """A state of a bed's brief: its number, the one it was made from, when (UTC, ISO 8601), and
    what was said of the change."""

    number: int
    parent: int
    when: str
    said: str


class Beds:
    """The beds of the store in a folder, which is made where it is not there; beds that lie there
    in files, as they once were kept, are taken in.  ``url`` as in ``open_store``.  Raises
    StoreError."""

    def __init__(self, folder: Path, url: str | None = None) -> None:
        self.store = open_store(folder, url)
        self.folder = self.store.folder
        with self.store.writing() as connection:
            if connection.execute(select(GARDEN.c.id)).first() is None:
                made = {"id": GARDEN_ID, "name": "Garden", "made_at": now()}
                connection.execute(insert(GARDEN).values(made))
        take_in_folders(self.store, GARDEN_ID)

    def all(self) -> list[Bed]:
        """Every bed, the one changed last first."""
        return self._beds(away=False)

    @property
    def away(self) -> list[Bed]:
        """The beds that were put away, the one changed last first."""
        return self._beds(away=True)

    def _beds(self, away: bool) -> list[Bed]:
        query = select(BED.c.id).where(BED.c.away == int(away))
        query = query.order_by(BED.c.changed_at.desc(), BED.c.id)
        with self.store.reading() as connection:
            return [Bed(self.store, key) for key in connection.execute(query).scalars()]

    def one(self, key: str) -> Bed:
        """The bed of a key.  Raises NoSuchBedError."""
        query = select(BED.c.id).where(BED.c.id == key, BED.c.away == 0)
        with self.store.reading() as connection:
            if not _KEY.fullmatch(key) or connection.execute(query).one_or_none() is None:
                raise NoSuchBedError(key)
        return Bed(self.store, key)

    def put_away(self, key: str) -> None:
        """Take a bed out of the list; all of it is kept.  Raises NoSuchBedError."""
        self._move(key, away=True)

    def put_back(self, key: str) -> Bed:
        """Take a bed that was put away into the list again.  Raises NoSuchBedError, and FullError
        where there is no room."""
        self._move(key, away=False)
        return Bed(self.store, key)

    def _move(self, key: str, away: bool) -> None:
        with self.store.writing() as connection:
            if not away:
                _check_room(connection)
            there = update(BED).where(BED.c.id == key, BED.c.away == int(not away))
            if connection.execute(there.values(away=int(away))).rowcount == 0:
                raise NoSuchBedError(key)

    def new(self, values: Values, said: str, key: str | None = None) -> Bed:
        """A bed with its first revision; ``key``: what it is called, else by its title.  Raises
        FullError."""
        key = key or f"{slug(str(values.get('title', ''))) or 'bed'}-{secrets.token_hex(3)}"
        with self.store.writing() as connection:
            _check_room(connection)
            moment = now()
            made = {"id": key, "garden": GARDEN_ID, "made_at": moment, "changed_at": moment}
            connection.execute(insert(BED).values(**made, now=1))
            _add(connection, key, 1, 0, values, said)
        return Bed(self.store, key)

    def close(self) -> None:
        """Let go of the store's file."""
        self.store.close()


def every_bed(store: Store) -> list[Bed]:
    """Every bed of a store, by key, also those that were put away."""
    with store.reading() as connection:
        return [
            Bed(store, key)
            for key in connection.execute(select(BED.c.id).order_by(BED.c.id)).scalars()
        ]


def _check_room(connection: Connection) -> None:
    """Raises FullError."""
    query = select(func.count()).select_from(BED).where(BED.c.away == 0)
    if connection.execute(query).scalar_one() >= MOST_BEDS:
        raise FullError(f"{MOST_BEDS} beds are in the folder")


def _add(
    connection: Connection, key: str, number: int, parent: int, values: Values, said: str
) -> None:
    if number > MOST_REVISIONS:
        raise FullError(f"{MOST_REVISIONS} revisions of a bed are kept")
    row = {
        "bed": key,
        "number": number,
        "parent": parent,
        "made_at": now(),
        "said": shown(said)[:300],
    }
    connection.execute(insert(REVISION).values(**row, brief=tomli_w.dumps(values)))


def shown(text: str) -> str:
    """A text without the one sign that not every database can keep."""
    return text.replace("\0", "\ufffd")


def slug(text: str) -> str:
    """A text as part of a file name: ``Beet am Zaun`` to ``beet-am-zaun``."""
    plain = unicodedata.normalize("NFKD", text.casefold()).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-")


@dataclass(frozen=True)
class Bed:
    """One bed of the store; ``key``: what it is called in addresses."""

    store: Store
    key: str

    @property
    def folder(self) -> Path:
        """Where what is worked out lies."""
        return self.store.folder / self.key

    @property
    def now(self) -> int:
        """The number of the revision in force."""
        with self.store.reading() as connection:
            return _now(connection, self.key)

    def values(self, number: int | None = None) -> Values:
        """The brief of a revision, else of the one in force.  Raises NoSuchBedError."""
        found: Values = plain(tomllib.loads(self._brief(number)))
        return found

    def toml(self, number: int | None = None) -> bytes:
        """The brief of a revision as TOML.  Raises NoSuchBedError."""
        return self._brief(number).encode()

    def _brief(self, number: int | None) -> str:
        with self.store.reading() as connection:
            number = _now(connection, self.key) if number is None else number
            return _brief(connection, self.key, number)

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
        columns = REVISION.c.number, REVISION.c.parent, REVISION.c.made_at, REVISION.c.said
        query = select(*columns).where(REVISION.c.bed == self.key).order_by(REVISION.c.number)
        with self.store.reading() as connection:
            return [Revision(*row) for row in connection.execute(query)]

    def change(self, on: int, values: Values, said: str) -> int:
        """Put a changed brief in force; its number.

        Raises ChangedSinceError where ``on``, the revision it was made from, is no longer in force,
        and FullError.
        """
        with self.store.writing() as connection:
            _check_now(connection, self.key, on)
            if values == plain(tomllib.loads(_brief(connection, self.key, on))):
                return on
            query = select(func.max(REVISION.c.number)).where(REVISION.c.bed == self.key)
            number = int(connection.execute(query).scalar_one()) + 1
            _add(connection, self.key, number, on, values, said)
            _put_in_force(connection, self.key, number)
            return number

    def undo(self, on: int) -> int:
        """Go back to the revision from which the one in force was made.  Raises as ``change``."""
        query = select(REVISION.c.parent).where(REVISION.c.bed == self.key,
                                                REVISION.c.number == on)  # fmt: skip
        with self.store.writing() as connection:
            _check_now(connection, self.key, on)
            parent = int(connection.execute(query).scalar_one())
            if parent:
                _put_in_force(connection, self.key, parent)
            return parent or on

    def redo(self, on: int) -> int:
        """Go on to the latest revision made from the one in force.  Raises as ``change``."""
        query = select(func.max(REVISION.c.number)).where(REVISION.c.bed == self.key,
                                                          REVISION.c.parent == on)  # fmt: skip
        with self.store.writing() as connection:
            _check_now(connection, self.key, on)
            child = connection.execute(query).scalar()
            if child is not None:
                _put_in_force(connection, self.key, int(child))
            return on if child is None else int(child)


def _now(connection: Connection, key: str) -> int:
    found = connection.execute(select(BED.c.now).where(BED.c.id == key)).scalar()
    if found is None:
        raise NoSuchBedError(key)
    return int(found)


def _check_now(connection: Connection, key: str, on: int) -> None:
    found = _now(connection, key)
    if on != found:
        raise ChangedSinceError(found)


def _brief(connection: Connection, key: str, number: int) -> str:
    query = select(REVISION.c.brief).where(REVISION.c.bed == key, REVISION.c.number == number)
    found = connection.execute(query).scalar()
    if found is None:
        raise NoSuchBedError(f"{key}, revision {number}")
    return str(found)


def _put_in_force(connection: Connection, key: str, number: int) -> None:
    there = update(BED).where(BED.c.id == key)
    connection.execute(there.values(now=number, changed_at=now()))


def plain(given: Any) -> Any:
    """Values of TOML with days as texts, so that they pass through JSON and back."""
    if isinstance(given, dict):
        return {key: plain(value) for key, value in given.items()}
    if isinstance(given, list | tuple):
        return [plain(value) for value in given]
    return given.isoformat() if isinstance(given, date) else given
