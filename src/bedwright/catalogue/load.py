"""Load the catalogue and check that its figures agree with one another."""

from __future__ import annotations

import difflib
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from bedwright.catalogue.kind import ColourForm, Kind
from bedwright.catalogue.tables import (
    BIBLIOGRAPHY,
    COLOURS,
    KINDS,
    TABLES,
    CatalogueError,
    Cell,
    Row,
    read_table,
)

UNSOURCED = ("memory", "estimate")
MOST_MEANT = 8
"""Kinds that are offered at most for a name that several have."""

LONGEST_NAME = 60
"""Letters of a name beyond which nothing is looked for that is like it."""

LEAST_WORD = 3
"""Letters of a word that is looked for within names; fewer are an ending in many of them."""

OWN = "own"
"""Source of what a gardener's own file says."""


@dataclass(frozen=True)
class Catalogue:
    """All kinds by key, and the bibliography: key to (title, publisher, year, address, state)."""

    kinds: dict[str, Kind]
    bibliography: dict[str, tuple[str, ...]]

    def __iter__(self) -> Iterator[Kind]:
        return iter(self.kinds.values())

    def __len__(self) -> int:
        return len(self.kinds)

    def find(self, name: str) -> Kind | None:
        """The kind of that key, common, other or botanical name, the first of several; None if
        there is none."""
        return next(iter(self.named(name)), None)

    def named(self, name: str) -> list[Kind]:
        """The kinds of that key, common, other or botanical name: several where they share it."""
        wanted = " ".join(name.lower().replace("_", " ").split())
        return [
            kind
            for kind in self
            if wanted
            in (
                known.lower().replace("_", " ")
                for known in (
                    kind.key,
                    kind.name,
                    kind.botanical,
                    *kind.other_names,
                    *kind.synonyms,
                )
            )
        ]

    def one_named(self, name: str) -> Kind | None:
        """The kind of that key or the only one of that name; None where none or several are."""
        if name in self.kinds:
            return self.kinds[name]
        kinds = self.named(name)
        return kinds[0] if len(kinds) == 1 else None

    def like(self, name: str) -> list[str]:
        """Keys of the kinds that ``name`` may mean.

        Those with that word, or words, in a name; of these first the ones of the genus that most of
        them belong to ("marigold": *Tagetes* before pot marigold), plain names before others.
        Where there are none, up to three keys that are spelled like it.
        """
        wanted = name.strip().lower().replace("_", " ")
        if len(wanted) > LONGEST_NAME:
            return []
        named = [kind for kind in self if wanted and _has_words(kind, wanted)]
        genera = Counter(kind.botanical.split()[0] for kind in named)
        named.sort(key=lambda kind: (-genera[kind.botanical.split()[0]], " " in kind.name))
        alike = difflib.get_close_matches(wanted.replace(" ", "_"), self.kinds, n=3)
        return [kind.key for kind in named[:MOST_MEANT]] or alike


def _has_words(kind: Kind, words: str) -> bool:
    """Whether one of a kind's names holds the words, singular or plural, as whole words."""
    if len(words) < LEAST_WORD:
        return False
    stems = {words, words.removesuffix("s") if len(words) > LEAST_WORD else words}
    if words.endswith("ies"):
        stems.add(words.removesuffix("ies") + "y")
    plural = "|".join(re.escape(stem) for stem in stems)
    names = (kind.name, kind.botanical, *kind.other_names, *kind.synonyms)
    return any(re.search(rf"\b({plural})(e?s)?\b", name.lower()) for name in names)


@cache
def load_catalogue() -> Catalogue:
    """The catalogue that ships with Bedwright.  Raises CatalogueError with every fault."""
    folder = files("bedwright.catalogue") / "data"
    names = ("kinds", *TABLES, "colours", "sources")
    return parse_catalogue({n: (folder / f"{n}.csv").read_text(encoding="utf-8") for n in names})


def parse_catalogue(bodies: dict[str, str]) -> Catalogue:
    """A catalogue from the text of its tables.  Raises CatalogueError with every fault."""
    faults: list[str] = []
    heads = read_table("kinds", bodies["kinds"], KINDS, faults)
    groups = {
        name: _by_key(name, read_table(name, bodies[name], _keyed(columns), faults), faults)
        for name, (_, columns) in TABLES.items()
    }
    colours: dict[str, list[ColourForm]] = {}
    for row in read_table("colours", bodies["colours"], COLOURS, faults):
        form = ColourForm(row.cells["form"], row.cells["srgb"])
        colours.setdefault(row.cells["kind"], []).append(form)
    library = {
        row.cells["key"]: tuple(str(v) for c, v in row.cells.items() if c != "key")
        for row in read_table("sources", bodies["sources"], BIBLIOGRAPHY, faults)
    }
    kinds = {}
    for row in heads:
        kind = _assemble(row, groups, colours, faults)
        if kind is not None:
            faults += [f"{kind.key}: {fault}" for fault in disagreements(kind)]
            faults += [
                f"{kind.key} {column}: source {key!r} is not in sources.csv"
                for column, joined in kind.sources
                for key in joined.split("+")
                if key not in library and key not in UNSOURCED
            ]
            kinds[kind.key] = kind
    faults += [f"colours.csv: {key!r} is not in kinds.csv" for key in colours if key not in kinds]
    if faults:
        raise CatalogueError(faults)
    return Catalogue(kinds, library)


def _keyed(columns: dict[str, Cell]) -> dict[str, Cell]:
    return {"key": KINDS["key"], **columns}


def _by_key(name: str, rows: list[Row], faults: list[str]) -> dict[str, Row]:
    out: dict[str, Row] = {}
    for row in rows:
        key = row.cells["key"]
        if key in out:
            faults.append(f"{name}.csv line {row.line}: {key} has a row already")
        out[key] = row
    return out


def _assemble(
    head: Row,
    groups: dict[str, dict[str, Row]],
    colours: dict[str, list[ColourForm]],
    faults: list[str],
) -> Kind | None:
    key = head.cells["key"]
    missing = [name for name in TABLES if key not in groups[name]]
    if key not in colours:
        missing.append("colours")
    if missing:
        faults += [f"{name}.csv: no row for {key}" for name in missing]
        return None
    sources = [(f"kinds.{column}", source) for column, source in head.sources.items()]
    parts = {}
    for name, (record, columns) in TABLES.items():
        row = groups[name][key]
        parts["liking" if name == "site" else name] = record(**{c: row.cells[c] for c in columns})
        sources += [(f"{name}.{column}", row.sources[column]) for column in columns]
    return Kind(**head.cells, **parts, colours=tuple(colours[key]), sources=tuple(sources))


def disagreements(kind: Kind) -> list[str]:
    """Figures of one kind that cannot all be true."""
    form, sow = kind.form, kind.sowing
    checks = (
        (form.height_min_cm <= form.height_max_cm, "height_min above height_max"),
        (form.spread_min_cm <= form.spread_max_cm, "spread_min above spread_max"),
        (
            0.6 * form.spread_min_cm <= form.spacing_cm <= 1.2 * form.spread_max_cm,
            "spacing far from spread",
        ),
        (form.spread_max_cm >= 0.7 * form.spacing_cm, "spread too small to close at spacing"),
        (sow.weeks_min <= sow.weeks_max, "weeks_min above weeks_max"),
        (sow.germ_min_c <= sow.germ_max_c, "germ_min above germ_max"),
        (sow.germ_days_min <= sow.germ_days_max, "germ_days_min above germ_days_max"),
        (sow.light != "light" or sow.depth_mm <= 2, "needs light but is sown deeper than 2 mm"),
        (kind.liking.sun_min_h < kind.liking.sun_max_h, "sun_min above sun_max"),
        (kind.liking.ph_min < kind.liking.ph_max, "ph_min above ph_max"),
        (
            {
                "hardy": kind.frost_c <= -4,
                "half_hardy": -4 < kind.frost_c <= -1,
                "tender": kind.frost_c > -1,
            }[kind.hardiness],
            f"frost_c {kind.frost_c:g} does not suit {kind.hardiness}",
        ),
        (
            kind.hardiness != "tender" or sow.method == "indoors" or sow.soil_min_c >= 12,
            "tender but sown in cold soil",
        ),
        (kind.growth.base_c < 15, "base temperature above 15 °C"),
        (
            kind.growth.days_to_bloom > sow.germ_days_min,
            "in flower before it is up",
        ),
        (
            "edible flowers" not in kind.uses.uses or kind.uses.edible != "no",
            "for the table but not edible",
        ),
        (
            kind.uses.edible == "no" or kind.safety.people != "toxic",
            "edible and toxic to people",
        ),
    )
    return [fault for good, fault in checks if not good]


def provenance(catalogue: Catalogue) -> dict[str, float]:
    """Share of cells by where they come from: ``sourced``, ``memory``, ``estimate``; what a
    gardener's own file says is left out."""
    return shares_of([key for kind in catalogue for _, key in kind.sources])


DRIVING = (
    "kinds.hardiness", "kinds.frost_c", "form.height_min_cm", "form.height_max_cm",
    "form.spread_min_cm", "form.spread_max_cm", "form.spacing_cm", "sowing.method",
    "sowing.weeks_min", "sowing.weeks_max", "sowing.light", "sowing.germ_min_c",
    "sowing.germ_max_c", "sowing.germ_days_min", "sowing.germ_days_max", "growth.days_to_bloom",
    "growth.base_c", "growth.daylength", "safety.people", "safety.dogs", "safety.cats",
    "safety.invasive",
)  # fmt: skip
"""Columns that drive dates, spacing and safety."""


def column_shares(catalogue: Catalogue) -> dict[str, dict[str, float]]:
    """As ``provenance``, for each column of the tables, written ``table.column``."""
    keys: dict[str, list[str]] = {}
    for kind in catalogue:
        for column, key in kind.sources:
            keys.setdefault(column, []).append(key)
    return {column: shares_of(found) for column, found in keys.items()}


def driving_shares(catalogue: Catalogue) -> dict[str, float]:
    """As ``provenance``, of the columns that drive dates, spacing and safety."""
    return shares_of(
        [key for kind in catalogue for column, key in kind.sources if column in DRIVING]
    )


def shares_of(keys: list[str]) -> dict[str, float]:
    """Share of some sources' keys that name a source, that say memory, that say estimate; one
    joined of several counts as the weakest of them."""
    counts = {"sourced": 0, "memory": 0, "estimate": 0}
    for key in keys:
        if key != OWN:
            weakest = next((word for word in reversed(UNSOURCED) if word in key.split("+")), None)
            counts[weakest or "sourced"] += 1
    total = max(sum(counts.values()), 1)
    return {name: count / total for name, count in counts.items()}
