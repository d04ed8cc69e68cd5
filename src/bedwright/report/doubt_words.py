"""What is doubtful of an entry of the journal, in words."""

from __future__ import annotations

from bedwright.dates import day_month_year
from bedwright.journal import (
    BeforeItsBeginning,
    MoreUpThanSown,
    NeverSown,
    NotInTheBed,
    WrittenBefore,
)
from bedwright.report.say import say
from bedwright.units import System


@say.register
def _(fact: WrittenBefore, units: System) -> str:
    return (
        f"the same was written before, of {day_month_year(fact.day)}; it now stands there twice:"
        " take one back if it happened once"
    )


@say.register
def _(fact: NotInTheBed, units: System) -> str:
    return f"{fact.kind.replace('_', ' ')} is not in the plan of this bed"


@say.register
def _(fact: BeforeItsBeginning, units: System) -> str:
    return (
        f"{day_month_year(fact.day)} is before the day on which it was sown or set out,"
        f" {day_month_year(fact.begun)}"
    )


@say.register
def _(fact: NeverSown, units: System) -> str:
    return f"the journal does not say when {fact.kind.replace('_', ' ')} was sown"


@say.register
def _(fact: MoreUpThanSown, units: System) -> str:
    return f"{fact.count} came up, of {fact.sown} sown by the journal"
