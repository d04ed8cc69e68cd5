"""plan.json: the plan as plain data, in the form that ``plan_schema`` sets out.

Coordinates are rounded to a tenth of a millimetre on a grid that keeps outlines valid, hours of
light to a hundredth, all other numbers to six significant figures.
"""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

import bedwright
from bedwright.brief import Learned
from bedwright.climate import ATTRIBUTION, THRESHOLD_NAMES
from bedwright.export import plan_models as form
from bedwright.light import exposure, exposure_shares
from bedwright.plan import Plan
from bedwright.planting import Drift, Item
from bedwright.report import caution_title, task_reason
from bedwright.work import Task

GRID_M = 1e-4
"""Coordinates stand on a grid this wide."""

ODDS = (0.5, 0.2, 0.1, 0.05)


def plan_json(plan: Plan) -> str:
    """The plan as JSON text; the same plan gives the same text."""
    plain = plan_record(plan).model_dump(mode="json", by_alias=True)
    return json.dumps(_rounded(plain), ensure_ascii=False, indent=1) + "\n"


def plan_schema() -> dict[str, Any]:
    """JSON schema of plan.json (docs/plan.schema.json holds it)."""
    schema = form.PlanRecord.model_json_schema(by_alias=True, mode="serialization")
    return {**schema, "title": form.SCHEMA}


def plan_record(plan: Plan) -> form.PlanRecord:
    """The plan's values in the public form."""
    brief, season, planting, site = plan.brief, plan.season, plan.planting, plan.season.site
    whole = {
        "schema": form.SCHEMA,
        "bedwright": bedwright.__version__,
        "layout": plan.seed,
        "title": brief.title,
        "units": brief.units,
        "currency": brief.currency,
        "site": site,
        "season": _season(plan),
        "learned": _learned(brief.learned),
        "bed": {
            "outline": _outline(plan.outline.polygon),
            "area_m2": plan.outline.area_m2,
            "edge_m": plan.outline.perimeter_m,
            "bearing_deg": plan.outline.bearing_deg,
            "viewed_from": list(plan.outline.viewed_from),
        },
        "light": _light(plan),
        "ground": _ground(plan),
        "height_limit_m": planting.height_limit_m,
        "items": [_item(plan, item) for item in planting.items],
        "drifts": [_drift(plan, drift) for drift in planting.drifts],
        "left_out": [
            {"kind": key, "reason": reason} for key, reason in sorted(planting.left_out.items())
        ],
        "raising": _raising(plan),
        "water": _water(plan),
        "tasks": [_task(plan, task) for task in plan.diary.tasks],
        "notes": plan.notes,
        "supplies": plan.supplies,
        "cautions": [
            {"title": caution_title(c), "hazard": c, "letters": c.letters} for c in plan.cautions
        ],
        "attribution": ATTRIBUTION,
    }
    read = form.PlanRecord.model_validate
    return read(whole, context={"units": brief.units, "day": season.day})


def _rounded(value: Any) -> Any:
    """Floats to six significant figures; coordinates, which stand on the grid, as they are."""
    if isinstance(value, float):
        if not np.isfinite(value):
            return None
        on_grid = round(value, 4)
        return on_grid if abs(value - on_grid) < 1e-9 else float(f"{value:.6g}")
    if isinstance(value, dict):
        return {k: _rounded(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(v) for v in value]
    return value


def _places(points: NDArray[np.floating]) -> list[Any]:
    """Points on the grid."""
    return np.round(np.asarray(points, float), 4).tolist()  # type: ignore[no-any-return]


def _outline(shape: BaseGeometry) -> list[list[list[Any]]]:
    """Polygons of rings on the grid; rounding each corner by itself could make edges cross."""
    on_grid = shapely.set_precision(shape, GRID_M)
    parts = [p for p in getattr(on_grid, "geoms", [on_grid]) if p.geom_type == "Polygon"]
    return [
        [_places(np.array(ring.coords)) for ring in (part.exterior, *part.interiors)]
        for part in parts
    ]


def _season(plan: Plan) -> dict[str, Any]:
    season = plan.season

    def days(threshold: float, spring: bool) -> dict[str, date | None]:
        odds = season.freeze(spring, threshold)
        found = {f"{risk:.0%}": odds.day_at(risk) for risk in ODDS}
        return {k: None if v is None else season.day(v) for k, v in found.items()}

    return {
        "year": plan.brief.season.year,
        "start": season.start,
        "source": season.source,
        "basis": season.basis,
        "notes": season.notes,
        "seasons": season.size,
        "doubt_days": season.doubt_days,
        "frost_risk": plan.brief.season.frost_risk,
        "dig": season.day(plan.dig),
        "ready": season.day(plan.ready),
        "frost": [
            {"threshold_c": c, "name": name, "spring": days(c, True), "autumn": days(c, False)}
            for c, name in THRESHOLD_NAMES
        ],
    }


def _learned(learned: Learned) -> dict[str, Any]:
    return {
        "until": learned.until,
        "nights_c": learned.nights,
        "nights_error_c": learned.nights_error,
        "germination": learned.germination,
        "survival": learned.survival,
        "flowering": learned.flowering,
        "flowering_error": learned.flowering_error,
    }


def _light(plan: Plan) -> dict[str, Any]:
    windows = [i.candidate.course.window for i in plan.planting.items]
    whole = slice(min(w.start for w in windows), max(w.stop for w in windows))
    light = plan.light
    over = light.over(whole)

    def hours(values: NDArray[np.floating]) -> list[Any]:
        return np.round(np.asarray(values, float), 2).tolist()  # type: ignore[no-any-return]

    return {
        "cell_m": light.step_m,
        "cells": _places(light.cells),
        "hours_by_fortnight": hours(light.hours),
        "hours_over_season": hours(over),
        "exposure_shares": {str(name): share for name, share in exposure_shares(over).items()},
        "exposure_shares_by_fortnight": [list(exposure_shares(h).values()) for h in light.hours],
        "median_by_fortnight": hours(np.median(light.hours, axis=1)),
        "open_by_fortnight": hours(light.open_hours),
    }


def _ground(plan: Plan) -> dict[str, Any]:
    ground = plan.ground
    ways = ground.clearing
    return {
        "worked_m2": ground.worked_m2,
        "mark_out": ground.markout,
        "clearing": None
        if ways is None
        else {
            "ways": ways.ways,
            "advised": ways.advised.key,
            "why": ways.why,
            "chosen": ways.chosen.key,
        },
        "sod": ground.sod,
        "refill": ground.refill,
        "feed": ground.feed,
        "ph": ground.ph,
        "settle_days": ground.settle_days,
        "soak_m3": ground.soak_m3,
        "dig_minutes": ground.dig_minutes,
    }


def _item(plan: Plan, item: Item) -> dict[str, Any]:
    kind, course, day = item.candidate.kind, item.candidate.course, plan.season.day
    typical, form_ = course.bloom.typical, kind.form
    sown, out = plan.days_of(item)
    return {
        "letter": item.letter,
        "kind": kind.key,
        "name": kind.name,
        "botanical": kind.botanical,
        "colour": item.candidate.colour.name,
        "srgb": item.candidate.colour.srgb,
        "height_m": form_.height_m,
        "spread_m": form_.spread_m,
        "spacing_m": form_.spacing_m,
        "plants": item.plants,
        "spares": item.spares,
        "area_m2": item.area_m2,
        "method": course.method,
        "sow": None if course.method == "bought" else day(sown),
        "out": day(out),
        "out_decided_by": course.decided_by,
        "sow_again": None if course.again is None else day(plan.day_again(item, course.again)),
        "risk_after_out": course.risk,
        "bloom_first": day(typical[0]) if typical else None,
        "bloom_last": day(min(typical[1], 364)) if typical else None,
        "bloom_odds_by_fortnight": course.bloom.odds.tolist(),
        "bloom_odds_by_week": course.bloom.weekly.tolist(),
        "cover_by_week": course.bloom.cover.tolist(),
        "why": list(item.why),
    }


def _drift(plan: Plan, drift: Drift) -> dict[str, Any]:
    return {
        "number": drift.number,
        "letter": plan.planting.items[drift.item].letter,
        "edging": drift.ribbon,
        "outline": _outline(drift.polygon),
        "plants": _places(drift.places),
        "sun_h": drift.sun_h,
        "exposure": str(exposure(drift.sun_h)),
        "rows": [_places(line) for line in drift.rows],
        "why": drift.why,
    }


def _raising(plan: Plan) -> dict[str, Any]:
    raising, day = plan.raising, plan.season.day

    def at(index: int | None) -> date | None:
        return None if index is None else day(index)

    return {
        "assurance": raising.assurance,
        "indoor": [
            {
                "letter": r.letter,
                "wanted": r.wanted,
                "seeds": r.seeds,
                "containers": r.containers,
                "odds_enough": r.stand_odds,
                "sow_from": day(r.sow_first),
                "sow": day(r.sow),
                "sow_until": day(r.sow_last),
                "up_from": day(r.up_first),
                "prick_out": at(r.prick_out),
                "pot_on": at(r.pot_on),
                "harden_off": day(r.harden),
                "set_out": day(r.out),
            }
            for r in raising.indoor
        ],
        "in_place": [
            {
                "letter": r.letter,
                "again": r.again,
                "spots": r.spots,
                "seeds_each": r.seeds_each,
                "rows": r.rows,
                "row_m": r.row_m,
                "row_apart_m": r.row_apart_m,
                "seed_every_m": r.seed_every_m,
                "seeds": r.seeds,
                "odds_a_spot": r.spot_odds,
                "sow": day(r.sow),
                "up_from": day(r.up_first),
                "thin": day(r.thin_first),
                "thin_to_one": at(r.thin_last),
            }
            for r in raising.in_place
        ],
        "bought": raising.bought,
        "bench": [
            {"week": day(w.start), "area_m2": w.area_m2, "plants": w.plants} for w in raising.bench
        ],
    }


def _task(plan: Plan, task: Task) -> dict[str, Any]:
    return {
        "key": task.key,
        "job": task.job,
        "reason": task_reason(task, plan.brief.units),
        "where": task.where,
        "earliest": task.earliest,
        "best": task.best,
        "latest": task.latest,
        "letters": task.letters,
        "waits_for": task.waits_for,
        "watch": task.watch,
        "moved": task.moved,
        "weekly_until": task.weekly_until,
    }


def _water(plan: Plan) -> list[dict[str, Any]]:
    usual, dry = np.quantile(plan.water_mm, [0.5, 0.9], axis=0)
    return [
        {
            "week": plan.season.day(week * 7),
            "usual_mm": float(usual[week]),
            "dry_year_mm": float(dry[week]),
        }
        for week in range(plan.water_mm.shape[1])
    ]
