"""The planting's facts in words."""

from __future__ import annotations

from math import floor

from bedwright.dates import day_month_year
from bedwright.planting import (
    AskedButNotPlanted,
    AskedFor,
    BedTooNarrow,
    BudgetNotKept,
    CostsTooMuch,
    Counted,
    CrowdedOut,
    ExchangedFor,
    FewerForBudget,
    FewKindsSuit,
    FillsGap,
    ForUses,
    GapsFilled,
    HeightNotWanted,
    Invasive,
    LeftOut,
    LessSunThanLiked,
    LowEnoughToEdge,
    MoreAreNamed,
    MorePoints,
    NextBest,
    NoGapWideEnough,
    NoMoreGoTogether,
    NoneBetter,
    NoPlantStays,
    NoSafeDay,
    NothingFits,
    NothingInstead,
    NothingToSwap,
    OneOfEachHeight,
    OtherNumberOfForms,
    OthersFoundNoPlace,
    OtherSoilLiked,
    OutScored,
    PlantedThough,
    Relaxed,
    RoomForDrifts,
    ShowDayNotWeighed,
    SoilTooCold,
    SpotInNoDrift,
    StandsByHeight,
    SteadyFoliage,
    SuitsDrift,
    TooLittleBloom,
    TooMuchMaintenance,
    TooNarrowForEdging,
    TooShady,
    TooShortForLeaves,
    TooSunny,
    TooTall,
    TwoKindsAsked,
    TwoSizesAsked,
    WeeksOfBloom,
)
from bedwright.report.say import say
from bedwright.report.text import counted, listed
from bedwright.units import System, say_length, say_temperature

SORTS = {
    "left_out_as_wished": "left out as wished",
    "nothing_to_climb": "a climber; this bed has nothing to climb",
    "too_tall": "too tall",
    "too_much_maintenance": "more maintenance than wished",
    "toxic_to_people": "toxic to people",
    "toxic_to_dogs": "may harm dogs",
    "toxic_to_cats": "may harm cats",
    "irritates_skin": "irritates skin",
    "invasive": "invasive somewhere",
    "self_sows_freely": "self-sows freely",
    "too_short_for_leaves": "too short a season for its leaves",
    "no_safe_day": "no day before midsummer is safe from frost",
    "soil_too_cold": "the soil is too cold for it before midsummer",
    "too_little_bloom": "too little bloom in this season",
    "too_shady": "too shady",
    "too_sunny": "too sunny",
    "no_colour_that_suits": "no colour that suits the scheme",
    "height_not_wanted": "nothing of its height is wanted in this bed",
    "out_scored": "others suit this bed and its wishes better",
    "crowded_out": "others of its height, as good, mix families and forms better",
    "costs_too_much": "too costly for the budget",
    "no_room": "no drift had the sun and the room for it",
    "exchanged_for": "another goes better with what stands beside it",
}
"""Why kinds are left out, whatever the figures, by ``LeftOut.sort``."""

LACKS = {
    "light": "sun", "soil": "soil", "bloom": "weeks of bloom", "uses": "the uses wished",
    "colour": "colour in the scheme", "again": "being new beside other variants",
    "shows": "colour that stands out from leaves and soil", "ease": "little maintenance",
    "trade": "being easy to come by",
    "stays": "standing through the season", "thrift": "low cost",
}  # fmt: skip
"""What a kind that scores low is short of, by term of its score."""

POINTS_FOR = {
    "height": "height", "sun": "sun", "room": "room for a group", "merit": "its own score",
    "bare": "ground left bare when it is over", "rotation": "last year's diseases",
    "colour": "colour beside its neighbours", "form": "contrast of form and leaf",
    "same": "the same kind next to it",
    "hidden": "plants hidden from view", "order": "tall plants before low ones",
    "bloom": "bloom around it through the season",
    "uses": "leaving one out or using one too often",
}  # fmt: skip
"""What penalty points are for, by term of the objective."""

LEAST_POINTS, MOST_TERMS = 0.05, 3
"""Points of a term that is named, at least, and terms named at most."""

MOST_REASONS, MOST_RELAXED = 4, 3

USES = {
    "cutting": "cutting",
    "drying": "drying",
    "scent": "scent",
    "edible flowers": "eating",
    "pollinators": "pollinators",
}
HEIGHTS = {
    "tall": "among the tallest of this bed",
    "low": "among the lowest of this bed",
    "middle": "of middle height",
}
FITTING = {("tall", "back"), ("low", "edge")}
"""Heights and places of which the one is the reason of the other."""


# Why a kind is not grown


@say.register
def _(fact: LeftOut, units: System) -> str:
    return SORTS[fact.sort]


@say.register
def _(fact: TooTall, units: System) -> str:
    high, suits = say_length(fact.height_m, units), say_length(fact.limit_m, units)
    return f"{SORTS[fact.sort]}: {high} where {suits} suits"


@say.register
def _(fact: TooMuchMaintenance, units: System) -> str:
    return f"{SORTS[fact.sort]}: {fact.level:g} of 3 where {fact.most:g} is the most"


@say.register
def _(fact: Invasive, units: System) -> str:
    return f"invasive in {listed(fact.where)}"


@say.register
def _(fact: TooShortForLeaves, units: System) -> str:
    return f"{SORTS[fact.sort]}: {_weeks_where(fact.weeks, fact.least_weeks)}"


@say.register
def _(fact: TooLittleBloom, units: System) -> str:
    return f"{SORTS[fact.sort]}: {_weeks_where(fact.weeks, fact.least_weeks)}"


def _weeks_where(weeks: float, least: float) -> str:
    return f"{floor(weeks * 10) / 10:g} weeks where {least:g} are the least"


@say.register
def _(fact: NoSafeDay, units: System) -> str:
    night = say_temperature(fact.kill_c, units)
    return f"{SORTS[fact.sort]}: a night of {night} still comes with odds of {fact.odds:.0%}"


@say.register
def _(fact: SoilTooCold, units: System) -> str:
    return f"{SORTS[fact.sort]}: its seed wants {say_temperature(fact.least_c, units)}"


@say.register
def _(fact: TooShady, units: System) -> str:
    return f"{SORTS[fact.sort]}: {fact.sun_h:.1f} h of sun where it wants {fact.least_h:g}"


@say.register
def _(fact: TooSunny, units: System) -> str:
    heat = say_temperature(fact.day_c, units)
    most = f"{fact.most_h:.1f} is the most with days of {heat}"
    return f"{SORTS[fact.sort]}: {fact.sun_h:.1f} h of sun where {most}"


@say.register
def _(fact: HeightNotWanted, units: System) -> str:
    return SORTS[fact.sort]


@say.register
def _(fact: OutScored, units: System) -> str:
    scores = f"it scores {fact.score:.1f}, they {fact.chosen_score:.1f} and more"
    short = f", short of {listed([LACKS[term] for term in fact.lacks])}" if fact.lacks else ""
    return f"{SORTS[fact.sort]}: {scores}{short}"


@say.register
def _(fact: CrowdedOut, units: System) -> str:
    return f"{SORTS[fact.sort]} (its score is {fact.score:.1f})"


@say.register
def _(fact: CostsTooMuch, units: System) -> str:
    over = f"{fact.currency}{fact.over:.2f}"
    return f"{SORTS[fact.sort]}: with it the bed could cost {over} more than there is for plants"


@say.register
def _(fact: ExchangedFor, units: System) -> str:
    return f"{fact.name} goes better with what stands beside it in this bed"


# Nothing can be planted


@say.register
def _(fact: Counted, units: System) -> str:
    return f"{SORTS[fact.sort]} ({fact.kinds})"


@say.register
def _(fact: Relaxed, units: System) -> str:
    verb = "would fit"
    return f"{fact.field or 'the width of the bed'}, without which {fact.kinds} {verb}"


@say.register
def _(fact: NothingFits, units: System) -> str:
    reasons = "; ".join(say(reason, units) for reason in fact.reasons[:MOST_REASONS])
    relaxed = ", or ".join(say(one, units) for one in fact.relaxed[:MOST_RELAXED])
    relax = f"To relax: {relaxed}" if relaxed else "No one wish stands in the way by itself"
    return f"no kind in the catalogue fits: {reasons}. {relax}"


@say.register
def _(fact: BedTooNarrow, units: System) -> str:
    return "nothing can be planted: the bed is narrower than the plants' spacing"


@say.register
def _(fact: NoGapWideEnough, units: System) -> str:
    least = say_length(fact.least_gap_m, units)
    return f"nothing can be planted: no gap that lasts is wide enough for a plant ({least} or more)"


# Changes that cannot be made


@say.register
def _(fact: SpotInNoDrift, units: System) -> str:
    return (
        f"{fact.field}: given {fact.x_m:g} m, {fact.y_m:g} m; accepted: a spot in one of the bed's"
        " drifts, edging apart (wishes.edge_with names its kinds)"
    )


@say.register
def _(fact: TwoKindsAsked, units: System) -> str:
    return (
        f"changes[{fact.change}]: given {fact.name}, {fact.colour}, where"
        f" changes[{fact.earlier}] asks for {fact.earlier_name}; accepted: one kind for each drift"
    )


@say.register
def _(fact: TwoSizesAsked, units: System) -> str:
    return (
        f"changes[{fact.change}].size: given {fact.size:g} for the drift that"
        f" changes[{fact.earlier}] gives a size; accepted: one size for each drift"
    )


@say.register
def _(fact: NothingInstead, units: System) -> str:
    return (
        f"changes: given never '{fact.key}'; accepted: a kind in whose place another of its height"
        f" suits this bed, which none does of {fact.name}"
    )


@say.register
def _(fact: NothingToSwap, units: System) -> str:
    what = "the drift itself" if fact.itself else "a drift of the same"
    return (
        f"changes[{fact.change}].swap: given {what} ({fact.name}, {fact.colour}); accepted: a spot"
        " in a drift of something else"
    )


# Notes on wishes


@say.register
def _(fact: PlantedThough, units: System) -> str:
    return f"{fact.name}: planted as asked, though {say(fact.reason, units)}"


@say.register
def _(fact: AskedButNotPlanted, units: System) -> str:
    return f"{fact.name}: asked for, but {say(fact.reason, units)}"


@say.register
def _(fact: NoPlantStays, units: System) -> str:
    return "gaps_only: no plant that stays is named, so the whole bed is planted"


@say.register
def _(fact: TooNarrowForEdging, units: System) -> str:
    return "no edging: the bed is too narrow for one"


@say.register
def _(fact: ShowDayNotWeighed, units: System) -> str:
    return (
        f"the show day, {day_month_year(fact.day)}, is in the calendar with the kinds likely to be"
        " in flower; kinds are chosen for bloom all season, not for that day"
    )


@say.register
def _(fact: GapsFilled, units: System) -> str:
    fill = "plant takes" if fact.plants == 1 else "plants take"
    return (
        f"{fact.plants} {fill} up the room that what stays will leave; by the gaps of spring one"
        f" would set {fact.by_spring_gaps}, of which {fact.smothered} would be smothered"
    )


@say.register
def _(fact: FewerForBudget, units: System) -> str:
    grown = counted(fact.planted, "colour form")
    are = "is" if fact.planted == 1 else "are"
    return f"for the budget {grown} {are} grown, not {fact.usual}"


@say.register
def _(fact: BudgetNotKept, units: System) -> str:
    over, budget = (f"{fact.currency}{money:,.2f}" for money in (fact.over, fact.budget))
    return f"the budget of {budget} cannot be kept: what is to be bought costs {over} more"


@say.register
def _(fact: OtherNumberOfForms, units: System) -> str:
    reasons = "; ".join(say(reason, units) for reason in fact.reasons)
    asked = counted(fact.asked, "colour form")
    each = "each colour of a kind counts as one"
    return f"{asked} asked for, {fact.planted} planted: {reasons} ({each})"


@say.register
def _(fact: MoreAreNamed, units: System) -> str:
    return "the kinds named for the bed and its edging come to more"


@say.register
def _(fact: OneOfEachHeight, units: System) -> str:
    return "the bed's heights want at least one of each"


@say.register
def _(fact: RoomForDrifts, units: System) -> str:
    rest = ", and the edging" if fact.edging else ""
    return f"the bed has room for {counted(fact.drifts, 'drift')}, one colour form to each{rest}"


@say.register
def _(fact: FewKindsSuit, units: System) -> str:
    suit = "one kind suits" if fact.kinds == 1 else f"{fact.kinds} kinds suit"
    return f"only {suit} the light, the season, the height and the wishes"


@say.register
def _(fact: NoMoreGoTogether, units: System) -> str:
    return "no more go together by height, family, form of flower and colour"


@say.register
def _(fact: OthersFoundNoPlace, units: System) -> str:
    place = "gap" if fact.in_gaps else "drift"
    return f"the others found no {place} with the sun and the room that they need"


@say.register
def _(fact: NoneBetter, units: System) -> str:
    return "those left were no better than what is planted"


# Why a drift holds what it holds


def height_here(fact: SuitsDrift, units: System) -> str:
    """How high a drift's kind is, and what height would suit best there."""
    high, suits = say_length(fact.height_m, units), say_length(fact.wanted_height_m, units)
    return f"{high} high where {suits} suits"


@say.register
def _(fact: SuitsDrift, units: System) -> str:
    best = "nothing else to choose from"
    if fact.next_best is not None:
        best = f"the next best, {say(fact.next_best, units)}"
    return f"{height_here(fact, units)}; {best}"


@say.register
def _(fact: NextBest, units: System) -> str:
    most = [term for term in fact.terms if term.points >= LEAST_POINTS][:MOST_TERMS]
    for_what = ", for" if fact.points >= LEAST_POINTS else ", though more for"
    terms = f"{for_what} {', '.join(say(term, units) for term in most)}" if most else ""
    return f"{fact.name}, {fact.colour}, would have {more_points(fact.points)}{terms}"


@say.register
def _(fact: MorePoints, units: System) -> str:
    return f"{POINTS_FOR[fact.term]} {points_of(fact.points)}"


def more_points(points: float) -> str:
    """Penalty points more, or fewer, or as many."""
    if abs(points) < LEAST_POINTS:
        return "as many penalty points"
    return f"{points_of(abs(points))} penalty points {'more' if points > 0 else 'fewer'}"


def points_of(points: float) -> str:
    """Points as printed."""
    return f"{points:.1f}"


@say.register
def _(fact: FillsGap, units: System) -> str:
    clear = say_length(fact.clearance_m, units)
    return f"fills room that lasts, {clear} and more from what stays when it is grown"


# Why an item is on the plan


@say.register
def _(fact: AskedFor, units: System) -> str:
    return "asked for"


@say.register
def _(fact: SteadyFoliage, units: System) -> str:
    return "steady foliage between the flowers"


@say.register
def _(fact: WeeksOfBloom, units: System) -> str:
    return f"about {counted(round(fact.weeks), 'week')} of bloom"


@say.register
def _(fact: ForUses, units: System) -> str:
    return f"for {listed([USES[use] for use in fact.uses])}"


@say.register
def _(fact: LowEnoughToEdge, units: System) -> str:
    return "low enough to edge the bed"


@say.register
def _(fact: StandsByHeight, units: System) -> str:
    back = "middle" if fact.island else "back"
    between = f"between the {back} and the edge"
    place = {"back": f"toward the {back}", "between": between, "edge": "toward the edge"}[
        fact.place
    ]
    so = " so" if (fact.height, fact.place) in FITTING else ""
    return f"{HEIGHTS[fact.height]},{so} {place}"


@say.register
def _(fact: LessSunThanLiked, units: System) -> str:
    return f"a little less sun than it likes: {fact.sun_h:.1f} h where {fact.least_h:g} is best"


@say.register
def _(fact: OtherSoilLiked, units: System) -> str:
    parts = (fact.texture, None if fact.ph is None else f"pH {fact.ph:g}")
    found = [part for part in parts if part]
    verb = "are" if len(found) > 1 else "is"
    return f"grows in this soil; {listed(found)} {verb} not what it likes best"
