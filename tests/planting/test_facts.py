"""What a planting states: every fact has words, and every word a fact."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest

import bedwright.planting as planting
from bedwright.facts import Fact
from bedwright.plan import Plan
from bedwright.planting import (
    AskedFor,
    ExchangedFor,
    Invasive,
    LeftOut,
    LowEnoughToEdge,
    MorePoints,
    NextBest,
    OtherSoilLiked,
    OutScored,
    StandsByHeight,
    SteadyFoliage,
    SuitsDrift,
    TooLittleBloom,
    TooShady,
    TooTall,
    Toxic,
    WeeksOfBloom,
)
from bedwright.planting.palette.choose import LACKS as TERMS_OF_SCORE
from bedwright.report import left_out_groups, say, why
from bedwright.report.planting_words import LACKS, POINTS_FOR, SORTS
from bedwright.report.rivals import AGAINST, FOR, NOT_CHOSEN, rival_words


def facts() -> list[type[Fact]]:
    """Every fact that the stage's front door names."""
    named = [getattr(planting, name) for name in planting.__all__]
    return [one for one in named if isinstance(one, type) and issubclass(one, Fact)]


@dataclass(frozen=True)
class Unheard(Fact):
    """A fact that nobody words."""


def test_every_fact_has_words_of_its_own() -> None:
    assert len(facts()) > 40
    with pytest.raises(TypeError, match="no words for Unheard"):
        say(Unheard(), "metric")
    assert [one for one in facts() if say.dispatch(one) is say.dispatch(Unheard)] == []


def test_every_sort_of_reason_has_its_heading() -> None:
    codes = {one.__name__ for one in facts() if issubclass(one, LeftOut)} - {"LeftOut", "Toxic"}
    sorts = {Toxic(to).sort for to in ("people", "dogs", "cats")}
    plain = {sort.replace("_", "") for sort in SORTS.keys() - sorts}
    assert plain == {code.lower() for code in codes}
    assert sorts <= SORTS.keys()
    assert Toxic("people").code == Toxic("dogs").code == "toxic"


def test_terms_have_words(oval: Plan) -> None:
    assert set(TERMS_OF_SCORE) == LACKS.keys()
    body = [d.why for d in oval.planting.drifts if isinstance(d.why, SuitsDrift)]
    named = {term.term for one in body for rival in one.rivals for term in rival.terms}
    assert named == POINTS_FOR.keys() == AGAINST.keys() | {"height"} == FOR.keys()


ASTER = NextBest("a", "aster", "blue", 0.6, True, 4.71, (MorePoints("sun", 4.7),))
COLEUS = NextBest(
    "c",
    "coleus",
    "red",
    0.2,
    False,
    -0.62,
    (
        MorePoints("height", 4.1),
        MorePoints("same", 4.0),
        MorePoints("form", 0.01),
        MorePoints("colour", -0.8),
        MorePoints("bloom", -7.93),
    ),
)


def test_what_speaks_for_the_next_best_kinds_and_against_them() -> None:
    one, two = map(str, rival_words(SuitsDrift(0.3, 0.5, (ASTER, COLEUS))))
    assert one == (
        "aster, blue: 4.7 penalty points more. Against it: its sun here suits it less: 4.7 points."
    )
    assert two == (
        "coleus, red: 0.6 penalty points fewer. Against it: too low here: 4.1 points; two alike"
        " side by side: 4.0. For it: more in bloom around it through the season: 7.9 fewer; goes"
        f" better with the colours around: 0.8 fewer. {NOT_CHOSEN}"
    )
    tall = replace(COLEUS, height_m=0.8, points=0.04, terms=COLEUS.terms[:1])
    assert [str(one) for one in rival_words(SuitsDrift(0.3, 0.5, (tall,)))] == [
        "coleus, red: as many penalty points. Against it: too tall here: 4.1 points."
    ]
    assert rival_words(SuitsDrift(0.3, 0.5, ())) == []


@pytest.mark.parametrize(
    ("fact", "metric", "us"),
    [
        (TooTall(0.9, 0.6), "too tall: 90 cm where 60 cm suits", "too tall: 35½ in where 23½ in"),
        (TooLittleBloom(1.2, 4.0), "too little bloom in this season: 1.2 weeks where 4", None),
        (TooShady(2.04, 4.0), "too shady: 2.0 h of sun where it wants 4", None),
        (Invasive(("Hawaii", "Florida")), "invasive in Hawaii and Florida", None),
        (
            OutScored(5.21, 6.0, ("bloom", "thrift")),
            "others suit this bed and its wishes better: it scores 5.2, they 6.0 and more, short"
            " of weeks of bloom and low cost",
            None,
        ),
        (ExchangedFor("zinnia", "zinnia"), "zinnia goes better with what stands beside it", None),
        (
            SuitsDrift(0.3, 0.5, (ASTER, COLEUS)),
            "30 cm high where 50 cm suits; the next best, aster, blue, would have 4.7 penalty"
            " points more, for sun 4.7",
            None,
        ),
        (
            SuitsDrift(0.3, 0.5, (COLEUS,)),
            "30 cm high where 50 cm suits; the next best, coleus, red, would have 0.6 penalty"
            " points fewer, though more for height 4.1, the same kind next to it 4.0",
            None,
        ),
        (SuitsDrift(0.3, 0.5, ()), "30 cm high where 50 cm suits; nothing else to choose", None),
        (WeeksOfBloom(1.0), "about 1 week of bloom", None),
        (StandsByHeight("tall", "back", True), "among the tallest of this bed, so toward", None),
        (
            OtherSoilLiked("clay", 8.0),
            "grows in this soil; clay and pH 8 are not what it likes best",
            None,
        ),
    ],
)
def test_words(fact: Fact, metric: str, us: str | None) -> None:
    assert say(fact, "metric").startswith(metric)
    assert us is None or say(fact, "us").startswith(us)


def test_an_items_reasons_are_true(example: Plan) -> None:
    planted = example.planting
    for number, item in enumerate(planted.items):
        own = [drift for drift in planted.drifts if drift.item == number]
        kind = item.candidate.kind
        assert (AskedFor() in item.why) == (kind.key in example.brief.wishes.grow)
        assert (SteadyFoliage() in item.why) == kind.is_foliage
        assert (LowEnoughToEdge() in item.why) == all(drift.ribbon for drift in own)
        soil = [one for one in item.why if isinstance(one, OtherSoilLiked)]
        assert bool(soil) == (item.candidate.terms["soil"] < 0.99)
        assert why(example, item).split("; ")[0] == say(item.why[0], example.brief.units)


def test_kinds_left_out_are_grouped_by_reason(example: Plan) -> None:
    groups = left_out_groups(example)
    left_out = example.planting.left_out
    assert sum(len(names) for _, names in groups) == len(left_out)
    assert len(groups) == len({reason.sort for reason in left_out.values()})
    sizes = [len(names) for _, names in groups]
    assert sizes == sorted(sizes, reverse=True)
