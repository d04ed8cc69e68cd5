"""Words of the work: tasks, supplies, cautions."""

from __future__ import annotations

from collections.abc import Iterable
from functools import singledispatch
from typing import TYPE_CHECKING

from bedwright.growth import DecidedBy
from bedwright.report.say import say
from bedwright.units import System, say_length, say_temperature, say_volume, say_weight, trim
from bedwright.work import cautions, jobs, things

if TYPE_CHECKING:
    from bedwright.work import Supply, Task

PRICK_OUT = {"metric": "Prick out", "us": "Prick out (transplant the seedlings)"}
POT_ON = {"metric": "Pot on", "us": "Pot on (move to larger pots)"}
"""Terms of the trade, with what they are called in America beside them."""


def _label(label: str, units: System) -> str:
    """A material's label in words."""
    from bedwright.report.ground_words import label_words  # all of the ground, and seldom wanted

    return label_words(label, units)


# --- tasks -------------------------------------------------------------------------------------


@singledispatch
def reason(job: jobs.Job, units: System) -> str:
    """Why a job is done then, or how, in sentences.  Raises TypeError where it has no words."""
    raise TypeError(f"no reason for {type(job).__name__}")


def task_title(task: Task, units: System) -> str:
    """What a task is, in a line."""
    return say(task.job, units)


def task_reason(task: Task, units: System) -> str:
    """Why it is done then, and whether it was moved."""
    moved = " Moved to a day you are at home." if task.moved else ""
    return f"{reason(task.job, units)}{moved}"


def _both(job: type[jobs.Job], title: str, why: str) -> None:
    """The words of a job that has no values in them."""
    say.register(job, lambda fact, units: title)
    reason.register(job, lambda fact, units: why)


_both(
    jobs.SoilTest,
    "Send a soil sample to a laboratory",
    "Its pH decides on lime, and its phosphorus and potassium on the feed.",
)
_both(
    jobs.OrderMaterials,
    "Order soil materials and feed",
    "They must be there when the bed is dug.",
)
_both(
    jobs.MarkServices,
    "Have buried pipes and cables marked",
    "Nothing may be dug before they are marked; local rules set the notice.",
)
_both(
    jobs.SprayGrass,
    "Kill the grass with a weedkiller, by its label only",
    "It works on growing grass and takes some weeks; the label says how long.",
)
_both(jobs.MarkOut, "Stake, string and edge the bed", "The day before digging.")
_both(jobs.OrderSeed, "Order seed", "Before the first sowing.")
_both(
    jobs.WaterBed,
    "Water where the soil is dry a finger deep",
    "Every few days until the young plants have taken root, then weekly by the water table.",
)
_both(
    jobs.Mulch,
    "Weed, then mulch between the plants",
    "Once the soil is warm: it saves water and weeding.",
)
_both(
    jobs.Deadhead,
    "Pick or deadhead every week from now on",
    "Picking keeps the flowers coming.",
)
_both(
    jobs.WatchForFrost,
    "Watch for frost; cover tender kinds on clear, still nights",
    "By the first of these days one year in ten has had its first freeze; by the last, five in"
    " ten.",
)
_both(
    jobs.ClearBed,
    "Clear the bed; compost what is healthy",
    "When frost or age has ended the flowers.",
)
_both(
    jobs.Review,
    "Note what did well, and plan next year's bed",
    "While you remember the bed; move each plant family to new ground.",
)


@say.register
def _(job: jobs.CoverGrass, units: System) -> str:
    cover = "wet paper and mulch" if job.cover == "smother" else "black plastic"
    return f"Mow the grass close and cover it: {cover}"


@reason.register
def _(job: jobs.CoverGrass, units: System) -> str:
    return "Grass takes about a year to die and rot. If it is too late for that, lift the sod."


_DIG = {
    "sod": "Lift the sod, fill, feed and dig",
    "open": "Fill, feed and dig the bed",
    "gaps": "Fork over the gaps, with compost and feed",
}


@say.register
def _(job: jobs.Dig, units: System) -> str:
    return _DIG[job.ground]


@reason.register
def _(job: jobs.Dig, units: System) -> str:
    care = " Keep a hand's breadth away from the shoots of what stays." * (job.ground == "gaps")
    return (
        "The first day on which the ground can be worked in half of all years, or which the brief"
        " allows; before an autumn planting, in time for the bed to settle."
        f" Not when it is wet: a handful, squeezed, must crumble again.{care}"
    )


@say.register
def _(job: jobs.WaterIn, units: System) -> str:
    return "Soak the bed and let it settle"


@reason.register
def _(job: jobs.WaterIn, units: System) -> str:
    return (
        f"It sinks for {job.settle_days} days; planted sooner, roots hang in holes. Skip the soak"
        " if rain has done it."
    )


@say.register
def _(job: jobs.SpreadAgain, units: System) -> str:
    return f"Spread {_label(job.label, units)} again, number {job.number} of {job.of}"


@reason.register
def _(job: jobs.SpreadAgain, units: System) -> str:
    return "A large dose is split."


@say.register
def _(job: jobs.SowIndoors, units: System) -> str:
    return f"Sow indoors: {job.item.name}"


@reason.register
def _(job: jobs.SowIndoors, units: System) -> str:
    weeks = round(job.weeks)
    return f"{weeks} {'week' if weeks == 1 else 'weeks'} before setting out."


@say.register
def _(job: jobs.PrickOut, units: System) -> str:
    return f"{PRICK_OUT[units]}: {job.item.name}"


@reason.register
def _(job: jobs.PrickOut, units: System) -> str:
    return "When the first true leaves show."


@say.register
def _(job: jobs.PotOn, units: System) -> str:
    return f"{POT_ON[units]}: {job.item.name}"


@reason.register
def _(job: jobs.PotOn, units: System) -> str:
    container = "block" if job.container == "soil block" else "cell"
    return f"When roots show at the edge of the {container}."


@say.register
def _(job: jobs.HardenOff, units: System) -> str:
    return f"Harden off: {_names(job.items)}"


@reason.register
def _(job: jobs.HardenOff, units: System) -> str:
    return "Out by day, in on cold nights, for a week or two."


def _names(items: Iterable[jobs.Named]) -> str:
    return "; ".join(item.name for item in items)


def _letters(items: Iterable[jobs.Named]) -> str:
    return " ".join(item.letter for item in items)


_DECIDED: dict[DecidedBy, str] = {
    "frost": "The frost risk decides the day.",
    "soil": "The warmth of the soil decides the day.",
    "nothing": "Neither frost nor cold soil holds them back.",
    "midsummer": "No day before midsummer is safe.",
    "cold_soil": "The soil is not warm before midsummer.",
    "bed": "The bed is ready from this day.",
    "sowing": "Sown any sooner they would have to be sown before work begins.",
    "autumn": "They stand the winter here and flower sooner and longer for it.",
    "heat": "The heat that stops their flowers is past.",
    "cool": "The cool season begins, in which they flower best.",
}

SLIGHT = 0.005
"""Odds that are not told."""


@say.register
def _(risk: jobs.HeatRisk, units: System) -> str:
    return _heat(risk, "them", units)


def _heat(risk: jobs.HeatRisk, whom: str, units: System) -> str:
    said = [_DECIDED[risk.decided_by].removesuffix(".")]
    if risk.heat_odds >= SLIGHT:
        hot = say_temperature(risk.heat_max_c, units)
        said.append(
            f"A fortnight with days above {hot} on average still comes with odds of"
            f" {risk.heat_odds:.0%}"
        )
    if risk.odds >= SLIGHT:
        cold = say_temperature(risk.kill_c, units)
        said.append(
            f"A night of {cold} or colder, which kills {whom}, still comes with odds of"
            f" {risk.odds:.0%}: keep a cover ready"
        )
    return ". ".join(said)


@say.register
def _(risk: jobs.FrostRisk, units: System) -> str:
    return _risk(risk, "them", units)


def _risk(risk: jobs.FrostRisk, whom: str, units: System) -> str:
    cold = say_temperature(risk.kill_c, units)
    return (
        f"{_DECIDED[risk.decided_by]} A night of {cold} or colder, which kills {whom}, still comes"
        f" with odds of {risk.odds:.0%}"
    )


@say.register
def _(job: jobs.SowInPlace, units: System) -> str:
    return f"Sow in place: {job.item.name}"


@reason.register
def _(job: jobs.SowInPlace, units: System) -> str:
    if isinstance(job.risk, jobs.HeatRisk):
        return f"{_heat(job.risk, 'seedlings', units)}."
    return f"{_risk(job.risk, 'seedlings', units)}."


@say.register
def _(job: jobs.SowAgain, units: System) -> str:
    return f"Clear and sow again in place: {job.item.name}"


@reason.register
def _(job: jobs.SowAgain, units: System) -> str:
    before = "the growing year ends" if isinstance(job, jobs.SowOnceMore) else "frost"
    return f"The first plants are over, and there is time for a second bloom before {before}."


@say.register
def _(job: jobs.Thin, units: System) -> str:
    return f"Thin: {job.item.name}"


@reason.register
def _(job: jobs.Thin, units: System) -> str:
    return "To the strongest one or two at each plant's place."


@say.register
def _(job: jobs.ThinToOne, units: System) -> str:
    return f"Thin to one: {job.item.name}"


@reason.register
def _(job: jobs.ThinToOne, units: System) -> str:
    return "One plant to each place."


@say.register
def _(job: jobs.SetOut, units: System) -> str:
    items = "; ".join(f"{item.letter} {item.name}" for item in job.items)
    return f"{'Buy and set out' if job.bought else 'Set out'}: {items}"


@reason.register
def _(job: jobs.SetOut, units: System) -> str:
    if isinstance(job.risk, jobs.HeatRisk):
        return f"{say(job.risk, units)}."
    return f"{say(job.risk, units)}: keep a cover ready."


@say.register
def _(job: jobs.PinchOut, units: System) -> str:
    return f"Pinch out the tips: {job.item.name}"


@reason.register
def _(job: jobs.PinchOut, units: System) -> str:
    return "For bushier plants with more stems."


@say.register
def _(job: jobs.Stake, units: System) -> str:
    return f"Stake: {_names(job.items)}"


@reason.register
def _(job: jobs.Stake, units: System) -> str:
    return "Before they lean."


_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@say.register
def _(job: jobs.FeedAgain, units: System) -> str:
    return f"Feed the heavier feeders again, lightly: {_letters(job.items)}"


@reason.register
def _(job: jobs.FeedAgain, units: System) -> str:
    first, last = (_NUMBERS[weeks] if weeks <= 10 else str(weeks) for weeks in job.weeks)
    return (
        f"{first.capitalize()} to {last} weeks after planting,"
        f" {say_weight(job.weight_kg, units)} of {_label(job.label, units)} over the whole"
        " bed at most: much nitrogen gives leaf instead of flowers."
    )


@say.register
def _(job: jobs.FirstFlowers, units: System) -> str:
    return f"First flowers: {job.item.name}"


@reason.register
def _(job: jobs.FirstFlowers, units: System) -> str:
    return "In eight years of ten they open within these days."


@say.register
def _(job: jobs.ShowDay, units: System) -> str:
    return f"The show day: {job.open} of {job.items} kinds likely in flower"


@reason.register
def _(job: jobs.ShowDay, units: System) -> str:
    return "The day is the brief's."


@say.register
def _(clash: jobs.NoDayAtHome, units: System) -> str:
    return f"{say(clash.job, units)}: its whole window falls while you are away"


# --- supplies ----------------------------------------------------------------------------------


def pack_words(line: Supply) -> str:
    """What one pack holds."""
    return line.pack if line.seeds is None else f"{line.seeds} seeds or more"


def amount_words(value: float, unit: str, units: System) -> str:
    """How much of a supply: a weight, volume or length in the brief's units, or so many; a part of
    a pack as its share."""
    if value <= 0:
        return ""
    if unit == "kg":
        return say_weight(value, units)
    if unit == "m3":
        return say_volume(value, units)
    if unit == "m":
        return say_length(value, units)
    if unit == "pieces":
        return trim(value, 0)
    return f"{trim(value)} {unit[:-1] if value <= 1 else unit}"


STAGES = {
    "mark_out": "mark out",
    "lift_sod": "lift the sod",
    "fill": "fill and spread",
    "dig": "dig",
    "raise": "sow and raise",
    "set_out": "set out and sow in place",
    "thin": "thin",
    "maintain": "look after through the season",
}
"""Stages of the work that hours are counted for."""


@say.register
def _(thing: things.Product, units: System) -> str:
    return _label(thing.name, units)


@say.register
def _(thing: things.PottingMix, units: System) -> str:
    return "seed and potting mix"


@say.register
def _(thing: things.Trays, units: System) -> str:
    wide, long = thing.size_m
    if units == "us":
        return f"flat trays, {wide / 0.0254:.0f} by {long / 0.0254:.0f} in"
    return f"flat trays, {wide * 100:.0f} by {long * 100:.0f} cm"


@say.register
def _(thing: things.Pots, units: System) -> str:
    return f"pots, {say_length(thing.width_m, units)}"


@say.register
def _(thing: things.Labels, units: System) -> str:
    return "labels"


@say.register
def _(thing: things.Stakes, units: System) -> str:
    return "stakes"


@say.register
def _(thing: things.String, units: System) -> str:
    return "string"


@say.register
def _(thing: things.Mulch, units: System) -> str:
    return "mulch"


@say.register
def _(thing: things.Canes, units: System) -> str:
    return "canes or brushwood"


@say.register
def _(note: things.BarrowLoads, units: System) -> str:
    return f"{note.loads} barrow loads" if note.loads > 1 else "one barrow load"


def _use(use_kg: float | None, units: System) -> str:
    return "" if use_kg is None else f"; this bed takes {say_weight(use_kg, units)}"


@say.register
def _(note: things.Grade, units: System) -> str:
    later = ", to feed with in summer" if note.in_summer else ""
    return f"grade {note.grade}{later}{_use(note.use_kg, units)}"


@say.register
def _(note: things.Spreadings, units: System) -> str:
    times = f"in {note.times} spreadings" if note.times > 1 else "in one spreading"
    return f"{times}{_use(note.use_kg, units)}"


@say.register
def _(note: things.SeedWeight, units: System) -> str:
    grams = note.seed_g
    return f"about {grams:.2g} g" if grams >= 0.1 else f"about {grams * 1000:.2g} mg"


@say.register
def _(note: things.YoungPlants, units: System) -> str:
    return "young plants from a nursery"


@say.register
def _(note: things.MixFor, units: System) -> str:
    what = "soil block" if note.container == "soil block" else "cell"
    filled = f"for {note.containers} {what}{'' if note.containers == 1 else 's'}"
    pots = f" and {note.pots} pot{'' if note.pots == 1 else 's'}" if note.pots else ""
    return f"{filled}{pots}"


@say.register
def _(note: things.FullestWeek, units: System) -> str:
    return "at the fullest week"


@say.register
def _(note: things.ForPottingOn, units: System) -> str:
    return "for potting on"


@say.register
def _(note: things.OnTraysAndDrifts, units: System) -> str:
    return "one to a tray, one to a drift"


@say.register
def _(note: things.NumberedOnThePlan, units: System) -> str:
    return "as numbered on the plan"


@say.register
def _(note: things.EdgeAndSpare, units: System) -> str:
    return "the edge and a tenth over"


@say.register
def _(note: things.MulchSorts, units: System) -> str:
    return "fine bark, leaf mould or straw, once the soil is warm"


@say.register
def _(note: things.ForTallKinds, units: System) -> str:
    return "for tall kinds"


# --- cautions ----------------------------------------------------------------------------------

TITLES: dict[type[cautions.Caution], str] = {
    cautions.BuriedServices: "Buried pipes and cables",
    cautions.Lifting: "Lifting and digging",
    cautions.TreeRoots: "Tree roots",
    cautions.Dust: "Dust of feed and lime",
    cautions.ClearingGrass: "Clearing the grass",
    cautions.Poisonous: "Poisonous plants",
    cautions.Upsetting: "Plants that can upset people",
    cautions.HarmsPets: "Pets",
    cautions.IrritatesSkin: "Skin",
    cautions.Spreads: "Plants that spread",
    cautions.EatingFlowers: "Eating flowers",
}


def caution_title(caution: cautions.Caution) -> str:
    """The heading of a caution."""
    return TITLES[type(caution)]


@say.register
def _(caution: cautions.BuriedServices, units: System) -> str:
    return (
        "Before any spade goes in, have buried gas, power, water and telephone lines marked by the"
        " local locating service, and keep to its notice and its clearances. Private lines (garden"
        " lighting, irrigation, gas to a grill) are not on its maps: find those yourself."
    )


@say.register
def _(caution: cautions.Lifting, units: System) -> str:
    sod = heavy = ""
    if caution.sod_kg is not None:
        sod = f" The sod weighs up to {say_weight(caution.sod_kg, units)} in all."
    if caution.packs:
        loads = ", ".join(
            f"{_label(pack.label, units)} ({say_weight(pack.weight_kg, units)} a pack)"
            for pack in caution.packs
        )
        heavy = f" Heavy packs: {loads}; lift them with a second person or open them on the spot."
    return (
        f"Lift with bent knees and a straight back, in small loads, with rests.{sod}{heavy} Wear"
        " closed shoes for spade and edger."
    )


@say.register
def _(caution: cautions.TreeRoots, units: System) -> str:
    names = ", ".join(name or "a tree" for name in caution.trees)
    return (
        f"{names}: its roots reach under this bed. Fork instead of digging with a spade, leave"
        " roots thicker than a finger whole, and stop digging where they are many; heap no soil"
        " against the trunk. Ask whether the tree is protected before any digging. Under its crown"
        " less rain arrives than the water table allows for: water more."
    )


@say.register
def _(caution: cautions.Dust, units: System) -> str:
    dusty = ", ".join(_label(label, units) for label in caution.labels)
    return (
        f"{dusty}: do not breathe the dust. Spread on a still day, moisten dry"
        " material first, wear gloves and a dust mask, wash hands, and keep children and pets away"
        " until it is dug in. The product's own label comes first. Composts can carry Legionella:"
        " open bags away from the face."
    )


_CLEARING = {
    "hired cutter": "A sod cutter is a strong machine with an open blade: go by the rental firm's"
    " instructions, in stout boots, with children and pets away; mark sprinklers and shallow cables"
    " first, and have a second person for the strips.",
    "herbicide": "Weedkiller only by its label and local law, by someone allowed to use it, with"
    " the gear the label names, on a still dry day; never near water, edible plants or playing"
    " children. Keep people and pets off as long as the label says.",
}
_SMOTHER = (
    "Smothering takes about a year. Weedkiller is quicker, but only by its label, by someone"
    " allowed to use it, and never near water, edible plants or playing children."
)


@say.register
def _(caution: cautions.ClearingGrass, units: System) -> str:
    return _CLEARING.get(caution.way, _SMOTHER)


def _them(caution: cautions.PlantCaution) -> str:
    return "them" if len(caution.names) > 1 else "it"


@say.register
def _(caution: cautions.Poisonous, units: System) -> str:
    return (
        f"{', '.join(caution.names)}: poisonous if eaten,"
        f" {'some of them' if len(caution.names) > 1 else 'perhaps'} gravely. Keep"
        f" {_them(caution)} out of reach of small children, wear gloves, never mix"
        f" {_them(caution)} with flowers meant for eating; if swallowed call a poison centre."
    )


@say.register
def _(caution: cautions.Upsetting, units: System) -> str:
    return (
        f"{', '.join(caution.names)}: may upset the stomach or worse if eaten"
        f"{' (leaving out what is toxic to people leaves these in)' if caution.items else ''}."
    )


@say.register
def _(caution: cautions.HarmsPets, units: System) -> str:
    wish = "have the brief's wishes avoid them" if caution.items else "grow something else"
    return (
        f"{', '.join(caution.names)}: may harm dogs or cats that chew {_them(caution)}. Where pets"
        f" graze, {wish}; ask a veterinarian if one has eaten any."
    )


@say.register
def _(caution: cautions.IrritatesSkin, units: System) -> str:
    return f"{', '.join(caution.names)}: sap or leaves can irritate skin; wear gloves when cutting."


@say.register
def _(caution: cautions.Spreads, units: System) -> str:
    many = len(caution.names) > 1
    do = "sow themselves freely or are" if many else "sows itself freely or is"
    names = ", ".join(
        f"{weed.name} (listed in {', '.join(weed.listed_in)})" if weed.listed_in else weed.name
        for weed in caution.weeds
    )
    return (
        f"{names}: {do} listed as invasive somewhere. Check your local list before planting, and"
        " deadhead before seed is ripe."
    )


@say.register
def _(caution: cautions.EatingFlowers, units: System) -> str:
    parts = ", ".join(f"{edible.name} ({edible.part})" for edible in caution.parts)
    return (
        f"Listed as edible: {parts}. Eat only what you can name with certainty, grown without"
        " sprays and not bought from a florist, in small amounts at first; hay fever sufferers"
        " should take care. No other flower of this bed is for eating."
    )
