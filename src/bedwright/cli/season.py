"""``bedwright season``: the season of a place."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedwright.cli import place
from bedwright.cli.console import Units, escape, faults, out, progress_bar, table
from bedwright.cli.stopping import writing

if TYPE_CHECKING:
    from bedwright.growth import Outlook
    from bedwright.units import System


def season(
    where: Annotated[
        str,
        typer.Argument(
            metavar="PLACE_OR_RECORD",
            help="A town, latitude,longitude, or a daily weather record (see --at).",
        ),
    ],
    at: place.At = None,
    altitude: place.Altitude = None,
    frost: place.Frost = None,
    last_spring: place.LastSpring = None,
    first_autumn: place.FirstAutumn = None,
    situation: place.Situation = None,
    nights: place.Nights = None,
    year: Annotated[int | None, typer.Option(min=1990, max=2200, help="Growing year.")] = None,
    units: Units = "metric",
    record_unit: place.RecordUnit = None,
    record_altitude: place.RecordAltitude = None,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the sheet and its drawing.")
    ] = Path("season"),
    sample: Annotated[
        int,
        typer.Option(min=0, max=2**31 - 1, help="Another number simulates other seasons."),
    ] = 0,
) -> None:
    """Print and draw the season of a place: freezes, safe days, warmth, rain, daylight."""
    from bedwright.climate import make_season
    from bedwright.growth import outlook_of
    from bedwright.inputs import gather_season

    with faults(Path(where), units):
        stated = place.place_of(
            altitude=altitude,
            frost=frost,
            situation=situation,
            nights=nights,
            record_unit=record_unit,
            record_altitude=record_altitude,
            last_spring=last_spring,
            first_autumn=first_autumn,
        )
        more = {"place": stated, "season": {"year": year} if year else {}}
        read, weather = gather_season(where, at, more, date.today())
        assert read.season.year is not None  # gather_season settles it
        from bedwright.export import SEASON_FILES, check_folder, write_season

        check_folder(out_folder)
        made = make_season(weather, read.season.year, read.place.frost, sample)
        outlook = outlook_of(made, sample)
        _print_season(outlook, units)
        with progress_bar(len(SEASON_FILES)) as step, writing(out_folder):
            write_season(outlook, units, out_folder, step)
        folder = escape(str(out_folder))
        out.print(f"\nDrawn in {folder}/season.pdf, with season.svg, season.png and season.json.")


def _print_season(outlook: Outlook, units: System) -> None:
    """The outlook as tables."""
    from bedwright.growth import RISKS
    from bedwright.report import (
        answer_words,
        certainty_words,
        fitted_row,
        freeze_table,
        freeze_title,
        heading,
        heat_table,
        legend,
        length_words,
        month_table,
        safe_table,
        say,
        short_day,
    )

    risks = [f"{risk:.0%}" for risk in RISKS]
    out.print(f"[bold]{escape(outlook.season.site.label)}[/bold]\n  {heading(outlook)}")
    out.print(f"  weather from {escape(say(outlook.season.basis, units))}")
    out.print(f"  [bold]{escape(answer_words(outlook))}[/bold]")
    for note in outlook.season.notes:
        out.print(f"  note: {escape(say(note, units))}")
    out.print(f"  {certainty_words(outlook, units)}\n")
    freezes = [*freeze_table(outlook, units), fitted_row(outlook, units)]
    table(
        freeze_title(outlook.season),
        ["at or below", *risks, *risks],
        freezes,
    )
    out.print(f"  {length_words(outlook)}")
    workable = short_day(outlook.season, outlook.workable)
    out.print(f"  Ground can be worked from about {workable}.\n")
    table(
        "Young plants outdoors from, at the odds given of a night that loses them",
        ["", "the night", *risks],
        safe_table(outlook, units),
    )
    out.print("  * the soil decides, not the frost. Kinds differ; a plan goes by each one's own.\n")
    if outlook.heat:
        table(
            "Heat that stops flowers is past from, at the odds given of a fortnight of it later on",
            ["", *risks],
            heat_table(outlook, units),
        )
        out.print("  Means of a fortnight's days. A plan goes by each kind's own limit.\n")
    table(
        "Month by month",
        ["", "night", "day", "soil", "rain", "dry-wet", "heat", "day h:min"],
        month_table(outlook, units),
    )
    out.print(f"  {legend(units)}")
