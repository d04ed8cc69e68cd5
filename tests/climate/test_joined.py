"""A few years of a record joined to the normals, and a record of minima alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bedwright.climate import (
    DAYS,
    FromJoined,
    FromRecord,
    MaximaModelled,
    Season,
    Site,
    Weather,
    make_season,
    normals_at,
)
from bedwright.climate.joined import coldest, weigh
from bedwright.climate.record import Record
from bedwright.growth import outlook_of
from bedwright.report import answer_words, certainty

SPOT = (42.65, -73.75)


def base() -> Weather:
    normals = normals_at(*SPOT)
    return Weather(Site("here", *SPOT, normals.altitude_m), normals)


def record(years: int, colder_c: float = 0.0, first: str = "2001-01-01") -> Record:
    """Days of the model's own making, some degrees colder, without leap days."""
    season = make_season(base(), 2027, None, 7)
    start = np.datetime64(first)
    days = start + np.arange(366 * years + 2).astype("timedelta64[D]")
    leap = np.array([str(day)[5:] == "02-29" for day in days])
    at = np.cumsum(~leap) - 1
    kept = at < DAYS * years

    def spread(values: np.ndarray) -> np.ndarray:
        return np.concatenate(values[:years]).astype(float)[at[kept]] - colder_c

    return Record("ours", start, spread(season.tmin_c), spread(season.tmax_c), None, ())


def with_record(made: Record) -> Season:
    return make_season(replace(base(), record=made), 2027, None, 0)


def test_weights_are_those_of_two_normal_estimates() -> None:
    """Posterior mean and weight of a normal prior and a normal sample of known variance."""
    modelled = np.random.default_rng(1).normal(0.0, 2.0 / 1.2, 200_000)
    for count in (1, 4, 9):
        found = weigh(modelled, np.full(count, 3.0), 1.5)
        precision = 1.5**-2 + count * 2.0**-2
        assert found.by_c == pytest.approx(3.0 * (count * 2.0**-2) / precision, rel=0.02)
    assert weigh(modelled, np.array([np.nan]), 1.5) == (0.0, 0.0, 1.5)


def test_the_more_years_the_more_they_count_and_the_less_is_in_doubt() -> None:
    found = [with_record(record(years, 3.0)) for years in (3, 5, 9)]
    weights = [season.basis.weight for season in found if isinstance(season.basis, FromJoined)]
    assert len(weights) == 3
    assert weights == sorted(weights)
    assert 0.3 < weights[0] < weights[-1] < 0.95
    doubts = [season.doubt_c for season in (make_season(base(), 2027, None, 0), *found)]
    assert doubts == sorted(doubts, reverse=True)
    assert all(season.doubt_days > 0 for season in found)


def test_a_season_with_a_few_years_of_a_record_is_told_as_joined() -> None:
    season = with_record(record(4, 3.0))
    assert season.source == "joined"
    assert season.from_normals
    assert make_season(base(), 2027, None, 0).from_normals
    assert not with_record(record(11)).from_normals
    assert certainty(season, "metric").startswith("Calculated from normals and 4 years on record.")
    assert "more years of the record" in answer_words(outlook_of(season))
    past = certainty(replace(season, spring_past=True), "metric")
    assert past.endswith("are from normals and a few years on record: ask locally.")
    tropics = certainty(replace(season, site=replace(season.site, latitude=10.0)), "metric")
    assert tropics.startswith("Calculated from normals and 4 years on record, and the model has no")


def test_a_colder_record_moves_nights_and_days_its_way() -> None:
    usual, made = make_season(base(), 2027, None, 0), with_record(record(8, 3.0))
    for before, after in ((usual.tmin_c, made.tmin_c), (usual.tmax_c, made.tmax_c)):
        assert -3.0 < float((after - before).mean()) < -1.0
    ten = with_record(record(11, 3.0))
    assert isinstance(ten.basis, FromRecord)
    days = [season.freeze(True).day_at(0.5) for season in (usual, made, ten)]
    assert days[0] < days[1] <= days[2] + 5


def test_a_record_like_the_normals_moves_little() -> None:
    usual, made = make_season(base(), 2027, None, 0), with_record(record(8))
    assert abs(made.freeze(True).day_at(0.5) - usual.freeze(True).day_at(0.5)) <= 5


def test_the_coldest_nights_of_years_with_too_few_days_are_unknown() -> None:
    nights = np.tile(np.arange(40.0), (3, 1))
    nights[1, 5:] = np.nan
    nights[2, :4] = np.nan
    assert coldest(nights, np.arange(40)).tolist()[0] == pytest.approx(4.5)
    assert np.isnan(coldest(nights, np.arange(40))[1])
    assert coldest(nights, np.arange(40))[2] == pytest.approx(8.0)


def test_minima_alone_make_a_season_with_maxima_from_the_normals() -> None:
    whole = record(15)
    minima = replace(whole, tmax_c=np.full(len(whole.tmax_c), np.nan))
    usual, made = with_record(whole), with_record(minima)
    assert made.source == "record"
    assert made.freeze(True).dates == usual.freeze(True).dates
    assert np.array_equal(made.tmin_c, usual.tmin_c)
    assert MaximaModelled("ours") in made.notes
    assert not any(isinstance(note, MaximaModelled) for note in usual.notes)
    # As wide, as lasting and as closely tied to the minima as the model has them.
    assert float(made.tmax_c.mean()) == pytest.approx(float(usual.tmax_c.mean()), abs=0.7)
    off, off_usual = (s.tmax_c - s.tmax_c.mean(axis=0) for s in (made, usual))
    assert off.std() == pytest.approx(off_usual.std(), rel=0.1)
    low = usual.tmin_c - usual.tmin_c.mean(axis=0)
    tied, tied_usual = (np.corrcoef(low.ravel(), o.ravel())[0, 1] for o in (off, off_usual))
    assert tied == pytest.approx(tied_usual, abs=0.07)
    lag, lag_usual = (np.corrcoef(o[:, 1:].ravel(), o[:, :-1].ravel())[0, 1]
                      for o in (off, off_usual))  # fmt: skip
    assert lag == pytest.approx(lag_usual, abs=0.07)


def test_some_maxima_set_the_range_of_the_others() -> None:
    whole = record(15)
    high = whole.tmax_c + 4.0
    high[365 * 4 :] = np.nan
    made = with_record(replace(whole, tmax_c=high))
    apart = (made.tmax_c - made.tmin_c).mean()
    assert apart == pytest.approx(float(np.nanmean(high - whole.tmin_c)), abs=0.5)


def test_minima_alone_of_this_year_are_held() -> None:
    whole = record(4, first="2024-01-01")
    seen = replace(whole, tmax_c=np.full(len(whole.tmax_c), np.nan))
    made = with_record(seen)
    now = seen.tmin_c[-DAYS:]
    assert np.allclose(made.tmin_c, now[None])
    assert (made.tmax_c >= made.tmin_c).all()
