"""What a garden's nights teach, on nights that were measured: those of the record that the examples
use (NOAA GHCN-Daily, Clemson, 1991 to 2020), written into a journal two years at a time and judged
by all thirty, of which the model's season at the place knows none."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from bedwright.climate import FREEZE_C, Floats, Record, Season, Weather, make_season
from bedwright.journal import NIGHT_SD_C, Entry, Minima
from bedwright.taught import expected_nights, garden_nights
from conftest import weather_at

PLACE = weather_at(34.68, -82.84, 220.0)
PAIRS = range(1992, 2019, 3)


def colder(low: Floats, by_c: float, hollow: bool) -> Floats:
    """Nights that are all colder by so much; in a hollow the coldest are, and the warmest by a
    fifth of it."""
    if not hollow:
        return low - by_c
    usual = np.nanmean(low), np.nanstd(low)
    return low - by_c * np.clip(-(low - usual[0]) / usual[1], 0.2, 1.0)


def journal(record: Record, years: range) -> list[Entry]:
    """Every night of some years, as a gardener with a thermometer would write it."""
    out = []
    for year in years:
        for n in range(365):
            day = date(year, 1, 1) + timedelta(days=n)
            at = int((np.datetime64(day) - record.first).astype(int))
            low = float(record.tmin_c[at])
            if not np.isnan(low):
                out.append(Entry(day, "weather", tmin_c=low))
    return out


def learned(entries: list[Entry], years: range) -> Minima:
    seasons = [make_season(PLACE, year, None, 0) for year in years]
    return garden_nights(entries, expected_nights(seasons, [entry.day for entry in entries]))


@pytest.fixture(scope="module")
def record(clemson_weather: Weather) -> Record:
    assert clemson_weather.record is not None
    return clemson_weather.record


def test_two_years_of_nights_are_off_by_no_more_than_they_say(
    record: Record, clemson: Season
) -> None:
    """The model's median of the last freeze is the record's to a day, so that the truth is 0: of
    nine pairs of years, what is learned of each lies as far from it as its standard error says."""
    model = make_season(PLACE, 2027, None, 0)
    medians = [season.freeze(True, FREEZE_C).day_at(0.5) for season in (model, clemson)]
    assert medians[0] == pytest.approx(medians[1], abs=1.5)
    found = [learned(journal(record, range(y, y + 2)), range(y, y + 2)) for y in PAIRS]
    apart = np.array([one.offset_c / one.sd_c for one in found])
    assert 0.4 < np.sqrt((apart**2).mean()) < 1.5
    assert all(one.sd_c < model.doubt_c for one in found)


@pytest.mark.parametrize(("hollow", "left"), [(False, 0.75), (True, 0.9)])
def test_a_colder_garden_is_found_out(record: Record, hollow: bool, left: float) -> None:
    """Nights 3 °C below the record's: two years of them move the dates of frost toward those of
    thirty such years, in a hollow by less of the way, and the doubt shrinks."""
    years = range(2000, 2002)
    garden = replace(record, tmin_c=colder(record.tmin_c, 3.0, hollow))
    found = learned(journal(garden, years), years)
    assert found.high_c < 0.0
    truth = make_season(Weather(PLACE.site, PLACE.normals, garden), 2027, None, 0)
    before = make_season(PLACE, 2027, None, 0)
    here = replace(PLACE, learned_nights_c=found.offset_c, learned_error_c=found.sd_c)
    after = make_season(here, 2027, None, 0)
    off = []
    for season in (before, after):
        days = [season.freeze(True).day_at(odds) for odds in (0.1, 0.5, 0.9)]
        true = [truth.freeze(True).day_at(odds) for odds in (0.1, 0.5, 0.9)]
        off.append(np.mean([abs(day - right) for day, right in zip(days, true, strict=True)]))
    assert off[0] > 15.0
    assert off[1] < left * off[0]
    assert after.doubt_c == found.sd_c < before.doubt_c
    assert after.doubt_days < before.doubt_days


def test_a_station_near_by_that_measured_the_same_nights_says_it_at_once(record: Record) -> None:
    """Against its nights a month of them gives the difference to a few tenths of a degree."""
    station = Weather(PLACE.site, PLACE.normals, record, years=(1992, 2012))
    season = make_season(station, 2015, None, 0)
    garden = replace(record, tmin_c=record.tmin_c - 1.4)
    entries = journal(garden, range(2015, 2016))[60:90]
    found = garden_nights(entries, expected_nights([season], [entry.day for entry in entries]))
    assert found.offset_c == pytest.approx(-1.4, abs=0.2)
    assert found.sd_c == pytest.approx(NIGHT_SD_C / np.sqrt(30), rel=0.1)


def test_without_a_night_nothing_is_learned() -> None:
    found = garden_nights([], expected_nights([make_season(PLACE, 2027, None, 0)], []))
    assert (found.offset_c, found.seen, found.facts) == (0.0, 0, ())
    assert garden_nights([Entry(date(2027, 3, 1), "frost")], None).seen == 0
    assert expected_nights([], [date(2027, 3, 1)]).nights == {}
