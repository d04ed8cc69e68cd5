"""Which counts of seeds and plants a garden's rates are worked out from."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from bedwright.journal import (
    CountedEarly,
    Entry,
    LossUncounted,
    MoreLostThanStood,
    MoreThanSown,
    RateHere,
    Sowing,
    SownUnknown,
    Tally,
    learn_germination,
    learn_survival,
    rates_of,
)

START = date(2027, 3, 1)
CATALOGUE = {"larkspur": 0.8, "corn_poppy": 0.5, "zinnia": 0.75}


def on(day: int, what: Any, kind: str = "larkspur", **given: Any) -> Entry:
    return Entry(START + timedelta(days=day), what, kind, **given)


def tally(kind: str, good: int, of: int, n: int = 0) -> Tally:
    return Tally(Sowing(kind, START + timedelta(days=n)), good, of)


def germination(*entries: Entry, **given: Any) -> Any:
    return learn_germination(entries, CATALOGUE, **given)


def counted(rates: Any) -> dict[tuple[str, int], tuple[int, int]]:
    """Seeds and sowings that were used, of kinds of which any were."""
    return {kind: (rate.seen, rate.sowings) for kind, rate in rates.by_kind.items() if rate.sowings}


def test_the_latest_count_of_a_sowing_is_its_count() -> None:
    found = germination(
        on(0, "sown", count=48), on(14, "came_up", count=20), on(20, "came_up", count=30)
    )
    assert counted(found) == {"larkspur": (48, 1)}
    alone = rates_of([tally("larkspur", 30, 48)], CATALOGUE)
    assert found.by_kind == alone.by_kind
    assert found.by_sowing == {
        Sowing("larkspur", START): alone.by_sowing[Sowing("larkspur", START)]
    }


def test_a_count_of_so_many_needs_no_sowing() -> None:
    found = germination(on(14, "came_up", count=9, of=12))
    assert counted(found) == {"larkspur": (12, 1)}
    assert list(found.by_sowing) == [Sowing("larkspur", None, None, 2027)]


def test_each_count_is_of_the_latest_sowing_before_it() -> None:
    found = germination(
        on(0, "sown", count=24),
        on(20, "came_up", count=6),
        on(30, "sown", count=40),
        on(30, "sown", "zinnia", count=10),
        on(50, "came_up", count=36),
    )
    assert counted(found) == {"larkspur": (64, 2)}
    assert {sowing.day for sowing in found.by_sowing} == {START, START + timedelta(days=30)}


def test_two_trays_of_one_day_are_one_sowing() -> None:
    found = germination(
        on(0, "sown", count=24), on(0, "sown", count=16), on(20, "came_up", count=30)
    )
    assert counted(found) == {"larkspur": (40, 1)}


def test_colours_are_sowings_of_their_own() -> None:
    found = germination(
        on(0, "sown", colour="white", count=24),
        on(0, "sown", colour="blue", count=12),
        on(20, "came_up", colour="white", count=20),
        on(20, "came_up", colour="blue", count=3),
    )
    assert counted(found) == {"larkspur": (36, 2)}
    both = germination(
        on(0, "sown", colour="white", count=24),
        on(0, "sown", colour="blue", count=12),
        on(20, "came_up", count=23),
    )
    assert counted(both) == {"larkspur": (36, 1)}


def test_what_comes_up_years_later_is_not_of_that_sowing() -> None:
    found = germination(on(0, "sown", count=24), on(700, "came_up", count=20))
    assert counted(found) == {}
    assert found.facts == (SownUnknown("larkspur", START + timedelta(days=700), 20),)


@pytest.mark.parametrize(
    ("entries", "fact"),
    [
        (
            [on(0, "sown", count=24), on(9, "came_up", count=30)],
            MoreThanSown("larkspur", START + timedelta(days=9), "up", 30, 24),
        ),
        (
            [on(0, "sown", count=0), on(9, "came_up", count=1)],
            MoreThanSown("larkspur", START + timedelta(days=9), "up", 1, 0),
        ),
        (
            [on(0, "sown", count=24), on(9, "came_up", count=20, of=60)],
            MoreThanSown("larkspur", START + timedelta(days=9), "of", 60, 24),
        ),
        (
            [on(0, "sown"), on(9, "came_up", count=20)],
            SownUnknown("larkspur", START + timedelta(days=9), 20),
        ),
        ([on(9, "came_up", count=20)], SownUnknown("larkspur", START + timedelta(days=9), 20)),
    ],
)
def test_what_contradicts_itself_is_said_and_not_used(entries: list[Entry], fact: Any) -> None:
    found = germination(*entries)
    assert found.facts == (fact,)
    assert found.by_kind == germination().by_kind


def test_a_sound_count_stands_beside_one_that_is_not() -> None:
    found = germination(
        on(0, "sown", count=24), on(9, "came_up", count=12), on(12, "came_up", count=120)
    )
    assert counted(found) == {"larkspur": (24, 1)}
    assert [type(fact) for fact in found.facts] == [RateHere, MoreThanSown]


def test_a_last_count_before_all_can_be_up_is_not_used() -> None:
    sown, early, late = (
        on(0, "sown", count=40),
        on(6, "came_up", count=5),
        on(21, "came_up", count=30),
    )
    found = germination(sown, early, days_to_come_up={"larkspur": 20.0})
    assert found.facts == (
        CountedEarly("larkspur", START + timedelta(days=6), START + timedelta(days=20)),
    )
    assert counted(found) == {}
    assert counted(germination(sown, early, late, days_to_come_up={"larkspur": 20.0})) == {
        "larkspur": (40, 1)
    }


def test_what_says_no_number_is_passed_over() -> None:
    found = germination(
        on(0, "sown", count=24),
        on(9, "came_up"),
        on(3, "sown", count=0),
        on(9, "came_up", count=0),
        on(9, "came_up", "unheard_of", count=4, of=8),
        Entry(START, "frost"),
    )
    assert (counted(found), found.facts) == ({}, ())


def survival(*entries: Entry) -> Any:
    return learn_survival(entries, {"larkspur": 0.9, "zinnia": 0.9})


def test_losses_count_against_what_was_pricked_out() -> None:
    found = survival(
        on(0, "sown", count=60),
        on(20, "came_up", count=50),
        on(25, "lost", count=9, cause="wet"),  # before they were moved
        on(30, "pricked_out", count=30),
        on(35, "lost", count=5, cause="wet"),
        on(60, "set_out", count=25),
        on(70, "lost", count=3, cause="slugs"),
    )
    alone = rates_of([tally("larkspur", 22, 30)], {"larkspur": 0.9, "zinnia": 0.9})
    assert found.by_kind == alone.by_kind


def test_plants_that_were_never_pricked_out_count_from_setting_out() -> None:
    found = survival(
        on(60, "set_out", count=10), on(61, "set_out", count=6), on(70, "lost", count=4)
    )
    assert found.by_kind["larkspur"] == rates_of(
        [tally("larkspur", 12, 16)], {"larkspur": 0.9, "zinnia": 0.9}
    ).by_kind["larkspur"]  # fmt: skip


def test_plants_count_once_somebody_looked_at_them() -> None:
    moved = on(60, "set_out", count=16)
    assert counted(survival(moved)) == {}
    assert counted(survival(moved, on(61, "first_flower", "zinnia"))) == {}
    found = survival(moved, on(90, "first_flower"))
    assert counted(found) == {"larkspur": (16, 1)}
    assert found.by_kind["larkspur"].mean > 0.9


@pytest.mark.parametrize(
    ("loss", "fact"),
    [
        (on(70, "lost", count=20), MoreLostThanStood("larkspur", START, 20, 16)),
        (on(70, "lost"), LossUncounted("larkspur", START, 16)),
    ],
)
def test_losses_that_cannot_be_are_said_and_not_used(loss: Entry, fact: Any) -> None:
    found = survival(on(0, "set_out", count=16), loss)
    assert (found.facts, counted(found)) == ((fact,), {})


def test_losses_are_of_the_plants_that_stand_there() -> None:
    found = survival(
        on(0, "sown", count=40),
        on(60, "set_out", count=20),
        on(65, "sown", count=40),  # the next, of which nothing is set out yet
        on(70, "lost", count=8),
    )
    assert counted(found) == {"larkspur": (20, 1)}
