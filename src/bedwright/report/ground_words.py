"""Words of the ground work and of outlines: what the stages state, and the ways of clearing."""

from __future__ import annotations

from collections.abc import Iterable
from functools import singledispatch

from bedwright import geometry, ground
from bedwright.brief import ClearBy, Fault
from bedwright.dates import day_month_year
from bedwright.facts import Fact
from bedwright.ground import Way, materials, rates
from bedwright.report.say import say
from bedwright.units import (
    System,
    area_measure,
    say_area,
    say_length,
    say_liquid,
    say_long,
    say_rate,
    say_volume,
    trim,
)

NUTRIENT_WORDS = {
    "nitrogen": "nitrogen (N)",
    "phosphate": "phosphate (P₂O₅)",
    "potash": "potash (K₂O)",
}

_AMERICAN = (
    ("fertiliser", "fertilizer"),
    ("mould", "mold"),
    ("fibre", "fiber"),
    ("elletised", "elletized"),
)


def in_spelling(words: str, units: System) -> str:
    """British words as they are, or in American spelling."""
    if units == "us":
        for british, american in _AMERICAN:
            words = words.replace(british, american)
    return words


def label_words(label: str, units: System) -> str:
    """A material's label: a name of the registry in the brief's spelling, one of the gardener's own
    as it is."""
    return in_spelling(label, units) if label in materials() else label


def _listed(labels: Iterable[str], units: System) -> str:
    return ", ".join(label_words(label, units) for label in labels)


# --- clearing the lawn -------------------------------------------------------------------------

_NAMES: dict[ClearBy, str] = {
    "lift": "lift it with a spade",
    "hired cutter": "cut it with a rented sod cutter",
    "smother": "smother it under paper and mulch",
    "black plastic": "smother it under black plastic",
    "herbicide": "kill it with a weedkiller",
}

_CAUTIONS: dict[ClearBy, str] = {
    "lift": "heavy work: cut small pieces, bend your knees, rest often",
    "hired cutter": (
        "mark pipes, cables and sprinklers first; follow the rental firm's instructions; the strips"
        " are heavy"
    ),
    "smother": "wet the mulch before you spread it: its dust harms the lungs",
    "black plastic": "slippery when wet; take it up in one piece before it frays",
    "herbicide": "only by its label and local law; keep children, pets and water clear of it",
}


def way_name(key: ClearBy) -> str:
    """A way of clearing, as an order: 'lift it with a spade'."""
    return _NAMES[key]


def way_cautions(key: ClearBy) -> str:
    """What to mind in it."""
    return _CAUTIONS[key]


def way_takes(way: Way, units: System) -> str:
    """What must be had for it, and how much."""
    cover = say_area(way.cover_m2, units)
    return {
        "lift": "needs a sharp spade",
        "hired cutter": "needs a sod cutter for half a day",
        "smother": (
            f"needs newspaper, {rates()['paper_sheets']:.0f} sheets thick, over"
            f" {cover}, and {say_volume(way.mulch_m3, units)} of mulch"
        ),
        "black plastic": f"needs {cover} of black plastic, weighed down",
        "herbicide": "needs a weedkiller allowed for this use",
    }[way.key]


def _time_for_cover(days: int | None) -> str:
    if days is None:
        return (
            "ready at once; a cover takes about a year (if there is so long, say so in dates.begin"
            " and season.year)"
        )
    there = {0: "is no time", 1: "is 1 day"}.get(days, f"are {days} days")
    return f"a cover takes about a year, and there {there} before digging"


@say.register
def _(fact: ground.TimeToSmother, units: System) -> str:
    return (
        "there is a year for it: it is the least work, and the soil and the rotted grass stay in"
        " the bed"
    )


@say.register
def _(fact: ground.SmallForCutter, units: System) -> str:
    least = say_area(fact.cutter_from_m2, units)
    return f"{_time_for_cover(fact.days)}; renting a cutter pays from about {least}"


@say.register
def _(fact: ground.LargeForSpade, units: System) -> str:
    hours = f"{fact.saved_minutes / 60:.0f} hours"
    return f"{_time_for_cover(fact.days)}; over so large a bed it saves about {hours} of spade work"


# --- filling -----------------------------------------------------------------------------------


@say.register
def _(fact: ground.NotRichEnough, units: System) -> str:
    return (
        f"the organic matter wanted, {fact.wanted:.1%}, cannot be reached with these materials:"
        f" they bring {fact.reached:.1%}"
    )


@say.register
def _(fact: ground.TooRich, units: System) -> str:
    return (
        f"the fill is so rich in organic matter ({fact.reached:.0%} in all; up to {fact.most:.0%}"
        " lasts) that the bed will sink within the year"
    )


@say.register
def _(fact: ground.NotEnoughToFill, units: System) -> str:
    short = say_length(fact.short_m, units)
    return f"there is not enough to fill the bed: it stays {short} below the height wanted"


@say.register
def _(fact: ground.TakesUpNitrogen, units: System) -> str:
    return (
        f"{_listed(fact.labels, units)}: rich in carbon, so that it takes nitrogen from the soil as"
        " it rots; feed a little more, or let it rot first"
    )


@say.register
def _(fact: ground.SaltyAndAlkaline, units: System) -> str:
    return (
        f"{_listed(fact.labels, units)}: can be salty and alkaline; use it well rotted, soak it"
        " through before planting, and test the pH again before any more lime"
    )


@say.register
def _(fact: ground.DryPeat, units: System) -> str:
    mould = in_spelling("leaf mould", units)
    return (
        "peat is packed too dry and sheds water: wet it through before it goes on"
        f" ({say_liquid(fact.soak_m3, units)}); compost, {mould}, composted bark and coir do the"
        " same work and leave peat bogs alone"
    )


@say.register
def _(fact: ground.RicherThanWanted, units: System) -> str:
    return (
        f"with these materials the bed gets richer in organic matter ({fact.reached:.1%}) than"
        f" wanted ({fact.wanted:.1%}); more topsoil among them would keep it leaner"
    )


@say.register
def _(fact: ground.WantsRetainingEdge, units: System) -> str:
    fill = say_length(fact.fill_m, units)
    return f"a bed raised by {fill} needs an edge that holds the soil"


@say.register
def _(fact: ground.FillRotsAway, units: System) -> str:
    share = "all of" if fact.organic_share > 0.995 else f"{fact.organic_share:.0%} of"
    return (
        f"{share} the fill is organic material, which rots away: expect it to sink by about"
        f" {fact.sinks_by:.0%} of its height in a year, and top it up"
    )


# --- feeding and the pH ------------------------------------------------------------------------


@say.register
def _(fact: ground.Shortfall, units: System) -> str:
    short, target = say_rate(fact.short_g_m2, units), say_rate(fact.target_g_m2, units)
    name = NUTRIENT_WORDS[fact.nutrient]
    return f"the feed brings too little {name}: {short} less than the {target} wanted"


@say.register
def _(fact: ground.PhUnknown, units: System) -> str:
    return "the pH is not known: have the soil tested before you add any lime or sulfur"


@say.register
def _(fact: ground.PhSuits, units: System) -> str:
    return f"pH {fact.ph:g} suits most annuals ({fact.low:g} to {fact.high:g}): nothing to do"


@say.register
def _(fact: ground.LimedLately, units: System) -> str:
    return (
        f"pH {fact.ph:g} is too acid for most annuals, but lime was spread on"
        f" {day_month_year(fact.limed)}, less than a year before: it is still at work, so add none"
        " and test again"
    )


@say.register
def _(fact: ground.ByTexture, units: System) -> str:
    return f"by the soil's texture ({fact.texture})"


@say.register
def _(fact: ground.ByBuffer, units: System) -> str:
    return f"by the soil's pH of {fact.buffer_ph:g} in the {fact.method} buffer"


@say.register
def _(fact: ground.AcidButNoLime, units: System) -> str:
    return (
        f"pH {fact.ph:g} is acid, but {say(fact.by, units)} it needs no lime: test again in a year"
    )


@say.register
def _(fact: ground.LimeRaisesPh, units: System) -> str:
    return (
        f"pH {fact.ph:g} is too acid for most annuals: lime raises it toward {fact.target_ph:g}."
        f" The amount is worked out {say(fact.by, units)}"
    )


@say.register
def _(fact: ground.MuchLime, units: System) -> str:
    return "so much lime is unusual: ask the soil laboratory first"


@say.register
def _(fact: ground.SulfurLowersPh, units: System) -> str:
    return (
        f"pH {fact.ph:g} is alkaline: sulfur lowers it toward {fact.target_ph:g}. Where a drop of"
        " vinegar fizzes on the soil there is free lime in it, and sulfur cannot lower its pH:"
        " choose kinds that like lime"
    )


@say.register
def _(fact: ground.NoneToBeHad, units: System) -> str:
    names = _listed(fact.labels, units)
    return f"{names}: none is at hand, and without a price none can be bought"


@say.register
def _(fact: ground.PackNamed, units: System) -> str:
    return f"{label_words(fact.label, units)} ({fact.pack})"


@say.register
def _(fact: ground.OnlyPartToBeHad, units: System) -> str:
    share = trim(100.0 * fact.share, 2)
    words = (
        f"of {say(fact.product, units)} only {share}% of what is needed can be had: test again"
        " before you add more"
    )
    others = ", ".join(say(other, units) for other in fact.others)
    return f"{words}; the rest may come from {others}" if others else words


# --- faults of a brief's materials and outlines ------------------------------------------------


@singledispatch
def accepted(fact: Fact, units: System) -> str:
    """What is accepted instead of what a fact finds wrong.  Raises TypeError where it has no
    words."""
    raise TypeError(f"no words for {type(fact).__name__}")


@say.register
def _(fact: ground.Unread, units: System) -> str:
    return f"'{fact.given}'"


@accepted.register
def _(fact: ground.NoSuchMaterial, units: System) -> str:
    return ", ".join(fact.near)


@accepted.register
def _(fact: ground.AnalysisForName, units: System) -> str:
    return f"{', '.join(fact.near)}; with analysis = '{fact.given}' beside it"


@accepted.register
def _(fact: ground.NoPackSize, units: System) -> str:
    return "a volume or a weight with its unit, such as '40 L' or '40 lb'"


@accepted.register
def _(fact: ground.PackOutOfBounds, units: System) -> str:
    volume, weight = fact.volume_m3, fact.weight_kg
    return (
        f"{volume.least * 1e6:g} mL to {volume.most:g} m³, or {weight.least * 1000:g} g to"
        f" {weight.most / 1000:g} t"
    )


@accepted.register
def _(fact: ground.NoAnalysis, units: System) -> str:
    return "percent of N, P2O5 and K2O, such as '5-10-5', 100 together at most"


@accepted.register
def _(fact: ground.AnalysisOfNoFertiliser, units: System) -> str:
    return f"nothing: {fact.material} is no {in_spelling('fertiliser', units)}"


def _area(square_metres: tuple[float, ...], units: System) -> str:
    """Areas to three figures, however small: '0.05 to 2500 m²'."""
    each = [area_measure(value, units) for value in square_metres]
    figures = " to ".join(f"{float(f'{value:.3g}'):g}" for value, _ in each)
    return f"{figures} {each[0][1]}"


@say.register
def _(fact: geometry.EdgeCrosses, units: System) -> str:
    if fact.at_m is None:
        return "an edge that crosses itself"
    x, y = fact.at_m
    feet = ", ".join(say_long(metres, "us", ".1f") for metres in fact.at_m)
    return f"an edge that crosses itself near x, y = {x:.2f} m, {y:.2f} m ({feet})"


@accepted.register
def _(fact: geometry.EdgeCrosses, units: System) -> str:
    if fact.of == "building":
        return _footprint_wanted(units)
    return "an outline whose edge does not cross itself"


def _footprint_wanted(units: System) -> str:
    least = _area((geometry.LEAST_FOOTPRINT_M2,), units)
    return f"corners in order around a footprint of {least} and more, whose walls do not cross"


@say.register
def _(fact: geometry.CornersOnOneLine, units: System) -> str:
    return f"{fact.mark}s that all lie on one line"


@accepted.register
def _(fact: geometry.CornersOnOneLine, units: System) -> str:
    return _footprint_wanted(units) if fact.of == "building" else f"{fact.mark}s around a bed"


@say.register
def _(fact: geometry.FootprintTooSmall, units: System) -> str:
    return _area((fact.area_m2,), units)


@accepted.register
def _(fact: geometry.FootprintTooSmall, units: System) -> str:
    return _footprint_wanted(units)


@say.register
def _(fact: geometry.AreaOutOfBounds, units: System) -> str:
    return f"an area of {_area((fact.area_m2,), units)}"


@accepted.register
def _(fact: geometry.AreaOutOfBounds, units: System) -> str:
    return f"a bed of {_area((fact.least_m2, fact.most_m2), units)}"


@say.register
def _(fact: geometry.TooLong, units: System) -> str:
    return f"a bed {say_long(fact.length_m, units, '.4g')} long"


@accepted.register
def _(fact: geometry.TooLong, units: System) -> str:
    return f"{say_long(fact.most_m, units, '.4g')} at most from end to end"


@say.register
def _(fact: geometry.TooNarrow, units: System) -> str:
    return f"a bed {say_length(fact.width_m, units)} wide where it is widest"


@accepted.register
def _(fact: geometry.TooNarrow, units: System) -> str:
    return f"a bed with room for a circle {say_length(fact.least_m, units)} wide"


@say.register
def _(fact: geometry.CornerRepeats, units: System) -> str:
    return f"{fact.mark} {fact.corner} on {fact.mark} {fact.corner - 1}"


@accepted.register
def _(fact: geometry.CornerRepeats, units: System) -> str:
    return f"each {fact.mark} once, in order"


@say.register
def _(fact: geometry.Spike, units: System) -> str:
    return f"a spike of {fact.angle_deg:.2g}° at {fact.mark} {fact.corner}"


@accepted.register
def _(fact: geometry.Spike, units: System) -> str:
    return f"{fact.mark}s of {fact.least_deg:g}° and more"


@say.register
def _(fact: geometry.TapesMiss, units: System) -> str:
    a, b, by = (say_length(m, units) for m in (fact.from_a_m, fact.from_b_m, fact.by_m))
    if fact.from_a_m + fact.from_b_m < fact.apart_m:
        return f"{a} from A and {b} from B, which together are {by} too short to meet"
    longer, shorter = ("A", "B") if fact.from_a_m > fact.from_b_m else ("B", "A")
    return f"{a} from A and {b} from B: that from {longer} is {by} too long for that from {shorter}"


@accepted.register
def _(fact: geometry.TapesMiss, units: System) -> str:
    apart = say_length(fact.apart_m, units)
    if fact.from_a_m + fact.from_b_m < fact.apart_m:
        return f"two lengths that together are {apart}, as far as A is from B, or more"
    return f"two lengths that differ by {apart}, as far as A is from B, or less"


@say.register
def _(fact: geometry.FixedAtOneSpot, units: System) -> str:
    return "A and B on one spot"


@accepted.register
def _(fact: geometry.FixedAtOneSpot, units: System) -> str:
    return "two stakes to measure from, well apart"


@say.register
def _(fact: geometry.OffsetsAtOneX, units: System) -> str:
    return "two offsets at one distance along the base line"


@accepted.register
def _(fact: geometry.OffsetsAtOneX, units: System) -> str:
    return "a different distance for each offset"


@say.register
def _(fact: geometry.FarEdgeNearer, units: System) -> str:
    return "a far edge nearer than the near edge"


@accepted.register
def _(fact: geometry.FarEdgeNearer, units: System) -> str:
    return "the near edge's distance, then the far edge's"


@say.register
def _(fact: geometry.BarrierCrosses, units: System) -> str:
    return "a line that stands still or crosses itself"


@accepted.register
def _(fact: geometry.BarrierCrosses, units: System) -> str:
    return "corners in order along it"


@say.register
def _(fact: geometry.NoFreeGround, units: System) -> str:
    return "plants that fill the bed"


@accepted.register
def _(fact: geometry.NoFreeGround, units: System) -> str:
    return f"some free ground, {_area((fact.least_m2,), units)} at least"


def fault_of(
    fact: geometry.Misfit | ground.Unread, units: System = "metric", table: str = ""
) -> Fault:
    """The fault of a brief that a fact finds; ``table``: the path of the table that the fact's
    field stands in, where the fact does not name it."""
    path = f"{table}.{fact.field}" if table else fact.field
    return Fault(path, say(fact, units), accepted(fact, units))
