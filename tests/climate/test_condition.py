from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from bedwright.brief import KnownFrost
from bedwright.climate import Record, Season, SeenUntil, Weather, make_season
from bedwright.climate.condition import HARDLY, hold_observed
from bedwright.report import certainty
from conftest import weather_at


def seen(first: str, low: list[float] | np.ndarray, spread: float = 8.0) -> Record:
    """A record of this year's days so far."""
    values = np.array(low, float)
    return Record("this-year.csv", np.datetime64(first), values, values + spread, None, ())


@pytest.fixture(scope="module")
def season() -> Season:
    return make_season(weather_at(44.88, -93.22, 265.0), 2027, None, 0)


def test_days_seen_are_the_same_in_every_season(season: Season) -> None:
    low = np.linspace(-20, 8, 120)
    held = hold_observed(season, seen("2027-01-01", low))
    assert np.allclose(held.tmin_c[:, :120], low, atol=1e-3)
    assert np.allclose(held.tmax_c[:, :120], low + 8, atol=1e-3)
    assert held.notes[-1] == SeenUntil(date(2027, 4, 30))


def test_their_effect_fades_within_weeks(season: Season) -> None:
    cold = season.tmin_c[:, :100].mean(axis=0) - 12
    held = hold_observed(season, seen("2027-01-01", cold))
    off = (held.tmin_c - season.tmin_c).mean(axis=0)
    assert off[99] == pytest.approx(-12, abs=0.1)
    assert (np.diff(off[99:140]) >= -1e-3).all()
    assert off[101] < -1
    assert abs(off[140:]).max() < 0.1
    spread = held.tmin_c.std(axis=0)
    assert spread[99] < 1e-3
    assert spread[101] < spread[110] < 1.05 * season.tmin_c.std(axis=0)[110]


def test_a_frost_after_mild_days_is_still_to_come_with_its_own_odds(season: Season) -> None:
    april = date(2027, 5, 1)
    last = season.index(april)
    mild = np.full(last + 1, 9.0)
    mild[40] = -5.0
    held = hold_observed(season, seen("2027-01-01", mild))
    spring = held.freeze(True)
    assert spring.share == 1.0
    # Either the one frost seen is the last, or one comes after the days seen.
    assert all(day == 40 or day > last for day in spring.dates)
    assert spring.odds_at(last + 1) < season.freeze(True).odds_at(last + 1)


def test_once_autumn_is_seen_its_first_freeze_is_certain(season: Season) -> None:
    low = season.tmin_c.mean(axis=0).astype(float)
    low[210:] = 5.0
    low[260] = -1.0
    held = hold_observed(season, seen("2027-01-01", low[:300]))
    assert set(held.freeze(False).dates) == {260}


def test_gaps_in_the_days_seen_are_bridged(season: Season) -> None:
    low = season.tmin_c.mean(axis=0).astype(float)[:120] - 6
    low[50:52] = np.nan
    low[60:100] = np.nan
    held = hold_observed(season, seen("2027-01-01", low))
    off = (held.tmin_c - season.tmin_c).mean(axis=0)
    # A short gap is as cold as its sides; in the middle of a long one the cold is forgotten.
    assert (off[50:52] < -4.5).all()
    assert abs(off[80]) < 0.6
    assert off[60] == pytest.approx(off[99], abs=0.05)
    assert not np.isnan(held.tmin_c).any()


def test_stated_dates_that_have_passed_are_settled() -> None:
    base = weather_at(53.27, -9.05)
    stated = KnownFrost.model_validate(
        {
            "last_spring": {"50%": "04-21", "10%": "05-14"},
            "first_autumn": {"10%": "10-12", "50%": "11-04"},
        }
    )
    low = np.full(131, 6.0)
    low[60] = -2.0
    weather = Weather(base.site, base.normals, seen("2027-01-01", low))
    held = make_season(weather, 2027, stated, 0)
    assert held.source == "dates"
    spring = held.freeze(True)
    assert all(day == 60 or day > 130 for day in spring.dates)
    # Nothing froze by 11 May: of one season in ten or so the last freeze is still to come.
    assert 0.05 < spring.odds_at(131) < 0.2
    late = seen("2027-01-01", np.concatenate([low, np.full(184, 6.0)]))
    after = make_season(replace(weather, record=late), 2027, stated, 0).freeze(False)
    assert min(after.dates) > 314


def test_a_record_of_other_years_fixes_nothing(season: Season) -> None:
    assert hold_observed(season, seen("2019-01-01", np.zeros(300))) is season


def test_the_south_and_leap_years_keep_their_days() -> None:
    south = make_season(weather_at(-43.53, 172.63), 2027, None, 0)
    low = np.full(300, 7.0)
    low[243] = 3.0  # 29 February 2028
    low[244] = 4.0
    held = hold_observed(south, seen("2027-07-01", low))
    assert held.tmin_c[0, held.index(date(2028, 2, 28))] == pytest.approx(7.0)
    assert held.tmin_c[0, held.index(date(2028, 3, 1))] == pytest.approx(4.0)


def usual(season: Season, last: int) -> Record:
    """This year's days up to an index, each as cold as the mean of the seasons."""
    return seen(season.start.isoformat(), season.tmin_c.mean(axis=0)[: last + 1])


def first_day_past(season: Season) -> int:
    days = range(season.index(date(2027, 4, 1)), season.split)
    return next(day for day in days if hold_observed(season, usual(season, day)).spring_past)


def test_in_april_spring_is_not_past_and_its_doubt_stays(season: Season) -> None:
    held = hold_observed(season, usual(season, season.index(date(2027, 4, 15))))
    assert not held.spring_past
    assert held.doubt_days == season.doubt_days > 0
    assert "is past" not in certainty(held, "metric")


def test_once_hardly_a_freeze_can_come_spring_is_past_and_free_of_doubt(season: Season) -> None:
    past = first_day_past(season)
    late = season.freeze(True).day_at(0.01)
    assert late is not None
    assert late < past < season.index(date(2027, 7, 1))
    held = hold_observed(season, usual(season, past))
    assert held.doubt_days == 0
    assert certainty(held, "metric").startswith(
        "This year's spring is past, and its last freeze is the one seen; the autumn dates are from"
        " normals alone"
    )
    # Nights that much colder than modelled would bring a freeze in fewer than one season of a
    # hundred, and in more than that had a day less been seen.
    before = hold_observed(season, usual(season, past - 1))
    for one, last in ((held, past), (before, past - 1)):
        nights = one.tmin_c[:, last + 1 : one.split]
        odds = np.mean([row.min() <= season.doubt_c for row in nights])
        assert (odds < HARDLY) == one.spring_past
    assert before.doubt_days == season.doubt_days


def test_the_less_sure_the_nights_the_later_spring_is_past(season: Season) -> None:
    days = [first_day_past(replace(season, doubt_c=doubt)) for doubt in (0.0, 1.0, 3.0, 5.0)]
    assert days[0] == days[1]  # some doubt is taken for granted
    assert days[1] + 3 < days[2] < days[3] - 3


def test_a_cold_spell_at_the_end_of_the_days_seen_keeps_spring_open(season: Season) -> None:
    last = first_day_past(season) + 1
    low = season.tmin_c.mean(axis=0).astype(float)[: last + 1]
    low[-1] = 1.0
    cold = hold_observed(season, seen("2027-01-01", low))
    assert hold_observed(season, usual(season, last)).spring_past
    assert not cold.spring_past


def test_days_that_were_not_seen_leave_spring_open(season: Season) -> None:
    low = season.tmin_c.mean(axis=0).astype(float)[:190]
    low[60:110] = np.nan
    held = hold_observed(season, seen("2027-01-01", low))
    assert not held.spring_past
    assert held.doubt_days == season.doubt_days


def test_a_spring_without_a_freeze_is_told_so() -> None:
    south = make_season(weather_at(-33.87, 151.21, 39.0), 2027, None, 0)
    held = hold_observed(south, usual(south, south.index(date(2027, 11, 1))))
    assert held.spring_past
    assert "no freeze was seen in it" in certainty(held, "metric")


def test_stated_dates_still_to_come_keep_spring_open() -> None:
    stated = KnownFrost.model_validate(
        {
            "last_spring": {"50%": "05-20", "10%": "06-07"},
            "first_autumn": {"10%": "10-12", "50%": "11-04"},
        }
    )
    season = make_season(weather_at(53.27, -9.05), 2027, stated, 0)
    for day, past in ((date(2027, 6, 7), False), (date(2027, 7, 10), True)):
        low = np.full((day - date(2027, 1, 1)).days + 1, 9.0)
        assert hold_observed(season, seen("2027-01-01", low)).spring_past is past
