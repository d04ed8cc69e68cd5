"""The whole job in one screen: from a brief to a plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import OTHERS, Brief, ClearBy, Learned
from bedwright.catalogue import Catalogue
from bedwright.climate import Season, Weather, make_season, soil_temperature, workable_day
from bedwright.facts import Fact
from bedwright.geometry import Outline, outline_of
from bedwright.ground import Ground, make_ground, packs_of, settle_days
from bedwright.growth import (
    MULCH_DAYS,
    WATER_USE,
    Course,
    courses_of,
    crop_coefficient,
    sown_again,
    weekly_water_mm,
)
from bedwright.light import Light, sun_on
from bedwright.planting import (
    BudgetNotKept,
    FirstPlanting,
    Item,
    Planting,
    first_planting,
    make_planting,
)
from bedwright.work import (
    Caution,
    Diary,
    Raising,
    Supplies,
    make_cautions,
    make_diary,
    make_raising,
    make_supplies,
    with_days_of,
)

STAGES = ("season", "light", "ground", "planting", "calendar")
"""What ``make_plan`` announces, in order."""

Progress = Callable[[str], None]

SOW_LEAD_DAYS = 250
"""Sowing may begin this long before the growing year."""

AUTUMN_DIG_DAYS = 160
"""How long before the growing year a bed may be dug for autumn sowing, where the brief names no
first day."""


@dataclass(frozen=True)
class ClearingBegunBy(Fact):
    """A way of clearing takes long: the last day on which it must have begun."""

    way: ClearBy
    by: date


@dataclass(frozen=True)
class FromTheJournal(Fact):
    """Figures of the garden's own journal, up to a day, took the place of the catalogue's: of so
    many kinds by name, and of all others where ``others``; ``flowering_days``: days by which first
    flowers of those come later here, below 0 sooner."""

    until: date | None
    kinds: int
    others: bool
    flowering_days: float | None


@dataclass(frozen=True)
class Plan:
    """Everything worked out for a brief; the sheets are drawn from it.

    ``dig``, ``ready``: days the bed is dug and settled (indices into the growing year);
    ``water_mm``: (seasons, 52) water wanted beyond rain each week.
    """

    brief: Brief
    seed: int
    outline: Outline
    season: Season
    soil_c: NDArray[np.floating]
    dig: int
    ready: int
    light: Light
    courses: dict[str, Course]
    ground: Ground
    planting: Planting
    raising: Raising
    water_mm: NDArray[np.floating]
    diary: Diary
    supplies: Supplies
    cautions: tuple[Caution, ...]

    def days_of(self, item: Item) -> tuple[int, int]:
        """Days an item is sown and goes out (indices), as the diary has them."""
        course = item.candidate.course
        sow = f"{'place' if course.method == 'in_place' else 'sow'}-{item.letter}"
        sown = self.diary.index_of(sow, course.sow, self.season)
        if course.method == "in_place":
            return sown, sown
        return sown, self.diary.index_of(f"set-out-{course.out}", course.out, self.season)

    def day_again(self, item: Item, again: int) -> int:
        """Day of an item's second sowing (index), as the diary has it."""
        return self.diary.index_of(f"place-{item.letter}-again", again, self.season)

    @property
    def notes(self) -> tuple[Fact, ...]:
        """What the gardener must hear at once: doubts, shortfalls, clashes."""
        ways = self.ground.clearing
        wait: tuple[Fact, ...] = ()
        if ways is not None and ways.chosen.lead_days:
            by = self.season.day(self.dig - ways.chosen.lead_days)
            wait = (ClearingBegunBy(ways.chosen.key, by),)
        return (
            *_of_journal(self.brief.learned),
            *self.planting.notes,
            *wait,
            *self.ground.refill.warnings,
            *self.ground.feed.shortfall,
            *self.diary.clashes,
        )


def _of_journal(learned: Learned) -> tuple[FromTheJournal, ...]:
    """What to say of figures of the journal, if there are any."""
    if not learned.anything:
        return ()
    tables = (learned.germination, learned.survival, learned.flowering)
    others = any(OTHERS in table for table in tables)
    late = learned.flowering.get(OTHERS)
    return (FromTheJournal(learned.until, len(learned.kinds), others, late),)


def make_plan(
    brief: Brief,
    *,
    catalogue: Catalogue,
    weather: Weather,
    seed: int = 0,
    proof_steps: int = 0,
    progress: Progress = lambda stage: None,
    prepared: Prepared | None = None,
    begun: Begun | None = None,
) -> Plan:
    """Work out the plan of a brief whose growing year is settled (``brief.with_year``).

    ``proof_steps``: steps of the proof of how good the arrangement is; 0 for none; ``prepared``:
    what ``prepare`` made of a brief that has other wishes and changes, and is the same otherwise;
    ``begun``: what ``begin_plan`` made of a brief that has other changes, and is the same
    otherwise, in place of ``prepared``.  Raises SeasonError, GeometryError, ChangeError or
    NothingFitsError where the brief cannot be carried out; ValueError where ``begun`` is of another
    brief.
    """
    if begun is None:
        prepared = prepared or prepare(brief, catalogue, weather, seed, progress)
        begun = begin_plan(brief, catalogue, prepared, seed, progress=progress)
    else:
        progress("planting")
    (setting, light), ground, first = begun
    outline, season, soil_c, dig, ready, courses = setting
    planting = make_planting(
        brief, outline, catalogue, courses, light, seed, proof_steps, spent_on_ground(ground), first
    )
    planting = _with_second_sowings(planting, season, brief.learned)
    early = min(item.candidate.course.out for item in planting.items)
    if early < 0:
        setting = setting.dug_for(early)
        dig, ready, ground = setting.dig, setting.ready, setting.ground_of(brief)
    raising = make_raising(planting, brief.indoors, brief.learned)
    supplies = make_supplies(brief, ground, planting, raising, _weeks_tended(planting))
    planting = _budget_checked(brief, planting, supplies)
    progress("calendar")
    water = weekly_water_mm(season, _thirst(planting))
    diary = make_diary(brief, season, dig, ready, ground, planting, raising)
    raising = with_days_of(diary, raising, season)
    cautions = make_cautions(brief, outline, ground, planting)
    return Plan(
        brief,
        seed,
        outline,
        season,
        soil_c,
        dig,
        ready,
        light,
        courses,
        ground,
        planting,
        raising,
        water,
        diary,
        supplies,
        cautions,
    )


class Setting(NamedTuple):
    """What a brief's bed is set in: outline and season, ``soil_c`` (n, 365), the days it is dug and
    settled in spring (indices into the growing year), and every kind's course, from then on or from
    the autumn before."""

    outline: Outline
    season: Season
    soil_c: NDArray[np.floating]
    dig: int
    ready: int
    courses: dict[str, Course]

    def dug_for(self, out: int) -> Setting:
        """The same with a bed that is settled in autumn, on the day something goes out."""
        return self._replace(dig=out - settle_days(), ready=out)

    def ground_of(self, brief: Brief) -> Ground:
        """The work on the brief's ground."""
        packs, _ = packs_of(brief.materials)
        day = self.season.day(self.dig)
        return make_ground(self.outline, brief, packs, day, brief.dates.begin)


class Prepared(NamedTuple):
    """What a plan is made from that its wishes and changes do not touch."""

    setting: Setting
    light: Light


def prepare(
    brief: Brief,
    catalogue: Catalogue,
    weather: Weather,
    seed: int = 0,
    progress: Progress = lambda stage: None,
) -> Prepared:
    """The setting of a bed and its light.  Raises SeasonError or GeometryError."""
    progress("season")
    setting = set_out(brief, catalogue, weather, seed)
    progress("light")
    return Prepared(setting, sun_on(brief, setting.outline, setting.season, setting.soil_c))


class Begun(NamedTuple):
    """What a plan is made from that its changes do not touch: season and light, the work on the
    ground, and the planting as if no changes were asked."""

    prepared: Prepared
    ground: Ground
    first: FirstPlanting


def begin_plan(
    brief: Brief,
    catalogue: Catalogue,
    prepared: Prepared,
    seed: int = 0,
    *,
    kept: Begun | None = None,
    progress: Progress = lambda stage: None,
) -> Begun:
    """A plan begun, for ``make_plan`` to make changes in.

    ``kept``: one begun before, which is given back where it is of the same brief but for its
    changes, and of the same ``prepared``.  Raises GeometryError or NothingFitsError.
    """
    setting, light = prepared
    if kept is not None and kept.prepared is prepared:
        given = kept.first.given._replace(brief=brief, catalogue=catalogue, seed=seed)
        if kept.first.serves(given):
            return kept
    progress("ground")
    ground = setting.ground_of(brief)
    progress("planting")
    first = first_planting(
        brief, setting.outline, catalogue, setting.courses, light, seed, spent_on_ground(ground)
    )
    return Begun(prepared, ground, first)


def set_out(brief: Brief, catalogue: Catalogue, weather: Weather, seed: int = 0) -> Setting:
    """The setting of a brief whose growing year is settled: every kind in a bed dug on the first
    fit day on which the gardener is at home.  Raises SeasonError or GeometryError."""
    if brief.season.year is None:
        raise ValueError("the brief's growing year is not settled; see bedwright.brief.with_year")
    outline = outline_of(brief.bed)
    season = make_season(weather, brief.season.year, brief.place.frost, seed)
    soil_c = soil_temperature(season.tmean_c)
    dig, sow_from, autumn_dig = workable_day(season, soil_c), -SOW_LEAD_DAYS, -AUTUMN_DIG_DAYS
    if brief.dates.begin is not None:
        begin = season.index(brief.dates.begin)
        sow_from, dig = max(begin, -SOW_LEAD_DAYS), max(dig, begin)
        autumn_dig = max(begin, autumn_dig)
    dig, autumn_dig = (_at_home(day, brief, season) for day in (dig, autumn_dig))
    ready = dig + settle_days()
    courses = courses_of(
        catalogue,
        season,
        soil_c,
        ready,
        brief.season.frost_risk,
        brief.indoors.possible,
        sow_from,
        room=brief.indoors.room,
        autumn_from=autumn_dig + settle_days(),
        learned=brief.learned,
    )
    return Setting(outline, season, soil_c, dig, ready, courses)


def _with_second_sowings(planting: Planting, season: Season, learned: Learned) -> Planting:
    """The planting with a second sowing of those kinds that it gives a second bloom."""
    again = sown_again((item.candidate.course for item in planting.items), season, learned)
    items = tuple(
        replace(item, candidate=replace(item.candidate, course=again[item.candidate.kind.key]))
        if item.candidate.kind.key in again
        else item
        for item in planting.items
    )
    return replace(planting, items=items)


def _at_home(day: int, brief: Brief, season: Season) -> int:
    """The first day from one on (indices) on which the gardener is at home."""
    while any(span.start <= season.day(day) <= span.end for span in brief.dates.away):
        day += 1
    return day


def spent_on_ground(ground: Ground) -> float:
    """What is known of the cost of the ground's materials that are bought."""
    doses = [*ground.feed.doses, ground.feed.side_dress]
    prices = [layer.price for layer in ground.refill.layers] + [dose.price for dose in doses]
    if ground.ph.dose is not None:
        prices.append(ground.ph.dose.price)
    return sum(price for price in prices if price is not None)


def _budget_checked(brief: Brief, planting: Planting, supplies: Supplies) -> Planting:
    """The planting with a note where what is to be bought goes over the budget after all."""
    over, budget = supplies.over_budget, brief.wishes.budget
    if not over or budget is None:
        return planting
    note = BudgetNotKept(over, budget, brief.currency)
    return replace(planting, notes=(*planting.notes, note))


def _thirst(planting: Planting) -> NDArray[np.float64]:
    """(365,) crop coefficient of the bed: its plants' through the year, weighted by area."""
    mulched = max(item.candidate.course.out for item in planting.items) + MULCH_DAYS
    parts = [
        crop_coefficient(
            item.candidate.course.bloom.cover,
            WATER_USE[item.candidate.kind.growth.water],
            mulched,
        )
        for item in planting.items
    ]
    return np.average(parts, axis=0, weights=[item.area_m2 for item in planting.items])


def _weeks_tended(planting: Planting) -> float:
    """Weeks from the first plant out to the end of the last bloom, winter left out."""
    first = max(min(i.candidate.course.out for i in planting.items), 0)
    ends = [i.candidate.course.bloom.typical for i in planting.items]
    last = max((end[1] for end in ends if end), default=first)
    return max(last - first, 0) / 7.0
