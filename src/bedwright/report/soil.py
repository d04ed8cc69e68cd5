"""The soil sheet: every figure of the ground work as lines, with how it was worked out."""

from __future__ import annotations

from typing import Protocol

from bedwright.brief import Brief
from bedwright.climate import Season
from bedwright.geometry import Outline
from bedwright.ground import (
    SALT_LIMIT_G_M2,
    SIDE_DRESS_WEEKS,
    Dose,
    Ground,
    PhDose,
    Way,
    peat_soak_m3,
    rates,
    sod_kg_m3,
)
from bedwright.report.ground_words import (
    NUTRIENT_WORDS,
    in_spelling,
    label_words,
    way_cautions,
    way_name,
    way_takes,
)
from bedwright.report.parts import Line, Part
from bedwright.report.say import say
from bedwright.report.text import first_up, listed, sentences
from bedwright.report.words import COMPASS_WORDS, say_short_day
from bedwright.units import (
    System,
    say_area,
    say_length,
    say_liquid,
    say_rate,
    say_volume,
    say_weight,
    say_whole_measures,
    trim,
)


class Dug(Protocol):
    """A bed with its ground work: a plan, or what ``bedwright ground`` gathers."""

    @property
    def brief(self) -> Brief: ...  # noqa: D102
    @property
    def outline(self) -> Outline: ...  # noqa: D102
    @property
    def season(self) -> Season: ...  # noqa: D102
    @property
    def dig(self) -> int: ...  # noqa: D102
    @property
    def ready(self) -> int: ...  # noqa: D102
    @property
    def ground(self) -> Ground: ...  # noqa: D102


def soil_parts(bed: Dug) -> list[Part]:
    """The soil sheet, in the order of the work."""
    parts = (_mark, _ways, _sod, _fill, _feed, _ph, _settle, _to_buy)
    return [found for part in parts if (found := part(bed)) is not None]


def _mark(bed: Dug) -> Part:
    out, units = bed.ground.markout, bed.brief.units
    lines = [
        Line(
            "Area",
            say_area(out.area_m2, units),
            f"from the outline; give or take"
            f" {trim(max(100 * out.area_error_m2 / out.area_m2, 0.1))}%"
            f" for a tape read to"
            f" {say_length(0.0127 if units == 'us' else 0.01, units)}",
        ),
        _rope(bed)
        if bed.outline.pegs
        else Line(
            "String",
            say_length(out.string_m, units),
            f"from stake to stake, once around, {len(out.stakes)} stakes",
        ),
        Line("Edging", say_length(out.edge_m, units), "along the edge, once around"),
    ]
    if out.square_m:
        three, four, five = (say_length(value, units) for value in out.square_m)
        lines.append(
            Line(
                "Square corners",
                f"{three}, {four}, {five}",
                "from a corner, measure the first along one string and the second along the other:"
                " the corner is square when the two marks are the third apart",
            )
        )
    if out.diagonals_m:
        a, b = out.diagonals_m
        words = "equal when the corners are square" if abs(a - b) < 1e-6 else "both as drawn"
        lines.append(Line("Diagonals", f"{say_length(a, units)} and {say_length(b, units)}", words))
    return Part("Mark out", tuple(lines))


def _rope(bed: Dug) -> Line:
    """How to lay the line through the pegs of a curve."""
    out, sharp, count = bed.ground.markout, bed.outline.sharp, len(bed.outline.pegs)
    straight = [n for n in sharp if (n + 1) % count in sharp]
    smooth = len(straight) < count
    how = "laid past the stakes in order and back to the first, "
    how += "so that it bows evenly, without kinks" if smooth else "straight from each to the next"
    if sharp and smooth:
        how += f"; it turns sharply at {listed([str(n + 1) for n in sharp])}"
    if straight and smooth:
        sides = [f"{n + 1} to {(n + 1) % count + 1}" for n in straight]
        how += f" and runs straight from {listed(sides)}"
    if len(out.stakes) > count:
        how += "; stakes with a letter stand between two pegs of your brief"
    return Line("Rope or hose", say_length(out.edge_m, bed.brief.units), how)


def stake_rows(bed: Dug) -> list[tuple[str, str, str]]:
    """Number, distance along the base line, distance square to it (minus: on its right)."""
    units = bed.brief.units
    out = bed.ground.markout
    return [
        (name, say_length(x, units), say_length(y, units))
        for name, (x, y) in zip(out.names, out.stakes, strict=True)
    ]


def tape_rows(bed: Dug) -> list[tuple[str, str, str]]:
    """Number, distance from the stake A, distance from the stake B, where there are such."""
    units, out = bed.brief.units, bed.ground.markout
    return [
        (name, say_length(a, units), say_length(b, units))
        for name, (a, b) in zip(out.names, out.tapes_m, strict=False)
    ]


def tape_words(bed: Dug) -> str:
    """Where the stakes A and B stand and how to measure from them; nothing where there are none."""
    if bed.outline.fixed is None:
        return ""
    (ax, ay), (bx, by) = bed.outline.fixed
    units = bed.brief.units
    if (ax, ay, by) == (0.0, 0.0, 0.0) and bx > 0.0:
        where = f"A is 0 on the plan; B stands {say_length(bx, units)} from it on the base line."
    else:
        a, b = (
            f"{say_length(x, units)} along and {say_length(y, units)} out"
            for x, y in bed.outline.fixed
        )
        where = f"A stands {a}; B {b}."
    return (
        f"Or with two tapes, one from A and one from B. {where} Each stake stands where the two"
        " lengths meet, on the side of A and B that the plan shows."
    )


def offset_rows(bed: Dug) -> list[tuple[str, str, str]]:
    """Of a curved edge: distance along the base line, near edge, far edge."""
    units = bed.brief.units
    return [
        (say_length(x, units), say_length(near, units), say_length(far, units))
        for x, near, far in bed.ground.markout.offsets
    ]


def base_line(bed: Dug) -> str:
    """Where the base line starts and runs, in words."""
    bearing = bed.outline.bearing_deg
    toward = COMPASS_WORDS[round(bearing / 45) % 8]
    return (
        f"Stretch a string for the base line from 0 on the plan toward the {toward}"
        f" ({bearing:.0f}° on the compass). For each stake measure along it from 0 (minus: backward"
        " from 0), then out at a right angle on its left (minus: on its right)."
    )


def _ways(bed: Dug) -> Part | None:
    ways = bed.ground.clearing
    if ways is None:
        return None
    advised = first_up(way_name(ways.advised.key))
    lines = [Line("Advised", advised, say(ways.why, bed.brief.units))]
    if ways.chosen != ways.advised:
        chosen = first_up(way_name(ways.chosen.key))
        lines.append(Line("As your brief says", chosen, "the plan goes by this"))
    if ways.chosen.lead_days:
        begin = bed.season.day(bed.dig - ways.chosen.lead_days)
        lines.append(
            Line("Begin it by", say_short_day(begin), "so that the ground can be dug in time")
        )
    lines += [
        Line(first_up(way_name(way.key)), _time(way), _way_words(bed, way)) for way in ways.ways
    ]
    return Part("Clear the lawn: the ways compared", tuple(lines))


def _time(way: Way) -> str:
    hours = f"{trim(max(way.minutes / 60, 0.1))} h of work"
    if way.lead_days == 0:
        return f"{hours}, ready at once"
    weeks = way.lead_days / 7
    wait = "then about a year" if way.lead_days >= 365 else f"then about {weeks:.0f} weeks"
    late = "" if way.in_time is None or way.in_time else ": too late now"
    return f"{hours}, {wait}{late}"


def _way_words(bed: Dug, way: Way) -> str:
    units = bed.brief.units
    cost = f", {_money(bed, way.cost)}" if way.cost else ""
    kept = (
        f"{say_volume(way.soil_lost_m3, units)} of soil goes with the sod"
        if way.soil_lost_m3
        else "no soil is lost"
    )
    return f"{way_takes(way, units)}{cost}; {kept}; {way_cautions(way.key)}"


def _sod(bed: Dug) -> Part | None:
    sod, units = bed.ground.sod, bed.brief.units
    if sod is None:
        return None
    thick = say_length(sod.thickness_m, units)
    side, length = say_length(sod.piece_m, units), say_length(sod.length_m, units)
    shape = f"squares of {side}" if sod.piece_m == sod.length_m else f"strips {side} by {length}"
    dry, wet = sod_kg_m3(bed.brief.ground.texture)
    if bed.brief.ground.sod_to == "lawn patch":
        where = Line(
            "Where it goes",
            f"on {say_area(sod.patch_m2, units)} of bare or worn lawn",
            f"take the old grass and {thick} of soil off the patch, rake it level and firm, lay the"
            " sods close together with staggered joints, tread or roll them down, water daily for"
            " two weeks",
        )
    else:
        where = Line(
            "Where it goes",
            f"to a heap of {say_volume(sod.heap_m3, units)}",
            "stacked grass side down and covered, it turns to soil in about a year",
        )
    return Part(
        "Lift the sod",
        (
            Line(
                "Pieces",
                f"{sod.whole} whole, {sod.part} in part",
                f"{shape}, {thick} thick, laid out from the near left corner; those in part lie"
                " across the bed's edge",
            ),
            Line("Cuts", say_length(sod.cuts_m, units), "the edge and all lines between pieces"),
            Line(
                "Weight",
                f"{say_weight(sod.dry_kg, units)} dry, {say_weight(sod.wet_kg, units)} moist",
                f"{say_area(bed.ground.worked_m2, units)} × {thick} at {_density(dry, units)} to"
                f" {_density(wet, units)} ({bed.brief.ground.texture});"
                f" {say_weight(sod.piece_kg, units)} for a whole piece, moist",
            ),
            Line(
                "Soil lost with it",
                say_volume(sod.soil_m3, units),
                f"{rates()['sod_soil']:.0%} of the sod's volume",
            ),
            where,
        ),
    )


def _fill(bed: Dug) -> Part:
    fill, units = bed.ground.refill, bed.brief.units
    lines = [
        Line(
            "To fill",
            say_volume(fill.wanted_m3, units),
            f"{_to_fill(bed)}, over {say_area(bed.ground.worked_m2, units)}, once settled",
        ),
    ]
    for layer in fill.layers:
        buy = "to buy"
        if layer.from_hand:
            buy = f"{trim(layer.from_hand, 2)} at hand, {layer.to_buy} to buy"
        buy = "at hand" if layer.to_buy == 0 else buy
        if layer.to_buy and layer.price:
            buy += f" for {_money(bed, layer.price)}"
        barrows = f"{layer.barrows} wheelbarrow load{'s' if layer.barrows != 1 else ''}"
        lines.append(
            Line(
                first_up(label_words(layer.label, units)),
                _so_many(layer.packs, layer.pack),
                f"{buy}; {say_volume(layer.loose_m3, units)} loose, spread"
                f" {say_length(layer.depth_m, units)} deep,"
                f" {say_volume(layer.settled_m3, units)} once settled;"
                f" {say_weight(layer.weight_kg, units)}, {barrows}",
            )
        )
    soak = peat_soak_m3(fill.layers)
    if soak > 0.0:
        how = "beforehand, with warm water, a little at a time"
        lines.append(Line("Wet the peat", say_liquid(soak, units), how))
    over = (fill.reached_m3 - fill.wanted_m3) / bed.ground.worked_m2
    finish = f"short by {say_length(fill.short_m, units)}" if fill.short_m > 0.004 else "as wanted"
    if over > 0.004:
        finish = f"{say_length(over, units)} above that"
    lines += [
        Line(
            "Filled",
            say_volume(fill.reached_m3, units),
            f"once settled; the finished height is {finish}",
        ),
        Line(
            "Organic matter",
            f"{fill.organic_before:.1%} to {fill.organic_after:.1%}",
            f"share of the dry weight of the top {say_length(fill.dig_depth_m, units)} of soil,"
            f" before and with the fill mixed in; wanted {fill.organic_wanted:.0%}",
        ),
        Line(
            "Pore space",
            f"{fill.pores_before:.0%} to {fill.pores_after:.0%}",
            "room for air and water in the soil, before and after; dry, it weighs"
            f" {_density(fill.density_before_kg_m3, units)} before and"
            f" {_density(fill.density_after_kg_m3, units)} after",
        ),
    ]
    lines += [Line("Note", first_up(say(fact, units))) for fact in fill.warnings]
    return Part("Refill, deepest layer first", tuple(lines))


def _density(kg_m3: float, units: System) -> str:
    return f"{kg_m3 / 16.018463:,.0f} lb/cu ft" if units == "us" else f"{kg_m3:,.0f} kg/m³"


def _to_fill(bed: Dug) -> str:
    """What the fill is for."""
    parts = ["for the soil lost with the sod"] if bed.ground.sod else []
    if bed.brief.ground.raise_by > 0:
        parts.append(
            f"to raise the bed by {say_length(bed.brief.ground.raise_by, bed.brief.units)}"
        )
    return " and ".join(parts) or "only to enrich the soil"


def _feed(bed: Dug) -> Part:
    feed, units = bed.ground.feed, bed.brief.units
    lines = [
        Line(
            "Wanted",
            _npk(feed.target_g_m2, units, feed.cap_g_m2),
            _test_words(bed),
        ),
    ]
    lines += [
        Line(
            first_up(label_words(dose.label, units)),
            f"{say_weight(dose.weight_kg, units)}, {_measured(bed, dose)}",
            f"N-P-K {dose.grade}; {say_rate(dose.per_m2_g, units)}"
            f" over {say_area(bed.ground.worked_m2, units)}{_packs(bed, dose)}",
        )
        for dose in feed.doses
    ]
    lines.append(
        Line(
            "This blend gives",
            _npk(feed.given_g_m2, units),
            "nitrogen as far as it is freed this season; what compost and manure bring is not"
            f" counted. Salt: {say_rate(feed.salt_g_m2, units)}; plants bear"
            f" {say_rate(SALT_LIMIT_G_M2, units)} at once",
        )
    )
    lines += [
        Line(
            "Cannot be met",
            NUTRIENT_WORDS[short.nutrient],
            f"{say(short, units)}; with what can be had this blend comes nearest",
        )
        for short in feed.shortfall
    ]
    if feed.alternative and feed.alternative_gives_g_m2:
        over = feed.alternative_gives_g_m2.nitrogen > feed.cap_g_m2
        note = f"{'more' if over else 'no more'} nitrogen than is good for flowers"
        lines += [
            Line(
                "Or one for all",
                f"{say_weight(feed.alternative.weight_kg, units)},"
                f" {_measured(bed, feed.alternative)} of"
                f" {label_words(feed.alternative.label, units)}",
                f"{say_rate(feed.alternative.per_m2_g, units)}"
                f"{_packs(bed, feed.alternative)}; one all-purpose"
                f" {in_spelling('fertiliser', units)} instead of all the above",
            ),
            Line("That gives", _npk(feed.alternative_gives_g_m2, units), note),
        ]
    side, (first, last) = feed.side_dress, SIDE_DRESS_WEEKS
    lines.append(
        Line(
            "Later on",
            f"{say_weight(side.weight_kg, units)}, {_measured(bed, side)} of"
            f" {label_words(side.label, units)}",
            f"for heavy feeders only: scatter {say_rate(side.per_m2_g, units)} beside the plants"
            f" {first} to {last} weeks after planting, and water it in; not where leaves are dark"
            " and flowers few",
        )
    )
    return Part("Feed", tuple(lines))


def _test_words(bed: Dug) -> str:
    """The nutrients, and what the targets rest on."""
    feed, test = bed.ground.feed, bed.brief.ground.test
    words = []
    for name, level in zip(("phosphorus", "potassium"), feed.levels, strict=True):
        value = getattr(test, name)
        if isinstance(value, float):
            words.append(f"{name} {trim(value)} ppm by {test.method}: {level}")
        elif level is not None:
            words.append(f"{name} {level} in the soil")
    if feed.assumed:
        untested = " and ".join(feed.assumed)
        words.append(f"{untested} not tested: a cautious default; a test soon pays for itself")
    return f"{listed([*NUTRIENT_WORDS.values()])}; {'; '.join(words)}"


def _npk(grams_m2: tuple[float, float, float], units: System, upper: float | None = None) -> str:
    """N, P₂O₅ and K₂O a unit of area, nitrogen up to ``upper`` where there is one."""
    n, p, k = (_plain_rate(value, units) for value in grams_m2)
    most = "" if upper is None else f" to {_plain_rate(upper, units)}"
    return f"N {n}{most}, P₂O₅ {p}, K₂O {k} {'lb/100 sq ft' if units == 'us' else 'g/m²'}"


def _packs(bed: Dug, dose: Dose | PhDose) -> str:
    """How many packs a dose takes, and what those to be bought cost."""
    words = []
    if dose.from_hand:
        words.append(f"{_so_many(dose.from_hand, dose.pack)} at hand")
    if dose.to_buy:
        price = f" for {_money(bed, dose.price)}" if dose.price else ""
        words.append(f"buy {dose.to_buy} × {dose.pack}{price}")
    return "; " + ", ".join(words) if words else ""


def _so_many(packs: float, pack: str) -> str:
    """Packs by number; less than one as what is left of it."""
    return f"{trim(packs, 2)} × {pack}" if packs >= 1 else f"{trim(packs, 2)} of a pack of {pack}"


def _measured(bed: Dug, dose: Dose | PhDose) -> str:
    """A dose in the measure it was rounded to; less than a few of any is weighed."""
    if dose.measures == 0:
        return "weighed"
    return say_whole_measures(dose.measures, dose.measure_m3, bed.brief.units)


def _money(bed: Dug, amount: float) -> str:
    return f"{bed.brief.currency}{amount:,.2f}"


def _plain_rate(grams_m2: float, units: System) -> str:
    if units != "us":
        return trim(grams_m2)
    pounds = grams_m2 / 1000 / 0.45359237 * 9.290304
    return f"{pounds:.2f}" if pounds < 1 else f"{pounds:.1f}"


def _ph(bed: Dug) -> Part:
    advice, units = bed.ground.ph, bed.brief.units
    found = "not known" if advice.found is None else f"{advice.found:g}"
    lines = [Line("pH found", found, sentences(advice.reasons, units))]
    if advice.dose:
        dose = advice.dose
        times = f", {dose.doses} times, {dose.months_apart} months apart" if dose.doses > 1 else ""
        lines.append(
            Line(
                first_up(label_words(dose.label, units)),
                f"{say_weight(dose.now_kg, units)}, {_measured(bed, dose)}{times}",
                f"{say_rate(dose.per_m2_g, units)}{_packs(bed, dose)}",
            )
        )
    return Part("Lime or sulfur", tuple(lines))


def _settle(bed: Dug) -> Part:
    units, soak_m = bed.brief.units, bed.ground.soak_m3 / bed.ground.worked_m2
    return Part(
        "Spread, dig, soak, settle",
        (
            Line(
                "Spread",
                "the fill, layer by layer, then lime or sulfur, then the feed",
                "on the cleared ground; lime and a feed that holds ammonium not together: wait for"
                " rain or two weeks between them",
            ),
            Line(
                "Dig",
                f"all of it into {say_length(bed.brief.ground.dig_depth, units)} of the old soil",
                f"mix it well, from {say_short_day(bed.season.day(bed.dig))} on, when a squeezed"
                " handful of soil crumbles; never when it is wet",
            ),
            Line(
                "Soak",
                say_liquid(bed.ground.soak_m3, units),
                f"{say_length(soak_m, units)} of water over the bed; leave it out if rain has done"
                " it",
            ),
            Line(
                "Settle",
                f"for {bed.ground.settle_days} days",
                f"plant from {say_short_day(bed.season.day(bed.ready))}",
            ),
        ),
    )


def _to_buy(bed: Dug) -> Part | None:
    """What is to be bought for all of it, as far as prices are stated."""
    work = bed.ground
    prices = [(layer.label, layer.price) for layer in work.refill.layers if layer.to_buy]
    prices += [(dose.label, dose.price) for dose in (*work.feed.doses, work.feed.side_dress)]
    prices += [(work.ph.dose.label, work.ph.dose.price)] if work.ph.dose else []
    known = [price for _, price in prices if price is not None]
    if not any(known):
        return None
    unknown = len({label for label, price in prices if price is None})
    without = "1 material has" if unknown == 1 else f"{unknown} materials have"
    more = f"in whole packs; {without} no price yet" if unknown else "in whole packs"
    return Part("Cost", (Line("To buy, in all", _money(bed, sum(known)), more),))
