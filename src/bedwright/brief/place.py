"""Where the bed lies, what is known of its weather, and the season."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from bedwright.brief.frost_words import (
    SAID,
    FreezeDays,
    freeze_days,
    parse_month,
    parse_nights,
    said_frost,
)
from bedwright.brief.synonyms import choice
from bedwright.brief.table import Table, several
from bedwright.brief.values import (
    FIRST_YEAR,
    LAST_YEAR,
    UNREADABLE,
    Altitude,
    Bearing,
    Clash,
    FileName,
    Risk,
    Skyline,
    TownName,
    Words,
    Year,
    at_most,
    number,
    parse_share,
)


class Record(Table):
    """A daily weather record: a CSV with date, tmin, and optional tmax and rain.

    ``altitude``: of where it is kept, if that is not the garden's.
    """

    file: FileName
    unit: Literal["C", "F"] | None = None
    altitude: Altitude | None = None
    from_year: Year | None = None
    to_year: Year | None = None

    def clashes(self) -> Iterator[Clash]:
        """A last year before the first."""
        first, last = self.from_year, self.to_year
        if first is not None and last is not None and last < first:
            yield Clash("to_year", f"{first} or later, which is from_year")


MOST_BEARINGS, MOST_FROST_MONTHS = 72, 10
"""Bearings of a skyline, and months with frost, at most."""


class KnownFrost(Table):
    """What is known of frost: dates that a local office gives, or what gardeners there say.

    ``last_spring``: odds that a freeze (0 °C, 32 °F, or colder) comes later than the day.
    ``first_autumn``: odds that one comes earlier than the day.  ``never``: it does not freeze;
    ``months``: the months that freezes keep to; ``light``: none is a hard one; ``share``: of years
    with a freeze.
    """

    last_spring: Annotated[FreezeDays, freeze_days(spring=True)] | None = None
    first_autumn: Annotated[FreezeDays, freeze_days(spring=False)] | None = None
    never: bool = False
    months: Annotated[
        tuple[Annotated[int, BeforeValidator(parse_month)], ...], at_most(MOST_FROST_MONTHS)
    ] = ()
    light: bool = False
    share: Annotated[float, BeforeValidator(parse_share)] | None = None
    source: Words = ""

    def clashes(self) -> Iterator[Clash]:
        """Nothing said, or things that cannot both hold."""
        dates = [n for n in ("last_spring", "first_autumn") if getattr(self, n) is not None]
        said = [n for n in ("never", "months", "light", "share") if getattr(self, n)]
        if not dates and not said:
            yield Clash("", SAID)
        if self.never and (dates or len(said) > 1):
            beside = "beside " + " and ".join(n for n in dates + said if n != "never")
            yield Clash("never", "false, or nothing else", beside)
        for name in ("months", "share"):
            if getattr(self, name) and dates:
                yield Clash(name, "one or the other", "beside " + " and ".join(dates))
        months: Any = self.months
        if months is not UNREADABLE and any(b != a % 12 + 1 for a, b in pairwise(months)):
            yield Clash("months", "months that follow each other, such as ['June', 'July']")


Situation = Literal["hollow", "slope", "town", "wall", "sea front"]
MOST_SITUATIONS = 5


class Place(Table):
    """Where the bed lies; a town, or latitude and longitude, and what is known of the weather.

    ``situation``: what makes the garden's cold nights unlike those of the open country about it, or
    of where its record is kept; ``nights``: by how much, °C, where the gardener knows.
    ``horizon``: height of the far skyline at some bearings, degrees above level; straight between
    them, all round the compass.
    """

    town: TownName | None = None
    latitude: Annotated[float, number(-66.0, 72.0)] | None = None
    longitude: Annotated[float, number(-180.0, 180.0)] | None = None
    altitude: Altitude | None = None
    record: Record | None = None
    frost: Annotated[KnownFrost | None, said_frost()] = None
    situation: Annotated[
        tuple[Annotated[Situation, choice("situation", Situation)], ...],
        at_most(MOST_SITUATIONS),
        BeforeValidator(several),
    ] = ()
    nights: Annotated[float, BeforeValidator(parse_nights)] | None = None
    horizon: Annotated[tuple[tuple[Bearing, Skyline], ...], at_most(MOST_BEARINGS)] = ()

    def clashes(self) -> Iterator[Clash]:
        """No spot on earth, or half of one; a bearing of the skyline given twice."""
        if (self.latitude is None) != (self.longitude is None):
            yield Clash("", "latitude and longitude go together")
        elif self.town is None and self.latitude is None:
            yield Clash(
                "",
                "town = 'Name, Country', or latitude and longitude in degrees"
                " (a record or frost dates refine it, but the sun needs a spot on earth)",
            )
        if self.nights is not None and self.situation:
            yield Clash("nights", "one or the other", "beside situation")
        places: Any = self.situation
        if places is not UNREADABLE and len({"hollow", "slope"} & set(places)) > 1:
            yield Clash("situation", "'hollow' or 'slope', not both")
        skyline: Any = self.horizon
        bearings = [] if skyline is UNREADABLE else [bearing for bearing, _ in skyline]
        for n, bearing in enumerate(bearings):
            if bearing in bearings[:n]:
                yield Clash(f"horizon[{n + 1}]", "each bearing once", f"{bearing:g}° once more")


USUAL_RISK = 0.1
"""Odds of a killing night after planting that are accepted where none are stated: one year in ten
(common practice, no source)."""


class SeasonWish(Table):
    """Which growing year, and how much frost risk is accepted.

    South of the equator the growing year ``2027`` runs from July 2027 to June 2028.
    """

    year: Annotated[int, number(FIRST_YEAR, LAST_YEAR, whole=True)] | None = None
    frost_risk: Risk = USUAL_RISK
