"""Find a town by name, offline.

The index (``data/towns.bin``) is packed from GeoNames by ``tools/pack_towns.py``: towns of 5,000
people and more, with their heights and their other names in Latin letters.  Its lines stand in one
part for each first letter, most people first, and are searched as text: building dictionaries of
them would take longer than the question.  Part 0: the first letters, in the order of their parts.
Part 1: of each town of the whole index, most people first, the number of its letter (one byte).
"""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files

from bedwright.climate.packed import Packed
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
    """No town of that name is in the index, or none in the country or state named; ``near``: towns
    of that name elsewhere, else towns spelt nearly so."""

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
def _file() -> Packed:
    return Packed("data/towns.bin")


@cache
def _letters() -> str:
    """The first letters that towns have."""
    return _file().part(0).decode()


@cache
def _under(letter: str) -> str:
    """The lines of the towns with a first letter, each between line feeds."""
    at = _letters().find(letter)
    return "\n" if at < 0 else f"\n{_file().part(2 + at).decode()}\n"


def _lines_with(mark: str, text: str) -> list[str]:
    """Lines of a text that hold ``mark``, in their order."""
    out, at = [], 0
    while (at := text.find(mark, at)) >= 0:
        start = text.rfind("\n", 0, at + 1) + 1
        end = text.index("\n", at + 1)
        out.append(text[start:end])
        at = end
    return out


def _named(name: str) -> list[str]:
    """Lines of the towns with a main name."""
    return _lines_with(f"\n{name}\t", _under(name[0]))


def _named_otherwise(name: str) -> list[str]:
    """Lines of the towns with another name, those with the most people first."""
    found = []
    for number, letter in enumerate(_letters()):
        text = _under(letter)
        lines = _lines_with(f"|{name}|", text)
        if lines:
            ranks = [rank for rank, one in enumerate(_file().part(1)) if one == number]
            at = [text.count("\n", 0, text.index(f"\n{line}\n")) for line in lines]
            found += [(ranks[n], line) for n, line in zip(at, lines, strict=True)]
    return [line for _, line in sorted(found)]


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
    lines = {letter: iter(_under(letter).strip("\n").split("\n")) for letter in _letters()}
    return (_town(next(lines[_letters()[number]])) for number in _file().part(1))


@lru_cache(maxsize=16)
def find_town(query: str) -> tuple[Town, ...]:
    """Towns that answer to ``query``, likeliest first.

    ``query`` is a name, optionally followed by a comma and a country or US state:
    ``"Cork"``, ``"Cork, Ireland"``, ``"Portland, Maine"``, ``"Portland Maine"``.  They are the
    towns of that main name, the larger before the smaller; where there is none (in that country or
    state, if one is named), those of that other name.  Raises TownNotFoundError, with towns of the
    name elsewhere, else with towns spelt nearly so.
    """
    name, *within = (fold(part) for part in query.split(","))
    wanted = [part for part in within if part]
    hits: list[Town] = []
    for look in (_named, _named_otherwise) if name else ():
        towns = [_town(line) for line in look(name)]
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


def towns_like(begins: str, most: int = 8) -> tuple[Town, ...]:
    """Up to ``most`` towns whose main name begins like this, those of most people first; none where
    nothing is given.

    After a comma may follow the beginning of a country or state that they lie in.
    """
    name, *within = (fold(part) for part in begins.split(","))
    if not name:
        return ()
    found: list[Town] = []
    for line in _lines_with(f"\n{name}", _under(name[0])):
        town = _town(line)
        if all(any(place.startswith(part) for place in _places(town)) for part in within):
            found.append(town)
            if len(found) == most:
                break
    return tuple(found)


def _alike(name: str) -> tuple[str, ...]:
    """Three towns spelt nearly so, among those that begin with the same two letters."""
    lines = _lines_with(f"\n{name[:2]}", _under(name[0])) if len(name) >= 2 else []
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
