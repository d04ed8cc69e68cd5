"""When a kind flowers, in words and figures, as the terminal and JSON give it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any, NamedTuple

import numpy as np

from bedwright.climate import (
    DAYS,
    GridRain,
    ImpossibleRainDropped,
    RainFilled,
    RainInInches,
    RoughRain,
)
from bedwright.dates import day_month_year, short_day_month
from bedwright.facts import Fact
from bedwright.growth import FirstFlower, Lack, When
from bedwright.report.growth_words import percent
from bedwright.report.say import say
from bedwright.report.text import first_up, sentence
from bedwright.units import System

MOST_ROWS = 18
"""Weeks beyond which the table goes by fortnights."""

LEAST_ODDS = 0.005
"""Odds that are printed as none."""

OF_RAIN = (GridRain, ImpossibleRainDropped, RainFilled, RainInInches, RoughRain)
"""Notes on a season's rain, on which no flower here depends."""


class Spell(NamedTuple):
    """A week or a fortnight: its first day, and the odds of being in flower in it."""

    start: date
    odds: float


def heading_of(answer: When) -> str:
    """What was sown, and where."""
    label = answer.season.site.label
    return f"{first_up(answer.kind.name)} {'at' if label[:1].isdigit() else 'in'} {label}"


def raised_words(answer: When) -> str:
    """How it is raised, with its days."""
    sown = day_month_year(answer.sown)
    if answer.set_out is None:
        return f"sown where it is to flower on {sown}"
    return f"sown indoors on {sown}, set out on {day_month_year(answer.set_out)}"


def answer_lines(answer: When) -> list[str]:
    """The answer in a few sentences."""
    found = answer.range_of_first
    share = answer.share_of_seasons
    if found is None:
        return [f"It does not flower: {_lack(answer.lack, shares=False)}."]
    if answer.first_flower is None:
        return [
            f"It seldom flowers: in {percent(share)} of seasons, then from about"
            f" {day_month_year(found.median)}.",
            f"In the others {_lack(answer.lack)}.",
        ]
    lines = [f"It usually flowers from about {day_month_year(found.median)}{_range(found)}."]
    if answer.goes_on:
        end = day_month_year(answer.season.day(DAYS - 1))
        lines.append(f"It is usually still in flower on {end}, where this forecast ends.")
    elif answer.last_flower is not None:
        lines.append(f"It usually goes on until about {day_month_year(answer.last_flower)}.")
    if share > 1.0 - LEAST_ODDS:
        lines.append("It flowers in practically every season.")
    else:
        lines.append(f"It flowers in {percent(share)} of seasons; in the others"
                     f" {_lack(answer.lack)}.")  # fmt: skip
    return lines


def _range(found: FirstFlower) -> str:
    """The days between which the first flower opens, where it is not always the same."""
    if (found.late - found.early).days < 2:
        return ""
    early, late = short_day_month(found.early), short_day_month(found.late)
    return f": between {early} and {late} in eight seasons of ten"


def _lack(lack: Lack, *, shares: bool = True) -> str:
    """What is in the way of flowers, with its share of all seasons."""
    words = (
        (lack.seed, "its seed lies in cold ground too long and rots"),
        (lack.young, "frost kills it before it flowers"),
        (lack.autumn, "the frost of autumn comes first"),
        (lack.other, "it does not come into flower in time, for want of warmth, for too much heat"
         " or for days too long or too short"),
    )  # fmt: skip
    some = [(share, text) for share, text in words if share > LEAST_ODDS] or [max(words)]
    return " or ".join(
        f"{text} ({percent(share)})" if shares and len(some) > 1 else text for share, text in some
    )


def spells(answer: When) -> list[Spell]:
    """Odds of being in flower, week by week or fortnight by fortnight, from the first to the last
    that has any."""
    odds, step = answer.weekly, 7
    some = np.flatnonzero(odds >= LEAST_ODDS)
    if some.size == 0:
        return []
    if some[-1] - some[0] >= MOST_ROWS:
        odds, step = odds.reshape(-1, 2).mean(axis=1), 14
        some = np.flatnonzero(odds >= LEAST_ODDS)
    return [
        Spell(answer.season.day(int(n) * step), float(odds[n]))
        for n in range(some[0], some[-1] + 1)
    ]


def note_words(answer: When, units: System) -> list[str]:
    """Notes as sentences: what was assumed, what to mind, what harm the kind can do."""
    worded = (say(fact, units).removesuffix(".") for fact in _facts(answer))
    return [sentence(words) for words in worded]


def _facts(answer: When) -> Iterator[Fact]:
    yield from answer.notes
    if _may_harm(answer):
        from bedwright.report import work_words  # noqa: F401  the words of cautions
        from bedwright.work import kind_cautions

        yield from kind_cautions(answer.kind)
    yield from (note for note in answer.season.notes if not isinstance(note, OF_RAIN))


def _may_harm(answer: When) -> bool:
    """Whether there may be cautions, whose words take time to load."""
    safe = answer.kind.safety
    harm = {safe.people, safe.dogs, safe.cats, safe.skin} != {"none_known"}
    return harm or bool(safe.invasive) or safe.self_sows == "freely"


def when_record(answer: When, units: System) -> dict[str, Any]:
    """The answer as plain values: days as ISO dates, shares from 0 to 1, notes in words."""
    first = answer.first_flower

    def iso(day: date | None) -> str | None:
        return None if day is None else day.isoformat()

    return {
        "kind": answer.kind.key,
        "name": answer.kind.name,
        "place": answer.season.site.label,
        "sown": answer.sown.isoformat(),
        "set_out": iso(answer.set_out),
        "in_place": answer.way.in_place,
        "first_flower": {
            name: iso(getattr(first, name, None)) for name in ("early", "median", "late")
        },
        "last_flower": iso(answer.last_flower),
        "share_of_seasons": round(answer.share_of_seasons, 3),
        "weekly": [
            {"from": answer.season.day(n * 7).isoformat(), "odds": round(float(odds), 3)}
            for n, odds in enumerate(answer.weekly)
        ],
        "notes": note_words(answer, units),
    }
