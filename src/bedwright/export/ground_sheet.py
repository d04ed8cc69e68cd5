"""The soil sheet on its own: PDF, and the lines the terminal prints."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import bedwright
from bedwright.brief import Brief
from bedwright.climate import Season
from bedwright.draw import stake_plan
from bedwright.export.folder import fill_folder, in_turn
from bedwright.export.letters import letters_note, note_of
from bedwright.export.press import Drawings, add_drawing, print_pdf
from bedwright.geometry import Outline
from bedwright.ground import Ground
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
from bedwright.work import Caution

GROUND_FILES = ("ground.pdf",)


@dataclass(frozen=True)
class BedGround:
    """A bed's ground work without a plan."""

    brief: Brief
    outline: Outline
    season: Season
    dig: int
    ready: int
    ground: Ground
    cautions: tuple[Caution, ...]


def write_ground(
    bed: BedGround, folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the soil sheet of a bed, as write_sheets those of a plan."""
    makers = {"ground.pdf": lambda: ground_pdf(bed)}
    return fill_folder(folder, in_turn(GROUND_FILES, makers, progress))


def ground_pdf(bed: BedGround) -> bytes:
    """The soil sheet, with the cautions that go with it."""
    drawings: Drawings = {}
    data: dict[str, Any] = {
        "title": bed.brief.title,
        "heading": bed.season.site.label,
        "paper": {"letter": "us-letter", "a4": "a4"}[bed.brief.paper_size],
        "soil": [
            {"heading": part.heading, "lines": [asdict(line) for line in part.lines]}
            for part in soil_parts(bed)
        ],
        "stakes": stake_rows(bed),
        "tapes": tape_rows(bed),
        "tape_words": tape_words(bed),
        "offsets": offset_rows(bed),
        "plan": add_drawing(stake_plan(bed), drawings, "stakes.svg"),
        "base_line": base_line(bed),
        "notes": note_of(letters_note(bed.brief, bed.season.site.label)),
        "cautions": [
            {"title": caution_title(caution), "words": say(caution, bed.brief.units)}
            for caution in bed.cautions
        ],
        "version": bedwright.__version__,
    }
    return print_pdf(drawings, "ground.typ", data)
