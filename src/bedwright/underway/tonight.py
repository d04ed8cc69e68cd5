"""What a night's forecast asks for: what to cover, to bring in and to leave."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from bedwright.facts import Fact
from bedwright.underway.coming import Coming
from bedwright.underway.planned import PlannedBed
from bedwright.underway.stands import Stand

FORECAST_OFF_C = 2.0
"""By how much a night in the bed may be colder than was forecast: forecasts of the next night are
off by about a degree and a half (from memory), and frost on the ground comes while the air at eye
level is still 1 to 3 °C above freezing (common practice, no source)."""

FLEECE_C = 2.0
"""Degrees that a cover of fleece or sheets keeps off (common practice, no source: 1 to 4 °C)."""

HARDENING_DAYS = 10
"""Days before a plant goes out in which it stands outdoors by day."""


@dataclass(frozen=True)
class TonightsWork(Fact):
    """What a night of so many °C asks for, in the garden itself ``here_c``; names of items.

    ``cover``: would be killed; ``lost``: so much colder than they stand that no cover saves them;
    ``perhaps``: stand it if the night is no colder than forecast; ``bring_in``: young plants that
    are being hardened off; ``hold_back``: not out yet, and due in the next days; ``stand``: stand
    it.
    """

    forecast_c: float
    here_c: float
    cover: tuple[str, ...]
    lost: tuple[str, ...]
    perhaps: tuple[str, ...]
    bring_in: tuple[str, ...]
    hold_back: tuple[str, ...]
    stand: tuple[str, ...]


@dataclass(frozen=True)
class ForecastUnanswered(Fact):
    """A night of so many °C is forecast, and nothing is known of what stands in the bed."""

    forecast_c: float


def tonight(
    bed: PlannedBed,
    stands: Mapping[str, Stand],
    coming: Mapping[str, Coming],
    forecast_c: float,
    nights_c: float,
    today: date,
) -> TonightsWork:
    """What to do before a night whose minimum is forecast; ``nights_c``: by how much nights in the
    garden are warmer than about the place.  What stands outdoors is what was set out or has come
    up, by the journal, or by the plan where that says nothing."""
    here = forecast_c + nights_c
    sorts: dict[str, list[str]] = {
        name: [] for name in ("cover", "lost", "perhaps", "bring_in", "hold_back", "stand")
    }
    for item in bed.items:
        stand, one = stands[item.letter], coming[item.letter]
        if stand.over is not None or stand.all_lost is not None:
            continue
        kill = item.kind.kill_c
        where = _where(stand, one, today)
        if where == "away":
            continue
        if where == "soon":
            if here - FORECAST_OFF_C <= kill:
                sorts["hold_back"].append(item.name)
        elif where == "hardening":
            if here - FORECAST_OFF_C <= kill:
                sorts["bring_in"].append(item.name)
        elif here + FLEECE_C <= kill:
            sorts["lost"].append(item.name)
        elif here <= kill:
            sorts["cover"].append(item.name)
        elif here - FORECAST_OFF_C <= kill:
            sorts["perhaps"].append(item.name)
        else:
            sorts["stand"].append(item.name)
    named = {name: tuple(dict.fromkeys(names)) for name, names in sorts.items()}
    return TonightsWork(forecast_c, here, **named)


def _where(stand: Stand, one: Coming, today: date) -> str:
    """Where an item stands: in the bed, hardening off, due out soon, or neither."""
    if one.item.in_place:
        out = stand.up is not None or stand.thinned is not None or stand.first_flower is not None
        up_by = (today - one.sow).days >= round(one.item.kind.sowing.germ_days_min)
        return "bed" if out or (one.sow <= today and up_by) else "away"
    if stand.out is not None or one.out < today:
        return "bed"
    left = (one.out - today).days
    if left <= 2:
        return "soon" if stand.sown is None and one.item.method == "bought" else "hardening"
    return "hardening" if left <= HARDENING_DAYS else "away"
