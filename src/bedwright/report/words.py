"""The soil, season and water figures as lines: label, value and how it was worked out.

Every sentence is filled from the figures used, in the units of the brief.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np

from bedwright.brief import COMPASS, Building, Neighbour, Tree
from bedwright.climate import (
    DAYS,
    FREEZE_C,
    MONTH_DAYS,
    THRESHOLD_NAMES,
    TROPICS_DEG,
    FreezeOdds,
    FromDates,
    FromJoined,
    FromSayings,
    Season,
)
from bedwright.report.parts import Line
from bedwright.report.say import say
from bedwright.report.stated import stated_words
from bedwright.report.text import sentences
from bedwright.units import (
    FOOT_M,
    INCH_MM,
    System,
    say_difference,
    say_length,
    say_liquid,
    say_long,
    say_temperature,
    trim,
)

if TYPE_CHECKING:
    from bedwright.geometry import Outline
    from bedwright.plan import Plan


def say_day(day: date) -> str:
    """12 April."""
    return f"{day.day} {day:%B}"


def say_short_day(day: date) -> str:
    """12 Apr 2027."""
    return f"{day.day} {day:%b %Y}"


def say_far(metres: float, units: System) -> str:
    """A distance of many paces, to the metre or to five feet: '34 m', '110 ft'."""
    return f"{5 * round(metres / (5 * FOOT_M)):d} ft" if units == "us" else f"{round(metres)} m"


def height_words(thing: Neighbour, units: System) -> str:
    """How high something around the bed is: '3 m to 5.4 m' of a house, '6 ft' of a fence."""

    def height(metres: float) -> str:
        return say_length(metres, units) if units == "us" else f"{trim(metres, 1)} m"

    ridge = thing.ridge if isinstance(thing, Building) else None
    top = f" to {height(ridge)}" if ridge is not None and ridge > thing.height else ""
    return height(thing.height) + top


def thing_words(outline: Outline, thing: Neighbour, units: System) -> str:
    """What was understood of something around the bed, in a line."""
    from bedwright.geometry import foot_of, footprint  # shapely, which few of the words need

    shape = footprint(outline, thing)
    (x, y), (mx, my) = foot_of(outline, thing), outline.middle
    where = compass_point(outline.compass_of(x - mx, y - my))
    gap = say_length(float(shape.distance(outline.polygon)), units)
    side = f"{where} of it"
    if not isinstance(thing, Tree) and shape.convex_hull.covers(outline.polygon):
        side = "round it"
    parts = [f"{height_words(thing, units)} high", f"{gap} from the bed's edge, {side}"]
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


def frost_note(season: Season) -> str:
    """What the columns of the frost rows are."""
    spring, autumn = (" (spring)", " (autumn)") if not season.winter_amid else ("", "")
    return (
        f"Left four: odds that such a night comes after the day{spring}. Right four: odds that one"
        f" comes before it{autumn}. “none”: that many years have no such night."
    )


def _odds_day(plan: Plan, odds: FreezeOdds, risk: float) -> str:
    day = odds.day_at(risk)
    if day is None:
        return "none"
    found = plan.season.day(day)
    return f"{found.day} {found:%b}"


MILD_SHARE = 0.9
"""Share of the modelled years with a freeze below which freezing itself is in doubt."""


CAREFUL_RISK, WIDE_DOUBT_DAYS = 0.1, 14
"""Odds at which the careful date is given, where dates are uncertain by so many days and more."""

ASK_WHETHER = (
    "Ask the local weather service or extension office whether it freezes, and when, and state it."
)


def _rare(season: Season, units: System) -> str:
    """How often it freezes in spring where it seldom does, by the model and within its doubt."""
    part = "winter" if season.winter_amid else "spring"
    fewest, share, most = (season.share_if(c) for c in (-season.doubt_c, 0.0, season.doubt_c))
    lead = _calculated(season)
    if most < RARE:
        return f"{lead}: it does not freeze, or in hardly any {part}."
    between = f"{fewest:.0%} to {most:.0%}"
    how = f"no {part} in a hundred" if share < RARE else f"{share:.0%} of {part}s"
    return (
        f"{lead}: a freeze in {how}; but nights may be"
        f" {say_difference(season.doubt_c, units, 1)} colder or milder than that,"
        f" and then it would be {between}."
    )


def _calculated(season: Season) -> str:
    """What dates are calculated from."""
    if isinstance(season.basis, FromJoined):
        return f"Calculated from normals and {season.basis.years} years on record"
    return "Calculated from normals alone"


RARE = 0.01
"""Share of springs with a freeze below which it is said not to freeze."""


def _autumn_source(season: Season) -> str:
    """Where the autumn's dates come from once spring is past."""
    if isinstance(season.basis, FromDates | FromSayings):
        return stated_words(season.basis.stated)
    return {
        "normals": "normals alone: ask locally",
        "joined": "normals and a few years on record: ask locally",
    }.get(season.source, "the record")


def certainty(season: Season, units: System) -> str:
    """How sure the frost dates are, in words."""
    doubt = round(season.doubt_days)
    if season.spring_past:
        seen = "its last freeze is the one seen"
        if season.freeze(True).share < RARE:
            seen = "no freeze was seen in it"
        return (
            f"This year's spring is past, and {seen}; the autumn dates are"
            f" from {_autumn_source(season)}."
        )
    if season.from_normals:
        if abs(season.site.latitude) < TROPICS_DEG[1]:
            return (
                f"{_calculated(season)}, and the model has no station in the tropics to go by:"
                " what it says about freezes is a guess. Ask the local weather service or extension"
                " office whether it freezes, and when."
            )
        if season.freeze(True).share < MILD_SHARE:
            return f"{_rare(season, units)} {ASK_WHETHER}"
        careful = ""
        day = season.freeze(True).day_at(CAREFUL_RISK)
        if doubt >= WIDE_DOUBT_DAYS and day is not None:
            late = season.day(day + doubt)
            careful = (
                f" To be careful, count on the freeze that comes one year in ten by"
                f" {late.day} {late:%B}."
            )
        return (
            f"{_calculated(season)}. The odds tell how years differ from each other; besides, all"
            f" of the dates are uncertain by about {doubt} days: two places in three lie within"
            f" that.{careful} Ask the local weather service, extension office or garden society for"
            " its dates, and state them."
        )
    if isinstance(season.basis, FromDates | FromSayings):
        return f"As sure as {stated_words(season.basis.stated)}."
    count = season.freeze(True).years
    error = "1 day" if doubt <= 1 else f"{doubt} days"
    part = "winters" if season.winter_amid else "springs"
    return f"From {count} {part} on record; the 10% date has a standard error of {error}."


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
            f" {say_long(site.altitude_m, units)} up",
        ),
        Line("Weather from", say(season.basis, units)),
        Line("How sure", certainty(season, units)),
        Line(
            "Risk accepted",
            f"{plan.brief.season.frost_risk:.0%}",
            "odds of a killing night after tender plants are set out",
        ),
        Line(
            "Ground can be worked",
            say_day(season.day(plan.dig)),
            _why_dig(plan),
        ),
    ]
    free = _freeze_free(plan)
    if free:
        lines.append(
            Line(
                "Free of freezes",
                f"{free[0]} to {free[1]} days",
                "between the dates of even odds, and between those of one year in ten;"
                f" {say_temperature(FREEZE_C, units)}",
            )
        )
    if season.notes:
        notes = sentences(season.notes, units)
        lines.append(Line("The record" if season.source == "record" else "Note", notes))
    return lines


def _why_dig(plan: Plan) -> str:
    """What decided the day of digging: the brief's first day, or the ground and the days away."""
    dates, day = plan.brief.dates, plan.season.day(plan.dig)
    if dates.begin == day:
        return "the day stated"
    back = any(span.end == day - timedelta(days=1) for span in dates.away)
    later = ", and you are back" if back else ""
    return f"soil at 4.5 °C (40 °F) in half of all years and ten hours of day{later}"


def _freeze_free(plan: Plan) -> tuple[int, int] | None:
    spring, autumn = plan.season.freeze(True), plan.season.freeze(False)
    days = [(spring.day_at(r), autumn.day_at(r)) for r in (0.5, 0.1)]
    if any(a is None or b is None for a, b in days):
        return None
    if plan.season.winter_amid:
        days = [(a, b + DAYS) for a, b in days if a is not None and b is not None]
    # Neither the day of the last freeze nor that of the first is free of one.
    lengths = sorted(
        (max(round(b - a) - 1, 0) for a, b in days if a is not None and b is not None), reverse=True
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
    return f"{trim(mm / INCH_MM, 2)} in" if units == "us" else f"{mm:.0f} mm"


MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def months_of(season: Season) -> list[tuple[int, str]]:
    """First index of each month of the growing year, and its name."""
    start = season.start.month - 1
    out, index = [], 0
    for n in range(12):
        month = (start + n) % 12
        out.append((index, MONTHS[month]))
        index += MONTH_DAYS[month]
    return out
