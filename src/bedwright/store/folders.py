"""Beds kept in folders, as they were before there was a store: taken in once, left as they are.

A bed was a folder: ``0001.toml``, ``0002.toml`` ... its revisions, ``log.jsonl`` when each was
made, from which, and what was changed; ``now`` held the number of the one in force.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, insert, select

from bedwright.store.opening import Store, now
from bedwright.store.schema import BED, REVISION

AWAY = "put-away"


def take_in_folders(store: Store, garden: str) -> None:
    """Take in every bed in the store's folder that lies there in files and is not in the store."""
    folders = [(path, False) for path in _in(store.folder)]
    folders += [(path, True) for path in _in(store.folder / AWAY)]
    if not folders:
        return
    with store.writing() as connection:
        known = set(connection.execute(select(BED.c.id)).scalars())
        for path, away in folders:
            if path.name not in known:
                _take_in(connection, path, away, garden)


def _in(folder: Path) -> list[Path]:
    """The folders of beds in a folder; links to such elsewhere are none."""
    if not folder.is_dir():
        return []
    named = [one for one in sorted(folder.iterdir()) if not one.is_symlink()]
    return [one for one in named if all((one / name).is_file() for name in ("now", "log.jsonl"))]


def _take_in(connection: Connection, folder: Path, away: bool, garden: str) -> None:
    said = {}
    for line in (folder / "log.jsonl").read_text(encoding="utf-8").split("\n"):
        try:
            one = json.loads(line)
            said[int(one["number"])] = one
        except (ValueError, KeyError, TypeError):
            continue  # half a line: the program was ended as it wrote
    rows = [
        {
            "bed": folder.name,
            "number": number,
            "parent": int(one["parent"]),
            "made_at": _utc(str(one["when"])),
            "said": str(one["said"])[:300],
            "brief": brief.read_text(encoding="utf-8"),
        }
        for number, one in sorted(said.items())
        if (brief := folder / f"{number:04}.toml").is_file()
    ]
    in_force = int((folder / "now").read_text())
    if in_force not in {row["number"] for row in rows}:
        return
    moments = rows[0]["made_at"], rows[-1]["made_at"]
    bed = {"id": folder.name, "garden": garden, "away": int(away), "now": in_force}
    connection.execute(insert(BED).values(**bed, made_at=moments[0], changed_at=moments[1]))
    connection.execute(insert(REVISION), rows)


def _utc(when: str) -> str:
    try:
        return datetime.fromisoformat(when).astimezone(UTC).isoformat(timespec="milliseconds")
    except ValueError:
        return now()
