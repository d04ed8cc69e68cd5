"""A garden's nights beside what was to be expected of them."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from bedwright.journal import SITE_SD_C, Entry, Night, NightsHere, learn_nights
from bedwright.report import say

APRIL = date(2027, 4, 1)
PHI = stats.norm.cdf


def on(day: int, what: Any = "weather", **given: Any) -> Entry:
    return Entry(APRIL + timedelta(days=day), what, **given)


def nights(*expected: float, sd: float = 1.0, first: int = 0) -> dict[date, Night]:
    return {
        APRIL + timedelta(days=first + n): Night(tmin_c, sd) for n, tmin_c in enumerate(expected)
    }


def posterior(likelihood: Callable[[float], float]) -> tuple[float, float, float]:
    """Mean, standard deviation and 10% point by scipy.integrate, of the usual prior."""

    def expected(value: Callable[[float], float], high: float = 9.0) -> float:
        return scipy.integrate.quad(
            lambda x: value(x) * likelihood(x) * stats.norm.pdf(x, 0.0, SITE_SD_C),
            -9.0, high, epsabs=1e-12, limit=200,
        )[0]  # fmt: skip

    total = expected(lambda x: 1.0)
    mean = expected(lambda x: x) / total
    sd = (expected(lambda x: x * x) / total - mean**2) ** 0.5
    low = scipy.optimize.brentq(lambda x: expected(lambda _: 1.0, x) / total - 0.1, -8.0, 8.0)
    return mean, sd, low


# The method, beside outside sources


@pytest.mark.parametrize("count", [1, 5, 400])
def test_measured_minima_have_the_normal_posterior_of_the_textbook(count: int) -> None:
    """Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.5, equation 2.12: the mean of a
    normal of known variance."""
    dice = np.random.default_rng(count)
    differ = dice.normal(-1.4, 1.5, count)
    expected = nights(*[3.0] * count, sd=1.5)
    found = learn_nights([on(n, tmin_c=3.0 + x) for n, x in enumerate(differ)], expected)
    precision = 1.0 / SITE_SD_C**2 + count / 1.5**2
    mean, sd = differ.sum() / 1.5**2 / precision, precision**-0.5
    assert (found.offset_c, found.sd_c) == pytest.approx((mean, sd), abs=1e-5)
    ends = stats.norm(mean, sd).ppf([0.1, 0.9])
    assert (found.low_c, found.high_c) == pytest.approx(ends, abs=1e-4)
    assert (found.seen, found.frosts, found.quiet) == (count, 0, 0)


@pytest.mark.parametrize("expected", [-3.0, 0.0, 2.5])
def test_a_frost_without_a_number_is_a_censored_normal(expected: float) -> None:
    """The odds of freezing or less by scipy.stats.norm, integrated by scipy.integrate."""
    found = learn_nights([on(0, "frost")], nights(expected, sd=1.2))
    mean, sd, low = posterior(lambda x: PHI(0.0, expected + x, 1.2))
    assert (found.offset_c, found.sd_c) == pytest.approx((mean, sd), abs=1e-4)
    assert found.low_c == pytest.approx(low, abs=1e-3)
    assert (found.seen, found.frosts) == (0, 1)


def test_nights_without_an_entry_agree_with_numerical_integration() -> None:
    """As above; over the share r of frosts that is written down by hand: r F (1 - r G) (1 - r H),
    summed from 0 to 1, is F (1/2 - (G + H) / 3 + G H / 4)."""
    entries = [on(0, "frost"), on(1, tmin_c=1.0), on(4, "note", text="to here")]
    found = learn_nights(entries, nights(1.0, 2.5, 0.5, -1.0))

    def likelihood(x: float) -> float:
        f, g, h = (PHI(0.0, expected + x, 1.0) for expected in (1.0, 0.5, -1.0))
        share = f * (0.5 - (g + h) / 3.0 + g * h / 4.0)
        return float(share * stats.norm.pdf(1.0, 2.5 + x, 1.0))

    mean, sd, low = posterior(likelihood)
    assert (found.offset_c, found.sd_c) == pytest.approx((mean, sd), abs=1e-4)
    assert found.low_c == pytest.approx(low, abs=1e-3)
    assert (found.seen, found.frosts, found.quiet) == (1, 1, 2)


def test_a_months_own_difference_agrees_with_numerical_integration() -> None:
    """Measured minima of one month differ together: scipy.stats.multivariate_normal.  A frost that
    is alone in its month has wider odds."""
    entries = [on(0, tmin_c=1.0), on(1, tmin_c=2.0), on(40, "frost")]
    found = learn_nights(
        entries, nights(3.0, 3.5) | nights(2.0, first=40), month_sd_c=1.5, watched=()
    )
    together = stats.multivariate_normal(cov=np.eye(2) + 1.5**2)

    def likelihood(x: float) -> float:
        pair = together.pdf([1.0 - 3.0 - x, 2.0 - 3.5 - x])
        return float(pair * PHI(0.0, 2.0 + x, (1.0 + 1.5**2) ** 0.5))

    mean, sd, low = posterior(likelihood)
    assert (found.offset_c, found.sd_c) == pytest.approx((mean, sd), abs=2e-3)
    assert found.low_c == pytest.approx(low, abs=5e-3)


def garden(dice: Any, offset: float) -> tuple[list[Entry], dict[date, Night]]:
    """A spring's journal: a share of each month's frosts is written down, some with a number."""
    days = 70
    station = -2.0 + 0.12 * np.arange(days) + dice.normal(0.0, 3.0, days)
    here = station + offset + dice.normal(0.0, 1.2, days)
    written = dict(zip((4, 5, 6), dice.random(3), strict=True))
    entries = [on(0, "note", text="begun"), on(days - 1, "note", text="closed")]
    for day, tmin_c in enumerate(here):
        if tmin_c <= 0.0 and dice.random() < written[(APRIL + timedelta(days=day)).month]:
            measured = float(tmin_c) if dice.random() < 0.1 else None
            entries.append(on(day, "frost", tmin_c=measured))
    return entries, nights(*station, sd=1.2)


def test_intervals_hold_as_often_as_they_say() -> None:
    """Drawn from the prior, as for rates; how much is written down differs by garden and month."""
    dice = np.random.default_rng(20270401)
    held, gardens = 0, 500
    for _ in range(gardens):
        offset = dice.normal(0.0, SITE_SD_C)
        found = learn_nights(*garden(dice, offset))
        held += found.low_c <= offset <= found.high_c
    assert 0.75 <= held / gardens <= 0.85


def test_frosts_alone_would_speak_for_cold() -> None:
    """Why nights without an entry are counted: in gardens like their station, only frosts that are
    written down make them look much colder."""
    dice = np.random.default_rng(7)
    gardens = [garden(dice, 0.0) for _ in range(40)]
    alone = np.mean([learn_nights(*each, watched=()).offset_c for each in gardens])
    beside = np.mean([learn_nights(*each).offset_c for each in gardens])
    assert alone < -0.6
    assert abs(beside) < 0.25


# What is seen moves it


def test_with_nothing_seen_what_is_known_beforehand_stands() -> None:
    for entries in ([], [on(0, rain_mm=4.0)], [on(400, tmin_c=3.0)], [on(0, "note", text="cold")]):
        found = learn_nights(entries, nights(3.0, 4.0))
        assert (found.offset_c, found.sd_c) == (0.0, SITE_SD_C)
        assert (found.seen, found.frosts, found.quiet, found.facts) == (0, 0, 0, ())
    found = learn_nights([], {}, prior_c=-1.0, prior_sd_c=0.5)
    ends = stats.norm(-1.0, 0.5).ppf([0.1, 0.9])
    assert (found.low_c, found.high_c) == pytest.approx(ends)


def test_more_nights_move_it_further() -> None:
    offsets, widths = [0.0], [SITE_SD_C]
    for count in (1, 2, 5, 20, 100):
        found = learn_nights([on(n, tmin_c=1.0) for n in range(count)], nights(*[3.0] * count))
        offsets.append(found.offset_c)
        widths.append(found.sd_c)
    assert offsets == sorted(offsets, reverse=True)
    assert offsets[-1] == pytest.approx(-2.0, abs=0.05)
    assert widths == sorted(widths, reverse=True)


def test_a_month_that_differs_as_a_whole_says_less() -> None:
    entries, expected = [on(n, tmin_c=1.0) for n in range(20)], nights(*[3.0] * 20)
    station = learn_nights(entries, expected)
    season = learn_nights(entries, expected, month_sd_c=1.5)
    assert station.offset_c < season.offset_c < -0.3
    assert season.sd_c > 2.0 * station.sd_c


def test_a_frost_where_none_was_due_speaks_for_cold() -> None:
    due, odd = (learn_nights([on(0, "frost")], nights(tmin_c)) for tmin_c in (-4.0, 3.0))
    assert due.offset_c == pytest.approx(0.0, abs=0.01)
    assert odd.offset_c < -0.9


def test_nights_that_were_watched_and_had_no_frost_speak_for_warmth() -> None:
    frosty, bare = nights(*[-0.5] * 9), [on(0, "frost"), on(8, "note", text="no more")]
    watched = learn_nights(bare, frosty)
    assert watched.quiet == 8
    assert watched.offset_c > learn_nights(bare, frosty, watched=()).offset_c
    few = learn_nights(bare, frosty, watched={APRIL, APRIL + timedelta(days=1), date(1999, 1, 1)})
    assert few.quiet == 1


def test_nights_to_which_nobody_wrote_a_frost_say_nothing() -> None:
    found = learn_nights([on(0, "note", text="a"), on(5, "note", text="b")], nights(*[-9.0] * 6))
    assert (found.offset_c, found.quiet) == (0.0, 0)


def test_several_minima_of_one_night_are_one() -> None:
    one = learn_nights([on(0, tmin_c=-1.5)], nights(1.0))
    twice = learn_nights([on(0, tmin_c=-1.5), on(0, tmin_c=-1.5)], nights(1.0))
    both = learn_nights([on(0, tmin_c=-1.0), on(0, tmin_c=-2.0)], nights(1.0))
    assert one == twice == both
    frost = learn_nights([on(0, tmin_c=-1.5), on(0, "frost")], nights(1.0))
    assert (frost.seen, frost.frosts) == (1, 0)


def test_the_order_of_entries_changes_nothing() -> None:
    entries, expected = garden(np.random.default_rng(3), -0.7)
    first, dice = learn_nights(entries, expected, month_sd_c=1.0), random.Random(5)
    for _ in range(4):
        dice.shuffle(entries)
        assert learn_nights(entries, expected, month_sd_c=1.0) == first


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"prior_sd_c": 0.0}, "prior_sd_c"),
        ({"month_sd_c": -1.0}, "month_sd_c"),
        ({"month_sd_c": float("nan")}, "month_sd_c"),
        ({"prior_sd_c": float("inf")}, "prior_sd_c"),
        ({"nights": nights(float("nan"))}, r"nights\[2027-04-01\].tmin_c"),
        ({"nights": nights(3.0, sd=0.0)}, r"nights\[2027-04-01\].sd_c"),
    ],
)
def test_spreads_that_are_none_are_refused(given: dict[str, Any], field: str) -> None:
    with pytest.raises(ValueError, match=f"{field}: given .*; accepted: a number of °C"):
        learn_nights([], **{"nights": nights(3.0), **given})


@settings(deadline=None, max_examples=30)
@given(
    st.lists(
        st.tuples(
            st.integers(0, 120),
            st.sampled_from(["frost", "weather"]),
            st.none() | st.floats(-70.0, 60.0),
        ),
        max_size=40,
    ),
    st.floats(-40.0, 40.0),
    st.floats(0.2, 8.0),
    st.sampled_from([0.0, 0.3, 2.0]),
)
def test_odd_journals_give_an_offset_all_the_same(
    rows: list[Any], expected: float, sd: float, month_sd_c: float
) -> None:
    found = learn_nights(
        [on(day, what, tmin_c=tmin_c) for day, what, tmin_c in rows],
        nights(*[expected] * 120, sd=sd),
        month_sd_c=month_sd_c,
    )
    assert np.isfinite([found.offset_c, found.sd_c]).all()
    assert 0.0 < found.sd_c <= 1.5 * SITE_SD_C
    assert found.low_c < found.offset_c < found.high_c
    assert all(say(fact, "us") for fact in found.facts)


# Its words


def test_words_of_nights() -> None:
    fact = NightsHere(-1.2, -1.9, 0.1, 40, 1)
    assert say(fact, "metric") == (
        "nights in this garden are 1.2 °C colder than expected (from 1.9 °C colder to 0.1 °C warmer"
        " with odds of 80%), from 40 nights with a minimum and 1 frost without one"
    )
    assert say(NightsHere(1.0, 0.5, 1.5, 0, 3), "us") == (
        "nights in this garden are 1.8 °F warmer than expected (from 0.9 °F warmer to 2.7 °F warmer"
        " with odds of 80%), from 3 frosts without one"
    )
