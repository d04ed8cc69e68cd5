"""When a kind flowers that is sown on a day: what counts, and which growing year."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import cache, partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from awkward import PLACES
from bedwright.brief import MonthDay
from bedwright.catalogue import Catalogue, Kind, load_catalogue
from bedwright.climate import DAYS, Season, make_season
from bedwright.growth import (
    ForLeaves,
    FrostRisk,
    IndoorsAssumed,
    InPlaceAssumed,
    LongIndoors,
    NextYear,
    OtherWay,
    SaferFrom,
    SoilCold,
    Sowing,
    When,
    first_on,
    set_out_on,
    when_of,
)
from conftest import examples, weather_at

SPOTS = {
    "edinburgh": (55.95, -3.19),
    "atlanta": (33.75, -84.39),
    "melbourne": (-37.81, 144.96),
    "winnipeg": (49.88, -97.15),
    "singapore": (1.29, 103.85),
    "minneapolis": (44.88, -93.22),
    **PLACES,
}


@cache
def season_at(place: str, year: int) -> Season:
    return make_season(weather_at(*SPOTS[place]), year, None, 0)


def day(text: str) -> MonthDay:
    return MonthDay(*map(int, text.split("-")))


def ask(
    kind: str, place: str, sown: str, set_out: str | None = None, *, in_place: bool = False
) -> When:
    sowing = Sowing(day(sown), None if set_out is None else day(set_out), in_place)
    return when_of(load_catalogue().kinds[kind], sowing, 2027, partial(season_at, place))


def notes(answer: When, sort: type) -> list:
    return [note for note in answer.notes if isinstance(note, sort)]


def steady(celsius: float, low: float | None = None) -> Callable[[int], Season]:
    """Every growing year at one temperature, in Edinburgh; ``low``: coldest of each night."""
    flat = np.full((4, DAYS), celsius)

    def season_in(year: int) -> Season:
        night = flat - 0.5 if low is None else np.full_like(flat, low)
        return replace(season_at("edinburgh", year), tmin_c=night, tmax_c=2 * flat - night)

    return season_in


def test_the_days_are_those_of_the_seasons_that_flower() -> None:
    answer = ask("tall_zinnia", "edinburgh", "05-01", "06-10")
    first = answer.bloom.first[answer.flowers]
    assert 0.5 < answer.share_of_seasons < 1.0
    assert answer.share_of_seasons == pytest.approx(len(first) / answer.season.size)
    assert answer.first_flower is not None
    for share, found in zip((0.1, 0.5, 0.9), vars(answer.first_flower).values(), strict=True):
        index = answer.season.index(found)
        assert (first <= index + 1).mean() >= share
        assert (first < index - 1).mean() <= share
    assert answer.first_flower.median < answer.last_flower
    assert (answer.sown, answer.set_out) == (date(2027, 5, 1), date(2027, 6, 10))


def test_odds_by_week_follow_the_seasons_that_are_left() -> None:
    answer = ask("tall_zinnia", "edinburgh", "04-01", "05-01")
    assert 0 < answer.share_of_seasons < answer.bloom.share
    assert answer.weekly.shape == (52,)
    assert 0 <= answer.weekly.min() <= answer.weekly.max() <= answer.share_of_seasons + 1e-6
    in_all = replace(answer, cold=np.full_like(answer.cold, DAYS))
    assert answer.weekly == pytest.approx(
        in_all.weekly * answer.share_of_seasons / in_all.share_of_seasons
    )


def test_shares_of_what_is_in_the_way_add_up() -> None:
    for kind, sown, in_place in (
        ("tall_zinnia", "04-01", True),
        ("tall_zinnia", "05-20", True),
        ("tall_zinnia", "08-01", True),
        ("pot_marigold", "09-10", True),
        ("larkspur", "06-01", False),
    ):
        answer = ask(kind, "edinburgh", sown, in_place=in_place)
        assert sum(answer.lack) + answer.share_of_seasons == pytest.approx(1.0)


def test_earlier_out_means_more_frost() -> None:
    early, late = (ask("tall_zinnia", "edinburgh", "04-01", out) for out in ("05-01", "06-15"))
    assert early.lack.young > late.lack.young > 0
    (risk,) = notes(early, FrostRisk)
    assert risk.deadly
    assert risk.odds == early.lack.young
    assert risk.since == date(2027, 5, 1)
    (safer,) = notes(early, SaferFrom)
    day_before = early.season.index(safer.day) - 1
    assert early.season.freeze(True, risk.night_c).odds_at(day_before + 1) <= safer.risk
    assert early.season.freeze(True, risk.night_c).odds_at(day_before - 2) > safer.risk - 0.01
    assert notes(late, SaferFrom) == []


def test_a_night_kills_tender_plants_and_is_a_risk_to_hardy_ones() -> None:
    cold = steady(15.0, low=-12.0)
    sowing = Sowing(day("04-01"), day("05-10"))
    tender = when_of(load_catalogue().kinds["tall_zinnia"], sowing, 2027, cold)
    assert tender.share_of_seasons == 0
    assert tender.lack.young == 1
    assert tender.first_flower is tender.last_flower is tender.range_of_first is None
    hardy = when_of(load_catalogue().kinds["pot_marigold"], sowing, 2027, cold)
    (risk,) = notes(hardy, FrostRisk)
    assert (risk.odds, risk.deadly) == (1.0, False)


def test_seed_is_safe_until_it_is_up() -> None:
    """A freeze that ends a week after a sowing in warm ground finds nothing to kill."""
    season = season_at("edinburgh", 2027)
    kind = load_catalogue().kinds["tall_zinnia"]
    nights = np.full((4, DAYS), 14.0)
    nights[:, :121] = -2.0
    mild = replace(season, tmin_c=nights, tmax_c=np.full((4, DAYS), 22.0))
    seed = when_of(kind, Sowing(day("04-28"), None, True), 2027, lambda year: mild)
    plants = when_of(kind, Sowing(day("04-01"), day("04-28")), 2027, lambda year: mild)
    assert (seed.share_of_seasons, plants.share_of_seasons) == (1.0, 0.0)
    assert (seed.up > mild.index(date(2027, 5, 1))).all()


def test_warmer_ground_brings_seed_up_sooner() -> None:
    kind = load_catalogue().kinds["pot_marigold"]
    sowing = Sowing(day("04-01"), None, True)
    days = [int(when_of(kind, sowing, 2027, steady(c)).up[0]) for c in (8.0, 12.0, 16.0)]
    assert days == sorted(days, reverse=True)
    suits = (kind.sowing.germ_min_c + kind.sowing.germ_max_c) / 2
    usual = (kind.sowing.germ_days_min + kind.sowing.germ_days_max) / 2
    up = int(when_of(kind, sowing, 2027, steady(suits)).up[0])
    assert up - 90 == pytest.approx(usual, abs=1)


def test_tender_seed_rots_in_cold_ground_and_hardy_seed_waits() -> None:
    tender = ask("tall_zinnia", "edinburgh", "10-15", in_place=True)
    assert tender.share_of_seasons == 0
    assert tender.lack.seed > 0.8
    hardy = ask("larkspur", "winnipeg", "10-15", in_place=True)
    assert hardy.share_of_seasons > 0.9
    assert np.median(hardy.up) > 60


@pytest.mark.parametrize(
    ("place", "sown", "start"),
    [("atlanta", "10-01", date(2028, 1, 1)), ("melbourne", "03-20", date(2028, 7, 1))],
)
def test_a_sowing_of_autumn_flowers_in_the_next_growing_year(
    place: str, sown: str, start: date
) -> None:
    answer = ask("larkspur", place, sown, in_place=True)
    (note,) = notes(answer, NextYear)
    assert answer.season.start == note.begins == start
    assert note.share < 0.5
    assert answer.way.sown == answer.way.out < 0
    assert answer.sown == first_on(day(sown), date(2027, 1 if place == "atlanta" else 7, 1))
    assert answer.first_flower is not None
    assert answer.first_flower.median > start
    assert answer.share_of_seasons >= 0.5


def test_a_late_sowing_that_still_flowers_is_told_for_its_own_year() -> None:
    answer = ask("larkspur", "edinburgh", "07-05", in_place=True)
    assert answer.season.start == date(2027, 1, 1)
    assert answer.share_of_seasons >= 0.5
    assert notes(answer, NextYear) == []
    assert answer.first_flower.median.year == 2027


def test_the_next_growing_year_is_asked_for_only_where_it_may_count() -> None:
    asked: list[int] = []

    def season_in(year: int) -> Season:
        asked.append(year)
        return season_at("atlanta", year)

    kind = load_catalogue().kinds["larkspur"]
    when_of(kind, Sowing(day("03-01"), None, True), 2027, season_in)
    assert asked == [2027]
    when_of(kind, Sowing(day("10-01"), None, True), 2027, season_in)
    assert asked == [2027, 2027, 2028]


def some_of(season: Season) -> Season:
    """Every fourth of its seasons."""
    return replace(
        season,
        tmin_c=season.tmin_c[::2],
        tmax_c=season.tmax_c[::2],
        rain_mm=season.rain_mm[::2],
    )


def test_the_usual_way_is_assumed_and_said(catalogue: Catalogue) -> None:
    season = some_of(season_at("edinburgh", 2027))
    for kind in catalogue:
        answer = when_of(kind, Sowing(day("04-01"), None, False), 2027, lambda year: season)
        sort = InPlaceAssumed if kind.sowing.method == "in_place" else IndoorsAssumed
        assert answer.way.in_place == (sort is InPlaceAssumed), kind.key
        (note,) = notes(answer, sort)
        if isinstance(note, IndoorsAssumed):
            assert note.or_in_place == (kind.sowing.method == "both")
            assert answer.set_out == note.out
            assert note.weeks >= note.usual_weeks - 0.1
            waited = note.weeks > note.usual_weeks + 0.1
            assert waited == (note.waits_for != "nothing")
        assert notes(answer, OtherWay) == []
        assert len(notes(answer, ForLeaves)) == kind.is_foliage


def test_tender_plants_wait_indoors_for_their_safe_day() -> None:
    answer = ask("tall_zinnia", "minneapolis", "03-01")
    assert answer.season.freeze(True, 0.0).odds_at(answer.way.out) <= 0.1
    assert answer.season.freeze(True, 0.0).odds_at(answer.way.out - 2) > 0.09
    assert notes(answer, IndoorsAssumed)[0].waits_for == "frost"
    assert notes(answer, LongIndoors)[0].weeks == pytest.approx(
        (answer.set_out - date(2027, 3, 1)).days / 7
    )


def test_what_is_ready_in_winter_waits_for_spring_unless_winters_are_mild() -> None:
    cold = ask("wax_begonia", "edinburgh", "10-01")
    assert cold.sown == date(2027, 10, 1)
    assert date(2028, 4, 1) < cold.set_out < date(2028, 8, 1)
    assert notes(cold, LongIndoors)
    warm = ask("wax_begonia", "singapore", "10-01")
    weeks = load_catalogue().kinds["wax_begonia"].sowing
    usual = round((weeks.weeks_min + weeks.weeks_max) / 2 * 7)
    assert (warm.set_out - warm.sown).days == usual
    assert warm.share_of_seasons > 0.99


def test_the_unusual_way_is_said() -> None:
    (note,) = notes(ask("wax_begonia", "atlanta", "05-01", in_place=True), OtherWay)
    assert note.way == "in_place"
    kind = next(k for k in load_catalogue() if k.sowing.method == "in_place")
    (note,) = notes(ask(kind.key, "edinburgh", "04-01", "05-10"), OtherWay)
    assert (note.way, note.resents_moving) == ("indoors", kind.sowing.resents_moving)


def test_cold_soil_is_said_with_the_day_on_which_it_is_warm() -> None:
    (note,) = notes(ask("tall_zinnia", "atlanta", "02-15", in_place=True), SoilCold)
    assert date(2027, 3, 1) < note.warm < date(2027, 5, 15)
    after = f"{note.warm:%m-%d}"
    assert notes(ask("tall_zinnia", "atlanta", after, in_place=True), SoilCold) == []


def test_set_out_next_year_only_where_it_is_sown_in_the_second_half() -> None:
    def out(sown: str, set_out: str) -> date | None:
        return set_out_on(Sowing(day(sown), day(set_out)), date(2027, *map(int, sown.split("-"))))

    assert out("04-01", "05-10") == date(2027, 5, 10)
    assert out("09-01", "04-15") == date(2028, 4, 15)
    assert out("07-01", "06-30") == date(2028, 6, 30)
    assert out("06-30", "06-29") is None
    assert out("04-01", "04-01") is None
    assert out("09-01", "09-01") is None
    assert set_out_on(Sowing(day("04-01")), date(2027, 4, 1)) is None


def test_days_that_contradict_each_other_are_misuse() -> None:
    with pytest.raises(ValueError, match="not after"):
        ask("tall_zinnia", "edinburgh", "04-15", "03-01")
    with pytest.raises(ValueError, match="not set out"):
        ask("tall_zinnia", "edinburgh", "04-15", "05-01", in_place=True)


def test_plants_set_out_in_the_year_after_sowing_keep_their_days() -> None:
    answer = ask("wax_begonia", "edinburgh", "12-20", "06-01")
    assert (answer.sown, answer.set_out) == (date(2027, 12, 20), date(2028, 6, 1))
    assert answer.season.start == date(2028, 1, 1)
    assert answer.way.sown < 0 < answer.way.out
    assert notes(answer, NextYear) == []


def test_the_day_left_out_of_leap_years_is_a_day_all_the_same() -> None:
    kind = load_catalogue().kinds["larkspur"]
    season_in = partial(season_at, "atlanta")
    leap = when_of(kind, Sowing(day("02-29"), None, True), 2028, season_in)
    plain = when_of(kind, Sowing(day("02-29"), None, True), 2027, season_in)
    assert leap.way.sown == plain.way.sown == 58
    assert plain.sown == date(2027, 2, 28)


def test_flowers_at_the_end_of_the_growing_year_go_on() -> None:
    answer = ask("pansy", "atlanta", "08-15")
    assert answer.goes_on
    assert answer.last_flower == date(2027, 12, 31)


days = st.dates(date(2027, 1, 1), date(2027, 12, 31)).map(lambda d: MonthDay(d.month, d.day))


@settings(max_examples=examples(25))
@given(
    kind=st.sampled_from(list(load_catalogue())),
    place=st.sampled_from(sorted(SPOTS)),
    sown=days,
    set_out=st.none() | days,
    in_place=st.booleans(),
)
def test_every_question_has_an_answer_that_hangs_together(
    kind: Kind, place: str, sown: MonthDay, set_out: MonthDay | None, in_place: bool
) -> None:
    sowing = Sowing(sown, None if in_place else set_out, in_place)
    if sowing.set_out is not None and set_out_on(sowing, sown.in_year(2027)) is None:
        return
    answer = when_of(kind, sowing, 2027, partial(season_at, place))
    assert answer.sown == first_on(sown, season_at(place, 2027).start)
    assert answer.set_out is None or answer.set_out > answer.sown
    assert 0 <= answer.share_of_seasons <= 1
    assert sum(answer.lack) + answer.share_of_seasons == pytest.approx(1.0)
    assert ((answer.weekly >= 0) & (answer.weekly <= 1 + 1e-9)).all()
    first, last = answer.first_flower, answer.last_flower
    assert (first is None) == (last is None) == (answer.share_of_seasons < 0.5)
    if first is not None and last is not None:
        assert answer.sown < first.early <= first.median <= first.late
        assert first.early <= last
