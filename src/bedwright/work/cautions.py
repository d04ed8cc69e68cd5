"""Hazards of this very plan, and the words that go with them.

Each caution is raised by what the plan holds; all of them defer to local codes, product labels and
licensed practice.
"""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import Point

from bedwright.brief import Brief, Tree
from bedwright.catalogue import Kind
from bedwright.geometry import Outline, foot_of
from bedwright.ground import Ground
from bedwright.planting import Planting
from bedwright.units import say_weight

HEAVY_KG = 20.0
"""A load that one person should not lift alone again and again (from memory: handling guides start
to ask for care between 16 and 25 kg)."""


@dataclass(frozen=True)
class Caution:
    """One hazard: its name, what to do, and the letters of the plants it concerns."""

    key: str
    title: str
    words: str
    letters: tuple[str, ...] = ()


def make_cautions(
    brief: Brief, outline: Outline, ground: Ground, planting: Planting
) -> tuple[Caution, ...]:
    """All cautions that this plan calls for."""
    return (
        *ground_cautions(brief, outline, ground),
        *_plants(planting),
        *_eating(brief, planting),
    )


def ground_cautions(brief: Brief, outline: Outline, ground: Ground) -> tuple[Caution, ...]:
    """Cautions of the ground work alone."""
    return (
        *_digging(ground),
        *_lifting(brief, ground),
        *_roots(brief, outline),
        *_dust(ground),
        *_clearing(ground),
    )


def _digging(ground: Ground) -> list[Caution]:
    words = (
        "Before any spade goes in, have buried gas, power, water and telephone lines marked by the"
        " local locating service, and keep to its notice and its clearances. Private lines (garden"
        " lighting, irrigation, gas to a grill) are not on its maps: find those yourself."
    )
    return [Caution("services", "Buried pipes and cables", words)]


def _lifting(brief: Brief, ground: Ground) -> list[Caution]:
    units = brief.units
    loads = [
        f"{layer.label} ({say_weight(layer.weight_kg / layer.packs, units)} a pack)"
        for layer in ground.refill.layers
        if HEAVY_KG <= layer.weight_kg / layer.packs < 100
    ]
    sod = (
        f" The sod weighs up to {say_weight(ground.sod.wet_kg, units)} in all."
        if ground.sod
        else ""
    )
    heavy = (
        f" Heavy packs: {', '.join(loads)}; lift them with a second person or open them where"
        " they lie."
        if loads
        else ""
    )
    words = (
        f"Lift with bent knees and a straight back, in small loads, with rests.{sod}{heavy} Wear"
        " closed shoes for spade and edger."
    )
    return [Caution("lifting", "Lifting and digging", words)]


ROOT_REACH = 1.2
"""Roots that matter spread at least to the crown's edge and a little beyond (common practice)."""


def _roots(brief: Brief, outline: Outline) -> list[Caution]:
    """Trees whose roots lie under the bed."""
    near = [
        thing
        for thing in brief.surroundings
        if isinstance(thing, Tree)
        and outline.polygon.distance(Point(foot_of(outline, thing))) < ROOT_REACH * thing.spread / 2
    ]
    if not near:
        return []
    names = ", ".join(thing.name or "a tree" for thing in near)
    words = (
        f"{names}: roots lie under this bed. Fork rather than spade, leave roots thicker than a"
        " finger whole, and stop digging where they are many; heap no soil against the trunk. Ask"
        " whether the tree is protected before any digging. Under its crown less rain arrives than"
        " the water table allows for: water more."
    )
    return [Caution("roots", "Tree roots", words)]


def _dust(ground: Ground) -> list[Caution]:
    dusty = [dose.label for dose in ground.feed.doses]
    if ground.ph.dose is not None:
        dusty.append(ground.ph.dose.label)
    dusty += [layer.label for layer in ground.refill.layers if layer.material in ("peat", "coir")]
    if not dusty:
        return []
    words = (
        f"{', '.join(dusty)}: do not breathe the dust. Spread on a still day, moisten dry material"
        " first, wear gloves and a dust mask, wash hands, and keep children and pets away until it"
        " is dug in. The product's own label comes first. Composts can carry Legionella: open bags"
        " away from the face."
    )
    return [Caution("dust", "Dust and fertiliser", words)]


def _clearing(ground: Ground) -> list[Caution]:
    if ground.clearing is None or ground.clearing.chosen.key == "lift":
        return []
    words = {
        "hired cutter": "A sod cutter is a strong machine with an open blade: go by the hirer's"
        " instructions, in stout boots, with children and pets away; mark sprinklers and"
        " shallow cables first, and have a second person for the strips.",
        "herbicide": "Weedkiller only by its label and local law, by someone allowed to use it,"
        " with the gear the label names, on a still dry day; never near water, edible plants or"
        " playing children. Keep people and pets off as long as the label says.",
    }.get(
        ground.clearing.chosen.key,
        "Smothering takes about a year. Weedkiller is quicker, but only by its label, by someone"
        " allowed to use it, and never near water, edible plants or playing children.",
    )
    return [Caution("clearing", "Clearing the grass", words)]


def _plants(planting: Planting) -> list[Caution]:
    cautions = []
    for key, title, test, words in _PLANT_HAZARDS:
        found = [i for i in planting.items if test(i.candidate.kind)]
        if not found:
            continue
        names = ", ".join(dict.fromkeys(_named(i.candidate.kind, key) for i in found))
        cautions.append(Caution(key, title, f"{names}: {words}", tuple(i.letter for i in found)))
    return cautions


def _named(kind: Kind, hazard: str) -> str:
    """The kind's name, with the places whose lists of weeds it is known to stand on."""
    if hazard == "spreading" and kind.safety.invasive:
        return f"{kind.name} (listed in {', '.join(kind.safety.weed_in)})"
    return kind.name


def _harms_pets(kind: Kind) -> bool:
    return kind.safety.dogs != "none_known" or kind.safety.cats != "none_known"


_PLANT_HAZARDS = (
    (
        "toxic",
        "Poisonous plants",
        lambda k: k.safety.people == "toxic",
        "poisonous if eaten, some of them gravely. Keep them out of reach of small children, wear"
        " gloves, never mix them with flowers meant for eating; if swallowed call a poison centre.",
    ),
    (
        "upsetting",
        "Plants that can upset people",
        lambda k: k.safety.people == "mild",
        "may upset the stomach or worse if eaten (leaving out what is toxic to people leaves these"
        " in).",
    ),
    (
        "pets",
        "Pets",
        _harms_pets,
        "may harm dogs or cats that chew them. Where pets graze, have the brief's wishes avoid"
        " them; ask a veterinarian if one has eaten any.",
    ),
    (
        "skin",
        "Skin",
        lambda k: k.safety.skin == "irritant",
        "sap or leaves can irritate skin; wear gloves when cutting.",
    ),
    (
        "spreading",
        "Plants that spread",
        lambda k: bool(k.safety.invasive) or k.safety.self_sows == "freely",
        "sow themselves freely or are listed as invasive somewhere. Check your local list before"
        " planting, and deadhead before seed is ripe.",
    ),
)


def _eating(brief: Brief, planting: Planting) -> list[Caution]:
    edible = [i for i in planting.items if i.candidate.kind.uses.edible != "no"]
    if not edible:
        return []
    parts = ", ".join(
        dict.fromkeys(f"{i.candidate.kind.name} ({i.candidate.kind.uses.edible})" for i in edible)
    )
    words = (
        f"Listed as edible: {parts}. Eat only what you can name with certainty, grown without"
        " sprays and not bought from a florist, in small amounts at first; hay fever sufferers"
        " should take care. No other flower of this bed is for the table."
    )
    return [Caution("eating", "Eating flowers", words, tuple(i.letter for i in edible))]
