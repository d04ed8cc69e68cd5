"""Who is logged in to a shared page: on this side only the hashes of what their browsers hold."""

from __future__ import annotations

import hashlib
import json
import secrets
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from bedwright.web.private import private_folder, read_private, write_private

DAY_S = 86_400
MOST_LIFE_S = 30 * DAY_S
"""From logging in: NIST SP 800-63B-4, section 2.1.3, names 30 days at most."""

MOST_IDLE_S = 14 * DAY_S
"""Without a request: a phone that is not used for a fortnight.  Common practice, no source."""

MOST_SESSIONS = 100
"""At once; the one that was used least lately goes."""

NOTED_EVERY_S = 3600
"""How exactly it is written down when a session was last used."""


@dataclass(frozen=True)
class _Session:
    begun: float
    used: float


class Sessions:
    """The sessions of a folder of beds.  They outlast the process: a phone need not log in again
    because the page was started again."""

    def __init__(self, beds: Path, now: Callable[[], float] = time.time) -> None:
        """``now``: seconds since 1970."""
        self._path, self._now = private_folder(beds) / "sessions.json", now
        self._held = self._read()

    def begin(self) -> str:
        """Begin a session; the secret of 256 bits that its browser is to hold."""
        secret = secrets.token_urlsafe(32)
        moment = self._now()
        self._held[_hash(secret)] = _Session(moment, moment)
        self._write()
        return secret

    def alive(self, secret: str) -> bool:
        """Whether a secret is that of a session; which is used by asking."""
        named = _hash(secret)
        found, moment = self._held.get(named), self._now()
        if found is None or not _lives(found, moment):
            return False
        if moment - found.used >= NOTED_EVERY_S:
            self._held[named] = replace(found, used=moment)
            self._write()
        return True

    def end(self, secret: str) -> None:
        """End a session."""
        if self._held.pop(_hash(secret), None) is not None:
            self._write()

    def end_all(self) -> None:
        """End every session."""
        self._held.clear()
        self._write()

    def _read(self) -> dict[str, _Session]:
        """The sessions kept; none where the file is damaged: then everyone logs in again."""
        try:
            given = json.loads(read_private(self._path) or "{}")
            return {
                str(name): _Session(float(one["begun"]), float(one["used"]))
                for name, one in given.items()
            }
        except (ValueError, KeyError, TypeError, AttributeError):
            return {}

    def _write(self) -> None:
        moment = self._now()
        lately = sorted(self._held.items(), key=lambda one: -one[1].used)[:MOST_SESSIONS]
        self._held = {name: one for name, one in lately if _lives(one, moment)}
        kept = {name: {"begun": one.begun, "used": one.used} for name, one in self._held.items()}
        write_private(self._path, json.dumps(kept, indent=1))


def _lives(one: _Session, moment: float) -> bool:
    return moment - one.begun < MOST_LIFE_S and moment - one.used < MOST_IDLE_S


def _hash(secret: str) -> str:
    """SHA-256: enough for what is random already (a password is not, and has another)."""
    return hashlib.sha256(secret.encode()).hexdigest()
