"""Which files each command writes; ``folder`` puts them there, whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from bedwright.draw import Canvas, light_chart, page_drawing, season_chart
from bedwright.export.folder import fill_folder
from bedwright.export.ground_sheet import BedGround, ground_pdf
from bedwright.export.ics import calendar_ics
from bedwright.export.plan_json import plan_json
from bedwright.export.press import to_png
from bedwright.export.season_pdf import season_json, season_pdf
from bedwright.export.sheets import sheets_pdf
from bedwright.export.tables import plants_csv, supplies_csv
from bedwright.growth import Outlook
from bedwright.plan import Plan
from bedwright.report import Sunlit
from bedwright.units import System

FILES = (
    "plan.json",
    "planting.svg",
    "planting.png",
    "sheets.pdf",
    "calendar.ics",
    "supplies.csv",
    "plants.csv",
)


GROUND_FILES = ("ground.pdf",)
LIGHT_FILES = ("light.svg", "light.png")
SEASON_FILES = ("season.pdf", "season.svg", "season.png", "season.json")


def write_sheets(
    plan: Plan, folder: Path, progress: Callable[[str], None] = lambda name: None
) -> list[Path]:
    """Write all sheets of a plan into ``folder`` and return their paths.

    Raises FolderInTheWayError when the folder holds anything but an earlier output, OSError when it
    cannot be written.
    """
    return fill_folder(folder, _bodies(plan, progress))


def write_season(
    outlook: Outlook, units: System, folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the sheets of a season, as write_sheets those of a plan."""
    canvas = season_chart(outlook, units)
    makers: dict[str, Callable[[], bytes]] = {
        "season.pdf": lambda: season_pdf(outlook, units),
        "season.svg": lambda: canvas.render().encode(),
        "season.png": lambda: to_png(canvas),
        "season.json": lambda: season_json(outlook, units).encode(),
    }
    return fill_folder(folder, _made(SEASON_FILES, makers, progress))


def write_light(
    lit: Sunlit, fortnights: slice, folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the drawings of a bed's light, as write_sheets those of a plan."""
    canvas = light_chart(lit, fortnights)
    makers: dict[str, Callable[[], bytes]] = {
        "light.svg": lambda: canvas.render().encode(),
        "light.png": lambda: to_png(canvas),
    }
    return fill_folder(folder, _made(LIGHT_FILES, makers, progress))


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
    return fill_folder(folder, _made(variant_files(len(plans)), makers, progress))


def _svg(canvas: Canvas) -> bytes:
    return canvas.render().encode()


def write_ground(
    bed: BedGround, folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the soil sheet of a bed, as write_sheets those of a plan."""
    makers = {"ground.pdf": lambda: ground_pdf(bed)}
    return fill_folder(folder, _made(GROUND_FILES, makers, progress))


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
    return _made(FILES, makers, progress)


def _made(
    names: tuple[str, ...],
    makers: dict[str, Callable[[], bytes]],
    progress: Callable[[str], None],
) -> Iterator[tuple[str, bytes]]:
    """Each file made when its turn comes."""
    for name in names:
        progress(name)
        yield name, makers[name]()
