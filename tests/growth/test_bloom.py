from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bedwright.catalogue import Catalogue
from bedwright.climate import DAYS, WEEKS, Season, day_length_h, day_of_year
from bedwright.growth import Way, bloom_of, blooms_of
from bedwright.growth.bloom import (
    CEILING_C,
    FILL_DAYS,
    LONG_DAY_H,
    REFERENCE_C,
    SET_OUT_COVER,
    SHORT_DAY_H,
    SPRING_ENDS_DAYS,
    degree_days_to_bloom,
    fortnight_mean,
    pace_of,
    with_lead,
)


def steady_season(season: Season, celsius: float) -> Season:
    """The same site at one temperature all year."""
    flat = np.full((2, DAYS), celsius)
    return replace(season, tmin_c=flat - 0.5, tmax_c=flat + 0.5)


def fortnight(values: np.ndarray) -> np.ndarray:
    """Means of the fortnights before the days of the growing year, over its beginning, too."""
    return fortnight_mean(with_lead(values))[:, -DAYS:].astype(np.float32)


def by_the_rules(way: Way, season: Season) -> tuple[list[int], list[int], np.ndarray, np.ndarray]:
    """The rules of the module's docstring, one day at a time."""
    growth, liking = way.kind.growth, way.kind.liking
    hours = day_length_h(season.site.latitude, day_of_year(season.site))
    need = degree_days_to_bloom(way, hours)
    pace = pace_of(way.kind, hours)
    full = need + FILL_DAYS * (REFERENCE_C - growth.base_c)
    start = 0.0 if way.in_place else SET_OUT_COVER
    # Means of whole degrees may stand on a limit, so both sides take them in single precision.
    mean, recent = season.tmean_c, fortnight(season.tmean_c)
    hottest = fortnight(season.tmax_c)
    firsts, lasts = [], []
    blooming, cover = np.zeros(DAYS), np.zeros(DAYS)
    for s in range(season.size):
        warmth, longest, heat, ready = 0.0, 0.0, 0, False
        first, clock, last = None, None, DAYS
        for t in range(DAYS):
            if t >= way.sown:
                longest = max(longest, hours[t])
            if t < max(way.out, 0):
                continue
            warmth += max(min(float(mean[s, t]), CEILING_C) - growth.base_c, 0.0) * pace[t]
            after = max(way.out, season.split - SPRING_ENDS_DAYS, 0)
            if t >= after and season.tmin_c[s, t] <= way.kind.kill_c + 1e-3:
                last = t
                break
            cover[t] += min(start + (1 - start) * warmth / full, 1.0)
            allowed = {
                "short_obligate": hours[t] <= SHORT_DAY_H,
                "long_obligate": longest >= LONG_DAY_H,
            }.get(growth.daylength, True)
            ready = ready or (warmth >= need and allowed)
            cold = recent[s, t] < growth.base_c
            hot = hottest[s, t] > liking.heat_max_c
            if first is None and ready and not cold and not hot:
                first = t
            could = ready and not cold and (first is not None or growth.bloom_end != "frost")
            if clock is None and could:
                clock = t
            if clock is None:
                continue
            over = t >= clock + round(growth.bloom_weeks * 7)
            if over or (cold and t > season.split):
                last = t
                break
            heat = heat + 1 if hot else 0
            if growth.bloom_end == "heat" and heat == 7:
                last = t
                break
            if not cold and not hot:
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
        tmin_c=season.tmin_c[:12],
        tmax_c=season.tmax_c[:12],
        rain_mm=season.rain_mm[:12],
    )
    # Single precision may put a sum on the other side of a limit on a rare day.
    few = replace(few, tmin_c=few.tmin_c.astype(np.float32), tmax_c=few.tmax_c.astype(np.float32))
    ways = [Way(kind, 60, 110, in_place) for kind in catalogue for in_place in (True, False)]
    wrong = 0
    for way, bloom in zip(ways, blooms_of(ways, few), strict=True):
        first, last, blooming, cover = by_the_rules(way, few)
        same = bloom.first.tolist() == first and bloom.last.tolist() == last
        wrong += not same
        if same:
            assert bloom.weekly == pytest.approx(weekly(blooming), abs=0.03), way.kind.key
            assert bloom.cover == pytest.approx(weekly(cover), abs=0.01), way.kind.key
    assert wrong <= 2


def test_at_the_reference_temperature_bloom_comes_after_the_days_to_bloom(
    catalogue: Catalogue, galway: Season
) -> None:
    season = steady_season(galway, 20.0)
    for kind in catalogue:
        if kind.growth.daylength.endswith("obligate"):
            continue
        bloom = bloom_of(Way(kind, 100, 100, in_place=True), season)
        want = min(100 + int(np.ceil(kind.growth.days_to_bloom)) - 1, DAYS)
        assert bloom.first[0] == want, kind.key


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
    cold[:, 250] = -1.5
    season = replace(season, tmin_c=cold)
    tender = bloom_of(Way(catalogue.kinds["french_marigold"], 60, 100, in_place=False), season)
    assert tender.last[0] == 250
    hardy = bloom_of(Way(catalogue.kinds["sweet_alyssum"], 60, 100, in_place=False), season)
    assert hardy.last[0] != 250


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
        bloom = bloom_of(Way(catalogue.kinds[key], 60, 60, in_place=True), season)
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
            assert first == DAYS or hours[: first + 1].max() >= 12.99, kind.key


def test_cover_grows_to_the_whole_room_and_goes_with_the_frost(
    catalogue: Catalogue, galway: Season
) -> None:
    season = steady_season(galway, 20.0)
    cold = season.tmin_c.copy()
    cold[:, 210:] = -3.0
    way = Way(catalogue.kinds["french_marigold"], 60, 119, in_place=False)
    cover = bloom_of(way, replace(season, tmin_c=cold)).cover
    assert cover[:17].max() == 0
    assert cover[17] == pytest.approx(SET_OUT_COVER, abs=0.1)
    assert (np.diff(cover[17:30]) >= -1e-6).all()
    assert cover[29] == pytest.approx(1.0)
    assert cover[30:].max() == 0


def test_no_way_gives_no_bloom(galway: Season) -> None:
    assert blooms_of([], galway) == []


def test_compiled_and_plain_flowering_agree(
    catalogue: Catalogue, galway: Season, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The kernel as Python runs it and as numba compiles it, in a few years of every kind."""
    from bedwright.growth import bloom_kernel

    few = replace(galway, tmin_c=galway.tmin_c[:3], tmax_c=galway.tmax_c[:3] + np.float32(6.0))
    ways = [Way(kind, 60, 100, in_place=n % 2 == 0) for n, kind in enumerate(catalogue)]
    compiled = blooms_of(ways, few)
    monkeypatch.setattr(bloom_kernel, "flower", bloom_kernel.flower.py_func)
    for ours, plain in zip(compiled, blooms_of(ways, few), strict=True):
        assert ours.first.tolist() == plain.first.tolist()
        assert ours.last.tolist() == plain.last.tolist()
        np.testing.assert_allclose(ours.weekly, plain.weekly, atol=1e-6)
        np.testing.assert_allclose(ours.cover, plain.cover, atol=1e-4)
