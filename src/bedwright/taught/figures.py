"""What was learned of a garden, as the table of figures that a brief holds (``brief.Learned``)."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from math import sqrt
from typing import Any

from bedwright.brief import (
    LEAST_ERROR_C,
    LEAST_RATE,
    LEAST_SHARE,
    MOST_ERROR_C,
    MOST_LATE_DAYS,
    MOST_NIGHTS_C,
    MOST_RATE,
    OTHERS,
)
from bedwright.journal import GARDEN_DAYS, KIND_DAYS, SEASON_SHARE, Rates, Shift
from bedwright.taught.garden import Taught

Values = dict[str, Any]


def figures_of(found: Taught, until: date) -> Values:
    """The table ``[learned]`` of a brief: only what was seen, and what that says of the kinds that
    were not; empty where nothing was seen."""
    out: Values = {}
    if found.nights.seen + found.nights.frosts:
        offset = max(-MOST_NIGHTS_C, min(found.nights.offset_c, MOST_NIGHTS_C))
        out["nights"] = f"{offset:.1f} °C".replace("-0.0", "0.0")
        out["nights_error"] = round(min(max(found.nights.sd_c, LEAST_ERROR_C), MOST_ERROR_C), 2)
    usual = found.usual
    out["germination"] = {
        key: _between(LEAST_RATE, value, MOST_RATE)
        for key, value in _beside(found.germination, usual["germination"]).items()
    }
    out["survival"] = {
        key: _between(LEAST_SHARE, value, 1.0) for key, value in _shares(found.survival).items()
    }
    flowering = found.flowering
    if flowering.garden.seen:
        seen = {kind: shift for kind, shift in flowering.by_kind.items() if shift.seen}
        every = {**seen, OTHERS: flowering.other}
        out["flowering"] = {
            kind: round(max(-MOST_LATE_DAYS, min(shift.days, MOST_LATE_DAYS)), 1)
            for kind, shift in sorted(every.items())
        }
        out["flowering_error"] = {
            kind: _between(LEAST_SHARE, error_left(shift), 1.0)
            for kind, shift in sorted(every.items())
        }
    kept = {name: value for name, value in out.items() if value != {}}
    return {"until": until.isoformat(), **kept} if kept else {}


def error_left(shift: Shift) -> float:
    """What is left of the error of the model's days to bloom once a shift is known, as a share of
    it: one season's weather stays, the kind's own and the garden's shrink with what was seen."""
    before = GARDEN_DAYS**2 + KIND_DAYS**2
    own = min(shift.sd**2 / before, 1.0)
    return sqrt(SEASON_SHARE + (1.0 - SEASON_SHARE) * own)


def _beside(rates: Rates, usual: Mapping[str, float]) -> dict[str, float]:
    """Rates beside the catalogue's: of the kinds that were counted, and of the others."""
    ratios = {key: rate.mean / usual[key] for key, rate in rates.by_kind.items()}
    return _told(rates, ratios)


def _shares(rates: Rates) -> dict[str, float]:
    return _told(rates, {key: rate.mean for key, rate in rates.by_kind.items()})


def _told(rates: Rates, values: Mapping[str, float]) -> dict[str, float]:
    seen = sorted(key for key, rate in rates.by_kind.items() if rate.seen)
    if not seen:
        return {}
    rest = [value for key, value in values.items() if not rates.by_kind[key].seen]
    others = {OTHERS: sum(rest) / len(rest)} if rest else {}
    return {**{key: values[key] for key in seen}, **others}


def _between(least: float, value: float, most: float) -> float:
    return round(max(least, min(value, most)), 3)
