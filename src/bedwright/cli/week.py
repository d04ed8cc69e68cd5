"""``bedwright week``: what moved, what there is to do this week, and what to cover tonight."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedwright.cli.console import escape, faults, out, say_so
from bedwright.cli.journal import BedArgument, refuse

if TYPE_CHECKING:
    from bedwright.cli.console import Mistakes
    from bedwright.noted import Notebook

NOT_GROWN = (
    "No plan is kept as the one that this bed is grown by this year: 'bedwright plan BRIEF --grow'"
    " keeps one, and so does the button on the journal's sheet of the page."
)


def week(
    bed: BedArgument,
    tonight: Annotated[
        str,
        typer.Option(metavar="FORECAST", help="A forecast of the night, 'minus 1': what to cover."),
    ] = "",
    done: Annotated[
        str, typer.Option(metavar="WORK", help="Write down that a line of the list is done.")
    ] = "",
    left: Annotated[
        str, typer.Option(metavar="WORK", help="Write down that a line of the list is not needed.")
    ] = "",
) -> None:
    """Say what moved, and list what there is to do in the week from today."""
    from bedwright.noted import EntryError
    from bedwright.report import say, week_sheet

    with faults(bed) as told:
        book = _opened(bed, told)
        try:
            for key, needed in ((done, True), (left, False)):
                for made in book.done(key, needed=needed) if key else ():
                    out.print(f"[bold]{made.written.number}[/bold]  {escape(made.understood)}")
            cover = book.tonight(tonight) if tonight else None
            found = None if done or left else book.week()
        except EntryError as error:
            refuse(str(error))
        if done or left:
            return
        if found is None:
            refuse(NOT_GROWN)
        if cover is not None:
            say_so(say(cover, book.units))
            return
        sheet = week_sheet(found.under_way, found.due, book.units)
        title = found.under_way.bed.title
        out.print(f"[bold]{escape(title)}, the week from {_day(book.today)}[/bold]")
        for words in (*sheet.moved, *sheet.second):
            say_so(words, indent=2)
        wide = max((len(row.key) for _, rows in sheet.parts for row in rows), default=0)
        for heading, rows in sheet.parts:
            out.print(f"[bold]{heading}[/bold]")
            for row in rows:
                out.print(f"  {escape(row.key.ljust(wide))}  {escape(row.what)}: {row.when}")
                for note in row.notes:
                    out.print(f"  {' ' * wide}    [dim]{escape(note)}[/dim]")
        if not sheet.parts:
            out.print("  Nothing is due this week.")


def _opened(bed: Path, told: Mistakes) -> Notebook:
    """The journal of a bed, in whose units mistakes are told from then on.  Raises typer.Exit where
    there is no such bed."""
    from bedwright.noted import notebook
    from bedwright.store import NoSuchBedError, bed_at

    try:
        book = notebook(bed_at(bed), date.today())
    except NoSuchBedError as error:
        refuse(str(error))
    told.units = book.units
    return book


def _day(day: date) -> str:
    from bedwright.dates import day_month_year

    return day_month_year(day)


def years(bed: BedArgument) -> None:
    """Set the years of a bed's garden side by side, and say how its forecasts came out."""
    from bedwright.cli.console import table
    from bedwright.report import KEPT_HEADS, YEAR_HEADS, kept_rows, year_rows

    with faults(bed) as told:
        found = _opened(bed, told).years()
        if not found.years:
            refuse(NOT_GROWN)
        table("The years of this garden", list(YEAR_HEADS), year_rows(found.years), {1})
        if found.kept.count:
            title = "Forecasts with odds, and how often they came true"
            table(title, list(KEPT_HEADS), kept_rows(found.kept))
            out.print(
                f"  Brier score {found.kept.brier:.2f} of {found.kept.count} forecasts: 0 without"
                " a fault, 0.25 for a coin."
            )
