"""The catalogue's tables: columns, what a cell may hold, and how a fault is named."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from bedwright.catalogue.kind import Form, Growth, Liking, Safety, Sowing, Uses

Cell = Callable[[str], Any]


class CatalogueError(ValueError):
    """Faults in catalogue tables; ``faults`` lists every one with file, row and column."""

    def __init__(self, faults: list[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(faults))


def number(low: float, high: float) -> Cell:
    """A cell that holds a number in a range."""

    def read(text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            raise ValueError(f"a number from {low:g} to {high:g}") from None
        if not low <= value <= high:
            raise ValueError(f"a number from {low:g} to {high:g}")
        return value

    return read


def word(*options: str) -> Cell:
    """A cell that holds one of a few words."""

    def read(text: str) -> str:
        if text not in options:
            raise ValueError("one of " + ", ".join(options))
        return text

    return read


def words(*options: str) -> Cell:
    """A cell that holds a list, parted by semicolons; of any words when no options are named."""

    def read(text: str) -> tuple[str, ...]:
        parts = tuple(part.strip() for part in text.split(";") if part.strip())
        if options and not set(parts) <= set(options):
            raise ValueError("a list of " + ", ".join(options))
        return parts

    return read


def flag(text: str) -> bool:
    """yes or no."""
    return bool(word("yes", "no")(text) == "yes")


def text(value: str) -> str:
    """Anything."""
    return value.strip()


def stated(value: str) -> str:
    """Anything but nothing."""
    if not value.strip():
        raise ValueError("some text")
    return value.strip()


def srgb(value: str) -> str:
    """#rrggbb."""
    digits = value[1:]
    if len(value) != 7 or value[0] != "#" or any(c not in "0123456789abcdef" for c in digits):
        raise ValueError("a colour as #rrggbb, lower case")
    return value


CONTINENTS = ("africa", "asia", "australasia", "europe", "north_america", "south_america",
              "central_america", "mediterranean", "garden")  # fmt: skip
FLOWER_FORMS = ("daisy", "spike", "ball", "plume", "cluster", "cup", "trumpet", "star", "bell",
                "foliage", "lace", "pea")  # fmt: skip
DAYLENGTHS = ("neutral", "short_facultative", "short_obligate", "long_facultative",
              "long_obligate")  # fmt: skip
USES = ("bed", "edging", "cutting", "drying", "scent", "pollinators", "edible flowers", "climbing",
        "container", "foliage")  # fmt: skip
HARM = ("none_known", "mild", "toxic")
DEGREE = ("low", "medium", "high")

KINDS: dict[str, Cell] = {
    "key": stated, "name": stated, "botanical": stated, "family": stated,
    "synonyms": words(), "other_names": words(),
    "life_form": word("annual", "biennial", "perennial"),
    "native": words(*CONTINENTS),
    "hardiness": word("hardy", "half_hardy", "tender"),
    "frost_c": number(-30, 5),
}  # fmt: skip
TABLES: dict[str, tuple[type, dict[str, Cell]]] = {
    "form": (Form, {
        "height_min_cm": number(3, 400), "height_max_cm": number(5, 500),
        "spread_min_cm": number(5, 200), "spread_max_cm": number(5, 300),
        "spacing_cm": number(5, 150),
        "habit": word("mound", "upright", "spreading", "trailing", "climbing"),
        "flower_form": word(*FLOWER_FORMS), "flower_cm": number(0.1, 40),
        "foliage_colour": word("green", "grey", "bronze", "purple", "mixed", "blue_green"),
        "foliage_texture": word("fine", "medium", "coarse"),
    }),
    "site": (Liking, {
        "sun_min_h": number(0, 10), "sun_max_h": number(2, 16),
        "soils": words("light", "loam", "heavy"),
        "ph_min": number(4, 8), "ph_max": number(5, 9),
        "moisture": word("dry", "average", "moist"),
        "poor_soil": flag, "salt": word(*DEGREE), "heat_max_c": number(15, 50),
    }),
    "sowing": (Sowing, {
        "method": word("indoors", "in_place", "both"),
        "weeks_min": number(1, 30), "weeks_max": number(1, 52), "depth_mm": number(0, 60),
        "light": word("light", "dark", "either"),
        "germ_min_c": number(3, 30), "germ_max_c": number(8, 35),
        "germ_days_min": number(1, 60), "germ_days_max": number(2, 120),
        "germination": number(0.1, 1), "seeds_per_g": number(0.3, 120000),
        "resents_moving": flag, "soil_min_c": number(2, 25),
    }),
    "growth": (Growth, {
        "days_to_bloom": number(30, 400), "base_c": number(-3, 14),
        "daylength": word(*DAYLENGTHS), "bloom_weeks": number(1, 52),
        "bloom_end": word("frost", "heat", "span"),
        "pinch": flag, "stake": word("no", "tall_only", "yes"),
        "deadhead": word("yes", "helps", "no"), "appetite": word(*DEGREE),
        "water": word(*DEGREE), "maintenance": number(1, 3),
    }),
    "uses": (Uses, {
        "uses": words(*USES), "stems_per_week": number(0, 20), "vase_days": number(0, 30),
        "edible": word("no", "petals", "flowers"), "edible_note": text,
        "trade": word("leading", "staple", "common", "specialist"),
    }),
    "safety": (Safety, {
        "people": word(*HARM), "dogs": word(*HARM), "cats": word(*HARM),
        "skin": word("none_known", "irritant"), "self_sows": word("no", "some", "freely"),
        "invasive": words(), "rotation": stated, "note": text,
    }),
}  # fmt: skip
COLOURS: dict[str, Cell] = {"kind": stated, "form": stated, "srgb": srgb}
BIBLIOGRAPHY: dict[str, Cell] = {
    "key": stated, "title": stated, "publisher": stated, "year": stated, "address": text,
    "state": word("read", "excerpt", "copy"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Row:
    """One row read: its cells, and where each column's figure comes from."""

    line: int
    cells: dict[str, Any]
    sources: dict[str, str]


def read_table(name: str, body: str, columns: dict[str, Cell], faults: list[str]) -> list[Row]:
    """Read one CSV table; every fault is added to ``faults`` with line and column."""
    lines = csv.reader(io.StringIO(body))
    heading = next(lines, [])
    sourced = "source" in heading
    wanted = [*columns, "source"] if sourced or name != "sources" else list(columns)
    if heading != wanted:
        faults.append(
            f"{name}.csv line 1: columns {','.join(heading)}; accepted: {','.join(wanted)}"
        )
        return []
    rows = []
    for line, cells in enumerate(lines, start=2):
        if len(cells) != len(heading):
            faults.append(f"{name}.csv line {line}: {len(cells)} cells; accepted: {len(heading)}")
            continue
        row = Row(line, {}, _sources(cells[-1], columns) if sourced else {})
        for column, cell in zip(columns, cells, strict=False):
            try:
                row.cells[column] = columns[column](cell)
            except ValueError as error:
                faults.append(
                    f"{name}.csv line {line} ({cells[0]}) {column}: given {cell!r};"
                    f" accepted: {error}"
                )
        if len(row.cells) == len(columns):
            rows.append(row)
    return rows


def _sources(cell: str, columns: dict[str, Cell]) -> dict[str, str]:
    """``default; column=key; ...`` to a key for every column."""
    default, *rest = (part.strip() for part in cell.split(";"))
    own = dict(part.split("=", 1) for part in rest if "=" in part)
    return {column: own.get(column, default) for column in columns}
