"""``bedwright plan`` and ``check``: a whole brief."""

from __future__ import annotations

import webbrowser
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedwright.cli.console import BriefArgument, LayoutNumber, escape, faults, out, progress_bar
from bedwright.cli.stopping import writing
from bedwright.dates import short_day_month, short_day_month_year
from bedwright.facts import Fact
from bedwright.units import say_area

if TYPE_CHECKING:
    from bedwright.brief import Brief
    from bedwright.catalogue import Catalogue
    from bedwright.climate import Weather
    from bedwright.plan import Plan


def check(brief: BriefArgument) -> None:
    """Read a brief and report every fault in it; writes nothing."""
    from bedwright.climate import make_season
    from bedwright.inputs import catalogue_of, checks, gather  # noqa: F401  checks: for gather

    with faults(brief) as told:
        read, weather = gather(brief, catalogue_of(brief), date.today())
        told.units = read.units
        assert read.season.year is not None  # gather settles it
        season = make_season(weather, read.season.year, read.place.frost, 0)
        from bedwright.report import say

        basis = escape(say(season.basis, read.units))
        out.print(
            f"{escape(brief.name)} is sound: {escape(weather.site.label)},"
            f" growing year {read.season.year}, weather from {basis}."
        )
        if read.surroundings:
            from bedwright.geometry import outline_of
            from bedwright.report import thing_words

            outline = outline_of(read.bed)
            for thing in read.surroundings:
                out.print(f"  around   {escape(thing_words(outline, thing, read.units))}")
        for note in season.notes:
            out.print(f"  note     {escape(say(note, read.units))}")


def plan(
    brief: BriefArgument,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the sheets; made if missing.")
    ] = Path("out"),
    layout: LayoutNumber = 0,
    open_sheets: Annotated[
        bool, typer.Option("--open", help="Open the PDF when it is done.")
    ] = False,
    learned: Annotated[
        bool,
        typer.Option(
            "--learned", help="Plan with what the garden's journal has taught, not the brief's."
        ),
    ] = False,
    grow: Annotated[
        bool,
        typer.Option("--grow", help="Keep it with the bed's journal as the plan it is grown by."),
    ] = False,
) -> None:
    """Work out the plan of a brief and write its sheets."""
    from bedwright.inputs import catalogue_of, checks, gather  # noqa: F401  checks: for gather

    with faults(brief) as told:
        catalogue = catalogue_of(brief)
        read, weather = gather(brief, catalogue, date.today())
        told.units = read.units
        if learned:
            read, weather = _with_figures(brief, catalogue)
        made = _write(read, weather, catalogue, layout, out_folder)
        _summary(made, out_folder, weather.notes)
        if grow:
            _keep(made, brief)
        if open_sheets:
            webbrowser.open((out_folder / "sheets.pdf").resolve().as_uri())


def _with_figures(brief: Path, catalogue: Catalogue) -> tuple[Brief, Weather]:
    """A brief with the figures of its garden's journal."""
    from bedwright.brief import toml_of
    from bedwright.inputs import gather_values
    from bedwright.noted import notebook
    from bedwright.store import bed_at

    figures = notebook(bed_at(brief), date.today()).figures()
    values = {**toml_of(brief, brief.name), "learned": figures}
    return gather_values(values, brief.parent, catalogue, date.today())


def _write(read: Brief, weather: Weather, catalogue: Catalogue, layout: int, folder: Path) -> Plan:
    from bedwright.export import FILES, check_folder, write_sheets
    from bedwright.plan import STAGES, make_plan

    check_folder(folder)
    with progress_bar(len(STAGES) + len(FILES)) as step:
        made = make_plan(read, catalogue=catalogue, weather=weather, seed=layout, progress=step)
        with writing(folder):
            write_sheets(made, folder, step)
    return made


def _keep(made: Plan, brief: Path) -> None:
    """Keep a plan as the one by which its bed is grown."""
    from bedwright.export import plan_json
    from bedwright.store import bed_at, grow

    bed = bed_at(brief)
    year = made.brief.season.year
    assert year is not None  # gather settles it
    grow(bed, year, bed.now, plan_json(made))
    out.print(f"  grown    by this plan in {year}: bedwright note {escape(str(brief))}")


def _summary(made: Plan, folder: Path, notes: tuple[Fact, ...]) -> None:
    """The plan in a few lines."""
    day, planting = made.season.day, made.planting
    plants = sum(i.plants for i in planting.items)
    brief = made.brief
    out.print(f"[bold]{escape(brief.title)}[/bold], {escape(made.season.site.label)}")
    out.print(
        f"  bed      {say_area(made.outline.area_m2, brief.units)},"
        f" dug {short_day_month_year(day(made.dig))},"
        f" planted from {short_day_month_year(day(made.ready))}"
    )
    out.print(
        f"  plants   {plants} in {len(planting.drifts)} drifts, {len(planting.items)} colours of"
        f" {len({i.candidate.kind.key for i in planting.items})} kinds"
    )
    last = made.season.freeze(True).day_at(brief.season.frost_risk)
    if last is not None:
        out.print(
            f"  frost    {brief.season.frost_risk:.0%} odds of a freeze after"
            f" {short_day_month(day(last))}, from {_source(made)}"
        )
    else:
        out.print(
            f"  frost    less than {brief.season.frost_risk:.0%} odds of any, from {_source(made)}"
        )
    cost = made.supplies
    more = f"{cost.unpriced} lines without a price" if cost.unpriced else ""
    if cost.cost:
        more = f", {more}" if more else ""
        out.print(f"  cost     {escape(brief.currency)}{cost.cost:,.2f}{more}")
    elif more:
        out.print(f"  cost     not known: {more}")
    from bedwright.export import note_of, plan_letters
    from bedwright.report import say

    worded = [say(note, brief.units) for note in (*notes, *made.notes)]
    for words in (*worded, *note_of(plan_letters(made))):
        out.print(f"  note     {escape(words)}")
    out.print("  first    have buried pipes and cables marked before you dig")
    out.print(f"  sheets   {escape(str(folder / 'sheets.pdf'))} and {escape(str(folder))}/")


def _source(made: Plan) -> str:
    """Where the odds of a freeze come from."""
    from bedwright.climate import FromDates, FromSayings
    from bedwright.report import stated_words

    if isinstance(made.season.basis, FromDates | FromSayings):
        return stated_words(made.season.basis.stated)
    doubt = round(made.season.doubt_days)
    ask = f"(uncertain by about {doubt} days; ask locally)" if doubt else "(ask locally)"
    return {
        "record": "the weather record",
        "joined": f"world normals and a few years on record {ask}",
        "normals": f"world normals alone {ask}",
    }[made.season.source]
