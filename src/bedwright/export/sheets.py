"""The printed sheets: a PDF set by Typst from a template, the plan's figures and its drawings."""

from __future__ import annotations

from typing import Any

import bedwright
from bedwright.catalogue import Kind
from bedwright.climate import ATTRIBUTION
from bedwright.draw import (
    bed_picture,
    best_scale,
    bloom_chart,
    caption,
    frost_chart,
    grid_words,
    placing_of,
    planting_drawing,
    say_scale,
    season_moments,
    sun_map,
    symbol_of,
    variants,
)
from bedwright.export.letters import note_of, plan_letters
from bedwright.export.press import Drawings, add_drawing, print_pdf
from bedwright.growth import Course
from bedwright.light import exposure
from bedwright.plan import Plan
from bedwright.planting import Item
from bedwright.report import (
    SHEET_TITLES,
    STAGES,
    amount_words,
    base_line,
    caution_title,
    certainty,
    first_up,
    frost_note,
    frost_rows,
    left_out_groups,
    offset_rows,
    pack_words,
    say,
    say_day,
    season_lines,
    soil_parts,
    stake_rows,
    sun_months,
    sun_of,
    tape_rows,
    tape_words,
    task_reason,
    task_title,
    water_rows,
    why,
)
from bedwright.units import (
    System,
    area_measure,
    say_area,
    say_depth,
    say_length,
    say_temperature,
    say_volume,
)
from bedwright.work import InPlaceRow, Task

PAPER_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MOST_NAMED, NAMED_OF_MANY = 45, 16
"""Kinds left out for one reason that are all named, and how many are where there are more."""

CONTENTS = (
    "planting plan to scale, the plants, through the year, place and season, ground, raising, work,"
    " materials and cost, cautions"
)


def sheets_pdf(plan: Plan) -> bytes:
    """All sheets as one PDF."""
    data, drawings = sheet_data(plan)
    return print_pdf(drawings, "sheets.typ", data)


def sheet_data(plan: Plan, pictures: bool = True) -> tuple[dict[str, Any], Drawings]:
    """Everything the sheets print, as text and names of drawings; and those drawings; without
    ``pictures`` of the bed through the season where they are not wanted."""
    drawings: Drawings = {}
    return _data(plan, drawings, season_moments(plan) if pictures else []), drawings


def _data(plan: Plan, drawings: Drawings, moments: list[int]) -> dict[str, Any]:
    pictures = [
        {
            "file": add_drawing(bed_picture(plan, f), drawings, f"bed-{n}.svg"),
            "caption": caption(plan, f),
        }
        for n, f in enumerate(moments)
    ]
    share = plan.planting.bloom_share()
    site, planting = plan.season.site, plan.planting
    rows = _raising(plan)
    return {
        "title": plan.brief.title,
        "paper": {"a4": "a4", "letter": "us-letter"}[plan.brief.paper_size],
        "place": site.label,
        "year": _year(plan),
        "version": bedwright.__version__,
        "layout": plan.seed,
        "contents": CONTENTS,
        "titles": SHEET_TITLES,
        "facts": _facts(plan),
        "certainty": certainty(plan.season, plan.brief.units),
        "doubt": _doubt(plan),
        "notes": [
            *(say(note, plan.brief.units) for note in plan.notes),
            *note_of(plan_letters(plan)),
        ],
        "glance": _glance(plan),
        "pictures": pictures,
        "picture_height": {0: 0, 1: 95, 2: 62, 3: 42 if plan.brief.paper_size == "a4" else 38}[
            len(pictures)
        ],
        "fullest": max(range(len(moments)), key=lambda n: share[moments[n]], default=0),
        "fullest_fortnight": int(share.argmax()),
        "drawing": _drawing(plan, drawings),
        "items": [_item(plan, item, drawings) for item in planting.items],
        "bloom_chart": add_drawing(bloom_chart(plan), drawings, "bloom.svg"),
        "season": [vars_of(line) for line in season_lines(plan)],
        "frost_chart": add_drawing(
            frost_chart(plan.season, plan.brief.units), drawings, "frost.svg"
        ),
        "frost": frost_rows(plan),
        "frost_note": frost_note(plan.season),
        "sun_map": add_drawing(sun_map(plan, _season_slice(plan)), drawings, "sun.svg"),
        "months": _months(plan),
        "soil": [
            {"heading": part.heading, "lines": [vars_of(line) for line in part.lines]}
            for part in soil_parts(plan)
        ],
        "stakes": stake_rows(plan),
        "tapes": tape_rows(plan),
        "tape_words": tape_words(plan),
        "offsets": offset_rows(plan),
        "base_line": base_line(plan),
        **rows,
        "calendar": _calendar(plan),
        "supplies": _supplies(plan),
        "cost": _cost(plan),
        "labour": [(STAGES[part.stage], f"{part.hours:.1f}") for part in plan.supplies.labour],
        "cautions": [
            {
                "title": caution_title(c),
                "words": say(c, plan.brief.units),
                "letters": " ".join(c.letters),
            }
            for c in plan.cautions
        ],
        "left_out": _left_out(plan),
        "sources": _sources(plan),
    }


def _season_slice(plan: Plan) -> slice:
    windows = [i.candidate.course.window for i in plan.planting.items]
    return slice(min(w.start for w in windows), max(w.stop for w in windows))


def _months(plan: Plan) -> list[tuple[str, ...]]:
    """Month, hours of sun (least, middle, most), water a week (depth, bed, bed in a dry year)."""
    water = {month: cells for month, *cells in water_rows(plan)}
    return [
        (
            month.name,
            f"{month.low:.1f}",
            f"{month.middle:.1f}",
            f"{month.high:.1f}",
            *water.get(month.name, ("", "", "")),
        )
        for month in sun_months(plan)
    ]


def vars_of(line: Any) -> dict[str, str]:
    """A line's fields."""
    return {"label": line.label, "value": line.value, "working": line.working}


def _year(plan: Plan) -> str:
    start = plan.season.start
    return str(start.year) if start.month == 1 else f"{start.year}/{(start.year + 1) % 100:02d}"


def _doubt(plan: Plan) -> str:
    """What every page says where its dates are calculated from normals, alone or joined to a few
    years of a record."""
    season = plan.season
    if not season.from_normals or not season.freeze(True).dates:
        return ""
    days = round(season.doubt_days)
    about = f", ± {days} days" if days else ""
    years = " and a few years on record" if season.source == "joined" else ""
    return f"frost dates from normals{years}{about}: ask locally"


def _facts(plan: Plan) -> list[dict[str, str]]:
    planting, units = plan.planting, plan.brief.units
    plants = sum(i.plants for i in planting.items)
    kinds = len({i.candidate.kind.key for i in planting.items})
    last = max(plan.days_of(item)[1] for item in planting.items)
    return [
        {"value": say_area(plan.outline.area_m2, units), "label": "Bed"},
        {"value": str(plants), "label": f"Plants, of {kinds} kinds"},
        {"value": say_day(plan.season.day(plan.dig)), "label": "The bed is dug"},
        {"value": say_day(plan.season.day(last)), "label": "The last plants go out"},
    ]


def _glance(plan: Plan) -> list[dict[str, str]]:
    """The year in a few lines: first sowing, digging, planting, flowers, frost, end."""
    items, day = plan.planting.items, plan.season.day
    courses = [i.candidate.course for i in items]
    days = [(i.candidate.course, *plan.days_of(i)) for i in items]
    raised = [sown for c, sown, _ in days if c.method == "indoors"]
    group_of = _season_of if plan.season.winter_amid else _class_of
    outs: dict[str, list[int]] = {name: [] for name in GROUPS[plan.season.winter_amid]}
    letters: dict[str, list[str]] = {name: [] for name in outs}
    for item, (course, _, out) in zip(items, days, strict=True):
        outs[group_of(course)].append(out)
        letters[group_of(course)].append(item.letter)
    blooms = [c.bloom.typical for c in courses if c.bloom.typical and not c.kind.is_foliage]
    rows: list[tuple[float | None, str]] = [
        (min(raised, default=None), "first sowing indoors"),
        (plan.dig, "dig the bed"),
        *(
            (min(outs[name], default=None), f"{name} go out, from ({' '.join(letters[name])})")
            for name in outs
        ),
        (min((b[0] for b in blooms), default=None), "first flowers"),
        (plan.season.freeze(False).day_at(0.5), f"first freeze of {_frost_part(plan)}, even odds"),
        (max((b[1] for b in blooms), default=None), "last flowers"),
    ]
    known = sorted((d, words) for d, words in rows if d is not None)
    return [{"day": f"{day(d).day} {day(d):%b %Y}", "what": words} for d, words in known]


GROUPS = {
    False: ("hardy kinds", "half-hardy kinds", "tender kinds"),
    True: ("kinds for the heat", "cool-season kinds", "kinds that wait for winter's end"),
}
"""What kinds go out together, for growing years that begin in winter and in the hot season."""


def _class_of(course: Course) -> str:
    """The group of a kind by its hardiness."""
    return GROUPS[False][("hardy", "half_hardy", "tender").index(course.kind.hardiness)]


def _season_of(course: Course) -> str:
    """The group of a kind by what decided when it goes out."""
    heat, cool, after = GROUPS[True]
    if course.decided_by in ("heat", "cool"):
        return cool
    return after if course.decided_by in ("frost", "soil") else heat


def _frost_part(plan: Plan) -> str:
    """When the first freeze comes."""
    return "winter" if plan.season.winter_amid else "autumn"


def _drawing(plan: Plan, drawings: Drawings) -> dict[str, Any]:
    """The drawing at the largest usual scale, on the page turned whichever way suits it."""
    short, long = PAPER_MM[plan.brief.paper_size]
    usable = {False: (short - 24.0, long - 52.0), True: (long - 24.0, short - 52.0)}
    scales = {turned: best_scale(plan, *size) for turned, size in usable.items()}
    flipped = scales[True] < scales[False]
    scale = scales[flipped]
    canvas = planting_drawing(plan, scale, key=False)
    return {
        "file": add_drawing(canvas, drawings, "planting.svg"),
        "width": canvas.width,
        "flipped": flipped,
        "scale": say_scale(scale, plan.brief.units),
        "placing": vars(placing_of(plan, scale)),
        "grid": grid_words(plan),
    }


def _item(plan: Plan, item: Item, drawings: Drawings) -> dict[str, Any]:
    kind, colour, course = item.candidate.kind, item.candidate.colour, item.candidate.course
    variant = variants(plan)[plan.planting.items.index(item)]
    glyph = symbol_of(f"Symbol of {item.letter}", kind, colour, variant)
    units = plan.brief.units
    typical = course.bloom.typical
    bloom = "foliage" if kind.is_foliage else "not this year"
    if typical and not kind.is_foliage:
        bloom = f"{_brief_day(plan, typical[0])} – {_brief_day(plan, min(typical[1], 364))}"
    return {
        "letter": item.letter,
        "glyph": add_drawing(glyph, drawings, f"glyph-{item.letter}.svg"),
        "name": kind.name,
        "colour": colour.name,
        "botanical": kind.botanical,
        "also": _also(kind),
        "sun": f"{sun_of(plan, item):.1f} h, {exposure(sun_of(plan, item))}",
        "likes": f"{kind.liking.sun_min_h:g} h or more"
        if course.most_sun_h >= 12
        else f"{kind.liking.sun_min_h:g} to {course.most_sun_h:.0f} h",
        "kills": say_temperature(kind.kill_c, units),
        "height": say_length(kind.form.height_m, units),
        "spacing": say_length(kind.form.spacing_m, units),
        "plants": item.plants,
        "spares": item.spares,
        "sow": _sown(plan, item),
        "out": "" if course.method == "in_place" else _brief_day(plan, plan.days_of(item)[1]),
        "bloom": bloom,
        "why": why(plan, item),
    }


def _sown(plan: Plan, item: Item) -> str:
    """When an item is sown, and where in place; when once more."""
    course = item.candidate.course
    again = ""
    if course.again is not None:
        again = f", again {_brief_day(plan, plan.day_again(item, course.again))}"
    if course.method == "bought":
        return f"bought{again}"
    place = " in place" if course.method == "in_place" else ""
    return f"{_brief_day(plan, plan.days_of(item)[0])}{place}{again}"


def _also(kind: Kind) -> str:
    """A name it is still sold under, where that has another genus."""
    return next((s for s in kind.synonyms if s.split()[0] != kind.genus), "")


def _brief_day(plan: Plan, index: float) -> str:
    day = plan.season.day(index)
    return f"{day.day} {day:%b}"


def _raising(plan: Plan) -> dict[str, Any]:
    raising, units = plan.raising, plan.brief.units

    def day(index: int | None) -> str:
        return "" if index is None else _brief_day(plan, index)

    def depth(mm: float) -> str:
        return "surface" if mm == 0 else say_depth(mm / 1000, units)

    indoor = [
        (
            r.letter,
            r.name,
            str(r.wanted),
            str(r.seeds),
            str(r.containers),
            depth(r.depth_mm),
            {"light": "in light", "dark": "in the dark", "either": "either"}[r.light],
            _span(r.warm_c, units),
            day(r.sow),
            f"{day(r.up_first)}",
            day(r.prick_out),
            day(r.pot_on),
            day(r.harden),
            day(r.out),
        )
        for r in raising.indoor
    ]
    in_place = [
        (
            r.letter,
            f"{r.name} (again)" if r.again else r.name,
            str(r.spots),
            say_length(r.spacing_m, units),
            str(r.seeds_each),
            *_rows_of(r, units),
            str(r.seeds),
            depth(r.depth_mm),
            day(r.sow),
            day(r.up_first),
            day(r.thin_first),
            day(r.thin_last),
        )
        for r in raising.in_place
    ]
    bench = [
        {
            "week": _brief_day(plan, w.start),
            "area": w.area_m2,
            "plants": w.plants,
            "said": _bench_words(w.area_m2, units),
        }
        for w in raising.bench
    ]
    mix = sum(r.mix_m3 for r in raising.indoor)
    blocks = plan.brief.indoors.container == "soil block"
    hot = (
        ""
        if plan.brief.indoors.warmth
        else (" You have no heated place: start in the warmest room, and expect slower sprouting.")
    )
    note = (
        f"{'Blocks' if blocks else 'Cells'} of {say_length(plan.brief.indoors.block, units)};"
        f" {say_volume(mix, units)} of mix in all. Where several seeds go in one, thin to the"
        f" strongest.{hot}"
    )
    letters = {
        i.letter: f"{i.candidate.kind.name}, {i.candidate.colour.name} ({i.plants + i.spares})"
        for i in plan.planting.items
    }
    return {
        "indoor": indoor,
        "container": "blocks" if blocks else "cells",
        "container_word": "blocks" if blocks else "cells",
        "assurance": f"{raising.assurance:.0%}",
        "raising_note": note,
        "in_place": in_place,
        "bought": [f"{letter} {letters[letter]}" for letter in raising.bought],
        "bench": bench,
    }


def _bench_words(square_metres: float, units: System) -> str:
    """The room that plants take indoors in a week."""
    value, unit = area_measure(square_metres, units)
    return f"{value:.{1 if units == 'us' else 2}f} {unit}"


def _rows_of(row: InPlaceRow, units: Any) -> tuple[str, str, str, str]:
    """How many rows, how far apart, how long in all, a seed every how far; nothing where plants
    raised indoors stood at spots before."""
    if not row.rows:
        return "", "", "", ""
    lengths = (say_length(m, units) for m in (row.row_apart_m, row.row_m, row.seed_every_m))
    apart, long, every = lengths
    return str(row.rows), apart, long, every


def _span(celsius: tuple[float, float], units: Any) -> str:
    low, high = (say_temperature(c, units) for c in celsius)
    return low if low == high else f"{low.split()[0]}–{high}"


def _calendar(plan: Plan) -> list[dict[str, Any]]:
    months: dict[str, list[Task]] = {}
    for task in plan.diary.tasks:
        months.setdefault(f"{task.best:%B %Y}", []).append(task)
    return [
        {
            "name": name,
            "tasks": [
                {
                    "watch": t.watch,
                    "best": f"{t.best.day} {t.best:%b}",
                    "title": task_title(t, plan.brief.units),
                    "reason": task_reason(t, plan.brief.units),
                    "window": _window(t),
                }
                for t in tasks
            ],
        }
        for name, tasks in months.items()
    ]


def _window(task: Task) -> str:
    if task.weekly_until is not None:
        return f"weekly until {task.weekly_until.day} {task.weekly_until:%b}"
    if task.earliest == task.latest:
        return "that day only"
    a, b = task.earliest, task.latest
    return f"between {a.day} {a:%b} and {b.day} {b:%b}"


def _supplies(plan: Plan) -> list[dict[str, str]]:
    money, units = plan.brief.currency, plan.brief.units
    rows = []
    for line in plan.supplies.lines:
        cost = "price?" if line.cost is None and line.to_buy > 0 else ""
        if line.cost is not None and line.to_buy > 0:
            cost = f"{money}{line.cost:,.2f}"
        rows.append(
            {
                "name": say(line.thing, units),
                "note": say(line.note, units),
                "need": amount_words(line.quantity, line.unit, units),
                "pack": pack_words(line),
                "hand": amount_words(line.from_hand, line.unit, units),
                "buy": amount_words(line.to_buy, line.unit, units),
                "cost": cost,
            }
        )
    return rows


def _cost(plan: Plan) -> str:
    supplies, money = plan.supplies, plan.brief.currency
    if not supplies.cost and supplies.unpriced:
        return "The brief has no prices of these, so what they cost is not known."
    words = f"Known costs come to {money}{supplies.cost:,.2f}."
    if supplies.unpriced:
        words += f" {supplies.unpriced} lines have no price in the brief and are not counted."
    budget = plan.brief.wishes.budget
    if budget is not None and supplies.over_budget:
        words += (
            f" That is {money}{supplies.over_budget:,.2f} over the budget of {money}{budget:,.2f}."
        )
    elif budget is not None:
        words += f" That is within the budget of {money}{budget:,.2f}."
    return words


def _left_out(plan: Plan) -> list[dict[str, str]]:
    """Reasons, most kinds first, each with its kinds; where these are many, with the first, which
    came nearest to being chosen."""

    def some(names: list[str]) -> str:
        if len(names) <= MOST_NAMED:
            return ", ".join(sorted(names, key=str.lower))
        rest = len(names) - NAMED_OF_MANY
        return f"{', '.join(names[:NAMED_OF_MANY])}, which came nearest, and {rest} more"

    return [
        {"reason": first_up(reason), "names": some(names)}
        for reason, names in left_out_groups(plan)
    ]


def _sources(plan: Plan) -> str:
    return (
        f"Weather: {say(plan.season.basis, plan.brief.units)}. {ATTRIBUTION}"
        " Town places: GeoNames (CC BY 4.0). Plants: the Bedwright catalogue, where every figure"
        " names its source, or says that it is from memory or an estimate. Soil: the materials"
        " table, with its sources. Rules of thumb are common practice without a source."
    )
