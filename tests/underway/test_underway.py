"""A bed under way, by the plan of an example and entries of our own."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom

from bedwright.brief import Learned
from bedwright.catalogue import Catalogue
from bedwright.climate import FREEZE_C, NEVER, Record, Season, Weather, make_season
from bedwright.climate.frost import last_spring
from bedwright.export import plan_json
from bedwright.growth import Way, blooms_of
from bedwright.journal import Entry
from bedwright.plan import Plan
from bedwright.report import say, week_sheet
from bedwright.underway import (
    FrostAhead,
    MovedBy,
    NothingMoved,
    PlannedBed,
    SoilWet,
    SowAgain,
    TonightsWork,
    TooLateToSow,
    Underway,
    WeatherSoFar,
    entries_when_done,
    planned_bed,
    stands_of,
    with_entries,
    work_out,
)
from conftest import examples, weather_at

NOTHING = Learned()


@pytest.fixture(scope="module")
def bed(oval: Plan, catalogue: Catalogue) -> PlannedBed:
    return planned_bed(json.loads(plan_json(oval)), catalogue)


def on(day: date, bed: PlannedBed, season: Season, *entries: Entry) -> Underway:
    return work_out(bed, entries, season, NOTHING, day)


def indoors(bed: PlannedBed) -> str:
    """The letter of an item that is raised indoors."""
    return next(item.letter for item in bed.items if item.method == "indoors")


def in_place(bed: PlannedBed) -> str:
    """The letter of one that is sown where it flowers, in spring, of a kind with no other colour in
    the bed."""
    kinds = [item.kind.key for item in bed.items]
    return next(
        item.letter
        for item in bed.items
        if item.in_place and item.out >= bed.start and kinds.count(item.kind.key) == 1
    )


def test_before_anything_is_written_nothing_moves(bed: PlannedBed, oval: Plan) -> None:
    found = on(bed.start - timedelta(days=60), bed, oval.season)
    assert found.moved == (NothingMoved(),)
    assert found.second == ()
    for item in bed.items:
        one = found.coming[item.letter]
        assert (one.sow, one.out) == (item.sow, item.out)
        assert one.first is not None
        assert item.first is not None
        assert abs((one.first[1] - item.first).days) <= 2
        assert one.first[0] <= one.first[1] <= one.first[2]
    bench = found.bench_m2
    for week, room in bed.bench_m2.items():
        assert bench[week] == pytest.approx(room, rel=0.05)


def test_a_first_flower_that_was_seen_is_the_first_flower(bed: PlannedBed, oval: Plan) -> None:
    letter = in_place(bed)
    item = bed.item(letter)
    assert item.first is not None
    seen = item.first + timedelta(days=12)
    entry = Entry(seen, "first_flower", item.kind.key)
    found = on(seen, bed, oval.season, entry)
    assert found.coming[letter].first == (seen, seen, seen)
    assert found.coming[letter].moved["seen"] >= 8
    before = on(seen, bed, oval.season).coming[letter]
    assert found.coming[letter].weeks != pytest.approx(before.weeks)
    (line,) = [fact for fact in found.moved if isinstance(fact, MovedBy) and fact.cause == "seen"]
    assert line.moves[0].name == item.name
    assert line.moves[0].to == seen


@pytest.mark.parametrize("late", [10, 25])
def test_what_is_sown_late_flowers_later_but_not_by_as_much(
    bed: PlannedBed, oval: Plan, late: int
) -> None:
    """Later days are warmer in spring."""
    letter = in_place(bed)
    item = bed.item(letter)
    sown = item.out + timedelta(days=late)
    found = on(sown, bed, oval.season, Entry(sown, "sown", item.kind.key))
    assert found.coming[letter].sow == sown
    assert 0 < found.coming[letter].moved["work"] <= late
    assert found.coming[letter].out_moved["work"] == late


def test_what_is_not_written_down_counts_as_done_once_its_last_day_is_past(
    bed: PlannedBed, oval: Plan
) -> None:
    letter = indoors(bed)
    item = bed.item(letter)
    last = next(w.latest for w in bed.work if w.code == "sow_indoors" and letter in w.letters)
    within = on(last - timedelta(days=1), bed, oval.season).coming[letter]
    past = on(last + timedelta(days=1), bed, oval.season).coming[letter]
    assert within.sow == max(item.sow, last - timedelta(days=1))
    assert past.sow == item.sow


def test_a_journal_of_readings_makes_the_season_that_was(
    clemson_weather: Weather, clemson: Season
) -> None:
    """Every night and day of a year of the record (NOAA GHCN-Daily), written into the journal: the
    last freeze of every season is that of the year, counted in the record itself."""
    record = clemson_weather.record
    assert record is not None
    model = make_season(weather_at(34.68, -82.84, 220.0), 1998, None, 0)
    here = with_entries(model, readings(record, 1998, 365), date(1998, 12, 31))
    low = np.array([record.tmin_c[at_of(record, date(1998, 1, 1) + timedelta(days=n))]
                    for n in range(365)])  # fmt: skip
    truth = last_spring(low[None], FREEZE_C, model.site.halves)[0]
    days = last_spring(here.tmin_c, FREEZE_C, model.site.halves)
    assert truth != NEVER
    assert set(days.tolist()) == {truth}


def test_the_weather_so_far_brings_forecasts_of_flowers_nearer(
    clemson_weather: Weather, bed: PlannedBed
) -> None:
    """First flowers by the model of growth in the weather that each of ten years had, against what
    was forecast of them on 15 May by the world's normals alone, and with the year's readings up to
    then: the ensemble knows none of the record, and the error shrinks by a quarter at least."""
    record = clemson_weather.record
    assert record is not None
    place = weather_at(34.68, -82.84, 220.0)
    kinds = [item.kind for item in bed.items if item.in_place]
    ways = [Way(kind, 95, 95, in_place=True) for kind in dict.fromkeys(kinds)]
    off: dict[str, list[float]] = {"before": [], "after": []}
    for year in range(1994, 2014, 2):
        base = make_season(place, year, None, 0)
        truth = with_entries(base, readings(record, year, 365), date(year, 12, 31))
        so_far = with_entries(base, readings(record, year, 135), date(year, 5, 15))
        true = medians(ways, truth)
        off["before"] += list(np.abs(medians(ways, base) - true))
        off["after"] += list(np.abs(medians(ways, so_far) - true))
    before, after = (float(np.mean(off[name])) for name in ("before", "after"))
    assert after < 0.75 * before


def medians(ways: list[Way], season: Season) -> np.ndarray:
    return np.array([np.median(bloom.first) for bloom in blooms_of(ways, season)])


def at_of(record: Record, day: date) -> int:
    return int((np.datetime64(day) - record.first).astype(int))


def readings(record: Record, year: int, days: int) -> list[Entry]:
    out = []
    for n in range(days):
        day = date(year, 1, 1) + timedelta(days=n)
        low, high = (float(each[at_of(record, day)]) for each in (record.tmin_c, record.tmax_c))
        if not np.isnan(low) and not np.isnan(high):
            out.append(Entry(day, "weather", tmin_c=low, tmax_c=high))
    return out


def test_frosts_move_what_is_tender_and_are_compared_once_there_are_readings(
    bed: PlannedBed, oval: Plan
) -> None:
    day = date(2027, 4, 5)
    cold = [Entry(day - timedelta(days=n), "weather", tmin_c=-3.0) for n in range(9)]
    found = on(day, bed, oval.season, *cold)
    assert any(isinstance(fact, WeatherSoFar) and fact.warmer_c < -3 for fact in found.moved)
    few = on(day, bed, oval.season, *cold[:3])
    assert not any(isinstance(fact, WeatherSoFar) for fact in few.moved)
    moved = [one.out_moved["weather"] for one in found.coming.values()]
    assert max(moved) >= 0
    assert any(one.moved.get("weather", 0) > 0 for one in found.coming.values())


def test_counts_by_the_binomial_distribution(bed: PlannedBed, oval: Plan) -> None:
    """Plants that came up live to be set out with the garden's rate: odds by scipy."""
    item = bed.item(indoors(bed))
    up = item.plants + 3
    entries = [
        Entry(item.sow, "sown", item.kind.key, item.colour, count=up + 20),
        Entry(item.sow + timedelta(days=20), "came_up", item.kind.key, item.colour, count=up),
    ]
    learned = Learned(survival={item.kind.key: 0.8})
    found = work_out(bed, entries, oval.season, learned, item.sow + timedelta(days=21))
    standing = found.standing[item.letter]
    assert standing.full_odds == pytest.approx(binom.sf(item.plants - 1, up, 0.8))
    assert standing.expected == pytest.approx(min(up * 0.8, item.plants))


def test_a_failed_sowing_is_sown_again_while_there_is_time(bed: PlannedBed, oval: Plan) -> None:
    letter = in_place(bed)
    item = bed.item(letter)
    failed = [
        Entry(item.sow, "sown", item.kind.key, count=60),
        Entry(item.sow + timedelta(days=21), "came_up", item.kind.key, count=0),
    ]
    day = item.sow + timedelta(days=21)
    found = on(day, bed, oval.season, *failed)
    (again,) = [fact for fact in found.second if isinstance(fact, SowAgain)]
    assert (again.name, again.standing, again.wanted) == (item.name, 0, item.plants)
    assert again.seeds >= item.plants
    assert again.day == day <= again.until
    assert again.weeks >= 3.0
    assert not any(letter in one.work.letters for one in found.week())
    late = on(date(2027, 9, 14), bed, oval.season, *failed)
    assert [type(fact) for fact in late.second] == [TooLateToSow]
    sown = Entry(day + timedelta(days=3), "sown", item.kind.key, count=60)
    mended = on(day + timedelta(days=4), bed, oval.season, *failed, sown)
    assert mended.second == ()
    assert mended.coming[letter].sow == sown.day


DAYS = st.integers(-60, 364)


@settings(max_examples=examples(12))
@given(DAYS, st.lists(st.tuples(st.integers(0, 8), st.integers(0, 300)), max_size=12))
def test_what_is_marked_as_done_leaves_the_list(
    bed: PlannedBed, oval: Plan, day_index: int, taps: list[tuple[int, int]]
) -> None:
    """On any day and after any taps: each line is there once, and a tap takes it out."""
    today = bed.start + timedelta(days=day_index)
    found = on(today, bed, oval.season)
    listed = found.week()
    keys = [one.work.key for one in listed]
    assert len(keys) == len(set(keys))
    entries, tasks = list[Entry](), dict[str, date]()
    for at, _ in taps[: len(listed)]:
        one = listed[at % len(listed)]
        made = entries_when_done(one, bed, today)
        assert made
        entries += made
        tasks |= {entry.task: today for entry in made if entry.task}
    after = replace(found, stands=stands_of(bed, entries)).week(tasks)
    weekly = {w.key for w in bed.work if w.weekly_until}
    again = found.week(dict.fromkeys(weekly, today), today + timedelta(days=7))
    due = {one.work.key for one in found.week(today=today + timedelta(days=7))}
    assert weekly & due <= {one.work.key for one in again}
    marked = {listed[at % len(listed)].work.key for at, _ in taps[: len(listed)]}
    assert not marked & {one.work.key for one in after}


def test_the_list_says_what_the_weather_forbids(bed: PlannedBed, oval: Plan) -> None:
    out = min(
        (w for w in bed.work if w.code == "set_out" and w.letters), key=lambda work: work.best
    )
    early = replace(bed, work=tuple(
        replace(w, earliest=date(2027, 2, 1), best=date(2027, 2, 3), latest=date(2027, 2, 9))
        if w.key == out.key else w for w in bed.work))  # fmt: skip
    tender = max(early.item(letter).kind.kill_c for letter in out.letters)
    if tender > -3.0:
        found = on(date(2027, 2, 2), early, oval.season)
        (line,) = [one for one in found.week() if one.work.key == out.key]
        assert any(isinstance(fact, FrostAhead) for fact in line.against)
    dig = next(w for w in bed.work if w.code == "dig")
    rain = [Entry(dig.best - timedelta(days=n), "weather", rain_mm=12.0) for n in range(2)]
    found = on(dig.best, bed, oval.season, *rain)
    (line,) = [one for one in found.week() if one.work.key == "dig"]
    assert line.against == (SoilWet(24.0, 3),)
    assert line.forbidden
    dry = on(dig.best, bed, oval.season)
    assert not next(one for one in dry.week() if one.work.key == "dig").forbidden


def test_work_that_something_done_waits_for_is_done(bed: PlannedBed, oval: Plan) -> None:
    letter = in_place(bed)
    item = bed.item(letter)
    dig = next(w for w in bed.work if w.code == "dig")
    before = {one.work.key for one in on(dig.best, bed, oval.season).week()}
    assert "dig" in before
    sown = Entry(dig.best, "sown", item.kind.key)
    after = {one.work.key for one in on(dig.best, bed, oval.season, sown).week()}
    assert "dig" not in after
    assert "order" not in after


@settings(max_examples=examples(30))
@given(st.floats(-12, 15), st.floats(0, 6), st.integers(100, 320))
def test_a_colder_night_never_asks_for_less(
    bed: PlannedBed, oval: Plan, forecast: float, colder: float, day_index: int
) -> None:
    found = _kept(bed, oval, day_index // 40 * 40)
    mild, cold = found.tonight(forecast), found.tonight(forecast - colder)
    harsh = ("stand", "perhaps", "cover", "lost")
    for name in {item.name for item in bed.items}:
        one, other = ([n for n, part in enumerate(harsh) if name in getattr(each, part)]
                      for each in (mild, cold))  # fmt: skip
        assert bool(one) == bool(other)
        if one and other:
            assert max(other) >= max(one)
    assert set(mild.bring_in) <= set(cold.bring_in)
    assert isinstance(mild, TonightsWork)


_KEPT: dict[int, Underway] = {}


def _kept(bed: PlannedBed, oval: Plan, day_index: int) -> Underway:
    if day_index not in _KEPT:
        _KEPT[day_index] = on(bed.start + timedelta(days=day_index), bed, oval.season)
    return _KEPT[day_index]


def test_a_garden_that_is_colder_covers_sooner(bed: PlannedBed, oval: Plan) -> None:
    day = date(2027, 7, 1)
    here = work_out(bed, [], oval.season, Learned.model_validate({"nights": "1.5 °C colder"}), day)
    plain = on(day, bed, oval.season)
    assert here.tonight(1.0).here_c == -0.5
    assert len(here.tonight(1.0).cover) > len(plain.tonight(1.0).cover)


def test_the_sheet_of_the_week_in_words(bed: PlannedBed, oval: Plan) -> None:
    """Every line that any week of the year can have, in both systems of units."""
    seen = set()
    for n in range(-40, 330, 14):
        found = on(bed.start + timedelta(days=n), bed, oval.season)
        for units in ("metric", "us"):
            sheet = week_sheet(found, tuple(found.week()), units)
            for _, rows in sheet.parts:
                for row in rows:
                    seen.add(row.key.split("-")[0])
                    assert row.what
                    assert row.when
            assert say(found.tonight(-1.0), units)
    assert {"dig", "sow", "set", "water", "frost", "clear", "bloom"} <= seen
