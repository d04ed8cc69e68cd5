"""The whole store in one file, and back; and in open formats, and back."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import secrets
import shutil
import zipfile
from datetime import UTC, date, datetime
from pathlib import Path, PurePosixPath
from typing import Any

from sqlalchemy import Table, insert, select

from bedwright.store.opening import FILE, Store, StoreError, copy_to, open_file
from bedwright.store.photos import FOLDER as PHOTOS
from bedwright.store.photos import NAME, Photo, bring_photo, sound_photos
from bedwright.store.pictures import ENDINGS
from bedwright.store.schema import BED, ENTRY, METADATA, PHOTO, REVISION

EXPORT = "garden.json"
SCHEMA = "bedwright-garden/1"
"""Name and version of the export's JSON."""

MOST_BYTES = 4_000_000_000
"""What a backup may hold when it is unpacked."""


def back_up(store: Store, path: Path) -> None:
    """Write the store and its photographs into one ZIP file, whole or not at all; photographs whose
    files are lost (``lost_photos``) are left out.  Raises StoreError and OSError."""
    beside = path.with_name(f".{path.name}-{secrets.token_hex(4)}")
    try:
        with zipfile.ZipFile(beside, "w", zipfile.ZIP_DEFLATED) as whole:
            whole.writestr(EXPORT, _json(store))
            for photo in sound_photos(store):
                name = f"{PHOTOS}/{photo.parent.name}/{photo.name}"
                whole.write(photo, name, zipfile.ZIP_STORED)
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)


def restore(backup: Path, folder: Path) -> Path | None:
    """Put a backup in a folder, as a file; where the store of that folder was put aside, if there
    was one.

    Nothing is touched unless the backup is sound.  Raises StoreError and OSError.  A store in
    PostgreSQL takes in a backup's ``garden.json`` (``take_in``).
    """
    folder = folder.resolve()
    fresh = folder.with_name(f".{folder.name}-{secrets.token_hex(4)}")
    try:
        _unpack(backup, fresh)
        store = open_file(fresh)
        try:
            take_in(store, fresh / EXPORT)
            copy_to(store, fresh / f"whole-{FILE}")
        finally:
            store.close()
    except BaseException:
        _away(fresh)
        raise
    aside = None
    folder.mkdir(parents=True, exist_ok=True)
    if (folder / FILE).exists():
        stamp = datetime.now(UTC).strftime("%Y-%m-%dT%H%M%SZ")
        aside = folder / f"{Path(FILE).stem}-before-{stamp}{Path(FILE).suffix}"
        os.replace(folder / FILE, aside)
        for end in ("-wal", "-shm"):
            if (folder / f"{FILE}{end}").exists():
                os.replace(folder / f"{FILE}{end}", f"{aside}{end}")
    for photo in sorted((fresh / PHOTOS).glob("*/*")):
        there = folder / PHOTOS / photo.parent.name / photo.name
        there.parent.mkdir(parents=True, exist_ok=True)
        os.replace(photo, there)
    os.replace(fresh / f"whole-{FILE}", folder / FILE)
    _away(fresh)
    return aside


def _unpack(backup: Path, into: Path) -> None:
    """Write the files of a backup, each under a name that a backup has, and no others."""
    into.mkdir(parents=True)
    try:
        with zipfile.ZipFile(backup) as whole:
            if sum(one.file_size for one in whole.infolist()) > MOST_BYTES:
                raise StoreError(f"{backup} is larger than any backup of a garden.")
            if EXPORT not in whole.namelist():
                raise StoreError(f"{backup} is no backup: it has no {EXPORT}.")
            for name in whole.namelist():
                photo = name.removeprefix(f"{PHOTOS}/")
                if name != EXPORT and not NAME.fullmatch(photo):
                    raise StoreError(f"{backup} is no backup: it has {name[:100]!r}.")
                path = into / PurePosixPath(name)
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(whole.read(name))
                if name != EXPORT and hashlib.sha256(path.read_bytes()).hexdigest() != path.stem:
                    raise StoreError(f"{backup} is damaged: {name} is not what it was.")
    except zipfile.BadZipFile as error:
        raise StoreError(f"{backup} is no backup, or damaged: {error}.") from error


def _away(folder: Path) -> None:
    shutil.rmtree(folder, ignore_errors=True)


def export_to(store: Store, folder: Path) -> None:
    """Everything in open formats: ``garden.json`` (which ``take_in`` reads), each table as CSV, the
    briefs in force as TOML, each bed's journal as a calendar, and the photographs as they are.
    Raises StoreError and OSError, FileExistsError where there is something in the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise FileExistsError(17, "is not empty; name a new folder", str(folder))
    rows = _rows(store)
    (folder / EXPORT).write_text(_json(store), encoding="utf-8")
    for table in METADATA.sorted_tables:
        (folder / f"{table.name}.csv").write_text(_csv(table, rows[table.name]), encoding="utf-8")
    briefs = {(row["bed"], row["number"]): row["brief"] for row in rows[REVISION.name]}
    for bed in rows[BED.name]:
        (folder / f"{bed['id']}.toml").write_text(briefs[bed["id"], bed["now"]], encoding="utf-8")
        (folder / f"{bed['id']}.ics").write_bytes(_calendar(bed["id"], rows[ENTRY.name]))
    for photo in sound_photos(store):
        to = folder / PHOTOS / photo.parent.name / photo.name
        to.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(photo, to)


def _json(store: Store) -> str:
    return json.dumps({"schema": SCHEMA, **_rows(store)}, ensure_ascii=False, indent=1)


def _rows(store: Store) -> dict[str, list[dict[str, Any]]]:
    """Every row by table, in the order in which they can be written again."""
    found = {}
    with store.reading() as connection:
        for table in METADATA.sorted_tables:
            order = ENTRY.c.number if table is ENTRY else next(iter(table.primary_key))
            rows = connection.execute(select(table).order_by(order))
            found[table.name] = [dict(row._mapping) for row in rows]
    return found


def _csv(table: Table, rows: list[dict[str, Any]]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, [column.name for column in table.columns])
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def _calendar(bed: str, rows: list[dict[str, Any]]) -> bytes:
    """A bed's entries as days of a calendar (RFC 5545)."""
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", "-//Bedwright//journal//EN")
    calendar.add("version", "2.0")
    corrected = {row["corrects"] for row in rows}
    for row in rows:
        if row["bed"] != bed or row["withdrawn"] or row["id"] in corrected:
            continue
        event = Event()
        event.add("uid", f"{row['id']}@bedwright")
        event.add("dtstamp", datetime.fromisoformat(row["at"]))
        event.add("dtstart", date.fromisoformat(row["day"]))
        what = str(row["what"]).replace("_", " ")
        event.add("summary", row["text"] or f"{what} {row['kind'] or ''}".strip())
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def take_in(store: Store, path: Path) -> dict[str, int]:
    """Write the rows of an export's ``garden.json`` into a store, those that are there already
    apart, and bring the photographs that lie beside it; how many rows were new, by table.  All of
    them or none.  Raises StoreError."""
    try:
        given = json.loads(path.read_text(encoding="utf-8"))
        rows = {table.name: list(given[table.name]) for table in METADATA.sorted_tables}
        known = given["schema"] == SCHEMA
    except (ValueError, KeyError, TypeError) as error:
        raise StoreError(f"{path} is no export of a garden: {type(error).__name__} {error}"
                         ) from error  # fmt: skip
    if not known:
        raise StoreError(f"{path}: given {given['schema']!r}; accepted: {SCHEMA!r}.")
    new = {}
    with store.writing() as connection:
        for table in METADATA.sorted_tables:
            names = {column.name for column in table.columns}
            keys = [column.name for column in table.primary_key]
            had = {tuple(row) for row in connection.execute(select(*table.primary_key))}
            fresh = []
            for row in rows[table.name]:
                if not isinstance(row, dict) or set(row) != names:
                    raise StoreError(f"{path}: a row of {table.name} has other fields than these:"
                                     f" {', '.join(sorted(names))}.")  # fmt: skip
                if tuple(row[key] for key in keys) not in had:
                    fresh.append(row)
            if table is PHOTO:
                for row in fresh:
                    bring_photo(store, _photo_in(path, row), path.parent / PHOTOS)
            if fresh:
                connection.execute(insert(table), fresh)
            new[table.name] = len(fresh)
    return new


def _photo_in(path: Path, row: dict[str, Any]) -> Photo:
    """A row of the table of photographs in an export.  Raises StoreError."""
    photo, known = Photo(**row), row["type"] in ENDINGS and isinstance(row["sha256"], str)
    if not known or not NAME.fullmatch(photo.name):
        raise StoreError(f"{path}: a photograph {str(row['sha256'])[:80]!r} of type"
                         f" {str(row['type'])[:40]!r}; accepted: a SHA-256 in hexadecimal, and one"
                         f" of {', '.join(ENDINGS)}.")  # fmt: skip
    return photo
