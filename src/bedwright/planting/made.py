"""A planting as it is handed on: items under their letters, drifts, and notes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bedwright.brief import Brief
from bedwright.facts import Fact
from bedwright.planting.arrange import Given
from bedwright.planting.notes import (
    AskedButNotPlanted,
    FewerForBudget,
    FewKindsSuit,
    GapsFilled,
    MoreAreNamed,
    NoMoreGoTogether,
    NoneBetter,
    NoPlantStays,
    OneOfEachHeight,
    OtherNumberOfForms,
    OthersFoundNoPlace,
    RoomForDrifts,
    ShowDayNotWeighed,
    TooNarrowForEdging,
)
from bedwright.planting.palette import (
    Candidate,
    LeftOut,
    NoRoom,
    NothingFitsError,
    Palette,
    spares_for,
)
from bedwright.planting.place import Drift, Gaps
from bedwright.planting.why import item_reasons


@dataclass(frozen=True)
class Item:
    """One colour form on the plan, under its letter, and why it is there, strongest first."""

    letter: str
    candidate: Candidate
    plants: int
    spares: int
    drifts: int
    area_m2: float
    why: tuple[Fact, ...]

    @property
    def label(self) -> str:
        """Kind and colour, as printed."""
        return f"{self.candidate.kind.name}, {self.candidate.colour.name}"


@dataclass(frozen=True)
class Planting:
    """Items and drifts, the kinds left out with the reason, the cost of the arrangement in penalty
    points (see ``objective``) and, where it was asked for, the least that any could cost; the gaps
    of a border where only they are filled; what is to be said of wishes."""

    items: tuple[Item, ...]
    drifts: tuple[Drift, ...]
    left_out: Mapping[str, LeftOut]
    height_limit_m: float
    energy: float
    bound: float | None
    free_area_m2: float
    notes: tuple[Fact, ...]
    gaps: Gaps | None = None

    def bloom_share(self) -> NDArray[np.float64]:
        """(26,) expected share of the planted area in bloom in each fortnight."""
        areas = np.array([item.area_m2 for item in self.items])
        odds = np.array([item.candidate.course.bloom.odds for item in self.items])
        return np.asarray(areas @ odds / areas.sum())


@dataclass(frozen=True)
class BedTooNarrow(Fact):
    """No plant of any kind has room: the bed is narrower than their spacing."""


class Layout(NamedTuple):
    """What a bed was planned for: the height limit, free ground in m², the colour forms wanted and
    the drifts of its body."""

    height_limit_m: float
    free_m2: float
    wanted: int
    drifts: int


class Drawn(NamedTuple):
    """Drifts with their plants, the candidates that their ``item`` numbers mean, the cost of the
    arrangement and, where it was sought, the least of any; a border's gaps where only they are
    filled; notes of its own."""

    drifts: Sequence[Drift]
    chosen: Sequence[Candidate]
    energy: float
    bound: float | None = None
    gaps: Gaps | None = None
    notes: tuple[Fact, ...] = ()


def planting_of(
    given: Given,
    palette: Palette,
    layout: Layout,
    drawn: Drawn,
    lettered: Sequence[Candidate] = (),
) -> Planting:
    """Letters for the items that got a place, counts, spares, reasons and notes; ``lettered``: what
    has letters already, from A on, and keeps them.  Raises NothingFitsError where none got a place.
    """
    if not drawn.drifts:
        raise NothingFitsError(BedTooNarrow())
    number = _numbered(drawn, lettered)
    used = sorted(number, key=lambda old: number[old])
    drifts = tuple(replace(drift, item=used.index(drift.item)) for drift in drawn.drifts)
    letters = [letter(number[old]) for old in used]
    items = _items(given, drifts, [drawn.chosen[old] for old in used], letters)
    planted = {item.candidate.kind.key for item in items}
    without_place = {c.kind.key: NoRoom() for c in drawn.chosen}
    left_out = {
        key: why for key, why in {**palette.left_out, **without_place}.items() if key not in planted
    }
    made = Planting(
        items,
        drifts,
        left_out,
        layout.height_limit_m,
        drawn.energy,
        drawn.bound,
        layout.free_m2,
        (*palette.notes, *drawn.notes),
        drawn.gaps,
    )
    return replace(made, notes=(*made.notes, *_notes(given, made, palette, layout)))


def _numbered(drawn: Drawn, lettered: Sequence[Candidate]) -> dict[int, int]:
    """The number of the letter of each candidate that stands in a drift: its own, or the next after
    all that are in use."""
    had = {(c.kind.key, c.colour.name): n for n, c in enumerate(lettered)}
    number: dict[int, int] = {}
    for old in sorted({drift.item for drift in drawn.drifts}):
        one = drawn.chosen[old]
        number[old] = had.setdefault((one.kind.key, one.colour.name), len(had))
    return number


def _items(
    given: Given, drifts: Sequence[Drift], chosen: Sequence[Candidate], letters: Sequence[str]
) -> tuple[Item, ...]:
    """The items under their letters, with counts, spares and reasons."""
    own = [[drift for drift in drifts if drift.item == n] for n in range(len(chosen))]
    heights_m = [
        candidate.kind.form.height_m
        for candidate, mine in zip(chosen, own, strict=True)
        if not all(drift.ribbon for drift in mine)
    ]
    island = given.outline.from_all_sides
    items = []
    for number, (candidate, mine) in enumerate(zip(chosen, own, strict=True)):
        plants = sum(len(drift.places) for drift in mine)
        area = float(sum(drift.polygon.area for drift in mine))
        why = item_reasons(candidate, mine, given.brief, heights_m, island)
        spares = spares_for(plants)
        items.append(Item(letters[number], candidate, plants, spares, len(mine), area, why))
    return tuple(items)


def letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(65 + rest) + text
    return text


def _notes(given: Given, made: Planting, palette: Palette, layout: Layout) -> Iterator[Fact]:
    """What must be said of wishes that a planting does not keep, or does not weigh."""
    brief, kinds = given.brief, given.catalogue.kinds
    planted = {item.candidate.kind.key for item in made.items}
    for key in brief.wishes.grow:
        if key not in planted:
            yield AskedButNotPlanted(key, kinds[key].name, made.left_out[key])
    edged = any(drift.ribbon for drift in made.drifts)
    if brief.wishes.edge_with and made.gaps is None and not edged:
        yield TooNarrowForEdging()
    reasons = _other_number(brief, made, palette, layout)
    if brief.wishes.kinds is not None and reasons:
        yield OtherNumberOfForms(brief.wishes.kinds, len(made.items), reasons)
    if palette.dropped:
        planted_forms = len(made.items)
        yield FewerForBudget(planted_forms, planted_forms + palette.dropped)
    if brief.wishes.gaps_only and not brief.existing:
        yield NoPlantStays()
    if brief.dates.show is not None:
        yield ShowDayNotWeighed(brief.dates.show)


def _other_number(
    brief: Brief, made: Planting, palette: Palette, layout: Layout
) -> tuple[Fact, ...]:
    """Why other than the wished number of colour forms are planted; empty where they are not."""
    asked, got, wanted = brief.wishes.kinds, len(made.items), layout.wanted
    if asked is None or asked == got:
        return ()
    if got > asked:
        named = brief.wishes.grow or brief.wishes.edge_with
        return (MoreAreNamed() if named else OneOfEachHeight(),)
    reasons: list[Fact] = []
    if wanted < asked:
        reasons.append(RoomForDrifts(layout.drifts, any(d.ribbon for d in made.drifts)))
    suited = len({c.kind.key for c in palette.offered})
    if len(palette.chosen) < wanted:
        reasons.append(FewKindsSuit(suited) if suited < wanted else NoMoreGoTogether())
    if got < min(len(palette.chosen), wanted):
        reasons.append(OthersFoundNoPlace(made.gaps is not None))
    return tuple(reasons) or (NoneBetter(),)


def gaps_note(gaps: Gaps) -> GapsFilled:
    """What setting plants by the gaps of spring would have done."""
    return GapsFilled(len(gaps.places), gaps.naive, gaps.smothered)
