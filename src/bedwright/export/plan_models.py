"""What plan.json holds, field by field: a public form of its own, apart from the code's classes.

Lengths are in metres, areas in square metres, volumes in cubic metres, weights in kilograms,
temperatures in degrees Celsius, water in millimetres, shares and odds from 0 to 1.  Dates are
year-month-day.  Places are [x, y] in the bed's frame: x along the base line, y square to it on its
left.  Outlines are the coordinates of a MultiPolygon as in RFC 7946, in the bed's frame: polygons,
each a list of closed rings, the first outside and the others holes.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo

from bedwright.climate import Source
from bedwright.export.plain import plain
from bedwright.facts import Fact

SCHEMA = "bedwright-plan/3"
"""Name and version of the schema; the number rises when a field changes its meaning or goes."""

Point = tuple[float, float]
Outline = list[list[list[Point]]]
Share = Annotated[float, Field(ge=0.0, le=1.0)]
Fortnights = Annotated[list[Share], Field(min_length=26, max_length=26)]
Weeks = Annotated[list[Share], Field(min_length=52, max_length=52)]


class Part(BaseModel):
    """Base of the parts of a plan: read from the plan's values by the names of the fields."""

    model_config = ConfigDict(
        from_attributes=True, frozen=True, extra="forbid", use_attribute_docstrings=True
    )


class Statement(Part):
    """One thing that the plan says: its code, the values in it, and its words."""

    code: str
    """Name of what is said, such as ``too_little_bloom``."""
    values: dict[str, Any]
    """What it says it of, by name; numbers in the units above, statements within it as such."""
    text: str
    """In words, in the units of the brief."""


def _stated(value: Any, info: ValidationInfo) -> Any:
    """A fact as a statement, worded in the units that the context names."""
    units = (info.context or {}).get("units", "metric")
    return plain(value, units) if isinstance(value, Fact) else value


Stated = Annotated[Statement, BeforeValidator(_stated)]


class Site(Part):
    """The spot on earth."""

    label: str
    latitude: float
    longitude: float
    altitude_m: float


class Frost(Part):
    """Frost dates at one threshold, by odds."""

    threshold_c: float
    name: str
    spring: dict[str, date | None]
    """The day after which such a night comes with those odds; null where there is none."""
    autumn: dict[str, date | None]
    """The day before which such a night comes with those odds; null where there is none."""


class Season(Part):
    """Where the weather comes from, how sure it is, and its dates."""

    year: int
    """The growing year; in the south, or where summers are too hot, it begins the year before."""
    start: date
    """First day of the growing year."""
    source: Source
    """Where the odds of freezes come from: a record; what is stated of frost (dates); a record of a
    few years joined to world normals; the normals alone."""
    basis: Stated
    notes: list[Stated]
    seasons: int
    """Seasons that odds are counted over."""
    doubt_days: float
    """Standard error of the dates of frost, for what is not known of the place."""
    frost_risk: Share
    """Odds of a killing night after planting that the brief accepts."""
    dig: date
    ready: date
    """The day the bed is dug, and the day the soil has settled."""
    frost: list[Frost]


class Learned(Part):
    """Figures of the garden's own journal that the plan was made with, by kind or ``others``."""

    until: date | None
    nights_c: float | None
    """By how much its cold nights are warmer than the source of the weather has them."""
    nights_error_c: float | None
    germination: dict[str, float]
    """The share of seed that comes up, beside the catalogue's."""
    survival: dict[str, Share]
    flowering: dict[str, float]
    """Days by which first flowers come later than by the model."""
    flowering_error: dict[str, Share]
    """What is left of the error of the model's days to bloom."""


class Bed(Part):
    """The outline, and who looks from where."""

    outline: Outline
    area_m2: float
    edge_m: float
    bearing_deg: float
    """Direction of the base line, degrees clockwise from north."""
    viewed_from: list[float | str]


class Light(Part):
    """Hours of direct sun a day under a clear sky, by cell and fortnight."""

    cell_m: float
    """Width of a cell."""
    cells: list[Point]
    """Centres of the cells."""
    hours_by_fortnight: Annotated[list[list[float]], Field(min_length=26, max_length=26)]
    """Of every cell, in each fortnight of the growing year."""
    hours_over_season: list[float]
    """Of every cell, the mean over the fortnights in which the plan's plants stand."""
    exposure_shares: dict[str, Share]
    """Share of the bed in full sun, part sun, part shade and shade over that season."""
    exposure_shares_by_fortnight: list[list[Share]]
    median_by_fortnight: list[float]
    open_by_fortnight: list[float]
    """Of open level ground."""


class MarkOut(Part):
    """Where to set stakes and string."""

    stakes: list[Point]
    names: list[str]
    """Of the stakes; 3a stands between pegs 3 and 4 of a curve."""
    tapes_m: list[Point]
    """Of each stake, its distances from the stakes A and B; empty where the bed was not measured
    with two tapes."""
    edge_m: float
    string_m: float
    area_m2: float
    area_error_m2: float
    """Standard error of the area, from tape read to 1 cm."""
    diagonals_m: Point | None
    square_m: tuple[float, float, float] | None
    """Of a rectangle: the sides and the slant of the 3-4-5 triangle in its corner."""
    offsets: list[tuple[float, float, float]]
    """Of a curved edge: x, near y, far y."""


class Way(Part):
    """One way of clearing the lawn."""

    key: str
    lead_days: int
    minutes: float
    mulch_m3: float
    cover_m2: float
    cost: float | None
    soil_lost_m3: float
    in_time: bool | None


class Clearing(Part):
    """The ways, the one advised and why, and the one that the plan goes by."""

    ways: list[Way]
    advised: str
    why: Stated
    chosen: str


class Sod(Part):
    """What lifting the sod takes."""

    piece_m: float
    length_m: float
    thickness_m: float
    whole: int
    part: int
    cuts_m: float
    dry_kg: float
    wet_kg: float
    piece_kg: float
    soil_m3: float
    patch_m2: float
    heap_m3: float
    minutes: float


class Layer(Part):
    """One material to refill with, in digging order."""

    label: str
    material: str
    pack: str
    packs: float
    from_hand: float
    to_buy: int
    loose_m3: float
    settled_m3: float
    depth_m: float
    weight_kg: float
    barrows: int
    price: float | None
    organic_share: Share


class Refill(Part):
    """The refilling: volume wanted and reached, layers, and the soil before and after."""

    wanted_m3: float
    reached_m3: float
    short_m: float
    """How far the finished bed stays below what was wanted."""
    layers: list[Layer]
    organic_before: Share
    organic_after: Share
    organic_wanted: Share
    density_before_kg_m3: float
    density_after_kg_m3: float
    pores_before: Share
    pores_after: Share
    dig_depth_m: float
    minutes: float
    warnings: list[Stated]


class Dose(Part):
    """Weight of one product for the bed, in whole measures, and the packs that it comes from."""

    label: str
    product: str
    grade: str
    weight_kg: float
    volume_m3: float
    per_m2_g: float
    pack: str
    packs: float
    from_hand: float
    to_buy: int
    price: float | None
    measures: int
    measure_m3: float


Nutrients = tuple[float, float, float]
"""Grams on a square metre of N, P2O5 and K2O."""


class Feed(Part):
    """The blend: targets, what it gives, doses, what it misses."""

    target_g_m2: Nutrients
    cap_g_m2: float
    """Most nitrogen."""
    given_g_m2: Nutrients
    assumed: list[str]
    levels: tuple[str | None, str | None]
    """Of phosphorus and potassium."""
    salt_g_m2: float
    doses: list[Dose]
    alternative: Dose | None
    alternative_gives_g_m2: Nutrients | None
    shortfall: list[Stated]
    side_dress: Dose


class PhDose(Part):
    """What to spread, now and in all."""

    product: str
    label: str
    total_kg: float
    now_kg: float
    volume_now_m3: float
    doses: int
    months_apart: int
    per_m2_g: float
    pack: str
    packs: float
    from_hand: float
    to_buy: int
    price: float | None
    measures: int
    measure_m3: float


class Ph(Part):
    """The pH found and wanted, what to spread if anything, and why."""

    found: float | None
    target: float
    dose: PhDose | None
    reasons: list[Stated]


class Ground(Part):
    """The soil work."""

    worked_m2: float
    mark_out: MarkOut
    clearing: Clearing | None
    sod: Sod | None
    refill: Refill
    feed: Feed
    ph: Ph
    settle_days: int
    soak_m3: float
    dig_minutes: float


class Item(Part):
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
    sow_again: date | None
    """When its ground is cleared and sown again for a second bloom."""
    risk_after_out: Share
    bloom_first: date | None
    bloom_last: date | None
    bloom_odds_by_fortnight: Fortnights
    bloom_odds_by_week: Weeks
    cover_by_week: Weeks
    why: list[Stated]


class Drift(Part):
    """One patch: whose it is, its outline, its plants' places, its sun, its rows if sown."""

    number: int
    letter: str
    edging: bool
    outline: Outline
    plants: list[Point]
    sun_h: float
    exposure: str
    rows: list[list[Point]]
    why: Stated | None


class LeftOut(Part):
    """A kind of the catalogue that is not planted, and why."""

    kind: str
    reason: Stated


class Indoor(Part):
    """Raising one item indoors."""

    letter: str
    wanted: int
    seeds: int
    containers: int
    odds_enough: Share
    sow_from: date
    sow: date
    sow_until: date
    up_from: date
    prick_out: date | None
    pot_on: date | None
    harden_off: date
    set_out: date


class InPlace(Part):
    """Sowing one item in place, in spots or along rows."""

    letter: str
    again: bool
    """Whether it is a second sowing, on ground that the same kind has just flowered on."""
    spots: int
    seeds_each: int
    rows: int
    row_m: float
    row_apart_m: float
    seed_every_m: float
    seeds: int
    odds_a_spot: Share
    sow: date
    up_from: date
    thin: date
    thin_to_one: date | None


class Bench(Part):
    """Bench room in the week that begins on a day."""

    week: date
    area_m2: float
    plants: int


class Raising(Part):
    """How the plants are raised."""

    assurance: Share
    indoor: list[Indoor]
    in_place: list[InPlace]
    bought: list[str]
    bench: list[Bench]


class Water(Part):
    """Water wanted beyond rain in the week that begins on a day: usual and one year in ten."""

    week: date
    usual_mm: float
    dry_year_mm: float


class Task(Part):
    """One piece of work, or something to watch for."""

    key: str
    job: Stated
    """What is done; its values say to which plants, with how much, and what decided the day."""
    reason: str
    """Why then, or how, in words."""
    where: str
    earliest: date
    best: date
    latest: date
    letters: list[str]
    waits_for: list[str]
    """Keys of the tasks that come first."""
    watch: bool
    """Whether it is something to watch for, not work."""
    moved: bool
    """Whether it was moved to a day at home."""
    weekly_until: date | None
    """Last day of work that comes again every week from the best day on."""


class Supply(Part):
    """One line of what to have and buy; ``quantity`` in the unit named, SI or pieces."""

    sort: str
    thing: Stated
    quantity: float
    unit: str
    pack: str
    seeds: int | None
    """That a packet must hold."""
    from_hand: float
    to_buy: float
    cost: float | None
    note: Stated


class Labour(Part):
    """Hours of one stage of the work."""

    stage: str
    hours: float


class Supplies(Part):
    """All lines, what they cost and the hours of work."""

    lines: list[Supply]
    cost: float
    unpriced: int
    """Lines whose cost is not known."""
    over_budget: float | None
    labour: list[Labour]


class Caution(Part):
    """One hazard, what to do, and the letters of the plants it concerns."""

    title: str
    hazard: Stated
    letters: list[str]


class PlanRecord(Part):
    """The whole plan."""

    schema_: Annotated[str, Field(alias="schema", json_schema_extra={"const": SCHEMA})]
    bedwright: str
    """Version that worked it out."""
    layout: int
    title: str
    units: str
    currency: str
    site: Site
    season: Season
    learned: Learned
    bed: Bed
    light: Light
    ground: Ground
    height_limit_m: float
    items: list[Item]
    drifts: list[Drift]
    left_out: list[LeftOut]
    raising: Raising
    water: list[Water]
    tasks: list[Task]
    notes: list[Stated]
    supplies: Supplies
    cautions: list[Caution]
    attribution: str
