"""The soil, season and water figures as lines: label, value and how it was reckoned.

Every sentence is filled from the figures used, in the units of the brief.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from bedwright.brief import COMPASS, Building, Neighbour, Tree
from bedwright.geometry import Outline, foot_of, footprint
from bedwright.ground import SOD_KG_M3
from bedwright.plan import Plan
from bedwright.season import FREEZE_C, THRESHOLD_NAMES, TROPICS_DEG, FreezeOdds, Season
from bedwright.units import (
    System,
    say_area,
    say_length,
    say_liquid,
    say_measure,
    say_temperature,
    say_volume,
    say_weight,
    trim,
)


@dataclass(frozen=True)
class Line:
    """One figure on a sheet: its label, its value, and the working behind it."""

    label: str
    value: str
    working: str = ""


@dataclass(frozen=True)
class Part:
    """A headed group of lines."""

    heading: str
    lines: tuple[Line, ...]


def say_day(day: date) -> str:
    """12 April."""
    return f"{day.day} {day:%B}"


def say_short_day(day: date) -> str:
    """12 Apr 2027."""
    return f"{day.day} {day:%b %Y}"


def soil_parts(plan: Plan) -> list[Part]:
    """The soil sheet."""
    return [
        p
        for p in (_mark(plan), _sod(plan), _fill(plan), _feed(plan), _ph(plan), _settle(plan))
        if p
    ]


def _mark(plan: Plan) -> Part:
    out, units = plan.ground.markout, plan.brief.units
    lines = [
        Line(
            "Area",
            say_area(out.area_m2, units),
            f"from the outline; give or take {trim(100 * out.area_error_m2 / out.area_m2)}%"
            f" for a tape read to"
            f" {say_length(0.0127 if units == 'us' else 0.01, units)}",
        ),
        Line("Edge and string", say_length(out.edge_m, units), "once round"),
    ]
    if out.diagonals_m:
        a, b = out.diagonals_m
        words = "equal when the corners are square" if abs(a - b) < 1e-6 else "both as drawn"
        lines.append(Line("Diagonals", f"{say_length(a, units)} and {say_length(b, units)}", words))
    return Part("Mark out", tuple(lines))


def stake_rows(plan: Plan) -> list[tuple[str, str, str]]:
    """Number, distance along the base line, distance square to it (minus: on its right)."""
    units = plan.brief.units
    return [
        (str(n), say_length(x, units), say_length(y, units))
        for n, (x, y) in enumerate(plan.ground.markout.stakes, start=1)
    ]


def base_line(plan: Plan) -> str:
    """Where the base line starts and runs, in words."""
    bearing = plan.outline.bearing_deg
    toward = COMPASS_WORDS[round(bearing / 45) % 8]
    return (
        f"The base line runs {toward} ({bearing:.0f}° on the compass) from 0 on the plan; measure"
        " along it, then square to it on its left, or on its right where there is a minus sign."
    )


def say_far(metres: float, units: System) -> str:
    """A distance of many paces, to the metre or to five feet: '34 m', '110 ft'."""
    return f"{5 * round(metres / 1.524):d} ft" if units == "us" else f"{round(metres)} m"


def height_words(thing: Neighbour, units: System) -> str:
    """How high something around the bed is: '3 m to 5.4 m' of a house, '6 ft' of a fence."""

    def say(metres: float) -> str:
        return say_length(metres, units) if units == "us" else f"{trim(metres, 1)} m"

    ridge = thing.ridge if isinstance(thing, Building) else None
    top = f" to {say(ridge)}" if ridge is not None and ridge > thing.height else ""
    return say(thing.height) + top


def thing_words(outline: Outline, thing: Neighbour, units: System) -> str:
    """What was understood of something around the bed, in a line."""
    shape = footprint(outline, thing)
    (x, y), (mx, my) = foot_of(outline, thing), outline.middle
    where = compass_point(outline.compass_of(x - mx, y - my))
    gap = say_length(float(shape.distance(outline.polygon)), units)
    parts = [f"{height_words(thing, units)} high", f"{gap} from the bed's edge, {where} of it"]
    if isinstance(thing, Building):
        parts.insert(0, f"{thing.roof_shape} roof")
    elif isinstance(thing, Tree):
        spread = say_length(thing.spread, units)
        evergreen = ", evergreen" if thing.evergreen else ""
        parts.insert(0, f"{thing.crown} {thing.kind} {spread} across{evergreen}")
    elif thing.kind != thing.name:
        parts.insert(0, thing.kind)
    return f"{thing.name or thing.kind}: " + ", ".join(parts)


def compass_point(bearing: float) -> str:
    """The nearest of the sixteen points: 'SSE'."""
    return COMPASS[round(bearing / 22.5) % 16]


COMPASS_WORDS = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)


def _sod(plan: Plan) -> Part | None:
    sod, units = plan.ground.sod, plan.brief.units
    if sod is None:
        ground = plan.brief.ground
        if ground.found == "lawn":
            return Part(
                "Clear",
                (
                    Line(
                        "Smother the grass",
                        "about a year",
                        "under wet paper and mulch, or black plastic; start a year"
                        " before the bed is wanted",
                    ),
                ),
            )
        return None
    thick = say_length(sod.thickness_m, units)
    side = say_length(sod.piece_m, units)
    where = (
        f"lay it on {say_area(sod.patch_m2, units)} of bare or worn lawn"
        if plan.brief.ground.sod_to == "lawn patch"
        else "stack it grass side down; it is soil in about a year"
    )
    return Part(
        "Lift the sod",
        (
            Line(
                "Pieces",
                f"{sod.whole} whole, {sod.part} part",
                f"squares of {side}, laid out from the bed's near left corner",
            ),
            Line("Cuts", say_length(sod.cuts_m, units), "edge and all lines between pieces"),
            Line(
                "Weight",
                say_weight(sod.weight_kg, units),
                f"{say_area(plan.outline.area_m2, units)} × {thick} at {_density(SOD_KG_M3, units)}"
                f" (moist, an estimate);"
                f" {say_weight(sod.piece_kg, units)} a whole piece",
            ),
            Line("Soil lost with it", say_volume(sod.soil_m3, units), "85% of the sod's volume"),
            Line("Where it goes", where),
        ),
    )


def _fill(plan: Plan) -> Part:
    fill, units = plan.ground.refill, plan.brief.units
    lines = [
        Line(
            "To fill",
            say_volume(fill.wanted_m3, units),
            f"{_to_fill(plan)}, over {say_area(plan.outline.area_m2, units)}, as settled",
        ),
    ]
    for layer in fill.layers:
        buy = f"{layer.from_hand} at hand, {layer.to_buy} to buy" if layer.from_hand else "to buy"
        buy = "at hand" if layer.to_buy == 0 else buy
        barrows = "1 barrow load" if layer.barrows == 1 else f"{layer.barrows} barrow loads"
        lines.append(
            Line(
                layer.label.capitalize(),
                f"{layer.packs} × {layer.pack}",
                f"{buy}; {say_volume(layer.loose_m3, units)} loose,"
                f" {say_length(layer.depth_m, units)}"
                f" spread, {say_volume(layer.settled_m3, units)} settled,"
                f" {say_weight(layer.weight_kg, units)}, {barrows}",
            )
        )
    finish = f"short by {say_length(fill.short_m, units)}" if fill.short_m > 0.004 else "as wanted"
    lines += [
        Line(
            "Filled",
            say_volume(fill.reached_m3, units),
            f"settled; the finished height is {finish}",
        ),
        Line(
            "Organic matter",
            f"{fill.organic_before:.1%} to {fill.organic_after:.1%}",
            f"by weight, mass balance over {say_length(fill.dig_depth_m, units)} of soil and the"
            " fill;"
            f" wanted {fill.organic_wanted:.0%}",
        ),
        Line(
            "Pore space",
            f"{fill.pores_before:.0%} to {fill.pores_after:.0%}",
            f"dry soil weighs {_density(fill.density_before_kg_m3, units)} before and"
            f" {_density(fill.density_after_kg_m3, units)} after",
        ),
    ]
    lines += [Line("Note", words) for words in fill.warnings]
    return Part("Refill, deepest layer first", tuple(lines))


def _density(kg_m3: float, units: str) -> str:
    return f"{kg_m3 / 16.018463:,.0f} lb/cu ft" if units == "us" else f"{kg_m3:,.0f} kg/m³"


def _to_fill(plan: Plan) -> str:
    """What the fill makes good."""
    parts = ["the soil lost with the sod"] if plan.ground.sod else []
    if plan.brief.ground.raise_by > 0:
        parts.append(f"{say_length(plan.brief.ground.raise_by, plan.brief.units)} of height wanted")
    return " and ".join(parts) or "nothing but richness"


def _feed(plan: Plan) -> Part:
    feed, units = plan.ground.feed, plan.brief.units
    n, p, k = feed.target_g_m2
    missing = " and ".join(feed.assumed)
    basis = f"{missing} not tested: a cautious default" if missing else "from the soil test"
    lines = [
        Line(
            "Wanted",
            f"N {_rate(n, units)} to {_rate(feed.cap_g_m2, units)}, P₂O₅ {_rate(p, units)},"
            f" K₂O {_rate(k, units)}",
            basis,
        ),
    ]
    for dose in feed.doses:
        lines.append(
            Line(
                dose.label.capitalize(),
                f"{say_weight(dose.weight_kg, units)} or {say_measure(dose.volume_m3, units)}",
                f"{dose.grade}; {_rate(dose.per_m2_g, units)}"
                f" over {say_area(plan.outline.area_m2, units)}",
            )
        )
    gives = ", ".join(
        f"{name} {_rate(value, units)}"
        for name, value in zip(("N", "P₂O₅", "K₂O"), feed.given_g_m2, strict=True)
    )
    lines.append(
        Line(
            "That gives",
            gives,
            "nitrogen as far as freed this season; what compost and manure hold is not counted",
        )
    )
    lines += [
        Line("Cannot be met", words, "with the fertilisers named") for words in feed.shortfall
    ]
    if feed.alternative and feed.alternative_gives_g_m2:
        over = feed.alternative_gives_g_m2[0]
        note = " (more nitrogen than is good for flowers)" if over > feed.cap_g_m2 else ""
        lines.append(
            Line(
                "Or, all-purpose",
                f"{say_weight(feed.alternative.weight_kg, units)} of {feed.alternative.label}",
                f"brings N {_rate(over, units)}{note}",
            )
        )
    return Part("Feed", tuple(lines))


def _rate(grams_m2: float, units: str) -> str:
    """g/m², or pounds to 100 square feet."""
    if units == "us":
        pounds = grams_m2 / 1000 / 0.45359237 * 9.290304
        return f"{pounds:.2f} lb/100 sq ft" if pounds < 1 else f"{pounds:.1f} lb/100 sq ft"
    return f"{trim(grams_m2)} g/m²"


def _ph(plan: Plan) -> Part:
    advice, units = plan.ground.ph, plan.brief.units
    found = "not known" if advice.found is None else f"{advice.found:g}"
    lines = [Line("pH found", found, advice.reason)]
    if advice.dose:
        dose = advice.dose
        times = f", {dose.doses} times, {dose.months_apart} months apart" if dose.doses > 1 else ""
        lines.append(
            Line(
                dose.label.capitalize(),
                f"{say_weight(dose.now_kg, units)} or"
                f" {say_measure(dose.volume_now_m3, units)}{times}",
                f"{_rate(dose.per_m2_g, units)} in all",
            )
        )
    return Part("Lime or sulfur", tuple(lines))


def _settle(plan: Plan) -> Part:
    units = plan.brief.units
    return Part(
        "Dig, soak, settle",
        (
            Line(
                "Dig",
                f"{say_length(plan.brief.ground.dig_depth, units)} deep",
                f"from {say_short_day(plan.season.day(plan.dig))}, when a squeezed handful"
                " crumbles; never when it is wet",
            ),
            Line(
                "Soak",
                say_liquid(plan.ground.soak_m3, units),
                f"{say_length(0.0254, units)} of water over the bed; skip it if rain has done it",
            ),
            Line(
                "Settle",
                f"{plan.ground.settle_days} days",
                f"plant from {say_short_day(plan.season.day(plan.ready))}",
            ),
        ),
    )


# --- season --------------------------------------------------------------------------------------


def frost_rows(plan: Plan) -> list[tuple[str, ...]]:
    """Threshold, then spring days at 50, 20, 10 and 5% and autumn days at 5, 10, 20 and 50%."""
    rows = []
    for celsius, name in THRESHOLD_NAMES:
        spring, autumn = plan.season.freeze(True, celsius), plan.season.freeze(False, celsius)
        rows.append(
            (
                f"{say_temperature(celsius, plan.brief.units)} {name}",
                *(_odds_day(plan, spring, risk) for risk in (0.5, 0.2, 0.1, 0.05)),
                *(_odds_day(plan, autumn, risk) for risk in (0.05, 0.1, 0.2, 0.5)),
            )
        )
    return rows


def _odds_day(plan: Plan, odds: FreezeOdds, risk: float) -> str:
    day = odds.day_at(risk)
    if day is None:
        return "none"
    found = plan.season.day(day)
    return f"{found.day} {found:%b}"


MILD_SHARE = 0.9
"""Share of the modelled years with a freeze below which freezing itself is in doubt."""


def certainty(season: Season) -> str:
    """How sure the frost dates are, in words."""
    doubt = round(season.doubt_days)
    if season.settled >= season.split:
        source = {"normals": "normals alone: ask locally", "dates": "the dates stated"}
        return (
            "This year's spring is past, and its last freeze is the one seen; what is said of"
            f" autumn is from {source.get(season.source, 'the record')}."
        )
    if season.source == "normals":
        if abs(season.site.latitude) < TROPICS_DEG[1]:
            return (
                "Reckoned from normals alone, and no station of the tropics stands behind the"
                " model: what it says of freezes is a guess. Ask the local weather service or"
                " extension office whether it freezes, and when."
            )
        if not season.freeze(True).dates:
            return "No freeze in the model; ask the local extension office whether frost occurs."
        if season.freeze(True).share < MILD_SHARE:
            return (
                "Reckoned from normals alone, which cannot tell a place of rare freezes from one of"
                f" none: uncertain by {doubt} days and more. Ask the local extension office or"
                " weather service whether it freezes, and when."
            )
        return (
            f"Reckoned from normals alone: uncertain by about {doubt} days either way, and the"
            " odds on these sheets allow for that. Ask the local extension office or weather"
            " service for its dates."
        )
    if season.source == "dates":
        return "As sure as the dates stated."
    count = season.freeze(True).years
    error = "1 day" if doubt <= 1 else f"{doubt} days"
    return f"From {count} springs on record; the 10% date has a standard error of {error}."


def season_lines(plan: Plan) -> list[Line]:
    """What the season rests on."""
    season, units = plan.season, plan.brief.units
    site = season.site
    lines = [
        Line(
            "Place",
            site.label,
            f"{abs(site.latitude):.2f}° {'N' if site.north else 'S'},"
            f" {abs(site.longitude):.2f}° {'E' if site.longitude >= 0 else 'W'},"
            f" {_altitude(site.altitude_m, units)}",
        ),
        Line("Weather from", season.basis),
        Line("How sure", certainty(season)),
        Line(
            "Risk accepted",
            f"{plan.brief.season.frost_risk:.0%}",
            "odds of a killing night after tender plants are set out",
        ),
        Line(
            "Ground can be worked",
            say_day(season.day(plan.dig)),
            "the day stated, or soil at 4.5 °C (40 °F) in half of all years and ten hours of day",
        ),
    ]
    free = _freeze_free(plan)
    if free:
        lines.append(
            Line(
                "Free of freezes",
                f"{free[0]} to {free[1]} days",
                f"at even odds, and in nine years of ten; {say_temperature(FREEZE_C, units)}",
            )
        )
    if season.notes:
        lines.append(
            Line("The record", "; ".join(season.notes))
            if season.source == "record"
            else Line("Note", " ".join(season.notes))
        )
    return lines


def _altitude(metres: float, units: str) -> str:
    return f"{metres / 0.3048:,.0f} ft up" if units == "us" else f"{metres:,.0f} m up"


def _freeze_free(plan: Plan) -> tuple[int, int] | None:
    spring, autumn = plan.season.freeze(True), plan.season.freeze(False)
    days = [(spring.day_at(r), autumn.day_at(r)) for r in (0.5, 0.1)]
    if any(a is None or b is None for a, b in days):
        return None
    lengths = sorted(
        (round(b - a) for a, b in days if a is not None and b is not None), reverse=True
    )
    return lengths[0], lengths[-1]


def water_rows(plan: Plan) -> list[tuple[str, str, str, str]]:
    """Month, water a week (depth), for the bed in a usual and in a dry year (one in ten)."""
    units = plan.brief.units
    first = min(i.candidate.course.out for i in plan.planting.items) // 7
    ends = [i.candidate.course.bloom.typical for i in plan.planting.items]
    last = min(max((e[1] for e in ends if e), default=364) // 7, 51)
    by_month: dict[str, list[int]] = {}
    for week in range(first, last + 1):
        by_month.setdefault(f"{plan.season.day(week * 7 + 3):%B}", []).append(week)
    rows = []
    for month, weeks in by_month.items():
        yearly = plan.water_mm[:, weeks].mean(axis=1)
        usual, dry = np.quantile(yearly, [0.5, 0.9])
        area = plan.outline.area_m2
        rows.append(
            (
                month,
                _rain(float(usual), units),
                say_liquid(float(usual) / 1000 * area, units),
                say_liquid(float(dry) / 1000 * area, units),
            )
        )
    return rows


def _rain(mm: float, units: str) -> str:
    return f"{trim(mm / 25.4, 2)} in" if units == "us" else f"{mm:.0f} mm"
