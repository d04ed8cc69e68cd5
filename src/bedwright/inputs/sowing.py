"""What ``bedwright when`` is asked: a kind, a place and days as they are typed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache, partial
from pathlib import Path
from typing import Any

from bedwright.brief import BriefError, Fault, KnownFrost, MonthDay, parse_month_day
from bedwright.catalogue import Catalogue, Kind, load_catalogue
from bedwright.climate import Season, Weather, growing_year_start, make_season
from bedwright.growth import SHIFT_MONTH, Sowing, When, first_on, set_out_on, when_of
from bedwright.inputs.gather import gather_season, own_catalogue
from bedwright.units import UnitError


@dataclass(frozen=True)
class Asked:
    """A question of ``bedwright when``, read and checked: the kind, how it is sown, the growing
    ``year`` of the sowing, the weather of the place and what is ``known`` of its frost."""

    kind: Kind
    sowing: Sowing
    year: int
    weather: Weather
    known: KnownFrost | None = None

    def season_in(self, year: int, sample: int = 0) -> Season:
        """The season of a growing year.  Raises SeasonError where the weather makes none."""
        return make_season(self.weather, year, self.known, sample)

    def answer(self, sample: int = 0) -> When:
        """When it flowers.  Raises SeasonError where the weather makes no season."""
        season_in = cache(partial(self.season_in, sample=sample))
        return when_of(self.kind, self.sowing, self.year, season_in)


def gather_when(
    kind: str,
    where: str,
    sown: str,
    *,
    today: date,
    set_out: str | None = None,
    in_place: bool = False,
    at: str | None = None,
    more: dict[str, Any] | None = None,
    own: Path | None = None,
) -> Asked:
    """The question of ``bedwright when``, as it is typed.

    ``sown``, ``set_out``: month-day; ``where``, ``at`` and ``more`` as ``gather_season`` has them:
    without a year in ``more`` the next such day of sowing is meant.  Raises BriefError with every
    fault, OSError where a record cannot be opened.
    """
    faults: list[Fault] = []
    found: Kind | None = None
    weather: Weather | None = None
    year: int | None = None
    known: KnownFrost | None = None
    try:
        catalogue = load_catalogue() if own is None else own_catalogue(load_catalogue(), own)
        found = _kind_named(kind, catalogue)
    except BriefError as error:
        faults += error.faults
    sowing = Sowing(MonthDay(1, 1))
    try:
        sowing = _sowing(sown, set_out, in_place)
    except BriefError as error:
        faults += error.faults
    try:
        brief, weather = gather_season(where, at, more or {}, today)
        known = brief.place.frost
        stated = (more or {}).get("season", {}).get("year")
        year = brief.season.year if stated else _next_year(weather, sowing, today)
    except BriefError as error:
        faults += error.faults
    if faults or found is None or weather is None or year is None:
        raise BriefError(faults)
    return Asked(found, sowing, year, weather, known)


def _kind_named(name: str, catalogue: Catalogue) -> Kind:
    """The only kind of a name.  Raises BriefError where there is none, or several."""
    kind = catalogue.one_named(name)
    if kind is None:
        from bedwright.inputs.checks import unknown_kind

        raise BriefError([unknown_kind("KIND", name, catalogue)])
    return kind


def _sowing(sown: str, set_out: str | None, in_place: bool) -> Sowing:
    """The days as typed.  Raises BriefError with every fault."""
    faults: list[Fault] = []
    days: list[MonthDay | None] = []
    for option, text in (("--sown", sown), ("--set-out", set_out)):
        try:
            days.append(None if text is None else parse_month_day(text))
        except UnitError as error:
            faults.append(Fault(option, f"'{text}'", error.accepted))
    if set_out is not None and in_place:
        accepted = "one of the two: plants sown in place are not set out"
        faults.append(Fault("--set-out", f"'{set_out}', with --in-place", accepted))
    if faults:
        raise BriefError(faults)
    first, second = days
    assert first is not None  # it was typed
    asked = Sowing(first, second, in_place)
    faults += _disorder(asked)
    if faults:
        raise BriefError(faults)
    return asked


def _disorder(asked: Sowing) -> Iterator[Fault]:
    """The fault of plants set out before they are sown, or on the same day."""
    if asked.set_out is None or set_out_on(asked, asked.sown.in_year(2027)) is not None:
        return
    accepted = f"a day after {asked.sown}"
    if asked.sown.month < SHIFT_MONTH:
        accepted += " (of the next year only where it is sown in the second half of the year)"
    yield Fault("--set-out", f"'{asked.set_out}', sown on {asked.sown}", accepted)


def _next_year(weather: Weather, sowing: Sowing, today: date) -> int:
    """The growing year of the next such day of sowing."""
    site, year = weather.site, today.year - 1
    while first_on(sowing.sown, growing_year_start(site, year)) < today:
        year += 1
    return year
