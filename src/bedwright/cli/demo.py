"""``bedwright demo-journal``: an invented garden of three years, to look round in."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from bedwright.cli.console import escape, faults, out
from bedwright.cli.journal import refuse


def demo_journal(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A new folder for its beds.")],
) -> None:
    """Make an invented garden: three years of plans and journals, and the bed of the fourth."""
    from bedwright.demo import NotEmptyError, demo_garden

    with faults(folder):
        try:
            made = demo_garden(folder, date.today(), lambda words: out.print(escape(words)))
        except NotEmptyError as error:
            refuse(f"{error.filename}: {error.strerror}")
        where = escape(str(folder))
        out.print(
            f"An invented garden: {len(made.kept)} years, {made.lines} lines, and the bed of the"
            f" fourth: {escape(made.next)}."
        )
        out.print(f"See it with: bedwright page {where}")
        out.print(f"or: bedwright years {where}/{escape(made.next)}")
