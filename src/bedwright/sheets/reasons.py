"""Why this plant, why here: the terms that decided, in words."""

from __future__ import annotations

from bedwright.light import exposure
from bedwright.plan import Plan
from bedwright.planting import Item


def why(plan: Plan, item: Item) -> str:
    """A few reasons for one item, strongest first."""
    kind, course = item.candidate.kind, item.candidate.course
    terms = item.candidate.terms
    own = [d for d in plan.planting.drifts if d.item == plan.planting.items.index(item)]
    sun = sum(d.sun_h * len(d.places) for d in own) / max(sum(len(d.places) for d in own), 1)
    parts = []
    if terms["asked"]:
        parts.append("asked for")
    if kind.is_foliage:
        parts.append("steady foliage between the flowers")
    else:
        parts.append(f"about {course.bloom.weeks:.0f} weeks of bloom here")
    parts.append(
        f"{sun:.1f} h of sun ({exposure(sun)}) where it stands,"
        f" wants {kind.liking.sun_min_h:g} or more"
    )
    wished = [use for use in plan.brief.wishes.uses if use in kind.uses.uses]
    if wished:
        parts.append("for " + " and ".join(_USES[use] for use in wished))
    place = _place(item, plan)
    if place:
        parts.append(place)
    if terms["soil"] < 0.99:
        parts.append("not its favourite soil")
    return "; ".join(parts)


_USES = {
    "vase": "the vase",
    "drying": "drying",
    "scent": "scent",
    "table": "the table",
    "pollinators": "pollinators",
}


def _place(item: Item, plan: Plan) -> str:
    """Where its height puts it."""
    own = [d for d in plan.planting.drifts if d.item == plan.planting.items.index(item)]
    if all(d.ribbon for d in own):
        return "low enough for the edge"
    depth = sum(d.depth for d in own) / len(own)
    island = plan.outline.from_all_sides
    if depth > 0.6:
        return "tall, so in the middle" if island else "tall, so at the back"
    return "low, so near the edge" if depth < 0.33 else "of middle height, so between"
