"""The climate's facts in words: numbers in the units asked for, one and several, no loose ends."""

from __future__ import annotations

from datetime import date

import pytest

from bedwright import climate
from bedwright.facts import Fact
from bedwright.report import say, sentence

ANY_YEAR = (None, None)
TRENDS = (climate.FreezeTrend("first", -1.25, 0.004), climate.WarmthTrend(0.5, 0.03))


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        (climate.LinesPassedOver(1, "short"), "1 line without cells for both temperatures passed"),
        (climate.LinesPassedOver(2, "short"), "2 lines without cells"),
        (
            climate.ImpossibleDropped("minimum", 1, (date(2001, 5, 8),)),
            "minimum dropped (2001-05-08)",
        ),
        (
            climate.ImpossibleDropped("maximum", 4, (date(2001, 5, 8), date(2001, 5, 9))),
            "4 impossible maxima dropped (2001-05-08, 2001-05-09 …)",
        ),
        (climate.ValuesPassedOver(1, 7), "1 unreadable value passed over (in line 7)"),
        (climate.ValuesPassedOver(3, 7), "3 unreadable values passed over (the first in line 7)"),
        (climate.MinimaMissing(6, 60, 1), "6 of 60 minima missing (1 day absent from the file)"),
        (climate.Namesakes("A", ("B", "C"), 0), "A is taken; others of that name: B; C"),
        (climate.Namesakes("A", ("B", "C"), 4), "B; C and 4 more"),
        (climate.DatesMissed(5.6), "weather are 6 days from what is stated"),
        (climate.FromRecord("a.csv", 1931, 1960, 29), "growing years 1931-1960 (29 of them whole)"),
        (climate.YearPast(2019, date(2019, 12, 31)), "ended on 31 December 2019"),
        (
            climate.RecordUnused(
                climate.TooFewYears("a.csv", 1, (2001, 2001), ANY_YEAR, 10), "dates"
            ),
            "the record a.csv has 1 whole growing year in 2001; needed: 10 or more; the odds come"
            " from the stated dates instead",
        ),
        (
            climate.RecordUnused(
                climate.TooFewYears("a.csv", 1, (2001, 2001), ANY_YEAR, 10), "none"
            ),
            "the odds come from the statement that there is no frost instead",
        ),
        (
            climate.SayingsUnused("months_and_odds"),
            "the weather record is used, not the stated months and odds of frost",
        ),
        (
            climate.TooFewYears("a.csv", 0, (2001, 2004), (1800, None), 10),
            "has 0 whole growing years in 2001-2004; needed: 10 or more within from_year = 1800",
        ),
        (
            climate.RecentYearsUsed(1931, 2020, TRENDS, 30),
            "over 1931-2020 the first freeze came 1.2 days earlier each decade (p < 0.01) and the"
            " year became 0.5 °C warmer each decade (p = 0.03), so only the last 30 years are used",
        ),
    ],
)
def test_words(fact: Fact, words: str) -> None:
    assert words in say(fact, "metric")


def test_differences_of_temperature_are_in_the_gardeners_degrees() -> None:
    unlike = climate.MonthsUnlike("a.csv", "Winnipeg", 10.0)
    assert "differ by up to 10 °C" in say(unlike, "metric")
    assert "differ by up to 18 °F" in say(unlike, "us")
    assert "0.9 °F warmer" in say(TRENDS[1], "us")


def test_a_fact_becomes_a_sentence() -> None:
    assert sentence("rain taken as inches") == "Rain taken as inches."
    assert sentence("6 of 60 minima missing") == "6 of 60 minima missing."
