"""Data files of many parts, each compressed by itself, so that one is read without the others.

Layout: ``BWP1``; the number of parts; the size of each as it is packed; then the parts themselves,
one after another, each by zlib.  Numbers are uint32, low byte first; an empty part has no bytes.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Sequence
from importlib.resources import files
from itertools import accumulate

MARK = b"BWP1"


class Packed:
    """A packed file of this package, by its name."""

    def __init__(self, name: str) -> None:
        self._path = files("bedwright.climate").joinpath(name)
        with self._path.open("rb") as file:
            mark, count = struct.unpack("<4sI", file.read(8))
            if mark != MARK:
                raise ValueError(f"{name} is no packed file")
            self._sizes = struct.unpack(f"<{count}I", file.read(4 * count))
        self._starts = list(accumulate(self._sizes, initial=8 + 4 * count))

    def __len__(self) -> int:
        return len(self._sizes)

    def part(self, number: int) -> bytes:
        """One part."""
        if self._sizes[number] == 0:
            return b""
        with self._path.open("rb") as file:
            file.seek(self._starts[number])
            return zlib.decompress(file.read(self._sizes[number]))


def packed(parts: Sequence[bytes]) -> bytes:
    """The bytes of a packed file of these parts."""
    bodies = [zlib.compress(part, 9) if part else b"" for part in parts]
    head = struct.pack(f"<4sI{len(bodies)}I", MARK, len(bodies), *map(len, bodies))
    return head + b"".join(bodies)
