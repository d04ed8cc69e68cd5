"""A bed that is grown by the plan of an example, in any year."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from bedwright.export import plan_json
from bedwright.plan import Plan
from bedwright.store import plain

EXAMPLES = Path(__file__).parents[1] / "examples"


def in_year(plan: Plan, year: int) -> str:
    """An example's plan as plan.json, moved from 2027 to another year, which need not be a leap
    year: its days are of the months."""
    text = re.sub(r'"(20\d\d)-', lambda found: f'"{int(found[1]) - 2027 + year}-', plan_json(plan))
    return text.replace('"year": 2027', f'"year": {year}').replace('"year":2027', f'"year":{year}')


def brief_in_year(year: int, name: str = "front-walk-oval") -> dict[str, Any]:
    """An example's brief as plain values, for another year."""
    values: dict[str, Any] = plain(tomllib.loads((EXAMPLES / f"{name}.toml").read_text("utf-8")))
    values.pop("dates", None)  # they are of its own year
    values["season"] = {**values.get("season", {}), "year": year}
    record = values["place"].get("record")
    if record:
        record["file"] = str(EXAMPLES / record["file"])
    return values
