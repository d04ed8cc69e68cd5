"""Files that are written whole, or not at all."""

from __future__ import annotations

import os
import secrets
from pathlib import Path


def put(path: Path, body: bytes, mode: int = 0o666) -> None:
    """Write a file beside, see it to the disk, and put it in its place.  ``mode``: who may read and
    write it, from the start and as far as the umask lets them."""
    beside = path.with_name(f".{path.name}-{secrets.token_hex(4)}")
    try:
        with open(beside, "xb", opener=lambda name, flags: os.open(name, flags, mode)) as file:
            file.write(body)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)
