"""``bedwright planting``: variants of planting, compared and accounted for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from bedwright.cli.console import (
    BriefArgument,
    LayoutNumber,
    escape,
    faults,
    out,
    progress_bar,
    table,
)
from bedwright.cli.stopping import writing

if TYPE_CHECKING:
    from bedwright.catalogue import Catalogue, Kind

MOST_PROOF_STEPS = 100_000
"""Some minutes on a large bed."""


def planting(
    brief: BriefArgument,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the drawings.")
    ] = Path("planting"),
    variants: Annotated[
        int,
        typer.Option(min=1, max=9, help="So many differing variants, side by side."),
    ] = 1,
    layout: LayoutNumber = 0,
    proof_steps: Annotated[
        int | None,
        typer.Option(
            min=0,
            max=MOST_PROOF_STEPS,
            help="Steps of the proof of how good each arrangement is; 0 for none. Unless it is"
            " given, as many as a usual bed needs.",
        ),
    ] = None,
    why: Annotated[
        list[str] | None,
        typer.Option(metavar="KIND", help="Why a kind stands where it does, or not; or: all."),
    ] = None,
) -> None:
    """Which plants stand where in a brief's bed, drawn, compared and accounted for."""
    from bedwright.inputs import catalogue_of, checks, gather  # noqa: F401  checks: for gather
    from bedwright.plan import STAGES, make_plan, spent_on_ground
    from bedwright.planting import PROOF_STEPS, make_variants

    steps = PROOF_STEPS if proof_steps is None else proof_steps
    with faults(brief) as told:
        catalogue = catalogue_of(brief)
        asked = [_kind_named(name, catalogue) for name in why or () if name != "all"]
        read, weather = gather(brief, catalogue, date.today())
        told.units = read.units
        from bedwright.export import (
            check_folder,
            letters_note,
            note_of,
            write_variants,
        )
        from bedwright.report import (
            item_rows,
            proof_words,
            say,
            variant_measures,
            why_kind,
            why_rows,
        )

        check_folder(out_folder)
        with progress_bar(len(STAGES)) as step:
            first = make_plan(
                read, catalogue=catalogue, weather=weather, seed=layout,
                proof_steps=steps if variants == 1 else 0, progress=step,
            )  # fmt: skip
        numbers, plans = [read.wishes.variant], [first]
        if variants > 1:
            laid = make_variants(
                first.brief, first.outline, catalogue, first.courses, first.light, layout,
                variants, steps, spent_on_ground(first.ground),
            )  # fmt: skip
            numbers = list(range(1, variants + 1))
            plans = [replace(first, planting=made) for made in laid]
        out.print(f"[bold]{escape(read.title)}[/bold], {escape(weather.site.label)}\n")
        for n, made in zip(numbers, plans, strict=True):
            heads = ["", "", "plants, spares", "drifts", "high", "apart"]
            table(f"Variant {n}", heads, item_rows(made.planting, read.units))
            notes = (say(note, read.units) for note in made.planting.notes)
            for words in (proof_words(made.planting), *notes):
                if words:
                    out.print(f"  {escape(words)}")
            out.print()
            if "all" in (why or ()):
                out.print("[bold]Why, drift by drift[/bold]")
                for letter, spot, words in why_rows(made.planting, read.units):
                    out.print(f"  {letter:<2} at {escape(spot)}: {escape(words)}")
                out.print()
            for kind in asked:
                for words in why_kind(made.planting, kind.key, kind.name, read.units):
                    out.print(f"  {escape(words)}")
        if len(plans) > 1:
            measures = [variant_measures(made) for made in plans]
            rows = [[name, *(m[name] for m in measures)] for name in measures[0]]
            table("Side by side", ["", *(f"variant {n}" for n in numbers)], rows)
            out.print("  The one to plan with: wishes.variant in the brief.\n")
        with progress_bar(2 * len(plans)) as step, writing(out_folder):
            write_variants(plans, out_folder, step)
        for words in note_of(letters_note(read, weather.site.label)):
            out.print(f"  note     {escape(words)}")
        out.print(f"Drawn in {escape(str(out_folder))}/.")


def _kind_named(name: str, catalogue: Catalogue) -> Kind:
    """A kind by any of its names."""
    from bedwright.brief import BriefError
    from bedwright.inputs import unknown_kind

    kind = catalogue.find(name)
    if kind is None:
        accepted = "a kind of the catalogue, or all"
        raise BriefError([unknown_kind("--why", name, catalogue, accepted)])
    return kind
