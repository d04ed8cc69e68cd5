"""The commands of the command line, gathered into one."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

import bedwright
from bedwright.cli.console import out, shown
from bedwright.cli.demo import demo_journal
from bedwright.cli.ground import ground
from bedwright.cli.journal import (
    backup,
    export,
    journal,
    next_year,
    note,
    restore,
    take_in,
)
from bedwright.cli.kinds import kinds
from bedwright.cli.light import light
from bedwright.cli.page import page
from bedwright.cli.plan import check, plan
from bedwright.cli.planting import planting
from bedwright.cli.season import season
from bedwright.cli.week import week, years
from bedwright.cli.when import when


class Commands(TyperGroup):
    """The group of commands; what it says of wrong usage is safe to print."""

    def make_context(self, *args: Any, **more: Any) -> Any:
        """As the library's."""
        with _safe_words():
            return super().make_context(*args, **more)

    def invoke(self, *args: Any, **more: Any) -> Any:
        """As the library's."""
        with _safe_words():
            return super().invoke(*args, **more)


@contextmanager
def _safe_words() -> Iterator[None]:
    """The library's errors quote what was typed; here what would steer the terminal is escaped."""
    try:
        yield
    except Exception as error:
        message = getattr(error, "message", None)
        if isinstance(message, str):
            error.message = shown(message, keep="\n")  # type: ignore[attr-defined]
        raise


app = typer.Typer(
    name="bedwright",
    cls=Commands,
    help="Plans a bed of annual flowers: what to plant where and when, and how much of everything.",
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)
for command in (check, plan, page, light, ground, planting, kinds):
    app.command()(command)
KEEPING = (backup, restore, export, take_in, demo_journal)
for noting in (note, week, journal, years, next_year, *KEEPING):
    app.command()(noting)
# Southern latitudes begin with a minus, which is no option's.
for located in (season, when):
    app.command(context_settings={"ignore_unknown_options": True})(located)


def _version(asked: bool) -> None:
    if asked:
        out.print(f"bedwright {bedwright.__version__}")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    pass
