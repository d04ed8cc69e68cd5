from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from bedwright.brief import KnownFrost
from bedwright.climate import Record, Season, SeenUntil, Weather, make_season
from bedwright.climate.condition import hold_observed
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
