"""How long the catalogue takes to read and check, and how that grows with kinds.

Beside it the same tables read by ``csv.DictReader``, nothing checked and every cell left as text:
the difference is what checking costs.

Usage: ``python benchmarks/catalogue.py`` (in the development environment)
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from importlib.resources import files

from bedwright.catalogue import load_catalogue, parse_catalogue
from timing import SHORT, Row, best, show

NAMES = (
    "kinds", "form", "site", "sowing", "growth", "uses", "safety", "colours", "sources",
)  # fmt: skip


def bodies() -> dict[str, str]:
    folder = files("bedwright.catalogue") / "data"
    return {name: (folder / f"{name}.csv").read_text(encoding="utf-8") for name in NAMES}


def many(tables: dict[str, str], times: int) -> dict[str, str]:
    """The tables with every kind so many times over, under new keys."""
    out = {"sources": tables["sources"]}
    for name, body in tables.items():
        if name != "sources":
            head, *rows = body.splitlines()
            copies = [f"x{n}_{row}" if n else row for n in range(times) for row in rows]
            out[name] = "\n".join([head, *copies]) + "\n"
    return out


def unchecked(tables: dict[str, str]) -> list[list[dict[str, str]]]:
    return [list(csv.DictReader(io.StringIO(body))) for body in tables.values()]


def rows() -> Iterator[Row]:
    tables = bodies()

    catalogue = load_catalogue()
    size = f"{len(catalogue)} kinds"
    spent = best(load_catalogue.__wrapped__, 20)  # not the catalogue kept
    yield Row("catalogue read and checked", size, spent * 1e3, "ms")
    for times in (1,) if SHORT else (1, 2, 4, 8):
        grown = many(tables, times)
        ours = best(lambda grown=grown: parse_catalogue(grown))
        plain = best(lambda grown=grown: unchecked(grown))
        size = f"{len(parse_catalogue(grown))} kinds"
        yield Row("tables checked", size, ours * 1e3, "ms", plain * 1e3, "csv, unchecked")
    found = best(lambda: [catalogue.find(kind.botanical) for kind in catalogue])
    yield Row("a kind found by name", "1 kind", found / len(catalogue) * 1e6, "µs")


if __name__ == "__main__":
    show(rows())
