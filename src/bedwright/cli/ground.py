"""``bedwright ground``: the soil sheet."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from bedwright.cli.console import (
    BriefArgument,
    escape,
    faults,
    out,
    part_lines,
    progress_bar,
    table,
)
from bedwright.cli.stopping import writing


def ground(
    brief: BriefArgument,
    out_folder: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for the sheet.")
    ] = Path("ground"),
) -> None:
    """The soil sheet: marking out, clearing, filling, feeding and liming a brief's bed."""
    from bedwright.inputs import catalogue_of, checks, gather  # noqa: F401  checks: for gather
    from bedwright.plan import set_out
    from bedwright.work import ground_cautions

    with faults(brief) as told:
        catalogue = catalogue_of(brief)
        read, weather = gather(brief, catalogue, date.today())
        told.units = read.units
        from bedwright.export import (
            GROUND_FILES,
            BedGround,
            check_folder,
            letters_note,
            note_of,
            write_ground,
        )
        from bedwright.report import (
            base_line,
            caution_title,
            offset_rows,
            say,
            soil_parts,
            stake_rows,
            tape_rows,
            tape_words,
        )

        check_folder(out_folder)
        setting = set_out(read, catalogue, weather)
        outline, made, _, dig, ready, _ = setting
        work = setting.ground_of(read)
        cautions = ground_cautions(read, outline, work)
        bed = BedGround(read, outline, made, dig, ready, work, cautions)
        out.print(f"[bold]{escape(read.title)}[/bold], {escape(weather.site.label)}\n")
        first, *others = cautions
        words = escape(say(first, read.units))
        out.print(f"[bold]{caution_title(first)}.[/bold] {words}\n")
        for n, part in enumerate(soil_parts(bed)):
            part_lines(part)
            if n == 0:
                out.print(f"  {escape(base_line(bed))}")
                table("Stakes", ["stake", "along", "out"], [list(r) for r in stake_rows(bed)])
                if tapes := tape_rows(bed):
                    out.print(f"  {escape(tape_words(bed))}")
                    table("Tapes", ["stake", "from A", "from B"], [list(r) for r in tapes])
                if offsets := offset_rows(bed):
                    table("Or by offsets", ["along", "near", "far"], [list(r) for r in offsets])
                out.print()
        for caution in others:
            words = escape(say(caution, read.units))
            out.print(f"[bold]{caution_title(caution)}.[/bold] {words}")
        with progress_bar(len(GROUND_FILES)) as step, writing(out_folder):
            write_ground(bed, out_folder, step)
        for words in note_of(letters_note(read, weather.site.label)):
            out.print(f"  note     {escape(words)}")
        out.print(f"\nPrinted in {escape(str(out_folder))}/ground.pdf.")
