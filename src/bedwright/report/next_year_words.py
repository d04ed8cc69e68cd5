"""Why next year's brief differs from this year's, in words."""

from __future__ import annotations

from bedwright.journal import (
    FailedHere,
    FiguresTakenOver,
    GrewHere,
    KeptByName,
    LeftBehind,
    OtherColours,
)
from bedwright.report.say import say
from bedwright.report.text import counted, listed
from bedwright.units import System

OF = {"germination": "seeds of {} came up", "survival": "plants of {} lived"}


@say.register
def _(fact: FailedHere, units: System) -> str:
    of = OF[fact.what].format(fact.name)
    return (
        f"left out: so few {of} ({fact.rate:.0%} by {fact.seen} counted, at most {fact.high:.0%}"
        f" with odds of 90%, where {fact.catalogue:.0%} is usual)"
    )


@say.register
def _(fact: GrewHere, units: System) -> str:
    return f"kept from ground that shares their diseases: {listed(fact.names)}, which grew here"


@say.register
def _(fact: OtherColours, units: System) -> str:
    before = "" if fact.before == "any" else f", which were {fact.before}"
    return f"colours: {fact.scheme}{before}"


@say.register
def _(fact: KeptByName, units: System) -> str:
    return f"grown again as wished: {listed(fact.names)}"


@say.register
def _(fact: FiguresTakenOver, units: System) -> str:
    of = [f"of {counted(fact.kinds, 'kind')}"] if fact.kinds else []
    of += ["of its nights"] if fact.nights else []
    whose = f" {listed(of)}" if of else ""
    return f"planned with this garden's own figures{whose}, as the journal has them"


@say.register
def _(fact: LeftBehind, units: System) -> str:
    if fact.what == "dates":
        return "days of work and days away are this year's, and are not taken over"
    changes = counted(fact.count, "change")
    return f"{changes} to this year's drifts {'is' if fact.count == 1 else 'are'} not taken over"
