"""Sheets drawn from a plan or a season: PDF, drawings, tables, calendar, JSON."""

from bedwright.sheets.document import SCHEMA, plan_json, plan_schema
from bedwright.sheets.folder import MANIFEST, FolderInTheWayError, check_folder
from bedwright.sheets.ground_sheet import BedGround
from bedwright.sheets.kind_card import (
    EATING_NOTE,
    POISON_NOTE,
    Sieve,
    kind_card,
    kind_rows,
    source_rows,
)
from bedwright.sheets.letters import letters_note, note_of, plan_letters
from bedwright.sheets.light_table import BedLight, KindSun, SunMonth, kind_suns, sun_months
from bedwright.sheets.planting_sheet import (
    item_rows,
    proof_words,
    scheme_measures,
    why_kind,
    why_rows,
)
from bedwright.sheets.season_pdf import season_json
from bedwright.sheets.season_sheet import (
    certainty_words,
    fitted_row,
    freeze_table,
    heading,
    legend,
    length_words,
    month_table,
    safe_table,
    short_day,
)
from bedwright.sheets.soil import base_line, offset_rows, soil_parts, stake_rows
from bedwright.sheets.words import thing_words
from bedwright.sheets.write import (
    FILES,
    GROUND_FILES,
    LIGHT_FILES,
    SEASON_FILES,
    scheme_files,
    write_ground,
    write_light,
    write_schemes,
    write_season,
    write_sheets,
)

__all__ = [
    "EATING_NOTE",
    "FILES",
    "GROUND_FILES",
    "LIGHT_FILES",
    "MANIFEST",
    "POISON_NOTE",
    "SCHEMA",
    "SEASON_FILES",
    "BedGround",
    "BedLight",
    "FolderInTheWayError",
    "KindSun",
    "Sieve",
    "SunMonth",
    "base_line",
    "certainty_words",
    "check_folder",
    "fitted_row",
    "freeze_table",
    "heading",
    "item_rows",
    "kind_card",
    "kind_rows",
    "kind_suns",
    "legend",
    "length_words",
    "letters_note",
    "month_table",
    "note_of",
    "offset_rows",
    "plan_json",
    "plan_letters",
    "plan_schema",
    "proof_words",
    "safe_table",
    "scheme_files",
    "scheme_measures",
    "season_json",
    "short_day",
    "soil_parts",
    "source_rows",
    "stake_rows",
    "sun_months",
    "thing_words",
    "why_kind",
    "why_rows",
    "write_ground",
    "write_light",
    "write_schemes",
    "write_season",
    "write_sheets",
]
