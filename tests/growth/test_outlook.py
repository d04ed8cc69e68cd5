from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from awkward import PLACES
from bedwright.brief import KnownFrost
from bedwright.climate import DAYS, Season, make_season
from bedwright.growth import RISKS, outlook_of
from conftest import weather_at


@pytest.mark.parametrize("name", PLACES)
def test_every_climate_has_an_outlook_that_hangs_together(name: str) -> None:
    season = make_season(weather_at(*PLACES[name]), 2027, None, 0)
    outlook = outlook_of(season)
    for row in outlook.freezes:
        for days, sign in ((row.spring, 1), (row.autumn, -1)):
            # Where half the years have no freeze there is no day at even odds, but one at less.
            known = [day for day in days if day is not None]
            assert days[len(days) - len(known) :] == tuple(known)
            assert (sign * np.diff(known) >= 0).all()
    # A day that is never safe counts as the last.
    safe = {
        row.hardiness: [season.split if day is None else day for day in row.days]
        for row in outlook.safe
    }
    for days in safe.values():
        assert days == sorted(days)
    for n in range(len(RISKS)):
        assert safe["hardy"][n] <= safe["half_hardy"][n] <= safe["tender"][n]
    assert list(outlook.lengths) == sorted(outlook.lengths, reverse=True)
    assert next(m.number for m in outlook.months) == season.start.month
    assert season.start.month == season.site.start_month
    for month in outlook.months:
        usual, dry, wet = month.rain_mm
        assert 0 <= dry <= usual <= wet
        assert month.tmin_c < month.tmax_c
        assert 0 <= month.day_h <= 24


def test_warmer_thresholds_freeze_later_in_spring(clemson: Season) -> None:
    rows = outlook_of(clemson).freezes
    for warm, cold in itertools.pairwise(rows):
        assert warm.threshold_c > cold.threshold_c
        assert all(a >= b for a, b in zip(warm.spring, cold.spring, strict=True))
        assert all(a <= b for a, b in zip(warm.autumn, cold.autumn, strict=True))


def test_a_record_tells_how_few_its_years_are(clemson: Season, galway: Season) -> None:
    spring, autumn = outlook_of(clemson).sampling
    assert spring is not None
    assert autumn is not None
    middle = clemson.freeze(True).day_at(0.5)
    assert spring[0] <= middle <= spring[1]
    assert 3 < spring[1] - spring[0] < 20
    assert outlook_of(galway).sampling == (None, None)


def test_the_years_heat_is_the_months(clemson: Season) -> None:
    outlook = outlook_of(clemson)
    whole = float(np.median(np.maximum(clemson.tmean_c - 10, 0).sum(axis=1)))
    assert sum(m.heat for m in outlook.months) == pytest.approx(whole, rel=0.05)


def test_stated_dates_give_the_length_between_them() -> None:
    stated = KnownFrost.model_validate(
        {
            "last_spring": {"50%": "04-21", "10%": "05-14"},
            "first_autumn": {"10%": "10-12", "50%": "11-04"},
        }
    )
    season = make_season(weather_at(53.27, -9.05), 2027, stated, 0)
    # 21 April to 4 November, both exclusive, is 196 days.
    assert outlook_of(season).lengths[0] == pytest.approx(196, abs=4)


def test_freezes_in_a_winter_in_the_middle_shorten_the_year() -> None:
    """Said never to freeze, in a garden whose nights are colder than those of the place."""
    weather = replace(weather_at(*PLACES["winter in the middle"]), nights_c=-8.0)
    season = make_season(weather, 2027, KnownFrost(never=True), 0)
    assert season.stated is not None
    assert 0.2 < season.freeze(True).share < 1.0
    last, first = season.stated
    longest = int((last - first)[first >= 0].max()) + 1
    lengths = outlook_of(season).lengths
    assert all(DAYS - longest <= length <= DAYS for length in lengths)
    assert lengths[-1] < DAYS


def test_where_no_day_is_safe_none_is_given() -> None:
    high = make_season(weather_at(33.0, 92.0), 2027, None, 0)
    tender = next(row for row in outlook_of(high).safe if row.hardiness == "tender")
    assert tender.days == (None,) * len(RISKS)
    warm = make_season(weather_at(1.3, 103.85), 2027, None, 0)
    anywhere = next(row for row in outlook_of(warm).safe if row.hardiness == "tender")
    assert anywhere.days == (0,) * len(RISKS)
    assert set(anywhere.decided_by) == {"nothing"}


def test_no_day_is_safe_for_tender_plants_where_the_soil_stays_cold() -> None:
    """Reykjavik."""
    outlook = outlook_of(make_season(weather_at(64.15, -21.9), 2027, None, 0))
    (tender,) = (row for row in outlook.safe if row.hardiness == "tender")
    assert tender.days == (None,) * len(RISKS)
    assert set(tender.decided_by) <= {"midsummer", "cold_soil"}
