"""Files: PDF, JSON, CSV, iCalendar, and the folder they go into."""

from bedwright.export.folder import (
    MANIFEST,
    FolderInTheWayError,
    check_folder,
)
from bedwright.export.ground_sheet import (
    BedGround,
)
from bedwright.export.letters import (
    letters_note,
    note_of,
    plan_letters,
)
from bedwright.export.plan_json import plan_json, plan_record, plan_schema
from bedwright.export.plan_models import SCHEMA, PlanRecord
from bedwright.export.season_pdf import (
    season_json,
)
from bedwright.export.write import (
    FILES,
    GROUND_FILES,
    LIGHT_FILES,
    SEASON_FILES,
    variant_files,
    write_ground,
    write_light,
    write_season,
    write_sheets,
    write_variants,
)

__all__ = [
    "FILES",
    "GROUND_FILES",
    "LIGHT_FILES",
    "MANIFEST",
    "SCHEMA",
    "SEASON_FILES",
    "BedGround",
    "FolderInTheWayError",
    "PlanRecord",
    "check_folder",
    "letters_note",
    "note_of",
    "plan_json",
    "plan_letters",
    "plan_record",
    "plan_schema",
    "season_json",
    "variant_files",
    "write_ground",
    "write_light",
    "write_season",
    "write_sheets",
    "write_variants",
]
