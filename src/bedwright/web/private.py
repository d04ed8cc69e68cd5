"""What is kept for sharing the page, in files that nobody else on the machine may read.

They lie in a folder of their own beside the beds, outside the store: neither ``backup`` nor
``export`` takes them along.
"""

from __future__ import annotations

from pathlib import Path

from bedwright.store import put

FOLDER = ".share"
"""Within the folder of beds."""


def private_folder(beds: Path) -> Path:
    """The folder, which is made where it is not there, and is not taken into a repository."""
    folder = beds / FOLDER
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    folder.chmod(0o700)
    (folder / ".gitignore").write_text("*\n", encoding="ascii")
    return folder


def write_private(path: Path, text: str) -> None:
    """Write a file whole, or not at all; it is its owner's alone (mode 0600) from the start."""
    put(path, text.encode(), mode=0o600)


def read_private(path: Path) -> str | None:
    """What a file holds; None where there is none.  Whoever else could read it no longer can."""
    try:
        path.chmod(0o600)
        return path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None
