"""What every command shares: the two consoles, tables, a bar, and a user's mistakes in words.

Text from a brief, a file's name or the command line may hold what a terminal obeys (escape codes)
or turns about (marks of writing direction); ``escape`` shows such characters by their numbers.
"""

from __future__ import annotations

import codecs
import io
import sys
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer
from rich.console import Console
from rich.markup import escape as _unmarked

from bedwright.cli import stopping
from bedwright.compiled import on_first_compiling

if TYPE_CHECKING:
    from bedwright.report import Part
    from bedwright.units import System

FAULT, FAILED = 2, 1

_UNSAFE = frozenset(
    chr(code)
    for code in (
        *range(0x20),
        *range(0x7F, 0xA0),
        *range(0x2028, 0x202F),
        *range(0x2066, 0x206A),
        *range(0xD800, 0xE000),
    )
)
"""Controls (C0, DEL and C1), line separators with the marks that turn the direction of writing, and
halves of characters (as the names of files that are not UTF-8 hold)."""


def shown(text: str, keep: str = "") -> str:
    """Text with what a terminal would obey shown by its number; ``keep``: but for these."""
    if _UNSAFE.isdisjoint(text):
        return text
    return "".join(_numbered(c) if c in _UNSAFE and c not in keep else c for c in text)


def _numbered(character: str) -> str:
    return (
        character.encode("ascii", "backslashreplace").decode()
        if character > "\x7f"
        else (f"\\x{ord(character):02x}")
    )


def escape(text: str) -> str:
    """Text from outside, ready for ``out`` and ``err``: on one line, obeyed by neither the terminal
    nor the library."""
    return _unmarked(shown(text))


class SafeConsole(Console):
    """A console that lets no escape code through, whoever forgot to escape it."""

    def print(self, *objects: Any, **more: Any) -> None:
        """As the library's."""
        safe = (shown(one, keep="\n") if isinstance(one, str) else one for one in objects)
        super().print(*safe, **more)


out = SafeConsole(highlight=False, soft_wrap=True, emoji=False)
err = SafeConsole(stderr=True, highlight=False, soft_wrap=True, emoji=False)

_STAND_INS = {
    "°": "deg", "×": "x", "·": "-", "–": "-", "—": "-", "−": "-", "‑": "-", "±": "+/-",
    "²": "2", "³": "3", "½": "1/2", "¼": "1/4", "¾": "3/4", "…": "...", "“": '"', "”": '"',
    "‘": "'", "’": "'", "•": "*", "→": "->", "█": "#", "€": "EUR", "£": "GBP", "ß": "ss", "ø": "o",
    "Ø": "O", "æ": "ae", "Æ": "AE", "ł": "l", "Ł": "L", "\xa0": " ",
}  # fmt: skip


def _stand_in(character: str) -> str:
    """ASCII for a character: a stand-in, its letter without marks, or its number."""
    if character in _STAND_INS:
        return _STAND_INS[character]
    letter = unicodedata.normalize("NFKD", character)
    plain = "".join(c for c in letter if not unicodedata.combining(c))
    return plain if plain and plain.isascii() else _numbered(character)


def _stand_ins(error: UnicodeError) -> tuple[str, int]:
    """Handler of what a coding lacks, as ``codecs.register_error`` takes it."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    words = ""
    for n in range(error.start, error.end):
        word = _stand_in(error.object[n])
        if word == "deg":  # 5 deg N, 0 deg C
            before, after = error.object[n - 1 : n], error.object[n + 1 : n + 2]
            word = f"{' ' if before.isalnum() else ''}deg{' ' if after.isalnum() else ''}"
        words += word
    return words, error.end


def use_stand_ins() -> None:
    """From here on what a terminal's coding lacks is printed in ASCII instead of raising."""
    codecs.register_error("bedwright", _stand_ins)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="bedwright")


BriefArgument = Annotated[
    Path, typer.Argument(metavar="BRIEF.toml", help="The brief, a TOML file.")
]
LayoutNumber = Annotated[
    int, typer.Option(min=0, max=2**31 - 1, help="Another number gives another layout.")
]
Units = Annotated[Literal["metric", "us"], typer.Option(help="Units to print.")]


def table(
    title: str, heads: list[str], rows: list[list[str]], left: set[int] | None = None
) -> None:
    """Columns as wide as what they hold; the first and those named to the left, the others to the
    right."""
    out.print(f"[bold]{escape(title)}[/bold]")
    lines = [[shown(cell) for cell in row] for row in [heads, *rows]]
    wide = [max(len(row[n]) for row in lines) for n in range(len(heads))]
    for row in lines:
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
    if not err.is_terminal:
        yield lambda name: None
        return
    from rich.progress import BarColumn, Progress, TextColumn  # only where it is seen

    with Progress(
        TextColumn("{task.description:<14}"),
        BarColumn(),
        TextColumn("{task.percentage:>3.0f}%"),
        console=err,
        transient=True,
    ) as bar:
        task = bar.add_task("", total=steps)

        def step(name: str) -> None:
            bar.update(task, description=name, advance=1)

        yield step


def say_so(words: str, indent: int = 0) -> None:
    """Print words as a sentence of its own."""
    from bedwright.report import sentence

    out.print(f"{' ' * indent}{escape(sentence(words))}")


def _say_compiling() -> None:
    """Why a first run takes longer; nothing else would be seen of it for half a minute."""
    err.print("First run on this machine: compiling, about half a minute (later runs skip this) …")


@dataclass
class Mistakes:
    """How a user's mistakes are told: ``units``, those of the brief once it is read."""

    units: System = "metric"


@contextmanager
def faults(path: Path, units: System = "metric") -> Iterator[Mistakes]:
    """Turn a user's mistakes into words and exit codes; what the command needs is loaded by now.

    ``units``: those that are asked for; a command that reads a brief sets the brief's.
    """
    told = Mistakes(units)
    stopping.end_in_order()
    on_first_compiling(_say_compiling)
    try:
        yield told
    except ValueError as error:
        if not _print_mistake(error, path, told.units):
            raise
        raise typer.Exit(FAULT) from None
    except OSError as error:
        named = f"{error.filename or path}: {error.strerror}" if error.strerror else str(error)
        err.print(escape(named))
        raise typer.Exit(FAILED) from None


def _print_mistake(error: ValueError, path: Path, units: System) -> bool:
    """Print a mistake of the user's; False for an error that is none."""
    from bedwright.brief import BriefError
    from bedwright.facts import FactError

    if isinstance(error, BriefError):
        count = len(error.faults)
        err.print(f"[bold]{escape(path.name)}: {count} fault{'s' if count > 1 else ''}[/bold]")
        for fault in error.faults:
            err.print(
                f"  [bold]{escape(fault.field)}[/bold]: given {escape(fault.given)}\n"
                f"    accepted: {escape(fault.accepted)}"
            )
        return True
    if isinstance(error, FactError):
        from bedwright.report import words_of_mistake

        err.print(f"[bold]{escape(path.name)}[/bold]: {escape(words_of_mistake(error, units))}")
        return True
    return False
