"""Hours of sun on a bed while it is drawn: those of the plan, on fewer cells."""

from __future__ import annotations

import calendar
import json
import threading
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from bedwright.store import Values
from bedwright.web.fields import at_path

if TYPE_CHECKING:
    from bedwright.climate import Season

CELLS = 600
"""Cells of the map, about, at most: enough for what is drawn, and worked out while things move."""

KEPT_SKIES = 20


class Sky(NamedTuple):
    """What the sun on any bed of a place depends on: its season, when trees are in leaf (indices
    into the growing year), and the months of its fortnights."""

    season: Season
    leaf: tuple[int, int]
    months: tuple[int, ...]

    @property
    def longest(self) -> int:
        """The month of the longest days."""
        return 6 if self.season.site.latitude >= 0.0 else 12


class SunMaps:
    """Maps of the sun on beds of a folder; the skies of places asked for lie ready."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._skies: dict[str, Sky] = {}
        self._lock = threading.Lock()

    def of(self, values: Values, month: int | None) -> dict[str, Any]:
        """Hours of direct sun on a clear day of a month, mean over its fortnights; without one, of
        the month of the longest days.

        ``cells``: of each its middle (metres, in the bed's frame) and its hours; ``step``: their
        width, metres; ``open``: hours with nothing around.  Raises BriefError or GeometryError.
        """
        from bedwright.brief import read_brief
        from bedwright.geometry import outline_of
        from bedwright.light import bodies_of, sun_hours

        brief = read_brief(values)
        outline = outline_of(brief.bed)
        bodies = bodies_of(outline, brief.surroundings)
        sky = self._sky(values)
        month = month or sky.longest
        which = [n for n, one in enumerate(sky.months) if one == month]
        skyline = brief.place.horizon
        light = sun_hours(outline, bodies, sky.season, sky.leaf, skyline, CELLS, which)
        hours = light.hours[which].mean(axis=0)
        return {
            "month": calendar.month_name[month],
            "step": round(light.step_m, 4),
            "cells": [
                [round(float(x), 3), round(float(y), 3), round(float(h), 1)]
                for (x, y), h in zip(light.cells, hours, strict=True)
            ],
            "open": round(float(light.open_hours[which].mean()), 1),
        }

    def _sky(self, values: Values) -> Sky:
        """The sky over a brief's place in its growing year."""
        from bedwright.api import read_brief
        from bedwright.climate import FORTNIGHTS, leaf_days, make_season, soil_temperature

        about = {name: values.get(name) for name in ("place", "season", "dates")}
        key = json.dumps([about, date.today().isoformat(), self._changed(values)], sort_keys=True)
        sky = self._skies.get(key)
        if sky is None:
            inputs = read_brief(values, folder=self._folder)
            year = inputs.brief.season.year
            assert year is not None  # read_brief settles it
            season = make_season(inputs.weather, year, inputs.brief.place.frost, 0)
            leaf = leaf_days(season, soil_temperature(season.tmean_c))
            months = tuple(season.day(14 * n + 7).month for n in range(FORTNIGHTS))
            sky = Sky(season, leaf, months)
            with self._lock:
                if len(self._skies) >= KEPT_SKIES:
                    self._skies.clear()
                self._skies[key] = sky
        return sky

    def _changed(self, values: Values) -> int:
        """When the weather record of a brief was last changed; 0 without one."""
        named = at_path(values, "place.record.file")
        try:
            return (self._folder / str(named)).stat().st_mtime_ns if named else 0
        except OSError:
            return 0
