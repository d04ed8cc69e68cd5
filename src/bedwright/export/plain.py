"""Facts as plain data, for JSON."""

from __future__ import annotations

from datetime import date
from typing import Any

from bedwright.facts import Fact
from bedwright.report import say


def plain(value: Any, units: Any) -> Any:
    """A value of a fact as plain data: facts within it as statements, dates as text."""
    if isinstance(value, Fact):
        return {"code": value.code, "values": plain(value.values, units),
                "text": say(value, units)}  # fmt: skip
    if isinstance(value, dict):
        return {str(key): plain(item, units) for key, item in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        items = sorted(value) if isinstance(value, set | frozenset) else value
        return [plain(item, units) for item in items]
    return value.isoformat() if isinstance(value, date) else value
