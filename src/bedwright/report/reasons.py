"""Why an item is on the plan, in words, and the sun that it gets."""

from __future__ import annotations

from bedwright.plan import Plan
from bedwright.planting import Item
from bedwright.report.say import say


def sun_of(plan: Plan, item: Item) -> float:
    """Mean hours of sun a day where an item's plants stand, over its season."""
    number = plan.planting.items.index(item)
    own = [drift for drift in plan.planting.drifts if drift.item == number]
    return sum(d.sun_h * len(d.places) for d in own) / max(sum(len(d.places) for d in own), 1)


def why(plan: Plan, item: Item) -> str:
    """A few reasons for one item, strongest first."""
    return "; ".join(say(reason, plan.brief.units) for reason in item.why)
