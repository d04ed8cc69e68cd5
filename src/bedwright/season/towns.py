"""Find a town by name, offline.

The index (``data/towns.tsv.xz``) is packed from GeoNames by ``tools/pack_towns.py``: towns of 5,000
people and more, most people first, with their other names in Latin letters.  It is searched as one
text: building dictionaries of it would take longer than the question.
"""

from __future__ import annotations

import lzma
import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class Town:
    """A town of the index; latitude and longitude in degrees, north and east positive."""

    name: str
    country: str
    region: str
    latitude: float
    longitude: float
    timezone: str
    population: int

    @property
    def label(self) -> str:
        """Name as printed: town, region where known, country."""
        return ", ".join(part for part in (self.name, self.region, self.country) if part)


class TownNotFoundError(LookupError):
    """No town of that name; ``near`` lists names that begin alike."""

    def __init__(self, query: str, near: tuple[str, ...] = ()) -> None:
        self.query, self.near = query, near
        super().__init__(f"no town called {query!r} in the index (towns of 5,000 people and more)")


def fold(text: str) -> str:
    """Lower case without accents, hyphens or doubled blanks: ``São Paulo`` to ``sao paulo``."""
    text = text.replace("ß", "ss").replace("ø", "o").replace("Ø", "O").replace("ł", "l")
    plain = unicodedata.normalize("NFKD", text)
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(plain.casefold().replace("-", " ").replace("\u2019", "'").split())


@cache
def _index() -> str:
    """All lines of the index, each between line feeds."""
    raw = files("bedwright.season").joinpath("data/towns.tsv.xz").read_bytes()
    return "\n" + lzma.decompress(raw).decode() + "\n"


def _lines_with(mark: str) -> list[str]:
    """Lines of the index that hold ``mark``, in the index's order."""
    text, out, at = _index(), [], 0
    while (at := text.find(mark, at)) >= 0:
        start = text.rfind("\n", 0, at + 1) + 1
        end = text.index("\n", at + 1)
        out.append(text[start:end])
        at = end
    return out


def _town(line: str) -> Town:
    _, name, country, region, lat, lon, zone, people, _ = line.split("\t")
    return Town(name, country, region, float(lat), float(lon), zone, int(people))


def find_town(query: str) -> tuple[Town, ...]:
    """Towns that answer to ``query``, likeliest first.

    ``query`` is a name, optionally followed by a comma and a country or US state:
    ``"Cork"``, ``"Cork, Ireland"``, ``"Portland, Maine"``.  Towns of that main name come first, the
    larger before the smaller; only where there is none are other names looked at.  Raises
    TownNotFoundError, with names that begin alike.
    """
    name, *within = (fold(part) for part in query.split(","))
    wanted = [part for part in within if part]
    hits: list[Town] = []
    for mark in (f"\n{name}\t", f"|{name}|") if name else ():
        towns = [_town(line) for line in _lines_with(mark)]
        found = tuple(town for town in towns if all(part in _places(town) for part in wanted))
        if found:
            return found
        hits += towns
    elsewhere = tuple(town.label for town in hits[:3])
    raise TownNotFoundError(query, elsewhere or _begin_alike(name))


def _begin_alike(name: str) -> tuple[str, ...]:
    """Three towns that share the name's beginning, as long a beginning as any shares."""
    for letters in range(len(name), 2, -1):
        lines = _lines_with(f"\n{name[:letters]}")
        if lines:
            return tuple(_town(line).label for line in lines[:3])
    return ()


def _places(town: Town) -> set[str]:
    """Words that may follow a town's name to tell it apart."""
    return {fold(town.country), fold(town.region)} | _SHORT.get(town.country, set())


_SHORT = {
    "United States": {"us", "usa"},
    "United Kingdom": {"uk", "gb", "great britain", "england", "scotland", "wales"},
    "New Zealand": {"nz", "aotearoa"},
}
