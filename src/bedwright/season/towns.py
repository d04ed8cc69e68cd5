"""Find a town by name, offline.

The index (``data/towns.tsv.xz``) is packed from GeoNames by ``tools/pack_towns.py``: towns of 5,000
people and more, most people first, with their other names in Latin letters.
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


class TownNotFound(LookupError):
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
def _index() -> tuple[tuple[Town, ...], dict[str, tuple[int, ...]], dict[str, tuple[int, ...]]]:
    raw = files("bedwright.season").joinpath("data/towns.tsv.xz").read_bytes()
    towns: list[Town] = []
    main: dict[str, tuple[int, ...]] = {}
    other: dict[str, tuple[int, ...]] = {}
    for number, line in enumerate(lzma.decompress(raw).decode().split("\n")):
        name, country, region, lat, lon, zone, people, names = line.split("\t")
        towns.append(Town(name, country, region, float(lat), float(lon), zone, int(people)))
        key = fold(name)
        main[key] = (*main.get(key, ()), number)
        for alias in filter(None, names.split("|")):
            other[alias] = (*other.get(alias, ()), number)
    return tuple(towns), main, other


def find_town(query: str) -> tuple[Town, ...]:
    """Towns that answer to ``query``, likeliest first.

    ``query`` is a name, optionally followed by a comma and a country or US state:
    ``"Cork"``, ``"Cork, Ireland"``, ``"Portland, Maine"``.  Main names come before other names,
    then the larger town.  Raises TownNotFound, with names that begin alike.
    """
    towns, main, other = _index()
    name, *within = (fold(part) for part in query.split(","))
    wanted = [part for part in within if part]
    hits = [*main.get(name, ()), *(n for n in other.get(name, ()) if n not in main.get(name, ()))]

    def inside(town: Town) -> bool:
        places = {fold(town.country), fold(town.region)} | _SHORT.get(town.country, set())
        return all(part in places for part in wanted)

    found = tuple(towns[n] for n in hits if inside(towns[n]))
    if found:
        return found
    elsewhere = tuple(towns[n].label for n in hits[:3])
    begins = (t.label for t in towns if fold(t.name).startswith(name[:5]))
    raise TownNotFound(query, elsewhere or tuple(label for label, _ in zip(begins, range(3))))


_SHORT = {
    "United States": {"us", "usa"},
    "United Kingdom": {"uk", "gb", "great britain", "england", "scotland", "wales"},
    "New Zealand": {"nz", "aotearoa"},
}
