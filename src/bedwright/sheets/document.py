"""plan.json: the plan as plain data, its schema versioned and documented.

Lengths in metres, areas in square metres, volumes in cubic metres, weights in kilograms,
temperatures in degrees Celsius, water in millimetres; dates as year-month-day; places in the bed's
frame (x along the base line, y square to it on its left).  Numbers are rounded to six significant
figures.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
from pydantic import TypeAdapter

import bedwright
from bedwright.calendar import Task
from bedwright.cautions import Caution
from bedwright.ground import Ground
from bedwright.light import exposure, exposure_shares
from bedwright.plan import Plan
from bedwright.planting import Drift, Item
from bedwright.season import ATTRIBUTION, THRESHOLD_NAMES
from bedwright.sheets.reasons import why
from bedwright.supplies import Supplies

SCHEMA = "bedwright-plan/2"
"""Name and version of the schema; the number rises when a field changes its meaning or goes."""

ODDS = (0.5, 0.2, 0.1, 0.05)

Polygon = list[list[list[float]]]
"""Rings of [x, y]; the first is the outside, others are holes or further parts."""


@dataclass(frozen=True)
class SiteDoc:
    """The spot: label, degrees north and east, metres above the sea."""

    label: str
    latitude: float
    longitude: float
    altitude_m: float


@dataclass(frozen=True)
class FrostDoc:
    """Frost dates at one threshold.  ``spring``: odds to the day after which such a night comes
    with those odds; ``autumn``: odds to the day before which one comes; null where there is
    none."""

    threshold_c: float
    name: str
    spring: dict[str, date | None]
    autumn: dict[str, date | None]


@dataclass(frozen=True)
class SeasonDoc:
    """Where the weather comes from, how sure it is, and its dates."""

    start: date
    source: str
    basis: str
    notes: list[str]
    seasons: int
    doubt_days: float
    frost_risk: float
    dig: date
    ready: date
    frost: list[FrostDoc]


@dataclass(frozen=True)
class BedDoc:
    """The outline and who looks from where."""

    outline: Polygon
    area_m2: float
    edge_m: float
    bearing_deg: float
    viewed_from: list[float | str]


@dataclass(frozen=True)
class LightDoc:
    """Sun over the growing season: cells' places and hours a day, clear sky.

    ``exposure_shares``: of the bed over the growing season; ``exposure_shares_by_fortnight``: of it
    in full sun, part sun, part shade and shade.
    """

    cell_m: float
    cells: list[list[float]]
    hours: list[float]
    exposure_shares: dict[str, float]
    exposure_shares_by_fortnight: list[list[float]]
    median_by_fortnight: list[float]
    open_by_fortnight: list[float]


@dataclass(frozen=True)
class ItemDoc:
    """One colour form on the plan, under its letter."""

    letter: str
    kind: str
    name: str
    botanical: str
    colour: str
    srgb: str
    height_m: float
    spread_m: float
    spacing_m: float
    plants: int
    spares: int
    area_m2: float
    method: str
    sow: date | None
    out: date
    out_decided_by: str
    risk_after_out: float
    bloom_first: date | None
    bloom_last: date | None
    bloom_odds_by_fortnight: list[float]
    bloom_odds_by_week: list[float]
    cover_by_week: list[float]
    why: str


@dataclass(frozen=True)
class DriftDoc:
    """One patch: whose it is, its outline, its plants' places, its sun, its drills if sown."""

    number: int
    letter: str
    edging: bool
    outline: Polygon
    plants: list[list[float]]
    sun_h: float
    exposure: str
    drills: list[list[list[float]]]


@dataclass(frozen=True)
class IndoorDoc:
    """Raising indoors of one item."""

    letter: str
    wanted: int
    seeds: int
    containers: int
    odds_enough: float
    sow_from: date
    sow: date
    sow_until: date
    up_from: date
    prick_out: date | None
    pot_on: date | None
    harden_off: date
    set_out: date


@dataclass(frozen=True)
class InPlaceDoc:
    """Sowing in place of one item."""

    letter: str
    stations: int
    seeds_each: int
    drills: int
    drill_m: float
    drill_apart_m: float
    seed_every_m: float
    seeds: int
    odds_a_station: float
    sow: date
    up_from: date
    thin: date
    thin_to_one: date | None


@dataclass(frozen=True)
class BenchDoc:
    """Bench room in the week that begins on a day."""

    week: date
    area_m2: float
    plants: int


@dataclass(frozen=True)
class RaisingDoc:
    """How the plants are raised."""

    assurance: float
    indoor: list[IndoorDoc]
    in_place: list[InPlaceDoc]
    bought: list[str]
    bench: list[BenchDoc]


@dataclass(frozen=True)
class WaterDoc:
    """Water wanted beyond rain in the week that begins on a day: usual and one year in ten."""

    week: date
    usual_mm: float
    dry_year_mm: float


@dataclass(frozen=True)
class PlanDoc:
    """The whole plan."""

    schema_: str
    bedwright: str
    seed: int
    title: str
    units: str
    currency: str
    site: SiteDoc
    season: SeasonDoc
    bed: BedDoc
    light: LightDoc
    ground: Ground
    height_limit_m: float
    items: list[ItemDoc]
    drifts: list[DriftDoc]
    left_out: dict[str, str]
    raising: RaisingDoc
    water: list[WaterDoc]
    tasks: list[Task]
    notes: list[str]
    supplies: Supplies
    cautions: list[Caution]
    attribution: str


_ADAPTER = TypeAdapter(PlanDoc)


def plan_json(plan: Plan) -> str:
    """The plan as JSON text; the same plan gives the same text."""
    plain = _ADAPTER.dump_python(plan_document(plan), mode="json")
    plain = {"schema": plain.pop("schema_"), **plain}
    return json.dumps(_rounded(plain), ensure_ascii=False, indent=1) + "\n"


def plan_schema() -> dict[str, Any]:
    """JSON schema of plan.json (docs/plan.schema.json holds it)."""
    schema = _ADAPTER.json_schema(mode="serialization")
    schema["properties"] = {
        "schema": {"const": SCHEMA},
        **{k: v for k, v in schema["properties"].items() if k != "schema_"},
    }
    schema["required"] = ["schema" if k == "schema_" else k for k in schema["required"]]
    schema["title"] = SCHEMA
    return schema


def _rounded(value: Any) -> Any:
    """Floats to six significant figures throughout."""
    if isinstance(value, float):
        return float(f"{value:.6g}") if np.isfinite(value) else None
    if isinstance(value, dict):
        return {k: _rounded(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(v) for v in value]
    return value


def plan_document(plan: Plan) -> PlanDoc:
    """The plan's stage values as a document."""
    brief, season, planting = plan.brief, plan.season, plan.planting
    site = season.site
    return PlanDoc(
        schema_=SCHEMA,
        bedwright=bedwright.__version__,
        seed=plan.seed,
        title=brief.title,
        units=brief.units,
        currency=brief.currency,
        site=SiteDoc(site.label, site.latitude, site.longitude, site.altitude_m),
        season=_season(plan),
        bed=BedDoc(
            _rings(plan.outline.polygon),
            plan.outline.area_m2,
            plan.outline.perimeter_m,
            plan.outline.bearing_deg,
            list(plan.outline.viewed_from),
        ),
        light=_light(plan),
        ground=plan.ground,
        height_limit_m=planting.height_limit_m,
        items=[_item(plan, item) for item in planting.items],
        drifts=[_drift(plan, drift) for drift in planting.drifts],
        left_out=dict(sorted(planting.left_out.items())),
        raising=_raising(plan),
        water=_water(plan),
        tasks=list(plan.diary.tasks),
        notes=list(plan.notes),
        supplies=plan.supplies,
        cautions=list(plan.cautions),
        attribution=ATTRIBUTION,
    )


def _season(plan: Plan) -> SeasonDoc:
    season = plan.season

    def days(threshold: float, spring: bool) -> dict[str, date | None]:
        odds = season.freeze(spring, threshold)
        found = {f"{risk:.0%}": odds.day_at(risk) for risk in ODDS}
        return {k: None if v is None else season.day(v) for k, v in found.items()}

    return SeasonDoc(
        season.start,
        season.source,
        season.basis,
        list(season.notes),
        season.size,
        season.doubt_days,
        plan.brief.season.frost_risk,
        season.day(plan.dig),
        season.day(plan.ready),
        [FrostDoc(c, name, days(c, True), days(c, False)) for c, name in THRESHOLD_NAMES],
    )


def _light(plan: Plan) -> LightDoc:
    windows = [i.candidate.course.window for i in plan.planting.items]
    whole = slice(min(w.start for w in windows), max(w.stop for w in windows))
    light = plan.light
    return LightDoc(
        light.step_m,
        light.cells.tolist(),
        light.over(whole).tolist(),
        {str(name): share for name, share in exposure_shares(light.over(whole)).items()},
        [list(exposure_shares(hours).values()) for hours in light.hours],
        np.median(light.hours, axis=1).tolist(),
        light.open_hours.tolist(),
    )


def _item(plan: Plan, item: Item) -> ItemDoc:
    kind, course, day = item.candidate.kind, item.candidate.course, plan.season.day
    typical = course.bloom.typical
    sown, out = plan.days_of(item)
    return ItemDoc(
        item.letter,
        kind.key,
        kind.name,
        kind.botanical,
        item.candidate.colour.name,
        item.candidate.colour.srgb,
        kind.form.height_m,
        kind.form.spread_m,
        kind.form.spacing_m,
        item.plants,
        item.spares,
        item.area_m2,
        course.method,
        None if course.method == "bought" else day(sown),
        day(out),
        course.decided_by,
        course.risk,
        day(typical[0]) if typical else None,
        day(min(typical[1], 364)) if typical else None,
        course.bloom.odds.tolist(),
        course.bloom.weekly.tolist(),
        course.bloom.cover.tolist(),
        why(plan, item),
    )


def _drift(plan: Plan, drift: Drift) -> DriftDoc:
    return DriftDoc(
        drift.number,
        plan.planting.items[drift.item].letter,
        drift.ribbon,
        _rings(drift.polygon),
        drift.places.tolist(),
        drift.sun_h,
        exposure(drift.sun_h),
        [line.tolist() for line in drift.drills],
    )


def _rings(shape: Any) -> Polygon:
    parts = [p for p in getattr(shape, "geoms", [shape]) if p.geom_type == "Polygon"]
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    return [[[float(x), float(y)] for x, y in ring.coords] for ring in rings]


def _raising(plan: Plan) -> RaisingDoc:
    raising = plan.raising

    def day(index: int | None) -> date | None:
        return None if index is None else plan.season.day(index)

    must = plan.season.day
    return RaisingDoc(
        raising.assurance,
        [
            IndoorDoc(
                r.letter,
                r.wanted,
                r.seeds,
                r.containers,
                r.stand_odds,
                must(r.sow_first),
                must(r.sow),
                must(r.sow_last),
                must(r.up_first),
                day(r.prick_out),
                day(r.pot_on),
                must(r.harden),
                must(r.out),
            )
            for r in raising.indoor
        ],
        [
            InPlaceDoc(
                r.letter,
                r.stations,
                r.seeds_each,
                r.drills,
                r.drill_m,
                r.drill_apart_m,
                r.seed_every_m,
                r.seeds,
                r.station_odds,
                must(r.sow),
                must(r.up_first),
                must(r.thin_first),
                day(r.thin_last),
            )
            for r in raising.in_place
        ],
        list(raising.bought),
        [BenchDoc(must(w.start), w.area_m2, w.plants) for w in raising.bench],
    )


def _water(plan: Plan) -> list[WaterDoc]:
    usual, dry = np.quantile(plan.water_mm, [0.5, 0.9], axis=0)
    return [
        WaterDoc(plan.season.day(week * 7), float(usual[week]), float(dry[week]))
        for week in range(plan.water_mm.shape[1])
    ]
