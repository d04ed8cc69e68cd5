from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from awkward import PLACES
from bedwright.brief import KnownFrost
from bedwright.climate import (
    ColdHollows,
    FreezeTrend,
    FromDates,
    FromJoined,
    FromNormals,
    FromRecord,
    GridRain,
    MonthsUnlike,
    NightsTrend,
    NoClimateError,
    NoLand,
    NoSuchTown,
    NoTrend,
    OtherHemisphere,
    RainFilled,
    RainInInches,
    RecentYearsUsed,
    Record,
    RecordUnused,
    RoughDates,
    RoughRain,
    Season,
    SeasonError,
    TooFewAnswers,
    TooFewYears,
    TooManyGaps,
    TownNotFoundError,
    UntriedHere,
    UntriedTropics,
    WarmthTrend,
    Weather,
    YearsLeftOut,
    find_town,
    first_steady,
    freeze_odds,
    kept_with_season,
    make_season,
    normals_at,
    soil_temperature,
    workable_day,
)
from bedwright.climate.frost import HALVES
from bedwright.inputs import parse_record
from bedwright.report import say
from conftest import weather_at


def known(spring: dict[str, str], autumn: dict[str, str]) -> KnownFrost:
    return KnownFrost.model_validate({"last_spring": spring, "first_autumn": autumn})


def test_the_calendar_of_a_leap_year_skips_29_february_only() -> None:
    season = make_season(weather_at(53.27, -9.05), 2028, None, 0)
    assert season.day(0) == date(2028, 1, 1)
    assert season.day(58) == date(2028, 2, 28)
    assert season.day(59) == date(2028, 3, 1)
    assert season.day(364) == date(2028, 12, 31)
    assert season.day(-1) == date(2027, 12, 31)
    for index in range(365):
        assert season.index(season.day(index)) == index
    south = make_season(weather_at(-43.53, 172.63), 2027, None, 0)
    assert south.day(0) == date(2027, 7, 1)
    assert south.day(364) == date(2028, 6, 30)
    assert [south.index(south.day(i)) for i in range(365)] == list(range(365))


def test_what_is_worked_out_from_a_season_is_kept_with_it_alone() -> None:
    season = make_season(weather_at(53.27, -9.05), 2027, None, 0)
    asked = []

    @kept_with_season
    def coldest(season: Season) -> float:
        asked.append(season)
        return float(season.tmin_c.min())

    @kept_with_season
    def hottest(season: Season) -> float:
        return float(season.tmax_c.max())

    colder = replace(season, tmin_c=season.tmin_c - 5.0)
    assert coldest(season) == coldest(season) == season.tmin_c.min()
    assert hottest(season) == season.tmax_c.max()
    assert coldest(colder) == colder.tmin_c.min()
    assert len(asked) == 2


def test_stated_dates_are_met_by_the_odds_and_by_the_weather() -> None:
    stated = known({"50%": "04-21", "10%": "05-14"}, {"10%": "10-12", "50%": "11-04"})
    season = make_season(weather_at(53.27, -9.05), 2027, stated, 0)
    assert season.source == "dates"
    spring, autumn = season.freeze(True), season.freeze(False)
    for risk, want in ((0.5, date(2027, 4, 21)), (0.1, date(2027, 5, 14))):
        assert abs(season.index(want) - spring.day_at(risk)) <= 1
    for risk, want in ((0.5, date(2027, 11, 4)), (0.1, date(2027, 10, 12))):
        assert abs(season.index(want) - autumn.day_at(risk)) <= 1
    # The seasons themselves freeze on those days, so bloom and frost agree.
    for side, odds in ((True, spring), (False, autumn)):
        weather = freeze_odds(season.tmin_c, 0.0, season.site.halves, side)
        assert abs(weather.day_at(0.5) - odds.day_at(0.5)) <= 3


def test_one_stated_date_is_enough() -> None:
    stated = known({"10%": "05-14"}, {"10%": "10-12"})
    season = make_season(weather_at(53.27, -9.05), 2027, stated, 0)
    assert season.day(season.freeze(True).day_at(0.1)).month == 5


def test_a_short_record_gives_way_to_the_next_source_and_says_so() -> None:
    base = weather_at(53.27, -9.05)
    low = np.full(365 * 4 + 1, 5.0)
    short = Record("short.csv", np.datetime64("2001-01-01"), low, low + 8, None, ())
    alone = make_season(Weather(base.site, base.normals, short), 2027, None, 0)
    assert alone.source == "joined"
    assert isinstance(alone.basis, FromJoined)
    few = TooFewYears("short.csv", 4, (2001, 2004), (None, None), 10)
    two = replace(short, tmin_c=low[:731], tmax_c=low[:731] + 8)
    none = make_season(Weather(base.site, base.normals, two), 2027, None, 0)
    fewest = TooFewYears("short.csv", 2, (2001, 2003), (None, None), 3)
    assert none.notes[-1] == RecordUnused(fewest, "normals")
    assert none.basis == FromNormals()
    stated = known({"10%": "05-14"}, {"10%": "10-12"})
    dated = make_season(Weather(base.site, base.normals, short), 2027, stated, 0)
    assert dated.source == "dates"
    assert dated.notes[-1] == RecordUnused(few, "dates")
    assert dated.basis == FromDates("")
    with pytest.raises(SeasonError) as caught:
        make_season(Weather(base.site, base.normals, short, (2001, 2004)), 2027, None, 0)
    assert caught.value.fact == replace(few, asked=(2001, 2004))
    with pytest.raises(SeasonError) as caught:
        make_season(Weather(base.site, base.normals, short, (1800, 1850)), 2027, None, 0)
    assert caught.value.fact == TooFewYears("short.csv", 0, (2001, 2004), (1800, 1850), 10)


def test_a_holed_record_gives_way_and_is_refused_where_its_years_are_asked_for() -> None:
    base = weather_at(53.27, -9.05)
    low = np.full(365 * 15 + 4, 5.0)
    for n in range(7):
        low[150 + n :: 365] = np.nan
    holed = Record("holed.csv", np.datetime64("2001-01-01"), low, low + 8, None, ())
    season = make_season(Weather(base.site, base.normals, holed), 2027, None, 0)
    assert isinstance(season.basis, FromJoined)
    assert season.basis.years == 15
    # The holes fall in June and move back by a day for each leap year passed: a warm place's
    # springs cannot hide a freeze in them, but no year is whole.
    gaps = TooManyGaps("holed.csv", 0, 5, 10)
    with pytest.raises(SeasonError) as caught:
        make_season(Weather(base.site, base.normals, holed, (2001, 2015)), 2027, None, 0)
    assert caught.value.fact == gaps


def test_stated_freezes_past_midsummer_stay_freezes() -> None:
    stated = known({"50%": "06-25", "10%": "07-20"}, {"10%": "08-05", "50%": "09-01"})
    season = make_season(weather_at(39.25, -106.3, 3000.0), 2027, stated, 0)
    spring, autumn = season.freeze(True), season.freeze(False)
    assert spring.share == autumn.share == 1.0
    assert season.index(date(2027, 7, 20)) - spring.day_at(0.1) <= 1
    assert autumn.day_at(0.1) - season.index(date(2027, 8, 5)) <= 1


@pytest.mark.parametrize(("latitude", "longitude"), [(37.77, -122.4), (33.45, -112.07)])
def test_other_thresholds_of_stated_dates_stay_in_their_half(
    latitude: float, longitude: float
) -> None:
    stated = known({"20%": "01-20", "10%": "02-10"}, {"10%": "12-01", "20%": "12-20"})
    season = make_season(weather_at(latitude, longitude), 2027, stated, 0)
    for celsius in (36 / 1.8 - 32 / 1.8, -2.2, -4.4):
        spring, autumn = season.freeze(True, celsius), season.freeze(False, celsius)
        own = freeze_odds(season.tmin_c, celsius, season.site.halves, True)
        assert all(0 <= day < season.split for day in spring.dates)
        assert all(season.split <= day < 365 for day in autumn.dates)
        assert abs(spring.share - own.share) < 0.12
    assert season.freeze(True, 2.2).share >= season.freeze(True).share


def rainy_record(rain: np.ndarray) -> Record:
    days = len(rain)
    low = 8 - 10 * np.cos(2 * np.pi * np.arange(days) / 365.25)
    return Record("r.csv", np.datetime64("1991-01-01"), low, low + 8, rain, ())


def test_missing_rain_has_its_months_mean_or_gives_way_to_the_grids() -> None:
    base = weather_at(53.27, -9.05)
    days = np.datetime64("1991-01-01") + np.arange(365 * 15 + 4)
    month = days.astype("datetime64[M]").astype(int) % 12
    rain = np.where(month < 3, 0.0, 6.0)
    rain[(month == 0) & (days >= np.datetime64("2004-01-01"))] = np.nan
    season = make_season(Weather(base.site, base.normals, rainy_record(rain)), 2027, None, 0)
    assert season.rain_mm[:, :31].max() == 0.0
    # The Januaries of 2004 and 2005.
    assert RainFilled(62) in season.notes
    rain[days >= np.datetime64("1993-01-01")] = np.nan
    season = make_season(Weather(base.site, base.normals, rainy_record(rain)), 2027, None, 0)
    assert np.isfinite(season.rain_mm).all()
    assert GridRain("too_little") in season.notes
    dry = Weather(base.site, base.normals, rainy_record(np.full(len(days), np.nan)))
    assert GridRain("too_little") in make_season(dry, 2027, None, 0).notes
    none = replace(dry.record, rain_mm=None)
    season = make_season(replace(dry, record=none), 2027, None, 0)
    assert GridRain("none") in season.notes


def test_the_window_of_years_is_the_gardeners(clemson_weather: Weather) -> None:
    whole = Weather(
        clemson_weather.site, clemson_weather.normals, clemson_weather.record, (1930, 2020)
    )
    season = make_season(whole, 2027, None, 0)
    assert season.size == 89
    assert season.basis == FromRecord("clemson.csv", 1930, 2020, 89)
    assert YearsLeftOut((1962, 2005), 5) in season.notes
    # The years are the gardener's choice, so that no trend is looked for.
    assert not any(isinstance(note, NoTrend | RecentYearsUsed) for note in season.notes)


def test_a_trend_that_is_there_is_found_with_its_size() -> None:
    """Minima 0.05 °C warmer each year are half a degree a decade; the freezes follow the slope of
    spring and autumn, some 6 days a degree here."""
    base = weather_at(44.88, -93.22, 265.0)
    days = np.datetime64("1951-01-01") + np.arange(365 * 60 + 15)
    year = days.astype("datetime64[Y]").astype(int) - (1951 - 1970)
    doy = (days - days.astype("datetime64[Y]")).astype(int)
    low = 5 - 15 * np.cos(2 * np.pi * (doy - 20) / 365.25) + 0.05 * year
    record = Record("warmer.csv", days[0], low, low + 9, None, ())
    season = make_season(Weather(base.site, base.normals, record), 2027, None, 0)
    (used,) = [note for note in season.notes if isinstance(note, RecentYearsUsed)]
    assert (used.first_year, used.last_year, used.years) == (1951, 2010, 30)
    last, first, warmth = used.trends
    assert isinstance(last, FreezeTrend)
    assert isinstance(first, FreezeTrend)
    assert isinstance(warmth, WarmthTrend)
    assert (last.freeze, first.freeze) == ("last", "first")
    assert warmth.c_a_decade == pytest.approx(0.5, abs=0.01)
    # The year's course crosses 0 °C at a pace of 15 x 2 pi / 365.25 x sin of its phase, 0.243 °C a
    # day: half a degree is 2.1 days.
    assert last.days_a_decade == pytest.approx(-2.1, abs=0.3)
    assert first.days_a_decade == pytest.approx(2.1, abs=0.3)
    assert max(last.p, first.p, warmth.p) < 0.001
    assert season.basis == FromRecord("warmer.csv", 1981, 2010, 30)
    level = replace(record, tmin_c=low - 0.05 * year, tmax_c=low - 0.05 * year + 9)
    steady = make_season(Weather(base.site, base.normals, level), 2027, None, 0)
    assert NoTrend(1951, 2010) in steady.notes


@pytest.mark.parametrize("known_until", [1951, 1970])
def test_the_trend_of_a_record_with_few_maxima_is_that_of_its_minima(known_until: int) -> None:
    """Freezes hardly come here, so that warmth alone can show it."""
    base = weather_at(44.88, -93.22, 265.0)
    days = np.datetime64("1951-01-01") + np.arange(365 * 60 + 15)
    year = days.astype("datetime64[Y]").astype(int) - (1951 - 1970)
    doy = (days - days.astype("datetime64[Y]")).astype(int)
    low = 20 - 15 * np.cos(2 * np.pi * (doy - 20) / 365.25) + 0.05 * year
    high = np.where(days < np.datetime64(f"{known_until}-01-01"), low + 9, np.nan)
    record = Record("nights.csv", days[0], low, high, None, ())
    season = make_season(Weather(base.site, base.normals, record), 2027, None, 0)
    (used,) = [note for note in season.notes if isinstance(note, RecentYearsUsed)]
    (nights,) = used.trends
    assert isinstance(nights, NightsTrend)
    assert nights.c_a_decade == pytest.approx(0.5, abs=0.01)
    assert nights.p < 0.001
    assert "the nights became 0.5 °C warmer each decade" in say(used, "metric")


def test_a_record_that_could_hide_its_freezes_is_refused() -> None:
    """Every April is missing but for one year's, and freezes come in April alone."""
    base = weather_at(44.88, -93.22, 265.0)
    low = np.full((15, 365), 5.0)
    low[0, 90:120] = -3.0
    low[1:, 90:120] = np.nan
    days = np.datetime64("2001-01-01") + np.arange(365 * 15 + 3)
    kept = [(str(day)[5:] != "02-29") for day in days]
    series = np.full(len(days), np.nan)
    series[kept] = low.ravel()
    record = Record("hidden.csv", days[0], series, series + 8, None, ())
    with pytest.raises(SeasonError) as caught:
        make_season(Weather(base.site, base.normals, record, (2001, 2015)), 2027, None, 0)
    assert caught.value.fact == TooFewAnswers("hidden.csv", 1, 15, 10)


def test_a_record_of_another_place_is_doubted_or_refused(clemson_weather: Weather) -> None:
    record = clemson_weather.record
    north = weather_at(49.9, -97.1)
    season = make_season(replace(north, record=record), 2027, None, 0)
    (unlike,) = [note for note in season.notes if isinstance(note, MonthsUnlike)]
    assert (unlike.record, unlike.place) == ("clemson.csv", "here")
    # January's mean in Winnipeg is some -16 °C, in Clemson some 5 °C (published normals, from
    # memory).
    assert unlike.differ_c == pytest.approx(21, abs=3)
    south = weather_at(-43.53, 172.63)
    with pytest.raises(SeasonError) as caught:
        make_season(replace(south, record=record), 2027, None, 0)
    assert caught.value.fact == OtherHemisphere("clemson.csv", "here")


def test_same_seed_same_season_other_seed_another() -> None:
    weather = weather_at(53.27, -9.05)
    one, two = (make_season(weather, 2027, None, 7) for _ in range(2))
    assert np.array_equal(one.tmin_c, two.tmin_c)
    assert not np.array_equal(one.tmin_c, make_season(weather, 2027, None, 8).tmin_c)


@pytest.mark.parametrize("name", PLACES)
def test_awkward_climates(name: str) -> None:
    season = make_season(weather_at(*PLACES[name]), 2027, None, 0)
    assert np.isfinite(season.tmin_c).all()
    assert (season.tmax_c > season.tmin_c).all()
    assert (season.rain_mm >= 0).all()
    dig = workable_day(season, soil_temperature(season.tmean_c))
    assert 0 <= dig <= 230
    if name.startswith("no frost"):
        assert season.freeze(True).day_at(0.1) is None
        assert season.freeze(False).day_at(0.1) is None
    if name.startswith("frost in every"):
        assert season.day(season.freeze(True).day_at(0.5)).month in (5, 6)


def test_the_models_own_doubt_widens_its_dates(galway: Season) -> None:
    assert galway.source == "normals"
    assert galway.doubt_days > 7
    assert np.std(galway.freeze(True).dates) > galway.doubt_days / 2
    assert galway.notes == (RoughDates(), RoughRain())


def test_the_tropics_and_the_hills_are_noted() -> None:
    assert UntriedTropics() in make_season(weather_at(4.61, -74.08), 2027, None, 0).notes
    assert ColdHollows() in make_season(weather_at(39.33, -120.18), 2027, None, 0).notes
    assert UntriedHere() in make_season(weather_at(29.65, 91.1), 2027, None, 0).notes
    plains = make_season(weather_at(49.9, -97.1), 2027, None, 0).notes
    assert plains == (RoughDates(), RoughRain())


def test_normals_follow_height_and_end_at_the_sea() -> None:
    low, high = normals_at(46.95, 7.45, 500.0), normals_at(46.95, 7.45, 1500.0)
    assert np.allclose(np.array(low.mean_c) - high.mean_c, 6.0)
    with pytest.raises(NoClimateError) as caught:
        normals_at(-40.0, -120.0)
    assert caught.value.fact == NoLand(-40.0, -120.0)
    # Across the date line and Greenwich the grid joins.
    assert normals_at(66.0, 179.99).mean_c[0] == pytest.approx(normals_at(66.0, -179.99).mean_c[0],
                                                               abs=0.5)  # fmt: skip
    assert normals_at(51.5, -0.01).mean_c[0] == pytest.approx(normals_at(51.5, 0.01).mean_c[0],
                                                              abs=0.2)  # fmt: skip


def test_towns_by_accents_other_names_and_ties() -> None:
    assert find_town("München")[0].name == "Munich"
    assert find_town("sao paulo")[0].country == "Brazil"
    assert find_town("Bath")[0].country == "United Kingdom"
    assert find_town("Portland, Maine")[0].region == "Maine"
    assert find_town("Portland, USA")[0].region == "Oregon"
    with pytest.raises(TownNotFoundError) as caught:
        find_town("Galway, France")
    assert caught.value.fact == NoSuchTown("Galway, France", ("Galway, Ireland",))
    with pytest.raises(TownNotFoundError) as caught:
        find_town("Galwy")
    assert any(name.startswith("Galw") for name in caught.value.fact.near)
    with pytest.raises(TownNotFoundError):
        find_town("")


def test_years_wholly_missing_are_no_frostless_years() -> None:
    rng = np.random.default_rng(7)
    low = 9 + rng.normal(0, 1, (34, 365))
    low[:20, :7] = np.where(rng.random((20, 7)) < 0.3, -1.0, low[:20, :7])
    low[20:] = np.nan
    assert freeze_odds(low, 0.0, HALVES[True], True).years == 20


def test_codes_for_missing_readings_are_no_weather() -> None:
    rows = [f"{np.datetime64('2001-01-01') + n},50,70,0.1" for n in range(400)]
    rows[170:176] = [row[:10] + ",-99,-99,-9999" for row in rows[170:176]]
    record = parse_record("date,tmin,tmax,rain\n" + "\n".join(rows), "r.csv", "F")
    assert np.isnan(record.tmin_c[170:176]).all()
    assert np.nanmin(record.tmin_c) == 10.0
    assert RainInInches() in record.notes


def test_a_milder_threshold_never_freezes_less() -> None:
    stated = known({"50%": "01-15", "10%": "02-20"}, {"10%": "12-10", "50%": "12-28"})
    season = make_season(weather_at(25.8, -80.2), 2027, stated, 0)
    for spring in (True, False):
        shares = [season.freeze(spring, celsius).share for celsius in (-2.2, 0.0, 0.5, 1.0, 2.2)]
        assert shares == sorted(shares)


def test_rainy_seasons_near_the_equator_are_no_winter() -> None:
    high = make_season(weather_at(7.05, 38.47, 1700.0), 2027, None, 0)
    soil = soil_temperature(high.tmean_c)
    assert np.median(first_steady(soil, 15.0, high.split)) < 60


def test_a_station_begun_this_spring_leaves_the_stated_dates_alone() -> None:
    base = weather_at(34.68, -82.84, 220.0)
    stated = known({"50%": "04-01", "10%": "04-15"}, {"10%": "10-20", "50%": "11-04"})
    low = np.full(40, 12.0)
    new = Record("new.csv", np.datetime64("2027-04-20"), low, low + 10, None, ())
    season = make_season(Weather(base.site, base.normals, new), 2027, stated, 0)
    assert season.index(date(2027, 4, 1)) - season.freeze(True).day_at(0.5) <= 1
    assert season.freeze(True).odds_at(season.index(date(2027, 4, 20))) == 0.0
    assert season.settled == -1
