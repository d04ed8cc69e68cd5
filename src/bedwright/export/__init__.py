"""Files: PDF, JSON, CSV, iCalendar, and the folder they go into."""

from typing import TYPE_CHECKING

from bedwright.ondemand import on_demand

if TYPE_CHECKING:
    from bedwright.export.folder import MANIFEST, FolderInTheWayError, check_folder
    from bedwright.export.ground_sheet import GROUND_FILES, BedGround, write_ground
    from bedwright.export.json_plan import plan_json, plan_record, plan_schema
    from bedwright.export.letters import letters_note, note_of, plan_letters
    from bedwright.export.light_files import LIGHT_FILES, write_light
    from bedwright.export.plan_models import SCHEMA, PlanRecord
    from bedwright.export.season_pdf import SEASON_FILES, season_json, write_season
    from bedwright.export.sheets import sheet_data
    from bedwright.export.write import FILES, variant_files, write_sheets, write_variants
else:
    __getattr__ = on_demand(__name__, __file__)

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
    "sheet_data",
    "variant_files",
    "write_ground",
    "write_light",
    "write_season",
    "write_sheets",
    "write_variants",
]
