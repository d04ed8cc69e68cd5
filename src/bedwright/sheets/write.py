"""All sheets into a folder, whole or not at all.

Everything is written to a new folder beside the target and then moved into place by renaming; a run
that fails or is killed leaves the former output as it was.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from pathlib import Path

from bedwright.plan import Plan
from bedwright.season import Outlook
from bedwright.sheets.document import plan_json
from bedwright.sheets.drawing import best_scale, planting_drawing
from bedwright.sheets.ground_sheet import BedGround, ground_pdf
from bedwright.sheets.ics import calendar_ics
from bedwright.sheets.light_chart import light_chart
from bedwright.sheets.light_table import Sunlit
from bedwright.sheets.pack import pack_pdf
from bedwright.sheets.press import to_png
from bedwright.sheets.season_chart import season_chart
from bedwright.sheets.season_sheet import season_json, season_pdf
from bedwright.sheets.svg import Canvas
from bedwright.sheets.tables import plants_csv, supplies_csv
from bedwright.units import System

DRAWING_MM = (188.0, 185.0)
"""Room for the bed in the free-standing drawing: with the key beside it, it fits A4 and Letter."""

FILES = (
    "plan.json",
    "planting.svg",
    "planting.png",
    "pack.pdf",
    "calendar.ics",
    "supplies.csv",
    "plants.csv",
)


GROUND_FILES = ("ground.pdf",)
LIGHT_FILES = ("light.svg", "light.png")
MOST_SCHEMES = 9
SEASON_FILES = ("season.pdf", "season.svg", "season.png", "season.json")


class FolderInTheWayError(OSError):
    """The target holds files that Bedwright did not make."""


def write_sheets(
    plan: Plan, folder: Path, progress: Callable[[str], None] = lambda name: None
) -> list[Path]:
    """Write all sheets of a plan into ``folder`` and return their paths.

    Raises FolderInTheWayError when the folder holds anything but these files, OSError when it
    cannot be written.
    """
    return fill_folder(folder, FILES, _bodies(plan, progress))


def write_season(
    outlook: Outlook, units: System, folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the sheets of a season, as write_sheets those of a plan."""
    canvas = season_chart(outlook, units)
    makers: dict[str, Callable[[], bytes]] = {
        "season.pdf": lambda: season_pdf(outlook, units),
        "season.svg": lambda: canvas.render().encode(),
        "season.png": lambda: to_png(canvas),
        "season.json": lambda: season_json(outlook).encode(),
    }
    return fill_folder(folder, SEASON_FILES, _made(SEASON_FILES, makers, progress))


def write_light(
    lit: Sunlit, fortnights: slice, folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the drawings of a bed's light, as write_sheets those of a plan."""
    canvas = light_chart(lit, fortnights)
    makers: dict[str, Callable[[], bytes]] = {
        "light.svg": lambda: canvas.render().encode(),
        "light.png": lambda: to_png(canvas),
    }
    return fill_folder(folder, LIGHT_FILES, _made(LIGHT_FILES, makers, progress))


def scheme_files(count: int) -> tuple[str, ...]:
    """Names of the drawings of so many schemes."""
    return tuple(f"scheme-{n}.{ending}" for n in range(1, count + 1) for ending in ("svg", "png"))


def write_schemes(
    plans: list[Plan], folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the drawing of each scheme, as write_sheets those of a plan."""
    makers: dict[str, Callable[[], bytes]] = {}
    for n, plan in enumerate(plans, start=1):
        canvas = planting_drawing(plan, best_scale(plan, *DRAWING_MM))
        makers[f"scheme-{n}.svg"] = partial(_svg, canvas)
        makers[f"scheme-{n}.png"] = partial(to_png, canvas)
    return fill_folder(
        folder, scheme_files(MOST_SCHEMES), _made(scheme_files(len(plans)), makers, progress)
    )


def _svg(canvas: Canvas) -> bytes:
    return canvas.render().encode()


def write_ground(
    bed: BedGround, folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the soil sheet of a bed, as write_sheets those of a plan."""
    makers = {"ground.pdf": lambda: ground_pdf(bed)}
    return fill_folder(folder, GROUND_FILES, _made(GROUND_FILES, makers, progress))


def fill_folder(
    folder: Path, names: tuple[str, ...], bodies: Iterable[tuple[str, bytes]]
) -> list[Path]:
    """Put files of these names into a folder of their own, whole or not at all."""
    folder = folder.resolve()
    if folder == Path.cwd() or folder.parent == folder:
        raise FolderInTheWayError(f"{folder}: name a folder below this one, such as out")
    strangers = [p.name for p in folder.iterdir() if p.name not in names] if folder.is_dir() else []
    if strangers or (folder.exists() and not folder.is_dir()):
        held = ", ".join(sorted(strangers)[:3]) or "a file of that name"
        raise FolderInTheWayError(f"{folder}: holds {held}; name a new or an earlier output folder")
    folder.parent.mkdir(parents=True, exist_ok=True)
    _sweep(folder)
    new = Path(tempfile.mkdtemp(prefix=f".{folder.name}-new-", dir=folder.parent))
    try:
        for name, body in bodies:
            (new / name).write_bytes(body)
        new.chmod(0o755)
        _swap(new, folder)
    except BaseException:
        shutil.rmtree(new, ignore_errors=True)
        raise
    return [folder / name for name in names]


def _bodies(plan: Plan, progress: Callable[[str], None]) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of each sheet."""
    canvas = planting_drawing(plan, best_scale(plan, *DRAWING_MM))
    makers: dict[str, Callable[[], bytes]] = {
        "plan.json": lambda: plan_json(plan).encode(),
        "planting.svg": lambda: canvas.render().encode(),
        "planting.png": lambda: to_png(canvas),
        "pack.pdf": lambda: pack_pdf(plan),
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


def _swap(new: Path, folder: Path) -> None:
    """Put ``new`` in the place of ``folder``.

    Where the system can exchange two folders in one step it does; elsewhere the old one is moved
    aside for a moment, and ``_sweep`` of the next run puts it back should the run die in that
    moment.
    """
    if not folder.exists():
        os.replace(new, folder)
        return
    if _exchange(new, folder):
        shutil.rmtree(new)
        return
    old = folder.with_name(f".{folder.name}-old")
    os.replace(folder, old)
    os.replace(new, folder)
    shutil.rmtree(old)


def _exchange(one: Path, other: Path) -> bool:
    """Swap two paths in one step (Linux's renameat2 with RENAME_EXCHANGE); False where it
    cannot."""
    import ctypes

    try:
        call = ctypes.CDLL(None, use_errno=True).renameat2
    except (AttributeError, OSError):
        return False
    here, exchange = -100, 2
    return bool(call(here, os.fsencode(one), here, os.fsencode(other), exchange) == 0)


def _sweep(folder: Path) -> None:
    """Clear what a killed run left: half-written folders, and an old output moved aside."""
    old = folder.with_name(f".{folder.name}-old")
    if old.is_dir() and not folder.exists():
        os.replace(old, folder)
    for left in folder.parent.glob(f".{folder.name}-new-*"):
        shutil.rmtree(left, ignore_errors=True)
    shutil.rmtree(old, ignore_errors=True)
