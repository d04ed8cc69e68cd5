"""The Clemson record's freeze odds against figures published for its station, and scipy's laws.

Station GHCND:USC00381770 (named in the documentation of ``stevedata/clemson_temps``).  NOAA NCEI
U.S. Climate Normals 1981-2010 give for 32 °F: last freeze later than 17 March in 9 springs of 10,
than 3 April in 5 of 10; a season longer than 214 days in half of all years (the files
ann-tmin-prblst-t32Fp90, -p50 and ann-tmin-prbgsl-t32Fp50, read in a public copy).  NCEI smooths its
odds, we count years: days may differ by a few.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from bedwright.climate import FreezeOdds, freeze_odds
from bedwright.climate.frost import HALVES, bootstrap_days, freeze_free_days
from bedwright.climate.observed import GrowingYears, growing_years
from bedwright.inputs import read_record
from conftest import CLEMSON

MARCH_17, APRIL_3 = 75, 92


@pytest.fixture(scope="module")
def years() -> GrowingYears:
    return growing_years(read_record(CLEMSON), start_month=1)


@pytest.fixture(scope="module")
def spring(years: GrowingYears) -> FreezeOdds:
    normal = (years.labels >= 1981) & (years.labels <= 2010)
    return freeze_odds(years.tmin_c[normal], 0.0, HALVES[True], spring=True)


def test_dates_are_near_the_published_ones(spring: FreezeOdds) -> None:
    for odds, published in ((0.9, MARCH_17), (0.5, APRIL_3)):
        counted, curve = spring.day_at(odds), spring.fitted_day_at(odds)
        assert counted == pytest.approx(published, abs=4.5)
        assert curve == pytest.approx(published, abs=4.5)
        found = bootstrap_days(spring, (odds,), 0)
        assert np.quantile(found, 0.05) <= published <= np.quantile(found, 0.95)


def test_the_season_is_near_the_published_length(years: GrowingYears) -> None:
    normal = (years.labels >= 1981) & (years.labels <= 2010)
    lengths = freeze_free_days(years.tmin_c[normal], 0.0, HALVES[True])
    assert np.median(lengths) == pytest.approx(214, abs=5)


def test_quantiles_and_curve_are_scipys(spring: FreezeOdds) -> None:
    dates = np.array(spring.dates)
    law = stats.norm(dates.mean(), dates.std(ddof=1))
    for odds in (0.9, 0.5, 0.2, 0.1, 0.05):
        within = 1 - odds / spring.share
        empirical = stats.mstats.mquantiles(dates, within, alphap=1 / 3, betap=1 / 3)[0]
        assert spring.day_at(odds) == pytest.approx(empirical)
        assert spring.fitted_day_at(odds) == pytest.approx(law.ppf(within))


def test_the_bootstrap_error_is_scipys(spring: FreezeOdds) -> None:
    ours = bootstrap_days(spring, (0.5,), 0)[:, 0].std()
    theirs = stats.bootstrap(
        (np.array(spring.dates, float),),
        np.median,
        n_resamples=2000,
        method="percentile",
        rng=np.random.default_rng(1),
    ).standard_error
    assert ours == pytest.approx(theirs, rel=0.1)


def test_spring_dates_are_no_worse_than_normal(spring: FreezeOdds) -> None:
    """The fitted curve is a normal law: Shapiro and Wilk's test does not reject it."""
    assert stats.shapiro(spring.dates).pvalue > 0.05
