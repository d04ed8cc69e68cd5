"""Which files a plan and its variants are written to; ``folder`` puts them there, whole or not at
all."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from bedwright.draw import Canvas, page_drawing
from bedwright.export.folder import fill_folder, in_turn
from bedwright.export.ics import calendar_ics
from bedwright.export.json_plan import plan_json
from bedwright.export.press import to_png
from bedwright.export.sheets import sheets_pdf
from bedwright.export.tables import plants_csv, supplies_csv
from bedwright.plan import Plan

FILES = (
    "plan.json",
    "planting.svg",
    "planting.png",
    "sheets.pdf",
    "calendar.ics",
    "supplies.csv",
    "plants.csv",
)


def write_sheets(
    plan: Plan, folder: Path, progress: Callable[[str], None] = lambda name: None
) -> list[Path]:
    """Write all sheets of a plan into ``folder`` and return their paths.

    Raises FolderInTheWayError when the folder holds anything but an earlier output, OSError when it
    cannot be written.
    """
    return fill_folder(folder, _bodies(plan, progress))


def variant_files(count: int) -> tuple[str, ...]:
    """Names of the drawings of so many schemes."""
    return tuple(f"variant-{n}.{ending}" for n in range(1, count + 1) for ending in ("svg", "png"))


def write_variants(
    plans: list[Plan], folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the drawing of each variant, as write_sheets those of a plan."""
    makers: dict[str, Callable[[], bytes]] = {}
    for n, plan in enumerate(plans, start=1):
        canvas = page_drawing(plan)
        makers[f"variant-{n}.svg"] = partial(_svg, canvas)
        makers[f"variant-{n}.png"] = partial(to_png, canvas)
    return fill_folder(folder, in_turn(variant_files(len(plans)), makers, progress))


def _svg(canvas: Canvas) -> bytes:
    return canvas.render().encode()


def _bodies(plan: Plan, progress: Callable[[str], None]) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of each sheet."""
    canvas = page_drawing(plan)
    makers: dict[str, Callable[[], bytes]] = {
        "plan.json": lambda: plan_json(plan).encode(),
        "planting.svg": lambda: canvas.render().encode(),
        "planting.png": lambda: to_png(canvas),
        "sheets.pdf": lambda: sheets_pdf(plan),
        "calendar.ics": lambda: calendar_ics(plan),
        "supplies.csv": lambda: supplies_csv(plan).encode(),
        "plants.csv": lambda: plants_csv(plan).encode(),
    }
    return in_turn(FILES, makers, progress)
