"""Plans a bed of annual flowers: what to grow, where, how many, when, and all the work there is.

::

    import bedwright

    inputs = bedwright.read_brief("my-bed.toml")
    plan = bedwright.make_plan(inputs)
    bedwright.write_sheets(plan, "my-bed")

Names are loaded when they are first used.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from bedwright.api import (
        Inputs,
        draw_bed,
        draw_bloom,
        draw_planting,
        draw_season,
        frame,
        journal_of,
        kinds,
        make_plan,
        read_brief,
        season_of,
        tables,
        when,
        write_sheets,
    )
    from bedwright.brief import BriefError, Fault
    from bedwright.climate import SeasonError
    from bedwright.export import FolderInTheWayError
    from bedwright.geometry import GeometryError
    from bedwright.growth import Outlook, When
    from bedwright.journal import LineError
    from bedwright.noted import EntryError, Notebook, Noted
    from bedwright.plan import Plan
    from bedwright.planting import ChangeError, NothingFitsError
    from bedwright.store import NoSuchBedError, StoreError

_WHERE = {
    "api": (
        "Inputs",
        "draw_bed",
        "draw_bloom",
        "draw_planting",
        "draw_season",
        "frame",
        "journal_of",
        "kinds",
        "make_plan",
        "read_brief",
        "season_of",
        "tables",
        "when",
        "write_sheets",
    ),
    "brief": ("BriefError", "Fault"),
    "climate": ("SeasonError",),
    "export": ("FolderInTheWayError",),
    "geometry": ("GeometryError",),
    "growth": ("Outlook", "When"),
    "plan": ("Plan",),
    "planting": ("ChangeError", "NothingFitsError"),
    "journal": ("LineError",),
    "noted": ("EntryError", "Notebook", "Noted"),
    "store": ("NoSuchBedError", "StoreError"),
}

__all__ = [
    "BriefError",
    "ChangeError",
    "EntryError",
    "Fault",
    "FolderInTheWayError",
    "GeometryError",
    "Inputs",
    "LineError",
    "NoSuchBedError",
    "Notebook",
    "Noted",
    "NothingFitsError",
    "Outlook",
    "Plan",
    "SeasonError",
    "StoreError",
    "When",
    "draw_bed",
    "draw_bloom",
    "draw_planting",
    "draw_season",
    "frame",
    "journal_of",
    "kinds",
    "make_plan",
    "read_brief",
    "season_of",
    "tables",
    "when",
    "write_sheets",
]


def __getattr__(name: str) -> Any:
    for module, names in _WHERE.items():
        if name in names:
            return getattr(importlib.import_module(f"bedwright.{module}"), name)
    raise AttributeError(f"module 'bedwright' has no attribute '{name}'")


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])
