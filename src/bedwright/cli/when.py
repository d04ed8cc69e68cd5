"""``bedwright when``: when a kind flowers that is sown on a given day."""

from __future__ import annotations

import json
import sys
import textwrap
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedwright.cli import place
from bedwright.cli.console import Units, escape, faults, out
from bedwright.dates import short_day_month

if TYPE_CHECKING:
    from bedwright.growth import When
    from bedwright.report import Spell
    from bedwright.units import System

WIDE, BAR = 88, 25
"""Letters of a line of words, and of the longest bar."""


def when(
    kind: Annotated[str, typer.Argument(metavar="KIND", help="A kind, by its key or its name.")],
    where: Annotated[
        str,
        typer.Argument(
            metavar="PLACE_OR_RECORD",
            help="A town, latitude,longitude, or a daily weather record (see --at).",
        ),
    ],
    sown: Annotated[str, typer.Option("--sown", metavar="MM-DD", help="Day of sowing.")],
    set_out: Annotated[
        str | None,
        typer.Option("--set-out", metavar="MM-DD", help="Day the young plants go outdoors."),
    ] = None,
    in_place: Annotated[
        bool, typer.Option("--in-place", help="Sown outdoors, where it is to flower.")
    ] = False,
    at: place.At = None,
    altitude: place.Altitude = None,
    frost: place.Frost = None,
    situation: place.Situation = None,
    nights: place.Nights = None,
    year: Annotated[
        int | None, typer.Option(min=1990, max=2200, help="Growing year of the sowing.")
    ] = None,
    units: Units = "metric",
    record_unit: place.RecordUnit = None,
    record_altitude: place.RecordAltitude = None,
    own: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your own file of kinds, a TOML file.")
    ] = None,
    sample: Annotated[
        int,
        typer.Option(min=0, max=2**31 - 1, help="Another number simulates other seasons."),
    ] = 0,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON and nothing else.")] = False,
) -> None:
    """Say when a kind flowers that is sown on a given day, and with what odds."""
    from bedwright.inputs import gather_when

    with faults(Path("when"), units):
        stated = place.place_of(
            altitude=altitude,
            frost=frost,
            situation=situation,
            nights=nights,
            record_unit=record_unit,
            record_altitude=record_altitude,
        )
        more = {"place": stated, "season": {"year": year} if year else {}}
        asked = gather_when(
            kind, where, sown, today=date.today(), set_out=set_out, in_place=in_place, at=at,
            more=more, own=own,
        )  # fmt: skip
        answer = asked.answer(sample)
        if as_json:
            from bedwright.report import when_record

            # In ASCII: no terminal's coding lacks it, and nothing in it steers one.
            sys.stdout.write(json.dumps(when_record(answer, units), indent=1) + "\n")
        else:
            _print_answer(answer, units)


def _print_answer(answer: When, units: System) -> None:
    from bedwright.report import (
        answer_lines,
        heading_of,
        note_words,
        raised_words,
        say,
        spells,
    )

    out.print(f"[bold]{escape(heading_of(answer))}[/bold]\n  {escape(raised_words(answer))}\n")
    for words in answer_lines(answer):
        _lines(words, "  ", "  ")
    rows = spells(answer)
    if rows:
        _print_odds(rows, answer.season.size)
    out.print("\n[bold]Notes[/bold]")
    for words in note_words(answer, units):
        _lines(words, "  - ", "    ")
    _lines(f"Weather from {say(answer.season.basis, units)}.", "  - ", "    ")


def _print_odds(rows: list[Spell], seasons: int) -> None:
    """Odds of being in flower as bars."""
    long = "week" if len(rows) < 2 or (rows[1].start - rows[0].start).days < 10 else "fortnight"
    out.print(
        f"\n[bold]Odds of being in flower, in the {long} from[/bold]   ({seasons:,} likely seasons)"
    )
    for spell in rows:
        bar = "█" * round(spell.odds * BAR)
        day = short_day_month(spell.start)
        out.print(f"  {day:>6}  {spell.odds:>4.0%}  [green]{bar}[/green]".rstrip())


def _lines(words: str, first: str, others: str) -> None:
    """A paragraph, wrapped."""
    for line in textwrap.wrap(
        words, WIDE, initial_indent=first, subsequent_indent=others, break_on_hyphens=False
    ):
        out.print(escape(line))
