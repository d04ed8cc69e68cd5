"""Why this plant, why here: the terms that decided, in words."""

from __future__ import annotations

from bedwright.plan import Plan
from bedwright.planting import Drift, Item


def sun_of(plan: Plan, item: Item) -> float:
    """Mean hours of sun a day where an item's plants stand, over its season."""
    own = _drifts(plan, item)
    return sum(d.sun_h * len(d.places) for d in own) / max(sum(len(d.places) for d in own), 1)


def why(plan: Plan, item: Item) -> str:
    """A few reasons for one item, strongest first."""
    kind, course = item.candidate.kind, item.candidate.course
    terms = item.candidate.terms
    parts = []
    if terms["asked"]:
        parts.append("asked for")
    if kind.is_foliage:
        parts.append("steady foliage between the flowers")
    else:
        parts.append(f"about {course.bloom.typical_weeks:.0f} weeks of bloom")
    wished = [use for use in plan.brief.wishes.uses if use in kind.uses.uses]
    if wished:
        parts.append("for " + " and ".join(_USES[use] for use in wished))
    parts.append(_place(plan, item))
    if sun_of(plan, item) < kind.liking.sun_min_h - 0.25:
        parts.append("gets a little less sun than it likes")
    if terms["soil"] < 0.99:
        parts.append("bears this soil rather than likes it")
    return "; ".join(parts)


_USES = {
    "cutting": "cutting",
    "drying": "drying",
    "scent": "scent",
    "edible flowers": "eating",
    "pollinators": "pollinators",
}


def _drifts(plan: Plan, item: Item) -> list[Drift]:
    number = plan.planting.items.index(item)
    return [d for d in plan.planting.drifts if d.item == number]


def _place(plan: Plan, item: Item) -> str:
    """Where it stands, and its height among the others."""
    own = _drifts(plan, item)
    if all(d.ribbon for d in own):
        return "low enough for the edge"
    body = [i for i in plan.planting.items if not all(d.ribbon for d in _drifts(plan, i))]
    heights = sorted(i.candidate.kind.form.height_m for i in body)
    rank = heights.index(item.candidate.kind.form.height_m) / max(len(heights) - 1, 1)
    size = "among the tallest" if rank > 0.66 else "among the lowest" if rank < 0.34 else "middling"
    depth = sum(d.depth * len(d.places) for d in own) / sum(len(d.places) for d in own)
    back = "middle" if plan.outline.from_all_sides else "back"
    where = (
        f"toward the {back}" if depth > 0.6 else "toward the edge" if depth < 0.33 else "between"
    )
    return f"{size} of this bed, so {where}" if size != "middling" else f"of middle height, {where}"
