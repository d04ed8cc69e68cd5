"""Find a town by name, offline.

The index (``data/towns.tsv.gz``) is packed from GeoNames by ``tools/pack_towns.py``: towns of 5,000
people and more, most people first, with their heights and their other names in Latin letters.  It
is searched as one text: building dictionaries of it would take longer than the question.
"""

from __future__ import annotations

import difflib
import gzip
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from bedwright.facts import Fact, FactError


@dataclass(frozen=True, slots=True)
class Town:
    """A town of the index; latitude and longitude in degrees, north and east positive.

    ``altitude_m``: height of the ground, None where it is not known.
    """

    name: str
    country: str
    region: str
    latitude: float
    longitude: float
    timezone: str
    population: int
    altitude_m: float | None

    @property
    def label(self) -> str:
        """Name as printed: town, region where known, country; a city that is its country once."""
        parts = dict.fromkeys(part for part in (self.name, self.region, self.country) if part)
        return ", ".join(parts)


@dataclass(frozen=True)
class NoSuchTown(Fact):
    """No town of that name is in the index; ``near``: names spelt nearly so."""

    name: str
    near: tuple[str, ...]


class TownNotFoundError(FactError, LookupError):
    """No town of a name in the index."""

    fact: NoSuchTown

    def __init__(self, fact: NoSuchTown) -> None:
        super().__init__(fact)


def fold(text: str) -> str:
    """Lower case without accents, hyphens or doubled blanks: ``São Paulo`` to ``sao paulo``."""
    text = text.replace("ß", "ss").replace("ø", "o").replace("Ø", "O").replace("ł", "l")
    plain = unicodedata.normalize("NFKD", text)
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(plain.casefold().replace("-", " ").replace("\u2019", "'").split())


@cache
def _index() -> str:
    """All lines of the index, each between line feeds."""
    raw = files("bedwright.climate").joinpath("data/towns.tsv.gz").read_bytes()
    return "\n" + gzip.decompress(raw).decode() + "\n"


def _lines_with(mark: str) -> list[str]:
    """Lines of the index that hold ``mark``, in the index's order."""
    text, out, at = _index(), [], 0
    while (at := text.find(mark, at)) >= 0:
        start = text.rfind("\n", 0, at + 1) + 1
        end = text.index("\n", at + 1)
        out.append(text[start:end])
        at = end
    return out


COLUMNS = ("folded", "name", "country", "region", "latitude", "longitude", "timezone", "population",
           "height", "others")  # fmt: skip
"""Of a line of the index: ``folded`` is the name as ``fold`` has it, ``others`` the other names."""


def _town(line: str) -> Town:
    values = dict(zip(COLUMNS, line.split("\t"), strict=True))
    return Town(
        name=values["name"],
        country=values["country"],
        region=values["region"],
        latitude=float(values["latitude"]),
        longitude=float(values["longitude"]),
        timezone=values["timezone"],
        population=int(values["population"]),
        altitude_m=float(values["height"]) if values["height"] else None,
    )


def all_towns() -> Iterator[Town]:
    """Every town of the index, most people first."""
    return (_town(line) for line in _index().strip("\n").split("\n"))


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
    if not within and " " in name:
        # "Portland Maine": the comma left out.
        words = name.split()
        for cut in range(len(words) - 1, 0, -1):
            try:
                return find_town(f"{' '.join(words[:cut])}, {' '.join(words[cut:])}")
            except TownNotFoundError:
                continue
    elsewhere = tuple(town.label for town in hits[:3])
    raise TownNotFoundError(NoSuchTown(query, elsewhere or _alike(name)))


def _alike(name: str) -> tuple[str, ...]:
    """Three towns spelt nearly so, among those that begin with the same two letters."""
    lines = _lines_with(f"\n{name[:2]}") if len(name) >= 2 else []
    by_name = {line.split("\t", 1)[0]: line for line in reversed(lines)}
    near = difflib.get_close_matches(name, by_name, n=3, cutoff=0.6)
    return tuple(_town(by_name[one]).label for one in near)


def _places(town: Town) -> set[str]:
    """Words that may follow a town's name to tell it apart."""
    short = _SHORT.get(town.country, set())
    code = _states().get(fold(town.region), "") if town.country == "United States" else ""
    return {fold(town.country), fold(town.region), code} | short


@cache
def _states() -> dict[str, str]:
    """Postal codes of the US states and their capital's district, by folded name."""
    text = files("bedwright.climate").joinpath("data/postal.tsv").read_text()
    rows = (line.split("\t") for line in text.splitlines())
    return {state: code for code, state in rows}


_SHORT = {
    "United States": {"us", "usa"},
    "United Kingdom": {"uk", "gb", "great britain", "england", "scotland", "wales"},
    "New Zealand": {"nz", "aotearoa"},
}
