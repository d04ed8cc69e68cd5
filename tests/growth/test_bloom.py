from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pytest

from bedwright.catalogue import Catalogue
from bedwright.climate import (
    DAYS,
    WEEKS,
    Season,
    day_length_h,
    day_of_year,
    soil_temperature,
)
from bedwright.growth import LEAD_DAYS, Way, bloom_of, blooms_of
from bedwright.growth.bloom import (
    FILL_DAYS,
    LONG_DAY_H,
    SET_OUT_COVER,
    SHORT_DAY_H,
    SPRING_ENDS_DAYS,
    errors_of,
    fortnight_mean,
    need_of,
    usual_mean_c,
    winter_kill_c,
    with_lead,
)
from bedwright.growth.bloom_kernel import LEAST_AGE
from bedwright.growth.rates import Rate, kind_rates, rate_of, shared, using
from bedwright.growth.warmth import (
    CHECK_DAYS,
    INDOORS_BELOW_C,
    daily_need,
    degree_days_from_emergence,
    degree_days_left,
    gain_at,
    pace_of,
    seed_of,
)


def steady_season(season: Season, celsius: float) -> Season:
    """The same site at one temperature all year."""
    flat = np.full((2, DAYS), celsius)
    return replace(season, tmin_c=flat - 0.5, tmax_c=flat + 0.5)


def fortnight(values: np.ndarray) -> np.ndarray:
    """Means of the fortnights before each day, from the lead on."""
    return fortnight_mean(with_lead(values)).astype(np.float32)


class Weather(NamedTuple):
    """Daily figures of a season from the lead on, (seasons, days), as numbers of Python."""

    hours: list[float]
    usual_mean_c: np.ndarray
    mean: list[list[float]]
    night: list[list[float]]
    recent: list[list[float]]
    hottest: list[list[float]]
    soil: list[list[float]]


def weather_of(season: Season) -> Weather:
    year = day_length_h(season.site.latitude, day_of_year(season.site))
    mean = with_lead(season.tmean_c)
    return Weather(
        np.concatenate([year[-LEAD_DAYS:], year]).tolist(),
        usual_mean_c(season),
        mean.tolist(),
        with_lead(season.tmin_c).tolist(),
        # Means of whole degrees may stand on a limit, so both sides take them in single precision.
        fortnight(season.tmean_c).tolist(),
        fortnight(season.tmax_c).tolist(),
        soil_temperature(mean).tolist(),
    )


def single(celsius: float) -> float:
    """A limit in single precision, as the weather that is held against it."""
    return float(np.float32(celsius))


def by_the_rules(
    way: Way, season: Season, weather: Weather
) -> tuple[list[int], list[int], np.ndarray, np.ndarray]:
    """The rules of the modules' docstrings, one day at a time."""
    kind, growth, liking = way.kind, way.kind.growth, way.kind.liking
    hours, usual, means, nights, recents, hottests, soils = weather
    optimum = rate_of(kind.key).optimum_c
    pace = pace_of(kind, np.array(hours)).tolist()
    year = np.array(hours[LEAD_DAYS:])
    start = 0.0 if way.in_place else SET_OUT_COVER
    base, heat_max = single(growth.base_c), single(liking.heat_max_c)
    kill_spring, kill_winter = single(kind.kill_c + 1e-3), single(winter_kill_c(kind) + 1e-3)
    seed, errors = seed_of(kind), errors_of([way], season.size)[0].tolist()
    day_need, spring = daily_need(kind), max(way.out, season.split - SPRING_ENDS_DAYS)
    firsts, lasts = [], []
    blooming, cover = np.zeros(DAYS), np.zeros(DAYS)
    for s in range(season.size):
        mean, night, recent = means[s], nights[s], recents[s]
        hottest, soil = hottests[s], soils[s]
        need = float(need_of(way, year, usual) * errors[s])
        full = need + FILL_DAYS * day_need * errors[s]
        left = seed.need if way.in_place else 0.0
        warmth, longest, heat, ready = 0.0, 0.0, 0, False
        first, last, spent = None, DAYS, 0.0
        for t in range(-LEAD_DAYS, DAYS):
            d = t + LEAD_DAYS
            if t >= way.sown:
                longest = max(longest, hours[d])
            if t < way.out:
                continue
            if left > 0:
                left -= max(soil[d] - seed.base_c, 0.0)
                continue
            kill = kill_spring if t >= spring else kill_winter
            if (t >= spring or way.out < 0) and night[d] <= kill:
                last = t
                break
            gain = max(min(mean[d], optimum) - growth.base_c, 0.0) * pace[d]
            gain *= t >= 0 or not kind.needs_winter
            warmth += gain
            if t >= 0:
                cover[t] += min(start + (1 - start) * warmth / full, 1.0)
            allowed = {
                "short_obligate": hours[d] <= SHORT_DAY_H,
                "long_obligate": longest >= LONG_DAY_H,
            }.get(growth.daylength, True)
            ready = ready or (warmth >= need and allowed)
            cold = recent[d] < base
            hot = hottest[d] > heat_max
            if first is None and ready and not cold and not hot:
                first = t
            could = ready and not cold and (first is not None or growth.bloom_end != "frost")
            if not spent and not could:
                continue
            spent += min(max(gain / day_need, LEAST_AGE), 1.0)
            if spent > round(growth.bloom_weeks * 7) or (cold and t > season.split):
                last = t
                break
            heat = heat + 1 if hot else 0
            if growth.bloom_end == "heat" and heat == 7:
                last = t
                break
            if t >= 0 and not cold and not hot:
                blooming[t] += 1
        bloomed = first is not None and first < last
        firsts.append(first if bloomed else DAYS)
        lasts.append(last if bloomed else DAYS)
    return firsts, lasts, blooming / season.size, cover / season.size


def weekly(days: np.ndarray) -> np.ndarray:
    return days[: WEEKS * 7].reshape(WEEKS, 7).mean(axis=1)


@pytest.mark.parametrize("place", ["galway", "clemson"])
def test_the_compiled_loop_follows_the_rules(
    place: str, request: pytest.FixtureRequest, catalogue: Catalogue
) -> None:
    season: Season = request.getfixturevalue(place)
    few = replace(
        season,
        tmin_c=season.tmin_c[:6],
        tmax_c=season.tmax_c[:6],
        rain_mm=season.rain_mm[:6],
    )
    # Single precision may put a sum on the other side of a limit on a rare day.
    few = replace(few, tmin_c=few.tmin_c.astype(np.float32), tmax_c=few.tmax_c.astype(np.float32))
    ways = [Way(kind, 60, 110, in_place) for kind in catalogue for in_place in (True, False)]
    ways += [Way(kind, -100, -60, kind.growth.base_c > 3) for kind in catalogue]
    ways += [Way(kind, 40, 120, in_place=False, in_bud=True) for kind in catalogue]
    wrong, weather = 0, weather_of(few)
    for way, bloom in zip(ways, blooms_of(ways, few), strict=True):
        first, last, blooming, cover = by_the_rules(way, few, weather)
        same = bloom.first.tolist() == first and bloom.last.tolist() == last
        wrong += not same
        if same:
            assert bloom.weekly == pytest.approx(weekly(blooming), abs=0.03), way.kind.key
            assert bloom.cover == pytest.approx(weekly(cover), abs=0.01), way.kind.key
    assert wrong <= 2


def without_error(catalogue: Catalogue) -> dict[str, Rate]:
    """The fitted rates, with days that are known."""
    return {key: replace(rate, error=0.0) for key, rate in kind_rates().items()}


def test_at_the_reference_temperature_bloom_comes_after_the_days_to_bloom(
    catalogue: Catalogue, galway: Season
) -> None:
    """The soil takes the first days of the year to come to the air's warmth, so by day 100 seed
    comes up as fast as growth goes on."""
    season = steady_season(galway, shared().reference_c)
    hours = day_length_h(galway.site.latitude, day_of_year(galway.site))
    for kind in catalogue:
        if kind.growth.daylength.endswith("obligate") or kind.needs_winter:
            continue
        bloom = bloom_of(Way(kind, 140, 140, in_place=True), season)
        days = kind.growth.days_to_bloom * rate_of(kind.key).days
        # Summer days of Galway all have LONGEST_H and more.
        assert hours[140:220].min() > 14
        got = bloom.first[0] - 140 + 1
        underground = seed_of(kind).need / (shared().reference_c - seed_of(kind).base_c)
        if underground <= days / 2 and days < 80:
            assert got == pytest.approx(days, abs=2), kind.key


def test_raising_indoors_gives_what_its_days_give(catalogue: Catalogue, galway: Season) -> None:
    hours = day_length_h(galway.site.latitude, day_of_year(galway.site))
    cold, mild = np.zeros(DAYS), np.full(DAYS, 20.0)
    for key in ("french_marigold", "petunia", "edging_lobelia"):
        kind = catalogue.kinds[key]
        whole = degree_days_from_emergence(kind)
        check = CHECK_DAYS * gain_at(kind, shared().reference_c)
        at_once = degree_days_left(kind, 100, 100, hours, cold)
        assert at_once == pytest.approx(whole + check, abs=0.1)
        later = degree_days_left(kind, 60, 120, hours, cold)
        warmer = degree_days_left(kind, 60, 120, hours, cold, shared().indoor_c + 3.0)
        outdoors = degree_days_left(kind, 60, 120, hours, mild)
        room = degree_days_left(kind, 60, 120, hours, cold, 20.0 - INDOORS_BELOW_C)
        assert outdoors == pytest.approx(room)
        assert outdoors < warmer < later < at_once


def test_seasons_err_as_the_fit_says_and_kinds_apart(catalogue: Catalogue) -> None:
    kinds = [catalogue.kinds[key] for key in ("petunia", "french_marigold")]
    ways = [Way(kind, 0, 60, in_place) for kind in kinds for in_place in (True, False)]
    errors = np.log(errors_of(ways, 1000))
    for w, way in enumerate(ways):
        assert errors[w].std() == pytest.approx(rate_of(way.kind.key).error, rel=0.01)
        assert errors[w].mean() == pytest.approx(0.0, abs=1e-3)
    assert np.corrcoef(errors[0], errors[1])[0, 1] == pytest.approx(1.0)
    assert abs(np.corrcoef(errors[0], errors[2])[0, 1]) < 0.15


def test_figures_can_be_tried_and_are_put_back(catalogue: Catalogue) -> None:
    before = shared()
    tried = replace(before, reference_c=20.0)
    with using(tried, {"*": Rate(1.0, 25.0, 0.0)}):
        assert shared() == tried
        assert rate_of("petunia") == rate_of("no such kind")
    assert shared() == before
    assert set(kind_rates()) >= {kind.key for kind in catalogue}


def test_a_hardy_rosette_lives_through_nights_that_would_kill_the_plant(
    catalogue: Catalogue, galway: Season
) -> None:
    kind = catalogue.kinds["cornflower"]
    season = steady_season(galway, 8.0)
    way = Way(kind, -90, -90, in_place=True)
    for night, lives in ((winter_kill_c(kind) + 1, True), (winter_kill_c(kind) - 1, False)):
        cold = season.tmin_c.copy()
        cold[:, 20] = night
        assert bool(bloom_of(way, replace(season, tmin_c=cold)).share) is lives


def test_plants_bought_in_bud_flower_at_once(catalogue: Catalogue, galway: Season) -> None:
    way = Way(catalogue.kinds["petunia"], 60, 150, in_place=False, in_bud=True)
    assert bloom_of(way, steady_season(galway, 15.0)).first[0] == 150


def test_biennials_flower_only_after_a_winter(catalogue: Catalogue, galway: Season) -> None:
    for key in ("foxglove", "canterbury_bells", "honesty"):
        kind = catalogue.kinds[key]
        spring = bloom_of(Way(kind, 60, 120, in_place=False), galway)
        autumn = bloom_of(Way(kind, -190, -85, in_place=False), galway)
        assert autumn.typical is not None
        assert 80 < autumn.typical[0] < 190, key
        assert autumn.share > 0.9
        assert spring.share == 0


def test_below_the_base_temperature_nothing_blooms(catalogue: Catalogue, galway: Season) -> None:
    kind = catalogue.kinds["garden_cosmos"]
    season = steady_season(galway, kind.growth.base_c - 0.1)
    bloom = bloom_of(Way(kind, 100, 100, in_place=True), season)
    assert bloom.typical is None
    assert bloom.weeks == 0


def test_frost_ends_a_tender_kind_and_spares_a_hardy_one(
    catalogue: Catalogue, galway: Season
) -> None:
    season = steady_season(galway, 20.0)
    cold = season.tmin_c.copy()
    cold[:, 220] = -1.5
    season = replace(season, tmin_c=cold)
    tender = bloom_of(Way(catalogue.kinds["french_marigold"], 60, 100, in_place=False), season)
    assert tender.last[0] == 220
    hardy = bloom_of(Way(catalogue.kinds["sweet_alyssum"], 60, 100, in_place=False), season)
    assert hardy.last[0] != 220


def test_heat_stops_the_flowers_of_a_cool_season_kind(catalogue: Catalogue, galway: Season) -> None:
    kind = catalogue.kinds["pansy"]
    way = Way(kind, 30, 90, in_place=False)
    mild = bloom_of(way, steady_season(galway, kind.liking.heat_max_c - 2))
    hot = bloom_of(way, steady_season(galway, kind.liking.heat_max_c + 2))
    assert mild.weeks > 5
    assert hot.weeks == 0
    assert hot.share == 0
    assert hot.typical is None


def test_a_kind_that_comes_ready_in_the_heat_does_not_wait_for_autumn(
    catalogue: Catalogue, galway: Season
) -> None:
    """Cool-season flowers disappear in the heat (S. A. Rose, Brevard County extension, 1988)."""
    mild, hot = steady_season(galway, 20.0), steady_season(galway, 34.0)
    summer = np.s_[:, 120:270]
    tmin, tmax = mild.tmin_c.copy(), mild.tmax_c.copy()
    tmin[summer], tmax[summer] = hot.tmin_c[summer], hot.tmax_c[summer]
    season = replace(mild, tmin_c=tmin, tmax_c=tmax)
    for key, waits in (("godetia", False), ("honeywort", False), ("bedding_dahlia", True)):
        bloom = bloom_of(Way(catalogue.kinds[key], 85, 85, in_place=True), season)
        assert bool(bloom.weekly[40:].max() > 0.5) is waits, key


def test_long_day_kinds_sown_in_late_summer_wait_for_days_they_have_lived(
    catalogue: Catalogue, galway: Season
) -> None:
    hours = day_length_h(galway.site.latitude, day_of_year(galway.site))
    late = int(np.flatnonzero(hours >= LONG_DAY_H)[-1]) + 2
    for kind in catalogue:
        if kind.growth.daylength == "long_obligate":
            bloom = bloom_of(Way(kind, late, late, in_place=True), steady_season(galway, 22.0))
            assert bloom.share == 0, kind.key


def test_obligate_kinds_wait_for_their_day_length(galway: Season, catalogue: Catalogue) -> None:
    hours = day_length_h(galway.site.latitude, day_of_year(galway.site))
    season = steady_season(galway, 20.0)
    for kind in catalogue:
        if kind.growth.daylength == "long_obligate":
            first = bloom_of(Way(kind, 0, 0, in_place=True), season).first[0]
            assert first == DAYS or hours[: first + 1].max() >= LONG_DAY_H - 0.01, kind.key


def test_cover_grows_to_the_whole_room_and_goes_with_the_frost(
    catalogue: Catalogue, galway: Season
) -> None:
    season = steady_season(galway, 20.0)
    cold = season.tmin_c.copy()
    cold[:, 210:] = -3.0
    way = Way(catalogue.kinds["french_marigold"], 98, 119, in_place=False)
    cover = bloom_of(way, replace(season, tmin_c=cold)).cover
    assert cover[:17].max() == 0
    assert cover[17] == pytest.approx(SET_OUT_COVER, abs=0.15)
    assert (np.diff(cover[17:30]) >= -1e-6).all()
    assert cover[29] == pytest.approx(1.0)
    assert cover[30:].max() == 0


def test_no_way_gives_no_bloom(galway: Season) -> None:
    assert blooms_of([], galway) == []


def test_compiled_and_plain_flowering_agree(
    catalogue: Catalogue, galway: Season, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The kernel as numba compiles it, as Python runs it on some of the ways, and the loop over
    days that takes all seasons at once, on half of them, in a few years of every kind."""
    from bedwright.growth import bloom_days, bloom_kernel

    few = replace(galway, tmin_c=galway.tmin_c[:3], tmax_c=galway.tmax_c[:3] + np.float32(6.0))
    ways = [Way(kind, 60, 100, in_place=n % 4 < 2) for n, kind in enumerate(catalogue)]
    ways += [Way(kind, -90, -70, in_place=n % 4 < 2) for n, kind in enumerate(catalogue)]
    ways += [Way(kind, 60, 130, in_place=False, in_bud=True) for kind in catalogue]
    found = blooms_of(ways, few)
    loops = [name for name, loop in vars(bloom_kernel).items() if hasattr(loop, "py_func")]
    as_python = {name: getattr(bloom_kernel, name).py_func for name in loops}
    for loop, every in (({"flower": bloom_days.flower_by_day}, 2), (as_python, 50)):
        for name, function in loop.items():
            monkeypatch.setattr(bloom_kernel, name, function)
        for ours, plain in zip(found[::every], blooms_of(ways[::every], few), strict=True):
            assert ours.first.tolist() == plain.first.tolist()
            assert ours.last.tolist() == plain.last.tolist()
            np.testing.assert_allclose(ours.weekly, plain.weekly, atol=1e-6)
            np.testing.assert_allclose(ours.cover, plain.cover, atol=1e-4)
