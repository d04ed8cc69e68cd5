"""The season on one page as a PDF, as a drawing and as JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

import bedwright
from bedwright.climate import ATTRIBUTION
from bedwright.draw import Canvas, season_chart
from bedwright.export.folder import fill_folder, in_turn
from bedwright.export.plain import plain
from bedwright.export.press import Drawings, add_drawing, print_pdf, to_png
from bedwright.growth import RISKS, Outlook
from bedwright.report import (
    answer_words,
    certainty_words,
    fitted_row,
    freeze_heads,
    freeze_table,
    heading,
    heat_table,
    legend,
    length_words,
    month_table,
    safe_table,
    say,
    sentence,
    sentences,
    short_day,
)
from bedwright.units import System

SEASON_FILES = ("season.pdf", "season.svg", "season.png", "season.json")


def write_season(
    outlook: Outlook, units: System, folder: Path, progress: Callable[[str], None] = lambda _: None
) -> list[Path]:
    """Write the sheets of a season, as write_sheets those of a plan."""
    canvas = season_chart(outlook, units)
    makers: dict[str, Callable[[], bytes]] = {
        "season.pdf": lambda: season_pdf(outlook, units, canvas),
        "season.svg": lambda: canvas.render().encode(),
        "season.png": lambda: to_png(canvas),
        "season.json": lambda: season_json(outlook, units).encode(),
    }
    return fill_folder(folder, in_turn(SEASON_FILES, makers, progress))


def season_pdf(outlook: Outlook, units: System, chart: Canvas | None = None) -> bytes:
    """One page: the chart (drawn unless it is given), the freezes, the safe days, the months."""
    drawings: Drawings = {}
    data: dict[str, Any] = {
        "title": outlook.season.site.label,
        "paper": "us-letter" if units == "us" else "a4",
        "heading": heading(outlook),
        "basis": sentence(f"weather from {say(outlook.season.basis, units)}"),
        "notes": sentences(outlook.season.notes, units),
        "answer": answer_words(outlook),
        "certainty": certainty_words(outlook, units),
        "chart": add_drawing(chart or season_chart(outlook, units), drawings, "season.svg"),
        "risks": [f"{risk:.0%}" for risk in RISKS],
        "freezes": [*freeze_table(outlook, units), fitted_row(outlook, units)],
        "freeze_heads": list(freeze_heads(outlook.season)),
        "heat": heat_table(outlook, units),
        "lengths": length_words(outlook),
        "workable": short_day(outlook.season, outlook.workable),
        "safe": safe_table(outlook, units),
        "months": month_table(outlook, units),
        "legend": legend(units),
        "attribution": ATTRIBUTION,
        "version": bedwright.__version__,
    }
    return print_pdf(drawings, "season.typ", data)


def season_json(outlook: Outlook, units: System) -> str:
    """The outlook as JSON: days as dates, temperatures in °C, rain in mm; what is stated as in
    plan.json, its words in the ``units`` asked for."""
    season = outlook.season

    def days(values: tuple[float | int | None, ...]) -> list[str | None]:
        return [None if v is None else season.day(v).isoformat() for v in values]

    body = {
        "place": asdict(season.site),
        "growing_year_begins": season.start.isoformat(),
        "source": season.source,
        "basis": plain(season.basis, units),
        "notes": plain(season.notes, units),
        "doubt_days": round(season.doubt_days, 1),
        "risks": list(RISKS),
        "freezes": [
            {
                "threshold_c": round(row.threshold_c, 2),
                "name": row.name,
                "last_spring": days(row.spring),
                "first_autumn": days(row.autumn),
                "last_spring_fitted": days(row.fitted_spring),
                "first_autumn_fitted": days(row.fitted_autumn),
            }
            for row in outlook.freezes
        ],
        "freeze_free_days": list(outlook.lengths),
        "workable": season.day(outlook.workable).isoformat(),
        "safe": [
            {
                "class": row.hardiness,
                "night_c": row.night_c,
                "soil_c": row.soil_c,
                "from": days(row.days),
                "decided_by": list(row.decided_by),
            }
            for row in outlook.safe
        ],
        "heat": [{"limit_c": row.limit_c, "past_from": days(row.days)} for row in outlook.heat],
        "cool_season_begins": days((outlook.cool,))[0],
        "months": [
            {
                "month": month.number,
                "tmin_c": round(month.tmin_c, 1),
                "tmax_c": round(month.tmax_c, 1),
                "tmin_range_c": [round(value, 1) for value in month.tmin_range_c],
                "tmax_range_c": [round(value, 1) for value in month.tmax_range_c],
                "soil_c": round(month.soil_c, 1),
                "rain_mm": {
                    name: round(value, 1)
                    for name, value in zip(("usual", "dry", "wet"), month.rain_mm, strict=True)
                },
                "heat_degree_days": round(month.heat, 1),
                "day_h": round(month.day_h, 2),
            }
            for month in outlook.months
        ],
        "attribution": ATTRIBUTION,
    }
    return json.dumps(body, indent=1, ensure_ascii=False) + "\n"
