"""Sheets drawn from a plan: PDF pack, drawings, tables, calendar, JSON."""

from bedwright.sheets.document import SCHEMA, plan_json, plan_schema
from bedwright.sheets.write import FILES, FolderInTheWayError, write_sheets

__all__ = ["FILES", "SCHEMA", "FolderInTheWayError", "plan_json", "plan_schema", "write_sheets"]
