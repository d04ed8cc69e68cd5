"""Schemes of planting side by side, and why each plant stands where it does."""

from __future__ import annotations

import numpy as np

from bedwright.plan import Plan
from bedwright.planting import Drift, Planting
from bedwright.report.planting_words import SORTS
from bedwright.report.say import say
from bedwright.units import System, say_length

SURE = 1e-3
"""Share of the cost within which an arrangement counts as the best there is."""


def item_rows(planting: Planting, units: System) -> list[list[str]]:
    """Letter, name, plants and spares, drifts, height, distance apart."""
    return [
        [
            item.letter,
            item.label,
            f"{item.plants} + {item.spares}",
            str(item.drifts),
            say_length(item.candidate.kind.form.height_m, units),
            say_length(item.candidate.kind.form.spacing_m, units),
        ]
        for item in planting.items
    ]


def proof_words(planting: Planting) -> str:
    """How near the arrangement is to the best there is, or "" where that was not asked."""
    if planting.bound is None:
        return ""
    gap = (planting.energy - planting.bound) / max(abs(planting.energy), 1e-9)
    if gap < SURE:
        return "no other arrangement of these kinds in these drifts is better: proven"
    return f"no other arrangement of these kinds in these drifts is more than {gap:.1%} better"


def variant_measures(plan: Plan) -> dict[str, str]:
    """What tells one scheme from another, by name."""
    planting = plan.planting
    kinds = [item.candidate.kind for item in planting.items]
    share = plan.planting.bloom_share()
    season = share[share > 0.02]
    maintenance = np.average(
        [kind.growth.maintenance for kind in kinds], weights=[i.plants for i in planting.items]
    )
    heights = [kind.form.height_m for kind in kinds]
    return {
        "kinds": str(len({kind.key for kind in kinds})),
        "plants": str(sum(item.plants for item in planting.items)),
        "heights": f"{say_length(min(heights), plan.brief.units)} to"
        f" {say_length(max(heights), plan.brief.units)}",
        "weeks with bloom": f"{2 * len(season)}",
        "in bloom, mean": f"{season.mean():.0%}" if len(season) else "none",
        "in bloom, best fortnight": f"{share.max():.0%}",
        "maintenance, 1 to 3": f"{maintenance:.1f}",
        "penalty points": f"{planting.energy:.1f}",
    }


def spot_of(drift: Drift, units: System) -> str:
    """A spot in a drift, as a brief's changes may name it."""
    x, y = drift.polygon.representative_point().coords[0]
    return f"{say_length(x, units)}, {say_length(y, units)}"


def why_rows(planting: Planting, units: System) -> list[list[str]]:
    """Of each drift but the edging: letter, a spot in it, and why it holds what it holds."""
    return [
        [planting.items[drift.item].letter, spot_of(drift, units), say(drift.why, units)]
        for drift in planting.drifts
        if not drift.ribbon and drift.why is not None
    ]


def why_kind(planting: Planting, key: str, name: str, units: System) -> list[str]:
    """Why a kind stands where it does, or does not."""
    if key in planting.left_out:
        return [f"{name}: {say(planting.left_out[key], units)}"]
    return [
        f"{name} at {spot_of(drift, units)}: {say(drift.why, units)}"
        for drift in planting.drifts
        if planting.items[drift.item].candidate.kind.key == key and drift.why is not None
    ]


def left_out_groups(plan: Plan) -> list[tuple[str, list[str]]]:
    """Reasons for which kinds are left out, most kinds first, each with the names of its kinds; of
    those that could have been chosen, the nearest to it first."""
    groups: dict[str, list[str]] = {}
    for key, reason in plan.planting.left_out.items():
        groups.setdefault(reason.sort, []).append(plan.courses[key].kind.name)
    worded = [(SORTS[sort], names) for sort, names in groups.items()]
    return sorted(worded, key=lambda group: (-len(group[1]), group[0]))
