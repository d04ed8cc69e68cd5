"""Photographs in the store: files under their hash, each there before the row that names it.

A file is written beside, brought to the disk and renamed; only then is its row written.  So a row
without its file means that the file was taken away or altered later, and that is said of it.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

from sqlalchemy import insert, select

from bedwright.brief import Fault
from bedwright.store.files import put
from bedwright.store.opening import Store, StoreError, now
from bedwright.store.pictures import ENDINGS, picture_type, taken_on
from bedwright.store.schema import PHOTO

FOLDER = "photos"
"""In the store's folder; in it ``ab/ab12....jpg``."""

MOST_PHOTO = 25_000_000
ACCEPTED = f"a JPEG, PNG, WebP or HEIC photograph of up to {MOST_PHOTO / 1e6:g} MB"

NAME = re.compile(rf"[0-9a-f]{{2}}/([0-9a-f]{{64}})\.(?:{'|'.join(ENDINGS.values())})")
"""A photograph's file in FOLDER."""


class PhotoError(ValueError):
    """What was given is no photograph that can be kept; ``fault`` says what is accepted."""

    def __init__(self, given: str) -> None:
        self.fault = Fault("photo", given, ACCEPTED)
        super().__init__(f"photo: given {self.fault.given}; accepted: {ACCEPTED}")


class NoSuchPhotoError(LookupError):
    """The store has no photograph of a hash."""


class LostPhotoError(StoreError):
    """The file of a photograph is missing, or not what it was; its hash is named."""


@dataclass(frozen=True)
class Photo:
    """A photograph that is kept: the SHA-256 of its file in hexadecimal, its media type, its size,
    and when it was kept (UTC, ISO 8601)."""

    sha256: str
    type: str
    bytes: int
    made_at: str

    @property
    def name(self) -> str:
        """Its file, from the folder of photographs on."""
        return f"{self.sha256[:2]}/{self.sha256}.{ENDINGS[self.type]}"


@dataclass(frozen=True)
class Picture:
    """A photograph before it is kept: its file's ``body``, what there is to say of it, and the day
    on which it says that it was taken."""

    body: bytes
    photo: Photo
    taken: date | None


def picture_of(given: Path | bytes) -> Picture:
    """A photograph, looked at and not yet kept.  Raises PhotoError, and OSError where a file cannot
    be opened."""
    body = given if isinstance(given, bytes) else _read(given)
    kind = picture_type(body)
    if not body:
        raise PhotoError("an empty file")
    if len(body) > MOST_PHOTO:
        raise PhotoError(f"{len(body) / 1e6:.1f} MB")
    if kind is None:
        raise PhotoError(f"a file that begins with {body[:8].decode('latin-1')!r}")
    sha256 = hashlib.sha256(body).hexdigest()
    return Picture(body, Photo(sha256, kind, len(body), now()), taken_on(body))


def _read(path: Path) -> bytes:
    if not stat.S_ISREG(path.stat().st_mode):
        raise PhotoError("a folder, a device or a pipe")
    with path.open("rb") as file:
        body = file.read(MOST_PHOTO + 1)
    if len(body) > MOST_PHOTO:
        raise PhotoError(f"a file of {path.stat().st_size / 1e6:.1f} MB")
    return body


def keep_photo(store: Store, given: Picture | Path | bytes) -> Photo:
    """Keep a photograph, whole or not at all; the same one twice is one file.  Raises PhotoError,
    StoreError, and OSError where a file cannot be opened."""
    picture = given if isinstance(given, Picture) else picture_of(given)
    photo = picture.photo
    if not _is_sound(store.folder / FOLDER / photo.name):
        _put(store, photo.name, picture.body)
    with store.writing() as connection:
        query = select(PHOTO).where(PHOTO.c.sha256 == photo.sha256)
        had = connection.execute(query).one_or_none()
        if had is not None:
            return Photo(**had._mapping)
        connection.execute(insert(PHOTO).values(asdict(photo)))
    return photo


def kept_photo(store: Store, sha256: str) -> Photo:
    """What is kept of a photograph beside its file, by its hash.  Raises NoSuchPhotoError."""
    with store.reading() as connection:
        row = connection.execute(select(PHOTO).where(PHOTO.c.sha256 == sha256)).one_or_none()
    if row is None:
        raise NoSuchPhotoError(sha256)
    return Photo(**row._mapping)


def photo_of(store: Store, sha256: str) -> Picture:
    """A photograph by its hash.  Raises NoSuchPhotoError; LostPhotoError where its file is missing
    or altered."""
    photo = kept_photo(store, sha256)
    path = store.folder / FOLDER / photo.name
    try:
        body = path.read_bytes()
    except FileNotFoundError:
        raise LostPhotoError(_lost(path, "is missing")) from None
    if hashlib.sha256(body).hexdigest() != sha256:
        raise LostPhotoError(_lost(path, "is not what it was"))
    return Picture(body, photo, taken_on(body))


def _lost(path: Path, what: str) -> str:
    return (
        f"The photograph {path.stem} {what}: {path}. Put the file back from a backup; the journal"
        " is as it was."
    )


def sound_photos(store: Store) -> list[Path]:
    """The files of all photographs that are what their names say, in the order of their names."""
    found = sorted((store.folder / FOLDER).glob("*/*"))
    return [path for path in found if _is_sound(path)]


def lost_photos(store: Store) -> list[str]:
    """The hashes of photographs whose files are missing or not what they were."""
    with store.reading() as connection:
        rows = connection.execute(select(PHOTO).order_by(PHOTO.c.made_at, PHOTO.c.sha256))
        photos = [Photo(**row._mapping) for row in rows]
    folder = store.folder / FOLDER
    return [photo.sha256 for photo in photos if not _is_sound(folder / photo.name)]


def _is_sound(path: Path) -> bool:
    if not NAME.fullmatch(f"{path.parent.name}/{path.name}") or not path.is_file():
        return False
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest() == path.stem


def bring_photo(store: Store, photo: Photo, folder: Path) -> None:
    """Put a photograph's file among those of a store, from another FOLDER; one that is missing or
    not what its name says is left out.  Raises StoreError."""
    from_, to = folder / photo.name, store.folder / FOLDER / photo.name
    if not _is_sound(to) and _is_sound(from_):
        _put(store, photo.name, from_.read_bytes())


def _put(store: Store, name: str, body: bytes) -> None:
    """Write a photograph's file whole, or not at all, and see it to the disk."""
    path = store.folder / FOLDER / name
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        put(path, body)
        for folder in (path.parent, path.parent.parent, store.folder):
            _see_to_disk(folder)
    except OSError as error:
        raise StoreError(f"The photograph cannot be written to {path}: {error.strerror}") from error


def _see_to_disk(folder: Path) -> None:
    """See the names in a folder to the disk."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
