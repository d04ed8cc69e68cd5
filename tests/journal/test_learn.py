"""Rates that counts say: which counts are used, and the beta-binomial of three levels."""

from __future__ import annotations

import random
from datetime import date, timedelta
from math import inf
from typing import Any

import numpy as np
import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from bedwright.journal import (
    GARDEN_LOGIT,
    KIND_PLANTS,
    SOWING_PLANTS,
    Entry,
    RateHere,
    Sowing,
    Tally,
    learn_germination,
    learn_survival,
    rates_of,
)
from bedwright.report import say

START = date(2027, 3, 1)
CATALOGUE = {"larkspur": 0.8, "corn_poppy": 0.5, "zinnia": 0.75}


def on(day: int, what: Any, kind: str = "larkspur", **given: Any) -> Entry:
    return Entry(START + timedelta(days=day), what, kind, **given)


def tally(kind: str, good: int, of: int, n: int = 0) -> Tally:
    return Tally(Sowing(kind, START + timedelta(days=n)), good, of)


def germination(*entries: Entry, **given: Any) -> Any:
    return learn_germination(entries, CATALOGUE, **given)


# The method, beside outside sources


@pytest.mark.parametrize(("good", "of"), [(0, 0), (0, 12), (12, 12), (30, 48), (410, 1000)])
def test_a_kind_by_itself_has_the_conjugate_posterior_of_scipy(good: int, of: int) -> None:
    """scipy.stats.beta; the conjugate rule: Gelman et al., Bayesian Data Analysis, section 2.4."""
    seen = [tally("larkspur", good, of)] if of else []
    found = rates_of(seen, {"larkspur": 0.8}, garden_logit=0.0, sowing_plants=inf)
    posterior = stats.beta(KIND_PLANTS * 0.8 + good, KIND_PLANTS * 0.2 + of - good)
    rate = found.by_kind["larkspur"]
    assert rate.mean == pytest.approx(posterior.mean(), abs=1e-10)
    assert (rate.low, rate.high) == pytest.approx(posterior.ppf([0.1, 0.9]), abs=1e-7)
    assert (rate.seen, rate.sowings) == (of, len(seen))


COUNTS = {"larkspur": (11, 40), "corn_poppy": (6, 30), "zinnia": (20, 24)}


def test_the_gardens_shift_agrees_with_numerical_integration() -> None:
    """scipy.stats.betabinom for what the counts are worth, integrated by scipy.integrate."""
    seen = [tally(kind, *count) for kind, count in COUNTS.items()]
    found = rates_of(seen, CATALOGUE, sowing_plants=inf)
    # About which logit the mean over gardens is the catalogue's rate, by scipy as well.
    prior = stats.norm(0.0, GARDEN_LOGIT)

    def over_gardens(logit: float, rate: float) -> float:
        def each(shift: float) -> float:
            return float(scipy.special.expit(logit + shift) * prior.pdf(shift))

        return scipy.integrate.quad(each, -4.0, 4.0)[0] - rate

    logits = {
        kind: scipy.optimize.brentq(over_gardens, -5.0, 5.0, args=(rate,))
        for kind, rate in CATALOGUE.items()
    }

    def weight(shift: float) -> float:
        odds = prior.pdf(shift)
        for kind, (good, of) in COUNTS.items():
            mean = KIND_PLANTS * scipy.special.expit(logits[kind] + shift)
            odds *= stats.betabinom.pmf(good, of, mean, KIND_PLANTS - mean)
        return float(odds)

    def expected(value: Any) -> float:
        return scipy.integrate.quad(lambda x: value(x) * weight(x), -4.0, 4.0, epsabs=1e-12)[0]

    total = expected(lambda x: 1.0)
    middle = expected(lambda x: x) / total
    assert found.shift == pytest.approx(middle, abs=1e-5)
    spread = (expected(lambda x: x * x) / total - middle**2) ** 0.5
    assert found.shift_sd == pytest.approx(spread, abs=1e-5)

    def of_larkspur(shift: float) -> float:
        mean = KIND_PLANTS * scipy.special.expit(logits["larkspur"] + shift)
        return float((mean + 11) / (KIND_PLANTS + 40))

    rate = found.by_kind["larkspur"]
    assert rate.mean == pytest.approx(expected(of_larkspur) / total, abs=1e-5)

    def under(shift: float) -> float:
        mean = KIND_PLANTS * scipy.special.expit(logits["larkspur"] + shift)
        return float(stats.beta.cdf(rate.low, mean + 11, KIND_PLANTS - mean + 29))

    assert expected(under) / total == pytest.approx(0.1, abs=1e-5)


def test_a_sowings_own_rate_agrees_with_numerical_integration() -> None:
    """Both levels by scipy: a beta of the kind, and one of the sowing about it.  That the two are
    taken for one beta of their mean and variance costs less than a point."""
    found = rates_of([tally("larkspur", 15, 40)], {"larkspur": 0.8}, garden_logit=0.0)
    (rate,) = found.by_sowing.values()
    kind = stats.beta(KIND_PLANTS * 0.8, KIND_PLANTS * 0.2)

    def weight(own: float, of_kind: float) -> float:
        a, b = SOWING_PLANTS * of_kind, SOWING_PLANTS * (1.0 - of_kind)
        return float(kind.pdf(of_kind) * stats.beta.pdf(own, a, b) * stats.binom.pmf(15, 40, own))

    def expected(value: Any) -> float:
        return scipy.integrate.dblquad(
            lambda own, of_kind: value(own) * weight(own, of_kind),
            1e-3, 1.0 - 1e-3, 1e-3, 1.0 - 1e-3, epsabs=1e-7,
        )[0]  # fmt: skip

    assert rate.mean == pytest.approx(
        expected(lambda own: own) / expected(lambda own: 1.0), abs=0.01
    )


def test_many_seeds_of_one_sowing_are_worth_no_more_than_their_design_effect() -> None:
    """The variance of a beta-binomial share, scipy.stats.betabinom: what n seeds of one sowing are
    worth is the number of which a binomial share varies as much."""
    for of in (1, 10, 200):
        theta = 0.7
        whole = stats.betabinom(of, SOWING_PLANTS * theta, SOWING_PLANTS * (1.0 - theta))
        worth = theta * (1.0 - theta) / (whole.var() / of**2)
        found = rates_of([tally("larkspur", of, of)], {"larkspur": 0.5}, garden_logit=0.0)
        expected = (KIND_PLANTS * 0.5 + worth) / (KIND_PLANTS + worth)
        assert found.by_kind["larkspur"].mean == pytest.approx(expected, rel=1e-9)


def test_intervals_hold_as_often_as_they_say() -> None:
    """Cook, Gelman and Rubin 2006, Journal of Computational and Graphical Statistics 15: intervals
    of what is drawn from the prior hold what was drawn as often as their odds say."""
    dice = np.random.default_rng(20270301)
    kinds = {"a": 0.8, "b": 0.6, "c": 0.75, "unseen": 0.7}
    # The logits about which gardens differ, so that their mean is the catalogue's rate.
    shifts = GARDEN_LOGIT * dice.standard_normal(200_000)
    middle = {
        kind: scipy.optimize.brentq(
            lambda x, rate=rate: scipy.special.expit(x + shifts).mean() - rate, -4.0, 4.0
        )
        for kind, rate in kinds.items()
    }
    gardens = 2000
    held = {"seen": 0, "unseen": 0, "sowing": 0}
    asked = dict.fromkeys(held, 0)
    for shift in shifts[:gardens]:
        truth, sowings, seen = {}, {}, []
        for kind, logit in middle.items():
            mean = KIND_PLANTS * scipy.special.expit(logit + shift)
            truth[kind] = dice.beta(mean, KIND_PLANTS - mean)
            for n in range(0 if kind == "unseen" else int(dice.integers(0, 4))):
                spread = SOWING_PLANTS * truth[kind]
                own, of = dice.beta(spread, SOWING_PLANTS - spread), int(dice.integers(5, 80))
                each = tally(kind, int(dice.binomial(of, own)), of, n)
                sowings[each.sowing] = own
                seen.append(each)
        found = rates_of(seen, kinds)
        for kind, rate in found.by_kind.items():
            group = "unseen" if kind == "unseen" else "seen"
            asked[group] += 1
            held[group] += rate.low <= truth[kind] <= rate.high
        for sowing, rate in found.by_sowing.items():
            asked["sowing"] += 1
            held["sowing"] += rate.low <= sowings[sowing] <= rate.high
    shares = {group: held[group] / asked[group] for group in held}
    assert all(0.75 <= share <= 0.85 for share in shares.values()), shares


# What is seen moves it


def test_with_nothing_seen_the_catalogue_stands() -> None:
    found = germination()
    for kind, rate in CATALOGUE.items():
        assert found.by_kind[kind].mean == pytest.approx(rate, abs=1e-12)
        assert found.by_kind[kind].seen == found.by_kind[kind].sowings == 0
    assert (found.shift, found.shift_sd) == pytest.approx((0.0, GARDEN_LOGIT))
    assert (dict(found.by_sowing), found.facts) == ({}, ())


def test_what_is_as_the_catalogue_has_it_moves_little() -> None:
    found = rates_of([tally("larkspur", 80, 100, n) for n in range(4)], CATALOGUE)
    assert found.by_kind["larkspur"].mean == pytest.approx(0.8, abs=0.01)
    assert found.by_kind["zinnia"].mean == pytest.approx(0.75, abs=0.01)


def test_more_seen_moves_it_further_and_narrows_it() -> None:
    means, widths, others = [0.8], [inf], [0.5]
    for times in range(1, 6):
        found = rates_of([tally("larkspur", 12, 40, n) for n in range(times)], CATALOGUE)
        rate = found.by_kind["larkspur"]
        means.append(rate.mean)
        widths.append(rate.high - rate.low)
        others.append(found.by_kind["corn_poppy"].mean)
    assert means == sorted(means, reverse=True)
    assert means[-1] > 0.3
    assert widths == sorted(widths, reverse=True)
    assert others == sorted(others, reverse=True), "what one kind says moves the others a little"
    assert 0.4 < others[-1] < 0.49


def test_one_kind_says_more_of_itself_than_of_others() -> None:
    found = rates_of([tally("larkspur", 4, 40)], CATALOGUE).by_kind
    assert 0.8 - found["larkspur"].mean > 4.0 * (0.75 - found["zinnia"].mean) > 0.0


# All of it


def test_the_order_of_entries_changes_nothing() -> None:
    dice = random.Random(5)
    entries = [
        on(dice.randrange(90), what, kind, count=dice.randrange(1, 40))
        for what in ("sown", "came_up", "pricked_out", "set_out", "lost")
        for kind in CATALOGUE
        for _ in range(6)
    ]
    first = germination(*entries), learn_survival(entries, CATALOGUE)
    for _ in range(5):
        dice.shuffle(entries)
        assert (germination(*entries), learn_survival(entries, CATALOGUE)) == first


@pytest.mark.parametrize("rate", [0.0, 1.0, -0.1, 1.5, float("nan")])
def test_a_rate_that_is_none_is_refused(rate: float) -> None:
    with pytest.raises(ValueError, match=r"catalogue\['larkspur'\]: given .*; accepted: a share"):
        rates_of([], {"larkspur": rate})


@pytest.mark.parametrize(
    "wrong", [("larkspur", 5, 4), ("larkspur", -1, 4), ("larkspur", 0, 0), ("oak", 1, 2)]
)
def test_a_tally_that_cannot_be_is_refused(wrong: tuple[str, int, int]) -> None:
    with pytest.raises(ValueError, match="tally: given"):
        rates_of([tally(*wrong)], CATALOGUE)


counts = st.lists(
    st.tuples(
        st.sampled_from(["sown", "came_up", "pricked_out", "set_out", "lost"]),
        st.sampled_from([*CATALOGUE, "unheard_of"]),
        st.integers(0, 800),
        st.none() | st.integers(0, 100_000),
        st.none() | st.integers(1, 100_000),
        st.sampled_from([None, "white", "blue"]),
    ),
    max_size=60,
)


@settings(deadline=None, max_examples=60)
@given(counts, st.floats(0.001, 0.999))
def test_odd_journals_give_rates_all_the_same(rows: list[Any], usual: float) -> None:
    entries = [
        on(
            day,
            what,
            kind,
            count=count,
            of=of if what in ("came_up", "lost") else None,
            colour=colour,
        )
        for what, kind, day, count, of, colour in rows
    ]
    catalogue = CATALOGUE | {"larkspur": usual}
    for found in (learn_germination(entries, catalogue), learn_survival(entries, catalogue)):
        assert set(found.by_kind) == set(catalogue)
        for rate in (*found.by_kind.values(), *found.by_sowing.values()):
            assert 0.0 <= rate.low <= rate.high <= 1.0
            assert 0.0 < rate.mean < 1.0
        assert all(say(fact, "us") and say(fact, "metric") for fact in found.facts)


def test_hundreds_of_sowings_settle_it() -> None:
    found = rates_of([tally("larkspur", 12, 40, n) for n in range(600)], CATALOGUE)
    assert found.by_kind["larkspur"].mean == pytest.approx(0.3, abs=0.005)
    assert found.by_kind["larkspur"].high - found.by_kind["larkspur"].low < 0.03


# Its words


def test_words_of_rates() -> None:
    found = germination(
        on(0, "sown", count=40), on(20, "came_up", count=20), names={"larkspur": "Larkspur"}
    )
    (fact,) = found.facts
    assert isinstance(fact, RateHere)
    assert say(fact, "us").startswith(
        "germination of Larkspur here 62%, not 80%, from 1 sowing (40"
    )
    same = RateHere("survival", "Zinnia", 0.9, 0.8, 0.95, 0.9, 24, 2)
    assert say(same, "us") == (
        "survival of Zinnia once moved here 90%, as the catalogue has it, from 2 sowings"
        " (24 plants; between 80% and 95% with odds of 80%)"
    )
