"""``bedwright light``: sun on a bed."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedwright.cli.console import BriefArgument, escape, faults, out, progress_bar, table
from bedwright.cli.stopping import writing
from bedwright.dates import short_day_month

if TYPE_CHECKING:
    from bedwright.climate import Season
    from bedwright.report import KindSun, SunMonth


def light(
    brief: BriefArgument,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the drawing.")
    ] = Path("light"),
    kinds: Annotated[
        bool, typer.Option("--kinds", help="List every kind, and how much of the bed suits it.")
    ] = False,
) -> None:
    """Hours of direct sun on every patch of a brief's bed, printed and drawn."""
    from bedwright.inputs import catalogue_of, checks, gather  # noqa: F401  checks: for gather
    from bedwright.light import sun_on
    from bedwright.plan import set_out

    with faults(brief) as told:
        catalogue = catalogue_of(brief)
        read, weather = gather(brief, catalogue, date.today())
        told.units = read.units
        from bedwright.export import (
            LIGHT_FILES,
            check_folder,
            letters_note,
            note_of,
            write_light,
        )
        from bedwright.report import (
            BedLight,
            kind_suns,
            sun_months,
        )

        check_folder(out_folder)
        outline, made, soil_c, _, _, courses = set_out(read, catalogue, weather)
        lit = BedLight(read, outline, made, sun_on(read, outline, made, soil_c))
        out.print(f"[bold]{escape(read.title)}[/bold], {escape(weather.site.label)}\n")
        _sun_by_month(sun_months(lit))
        suns = kind_suns(lit.light, catalogue, courses)
        _sun_by_kind([s for s in suns if kinds or s.key in read.wishes.grow], made)
        with progress_bar(len(LIGHT_FILES)) as step, writing(out_folder):
            write_light(lit, _growing(made), out_folder, step)
        for words in note_of(letters_note(read, weather.site.label)):
            out.print(f"  note     {escape(words)}")
        folder = escape(str(out_folder))
        out.print(f"Drawn in {folder}/light.svg and light.png.")


def _sun_by_month(months: list[SunMonth]) -> None:
    from bedwright.light import EXPOSURES

    rows = [
        [
            month.name[:3],
            f"{month.middle:.1f}",
            f"{month.low:.1f}-{month.high:.1f}",
            *(f"{share:.0%}" for share in month.shares.values()),
            f"{month.morning:.0%}" if month.high > 0.05 else "-",
            f"{month.cloudy:.1f}",
            f"{month.beam_mj:.1f}",
        ]
        for month in months
    ]
    heads = ["", "hours", "range", *EXPOSURES, "a.m.", "clouded", "MJ"]
    table("Hours of direct sun a day, and how much of the bed has what exposure", heads, rows)
    out.print(
        "  Clear sky, about the middle of the month; light through leaves counts in part."
        "\n  Hours: half of the bed has more, half less; range: from the shadiest patch to the"
        "\n  sunniest. Full sun: 6 h and more; part sun 4 to 6; part shade 2 to 4. a.m.: share"
        "\n  before noon. Clouded: hours that clouds leave, from the daily range of temperature."
        "\n  MJ: energy of the beam a day on a square metre.\n"
    )


def _sun_by_kind(suns: list[KindSun], season: Season) -> None:
    if not suns:
        return
    rows = [
        [
            sun.name,
            f"{short_day_month(season.day(sun.first))} - {short_day_month(season.day(sun.last))}",
            f"{sun.middle:.1f}",
            sun.word,
            f"{sun.wants[0]:g} h +"
            if sun.wants[1] >= 12
            else f"{sun.wants[0]:g}-{sun.wants[1]:g} h",
            f"{sun.suits:.0%}",
        ]
        for sun in suns
    ]
    heads = ["", "its season", "hours", "exposure", "likes", "suits"]
    table("Sun over each kind's own season, from planting out to the end of bloom", heads, rows)
    out.print(
        "  Hours a day, and what they are called: half of the bed has more. Suits: how much of the"
        "\n  bed does.\n"
    )


def _growing(season: Season) -> slice:
    """Fortnights from the last freeze to the first at even odds; all where there is none, or the
    winter lies in the middle of the growing year."""
    from bedwright.climate import FORTNIGHTS

    if season.winter_amid:
        return slice(0, FORTNIGHTS)
    last, first = (season.freeze(side).day_at(0.5) for side in (True, False))
    start = 0 if last is None else min(int(last) // 14, FORTNIGHTS - 1)
    stop = FORTNIGHTS if first is None else min(int(first) // 14 + 1, FORTNIGHTS)
    return slice(start, max(stop, start + 1))
