"""What every command shares: the two consoles, tables, a bar, and a user's mistakes in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer
from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, Progress, TextColumn

from bedwright.brief import BriefError
from bedwright.compiled import on_first_compiling
from bedwright.geometry import GeometryError
from bedwright.planting import NothingFitsError
from bedwright.season import SeasonError

if TYPE_CHECKING:
    from bedwright.sheets.words import Part

FAULT, FAILED = 2, 1

out = Console(highlight=False, soft_wrap=True)
err = Console(stderr=True, highlight=False, soft_wrap=True)

BriefArgument = Annotated[
    Path, typer.Argument(metavar="BRIEF.toml", help="The brief, a TOML file.")
]
LayoutSeed = Annotated[
    int, typer.Option(min=0, max=2**31 - 1, help="Another seed gives another layout.")
]
Units = Annotated[Literal["metric", "us"], typer.Option(help="Units to print.")]


def table(
    title: str, heads: list[str], rows: list[list[str]], left: set[int] | None = None
) -> None:
    """Columns as wide as what they hold; the first and those named to the left, the others to the
    right."""
    out.print(f"[bold]{escape(title)}[/bold]")
    wide = [max(len(row[n]) for row in [heads, *rows]) for n in range(len(heads))]
    for row in [heads, *rows]:
        cells = [
            row[0].ljust(wide[0]),
            *(
                row[n].ljust(wide[n]) if n in (left or ()) else row[n].rjust(wide[n])
                for n in range(1, len(row))
            ),
        ]
        out.print("  " + escape("  ".join(cells)).rstrip())


def part_lines(part: Part) -> None:
    """A part of the soil sheet or of a card: label, value, and its working or source below."""
    out.print(f"[bold]{escape(part.heading)}[/bold]")
    wide = max(len(line.label) for line in part.lines)
    for line in part.lines:
        out.print(f"  {escape(line.label.ljust(wide))}  {escape(line.value)}")
        if line.working:
            out.print(f"  {' ' * wide}    [dim]{escape(line.working)}[/dim]")
    out.print()


@contextmanager
def progress_bar(steps: int) -> Iterator[Callable[[str], None]]:
    """A bar on standard error when that is a terminal."""
    with Progress(
        TextColumn("{task.description:<14}"),
        BarColumn(),
        TextColumn("{task.percentage:>3.0f}%"),
        console=err,
        transient=True,
        disable=not err.is_terminal,
    ) as bar:
        task = bar.add_task("", total=steps)

        def step(name: str) -> None:
            bar.update(task, description=name, advance=1)

        yield step


def _say_compiling() -> None:
    """Why a first run takes longer; nothing else would be seen of it for half a minute."""
    err.print("First run on this machine: compiling, about half a minute (later runs skip this) …")


@contextmanager
def faults(path: Path) -> Iterator[None]:
    """Turn a user's mistakes into words and exit codes."""
    on_first_compiling(_say_compiling)
    try:
        yield
    except BriefError as error:
        count = len(error.faults)
        err.print(f"[bold]{escape(path.name)}: {count} fault{'s' if count > 1 else ''}[/bold]")
        for fault in error.faults:
            err.print(
                f"  [bold]{escape(fault.field)}[/bold]: given {escape(fault.given)}\n"
                f"    accepted: {escape(fault.accepted)}"
            )
        raise typer.Exit(FAULT) from None
    except (SeasonError, GeometryError, NothingFitsError) as error:
        err.print(f"[bold]{escape(path.name)}[/bold]: {escape(str(error))}")
        raise typer.Exit(FAULT) from None
    except OSError as error:
        what = error.strerror or str(error)
        err.print(f"{escape(str(error.filename or path))}: {escape(what)}")
        raise typer.Exit(FAILED) from None
