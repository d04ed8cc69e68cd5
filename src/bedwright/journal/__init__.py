"""What happened in a bed, and what follows from it."""

from typing import TYPE_CHECKING

from bedwright.ondemand import on_demand

if TYPE_CHECKING:
    from bedwright.journal.entry import (
        MOST_TEXT,
        OF,
        SPANS,
        Cause,
        Entry,
        What,
        entry_faults,
    )
else:
    __getattr__ = on_demand(__name__, __file__)

__all__ = [
    "MOST_TEXT",
    "OF",
    "SPANS",
    "Cause",
    "Entry",
    "What",
    "entry_faults",
]
